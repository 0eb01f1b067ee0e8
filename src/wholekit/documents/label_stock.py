"""The sheets and rolls that labels are printed on, as data: sizes only."""

from dataclasses import dataclass
from enum import StrEnum

from wholekit.domain.errors import CallError

# Around what stands on a label, left and right, and the rule round it [mm]; none on a small one.
PADDING, BORDER = 3.0, 0.18


class LabelForm(StrEnum):
    """How much a label has room for: contents in one column, in two, or only their count."""

    LARGE = "large"
    MIDDLE = "middle"
    SMALL = "small"


@dataclass(frozen=True, slots=True)
class LabelStock:
    """A stock: page [mm] (None: the sheet of paper in use), how many labels across and down, the
    height of one inside its padding, the page's margins (top, sides, foot) and the gap between
    labels [mm].

    lines: of contents on a label [count]. dots: of a 203 dpi printer to a module of its code.
    """

    name: str
    form: LabelForm
    page: tuple[float, float] | None
    across: int
    down: int
    height: float
    edges: tuple[float, float, float]
    gap: float
    lines: int
    dots: int

    @property
    def to_a_page(self) -> int:
        """Labels on a page [count]."""
        return self.across * self.down

    def width(self, sheet: float) -> float:
        """How wide one is inside its padding [mm]. sheet: the width of the paper in use [mm]."""
        across = (self.page[0] if self.page else sheet) - 2 * self.edges[1]
        one = (across - (self.across + 1) * self.gap) / self.across
        return one if self.form is LabelForm.SMALL else one - 2 * (PADDING + BORDER)

    @property
    def css(self) -> str:
        """Its sizes as a style sheet, to stand after the labels' own."""
        top, side, bottom = self.edges
        # A label that is a page of its own has no foot.
        page = (
            ""
            if self.page is None
            else f"@page {{ size: {self.page[0]}mm {self.page[1]}mm;"
            " @bottom-left { content: none } @bottom-right { content: none } }\n"
        )
        return (
            f"{page}@page {{ margin: {top}mm {side}mm {bottom}mm }}\n"
            f".sheet > table {{ border-spacing: {self.gap}mm }}\n"
            f".label, .sheet > table > tbody > tr > td {{ height: {self.height}mm }}\n"
        )


SHEET_10 = LabelStock("sheet-10", LabelForm.MIDDLE, None, 2, 5, 44.3, (9, 12, 12), 2, 8, 4)
STOCKS = (
    SHEET_10,
    LabelStock("sheet-4", LabelForm.LARGE, None, 2, 2, 117, (11, 12, 14), 2, 10, 6),
    LabelStock("4x6in", LabelForm.LARGE, (101.6, 152.4), 1, 1, 141, (3, 3, 3), 0, 16, 6),
    LabelStock("a6", LabelForm.LARGE, (105, 148), 1, 1, 136, (3, 3, 3), 0, 16, 6),
    LabelStock("2x1in", LabelForm.SMALL, (50.8, 25.4), 1, 1, 22.8, (1, 1.5, 1), 0, 0, 3),
)


def stock_named(name: str) -> LabelStock:
    """The stock of a name. Raises CallError `label-stock-unknown`."""
    for stock in STOCKS:
        if stock.name == name.strip().lower():
            return stock
    known = ", ".join(stock.name for stock in STOCKS)
    raise CallError("label-stock-unknown", given=name, known=known)
