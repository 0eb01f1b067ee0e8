"""A delivery held against its order while it is counted: whose a code is, and how many may come."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from wholekit.domain.buying.placed import OPEN, Purchase, PurchaseState
from wholekit.domain.catalog.gtin import as_gtin_14, is_gtin
from wholekit.domain.errors import CallError

MOST_DELIVERED = 1_000_000  # packs of one line
_COUNTED = re.compile(r"([0-9]{1,7})\s*\*\s*(.+)")
_SHOWN = 40


@dataclass(frozen=True, slots=True)
class CountedLine:
    """What a scan counted: packs of it, those of its line in this delivery, and those expected
    before it. over: how many more came than were expected."""

    line: int
    packs: int
    counted: int
    expected: int

    @property
    def over(self) -> int:
        """Packs more than were expected."""
        return max(0, self.counted - self.expected)


@dataclass(slots=True)
class GoodsDelivery:
    """Packs counted of one delivery, by line of the order. over: more than expected may come."""

    purchase: Purchase
    over: bool = False
    counts: dict[int, int] = field(default_factory=dict)
    _done: list[tuple[int, int]] = field(default_factory=list)

    def scan(self, text: str) -> CountedLine:
        """One line of a scanner: a SKU or GTIN; `4*` before it counts four. Raises CallError, and
        has then counted nothing."""
        packs, code = 1, text.strip()
        if self.line_of(code) is None and (found := _COUNTED.fullmatch(code)):
            packs, code = int(found[1]), found[2].strip()
        return self.count(code, packs)

    def count(self, code: str, packs: int) -> CountedLine:
        """So many packs of a SKU or GTIN. Raises CallError: `delivery-item-wrong`,
        `packs-out-of-range`, `delivery-over`."""
        line = self.line_of(code)
        if line is None:
            raise CallError(
                "delivery-item-wrong",
                given=_short(code),
                order=self.purchase.label,
                ordered=[each.sku for each in self.purchase.order.lines],
            )
        if not 0 < packs <= MOST_DELIVERED:
            raise CallError("packs-out-of-range", given=packs, most=MOST_DELIVERED)
        counted = CountedLine(
            line, packs, self.counts.get(line, 0) + packs, self.purchase.open_packs[line]
        )
        if counted.over and not self.over:
            raise _too_many(self.purchase, counted)
        self.counts[line] = counted.counted
        self._done.append((line, packs))
        return counted

    def undo(self) -> CountedLine | None:
        """Take the last scan back; None where there is none."""
        if not self._done:
            return None
        line, packs = self._done.pop()
        self.counts[line] -= packs
        left = self.counts[line]
        if not left:
            del self.counts[line]
        return CountedLine(line, -packs, left, self.purchase.open_packs[line])

    def line_of(self, code: str) -> int | None:
        """The line whose SKU or GTIN a code is; None where it is of none."""
        lines = self.purchase.order.lines
        wanted = code.strip()
        for same in (wanted, wanted.upper()):
            for at, line in enumerate(lines):
                if line.sku == same:
                    return at
        if is_gtin(wanted):
            for at, line in enumerate(lines):
                if is_gtin(line.barcode) and as_gtin_14(line.barcode) == as_gtin_14(wanted):
                    return at
        return None


def require_receivable(purchase: Purchase) -> None:
    """Raises CallError where nothing can come of an order: it was never sent, or is cancelled."""
    if purchase.state is PurchaseState.DRAFT:
        raise CallError("purchase-not-sent", order=purchase.label)
    if purchase.state is PurchaseState.CANCELLED:
        raise CallError("purchase-cancelled", order=purchase.label)


def delivered(purchase: Purchase, counts: Mapping[int, int], *, closing: bool = False) -> Purchase:
    """The order after a delivery [packs by line]: closed once nothing is open, or where nobody
    expects the rest (`closing`)."""
    received = tuple(came + counts.get(at, 0) for at, came in enumerate(purchase.received))
    changed = replace(purchase, received=received, version=purchase.version + 1)
    if closing or purchase.state not in OPEN or not any(changed.open_packs):
        return replace(changed, state=PurchaseState.CLOSED)
    return replace(changed, state=PurchaseState.PART)


def _too_many(purchase: Purchase, counted: CountedLine) -> CallError:
    line = purchase.order.lines[counted.line]
    return CallError(
        "delivery-over",
        sku=line.sku,
        order=purchase.label,
        ordered=line.packs,
        received=purchase.received[counted.line],
        open=counted.expected,
        given=counted.counted,
    )


def _short(text: str) -> str:
    """The text as a sentence may show it: a scanner can send anything."""
    seen = "".join(sign if sign.isprintable() else "·" for sign in text[:_SHOWN])
    return seen if len(text) <= _SHOWN else seen[:-1] + "…"
