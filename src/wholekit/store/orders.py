"""Orders of the pick room with their bags, and what happened to each bag."""

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from datetime import date, datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, func, select

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import ConflictError
from wholekit.domain.orders import BagState, Order, ReleasedBag, Shipment, ShipWay
from wholekit.domain.picking import EVENT_KINDS, BagDemand, BagEvent, EventStamp, PackedBag
from wholekit.services.order_port import BagFilter, OrderFilter, OrderSummary
from wholekit.services.paging import Page
from wholekit.store import bulk, rows
from wholekit.store.plain_text import from_text, to_text
from wholekit.store.tables import METADATA

ORDER = METADATA.tables["released_order"]
BAG = METADATA.tables["bag"]
NEED = METADATA.tables["bag_need"]
SHIPMENT = METADATA.tables["shipment"]
_UNPACKED = "unpacked"
EVENT = METADATA.tables["bag_event"]
JOB = METADATA.tables["job"]
# In the order in which `_bag_values` and `_need_rows` give their values.
_BAG_COLUMNS = (
    "id", "order_id", "mark", "place", "number", "state", "branch", "promised_on", "wave",
    "picker", "packed", "shipment", "version",
)  # fmt: skip
_KIND_OF = {kind: name for name, kind in EVENT_KINDS.items()}
_NEED_COLUMNS = ("bag_id", "supplier", "sku", "packs")


class SqlOrders:
    """The orders of one unit of work."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, order: Order) -> None:
        """A new order. Raises ConflictError (`order-released`)."""
        if not rows.add_unless_taken(self._connection, ORDER, _order_values(order)):
            raise ConflictError("order-released", label=order.label)

    def get(self, order_id: str) -> Order | None:
        """The order, or None."""
        return self._order(select(ORDER).where(ORDER.c.id == order_id))

    def several(self, order_ids: Collection[str]) -> Mapping[str, Order]:
        """Orders by id; those that are not there are left out."""
        found = self._connection.execute(select(ORDER).where(ORDER.c.id.in_(order_ids)))
        return {row.id: _order_of(row) for row in found}

    def for_change(self, order_id: str) -> Order | None:
        """The order, held for this unit of work; its bags belong to it."""
        return self._order(select(ORDER).where(ORDER.c.id == order_id).with_for_update())

    def of_job(self, job_id: str) -> Sequence[Order]:
        """Every order of a job by quote and revision."""
        found = self._connection.execute(
            select(ORDER).where(ORDER.c.job_id == job_id).order_by(ORDER.c.quote, ORDER.c.revision)
        )
        return tuple(map(_order_of, found))

    def save(self, order: Order, expected: int) -> None:
        """An order anew. Raises ConflictError."""
        rows.save(self._connection, ORDER, ORDER.c.id, _order_values(order), expected, "order")

    def page(self, wanted: OrderFilter, page: Page) -> tuple[Sequence[OrderSummary], int]:
        """Orders with how many of their bags stand where, and how many orders there are in all."""
        where: list[ColumnElement[bool]] = [ORDER.c.cancelled_at.is_(None)]
        undone = BAG.c.state.not_in([BagState.SHIPPED.value, BagState.CANCELLED.value])
        if wanted.branch:
            where.append(ORDER.c.branch == wanted.branch)
        if not wanted.all:
            where.append(select(BAG.c.id).where(BAG.c.order_id == ORDER.c.id, undone).exists())
        total = self._connection.execute(
            select(func.count()).select_from(ORDER).where(*where)
        ).scalar_one()
        found = self._connection.execute(
            select(ORDER, JOB.c.name.label("job_name"))
            .join(JOB, JOB.c.id == ORDER.c.job_id)
            .where(*where)
            .order_by(
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
        return [OrderSummary(_order_of(row), row.job_name, counts[row.id]) for row in found], total

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
            (*_BAG_COLUMNS, "demand"),
            ((*_bag_row(bag), to_text(demands[bag.id])) for bag in bags),
        )
        bulk.insert(self._connection, NEED, _NEED_COLUMNS, _need_rows(bags))

    def bag(self, bag_id: str) -> ReleasedBag | None:
        """The bag of an id, or None."""
        return next(iter(self._bags([BAG.c.id == bag_id])), None)

    def bag_for_change(self, bag_id: str) -> ReleasedBag | None:
        """The bag, held for this unit of work."""
        return next(iter(self._bags([BAG.c.id == bag_id], held=True)), None)

    def demands(self, bags: Collection[str]) -> Mapping[str, BagDemand]:
        """What must be in each bag, by its id."""
        found = self._connection.execute(
            select(BAG.c.id, BAG.c.demand).where(BAG.c.id.in_(sorted(bags)))
        )
        return {row.id: from_text(BagDemand, row.demand) for row in found}

    def bags(self, wanted: BagFilter) -> Sequence[ReleasedBag]:
        """Bags by order, place and number."""
        return self._bags(_bag_conditions(wanted))

    def save_bag(self, bag: ReleasedBag, expected: int) -> None:
        """A bag anew, its needs with it. Raises ConflictError."""
        values = dict(zip(_BAG_COLUMNS, _bag_row(bag), strict=True))
        rows.save(self._connection, BAG, BAG.c.id, values, expected, "bag")

    def save_needs(self, bag: ReleasedBag) -> None:
        """What a bag needs, anew: an item stands in for another."""
        self._connection.execute(NEED.delete().where(NEED.c.bag_id == bag.id))
        bulk.insert(self._connection, NEED, _NEED_COLUMNS, _need_rows([bag]))

    def add_event(self, bag_id: str, event: BagEvent) -> bool:
        """What happened to a bag; False, and nothing done, where its id is there already."""
        values = {
            "event_id": event.stamp.id,
            "bag_id": bag_id,
            "kind": _KIND_OF[type(event)],
            "data": to_text(event),
        }
        return rows.add_unless_taken(self._connection, EVENT, values)

    def events(self, bag_id: str) -> Sequence[BagEvent]:
        """What happened to a bag since it was last unpacked, first to last."""
        return self.events_of([bag_id])[bag_id]

    def events_of(self, bags: Collection[str]) -> Mapping[str, Sequence[BagEvent]]:
        """The same of several bags by id."""
        found = self._connection.execute(
            select(EVENT).where(EVENT.c.bag_id.in_(bags)).order_by(EVENT.c.id)
        )
        events: dict[str, list[BagEvent]] = {bag: [] for bag in bags}
        for row in found:
            if row.kind == _UNPACKED:
                events[row.bag_id].clear()
            else:
                events[row.bag_id].append(from_text(EVENT_KINDS[row.kind], row.data))
        return {bag: tuple(each) for bag, each in events.items()}

    def add_unpacked(self, bag_id: str, stamp: EventStamp, reason: str) -> None:
        """All of a bag was put back: what happened before is kept, and counts no more."""
        self._connection.execute(
            EVENT.insert(),
            {
                "event_id": stamp.id,
                "bag_id": bag_id,
                "kind": _UNPACKED,
                "data": to_text({"stamp": stamp, "reason": reason}),
            },
        )

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

    def shipments(self, order_id: str) -> Sequence[Shipment]:
        """The shipments of an order by number."""
        found = self._connection.execute(
            select(SHIPMENT).where(SHIPMENT.c.order_id == order_id).order_by(SHIPMENT.c.number)
        )
        return tuple(
            Shipment(
                row.number, row.order_id, datetime.fromisoformat(row.shipped_at), row.shipped_by,
                ShipWay(row.way), row.reference, row.received_by,
            )
            for row in found
        )  # fmt: skip

    def _order(self, statement: Any) -> Order | None:  # noqa: ANN401  # a select of ORDER
        row = self._connection.execute(statement).first()
        return None if row is None else _order_of(row)

    def _bags(
        self, where: Sequence[ColumnElement[bool]], *, held: bool = False
    ) -> Sequence[ReleasedBag]:
        asked = (
            select(*(BAG.c[name] for name in _BAG_COLUMNS))
            .where(*where)
            .order_by(BAG.c.order_id, BAG.c.place, BAG.c.number)
        )
        found = self._connection.execute(asked.with_for_update(of=BAG) if held else asked).all()
        needs: dict[str, list[tuple[ItemKey, int]]] = {row.id: [] for row in found}
        # The same bags by the same conditions: a list of ids may be longer than a statement takes.
        wanted = (
            select(NEED)
            .join(BAG, BAG.c.id == NEED.c.bag_id)
            .where(*where)
            .order_by(NEED.c.bag_id, NEED.c.supplier, NEED.c.sku)
        )
        for row in self._connection.execute(wanted):
            needs[row.bag_id].append(((row.supplier, row.sku), row.packs))
        return tuple(_bag_of(row, tuple(needs[row.id])) for row in found)


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


def _order_values(order: Order) -> dict[str, object]:
    return {
        "id": order.id,
        "job_id": order.job_id,
        "quote": order.quote,
        "revision": order.revision,
        "branch": order.branch,
        "released_at": order.released_at.isoformat(),
        "released_by": order.released_by,
        "promised_on": _day_text(order.promised_on),
        "priority": order.priority,
        "cancelled_at": order.cancelled_at.isoformat() if order.cancelled_at else None,
        "version": order.version,
    }


def _order_of(row: Row[Any]) -> Order:
    return Order(
        row.id,
        row.job_id,
        row.quote,
        row.revision,
        row.branch,
        datetime.fromisoformat(row.released_at),
        row.released_by,
        _day(row.promised_on),
        row.priority,
        datetime.fromisoformat(row.cancelled_at) if row.cancelled_at else None,
        row.version,
    )


def _bag_row(bag: ReleasedBag) -> tuple[object, ...]:
    return (
        bag.id,
        bag.order,
        bag.mark,
        bag.place,
        bag.number,
        bag.state.value,
        bag.branch,
        _day_text(bag.promised_on),
        bag.wave,
        bag.picker,
        None if bag.packed is None else to_text(bag.packed),
        bag.shipment,
        bag.version,
    )


def _need_rows(bags: Iterable[ReleasedBag]) -> Iterator[tuple[object, ...]]:
    for bag in bags:
        for (supplier, sku), packs in bag.needs:
            yield bag.id, supplier, sku, packs


def _bag_of(row: Row[Any], needs: tuple[tuple[ItemKey, int], ...]) -> ReleasedBag:
    return ReleasedBag(
        row.id,
        row.order_id,
        row.mark,
        row.place,
        row.number,
        needs,
        BagState(row.state),
        row.branch,
        _day(row.promised_on),
        row.wave,
        row.picker,
        None if row.packed is None else from_text(PackedBag, row.packed),
        row.shipment,
        row.version,
    )


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _day_text(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
