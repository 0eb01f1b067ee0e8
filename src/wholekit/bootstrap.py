"""The one place that joins readers, rule book and shelf into what a command needs."""

import gc
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import uuid4

from wholekit.domain.catalog import Catalog
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import PLAIN, HouseCard, HouseStyle
from wholekit.domain.kits import Policy, Shelf
from wholekit.domain.quotes import Snapshot
from wholekit.domain.quotes.roles import Action
from wholekit.domain.rules import RuleBook
from wholekit.intake.catalogs import read_catalogs, require_together
from wholekit.intake.rulebook import load_rulebook
from wholekit.services.catalogs import newest_catalogs
from wholekit.services.desk import Deed, Desk
from wholekit.services.ports import Store
from wholekit.services.rights import has_right
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.services.workup import Workup
from wholekit.settings import Settings, bundled, read_settings
from wholekit.wording.offers import HouseWords
from wholekit.wording.problems import say_problem
from wholekit.wording.speech import ENGLISH, LANGUAGES

if TYPE_CHECKING:
    from wholekit.keys.house_keys import HouseKeys
    from wholekit.store.unit_of_work import SqlStore


def settings() -> Settings:
    """The settings of this process's environment. Raises CallError."""
    return read_settings(os.environ)


def open_store(at: Settings | None = None) -> "SqlStore":
    """The store of the settings, made where there is none yet. Raises StoreError, CallError.

    at: in place of the environment's.
    """
    # Imported here: openings become kits without a store, and without the time its import takes.
    with collector_at_rest():
        from wholekit.store.open import open_place
        from wholekit.store.unit_of_work import SqlStore
    # What was loaded stays for the whole run.
    gc.freeze()
    return SqlStore(open_place(settings() if at is None else at))


class _RandomIds:
    """Ids that no two processes share."""

    def new(self) -> str:
        return uuid4().hex


def house_style(given: Path | None = None, tell: Callable[[str], None] | None = None) -> HouseStyle:
    """The look of a house folder: the one given, or `house` beside the store; plain without.

    tell: is told what was taken otherwise than it stands there. Raises InputError with every fault
    of the folder, CallError.
    """
    from wholekit.intake.house_folder import read_house_folder

    folder = settings().house_folder if given is None else given
    if given is None and not folder.is_dir():
        return PLAIN
    languages = [language for language in LANGUAGES if language != ENGLISH]
    style, notes = read_house_folder(folder, bundled("templates"), languages)
    for note in notes:
        if tell is not None:
            tell(say_problem(note))
    return style


def open_desk(house_file: Path | None = None, style: HouseStyle | None = None) -> Desk:
    """The desk over the store of the settings. Raises StoreError, CallError, InputError.

    style: the house's; what the folder beside the store says, unless given.
    """
    house = (lambda: house_style().card) if style is None else (lambda: style.card)
    # A fault in the folder is no reason not to list jobs: it is read where something is quoted.
    return desk_on(open_store(), house_file, cache(house))


def desk_on(
    store: Store, house_file: Path | None = None, house: Callable[[], HouseCard] = HouseCard
) -> Desk:
    """The desk over a store at hand. house: what it says of itself. Raises InputError,
    CallError."""
    # Only a desk over a store has goods to give.
    from wholekit.solving.highs import HighsSolver

    words = HouseWords(house)
    return Desk(
        store, _RandomIds(), load_rulebook(house_file), words, solver=HighsSolver(), house=house
    )


def house_keys() -> "HouseKeys":
    """How secrets are made and checked."""
    # Only who signs in needs it.
    from wholekit.keys.house_keys import HouseKeys

    return HouseKeys()


def close_desk(desk: Desk) -> None:
    """Let go of the store of a desk that `open_desk` opened."""
    from wholekit.store.unit_of_work import SqlStore

    if isinstance(desk.store, SqlStore):
        desk.store.close()


def house_lets(deed: Deed, action: Action) -> bool:
    """Whether the house of the settings lets somebody do this; one without a store lets anybody.

    Raises StoreError, CallError.
    """
    at = settings()
    if at.database_url is None and not at.store_file.is_file():
        return True
    with closing(open_store(at)) as store:
        return has_right(store, deed, action)


@dataclass(frozen=True, slots=True)
class House:
    """The rule book in force and the shelf built from the catalogues given."""

    rules: RuleBook
    shelf: Shelf

    def snapshot(
        self, workup: Workup, headed: Headed | None = None, card: HouseCard | None = None
    ) -> Snapshot:
        """What a schedule comes to; without a head for a screen, no paper, and nothing asked.

        card: what the house says of itself.
        """
        return snapshot_on(workup, self.rules, headed, card)


def snapshot_on(
    workup: Workup, rules: RuleBook, headed: Headed | None = None, card: HouseCard | None = None
) -> Snapshot:
    """What is worked up as it is quoted; without a head for a screen, no paper, nothing asked."""
    day = workup.place.day
    asks = headed is not None
    headed = headed or Headed("", 0, day, day, "", "", None)
    words = HouseWords(lambda: card or HouseCard())
    return make_snapshot(workup, words, rules, headed, asks=asks)


def open_house(
    catalogs_named: Sequence[Path],
    house_file: Path | None = None,
    policy: Policy | None = None,
    asks: Callable[[], Deed] | None = None,
) -> House:
    """Rule book and shelf. Raises InputError with every fault of every catalogue, CallError.

    catalogs_named: folders, and with `asks`, which tells who asks, ids of the store's catalogues
    too; none: the newest of each that the store has.
    """
    rules = load_rulebook(house_file)
    catalogs = _catalogs(catalogs_named, asks)
    if policy is not None:
        known = [catalog.id for catalog in catalogs]
        for supplier in policy.prefer:
            if supplier not in known:
                raise CallError("supplier-unknown", supplier=supplier, known=known)
    house = House(rules, Shelf(catalogs, policy))
    # What was loaded stays for the whole run: the collector need not walk it again and again.
    gc.freeze()
    return house


def _catalogs(named: Sequence[Path], asks: Callable[[], Deed] | None) -> list[Catalog]:
    folders = [name for name in named if not _is_id(name)]
    if asks is None or not _store_there() or (named and len(folders) == len(named)):
        return read_catalogs(named)
    with closing(open_store()) as store:
        ids = [str(name) for name in named if _is_id(name)]
        stored = list(newest_catalogs(store, asks(), ids))
    read = read_catalogs(folders) if folders or not stored else []
    if not folders:
        # As they were named: of equal kits the first catalogue's is taken.
        require_together(stored)
        return stored
    every = {catalog.folder: catalog for catalog in read} | {each.id: each for each in stored}
    catalogs = [every[str(name) if _is_id(name) else name.as_posix()] for name in named]
    require_together(catalogs)
    return catalogs


def _is_id(name: Path) -> bool:
    """Whether a catalogue's name can only be an id in the store: a word, and no folder here."""
    return len(name.parts) == 1 and not os.path.isdir(name)  # noqa: PTH112  # as for folders


def _store_there() -> bool:
    at = settings()
    return at.database_url is not None or at.store_file.is_file()


@contextmanager
def collector_at_rest() -> Iterator[None]:
    """While much is made that stays, the collector need not look for what is in circles.

    For a command on its own; not for several threads at once.
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
