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
from wholekit.documents.drawings.tiles import draw_rules
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.render import render_paper
from wholekit.domain.house_style import PageSize
from wholekit.domain.openings import BodySide, Door, Frame, Hand, HoldOpen, Mount, Opening

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
        """Where the line of centers stands, the one drawn with four kinds of dash."""
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


def parts_of(page: Printed) -> list[Printed]:
    """The drawing's parts on a page from the top, each between the crop marks at its corners."""
    levels = sorted(
        {
            round(a[1], 1)
            for a, b, *_ in page.lines
            if a[1] == pytest.approx(b[1], abs=0.001)
            and math.dist(a, b) == pytest.approx(4.0, abs=0.03)
        },
        reverse=True,
    )
    assert len(levels) % 2 == 0
    parts = []
    for top, bottom in zip(levels[::2], levels[1::2], strict=True):
        part = Printed()
        part.lines = [line for line in page.lines if bottom <= line[0][1] <= top + 0.1]
        part.rounds = [one for one in page.rounds if bottom <= one[0][1] <= top]
        part.diamonds = [at for at in page.diamonds if bottom <= at[1] <= top]
        parts.append(part)
    return parts


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
        expected = draw_tiles(sheet.trued, size, "A")
        own = pages[at : at + len(expected.pages)]
        for page, leaf in zip(own, reader.pages[at:], strict=False):
            turned = SHEETS[size][::-1] if expected.turned else SHEETS[size]
            assert [float(side) * MM for side in leaf.mediabox[2:]] == pytest.approx(
                turned, abs=0.05
            )
            # Rules to hold a steel one to, and marks to cut by.
            assert {100.0, 101.6} <= page.lengths()
            assert "Print at 100 %, no scaling; check both rules before drilling." in page.text
            assert "The maker's template in the box governs." in page.text
            assert sum(abs(math.dist(a, b) - 4.0) < 0.03 for a, b, *_ in page.lines) >= 8
        at += len(own)
        tiles = [part for page in own for part in parts_of(page)]
        assert len(tiles) == 2
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


def test_the_table_stands_clear_of_the_rules_beside_it():
    """Their white ground would cover the numbers of its holes."""
    css = (TEMPLATES / "papers" / "drilling.css").read_text(encoding="utf-8")
    found = re.search(r"\.sides \.rules { width: ([0-9.]+)mm; }", css)
    drawn = re.search(r'width="([0-9.]+)mm"', draw_rules())
    assert found
    assert drawn
    assert float(found[1]) > float(drawn[1])


def test_a_hand_that_is_not_stated_gets_a_sheet_for_either_side_and_says_so():
    paper = drilling_paper(job("tarrowby", "3070", None), RULES)
    assert len(paper.sheets) == 6
    left, right = paper.sheets[:2]
    assert left.places == right.places == "101 (hand not stated)"
    assert left.seen.startswith("Hinges at the left.")
    assert right.seen.startswith("Hinges at the right.")
    for sheet in (left, right):
        assert [note.text.split(":")[0] for note in sheet.notes] == ["HAND NOT STATED"]
        assert sheet.notes[0].places == ""


def test_a_pair_gets_a_sheet_for_each_leaf():
    paper = drilling_paper(job("tarrowby", "3070", Hand.RHR, leaves=2), RULES)
    assert len(paper.sheets) == 6
    assert [sheet.places for sheet in paper.sheets[2:4]] == [
        "102 (leaf RHR, right leaf from outside)",
        "102 (leaf LHR, left leaf from outside)",
    ]
    for sheet in paper.sheets:
        pair = "leaf" in sheet.places
        # Four holes, four screws.
        assert sheet.screws[0].text.startswith("on this leaf: 4 ") == pair


def test_a_stated_rails_edge_is_drawn_and_warned_of_where_holes_come_too_near():
    """A rail of 2-1/4 in; holes at 1-7/8 in are 3/8 in from its edge."""
    told = {"door": Door.ALUMINUM, "frame": Frame.ALUMINUM, "hand": Hand.LHR}
    told |= {"mount": Mount.PARALLEL, "body_side": BodySide.PUSH}
    near, far = (opening("3070", top_rail=rail, **told) for rail in ("2-1/4 in", "9 in"))
    openings = [Opening("101", near), Opening("102", far)]
    paper = drilling_paper(offered(openings, shelf("quillmere")).offer, RULES)
    first = next(sheet for sheet in paper.sheets if sheet.places.startswith("101"))
    ((down, name),) = first.trued.far
    assert (round(down, 2), name) == (57.15, "lower edge of rail, as stated")
    (warned,) = first.notes
    assert "are 3/8 in from it" in warned.text
    (host,) = first.hosts
    assert host.text.startswith("Top rail: 2-1/4 in, as stated.")
    (drilled,) = first.screws
    assert "rivet nuts" in drilled.text
    assert "drill Ø" in drilled.text
    drawing = draw_tiles(first.trued, PageSize.LETTER, "A").pages[0][0].drawing
    assert "lower edge of rail, as stated" in drawing
    for sheet in paper.sheets:
        if sheet is not first:
            assert (sheet.trued.far, sheet.notes) == ((), ())


def test_equal_sheets_are_printed_once_with_all_their_marks():
    """A pair's leaf, a single door of that hand and one whose hand is not stated are drilled alike.

    Every opening is on as many sheets as it has leaves, or on both sides' where nobody knows.
    """
    told = {**STEEL, "mount": Mount.REGULAR, "body_side": SIDE[Mount.REGULAR]}
    types = (
        opening("3070", hand=Hand.RH, leaves=2, **told),
        opening("3070", hand=Hand.LH, **told),
        opening("3070", hand=None, **told),
    )
    openings = [Opening(f"10{number}", each) for number, each in enumerate(types, 1)]
    paper = drilling_paper(offered(openings, shelf("tarrowby")).offer, RULES)
    assert [sheet.places for sheet in paper.sheets] == [
        "101 (leaf RH, right leaf from outside); 103 (hand not stated)",
        "101 (leaf LH, left leaf from outside); 102 (LH); 103 (hand not stated)",
    ]
    assert [sheet.quantity for sheet in paper.sheets] == [2, 3]
    assert [note.places for sheet in paper.sheets for note in sheet.notes] == ["103", "103"]
    assert len({sheet.trued for sheet in paper.sheets}) == 2


def test_a_long_list_of_marks_takes_no_room_from_the_drawing(tmp_path):
    """Marks as long as a label holds: the tile says where they are listed, and stays one page."""
    told = {**STEEL, "mount": Mount.REGULAR, "body_side": SIDE[Mount.REGULAR], "hand": None}
    openings = [Opening(f"{number} " + "W" * 57, opening("3070", **told)) for number in range(5)]
    paper = drilling_paper(offered(openings, shelf("tarrowby")).offer, RULES)
    for size in PageSize:
        out = tmp_path / "long.pdf"
        render_paper(replace(paper, head=replace(HEAD, page_size=size)), out, TEMPLATES)
        texts = [" ".join(page.extract_text().split()) for page in PdfReader(out).pages]
        wanted = sum(len(draw_tiles(one.trued, size, "A").pages) for one in paper.sheets)
        assert sum("check both rules before drilling." in text for text in texts) == wanted
        assert sum("HAND NOT STATED" in text for text in texts) == wanted
        assert "those of A on the first pages" in texts[-wanted]
        assert all(str(number) + " W" in "".join(texts[:-wanted]) for number in range(5))
        assert not any("W" * 57 in text for text in texts[-wanted:])


def test_what_is_held_or_drilled_by_the_makers_template_has_no_sheet_and_says_why():
    types = (
        opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM, hand=Hand.LH, **STEEL),
        opening("3070", mount=Mount.PARALLEL, hand=Hand.LH, top_rail="2-1/4 in", **STOREFRONT),
    )
    openings = [Opening(f"10{number}", each) for number, each in enumerate(types, 1)]
    paper = drilling_paper(offered(openings, shelf("tarrowby")).offer, RULES)
    assert paper.sheets == ()
    why = {each.places: each.because for each in paper.undrawn}
    assert why.keys() == {"101", "102"}
    assert why["101"] == "HOLD: do not drill yet."
    assert "drill by the plate's template" in why["102"]


@settings(max_examples=25)
@given(
    st.floats(20, 600),
    st.floats(20, 400),
    st.floats(10, 300),
    st.floats(10, 120),
    st.booleans(),
    st.sampled_from(PageSize),
)
def test_every_hole_is_whole_on_a_sheet_however_many_there_are(
    first, along, down, across, up, size
):
    """Parts in rows and columns; a lap has two diamonds on each of its parts, an end has none."""
    holes = tuple((first + x, down + y) for y in (0.0, across) for x in (0.0, along))
    trued = Trued(holes, 6.1, ((first / 2, "pinion"),), "hinge", "edge", up, up)
    tiles = draw_tiles(trued, size, "A")
    drawings = [tile.drawing for page in tiles.pages for tile in page]
    texts = [re.findall(r">([1-4])</text>", drawing) for drawing in drawings]
    assert {number for found in texts for number in found} == {"1", "2", "3", "4"}
    wide, high = SHEETS[size][::-1] if tiles.turned else SHEETS[size]
    for page in tiles.pages:
        sides = [
            [float(re.findall(f'{side}="([0-9.]+)mm"', tile.drawing)[0]) for side in SIDES]
            for tile in page
        ]
        # What is left for margins, head and tables.
        assert max(width for width, _ in sides) <= wide - 16
        assert sum(height for _, height in sides) <= high - 58.9
    joins = 0
    for tile in (tile for page in tiles.pages for tile in page):
        joins += len(tile.joins)
        between = sum(join.startswith(("Upper", "Lower")) for join in tile.joins) == 2
        assert re.search(">([1-4]|edge)</text>", tile.drawing) or between
    assert sum(drawing.count("<polygon") - 1 for drawing in drawings) == 2 * joins
    # Each but the first hangs on another, and both say so.
    assert joins >= 2 * (len(drawings) - 1)


def test_a_sheet_takes_fewer_pages_than_upright_paper_alone_would():
    """The usual drilling, some 340 × 95 mm, comes on two turned sheets; a low one on one."""
    holes = ((80.0, 12.0), (300.0, 12.0), (80.0, 95.0), (300.0, 95.0))
    usual = Trued(holes, 6.1, ((170.0, "pinion"),), "hinge", "edge", hinge_right=False, up=False)
    low = replace(usual, holes=tuple((x, y / 2) for x, y in holes))
    for size in PageSize:
        drawn = draw_tiles(usual, size, "A")
        assert (drawn.turned, [len(page) for page in drawn.pages]) == (True, [1, 1])
        assert [len(page) for page in draw_tiles(low, size, "A").pages] == [2]
