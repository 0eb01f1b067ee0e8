"""Bar codes of items and bins, drawn so that each module is whole dots of a label printer."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from wholekit.documents.bag_code import DOTS_PER_INCH, MM_PER_INCH
from wholekit.domain.catalog.gtin import retail_gtin

if TYPE_CHECKING:
    from collections.abc import Iterator

DOT = MM_PER_INCH / DOTS_PER_INCH  # [mm]
# Of a printer's dots to a module, the widest first. Three make 0.38 mm, within the 0.264 to 0.66 mm
# of GS1's general specifications for a till; four its least for a warehouse (from memory,
# not read).
# A bar of one dot may fall between two and is not read.
DOTS = (4, 3, 2)
# Light modules left and right: EAN-13 and UPC-A by GS1's general specifications, Code 128 by
# ISO/IEC 15417 (from memory, not read).
_QUIET = {"ean13": (11, 7), "upca": (9, 9), "code128": (10, 10)}
_UPC_DIGITS = 12


@dataclass(frozen=True, slots=True)
class Bars:
    """A bar code: its modules from left to right with the quiet zones, dark as 1, and what is
    printed under it."""

    kind: str
    text: str
    modules: str

    def dots_within(self, width: float) -> int:
        """The most dots to a module with which it is no wider [mm]; 0 where none is."""
        return next((dots for dots in DOTS if len(self.modules) * dots * DOT <= width), 0)

    def drawing(self, dots: int, height: float) -> str:
        """It as an SVG document, so many dots to a module and so high [mm]."""
        bars = "".join(f"M{at} 0h{wide}v1h-{wide}z" for at, wide in self._bars())
        wide = len(self.modules)
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide * dots * DOT:.4f}mm"'
            f' height="{height}mm" viewBox="0 0 {wide} 1" preserveAspectRatio="none">'
            f'<path d="{bars}"/></svg>'
        )

    def _bars(self) -> "Iterator[tuple[int, int]]":
        at = 0
        for run in self.modules.replace("10", "1 0").replace("01", "0 1").split():
            if run[0] == "1":
                yield at, len(run)
            at += len(run)


def item_bars(sku: str, barcode: str) -> Bars:
    """An item's GTIN as EAN-13 or UPC-A where it has one of their length, else its SKU as Code
    128."""
    gtin = retail_gtin(barcode)
    if gtin:
        return _made("upca" if len(gtin) == _UPC_DIGITS else "ean13", gtin)
    return _made("code128", sku)


def text_bars(text: str) -> Bars | None:
    """A text as Code 128; None where it has signs that are not in it."""
    if not text or not text.isascii() or not text.isprintable():
        return None
    return _made("code128", text)


def _made(kind: str, text: str) -> Bars:
    import barcode

    (modules,) = barcode.get_barcode_class(kind)(text).build()
    left, right = _QUIET[kind]
    return Bars(kind, text, "0" * left + modules + "0" * right)
