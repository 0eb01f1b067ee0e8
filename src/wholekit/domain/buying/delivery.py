"""A delivery held against its order while it is counted: whose a code is, and how many may come."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from wholekit.domain.buying.placed import OPEN, Purchase, PurchaseState
from wholekit.domain.errors import CallError

MOST_DELIVERED = 1_000_000  # packs of one line
_SHOWN = 40


@dataclass(frozen=True, slots=True)
class CountedLine:
    """What was counted: packs of it, those of its line in this delivery, and those expected before
    it. over: how many more came than were expected."""

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

    def count(self, code: str, packs: int) -> CountedLine:
        """So many packs of a SKU or GTIN. Raises CallError: `delivery-item-wrong`,
        `packs-out-of-range`, `delivery-over`."""
        line = self.purchase.line_of(code)
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
        return counted


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


def taken_back(purchase: Purchase, line: int, packs: int) -> Purchase:
    """The order after packs of a line that had come are taken back [count]: open again, unless it
    was closed with something that nobody expected."""
    came = purchase.received
    full = all(line.packs <= had for line, had in zip(purchase.order.lines, came, strict=True))
    received = tuple(had - packs * (at == line) for at, had in enumerate(came))
    changed = replace(purchase, received=received, version=purchase.version + 1)
    if purchase.state is PurchaseState.CLOSED and not full:
        return changed
    opened = replace(changed, state=PurchaseState.PART if any(received) else PurchaseState.SENT)
    return opened if any(opened.open_packs) else changed


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
