"""Orders of the pick room with their bags, and what happened to each bag."""

from collections.abc import Collection, Mapping, Sequence
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    func,
    null,
    select,
    union_all,
)

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.domain.orders import BagState, Order, ReleasedBag, Shipment
from wholekit.domain.picking import (
    RECORD_KINDS,
    BagDemand,
    BagEvent,
    BagRecord,
    BagUnpacked,
    ScanNotCounted,
)
from wholekit.services.order_port import BagFilter, OrderFilter, OrderSummary, WholeBag
from wholekit.services.paging import Page
from wholekit.store import bulk, rows
from wholekit.store.bag_questions import (
    BAG,
    BAG_COLUMNS,
    EVENT,
    KNOWN,
    NEED,
    NEEDED,
    NOTHING,
    WHAT_HAPPENED,
    WHOLE,
    WHOLE_HELD,
)
from wholekit.store.order_rows import (
    COUNTING,
    UNPACKED,
    bag_of,
    bag_row,
    event_of,
    need_rows,
    order_of,
    order_values,
    record_values,
    shipment_of,
    since_unpacked,
)
from wholekit.store.plain_text import from_text, shared, to_text
from wholekit.store.stock_rows import found_in
from wholekit.store.tables import METADATA

ORDER = METADATA.tables["released_order"]
SHIPMENT = METADATA.tables["shipment"]
JOB = METADATA.tables["job"]
# Its key stays, so that rows which refer to it need not wait.
_HELD_ORDER = select(ORDER).with_for_update(key_share=True)
# What is refused may be scanned again under its id, and count then.
_REFUSED = "refused/"
_NEED_COLUMNS = ("bag_id", "supplier", "sku", "packs")


class SqlOrders:
    """The orders of one unit of work."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, order: Order) -> None:
        """A new order. Raises ConflictError (`order-released`)."""
        if not rows.add_unless_taken(self._connection, ORDER, order_values(order)):
            raise ConflictError("order-released", label=order.label)

    def get(self, order_id: str) -> Order | None:
        """The order, or None."""
        return self._order(select(ORDER).where(ORDER.c.id == order_id))

    def several(self, order_ids: Collection[str]) -> Mapping[str, Order]:
        """Orders by id; those that are not there are left out."""
        found = self._connection.execute(select(ORDER).where(ORDER.c.id.in_(order_ids)))
        return {row.id: order_of(row) for row in found}

    def for_change(self, order_id: str) -> Order | None:
        """The order, held for this unit of work; its bags belong to it."""
        return self._order(_HELD_ORDER.where(ORDER.c.id == order_id))

    def of_job(self, job_id: str) -> Sequence[Order]:
        """Every order of a job by quote and revision."""
        found = self._connection.execute(
            select(ORDER).where(ORDER.c.job_id == job_id).order_by(ORDER.c.quote, ORDER.c.revision)
        )
        return tuple(map(order_of, found))

    def save(self, order: Order, expected: int) -> None:
        """An order anew. Raises ConflictError."""
        rows.save(self._connection, ORDER, ORDER.c.id, order_values(order), expected, "order")

    def page(self, wanted: OrderFilter, page: Page) -> tuple[Sequence[OrderSummary], int]:
        """Orders with how many of their bags stand where, and how many orders there are in all."""
        where: list[ColumnElement[bool]] = [ORDER.c.cancelled_at.is_(None)]
        undone = BAG.c.state.not_in([BagState.SHIPPED.value, BagState.CANCELLED.value])
        if wanted.branch:
            where.append(ORDER.c.branch == wanted.branch)
        stands = select(BAG.c.id).where(BAG.c.order_id == ORDER.c.id, undone).exists()
        if wanted.gone:
            where.append(~stands)
        elif not wanted.all:
            where.append(stands)
        latest = (ORDER.c.released_at.desc(), ORDER.c.id) if wanted.gone else ()
        total = self._connection.execute(
            select(func.count()).select_from(ORDER).where(*where)
        ).scalar_one()
        found = self._connection.execute(
            select(ORDER, JOB.c.name.label("job_name"))
            .join(JOB, JOB.c.id == ORDER.c.job_id)
            .where(*where)
            .order_by(
                *latest,
                ORDER.c.priority.desc(),
                ORDER.c.promised_on.is_(None),
                ORDER.c.promised_on,
                ORDER.c.released_at,
                ORDER.c.id,
            )
            .limit(page.limit)
            .offset(page.offset)
        ).all()
        counts: dict[str, dict[BagState, int]] = {row.id: {} for row in found}
        for row in self._connection.execute(
            select(BAG.c.order_id, BAG.c.state, func.count().label("bags"))
            .where(BAG.c.order_id.in_(counts))
            .group_by(BAG.c.order_id, BAG.c.state)
        ):
            counts[row.order_id][BagState(row.state)] = row.bags
        return [OrderSummary(order_of(row), row.job_name, counts[row.id]) for row in found], total

    def add_bags(self, bags: Sequence[ReleasedBag], demands: Mapping[str, BagDemand]) -> None:
        """New bags, with what must be in each, by id. Raises ConflictError for an id there is."""
        taken = self._connection.execute(
            select(BAG.c.id).where(BAG.c.id.in_([bag.id for bag in bags]))
        ).first()
        if taken is not None:
            raise ConflictError("bag-there", bag=taken.id)
        bulk.insert(
            self._connection,
            BAG,
            (*BAG_COLUMNS, "demand"),
            ((*bag_row(bag), to_text(demands[bag.id])) for bag in bags),
        )
        bulk.insert(self._connection, NEED, _NEED_COLUMNS, need_rows(bags))

    def bag(self, bag_id: str) -> ReleasedBag | None:
        """The bag of an id, or None."""
        return next(iter(self._bags([BAG.c.id == bag_id])), None)

    def bag_for_change(self, bag_id: str) -> ReleasedBag | None:
        """The bag, held for this unit of work."""
        whole = self.whole(bag_id, held=True)
        return None if whole is None else whole.row

    def hold_bags(self, bags: Collection[str]) -> None:
        """Nobody else changes these bags, or packs into them, until the unit of work ends."""
        # In one order, so that two who hold the same wait and do not block each other.
        held = select(BAG.c.id).order_by(BAG.c.id).with_for_update(key_share=True)
        for _ in found_in(self._connection, held, BAG.c.id, sorted(bags)):
            pass

    def demands(self, bags: Collection[str]) -> Mapping[str, BagDemand]:
        """What must be in each bag, by its id."""
        found = self._connection.execute(
            select(BAG.c.id, BAG.c.demand).where(BAG.c.id.in_(sorted(bags)))
        )
        return {row.id: shared(BagDemand, row.demand) for row in found}

    def bags(self, wanted: BagFilter) -> Sequence[ReleasedBag]:
        """Bags by order, place and number."""
        return self._bags(_bag_conditions(wanted))

    def save_bag(self, bag: ReleasedBag, expected: int) -> None:
        """A bag anew, its needs with it. Raises ConflictError."""
        values = dict(zip(BAG_COLUMNS, bag_row(bag), strict=True))
        rows.save(self._connection, BAG, BAG.c.id, values, expected, "bag")

    def save_needs(self, bag: ReleasedBag) -> None:
        """What a bag needs, anew: an item stands in for another."""
        self._connection.execute(NEED.delete().where(NEED.c.bag_id == bag.id))
        bulk.insert(self._connection, NEED, _NEED_COLUMNS, need_rows([bag]))

    def add_event(self, bag_id: str, event: BagEvent) -> bool:
        """What happened to a bag; False, and nothing done, where its id is there already."""
        return self._add_record(bag_id, event.stamp.id, event)

    def events(self, bag_id: str) -> Sequence[BagEvent]:
        """What happened to a bag since it was last unpacked, first to last."""
        return self.events_of([bag_id])[bag_id]

    def events_of(self, bags: Collection[str]) -> Mapping[str, Sequence[BagEvent]]:
        """The same of several bags, each there is."""
        happened: dict[str, list[tuple[str, str]]] = {bag: [] for bag in bags}
        wanted = select(EVENT.c.bag_id, EVENT.c.kind, EVENT.c.data).where(
            EVENT.c.kind.in_(COUNTING)
        )
        wanted = wanted.order_by(EVENT.c.id)
        for row in found_in(self._connection, wanted, EVENT.c.bag_id, sorted(happened)):
            happened[row.bag_id].append((row.kind, row.data))
        return {bag: since_unpacked(rows) for bag, rows in happened.items()}

    def whole(self, bag_id: str, *, held: bool = False, event: str = "") -> WholeBag | None:
        """The bag of an id, whole, in two questions; None where there is none. held: by this unit
        of work. event: an id about to be given to what happens to it next."""
        asked = {"_bag": bag_id}
        row: Any = self._connection.execute(WHOLE_HELD if held else WHOLE, asked).first()
        if row is None:
            return None
        needs: list[tuple[ItemKey, int]] = []
        live: dict[int, BagEvent] = {}
        known = 0
        for each in self._connection.execute(WHAT_HAPPENED, {**asked, "_event": event}):
            if each.kind == NEEDED:
                needs.append(((each.data, each.sku), each.packs))
            elif each.kind == KNOWN:
                known = each.at
            elif each.kind == UNPACKED:
                live.clear()
            else:
                live[each.at] = event_of(each.kind, each.data)
        return WholeBag(
            bag_of(row, tuple(sorted(needs))),
            shared(BagDemand, row.demand),
            tuple(live.values()),
            known > 0 and known not in live,
        )

    def add_unpacked(self, bag_id: str, unpacked: BagUnpacked) -> None:
        """All of a bag was put back: what happened before is kept, and counts no more."""
        self._add_record(bag_id, unpacked.stamp.id, unpacked)

    def add_refused(self, bag_id: str, refused: ScanNotCounted) -> None:
        """A scan at a bag that counted nothing; one that is sent twice is kept once."""
        self._add_record(bag_id, _REFUSED + refused.stamp.id, refused)

    def record(self, bag_id: str) -> Sequence[BagRecord]:
        """All that is kept of a bag, first to last."""
        found = self._connection.execute(
            select(EVENT).where(EVENT.c.bag_id == bag_id).order_by(EVENT.c.id)
        )
        return tuple(from_text(RECORD_KINDS[row.kind], row.data) for row in found)

    def _add_record(self, bag_id: str, event_id: str, record: BagRecord) -> bool:
        values = record_values(bag_id, event_id, record)
        return rows.add_unless_taken(self._connection, EVENT, values)

    def add_shipment(self, shipment: Shipment) -> None:
        """A new shipment."""
        self._connection.execute(
            SHIPMENT.insert(),
            {
                "number": shipment.number,
                "order_id": shipment.order,
                "shipped_at": shipment.at.isoformat(),
                "shipped_by": shipment.by,
                "way": shipment.way.value,
                "reference": shipment.reference,
                "received_by": shipment.received_by,
            },
        )

    def shipment(self, number: int) -> Shipment | None:
        """The shipment of a number, or None."""
        row = self._connection.execute(select(SHIPMENT).where(SHIPMENT.c.number == number)).first()
        return None if row is None else shipment_of(row)

    def shipments(self, order_id: str) -> Sequence[Shipment]:
        """The shipments of an order by number."""
        found = self._connection.execute(
            select(SHIPMENT).where(SHIPMENT.c.order_id == order_id).order_by(SHIPMENT.c.number)
        )
        return tuple(map(shipment_of, found))

    def _order(self, statement: Any) -> Order | None:  # noqa: ANN401  # a select of ORDER
        row = self._connection.execute(statement).first()
        return None if row is None else order_of(row)

    def _bags(self, where: Sequence[ColumnElement[bool]]) -> Sequence[ReleasedBag]:
        # In one question: of two, the second would see what others changed since the first.
        wanted = select(*(BAG.c[name] for name in BAG_COLUMNS)).where(*where).cte("wanted")
        blank = [null() for _ in BAG_COLUMNS[1:]]
        asked = union_all(
            select(
                *wanted.c, null().label("supplier"), null().label("sku"), NOTHING.label("packs")
            ),
            select(wanted.c.id, *blank, NEED.c.supplier, NEED.c.sku, NEED.c.packs).join(
                NEED, NEED.c.bag_id == wanted.c.id
            ),
        )
        found = []
        needs: dict[str, list[tuple[ItemKey, int]]] = {}
        for row in self._connection.execute(asked):
            if row.packs:
                needs.setdefault(row.id, []).append(((row.supplier, row.sku), row.packs))
            else:
                found.append(row)
        found.sort(key=lambda row: (row.order_id, row.place, row.number))
        return tuple(bag_of(row, tuple(sorted(needs.get(row.id, ())))) for row in found)


def _bag_conditions(wanted: BagFilter) -> list[ColumnElement[bool]]:
    where: list[ColumnElement[bool]] = []
    if wanted.order:
        where.append(BAG.c.order_id == wanted.order)
    if wanted.orders:
        where.append(BAG.c.order_id.in_(sorted(wanted.orders)))
    if wanted.states:
        where.append(BAG.c.state.in_(sorted(state.value for state in wanted.states)))
    if wanted.branch:
        where.append(BAG.c.branch == wanted.branch)
    if wanted.wave:
        where.append(BAG.c.wave == wanted.wave)
    if wanted.waves:
        where.append(BAG.c.wave.in_(sorted(wanted.waves)))
    if wanted.shipment:
        where.append(BAG.c.shipment == wanted.shipment)
    if wanted.ids:
        where.append(BAG.c.id.in_(sorted(wanted.ids)))
    return where
