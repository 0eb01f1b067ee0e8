"""A movement of packs: from one account to another, written once and never changed.

As in double-entry books, whatever leaves one side reaches the other, so that nothing comes from
nowhere; a mistake is mended by the counter-movement.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from wholekit.domain.catalog import ItemKey
from wholekit.domain.stock.place import StockPlace


class Side(StrEnum):
    """What kind of account a side of a movement is.

    Packs lie on a `shelf` or in a `bag`, or are gone (`outside`: suppliers; `customer`; `scrap`;
    `difference`: what a count or a reason corrects). `free` and `promised` tell whose they are to
    be while they lie on the shelves of a branch.
    """

    OUTSIDE = "outside"
    SHELF = "shelf"
    FREE = "free"
    PROMISED = "promised"
    BAG = "bag"
    CUSTOMER = "customer"
    SCRAP = "scrap"
    DIFFERENCE = "difference"


class Kind(StrEnum):
    """What happened."""

    OPENING = "opening"
    RECEIPT = "receipt"
    RESERVE = "reserve"
    UNRESERVE = "unreserve"
    PICK = "pick"
    UNPICK = "unpick"
    SHIP = "ship"
    RETURN = "return"
    TRANSFER = "transfer"
    ADJUST = "adjust"
    COUNT = "count"
    SCRAP = "scrap"
    TO_SUPPLIER = "to-supplier"


_CORRECTED = frozenset({(Side.SHELF, Side.DIFFERENCE), (Side.DIFFERENCE, Side.SHELF)})
# From which side to which each kind may go.
SIDES: Mapping[Kind, frozenset[tuple[Side, Side]]] = {
    Kind.OPENING: frozenset({(Side.OUTSIDE, Side.SHELF)}),
    Kind.RECEIPT: frozenset({(Side.OUTSIDE, Side.SHELF)}),
    Kind.RESERVE: frozenset({(Side.FREE, Side.PROMISED)}),
    Kind.UNRESERVE: frozenset({(Side.PROMISED, Side.FREE)}),
    Kind.PICK: frozenset({(Side.SHELF, Side.BAG)}),
    Kind.UNPICK: frozenset({(Side.BAG, Side.SHELF)}),
    Kind.SHIP: frozenset({(Side.BAG, Side.CUSTOMER)}),
    Kind.RETURN: frozenset(
        {(Side.CUSTOMER, Side.SHELF), (Side.CUSTOMER, Side.SCRAP), (Side.CUSTOMER, Side.OUTSIDE)}
    ),
    Kind.TRANSFER: frozenset({(Side.SHELF, Side.SHELF)}),
    Kind.ADJUST: _CORRECTED,
    Kind.COUNT: _CORRECTED,
    Kind.SCRAP: frozenset({(Side.SHELF, Side.SCRAP)}),
    Kind.TO_SUPPLIER: frozenset({(Side.SHELF, Side.OUTSIDE)}),
}
_IN_BRANCH = frozenset({Side.SHELF, Side.FREE, Side.PROMISED, Side.BAG})
_OF_BAG = frozenset({Side.PROMISED, Side.BAG})
NOWHERE = StockPlace("")


@dataclass(frozen=True, slots=True)
class Account:
    """One side of a movement. place: of a shelf, its bin too; of what is free, promised or in a
    bag, the branch; bag: the id of the bag that a promise or the pieces are for."""

    side: Side
    place: StockPlace = NOWHERE
    bag: str = ""

    def __post_init__(self) -> None:
        """Raises ValueError for a side that lacks its branch or bag, or has one too many."""
        fits = (
            bool(self.place.branch) == (self.side in _IN_BRANCH)
            and bool(self.bag) == (self.side in _OF_BAG)
            and (not self.place.bin or self.side is Side.SHELF)
        )
        if not fits:
            raise ValueError(self)


@dataclass(frozen=True, slots=True)
class Movement:
    """So many packs [count] of an item from one account to another.

    key: told by whoever moves, and of no other movement: one that comes again counts once. at: with
    its time zone. reason: asked for where a count is corrected by hand.
    """

    key: str
    kind: Kind
    item: ItemKey
    packs: int
    source: Account
    target: Account
    at: datetime
    who: str
    reason: str = ""

    def __post_init__(self) -> None:
        """Raises ValueError for sides that are not those of the kind, for packs below one, for a
        key or a name that is empty, and for an adjustment without its reason."""
        moved = self.source.side, self.target.side
        fits = (
            moved in SIDES[self.kind]
            and self.packs > 0
            and bool(self.key and self.who)
            and (self.kind is not Kind.ADJUST or bool(self.reason))
            and self.source != self.target
            and (
                self.kind is Kind.TRANSFER
                or not self.source.place.branch
                or not self.target.place.branch
                or self.source.place.branch == self.target.place.branch
            )
        )
        if not fits:
            raise ValueError(self)

    @property
    def bag(self) -> str:
        """The bag it is about; empty for none."""
        return self.source.bag or self.target.bag
