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
    BagState.CLOSED: frozenset({BagState.SHIPPED, BagState.OPEN}),
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
