"""A damaged backup costs nobody a store: it is refused, and the store stays as it is."""

import random
import sqlite3
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.support.databases import ENGINES, empty_place
from tests.support.deeds import desk_on
from tests.support.jobs import a_job, by, furnished, plain
from tests.support.kills import contents

from wholekit.domain.errors import CallError
from wholekit.services.job_openings import add_openings
from wholekit.services.quotes import issue_quote
from wholekit.services.store_copies import allow_copy
from wholekit.store.backup import back_up, restore
from wholekit.store.check import check_store
from wholekit.store.checked_copy import Checked
from wholekit.store.engine import sqlite_place
from wholekit.store.errors import StoreError
from wholekit.store.migrate import VERSIONS, upgrade
from wholekit.store.seal import Seal
from wholekit.store.unit_of_work import SqlStore
from wholekit.wording.errors import say_error

# The line that ends a sealed backup: a line break, words, 64 signs of the sum, a line break.
SEAL = len(b"\nwholekit backup sha256 \n") + 64


@dataclass(frozen=True)
class House:
    """A store that has gone on since its backup, and what either holds."""

    file: Path
    backup: bytes
    then: str
    now: str


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    folder = tmp_path_factory.mktemp("house")
    store = ENGINES["sqlite"](folder)
    furnished(store)
    desk = desk_on(store)
    assert issue_quote(desk, by(), a_job(desk, "101", "102").label).revision is not None
    assert back_up(store.place, folder / "kept") == ()
    then = contents(store.place)
    add_openings(desk, by(), "1", [plain("103")])
    now = contents(store.place)
    store.close()
    return House(folder / "wholekit.sqlite3", (folder / "kept").read_bytes(), then, now)


def told(refused: pytest.ExceptionInfo[StoreError]) -> tuple[tuple[str, str], ...]:
    """The faults that a refusal tells, each a code and what it is about."""
    faults = refused.value.fields["faults"]
    assert isinstance(faults, tuple)
    return faults


def unsealed(backup):
    """The same backup as one of before backups were sealed."""
    # Bytes 60 to 63 of an SQLite header are `user_version` (fileformat2.html, 1.3).
    return backup[:60] + bytes(4) + backup[64:-SEAL]


@given(
    place=st.floats(0, 1, exclude_max=True),
    length=st.sampled_from([1, 2, 16, 300, 5_000]),
    change=st.integers(1, 255),
    cut=st.booleans(),
)
@example(place=0, length=16, change=1, cut=False)  # no SQLite file any more
@example(place=0.0002, length=1, change=1, cut=False)  # the header's number that says "sealed"
@example(place=0.9999, length=1, change=1, cut=False)  # the sum itself
@example(place=0, length=1, change=1, cut=True)  # nothing left
@settings(max_examples=30)
def test_bytes_changed_or_lost_anywhere_are_refused_and_the_store_is_as_it_was(
    house, place, length, change, cut
):
    at = int(place * len(house.backup))
    wrong = bytearray(house.backup)
    if cut:
        del wrong[at:]
    else:
        for number in range(at, min(at + length, len(wrong))):
            wrong[number] ^= change
    damaged = house.file.with_name("damaged")
    damaged.write_bytes(wrong)
    before = house.file.read_bytes()
    here = sqlite_place(house.file)
    with pytest.raises(StoreError) as refused:
        restore(damaged, here, overwrite=True)
    here.close()
    assert refused.value.code in ("backup-faulty", "backup-broken", "backup-foreign")
    said = say_error(refused.value)
    assert str(damaged) in said
    assert "Nothing was changed" in said
    assert house.file.read_bytes() == before
    assert {path.name for path in house.file.parent.iterdir()} == {
        house.file.name,
        "kept",
        damaged.name,
    }


def test_a_file_cut_of_its_seal_alone_is_not_taken_for_an_older_backup(house, tmp_path):
    for end in (SEAL, 1):
        cut = tmp_path / f"cut-{end}"
        cut.write_bytes(house.backup[:-end])
        with pytest.raises(StoreError) as refused:
            restore(cut, empty_place("sqlite", tmp_path), overwrite=False)
        assert [code for code, _ in told(refused)] == ["seal-missing"]
    assert not (tmp_path / "empty.sqlite3").exists()


@pytest.mark.parametrize("engine", sorted(ENGINES))
def test_a_damaged_backup_is_refused_by_either_engine_and_restored_with_its_faults_at_a_word(
    house, engine, tmp_path
):
    """A letter of an issued quote: no rule of the tables is broken, only sum and digest tell."""
    damaged = tmp_path / "damaged"
    at = house.backup.index(b"Heron Quay", house.backup.index(b'"offer"'))
    damaged.write_bytes(house.backup[:at] + b"X" + house.backup[at + 1 :])
    place = empty_place(engine, tmp_path)
    good = tmp_path / "good"
    good.write_bytes(house.backup)
    assert restore(good, place, overwrite=False).seal is Seal.RIGHT
    assert contents(place) == house.then
    with pytest.raises(StoreError) as refused:
        restore(damaged, place, overwrite=True)
    assert refused.value.code == "backup-faulty"
    assert ("snapshot-changed", "Q-00001/1") in told(refused)
    assert "Q-00001/1" in say_error(refused.value)
    assert contents(place) == house.then
    found = restore(damaged, place, overwrite=True, with_faults=True)
    assert [fault.code for fault in found.faults] == ["seal-wrong", "snapshot-changed"]
    assert [fault.code for fault in check_store(place).faults] == ["snapshot-changed"]
    place.close()


def test_an_older_backup_without_a_sum_is_told_as_such_and_checked_all_the_same(house, tmp_path):
    older = tmp_path / "older"
    older.write_bytes(unsealed(house.backup))
    place = empty_place("sqlite", tmp_path)
    assert restore(older, place, overwrite=False) == Checked(Seal.NONE, ())
    assert contents(place) == house.then
    draw = random.Random(6)
    outcomes: set[str] = set()
    tries = 0
    # Most of a small store's pages are free space, where a changed byte changes nothing.
    while tries < 8 or ("backup-faulty" not in outcomes and tries < 80):
        tries += 1
        wrong = bytearray(unsealed(house.backup))
        at = draw.randrange(len(wrong))
        wrong[at : at + 8] = draw.randbytes(len(wrong[at : at + 8]))
        older.write_bytes(wrong)
        try:
            restore(older, place, overwrite=True)
            assert check_store(place).faults == (), "what is taken is consistent"
            outcomes.add("taken")
            older.write_bytes(house.backup)
            restore(older, place, overwrite=True)
        except StoreError as refused:
            outcomes.add(refused.code)
            assert contents(place) == house.then
    assert "backup-faulty" in outcomes


def test_a_copy_of_the_stores_own_file_is_restored_with_what_its_log_holds(house, tmp_path):
    live = SqlStore(sqlite_place(tmp_path / "live.sqlite3"))
    restore_into = empty_place("sqlite", tmp_path)
    furnished(live)
    assert (tmp_path / "live.sqlite3-wal").stat().st_size > 0
    assert restore(tmp_path / "live.sqlite3", restore_into, overwrite=False).seal is Seal.NONE
    assert contents(restore_into) == contents(live.place)
    live.close()


def test_a_backup_of_a_store_with_faults_is_made_and_says_so(house, tmp_path):
    store = ENGINES["sqlite"](tmp_path)
    furnished(store)
    with closing(sqlite3.connect(tmp_path / "wholekit.sqlite3")) as past:
        past.execute("INSERT INTO running_number VALUES ('job', 9)")
        past.commit()
    assert [fault.code for fault in back_up(store.place, tmp_path / "kept")] == ["number-gap"]
    with pytest.raises(StoreError) as refused:
        restore(tmp_path / "kept", store.place, overwrite=True)
    assert [code for code, _ in told(refused)] == ["number-gap"]
    store.close()


def owner(name):
    return lambda work: allow_copy(work, by(name))


@pytest.mark.parametrize(
    ("engine", "version"),
    # What is asked is the same of either engine: a few versions show that the other answers it.
    [("sqlite", each) for each in VERSIONS[1:-1]]
    + [("postgresql", each) for each in VERSIONS[1:-1:6]],
)
def test_the_people_of_a_store_of_an_older_version_are_asked_too(engine, version, tmp_path):
    place = empty_place(engine, tmp_path)
    upgrade(place, to=version)
    with place.writing() as connection:
        connection.exec_driver_sql(
            "INSERT INTO person (name, role, full_name, version)"
            " VALUES ('odo', 'owner', '', 1), ('ines', 'counter', '', 1)"
        )
    for deed in (
        lambda: back_up(place, tmp_path / "kept", allow=owner("ines")),
        lambda: restore(tmp_path / "none", place, overwrite=True, allow=owner("ines")),
        lambda: restore(tmp_path / "none", place, overwrite=True, allow=owner("carl")),
    ):
        with pytest.raises(CallError) as refused:
            deed()
        assert refused.value.code in ("owner-needed", "person-unknown")
    assert not (tmp_path / "kept").exists()
    back_up(place, tmp_path / "kept", allow=owner("odo"))
    restore(tmp_path / "kept", place, overwrite=True, allow=owner("odo"))
    with SqlStore(place).reading() as work:
        assert [person.name for person in work.people.all()] == ["ines", "odo"]
    place.close()


@pytest.mark.parametrize("engine", sorted(ENGINES))
def test_who_loses_the_right_while_the_backup_is_read_replaces_nothing(engine, house, tmp_path):
    (tmp_path / "kept").write_bytes(house.backup)
    place = empty_place(engine, tmp_path)
    restore(tmp_path / "kept", place, overwrite=False)
    add_openings(desk_on(SqlStore(place)), by(), "1", [plain("104")])
    before = contents(place)
    asked = []

    def allow(work):
        asked.append(len(work.people.all()))
        if len(asked) > 1:
            raise CallError("owner-needed", who="odo", what="copy-store")

    with pytest.raises(CallError):
        restore(tmp_path / "kept", place, overwrite=True, allow=allow)
    assert asked == [2, 2]
    assert contents(place) == before
    place.close()


def test_in_the_place_of_a_damaged_store_the_backups_people_are_asked(house, tmp_path):
    (tmp_path / "kept").write_bytes(house.backup)
    file = tmp_path / "wholekit.sqlite3"
    file.write_bytes(b"x" * 4_096 + house.backup[4_096:])
    log = tmp_path / "wholekit.sqlite3-wal"
    log.write_bytes(b"what was a log")
    broken = file.read_bytes()
    with pytest.raises(CallError) as refused:
        restore(tmp_path / "kept", sqlite_place(file), overwrite=True, allow=owner("ines"))
    assert refused.value.code == "owner-needed"
    assert file.read_bytes() == broken
    place = sqlite_place(file)
    restore(tmp_path / "kept", place, overwrite=True, allow=owner("odo"))
    assert contents(place) == house.then
    place.close()
    assert (tmp_path / "wholekit.sqlite3.damaged").read_bytes() == broken
    with suppress(FileNotFoundError):
        assert log.read_bytes() != b"what was a log"
