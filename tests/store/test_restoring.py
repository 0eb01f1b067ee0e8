"""Restoring while others read, write and restore too; backups of older versions and in a race."""

import os
import shutil
import sqlite3
import threading
import time
from contextlib import closing

import pytest
from sqlalchemy import text
from tests.support.databases import ENGINES, empty_place
from tests.support.deeds import address_of, desk_on, place_at, restore_from, run_together
from tests.support.house import sample
from tests.support.jobs import START, by, furnished, plain
from tests.support.kills import contents
from tests.support.older_stores import put_before_terms, without_terms

from wholekit.domain.errors import WholekitError
from wholekit.domain.quotes import AuditEntry, CatalogRef
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import job_contents
from wholekit.store import backup as backups
from wholekit.store.backup import back_up, restore
from wholekit.store.check import check_store
from wholekit.store.engine import sqlite_place
from wholekit.store.errors import StoreError
from wholekit.store.file_copy import COPYING
from wholekit.store.migrate import VERSIONS, Condition, condition, upgrade
from wholekit.store.new_file import LEFT_BEHIND
from wholekit.store.tables import METADATA
from wholekit.store.unit_of_work import SqlStore

ENTRY = AuditEntry(START, "odo", "tried", "job", "j", "j", None, None, "")


@pytest.fixture
def backup(filled, tmp_path):
    """A backup of it; the store has gone on since, by a catalogue and a third opening."""
    path = tmp_path / "kept.wholekit"
    back_up(filled.place, path)
    add_openings(desk_on(filled), by(), "1", [plain("103")])
    with filled.writing() as work:
        work.catalogs.put(sample("quillmere"), START, "odo")
        work.commit()
    return path


def test_who_began_to_read_before_a_restore_goes_on_seeing_what_was_there(filled, backup):
    job = job_contents(desk_on(filled), by(), "1").job.id
    with filled.reading() as work:
        entries = len(work.audit.of_job(job))
    other = place_at(address_of(filled.place))
    with filled.reading() as work:
        # The first question fixes the moment; the others are asked after the restore.
        assert [revision.catalog_id for revision in work.catalogs.current()] == [
            "quillmere",
            "tarrowby",
        ]
        restore(backup, other, overwrite=True)
        assert len(work.jobs.contents(job).openings) == 3
        assert work.catalogs.load(CatalogRef("quillmere", 1)) == sample("quillmere")
        assert len(work.audit.of_job(job)) == entries
        assert len(work.revisions.of_job(job)) == 1
    with filled.reading() as work:
        assert [revision.catalog_id for revision in work.catalogs.current()] == ["tarrowby"]
        assert len(work.jobs.contents(job).openings) == 2
    assert check_store(filled.place).faults == ()
    other.close()


def test_who_writes_during_restores_goes_on_or_is_told_and_nothing_is_mixed(filled, backup):
    stop = threading.Event()
    strange: list[Exception] = []
    desk = desk_on(filled)

    def write():
        number = 0
        while not stop.is_set():
            number += 1
            try:
                add_openings(desk, by(), "1", [plain(f"A{number}"), plain(f"B{number}")])
            except WholekitError:
                continue
            except Exception as error:  # noqa: BLE001  # the test tells it
                strange.append(error)

    writer = threading.Thread(target=write)
    writer.start()
    other = place_at(address_of(filled.place))
    try:
        for _ in range(3):
            restore(backup, other, overwrite=True)
            time.sleep(0.1)
            assert check_store(other).faults == ()
    finally:
        stop.set()
        writer.join()
    assert strange == []
    marks = [opening.mark for opening in job_contents(desk, by(), "1").openings]
    assert marks[:2] == ["101", "102"]
    assert "103" not in marks
    assert {mark[1:] for mark in marks if mark[0] == "A"} == {
        mark[1:] for mark in marks if mark[0] == "B"
    }
    assert check_store(filled.place).faults == ()
    other.close()


def test_a_restore_that_waits_too_long_for_a_writer_is_told(filled, backup, monkeypatch):
    monkeypatch.setattr("wholekit.store.engine.BUSY_SECONDS", 1)
    monkeypatch.setattr("wholekit.store.file_copy.BUSY_SECONDS", 1)
    before = contents(filled.place)
    other = place_at(address_of(filled.place))
    with filled.writing() as work:
        work.numbers.take("job")
        with pytest.raises(StoreError) as told:
            restore(backup, other, overwrite=True)
    assert told.value.code == "store-busy"
    assert contents(filled.place) == before
    other.close()


def test_a_file_of_another_log_mode_that_somebody_reads_is_told_as_busy(tmp_path, monkeypatch):
    """A backup copied into the store's place: its log mode can change only while nobody reads."""
    for module in ("engine", "migrate", "file_copy"):
        monkeypatch.setattr(f"wholekit.store.{module}.BUSY_SECONDS", 1)
    store = ENGINES["sqlite"](tmp_path)
    furnished(store)
    back_up(store.place, tmp_path / "kept")
    store.close()
    place = sqlite_place(tmp_path / "copied.sqlite3")
    shutil.copy(tmp_path / "kept", tmp_path / "copied.sqlite3")
    before = contents(place)
    with closing(sqlite3.connect(tmp_path / "copied.sqlite3")) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM customer").fetchone()
        with pytest.raises(StoreError) as told:
            restore(tmp_path / "kept", place, overwrite=True)
    assert told.value.code == "store-busy"
    assert contents(place) == before
    restore(tmp_path / "kept", place, overwrite=True)
    assert contents(place) == before
    place.close()


def test_of_several_restores_at_once_one_is_there_in_the_end_whole(filled, backup, tmp_path):
    later = tmp_path / "later.wholekit"
    back_up(filled.place, later)
    states = []
    for path in (later, backup):
        restore(path, filled.place, overwrite=True)
        states.append(contents(filled.place))
    at = address_of(filled.place)
    run_together([(restore_from, (at, str(path))) for path in (later, backup, later)])
    assert contents(filled.place) in states
    assert check_store(filled.place).faults == ()
    assert not [path.name for path in tmp_path.iterdir() if path.name.startswith(".")]


def test_a_store_filled_while_the_backup_is_read_is_not_replaced_unasked(engine, backup, tmp_path):
    folder = tmp_path / "new"
    folder.mkdir()
    place = empty_place(engine, folder)
    filled_by: list[str] = []

    def progress(what, _done, _total):
        if what == COPYING and not filled_by:
            filled_by.append("ines")
            other = SqlStore(place_at(address_of(place)))
            furnished(other)
            other.close()

    with pytest.raises(StoreError) as refused:
        restore(backup, place, overwrite=False, progress=progress)
    assert filled_by
    assert refused.value.code == "store-not-empty"
    with SqlStore(place).reading() as work:
        assert work.customers.get("saltmarsh") is not None
    place.close()


def test_a_restore_that_fails_at_its_end_leaves_the_store_fit_for_writing(
    filled, backup, monkeypatch
):
    """A counter of keys set back by what never happened would give keys that are taken."""
    before = contents(filled.place)

    def fail(*_given):
        raise StoreError("store-full", place="here")

    if filled.place.file is None:
        counted = backups._count_on

        def count_and_fail(written, table):
            counted(written, table)
            if table.name == "catalog_revision":
                counted(written, METADATA.tables["audit_entry"])
                fail()

        monkeypatch.setattr(backups, "_count_on", count_and_fail)
    else:
        monkeypatch.setattr(backups, "prepare_file", fail)
    with pytest.raises(StoreError):
        restore(backup, filled.place, overwrite=True)
    assert contents(filled.place) == before
    with filled.writing() as work:
        work.audit.add(ENTRY)
        work.catalogs.put(sample("averlund"), START, "odo")
        work.commit()
    assert check_store(filled.place).faults == ()


def test_a_new_file_made_by_a_restore_lets_readers_and_a_writer_work_at_once(tmp_path):
    store = ENGINES["sqlite"](tmp_path)
    furnished(store)
    back_up(store.place, tmp_path / "kept")
    store.close()
    place = sqlite_place(tmp_path / "new.sqlite3")
    restore(tmp_path / "kept", place, overwrite=False)
    with closing(sqlite3.connect(tmp_path / "new.sqlite3")) as connection:
        assert connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    place.close()


def test_what_a_killed_restore_left_is_taken_away_and_what_one_under_way_needs_is_not(tmp_path):
    store = ENGINES["sqlite"](tmp_path)
    furnished(store)
    back_up(store.place, tmp_path / "kept")
    left, needed = (tmp_path / f".wholekit.sqlite3.restoring.{name}.part" for name in ("a1", "b2"))
    for part in (left, needed):
        part.write_bytes(b"half")
    long_ago = time.time() - 2 * LEFT_BEHIND
    os.utime(left, (long_ago, long_ago))
    restore(tmp_path / "kept", store.place, overwrite=True)
    assert not left.exists()
    assert needed.read_bytes() == b"half"
    store.close()


def test_a_file_that_appears_during_a_backup_is_not_replaced(filled, tmp_path):
    path = tmp_path / "made"

    def progress(_what, _done, _total):
        path.write_text("dear to somebody")

    with pytest.raises(StoreError) as refused:
        back_up(filled.place, path, progress)
    assert refused.value.code == "backup-there"
    assert path.read_text() == "dear to somebody"


def test_a_store_of_any_version_is_backed_up_before_its_upgrade_as_it_is(engine, tmp_path):
    place = empty_place(engine, tmp_path)
    upgrade(place, to=VERSIONS[0])
    with place.writing() as connection:
        put_before_terms(connection, sample("quillmere"), START, "odo")
    for version in VERSIONS[:-1]:
        upgrade(place, to=version)
        back_up(place, tmp_path / version)
        copied = sqlite_place(tmp_path / version)
        for each in (place, copied):
            with each.reading() as connection:
                assert condition(connection) == (Condition.OUTDATED, version), "as it was"
        with copied.reading() as connection:
            ask = text("SELECT sku FROM catalog_item ORDER BY position")
            skus = connection.execute(ask).scalars().all()
            numbers = connection.execute(text("SELECT series, last FROM running_number")).all()
        assert skus == [item.sku for item in sample("quillmere").items], version
        assert [tuple(number) for number in numbers] == [("catalog/quillmere", 1)], version
        copied.close()
    upgrade(place)
    # A backup is upgraded on its own, before a byte of it reaches either engine.
    for version in VERSIONS[:-1] if place.file else VERSIONS[:-1:5]:
        restore(tmp_path / version, place, overwrite=True)
        with SqlStore(place).reading() as work:
            kept = work.catalogs.load(CatalogRef("quillmere", 1))
            assert kept == without_terms(sample("quillmere")), version
            assert work.stock.every_free(), "what the book says was entered by the upgrade"
        assert check_store(place).faults == (), version
    place.close()
