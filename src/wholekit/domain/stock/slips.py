"""Movements as they are written down: each kind from what it needs, its sides put right."""

from dataclasses import dataclass
from datetime import datetime

from wholekit.domain.catalog import ItemKey
from wholekit.domain.stock.movement import Account, Kind, Movement, Side
from wholekit.domain.stock.place import StockPlace

_OUTSIDE, _CUSTOMER = Account(Side.OUTSIDE), Account(Side.CUSTOMER)
_SCRAP, _DIFFERENCE = Account(Side.SCRAP), Account(Side.DIFFERENCE)


def _shelf(place: StockPlace) -> Account:
    return Account(Side.SHELF, place)


def _promised(branch: str, bag: str) -> Account:
    return Account(Side.PROMISED, StockPlace(branch), bag)


def _in_bag(branch: str, bag: str) -> Account:
    return Account(Side.BAG, StockPlace(branch), bag)


@dataclass(slots=True)
class Slips:
    """Movements of one deed: who does it and when; `key` names the deed, and each movement of it
    gets the key with its number in the deed, so that the deed sent again gives the same keys.

    Packs are counts above zero. The shelf side of a pick names the branch of the promise.
    """

    key: str
    at: datetime
    who: str
    _made: int = 0

    def next_keys(self, count: int) -> list[str]:
        """The keys that the next so many movements will get."""
        return [f"{self.key}/{self._made + number}" for number in range(1, count + 1)]

    def receipt(self, item: ItemKey, packs: int, to: StockPlace, reason: str = "") -> Movement:
        """Packs that came in."""
        return self._slip(Kind.RECEIPT, item, packs, _OUTSIDE, _shelf(to), reason)

    def opening(self, item: ItemKey, packs: int, to: StockPlace) -> Movement:
        """What lay there when counting began."""
        return self._slip(Kind.OPENING, item, packs, _OUTSIDE, _shelf(to))

    def reserve(self, item: ItemKey, packs: int, branch: str, bag: str) -> Movement:
        """Packs promised to a bag."""
        free = Account(Side.FREE, StockPlace(branch))
        return self._slip(Kind.RESERVE, item, packs, free, _promised(branch, bag))

    def unreserve(
        self, item: ItemKey, packs: int, branch: str, bag: str, reason: str = ""
    ) -> Movement:
        """A promise taken back."""
        free = Account(Side.FREE, StockPlace(branch))
        return self._slip(Kind.UNRESERVE, item, packs, _promised(branch, bag), free, reason)

    def pick(self, item: ItemKey, packs: int, of: StockPlace, bag: str) -> Movement:
        """Packs from a shelf into the bag that they are promised to."""
        return self._slip(Kind.PICK, item, packs, _shelf(of), _in_bag(of.branch, bag))

    def unpick(self, item: ItemKey, packs: int, to: StockPlace, bag: str) -> Movement:
        """Packs put back from a bag; they are promised to it again."""
        return self._slip(Kind.UNPICK, item, packs, _in_bag(to.branch, bag), _shelf(to))

    def ship(self, item: ItemKey, packs: int, branch: str, bag: str) -> Movement:
        """Packs gone with their bag."""
        return self._slip(Kind.SHIP, item, packs, _in_bag(branch, bag), _CUSTOMER)

    def returned(self, item: ItemKey, packs: int, to: StockPlace, reason: str = "") -> Movement:
        """Packs that a customer brought back, on a shelf again."""
        return self._slip(Kind.RETURN, item, packs, _CUSTOMER, _shelf(to), reason)

    def returned_scrap(self, item: ItemKey, packs: int, reason: str = "") -> Movement:
        """Packs that a customer brought back and nobody can use."""
        return self._slip(Kind.RETURN, item, packs, _CUSTOMER, _SCRAP, reason)

    def returned_on(self, item: ItemKey, packs: int, reason: str = "") -> Movement:
        """Packs that a customer brought back, sent on to the supplier."""
        return self._slip(Kind.RETURN, item, packs, _CUSTOMER, _OUTSIDE, reason)

    def transfer(
        self, item: ItemKey, packs: int, of: StockPlace, to: StockPlace, reason: str = ""
    ) -> Movement:
        """Packs from one bin to another, of the same branch or not."""
        return self._slip(Kind.TRANSFER, item, packs, _shelf(of), _shelf(to), reason)

    def adjust(self, item: ItemKey, packs: int, at: StockPlace, reason: str) -> Movement:
        """Packs more than the books say, or fewer (below zero)."""
        return self._corrected(Kind.ADJUST, item, packs, at, reason)

    def count(self, item: ItemKey, packs: int, at: StockPlace, reason: str = "") -> Movement:
        """Packs more, or fewer (below zero), by a count of the bin."""
        return self._corrected(Kind.COUNT, item, packs, at, reason)

    def scrap(self, item: ItemKey, packs: int, of: StockPlace, reason: str) -> Movement:
        """Packs thrown away."""
        return self._slip(Kind.SCRAP, item, packs, _shelf(of), _SCRAP, reason)

    def to_supplier(self, item: ItemKey, packs: int, of: StockPlace, reason: str = "") -> Movement:
        """Packs sent back to where they came from."""
        return self._slip(Kind.TO_SUPPLIER, item, packs, _shelf(of), _OUTSIDE, reason)

    def _corrected(
        self, kind: Kind, item: ItemKey, packs: int, at: StockPlace, reason: str
    ) -> Movement:
        sides = (_DIFFERENCE, _shelf(at)) if packs > 0 else (_shelf(at), _DIFFERENCE)
        return self._slip(kind, item, abs(packs), *sides, reason)

    def _slip(
        self,
        kind: Kind,
        item: ItemKey,
        packs: int,
        source: Account,
        target: Account,
        reason: str = "",
    ) -> Movement:
        self._made += 1
        key = f"{self.key}/{self._made}"
        return Movement(key, kind, item, packs, source, target, self.at, self.who, reason)
