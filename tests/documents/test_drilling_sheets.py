"""Drilling sheets: measured in the printed PDF, as a fitter would put them together and measure.

The places come from the makers' catalogues; the PDF's lines are read with pypdf, apart from the
code that draws them.
"""

import math
import re
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import ContentStream
from tests.documents.test_setting_cards import (
    HEAD,
    IDENTITY,
    SIDE,
    STEEL,
    STOREFRONT,
    TEMPLATES,
    times,
)
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.drawings import Trued, draw_tiles
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.render import render_paper
from wholekit.domain.house_style import PageSize
from wholekit.domain.openings import Hand, HoldOpen, Mount, Opening

MM = 25.4 / 72
SIDES = ("width", "height")
SHEETS = {PageSize.LETTER: (215.9, 279.4), PageSize.A4: (210.0, 297.0)}
Point = tuple[float, float]


@dataclass
class Printed:
    """A page's strokes and shapes [mm from the lower left], with the dashes they were drawn with.

    Not filled while it is read: paths are gathered point by point.
    """

    lines: list[tuple[Point, Point, tuple[float, ...], float]] = field(default_factory=list)
    rounds: list[tuple[Point, float]] = field(default_factory=list)
    diamonds: list[Point] = field(default_factory=list)
    text: str = ""

    def hinge(self) -> float | None:
        """Where the line of centres stands, the one drawn with four kinds of dash."""
        found = {round(a[0], 3) for a, b, dashes, _ in self.lines if len(dashes) == 4}
        assert len(found) <= 1
        return found.pop() if found else None

    def edge(self) -> float | None:
        """The height of the one heavy level line."""
        found = {round(a[1], 3) for a, b, _, wide in self.lines if wide > 0.4 and a[1] == b[1]}
        assert len(found) <= 1
        return found.pop() if found else None

    def lengths(self) -> set[float]:
        return {round(math.dist(a, b), 2) for a, b, *_ in self.lines}


def walk(part, resources, reader, outer, page: Printed) -> None:
    """A content stream and the forms in it: every path in millimetres of the sheet."""
    content = part.get_contents() if hasattr(part, "get_contents") else part
    now, wide, kept = outer, 1.0, []
    dashes: tuple[float, ...] = ()
    path: list[Point] = []
    curves = 0

    def at(x, y):
        a, b, c, d, e, f = now
        return ((a * x + c * y + e) * MM, (b * x + d * y + f) * MM)

    for operands, operator in ContentStream(content, reader).operations:
        values = [float(one) for one in operands if isinstance(one, int | float | Decimal)]
        if operator == b"q":
            kept.append((now, dashes, wide))
        elif operator == b"Q":
            now, dashes, wide = kept.pop()
        elif operator == b"cm":
            now = times(values, now)
        elif operator == b"d":
            dashes = tuple(float(one) for one in operands[0])
        elif operator == b"w":
            wide = values[0]
        elif operator in (b"m", b"l"):
            path.append(at(*values))
        elif operator == b"c":
            path.append(at(*values[-2:]))
            curves += 1
        elif operator == b"re":
            path += [at(values[0], values[1])] * 2
        elif operator in (b"S", b"s", b"B", b"b", b"f", b"B*", b"b*", b"f*", b"n"):
            if operator != b"n":
                scale = math.hypot(now[0], now[1]) * MM
                gather(page, path, curves, dashes, wide * scale)
            path, curves = [], 0
        elif operator == b"Do":
            form = resources["/XObject"][operands[0]].get_object()
            if form["/Subtype"] == "/Form":
                own = tuple(float(one) for one in form.get("/Matrix", IDENTITY))
                walk(form, form.get("/Resources", resources), reader, times(own, now), page)


def gather(page: Printed, path: list[Point], curves: int, dashes, wide: float) -> None:
    xs, ys = [x for x, _ in path], [y for _, y in path]
    if curves >= 4:
        width, height = max(xs) - min(xs), max(ys) - min(ys)
        assert width == pytest.approx(height, abs=0.01)
        page.rounds.append((((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2), width))
    elif len(path) == 2:
        page.lines.append((path[0], path[1], dashes, wide))
    elif len(path) in (4, 5) and len({round(x, 2) for x in xs}) == 3:
        page.diamonds.append(((max(xs) + min(xs)) / 2, (max(ys) + min(ys)) / 2))


def printed(pdf) -> tuple[list[Printed], Any]:
    reader = PdfReader(pdf)
    pages = []
    for page in reader.pages:
        found = Printed(text=" ".join(page.extract_text().split()))
        walk(page, page["/Resources"], reader, IDENTITY, found)
        pages.append(found)
    return pages, reader


def put_together(tiles: list[Printed]) -> tuple[list[Point], float, float]:
    """Holes as from one large sheet, the hinge line and the edge: diamonds laid on diamonds."""
    shift, hinge, edge = (0.0, 0.0), None, None
    holes: list[Point] = []
    for number, tile in enumerate(tiles):
        if number:
            before = tiles[number - 1]
            right = sorted(before.diamonds)[-2:]
            left = sorted(tile.diamonds)[:2]
            moves = [(a[0] - b[0], a[1] - b[1]) for a, b in zip(right, left, strict=True)]
            # Both diamonds cover both at once: nothing is turned or stretched.
            assert moves[0] == pytest.approx(moves[1], abs=0.05)
            shift = (shift[0] + moves[0][0], shift[1] + moves[0][1])
        for (x, y), _ in tile.rounds:
            place = (x + shift[0], y + shift[1])
            if all(math.dist(place, other) > 0.5 for other in holes):
                holes.append(place)
            else:
                # The same hole on two sheets lies at one place.
                assert min(math.dist(place, other) for other in holes) < 0.05
        line = tile.hinge()
        hinge = hinge if line is None else line + shift[0]
        level = tile.edge()
        assert level is not None
        edge = edge if edge is not None else level + shift[1]
        assert level + shift[1] == pytest.approx(edge, abs=0.05)
    assert hinge is not None
    assert edge is not None
    return holes, hinge, edge


def job(catalog: str, size: str, hand: Hand | None, **more: Any):
    told = {**STEEL, "hand": hand, **more}
    types = [
        opening(
            size,
            **told,
            mount=mount,
            body_side=SIDE[mount],
            **({"head_face": "5 in"} if mount is Mount.TOP_JAMB else {}),
        )
        for mount in Mount
    ]
    openings = [Opening(f"10{number}", each) for number, each in enumerate(types, 1)]
    return offered(openings, shelf(catalog)).offer


@pytest.mark.parametrize(
    ("size", "catalog", "width", "hand", "right"),
    [
        (PageSize.LETTER, "tarrowby", "3070", Hand.LH, {Mount.REGULAR}),
        (PageSize.A4, "averlund", "926x2040 mm", Hand.RH, {Mount.PARALLEL, Mount.TOP_JAMB}),
    ],
)
def test_holes_lie_where_the_template_puts_them_to_a_tenth_of_a_millimetre(
    size, catalog, width, hand, right, tmp_path
):
    """Sheets put together by their diamonds, measured from the hinge line and the edge as printed.

    The figures are the catalogue's. The side of the hinges is that of published handing guides.
    """
    offer = job(catalog, width, hand)
    paper = drilling_paper(offer, RULES)
    out = tmp_path / "sheets.pdf"
    render_paper(replace(paper, head=replace(HEAD, page_size=size)), out, TEMPLATES)
    pages, reader = printed(out)
    box = [float(side) * MM for side in reader.pages[0].mediabox[2:]]
    assert box == pytest.approx(SHEETS[size], abs=0.05)
    assert reader.root_object["/ViewerPreferences"]["/PrintScaling"] == "/None"
    at = 1
    for sheet, kit in zip(paper.sheets, offer.kits, strict=True):
        tiles = pages[at : at + len(sheet.tiles)]
        at += len(sheet.tiles)
        assert len(tiles) > 1
        for tile in tiles:
            # Rules to hold a steel one to, and marks to cut by.
            assert {100.0, 101.6} <= tile.lengths()
            assert "Print at 100 %, no scaling; check both rules before drilling." in tile.text
            assert "The maker's template in the box governs." in tile.text
            assert sum(abs(math.dist(a, b) - 4.0) < 0.03 for a, b, *_ in tile.lines) >= 8
        holes, hinge, edge = put_together(tiles)
        assert kit.template is not None
        assert kit.body is not None
        along, across = (length.in_millimetres for length in kit.body.hole_pattern)
        first = kit.template.holes_from_hinge.in_millimetres
        down = kit.template.holes_down.in_millimetres
        # The samples' regular and parallel heights are of the upper row, top jambs' of the lower.
        up = 1 if kit.mount is Mount.TOP_JAMB else -1
        side = -1 if kit.mount in right else 1
        wanted = sorted(
            (side * (first + column), up * (down + row))
            for column in (0, along)
            for row in (0, across)
        )
        found = sorted((x - hinge, y - edge) for x, y in holes)
        assert len(found) == 4
        for seen, place in zip(found, wanted, strict=True):
            assert seen == pytest.approx(place, abs=0.1), (kit.mount, found, wanted)
    assert at == len(pages)


def test_the_table_beside_the_drawing_gives_the_makers_figures():
    paper = drilling_paper(job("averlund", "3070", Hand.LH), RULES)
    holes = paper.sheets[0].holes
    assert [hole.number for hole in holes] == [1, 2, 3, 4]
    # 12 mm in the schedule's inches, with the maker's own figure.
    assert holes[0].down == "15/32 in (12 mm)"
    assert holes[0].down == holes[1].down != holes[2].down
    assert holes[0].along == holes[2].along != holes[1].along


def test_a_hand_that_is_not_stated_gets_a_sheet_for_either_side_and_says_so():
    paper = drilling_paper(job("tarrowby", "3070", None), RULES)
    assert len(paper.sheets) == 6
    left, right = paper.sheets[:2]
    assert (left.places, right.places) == ("101", "101")
    assert left.seen.startswith("Hinges at the left.")
    assert right.seen.startswith("Hinges at the right.")
    assert all(note.startswith("HAND NOT STATED") for note in (*left.notes, *right.notes))
    assert left.notes


def test_a_pair_gets_a_sheet_for_each_leaf():
    paper = drilling_paper(job("tarrowby", "3070", Hand.RHR, leaves=2), RULES)
    assert len(paper.sheets) == 6
    assert [sheet.title.rpartition("; ")[2] for sheet in paper.sheets[2:4]] == [
        "left leaf RHR",
        "right leaf LHR",
    ]


def test_what_is_held_or_drilled_by_the_makers_template_has_no_sheet_and_says_why():
    types = (
        opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM, hand=Hand.LH, **STEEL),
        opening("3070", mount=Mount.PARALLEL, hand=Hand.LH, top_rail="2-1/4 in", **STOREFRONT),
    )
    openings = [Opening(f"10{number}", each) for number, each in enumerate(types, 1)]
    paper = drilling_paper(offered(openings, shelf("tarrowby")).offer, RULES)
    assert paper.sheets == ()
    held, plated = paper.undrawn
    assert (held.places, held.because) == ("101", "HOLD: do not drill yet.")
    assert "drill by the plate's template" in plated.because


@settings(max_examples=25)
@given(
    st.floats(20, 600), st.floats(20, 400), st.floats(10, 300), st.floats(10, 120), st.booleans()
)
def test_every_hole_is_whole_on_a_sheet_however_many_there_are(first, along, down, across, up):
    """Sheets in rows and columns; a lap has two diamonds on each of its sheets, an end has none."""
    holes = tuple((first + x, down + y) for y in (0.0, across) for x in (0.0, along))
    trued = Trued(holes, 6.1, ((first / 2, "pinion"),), "hinge", "edge", up, up)
    tiles, each_row = draw_tiles(trued, "{tile}/{tiles}")
    assert len(tiles) % each_row == 0
    texts = [re.findall(r">([1-4])</text>", tile) for tile in tiles]
    assert {number for found in texts for number in found} == {"1", "2", "3", "4"}
    for tile in tiles:
        width, height = (float(re.findall(f'{side}="([0-9.]+)mm"', tile)[0]) for side in SIDES)
        assert width <= 178.01
        assert height <= 162.01
    laps = sum(tile.count("<polygon") - 1 for tile in tiles)
    rows = len(tiles) // each_row
    assert laps == 4 * ((each_row - 1) * rows + (rows - 1) * each_row)
