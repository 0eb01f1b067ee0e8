"""An order of the pick room: one accepted revision, its bags, and what may become of a bag."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.picking import PackedBag


class BagState(StrEnum):
    """Where a bag stands. waiting: nothing is promised to it; ready: every pack it needs is; open:
    picking has begun; cancelled: no longer wanted, and nothing is in it."""

    WAITING = "waiting"
    READY = "ready"
    OPEN = "open"
    CLOSED = "closed"
    SHIPPED = "shipped"
    CANCELLED = "cancelled"


NEXT_BAG_STATES: dict[BagState, frozenset[BagState]] = {
    BagState.WAITING: frozenset({BagState.READY, BagState.CANCELLED}),
    # Back to waiting where a count found less than was promised, or its promise was taken.
    BagState.READY: frozenset({BagState.OPEN, BagState.WAITING, BagState.CANCELLED}),
    # Back to ready or waiting once all was put back.
    BagState.OPEN: frozenset(
        {BagState.CLOSED, BagState.READY, BagState.WAITING, BagState.CANCELLED}
    ),
    BagState.CLOSED: frozenset({BagState.SHIPPED, BagState.WAITING, BagState.CANCELLED}),
    BagState.SHIPPED: frozenset(),
    BagState.CANCELLED: frozenset(),
}
# What is in these bags has left the shelf for good, or is packed.
DONE = frozenset({BagState.CLOSED, BagState.SHIPPED})


@dataclass(frozen=True, slots=True)
class Order:
    """What was released of one accepted revision.

    id: the revision's. branch: from which its bags are to be picked. promised_on: the day told to
    the customer, None where none was; priority: higher goes first where goods are short.
    cancelled_at: None while it stands. version: counts changes, from 1.
    """

    id: str
    job_id: str
    quote: int
    revision: int
    branch: str
    released_at: datetime
    released_by: str
    promised_on: date | None = None
    priority: int = 0
    cancelled_at: datetime | None = None
    version: int = 1

    @property
    def label(self) -> str:
        """As its quote is called: `Q-00012/2`."""
        return f"Q-{self.quote:05}/{self.revision}"

    @property
    def pressing(self) -> tuple[int, date, datetime, str]:
        """What orders are sorted by: priority, then promise, then release."""
        return -self.priority, self.promised_on or date.max, self.released_at, self.id


@dataclass(frozen=True, slots=True)
class ReleasedBag:
    """The kit of one opening. id: what its label's code says (see `BagId`).

    order: id of the order it belongs to; its label keeps the revision it was first released with.
    place: of its opening in that revision, from 1; number: of the bag among its opening's, from 1.
    needs: packs of each item. branch: from which its goods are promised. wave: 0 where it is in
    none. packed: what was in it when it was closed, by whom and when: it answers a claim.
    shipment: 0 until it is shipped.
    """

    id: str
    order: str
    mark: str
    place: int
    number: int
    needs: tuple[tuple[ItemKey, int], ...]
    state: BagState = BagState.WAITING
    branch: str = ""
    promised_on: date | None = None
    wave: int = 0
    picker: str = ""
    packed: PackedBag | None = None
    shipment: int = 0
    version: int = 1

    def moved(self, to: BagState, **changes: object) -> "ReleasedBag":
        """In another state. Raises CallError (`bag-state`) where that cannot follow."""
        if to not in NEXT_BAG_STATES[self.state]:
            raise CallError("bag-state", bag=self.id, state=self.state.value, to=to.value)
        new: ReleasedBag = replace(self, state=to, version=self.version + 1, **changes)  # type: ignore[arg-type]
        return new


class ShipWay(StrEnum):
    """How bags leave the house: brought by a carrier or the house's own van, or called for."""

    DELIVERY = "delivery"
    WILL_CALL = "will-call"


@dataclass(frozen=True, slots=True)
class Shipment:
    """Bags of one order that left together. reference: the carrier's, such as of a waybill;
    received_by: who signed for it."""

    number: int
    order: str
    at: datetime
    by: str
    way: ShipWay = ShipWay.DELIVERY
    reference: str = ""
    received_by: str = ""

    @property
    def label(self) -> str:
        """As papers call it: `S-00003`."""
        return shipment_label(self.number)


def shipment_label(number: int) -> str:
    """As papers call a shipment."""
    return f"S-{number:05}"
