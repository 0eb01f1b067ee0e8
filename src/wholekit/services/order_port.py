"""What the services ask of the store for the pick room: orders, bags, and items by their codes."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders import BagState, Order, ReleasedBag, Shipment
from wholekit.domain.picking import (
    BagDemand,
    BagEvent,
    BagRecord,
    BagUnpacked,
    PieceKey,
    ScanNotCounted,
    Ware,
)
from wholekit.services.paging import Page


@dataclass(frozen=True, slots=True)
class OrderFilter:
    """Which orders that stand: of a branch, or any; all: also those of which every bag is gone;
    gone: those alone, the latest released first."""

    branch: str = ""
    all: bool = False
    gone: bool = False


@dataclass(frozen=True, slots=True)
class OrderSummary:
    """An order in a list, with the name of its job. bags: how many stand where [count]."""

    order: Order
    job_name: str
    bags: Mapping[BagState, int]


@dataclass(frozen=True, slots=True)
class BagFilter:
    """Which bags; what is empty or 0 does not matter."""

    order: str = ""
    orders: frozenset[str] = frozenset()
    states: frozenset[BagState] = frozenset()
    branch: str = ""
    wave: int = 0
    waves: frozenset[int] = frozenset()
    shipment: int = 0
    ids: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class WholeBag:
    """A bag with what must be in it and what happened to it since it was last unpacked.

    spent: the id asked about is that of something else that happened, to it before or to another.
    """

    row: ReleasedBag
    demand: BagDemand
    events: Sequence[BagEvent]
    spent: bool = False


class OrderRepository(Protocol):
    """Orders of the pick room, their bags, and what happened to each bag.

    What is held `for_change` is held by this unit of work until its end, where the engine can.
    """

    def add(self, order: Order) -> None:
        """A new order. Raises ConflictError (`order-released`)."""

    def get(self, order_id: str) -> Order | None:
        """The order, or None."""

    def several(self, order_ids: Collection[str]) -> Mapping[str, Order]:
        """Orders by id; those that are not there are left out."""

    def for_change(self, order_id: str) -> Order | None:
        """The order, held; its bags belong to it."""

    def of_job(self, job_id: str) -> Sequence[Order]:
        """Every order of a job by quote and revision."""

    def save(self, order: Order, expected: int) -> None:
        """An order anew. Raises ConflictError."""

    def page(self, wanted: OrderFilter, page: Page) -> tuple[Sequence[OrderSummary], int]:
        """Orders that stand by priority, promise and release, and how many there are in all."""

    def add_bags(self, bags: Sequence[ReleasedBag], demands: Mapping[str, BagDemand]) -> None:
        """New bags, with what must be in each, by id. Raises ConflictError for an id there is."""

    def bag(self, bag_id: str) -> ReleasedBag | None:
        """The bag of an id, or None."""

    def bag_for_change(self, bag_id: str) -> ReleasedBag | None:
        """The bag, held."""

    def hold_bags(self, bags: Collection[str]) -> None:
        """Nobody else changes these bags, or packs into them, until the unit of work ends."""

    def demands(self, bags: Collection[str]) -> Mapping[str, BagDemand]:
        """What must be in each bag, by its id."""

    def bags(self, wanted: BagFilter) -> Sequence[ReleasedBag]:
        """Bags by order, place and number."""

    def save_bag(self, bag: ReleasedBag, expected: int) -> None:
        """A bag anew, but for what it needs. Raises ConflictError."""

    def save_needs(self, bag: ReleasedBag) -> None:
        """What a bag needs, anew: an item stands in for another."""

    def add_event(self, bag_id: str, event: BagEvent) -> bool:
        """What happened to a bag; False, and nothing done, where its id is there already."""

    def whole(self, bag_id: str, *, held: bool = False, event: str = "") -> WholeBag | None:
        """The bag of an id, whole; None where there is none. held: by this unit of work. event: an
        id about to be given to what happens to it next."""

    def events(self, bag_id: str) -> Sequence[BagEvent]:
        """What happened to a bag since it was last unpacked, first to last."""

    def events_of(self, bags: Collection[str]) -> Mapping[str, Sequence[BagEvent]]:
        """The same of several bags, each there is."""

    def add_unpacked(self, bag_id: str, unpacked: BagUnpacked) -> None:
        """All of a bag was put back: what happened before is kept, and counts no more."""

    def add_refused(self, bag_id: str, refused: ScanNotCounted) -> None:
        """A scan at a bag that counted nothing; one that is sent twice is kept once."""

    def record(self, bag_id: str) -> Sequence[BagRecord]:
        """All that is kept of a bag, first to last."""

    def add_shipment(self, shipment: Shipment) -> None:
        """A new shipment."""

    def shipment(self, number: int) -> Shipment | None:
        """The shipment of a number, or None."""

    def shipments(self, order_id: str) -> Sequence[Shipment]:
        """The shipments of an order by number."""


class WareRepository(Protocol):
    """Items as the pick room knows them: of the newest revision of each catalogue, no money."""

    def find(self, code: str) -> Sequence[Ware]:
        """Every item of a code: SKU, whatever its case, or GTIN of any length."""

    def of(self, items: Collection[ItemKey]) -> Mapping[ItemKey, Ware]:
        """The items of some keys; one that no catalogue has now is not in it."""

    def holding(self, pieces: Collection[PieceKey]) -> Sequence[Ware]:
        """Items that hold nothing but these pieces, by supplier and SKU."""

    def bins(self, items: Collection[ItemKey]) -> Mapping[ItemKey, str]:
        """The bin that the newest price book names for each item; those without are not in it."""

    def leads(self, items: Collection[ItemKey]) -> Mapping[ItemKey, int]:
        """Working days [d] to get each item; those that nobody states any for, and those that are
        made no more, are not in it."""
