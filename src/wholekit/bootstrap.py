"""The one place that joins readers, rule book and shelf into what a command needs."""

import gc
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from wholekit.domain.catalog import Catalog
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import CallError, InputError, Problem
from wholekit.domain.kits import Policy, Shelf
from wholekit.domain.openings import Opening
from wholekit.domain.quotes import Snapshot
from wholekit.domain.rules import RuleBook
from wholekit.intake.catalog_folder import load_catalog
from wholekit.intake.changes import read_changes
from wholekit.intake.rulebook import load_rulebook
from wholekit.intake.schedule import read_schedule
from wholekit.intake.shorthand import read_shorthand
from wholekit.services.desk import Desk
from wholekit.services.ports import Store
from wholekit.services.workup import Headed, Workup, make_snapshot
from wholekit.settings import Settings, bundled, read_settings
from wholekit.wording.offers import HouseWords

if TYPE_CHECKING:
    from wholekit.store.unit_of_work import SqlStore


def settings() -> Settings:
    """The settings of this process's environment. Raises CallError."""
    return read_settings(os.environ)


def open_store(at: Settings | None = None) -> "SqlStore":
    """The store of the settings, made where there is none yet. Raises StoreError, CallError.

    at: in place of the environment's.
    """
    # Imported here: openings become kits without a store, and without the time its import takes.
    from wholekit.store.open import open_place
    from wholekit.store.unit_of_work import SqlStore

    return SqlStore(open_place(settings() if at is None else at))


class _RandomIds:
    """Ids that no two processes share."""

    def new(self) -> str:
        return uuid4().hex


def open_desk(house_file: Path | None = None) -> Desk:
    """The desk over the store of the settings. Raises StoreError, CallError, InputError."""
    return desk_on(open_store(), house_file)


def desk_on(store: Store, house_file: Path | None = None) -> Desk:
    """The desk over a store at hand. Raises InputError, CallError."""
    return Desk(store, _RandomIds(), load_rulebook(house_file), HouseWords())


@dataclass(frozen=True, slots=True)
class House:
    """The rule book in force and the shelf built from the catalogues given."""

    rules: RuleBook
    shelf: Shelf
    words: HouseWords = field(default_factory=HouseWords)

    def snapshot(self, workup: Workup, headed: Headed | None = None) -> Snapshot:
        """What a schedule comes to; without a head, for a screen and no paper."""
        day = workup.place.day
        headed = headed or Headed("", 0, day, day, "", "", None)
        return make_snapshot(workup, self.words, self.rules, headed)


def open_house(
    folders: Sequence[Path], house_file: Path | None = None, policy: Policy | None = None
) -> House:
    """Rule book and shelf. Raises InputError with every fault of every catalogue, CallError."""
    rules = load_rulebook(house_file)
    catalogs = read_catalogs(folders)
    if policy is not None:
        known = [catalog.id for catalog in catalogs]
        for supplier in policy.prefer:
            if supplier not in known:
                raise CallError("supplier-unknown", supplier=supplier, known=known)
    house = House(rules, Shelf(catalogs, policy))
    # What was loaded stays for the whole run: the collector need not walk it again and again.
    gc.freeze()
    return house


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


def read_catalogs(folders: Sequence[Path]) -> list[Catalog]:
    """Catalogues that can be used together: one currency, no id or SKU twice."""
    if not folders:
        raise CallError("catalog-needed", samples=str(bundled("catalog_samples")))
    problems: list[Problem] = []
    catalogs: list[Catalog] = []
    for folder in folders:
        try:
            catalogs.append(load_catalog(folder))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    first = catalogs[0]
    ids: dict[str, str] = {}
    skus: dict[str, str] = {}
    for catalog in catalogs:
        if catalog.currency != first.currency:
            raise CallError(
                "currencies-mixed",
                first=f"{first.supplier}: {first.currency}",
                other=f"{catalog.supplier}: {catalog.currency}",
            )
        if catalog.id in ids:
            raise CallError("catalog-twice", id=catalog.id)
        ids[catalog.id] = catalog.folder
        for item in catalog.items:
            other = skus.setdefault(item.sku, catalog.supplier)
            if other != catalog.supplier:
                problems.append(
                    Problem(
                        "sku-in-two-catalogs",
                        {"sku": item.sku, "other": other},
                        catalog.folder,
                        item.row,
                        "sku",
                    )
                )
    if problems:
        raise InputError(problems)
    return catalogs


def read_openings(schedule: str | None, shorthand: Sequence[str], rules: RuleBook) -> list[Opening]:
    """Openings of a schedule (`-` for standard input) and of shorthand lines, in that order.

    Raises InputError with the problems of both, a mark given in both among them.
    """
    finishes = FinishBook(rules)
    known = profile_words(rules)
    problems: list[Problem] = []
    openings: list[Opening] = []
    if schedule is not None:
        try:
            if schedule == "-":
                openings += read_schedule(
                    None, stdin=sys.stdin.buffer, finishes=finishes, jurisdictions=known
                )
            else:
                openings += read_schedule(Path(schedule), finishes=finishes, jurisdictions=known)
        except InputError as error:
            problems += error.problems
    marks = {opening.mark for opening in openings}
    for ordinal, text in enumerate(shorthand, start=1):
        try:
            opening = read_shorthand(text, ordinal, finishes=finishes, jurisdictions=known)
        except InputError as error:
            problems += error.problems
            continue
        if opening.mark in marks:
            problems.append(
                Problem("mark-twice", {"mark": opening.mark}, f"--opening {ordinal}", column="mark")
            )
        marks.add(opening.mark)
        openings.append(opening)
    if problems:
        raise InputError(problems)
    if not openings:
        raise CallError("openings-needed")
    return openings


def read_opening_changes(texts: Sequence[str], rules: RuleBook) -> dict[str, Any]:
    """Changes to an opening as `column=value`. Raises InputError with every one that is wrong."""
    return read_changes(texts, finishes=FinishBook(rules), jurisdictions=profile_words(rules))


def profile_words(rules: RuleBook) -> dict[str, str]:
    """Every word for a profile of force limits, with the profile it means."""
    names = {word: str(name) for word, name in rules.mapping("force-profile-names").items()}
    return names | {name: name for name in rules.mapping("force-profiles")}
