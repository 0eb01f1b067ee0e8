"""The judge of a scan at the goods that come of a purchase order."""

from dataclasses import dataclass

from wholekit.domain.buying import Purchase
from wholekit.domain.picking.judge import why_unknown
from wholekit.domain.picking.scan import CodeScan, ScanRefused, shown
from wholekit.domain.picking.ware import Codes


@dataclass(frozen=True, slots=True)
class GoodsCounted:
    """A scan that counts [packs]. received, ordered: of its line, with it; again: it was counted
    before; back: it is taken back."""

    line: int
    sku: str
    packs: int
    received: int
    ordered: int
    again: bool = False
    back: bool = False

    @property
    def open(self) -> int:
        """Packs still to come."""
        return max(0, self.ordered - self.received)

    @property
    def over(self) -> int:
        """Packs more than were ordered."""
        return max(0, self.received - self.ordered)


def judge_goods(
    purchase: Purchase, scan: CodeScan, codes: Codes, *, over: bool = False
) -> GoodsCounted | ScanRefused:
    """Whether packs count as come of an order. over: more than it asks for may."""
    at = purchase.line_of(scan.code)
    if at is None:
        return _not_ordered(purchase, scan, codes)
    line, came, left = purchase.order.lines[at], purchase.received[at], purchase.open_packs[at]
    if scan.packs > left and not over:
        fields = {"order": purchase.label, "sku": line.sku, "count": scan.packs, "open": left,
                  "ordered": line.packs, "received": came}  # fmt: skip
        return ScanRefused("goods-over", fields)
    return GoodsCounted(at, line.sku, scan.packs, came + scan.packs, line.packs)


def _not_ordered(purchase: Purchase, scan: CodeScan, codes: Codes) -> ScanRefused:
    """The refusal of a code that the order does not ask for, with what it still does."""
    lines = [
        (line, left)
        for line, left in zip(purchase.order.lines, purchase.open_packs, strict=True)
        if left
    ]
    found = codes.find(scan.code)
    why, half = why_unknown(scan, [(line.sku, line.barcode) for line, _ in lines], codes)
    usual = "scan-unknown" if lines else "goods-unknown"
    code = "goods-not-ordered" if found else why or usual
    fields: dict[str, object] = {
        "order": purchase.label,
        "given": shown(scan.code),
        "sku": found[0].sku if found else "",
        "wanted": "",
    }
    if lines:
        line, left = lines[half or 0]
        fields |= {"wanted": line.sku, "wanted_title": line.description, "packs": left}
    return ScanRefused(code, fields)
