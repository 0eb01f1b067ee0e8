"""Kill −9 in the middle, again and again: what must hold after each.

The suite does up to half a dozen of each kind, `python -m tests.bench kills` a hundred.
"""

from collections.abc import Callable
from hashlib import sha256
from pathlib import Path

from sqlalchemy import select
from tests.support.databases import ENGINES, copied_store, empty_place
from tests.support.deeds import (
    Killing,
    address_of,
    bring_up,
    desk_on,
    issue,
    load,
    restore_from,
    seconds_of,
    wide_catalog,
)
from tests.support.goods import kills_during_receiving
from tests.support.house import sample
from tests.support.jobs import START, a_job, by, furnished
from tests.support.older_stores import put_before_terms, without_terms
from tests.support.pick_room import accepted_quote, require_sound, work_at_random

from wholekit.domain.quotes import AuditEntry, CatalogRef, State
from wholekit.services.jobs import edit_job
from wholekit.services.orders import ToldRelease, release_order
from wholekit.services.quotes import issue_quote
from wholekit.store.backup import back_up, restore
from wholekit.store.catalogs import SqlCatalogs
from wholekit.store.check import check_store
from wholekit.store.engine import Place
from wholekit.store.migrate import Condition, condition, upgrade
from wholekit.store.tables import METADATA
from wholekit.store.unit_of_work import SqlStore

ITEMS = 6_000
MARKS = 24
DEEDS = 10  # of the pick room: a kill falls in the time of so many, of far more that would follow


def kills_during_a_load(engine: str, folder: Path, times: int) -> int:
    """Loads of a catalogue killed so many times; how many were caught in the middle."""
    store = ENGINES[engine](folder)
    address = address_of(store.place)
    wide = wide_catalog(ITEMS)
    longest = seconds_of(load, (address, wide))
    killing = Killing(longest, times, seed=1)
    for _ in range(times):
        killing.start_and_kill(load, (address, wide))
        _sound(store)
    with store.reading() as work:
        revisions = work.catalogs.revisions("wide")
        last = work.catalogs.load(CatalogRef("wide", len(revisions)))
    assert [each.revision for each in revisions] == list(range(1, len(revisions) + 1))
    assert {revision.items for revision in revisions} == {ITEMS}, "each is whole"
    assert last == wide
    store.close()
    return killing.caught


def kills_during_issue(engine: str, folder: Path, times: int) -> int:
    """Issuing killed so many times; how many were caught in the middle."""
    store = copied_store(engine, folder, furnished)
    desk = desk_on(store)
    address = address_of(store.place)
    job = a_job(desk, *(f"M{number:03d}" for number in range(MARKS)))
    longest = seconds_of(issue, (address, job.label))
    killing = Killing(longest, times, seed=2)
    for number in range(times):
        # Only what differs from what was last issued is issued again.
        edit_job(desk, by(), job.label, {"site": f"Floor {number}"})
        killing.start_and_kill(issue, (address, job.label))
        _sound(store)
        with store.reading() as work:
            found = work.revisions.of_job(job.id)
        assert [row.number for row in found] == list(range(1, len(found) + 1))
        assert [row.state for row in found].count(State.ISSUED) == 1
        assert all(row.snapshot is not None for row in found)
    store.close()
    return killing.caught


def kills_during_an_upgrade(engine: str, folder: Path, times: int) -> int:
    """Upgrades with data killed so many times, each of a new store; how many in the middle."""
    first = _of_the_first_version(engine, _new(folder, "first"))
    longest = seconds_of(bring_up, (address_of(first),))
    first.close()
    killing = Killing(longest, times, seed=3)
    for number in range(times):
        place = _of_the_first_version(engine, _new(folder, f"store-{number}"))
        killing.start_and_kill(bring_up, (address_of(place),))
        with place.reading() as connection:
            found, _ = condition(connection)
        assert found in (Condition.OUTDATED, Condition.CURRENT), "all or nothing"
        upgrade(place)
        assert check_store(place).faults == ()
        with place.reading() as connection:
            kept = SqlCatalogs(connection).load(CatalogRef("quillmere", 1))
            assert kept == without_terms(sample("quillmere"))
        place.close()
    return killing.caught


def kills_during_a_restore(engine: str, folder: Path, times: int) -> int:
    """Restores killed so many times, of two backups by turns; how many were caught in the middle.

    The store holds the one or the other after each, whole, and can be written to.
    """
    backups = [_backup_of(folder, name, items) for name, items in (("few", 1_000), ("many", 2_000))]
    place = empty_place(engine, _new(folder, "target"))
    address = address_of(place)
    restore(backups[0], place, overwrite=False)
    states, longest = [], 0.0
    for backup in reversed(backups):
        longest = max(longest, seconds_of(restore_from, (address, str(backup))))
        states.append(contents(place))
    assert states[0] != states[1]
    killing = Killing(longest, times, seed=4)
    for _ in range(times):
        wanted = 0 if contents(place) == states[1] else 1
        killing.start_and_kill(restore_from, (address, str(backups[1 - wanted])))
        assert contents(place) in states, "the one or the other, and no mix"
        assert check_store(place).faults == ()
        with SqlStore(place).writing() as work:
            work.audit.add(AuditEntry(START, "odo", "tried", "job", "j", "j", None, None, ""))
    place.close()
    return killing.caught


def kills_during_picking(engine: str, folder: Path, times: int) -> int:
    """Work in the pick room killed so many times; how many were caught in the middle."""
    store = copied_store(engine, folder, furnished)
    desk = desk_on(store)
    label = accepted_quote(desk, [f"{number}" for number in range(4)], "Killed")
    release_order(desk, by(), label, ToldRelease())
    address = address_of(store.place)
    longest = seconds_of(work_at_random, (address, [label], 1, DEEDS))
    killing = Killing(longest, times, seed=5)
    for seed in range(times):
        killing.start_and_kill(work_at_random, (address, [label], seed, 50 * DEEDS))
        require_sound(store)
    _sound(store)
    store.close()
    return killing.caught


def contents(place: Place) -> str:
    """The digest of every row of every table."""
    made = sha256()
    with place.reading() as connection:
        for table in METADATA.sorted_tables:
            for row in connection.execute(select(table).order_by(*table.primary_key.columns)):
                made.update(repr(tuple(row)).encode())
    return made.hexdigest()


def _backup_of(folder: Path, name: str, items: int) -> Path:
    """A backup of a house with a catalogue of so many items and an issued quote of its own."""
    store = copied_store("sqlite", _new(folder, name), furnished)
    desk = desk_on(store)
    job = a_job(desk, "101", name=name)
    assert issue_quote(desk, by(), job.label).revision is not None
    with store.writing() as work:
        work.catalogs.put(wide_catalog(items), START, "odo")
        work.commit()
    back_up(store.place, folder / f"{name}.wholekit")
    store.close()
    return folder / f"{name}.wholekit"


def _of_the_first_version(engine: str, folder: Path) -> Place:
    """A store as the first version made it, with a catalogue in it."""
    place = empty_place(engine, folder)
    upgrade(place, to="0001")
    with place.writing() as connection:
        put_before_terms(connection, sample("quillmere"), START, "odo")
    return place


def _new(folder: Path, name: str) -> Path:
    made = folder / name
    made.mkdir()
    return made


def _sound(store: SqlStore) -> None:
    assert check_store(store.place).faults == ()


KINDS: dict[str, Callable[[str, Path, int], int]] = {
    "load": kills_during_a_load,
    "issue": kills_during_issue,
    "upgrade": kills_during_an_upgrade,
    "restore": kills_during_a_restore,
    "pick": kills_during_picking,
    "receive": kills_during_receiving,
}
