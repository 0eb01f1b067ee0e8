"""Is the store sound? The engine's own checks, every constraint anew, and every total re-added."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from sqlalchemy import CheckConstraint, Connection, Table, and_, func, select, text
from sqlalchemy.exc import DBAPIError

from wholekit.domain.quotes import digest, quote_label
from wholekit.store.engine import Place
from wholekit.store.errors import NO_TEXT, is_damage
from wholekit.store.migrate import require_current
from wholekit.store.progress import Progress, untold
from wholekit.store.stock_check import wrong_sums
from wholekit.store.tables import METADATA

REVISION = METADATA.tables["quote_revision"]
SNAPSHOT = METADATA.tables["quote_snapshot"]
LINE = METADATA.tables["quote_line"]
TOTAL = METADATA.tables["quote_total"]
CATALOG = METADATA.tables["catalog_revision"]
ITEM = METADATA.tables["catalog_item"]
JOB = METADATA.tables["job"]
PURCHASE = METADATA.tables["purchase_order"]
NUMBER = METADATA.tables["running_number"]
_NAMED = (REVISION.c.quote_number, REVISION.c.number)
_QUOTED = (TOTAL.c.hardware, TOTAL.c.extras, TOTAL.c.freight, TOTAL.c.net, TOTAL.c.gross)
_GUARDED = (
    "audit_entry",
    "quote_snapshot",
    "quote_line",
    "quote_total",
    "stock_movement",
    "bag_event",
    "purchase_receipt",
)


@dataclass(frozen=True, slots=True)
class StoreFault:
    """One thing that is not as it should be. code: see wording.store_faults."""

    code: str
    what: str


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What was looked at [rows by table], and what is wrong."""

    rows: dict[str, int]
    faults: tuple[StoreFault, ...]


def check_store(place: Place, progress: Progress = untold) -> CheckResult:
    """Check a store of this program's version. Raises StoreError."""
    require_current(place)
    rows: dict[str, int] = {}
    faults: list[StoreFault] = []
    with place.reading() as connection, _up_to_damage(faults):
        for table in METADATA.sorted_tables:
            count = select(func.count()).select_from(table)
            rows[table.name] = connection.execute(count).scalar_one()
        faults.extend(_faults(connection, rows, progress))
    return CheckResult(rows, tuple(faults))


def file_faults(place: Place) -> tuple[StoreFault, ...]:
    """What SQLite itself finds wrong with a file, whatever its version. Raises StoreError."""
    faults: list[StoreFault] = []
    with place.reading() as connection, _up_to_damage(faults):
        faults.extend(_integrity(connection))
        # Table, row, table referred to, number of the key: SQLite's manual, pragma.html.
        lost = connection.exec_driver_sql("PRAGMA foreign_key_check")
        faults.extend(StoreFault("orphans", f"{table}: {parent}") for table, _, parent, _ in lost)
    return tuple(dict.fromkeys(faults))


@contextmanager
def _up_to_damage(faults: list[StoreFault]) -> Iterator[None]:
    """Ends a search where the file cannot be read on; what was found before is kept, and says
    where."""
    try:
        yield
    except UnicodeDecodeError:
        faults.append(StoreFault("unreadable", NO_TEXT))
    except DBAPIError as error:
        if not is_damage(str(error.orig)):
            raise
        faults.append(StoreFault("unreadable", str(error.orig)))


def _integrity(connection: Connection) -> Iterator[StoreFault]:
    for (said,) in connection.exec_driver_sql("PRAGMA integrity_check"):
        if said != "ok":
            # One row may tell of several places, each on a line.
            yield StoreFault("integrity", " ".join(said.split()))


def _faults(
    connection: Connection, rows: dict[str, int], progress: Progress
) -> Iterator[StoreFault]:
    """Every fault; a table counts for its rows, and the other looks for as many together."""
    every = sum(rows.values())
    total, done = 2 * every, 0
    if connection.dialect.name == "sqlite":
        total, done = 3 * every, every
        yield from _integrity(connection)
    for table in METADATA.sorted_tables:
        progress(table.name, done, total)
        yield from _orphans(connection, table)
        yield from _broken_rules(connection, table)
        done += rows[table.name]
    looks = (_missing_guards, _catalogs, _snapshots, _totals, _numbers, _stock)
    for number, look in enumerate(looks):
        progress("contents", done + number * every // len(looks), total)
        yield from look(connection)
    progress("contents", total, total)


def _orphans(connection: Connection, table: Table) -> Iterator[StoreFault]:
    """Rows that refer to a row that is not there."""
    # SQLite leaves it to each connection whether keys are checked: another tool may not have.
    for key in table.foreign_key_constraints:
        parent = key.referred_table
        pairs = [(element.parent, element.column) for element in key.elements]
        lost = connection.execute(
            select(func.count())
            .select_from(table.join(parent, and_(*(a == b for a, b in pairs)), isouter=True))
            .where(pairs[0][1].is_(None))
        ).scalar_one()
        if lost:
            yield StoreFault("orphans", f"{table.name}.{pairs[0][0].name}: {lost}")


def _broken_rules(connection: Connection, table: Table) -> Iterator[StoreFault]:
    for rule in table.constraints:
        if isinstance(rule, CheckConstraint):
            # A rule that is neither true nor false, for a NULL, is kept: both engines let that in.
            broken = connection.execute(
                select(func.count()).select_from(table).where(text(f"NOT ({rule.sqltext})"))
            ).scalar_one()
            if broken:
                yield StoreFault("rule-broken", f"{table.name} {rule.sqltext}: {broken}")


def _missing_guards(connection: Connection) -> Iterator[StoreFault]:
    """The triggers that keep what is never changed."""
    if connection.dialect.name == "sqlite":
        found = connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'")
    else:
        found = connection.exec_driver_sql(
            # O: fires as usual. A guard that somebody switched off guards nothing.
            "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgenabled = 'O'"
        )
    there = {name for (name,) in found}
    wanted = {f"keep_{table}_{event}" for table in _GUARDED for event in ("update", "delete")}
    wanted |= {"keep_quote_revision_update", "keep_quote_revision_delete"}
    for name in sorted(wanted - there):
        yield StoreFault("guard-missing", name)


def _catalogs(connection: Connection) -> Iterator[StoreFault]:
    said = (CATALOG.c.catalog_id, CATALOG.c.revision, CATALOG.c["items"])
    found = connection.execute(
        select(*said, func.count(ITEM.c.sku))
        .select_from(CATALOG.join(ITEM, ITEM.c.revision_id == CATALOG.c.id, isouter=True))
        .group_by(CATALOG.c.id, *said)
    )
    for catalog_id, revision, items, there in found:
        if items != there:
            yield StoreFault("items-missing", f"{catalog_id} {revision}: {there} of {items}")


def _snapshots(connection: Connection) -> Iterator[StoreFault]:
    """Issued revisions have a snapshot, as it was issued, and its totals are the table's."""
    columns = [REVISION.c.id, *_NAMED, REVISION.c.snapshot_digest, SNAPSHOT.c.data, *_QUOTED]
    found = connection.execute(
        select(*columns)
        .select_from(REVISION)
        .join(SNAPSHOT, SNAPSHOT.c.revision_id == REVISION.c.id, isouter=True)
        .join(
            TOTAL, and_(TOTAL.c.revision_id == REVISION.c.id, TOTAL.c.alternate == ""), isouter=True
        )
        .where(REVISION.c.state != "draft")
    )
    for row in found:
        label = _label(row.quote_number, row.number)
        if row.data is None or row.net is None:
            yield StoreFault("snapshot-missing", label)
            continue
        if digest(row.data) != row.snapshot_digest:
            yield StoreFault("snapshot-changed", label)
            continue
        stored = json.loads(row.data)
        # The first format had no offer in it: what is one now stood at its top.
        stored = stored.get("offer", stored)
        totals = stored["totals"]
        for alternate in stored["alternates"]:
            hardware = alternate["totals"]["hardware"]["minor"]
            yield from _alternate(
                connection, row.id, label, alternate["code"], alternate["deducts"], hardware
            )
        for name in ("hardware", "extras", "freight", "net", "gross"):
            if totals[name]["minor"] != getattr(row, name):
                yield StoreFault("total-differs", f"{label} {name}")


def _totals(connection: Connection) -> Iterator[StoreFault]:
    """Hardware and extras, added up by the database from the lines; net or gross from those.

    Freight follows from the place, not from a line; it is held against the snapshot instead.
    """
    for part, column in (("opening", TOTAL.c.hardware), ("extra", TOTAL.c.extras)):
        lines = (
            select(LINE.c.revision_id, func.sum(LINE.c.total).label("added"))
            .where(LINE.c.part == part, LINE.c.alternate == "")
            .group_by(LINE.c.revision_id)
            .subquery()
        )
        added = func.coalesce(lines.c.added, 0)
        found = connection.execute(
            select(*_NAMED, column, added)
            .select_from(
                TOTAL.join(REVISION, REVISION.c.id == TOTAL.c.revision_id).join(
                    lines, lines.c.revision_id == TOTAL.c.revision_id, isouter=True
                )
            )
            .where(TOTAL.c.alternate == "", column != added)
        )
        for quote, number, said, there in found:
            what = f"{_label(quote, number)} {part}: {said}, lines {there}"
            yield StoreFault("total-differs", what)
    parts = TOTAL.c.hardware + TOTAL.c.extras + TOTAL.c.freight
    wrong = connection.execute(
        # The parts are net where tax comes on top, and gross where prices contain it.
        select(*_NAMED, TOTAL.c.alternate)
        .select_from(TOTAL.join(REVISION, REVISION.c.id == TOTAL.c.revision_id))
        .where(parts.not_in((TOTAL.c.net, TOTAL.c.gross)))
    )
    for quote, number, alternate in wrong:
        what = f"{_label(quote, number)} {alternate or 'base bid'}: net and gross"
        yield StoreFault("total-differs", what)


def _alternate(
    connection: Connection, revision: str, label: str, code: str, deducts: list[str], said: int
) -> Iterator[StoreFault]:
    """An alternate's hardware: its own lines less those of the base marks it takes out."""
    own = LINE.c.alternate == code
    out = (LINE.c.alternate == "") & LINE.c.mark.in_(deducts)
    added, taken = (
        connection.execute(
            select(func.coalesce(func.sum(LINE.c.total), 0)).where(
                LINE.c.revision_id == revision, LINE.c.part == "opening", which
            )
        ).scalar_one()
        for which in (own, out)
    )
    if added - taken != said:
        yield StoreFault("total-differs", f"{label} {code}: {said}, lines {added - taken}")


def _label(quote: int, revision: int) -> str:
    """A revision as people name it."""
    return f"{quote_label(quote)}/{revision}"


def _numbers(connection: Connection) -> Iterator[StoreFault]:
    """Running numbers without gaps or repeats."""
    counted = {
        "job": select(func.count(), func.coalesce(func.max(JOB.c.number), 0)),
        "quote": select(
            func.count(REVISION.c.quote_number.distinct()),
            func.coalesce(func.max(REVISION.c.quote_number), 0),
        ).where(REVISION.c.quote_number > 0),
        "purchase-order": select(func.count(), func.coalesce(func.max(PURCHASE.c.number), 0)),
    }
    for series, wanted in counted.items():
        count, highest = connection.execute(wanted).one()
        last = connection.execute(select(NUMBER.c.last).where(NUMBER.c.series == series)).scalar()
        if not count == highest == (last or 0):
            yield StoreFault(
                "number-gap", f"{series}: {count} used, highest {highest}, last {last}"
            )


def _stock(connection: Connection) -> Iterator[StoreFault]:
    """What is kept of stock is what its movements add up to."""
    for what in wrong_sums(connection):
        yield StoreFault("stock-differs", what)
