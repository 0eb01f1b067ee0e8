"""An SVG document, built element by element so that every text is escaped.

Presentation is in attributes, not in a stylesheet: the drawings are also laid into PDFs.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from itertools import pairwise
from typing import TypeAlias
from xml.etree import ElementTree

XY: TypeAlias = tuple[float, float]
# Left, top, right, bottom.
Box: TypeAlias = tuple[float, float, float, float]

FONT = "'Source Sans 3', 'Source Sans Pro', sans-serif"
INK = "#22303c"
FAINT = "#8a97a3"
GRID = "#dfe4e8"
PAPER = "#fdfcf9"
LEAF = "#d9c9a8"
FRAME = "#b9c3cb"
FIRST = "#1f5f8b"
SECOND = "#a8481f"
WIDE = 1.6


class Canvas:
    """A drawing surface [px, or another unit of SVG], its origin at the top left."""

    def __init__(
        self,
        width: float,
        height: float,
        title: str,
        description: str,
        unit: str = "",
        paper: str = PAPER,
    ) -> None:
        self._root = ElementTree.Element(
            "svg",
            {
                "xmlns": "http://www.w3.org/2000/svg",
                "viewBox": f"0 0 {_n(width)} {_n(height)}",
                "width": f"{_n(width)}{unit}",
                "height": f"{_n(height)}{unit}",
                "role": "img",
                "font-family": FONT,
                "font-size": "13",
            },
        )
        # Read out to who cannot see the drawing.
        ElementTree.SubElement(self._root, "title").text = title
        ElementTree.SubElement(self._root, "desc").text = description
        self.area([(0, 0), (width, 0), (width, height), (0, height)], paper)

    @property
    def drawn(self) -> int:
        """How many elements are drawn [count]."""
        return len(self._root)

    def strokes(self) -> Iterator[Box]:
        """What is drawn but words, as boxes: lines and edges of grounds, whole shapes, dots."""
        # The first is the paper.
        for element in self._root.findall("*")[3:]:
            told = element.attrib
            if "points" in told:
                pairs = [pair.split(",") for pair in told["points"].split()]
                corners = [(float(x), float(y)) for x, y in pairs]
                closed = corners[:1] if element.tag == "polygon" else []
                if closed and told["stroke"] != "none":
                    xs, ys = zip(*corners, strict=True)
                    yield min(xs), min(ys), max(xs), max(ys)
                for (x, y), (a, b) in pairwise([*corners, *closed]):
                    yield min(x, a), min(y, b), max(x, a), max(y, b)
            elif "r" in told:
                x, y, r = (float(told[name]) for name in ("cx", "cy", "r"))
                yield x - r, y - r, x + r, y + r

    @contextmanager
    def at(self, number: int) -> Iterator[None]:
        """Draw one element under all from that number on."""
        yield
        last = self._root[-1]
        self._root.remove(last)
        self._root.insert(number, last)

    def line(
        self, points: Sequence[XY], colour: str, width: float = WIDE, dashes: str = ""
    ) -> None:
        """An open line through points."""
        attributes = {
            "points": _points(points),
            "fill": "none",
            "stroke": colour,
            "stroke-width": _n(width),
            "stroke-linecap": "round",
            "stroke-linejoin": "round",
        }
        if dashes:
            attributes["stroke-dasharray"] = dashes
        ElementTree.SubElement(self._root, "polyline", attributes)

    def area(
        self,
        points: Sequence[XY],
        fill: str,
        edge: str = "none",
        dashes: str = "",
        width: float = WIDE,
    ) -> None:
        """A closed area, its edge so wide."""
        attributes = {
            "points": _points(points),
            "fill": fill,
            "stroke": edge,
            "stroke-width": _n(width),
            "stroke-linejoin": "round",
        }
        if dashes:
            attributes["stroke-dasharray"] = dashes
        ElementTree.SubElement(self._root, "polygon", attributes)

    def dot(self, at: XY, radius: float, fill: str, edge: str, width: float = WIDE) -> None:
        """A round mark, its edge so wide."""
        ElementTree.SubElement(
            self._root,
            "circle",
            {
                "cx": _n(at[0]),
                "cy": _n(at[1]),
                "r": _n(radius),
                "fill": fill,
                "stroke": edge,
                "stroke-width": _n(width),
            },
        )

    def text(
        self,
        at: XY,
        words: str,
        colour: str = INK,
        anchor: str = "start",
        size: float = 13,
        bold: bool = False,
        turned: bool = False,
    ) -> None:
        """Words at a point; anchor `start`, `middle` or `end`; turned: read from the right."""
        element = ElementTree.SubElement(
            self._root,
            "text",
            {
                "x": _n(at[0]),
                "y": _n(at[1]),
                "fill": colour,
                "text-anchor": anchor,
                "font-size": _n(size),
                "font-weight": "600" if bold else "400",
            },
        )
        element.text = words
        if turned:
            element.set("transform", f"rotate(-90 {_n(at[0])} {_n(at[1])})")

    def svg(self) -> str:
        """The document."""
        return ElementTree.tostring(self._root, encoding="unicode") + "\n"


def _points(points: Sequence[XY]) -> str:
    return " ".join(f"{_n(x)},{_n(y)}" for x, y in points)


def _n(value: float) -> str:
    # Never an exponent, and the same digits wherever it is drawn.
    return f"{value:.2f}".rstrip("0").rstrip(".")
