"""Orders, bags and what happened to them as rows, and back."""

from collections.abc import Iterable, Iterator
from datetime import date, datetime
from typing import Any

from sqlalchemy import Row

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders import BagState, Order, ReleasedBag, Shipment, ShipWay
from wholekit.domain.picking import (
    EVENT_KINDS,
    RECORD_KINDS,
    BagEvent,
    BagRecord,
    BagUnpacked,
    PackedBag,
)
from wholekit.store.plain_text import from_text, shared, to_text

KIND_OF = {kind: name for name, kind in RECORD_KINDS.items()}
UNPACKED = KIND_OF[BagUnpacked]
# What tells how a bag stands; the rest is kept of it for a claim.
COUNTING = (*EVENT_KINDS, UNPACKED)


def event_values(bag_id: str, event: BagEvent) -> dict[str, object]:
    """What happened to a bag, as a row but for its number."""
    return record_values(bag_id, event.stamp.id, event)


def record_values(bag_id: str, event_id: str, record: BagRecord) -> dict[str, object]:
    """What is kept of a bag, as a row but for its number."""
    return {
        "event_id": event_id,
        "bag_id": bag_id,
        "kind": KIND_OF[type(record)],
        "data": to_text(record),
    }


def event_of(kind: str, data: str) -> BagEvent:
    """An event of its row."""
    named: Any = EVENT_KINDS[kind]
    event: BagEvent = shared(named, data)
    return event


def since_unpacked(happened: Iterable[tuple[str, str]]) -> tuple[BagEvent, ...]:
    """What happened to a bag since it was last unpacked, of kinds and texts."""
    events: list[BagEvent] = []
    for kind, data in happened:
        if kind == UNPACKED:
            events.clear()
        else:
            events.append(event_of(kind, data))
    return tuple(events)


def order_values(order: Order) -> dict[str, object]:
    """An order as a row."""
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


def order_of(row: Row[Any]) -> Order:
    """The order of a row."""
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


def bag_row(bag: ReleasedBag) -> tuple[object, ...]:
    """A bag as a row, in the order of BAG_COLUMNS."""
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


def need_rows(bags: Iterable[ReleasedBag]) -> Iterator[tuple[object, ...]]:
    """What bags need, as rows."""
    for bag in bags:
        for (supplier, sku), packs in bag.needs:
            yield bag.id, supplier, sku, packs


def bag_of(row: Row[Any], needs: tuple[tuple[ItemKey, int], ...]) -> ReleasedBag:
    """The bag of a row, with its needs."""
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


def shipment_of(row: Row[Any]) -> Shipment:
    """The shipment of a row."""
    return Shipment(
        row.number, row.order_id, datetime.fromisoformat(row.shipped_at), row.shipped_by,
        ShipWay(row.way), row.reference, row.received_by,
    )  # fmt: skip
