"""The tables of the pick room: released orders, their bags, and what happened to each bag.

As `store.tables`, which gathers them all.
"""

from sqlalchemy import Index, UniqueConstraint

from wholekit.domain.orders import BagState, ShipWay
from wholekit.store.columns import (
    COUNTED,
    KEYED,
    STRICT,
    Row,
    counted_key,
    one_of,
    rule,
    whole,
    words,
)


class ReleasedOrderRow(Row, table=True):
    """An accepted revision that was released to the pick room."""

    __tablename__ = "released_order"
    __table_args__ = (
        UniqueConstraint("quote", "revision"),
        Index(None, "job_id"),
        rule("quote", "quote > 0"),
        rule("revision", "revision > 0"),
        rule("branch", "length(branch) > 0"),
        rule("version", "version > 0"),
        STRICT,
    )
    id: str = words(key=True, to="quote_revision.id")
    job_id: str = words(to="job.id")
    quote: int = whole()
    revision: int = whole()
    branch: str = words()
    released_at: str = words()
    released_by: str = words()
    promised_on: str | None = words(empty=True)
    priority: int = whole()
    cancelled_at: str | None = words(empty=True)
    version: int = whole()


class ShipmentRow(Row, table=True):
    """Bags of one order that left together."""

    __tablename__ = "shipment"
    __table_args__ = (
        Index(None, "order_id"),
        one_of("way", ShipWay),
        rule("number", "number > 0"),
        STRICT,
    )
    number: int = whole(key=True)
    order_id: str = words(to="released_order.id")
    shipped_at: str = words()
    shipped_by: str = words()
    way: str = words()
    reference: str = words()
    received_by: str = words()


class BagRow(Row, table=True):
    """The kit of one opening. demand: what must be in it; packed: what was in it when it was
    closed; both as JSON."""

    __tablename__ = "bag"
    __table_args__ = (
        Index(None, "order_id"),
        Index(None, "state", "branch"),
        Index(None, "wave"),
        Index(None, "shipment"),
        one_of("state", BagState),
        rule("mark", "length(mark) > 0"),
        rule("place", "place > 0"),
        rule("number", "number > 0"),
        rule("wave", "wave >= 0"),
        rule("shipment", "shipment >= 0"),
        rule("shipped", "(state = 'shipped') = (shipment > 0)"),
        rule("closed", "state NOT IN ('closed', 'shipped') OR packed IS NOT NULL"),
        rule("version", "version > 0"),
        STRICT,
    )
    id: str = words(key=True)
    order_id: str = words(to="released_order.id")
    mark: str = words()
    place: int = whole()
    number: int = whole()
    state: str = words()
    branch: str = words()
    promised_on: str | None = words(empty=True)
    wave: int = whole()
    picker: str = words()
    demand: str = words()
    packed: str | None = words(empty=True)
    shipment: int = whole()
    version: int = whole()


class BagNeedRow(Row, table=True):
    """Packs of one item that a bag needs."""

    __tablename__ = "bag_need"
    __table_args__ = (Index(None, "supplier", "sku"), rule("packs", "packs > 0"), KEYED)
    bag_id: str = words(key=True, to="bag.id")
    supplier: str = words(key=True)
    sku: str = words(key=True)
    packs: int = whole()


class BagEventRow(Row, table=True):
    """What happened to a bag, as JSON: packs scanned, taken back, not found, and the rest.

    Rows can only be added. event_id: of a scan the scanner's own, so that one sent twice counts
    once.
    """

    __tablename__ = "bag_event"
    __table_args__ = (Index(None, "bag_id"), rule("event_id", "length(event_id) > 0"), COUNTED)
    id: int = counted_key()
    event_id: str = words(unique=True)
    bag_id: str = words(to="bag.id")
    kind: str = words()
    data: str = words()
