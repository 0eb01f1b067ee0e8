"""The price book's columns on how an item is bought: five cells, one BuyingTerms."""

from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from wholekit.domain.catalog.terms import USUAL_TERMS, BuyingTerms, PriceBreak
from wholekit.domain.quantities import QuantityError, parse_cost
from wholekit.intake.counts import SKU, whole

Value = TypeVar("Value")

BUYING = ("substitutes", "breakable", "reorder_at", "least_order", "price_breaks")
_YES_OR_NO = {"": False, "no": False, "yes": True}
MOST_SUBSTITUTES = 20
MOST_BREAKS = 20


class TermsReader:
    """Reads the five cells of a row. currency: of the breaks [ISO 4217 code]."""

    def __init__(self, currency: str) -> None:
        self._currency = currency
        # Rows without any of it are nearly all of a large book.
        self._known: dict[Sequence[str], BuyingTerms] = {("",) * len(BUYING): USUAL_TERMS}

    def sound(self, cells: tuple[str, ...]) -> BuyingTerms:
        """The terms of cells in the order of BUYING. Raises QuantityError at the first fault."""
        known = self._known.get(cells)
        if known is None:
            known, faults = self.read(cells)
            if faults:
                raise faults[0][1]
            self._known[cells] = known
        return known

    def read(self, cells: Sequence[str]) -> tuple[BuyingTerms, list[tuple[str, QuantityError]]]:
        """The terms, with stand-ins for faulty cells, and every fault by its column."""
        faults: list[tuple[str, QuantityError]] = []
        usual = USUAL_TERMS

        def one(column: str, read: Callable[[str], Value], stand_in: Value) -> Value:
            try:
                return read(cells[BUYING.index(column)].strip())
            except QuantityError as error:
                faults.append((column, error))
                return stand_in

        terms = BuyingTerms(
            one("substitutes", _substitutes, usual.substitutes),
            one("breakable", _yes_or_no, usual.breakable),
            one("reorder_at", _reorder_at, usual.reorder_at),
            one("least_order", lambda text: whole(text, 1, 1), usual.least_order),
            one("price_breaks", lambda text: tuple(self._breaks(text)), usual.price_breaks),
        )
        return terms, faults

    def _breaks(self, text: str) -> Iterator[PriceBreak]:
        """`10: 4.20; 50: 3.90`. Raises QuantityError."""
        last = 1
        parts = text.split(";") if text else []
        if len(parts) > MOST_BREAKS:
            raise QuantityError("price-breaks-many", text, most=MOST_BREAKS, count=len(parts))
        for part in parts:
            packs, colon, cost = part.partition(":")
            if not colon or not packs.strip():
                raise QuantityError("price-breaks-unreadable", part.strip())
            count = whole(packs, 1, 1)
            if count <= last:
                raise QuantityError("price-breaks-order", part.strip(), last=last)
            last = count
            yield PriceBreak(count, parse_cost(cost, self._currency))


def _substitutes(text: str) -> tuple[str, ...]:
    """`SKU1 SKU2`. Raises QuantityError."""
    found = tuple(text.split())
    if len(found) > MOST_SUBSTITUTES:
        raise QuantityError("substitutes-many", text, most=MOST_SUBSTITUTES, count=len(found))
    for sku in found:
        if not SKU.fullmatch(sku):
            raise QuantityError("substitutes-unreadable", sku)
        if found.count(sku) > 1:
            raise QuantityError("substitute-twice", sku)
    return found


def _yes_or_no(text: str) -> bool:
    try:
        return _YES_OR_NO[text.lower()]
    except KeyError:
        raise QuantityError("breakable-unreadable", text) from None


def _reorder_at(text: str) -> int | None:
    return whole(text, 0, 0) if text else None
