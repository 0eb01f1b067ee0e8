"""Backups and what is made from them, and what the check finds."""

import sqlite3
import threading

import pytest
from sqlalchemy import text
from tests.support.databases import ENGINES, empty_place
from tests.support.deeds import desk_on
from tests.support.house import sample
from tests.support.jobs import a_job, by, frozen, furnished, plain

from wholekit.domain.quantities import Money
from wholekit.domain.quotes import CatalogRef
from wholekit.domain.tax import FreightRate, LineKind, ShipTo
from wholekit.services.customers import set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import edit_job, job_contents
from wholekit.services.quote_reading import issued_whole
from wholekit.services.quotes import issue_quote
from wholekit.store.backup import back_up, restore
from wholekit.store.check import check_store
from wholekit.store.engine import sqlite_place
from wholekit.store.errors import StoreError
from wholekit.store.unit_of_work import SqlStore


@pytest.mark.parametrize("target", sorted(ENGINES))
def test_a_backup_restores_into_either_engine_with_everything_in_it(filled, target, tmp_path):
    backup = tmp_path / "kept.wholekit"
    back_up(filled.place, backup)
    folder = tmp_path / "new"
    folder.mkdir()
    place = empty_place(target, folder)
    restore(backup, place, overwrite=False)
    made = SqlStore(place)
    assert check_store(place).rows == check_store(filled.place).rows
    assert check_store(place).faults == ()
    desk, old = desk_on(made), desk_on(filled)
    assert issued_whole(desk, by("odo"), "Q-1/1") == issued_whole(old, by("odo"), "Q-1/1")
    assert job_contents(desk, by(), "1") == job_contents(old, by(), "1")
    with made.reading() as work:
        assert work.catalogs.load(CatalogRef("tarrowby", 1)) == sample("tarrowby")
    # Running numbers and keys go on where they were.
    job = a_job(desk, "103", name="The next")
    assert job.number == 2
    issued = issue_quote(desk, by(), job.label).revision
    assert issued is not None
    assert issued.label == "Q-00002/1"
    made.close()


def test_a_backup_is_one_consistent_file_while_others_write(filled, tmp_path):
    desk = desk_on(filled)
    stop = threading.Event()

    def write():
        number = 0
        while not stop.is_set():
            number += 1
            add_openings(desk, by(), "1", [plain(f"A{number}"), plain(f"B{number}")])

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for number in range(3):
            backup = tmp_path / f"{number}.wholekit"
            back_up(filled.place, backup)
            copied = sqlite_place(backup)
            assert check_store(copied).faults == ()
            with copied.reading() as connection:
                count = connection.execute(
                    text("SELECT count(*) FROM job_opening WHERE mark LIKE 'A%'")
                ).scalar()
                pairs = connection.execute(
                    text("SELECT count(*) FROM job_opening WHERE mark LIKE 'B%'")
                ).scalar()
            assert count == pairs, "what was added together is there together"
            copied.close()
    finally:
        stop.set()
        writer.join()
    assert not [path for path in tmp_path.iterdir() if ".part" in path.name]


def test_restoring_refuses_a_store_with_data_until_it_is_told(filled, tmp_path):
    backup = tmp_path / "kept.wholekit"
    back_up(filled.place, backup)
    desk = desk_on(filled)
    add_openings(desk, by(), "1", [plain("103")])
    with pytest.raises(StoreError) as refused:
        restore(backup, filled.place, overwrite=False)
    assert refused.value.code == "store-not-empty"
    assert len(job_contents(desk, by(), "1").openings) == 3
    restore(backup, filled.place, overwrite=True)
    assert len(job_contents(desk, by(), "1").openings) == 2
    assert check_store(filled.place).faults == ()


def test_a_backup_never_replaces_a_file(filled, tmp_path):
    kept = tmp_path / "kept"
    kept.write_text("dear to somebody")
    with pytest.raises(StoreError) as refused:
        back_up(filled.place, kept)
    assert refused.value.code == "backup-there"
    assert kept.read_text() == "dear to somebody"


def test_what_is_no_backup_is_refused_and_changes_nothing(filled, tmp_path):
    wrong = tmp_path / "wrong"
    for content in (b"", b"no database at all, but long enough to look like one"):
        wrong.write_bytes(content)
        with pytest.raises(StoreError) as refused:
            restore(wrong, filled.place, overwrite=True)
        assert refused.value.code == "backup-foreign"
        assert wrong.read_bytes() == content
    assert len(job_contents(desk_on(filled), by(), "1").openings) == 2


def test_another_programs_database_is_no_backup_and_no_store(filled, tmp_path):
    other = tmp_path / "other.sqlite3"
    with sqlite3.connect(other) as connection:
        connection.execute("CREATE TABLE recipe (name TEXT)")
    before = other.read_bytes()
    with pytest.raises(StoreError) as refused:
        restore(other, filled.place, overwrite=True)
    assert refused.value.code == "backup-foreign"
    with pytest.raises(StoreError) as refused:
        SqlStore(sqlite_place(other))
    assert refused.value.code == "store-foreign"
    assert other.read_bytes() == before


def test_a_damaged_file_is_told_put_aside_and_replaced_by_the_backup(tmp_path):
    store = ENGINES["sqlite"](tmp_path)
    furnished(store)
    back_up(store.place, tmp_path / "kept")
    store.close()
    file = tmp_path / "wholekit.sqlite3"
    data = bytearray(file.read_bytes())
    data[0:100] = b"x" * 100
    file.write_bytes(data)
    with pytest.raises(StoreError) as refused:
        SqlStore(sqlite_place(file))
    assert refused.value.code == "store-broken"
    with pytest.raises(StoreError) as refused:
        restore(tmp_path / "kept", sqlite_place(file), overwrite=False)
    assert refused.value.code == "store-not-empty"
    restore(tmp_path / "kept", sqlite_place(file), overwrite=True)
    assert check_store(sqlite_place(file)).faults == ()
    assert file.with_name(file.name + ".damaged").read_bytes() == bytes(data)


def _without_guards(store, table, *statements):
    """Change rows as somebody would who goes past the program."""
    kept = []
    with store.place.writing() as connection:
        if store.place.file is None:
            connection.execute(text(f"ALTER TABLE {table} DISABLE TRIGGER USER"))
        else:
            kept += connection.execute(
                text("SELECT name, sql FROM sqlite_master WHERE type='trigger' AND tbl_name=:t"),
                {"t": table},
            ).all()
            for name, _ in kept:
                connection.execute(text(f"DROP TRIGGER {name}"))
        for statement in statements:
            connection.execute(text(statement))
        if store.place.file is None:
            connection.execute(text(f"ALTER TABLE {table} ENABLE TRIGGER USER"))
        else:
            for _, sql in kept:
                connection.exec_driver_sql(sql)


@pytest.mark.parametrize(
    ("table", "statement", "code"),
    [
        ("quote_line", "UPDATE quote_line SET unit = 0, total = 0", "total-differs"),
        ("quote_total", "UPDATE quote_total SET net = net + 1, gross = gross + 1", "total-differs"),
        ("quote_snapshot", "UPDATE quote_snapshot SET data = replace(data, 'Heron', 'Hero')",
         "snapshot-changed"),
        ("quote_snapshot", "DELETE FROM quote_snapshot", "snapshot-missing"),
        ("running_number", "UPDATE running_number SET last = 9 WHERE series = 'quote'",
         "number-gap"),
        ("catalog_item", "DELETE FROM catalog_item WHERE position = 3", "items-missing"),
    ],
)  # fmt: skip
def test_the_check_finds_what_was_changed_past_the_program(filled, table, statement, code):
    _without_guards(filled, table, statement)
    assert code in {fault.code for fault in check_store(filled.place).faults}


def test_the_check_takes_freight_for_no_line_and_names_the_quote(store):
    furnished(store)
    desk = desk_on(store)
    set_ship_to(
        desk, by(), ShipTo("port", "Port", freights=(FreightRate("freight", Money(4_500, "USD")),))
    )
    for mark in ("101", "102"):
        job = a_job(desk, mark)
        edit_job(desk, by(), job.label, {"ship_to": "port"})
        add_extra(desk, by(), job.label, NewExtra(LineKind.LABOUR, "Fitting", 2, Money(1, "USD")))
        assert issue_quote(desk, by(), job.label).revision is not None
    assert frozen(issued_whole(desk, by("odo"), "Q-2")).offer.totals.freight == Money(4_500, "USD")
    assert check_store(store.place).faults == ()
    _without_guards(
        store, "quote_total",
        "UPDATE quote_total SET freight = freight + 1 WHERE revision_id ="
        " (SELECT id FROM quote_revision WHERE quote_number = 2)",
    )  # fmt: skip
    faults = check_store(store.place).faults
    assert {fault.code for fault in faults} == {"total-differs"}
    assert {fault.what.split()[0] for fault in faults} == {"Q-00002/1"}


def test_the_check_misses_no_guard(filled):
    with filled.place.writing() as connection:
        if filled.place.file is None:
            connection.execute(
                text("ALTER TABLE audit_entry DISABLE TRIGGER keep_audit_entry_update")
            )
        else:
            connection.execute(text("DROP TRIGGER keep_audit_entry_update"))
    found = check_store(filled.place).faults
    assert [(fault.code, fault.what) for fault in found] == [
        ("guard-missing", "keep_audit_entry_update")
    ]


def test_what_was_issued_and_what_was_done_cannot_be_edited_even_by_sql(filled):
    for statement in (
        "UPDATE audit_entry SET who = 'nobody'",
        "DELETE FROM audit_entry",
        "UPDATE quote_snapshot SET data = '{}'",
        "DELETE FROM quote_line",
        "UPDATE quote_total SET net = 0",
        "UPDATE quote_revision SET quote_number = 7",
        "UPDATE quote_revision SET state = 'draft'",
        "UPDATE quote_revision SET valid_until = NULL",
        "DELETE FROM quote_revision",
    ):
        with pytest.raises(Exception, match="kept as it is"), filled.place.writing() as connection:
            connection.execute(text(statement))
    assert check_store(filled.place).faults == ()


def test_the_totals_of_issued_revisions_are_the_sum_of_their_lines_by_sql(filled):
    desk = desk_on(filled)
    again = plain("104", 3)
    add_openings(desk, by(), "1", [again])
    assert issue_quote(desk, by(days=1), "1").revision is not None
    with filled.place.reading() as connection:
        found = connection.execute(
            text(
                "SELECT r.number, t.net, sum(l.unit * l.quantity * l.openings)"
                " FROM quote_revision r"
                " JOIN quote_total t ON t.revision_id = r.id AND t.alternate = ''"
                " JOIN quote_line l ON l.revision_id = r.id AND l.alternate = ''"
                " GROUP BY r.number, t.net ORDER BY r.number"
            )
        ).all()
    assert len(found) == 2
    for number, net, added in found:
        snapshot = issued_whole(desk, by("odo"), f"Q-1/{number}").snapshot
        assert snapshot is not None
        assert net == added == snapshot.offer.totals.net.minor
