"""The dimensions on a setting card's drawings: all that its table names, each where it is measured,
and each to be read: no line of leaf, head or body runs through a figure."""

from collections.abc import Iterator
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.documents.test_setting_cards import (
    LEAF_HANDS,
    SIZES,
    drawn,
    every_card,
    in_mount,
    paper_of,
)
from tests.support.house import sample, shelf
from tests.support.openings import openings

from wholekit.documents.drawings.sheet import FINE, FRAME, GREY, INK, LEAF, MIDDLE, TEXT, Sheet
from wholekit.documents.lettering import HEAVY, POINT, breadth
from wholekit.documents.setting_card import Setting, SettingCard
from wholekit.domain.openings import Hand, Mount, OpeningType

LETTERS = "abcdefgh"
# How high a figure is over its line, of its size (Source Sans 3: cap height 0.66 em).
CAPITALS = 0.66


def segments(element: ElementTree.Element) -> list[tuple[float, float, float, float]]:
    """The edges of a line or area, each as left, top, right, bottom; all are drawn level or upright
    where words stand, so the box of another holds it."""
    points = [tuple(map(float, pair.split(","))) for pair in element.attrib["points"].split()]
    if element.tag.endswith("polygon"):
        points.append(points[0])
    return [(min(x, a), min(y, b), max(x, a), max(y, b)) for (x, y), (a, b) in pairwise(points)]


def figures_crossed(svg: str) -> list[str]:
    """The dimensions through whose figures a line runs, or whose ground does not reach as far."""
    elements = list(ElementTree.fromstring(svg))  # noqa: S314  # our own drawing
    words = [each for each in elements if each.tag.endswith("text")][1:]
    wrong = []
    for told in words:
        if told.attrib["font-weight"] != "600":
            continue
        x, y, text = float(told.attrib["x"]), float(told.attrib["y"]), told.text or ""
        wide = breadth(text, TEXT / POINT, HEAVY)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[told.attrib["text-anchor"]]
        box = (left, y - CAPITALS * TEXT, left + wide, y)
        under = 0
        for number, element in enumerate(elements):
            if "points" not in element.attrib:
                continue
            heavy = float(element.attrib["stroke-width"]) >= MIDDLE
            edged = element.attrib.get("stroke", "none") != "none"
            crosses = any(overlap(box, each) for each in segments(element))
            ground = element.attrib["fill"] in (LEAF, FRAME, "#ffffff") and not edged
            if ground and number > 0 and holds(element, box):
                under = number
            elif crosses and (heavy if edged else element.attrib["fill"] in (LEAF, FRAME)):
                wrong.append(f"{text}: a line of the drawing")
            elif crosses and edged:
                # A thin line out stops for the figure: the ground is drawn over it.
                under = 0
        if not under:
            wrong.append(f"{text}: no ground over what lies below")
    return wrong


def dimensions_crossing(svg: str) -> list[str]:
    """The figures through which a line of a dimension runs, though its ground may lie over it."""
    elements = list(ElementTree.fromstring(svg))  # noqa: S314  # our own drawing
    lines = [
        edge
        for each in elements
        if "points" in each.attrib
        and each.attrib["fill"] == "none"
        and float(each.attrib["stroke-width"]) == FINE
        and not each.attrib.get("stroke-dasharray")
        for edge in segments(each)
    ]
    found = []
    for told in elements:
        if not told.tag.endswith("text") or told.attrib["font-weight"] != "600":
            continue
        x, y, text = float(told.attrib["x"]), float(told.attrib["y"]), told.text or ""
        wide = breadth(text, TEXT / POINT, HEAVY)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[told.attrib["text-anchor"]]
        box = (left, y - CAPITALS * TEXT, left + wide, y)
        found += [f"{text} at {x:.1f}, {y:.1f}: {line}" for line in lines if overlap(box, line)]
    return found


def overlap(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def holds(element: ElementTree.Element, box: tuple[float, ...]) -> bool:
    edges = segments(element)
    return (
        min(edge[0] for edge in edges) <= box[0] + 0.05
        and max(edge[2] for edge in edges) >= box[2] - 0.05
        and min(edge[1] for edge in edges) <= box[1]
        and max(edge[3] for edge in edges) >= box[3]
    )


@pytest.mark.parametrize(
    ("name", "card"), every_card(), ids=lambda one: one if isinstance(one, str) else ""
)
def test_no_line_of_leaf_head_or_body_runs_through_a_figure(name: str, card: Setting) -> None:
    assert figures_crossed(card.elevation) == [], name
    assert figures_crossed(card.plan) == [], name


@pytest.mark.parametrize("locale", ["fr_CA", "es_MX"])
def test_nor_in_longer_words(locale: str) -> None:
    for catalog in SIZES:
        for mount in Mount:
            for leaves in (1, 2):
                card = in_mount(catalog, mount, Hand.LH, leaves, locale)
                assert figures_crossed(card.elevation) == [], (catalog, mount, leaves)
                assert figures_crossed(card.plan) == [], (catalog, mount, leaves)


@pytest.mark.parametrize(
    ("name", "card"), every_card(), ids=lambda one: one if isinstance(one, str) else ""
)
def test_every_letter_of_the_table_stands_on_a_drawing(name: str, card: Setting) -> None:
    words = [*drawn(card.elevation).words(), *drawn(card.plan).words()]
    led = {word for text in words for word in text.split() if word in [*LETTERS]}
    assert led == {*LETTERS[: len(card.positions)]}, name


@pytest.mark.parametrize("hand", LEAF_HANDS)
@pytest.mark.parametrize("leaves", [1, 2])
@pytest.mark.parametrize("catalog", SIZES)
def test_a_brackets_distance_from_the_push_face_is_drawn_between_them(
    catalog: str, leaves: int, hand: Hand | None
) -> None:
    """On paper times scale; the templates' figures are read from the catalogue anew."""
    card = in_mount(catalog, Mount.PARALLEL, hand, leaves)
    plan = drawn(card.plan)
    letter = LETTERS[len(card.positions) - 1]
    distances = {
        template.anchor_from_face.in_millimetres
        for series in sample(catalog).series
        for template in series.templates
        if template.mount is Mount.PARALLEL
    }
    texts = [(x, y) for x, y, _, text in plan.texts if text.startswith(f"{letter} ")]
    assert len(texts) == leaves
    # Where the leaf stands closed, and the pivot of the bracket: the lower side is the push face.
    faces = [max(y for _, y in points) for points in plan.filled(LEAF)[:leaves]]
    pivots = [y for _, y, radius in plan.dots if radius == 0.9 and y > faces[0] + 0.5]
    assert len({*pivots}) == 1
    uprights = [
        points
        for told, points in plan.shapes
        if told["stroke"] == INK
        and len(points) == 2
        and points[0][0] == points[1][0]
        and sorted((points[0][1], points[1][1])) == pytest.approx([faces[0], pivots[0]], abs=0.02)
    ]
    assert len(uprights) == leaves
    for (x, _), (one, other) in zip(texts, uprights, strict=True):
        assert abs(x - one[0]) < 4
        reached = abs(one[1] - other[1]) * plan.scale
        assert any(abs(reached - each) < 0.6 for each in distances), (reached, distances)


def drawings_of(kind: OpeningType, locale: str) -> Iterator[str]:
    for page in paper_of(kind, on=shelf(), locale=locale).cards:
        if isinstance(page, SettingCard):
            yield page.common.elevation
            yield page.common.plan


@settings(max_examples=60)
@given(openings(), st.sampled_from(["en_US", "fr_CA", "es_MX"]))
def test_no_line_of_any_dimension_passes_through_a_figure(kind: OpeningType, locale: str) -> None:
    for drawing in drawings_of(kind, locale):
        if drawing:
            assert dimensions_crossing(drawing) == []


@pytest.mark.parametrize(("room", "pieces"), [(40.0, 1), (14.0, 2)])
def test_a_figure_stands_aside_of_a_line_that_runs_past_where_it_has_room(
    room: float, pieces: int
) -> None:
    """Forty millimetres for a figure of some twelve; over fourteen the line stops short of it."""
    sheet = Sheet(60, 30, "", "")
    past = room / 2
    sheet.across(0.0, past, 20.0, "", (20.0, 2.0))
    sheet.across(0.0, room, 12.0, 'c 8-1/4"', (2.0, 2.0), clear=[past])
    svg = sheet.svg()
    assert dimensions_crossing(svg) == []
    lines = [
        edge
        for each in ElementTree.fromstring(svg)  # noqa: S314  # our own drawing
        if each.attrib.get("stroke") == GREY
        for edge in segments(each)
        if edge[0] == edge[2] == pytest.approx(past, abs=0.01)
    ]
    assert len(lines) == pieces
