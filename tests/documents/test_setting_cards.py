"""Setting cards: what a fitter drills by, case by case, in words, in numbers and as drawn."""

import math
import re
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from pypdf.generic import ContentStream
from tests.support.house import RULES, opening, sample, shelf
from tests.support.offers import offered

from wholekit.documents.card_room import fit_of, laid_out
from wholekit.documents.card_sharing import shared_pages
from wholekit.documents.drawings.sheet import FRAME, LEAF, TEXT, TICK, TITLE, width_of
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.papers import Letterhead, PaperHead
from wholekit.documents.render import render_paper
from wholekit.documents.setting_card import GaugeReading, HoldPage, Setting, SettingCard
from wholekit.domain.findings import Severity
from wholekit.domain.house_style import PageSize
from wholekit.domain.kits import Shelf
from wholekit.domain.openings import (
    BodySide,
    Door,
    Frame,
    Hand,
    HoldOpen,
    Location,
    Mount,
    Opening,
    OpeningType,
    Stop,
    Swing,
    Unclear,
)
from wholekit.domain.quantities import parse_force, parse_pattern, parse_pressure, parse_speed
from wholekit.intake.openings import read_openings
from wholekit.settings import bundled
from wholekit.wording.offered import without_price
from wholekit.wording.speech import speaking, tr
from wholekit.wording.to_customers import is_calculated
from wholekit.wording.to_fitters import IN_ITS_OWN_WORDS, fitters_are_told

SCHOOL = bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv"
LBF = 4.4482216152605  # newtons, exactly: 0.45359237 kg × 9.80665 m/s²
DAY = date(2026, 11, 25)
HEAD = PaperHead(
    Letterhead("Fernhollow Door Supply", phone="555 0100"),
    "Q-1",
    DAY,
    "Saltmarsh Builders",
    "Annex",
)
TEMPLATES = Path(__file__).parents[2] / "templates"
STEEL: dict[str, Any] = {
    "door": Door.HOLLOW_METAL,
    "frame": Frame.STEEL,
    "door_reinforced": True,
    "frame_reinforced": True,
}
STOREFRONT: dict[str, Any] = {"door": Door.ALUMINUM, "frame": Frame.ALUMINUM}
SIDE = {
    Mount.REGULAR: BodySide.PULL,
    Mount.PARALLEL: BodySide.PUSH,
    Mount.TOP_JAMB: BodySide.PUSH,
}
LEAF_HANDS = [None, *Hand]
SIZES: dict[str, tuple[str, dict[str, Any]]] = {
    "tarrowby": ("3070", {}),
    "averlund": ("926x2040 mm", {"jurisdiction": "uk"}),
}


def paper_of(*types: OpeningType, on: Shelf, locale: str = "en_US"):
    openings = [Opening(f"10{number}", each) for number, each in enumerate(types, 1)]
    offer = offered(openings, on, locale=locale).offer
    paper = cards_paper(offer, RULES)
    return replace(paper, head=replace(HEAD, language=paper.head.language, locale=locale))


def page_of(size: str = "3070", catalog: str = "tarrowby", locale: str = "en_US", **told: Any):
    return paper_of(opening(size, **told), on=shelf(catalog), locale=locale).cards[0]


def setting_on(page: SettingCard | HoldPage) -> Setting:
    """The one setting on a card."""
    assert isinstance(page, SettingCard), page
    (setting,) = page.settings
    return setting


def card_of(
    size: str = "3070", catalog: str = "tarrowby", locale: str = "en_US", **told: Any
) -> Setting:
    return setting_on(page_of(size, catalog, locale, **told))


def paper_with(*settings: Setting, size: PageSize = PageSize.LETTER):
    """A paper with a card for each of the settings, however alike they are."""
    cards = [card for each in settings for card in shared_pages([each], ("101", "102"))]
    empty = paper_of(on=shelf("tarrowby"))
    return replace(empty, head=replace(HEAD, page_size=size), cards=tuple(cards))


@cache
def in_mount(
    catalog: str, mount: Mount, hand: Hand | None, leaves: int = 1, locale: str = "en_US"
) -> Setting:
    size, place = SIZES[catalog]
    face: dict[str, Any] = {"head_face": "5 in"} if mount is Mount.TOP_JAMB else {}
    told: dict[str, Any] = {
        **STEEL,
        **place,
        **face,
        "mount": mount,
        "body_side": SIDE[mount],
        "hand": hand,
    }
    return card_of(size, catalog, locale, leaves=leaves, **told)


def said(card: Setting) -> str:
    """All that a card says outside its drawings."""
    steps = [f"{step.lead} {step.text}" for step in (*card.placing, *card.steps)]
    rows = [
        f"{position.what} {position.distance} {position.measured_from} {position.maker}"
        for position in card.positions
    ]
    parts = [f"{part.sku} {part.what}" for part in card.parts]
    readings = [f"{reading.what}: {reading.limit}" for reading in card.readings]
    told = [f"{label} {value}" for label, value in card.calculated]
    words = (
        card.no_positions,
        card.fire,
        *readings,
        *card.gauges,
        *card.alarms,
        *card.edges,
        *card.hosts,
        *(screws.said for screws in card.fasteners),
        *card.warnings,
        *card.cautions,
    )
    return "\n".join((card.mount, card.hand, *parts, *rows, *steps, *words, *told))


# --- drawings read back ----------------------------------------------------------------------


@dataclass(frozen=True)
class Drawn:
    """A drawing read back: its shapes' points, dots with radius, texts [mm of paper]."""

    width: float
    height: float
    scale: int
    shapes: list[tuple[dict[str, str], list[tuple[float, float]]]]
    dots: list[tuple[float, float, float]]
    texts: list[tuple[float, float, str, str]]

    def words(self) -> list[str]:
        return [text for *_, text in self.texts]

    def hinge_line(self) -> float:
        """Where the one line of centers stands."""
        (points,) = {
            tuple(points)
            for told, points in self.shapes
            if told.get("stroke-dasharray", "").count(" ") == 3
        }
        assert points[0][0] == points[1][0]
        return points[0][0]

    def filled(self, colour: str) -> list[list[tuple[float, float]]]:
        return [points for told, points in self.shapes if told["fill"] == colour]

    def holes(self) -> list[tuple[float, float]]:
        return sorted((x, y) for x, y, radius in self.dots if radius == 0.7)


def drawn(svg: str) -> Drawn:
    root = ElementTree.fromstring(svg)  # noqa: S314  # our own drawing
    assert root.attrib["width"].endswith("mm")
    width, height = (float(root.attrib[name].removesuffix("mm")) for name in ("width", "height"))
    assert root.attrib["viewBox"] == f"0 0 {width:g} {height:g}"
    shapes, dots, texts = [], [], []
    for element in root.iter():
        told = element.attrib
        if "points" in told:
            pairs = (pair.split(",") for pair in told["points"].split())
            shapes.append((told, [(float(x), float(y)) for x, y in pairs]))
        elif "cx" in told:
            dots.append((float(told["cx"]), float(told["cy"]), float(told["r"])))
        elif element.tag.endswith("text"):
            place = (float(told["x"]), float(told["y"]))
            texts.append((*place, told["text-anchor"], element.text or ""))
    scale = next(int(found[1]) for *_, text in texts if (found := re.search(r" 1:(\d+)", text)))
    return Drawn(width, height, scale, shapes, dots, texts)


def box_of(x: float, y: float, anchor: str, text: str) -> tuple[float, float, float, float]:
    wide = width_of(text)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[anchor]
    return left, y - 0.72 * TEXT, left + wide, y + 0.1 * TEXT


def every_card() -> list[tuple[str, Setting]]:
    return [
        (
            f"{catalog}-{mount}-{hand and hand.value}-{leaves}",
            in_mount(catalog, mount, hand, leaves),
        )
        for catalog in SIZES
        for mount in Mount
        for hand in LEAF_HANDS
        for leaves in (1, 2)
    ]


@pytest.mark.parametrize("mount", Mount)
@pytest.mark.parametrize("catalog", SIZES)
def test_hinges_left_and_right_are_mirrored_in_plan_and_elevation(catalog, mount):
    """Every point of the one lies where the other's does, seen from the other side."""
    pairs = ((Hand.LH, Hand.RH), (Hand.LHR, Hand.RHR))
    for pair, other in pairs:
        first, second = in_mount(catalog, mount, pair), in_mount(catalog, mount, other)
        for left, right in ((first.elevation, second.elevation), (first.plan, second.plan)):
            here, there = drawn(left), drawn(right)
            assert here.width == there.width
            named = {*here.words()} ^ {*there.words()}
            assert all(re.search(r"; (LH|RH|LHR|RHR)$", text) for text in named)
            for x, y, radius in here.dots:
                assert any(
                    math.dist((here.width - x, y), its[:2]) < 0.05 and its[2] == radius
                    for its in there.dots
                )
            for _, points in here.shapes:
                if len(points) == 2 and math.dist(*points) == pytest.approx(TICK * 2**0.5, 0.02):
                    continue  # the strokes at a dimension's ends slant one way everywhere
                turned = [(here.width - x, y) for x, y in points]
                assert any(alike(turned, its) for _, its in there.shapes), points


def alike(one: list[tuple[float, float]], other: list[tuple[float, float]]) -> bool:
    """Whether two shapes have the same points, whatever point they begin with."""
    near = all(any(math.dist(a, b) < 0.05 for b in other) for a in one)
    return near and len(one) == len(other)


@pytest.mark.parametrize("mount", Mount)
def test_hinges_are_drawn_where_the_fitter_sees_them(mount):
    """LH: hinges left from outside, swinging away, so right from the pull side, left from push.

    Source: published handing guides (trade: LH and RHR show their hinges right from the pull side).
    """
    right_from_pull = {Hand.LH: True, Hand.RHR: True, Hand.RH: False, Hand.LHR: False}
    for hand, right in right_from_pull.items():
        card = in_mount("tarrowby", mount, hand)
        seen = right if mount is Mount.REGULAR else not right
        assert f"hinges at the {'right' if seen else 'left'} seen from" in card.hand
        for each in (drawn(card.elevation), drawn(card.plan)):
            frame = [x for points in each.filled(FRAME) for x, _ in points]
            leaf = [x for points in each.filled(LEAF) for x, _ in points]
            jamb = max(frame) if seen else min(frame)
            assert abs(jamb - (max(leaf) if seen else min(leaf))) > 1, "no jamb beside the leaf"


def test_the_open_leaf_turns_toward_the_pull_side():
    """The fitter stands at the foot of the plan: a regular arm's leaf opens toward them."""
    for mount in Mount:
        plan = drawn(in_mount("tarrowby", mount, Hand.LH).plan)
        leaf = plan.filled(LEAF)[0]
        closed = sum(y for _, y in leaf) / len(leaf)
        opened = next(
            points for told, points in plan.shapes if told["fill"] == "none" and len(points) == 5
        )
        toward = sum(y for _, y in opened) / len(opened) > closed
        assert toward is (mount is Mount.REGULAR)


@pytest.mark.parametrize("mount", Mount)
@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("catalog", SIZES)
def test_holes_are_drawn_where_the_template_puts_them(catalog, mount, hand):
    """On paper times scale: from the hinge line, and down from the leaf's top or up from the head.

    The templates' figures are read from the catalogue anew, not from the card.
    """
    size, place = SIZES[catalog]
    face: dict[str, Any] = {"head_face": "5 in"} if mount is Mount.TOP_JAMB else {}
    told: dict[str, Any] = {
        **STEEL,
        **place,
        **face,
        "mount": mount,
        "body_side": SIDE[mount],
        "hand": hand,
    }
    kit = offered([Opening("1", opening(size, **told))], shelf(catalog)).offer.kits[0]
    template, body = kit.template, kit.body
    assert template is not None
    assert body is not None
    elevation = drawn(in_mount(catalog, mount, hand).elevation)
    line = elevation.hinge_line()
    holes = elevation.holes()
    assert len(holes) == 4
    along, across = (length.in_millimetres for length in body.hole_pattern)
    first = template.holes_from_hinge.in_millimetres
    reached = sorted({round(abs(x - line) * elevation.scale, 0) for x, _ in holes})
    assert reached == pytest.approx([first, first + along], abs=0.6)
    if mount is Mount.TOP_JAMB:
        edge = max(y for points in elevation.filled(FRAME)[:1] for _, y in points)
        rows = sorted({round((edge - y) * elevation.scale, 1) for _, y in holes})
    else:
        edge = min(y for points in elevation.filled(LEAF) for _, y in points)
        rows = sorted({round((y - edge) * elevation.scale, 1) for _, y in holes})
    down = template.holes_down.in_millimetres
    # The samples' regular and parallel heights are of the upper row, top jambs' of the lower.
    assert rows == pytest.approx([down, down + across], abs=0.2)


@pytest.mark.parametrize(
    ("name", "card"), every_card(), ids=lambda one: one if isinstance(one, str) else ""
)
def test_no_text_is_cut_off_or_printed_over_another(name, card):
    every_word_has_its_place(name, card)


@pytest.mark.parametrize("locale", ["fr_CA", "es_MX"])
def test_no_text_in_another_language_is_cut_off_or_printed_over_another(locale):
    for mount in Mount:
        for leaves in (1, 2):
            card = in_mount("tarrowby", mount, Hand.LH, leaves, locale)
            words = {*drawn(card.elevation).words(), *drawn(card.plan).words()}
            assert not {"Elevation", "head", "leaf", "hinge center line; LH"} & words
            every_word_has_its_place(f"{mount}-{leaves}", card)


def every_word_has_its_place(name: str, card: Setting) -> None:
    for svg in (card.elevation, card.plan):
        picture = drawn(svg)
        boxes = [(text, box_of(x, y, anchor, text)) for x, y, anchor, text in picture.texts]
        for text, (left, top, right, bottom) in boxes:
            assert left > -0.6, (name, text)
            assert right < picture.width + 0.6, (name, text)
            assert top > -0.1, (name, text)
            assert bottom < picture.height + 0.1, (name, text)
        for (pair, a), (other, b) in combinations(boxes, 2):
            apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
            assert apart, (name, pair, other)
        # But for its head's three, every text is drawn after all lines, on ground as wide as it.
        shapes = max(svg.rfind(shape) for shape in ("<polyline", "<polygon", "<circle"))
        assert svg.count("<text", 0, shapes) == 3, name
        grounds = picture.shapes[3 - len(boxes) :]
        for (text, box), (_, corners) in zip(boxes[3:], grounds, strict=True):
            xs, ys = ([point[axis] for point in corners] for axis in (0, 1))
            assert min(xs) <= box[0] + 0.01, (name, text)
            assert max(xs) >= box[2] - 0.01, (name, text)
            assert min(ys) <= box[1] + 0.01, (name, text)
            for x, y, _ in picture.dots:
                covered = min(xs) < x < max(xs) and min(ys) < y < max(ys)
                assert not covered, (name, text, "lies over a hole or pivot")


def test_a_pair_is_drawn_with_both_leaves_and_their_hands():
    card = in_mount("tarrowby", Mount.PARALLEL, Hand.RHR, 2)
    assert card.hand == "pair seen from the push side: at the left RHR (active), at the right LHR"
    # So its right leaf by a note that was written outside is the left one here.
    assert "the leaf at the left here is the right one of schedule and notes" in card.sides
    elevation = drawn(card.elevation)
    assert len(elevation.holes()) == 8
    # The active leaf is named on both drawings, and where they are read out.
    hinges = {"hinge center line; leaf RHR, ACTIVE", "hinge center line; leaf LHR"}
    assert hinges <= {*elevation.words()}
    assert {"right leaf from outside", "left leaf from outside"} <= {*elevation.words()}
    assert {"leaf RHR, ACTIVE", "leaf LHR"} <= {*drawn(card.plan).words()}
    for svg in (card.elevation, card.plan):
        assert "hinges at the left of the active leaf and hinges at the right" in svg
    assert card.active == "leaf RHR, right leaf from outside"
    middle = elevation.width / 2
    left = sorted((x, y) for x, y in elevation.holes() if x < middle)
    right = sorted((elevation.width - x, y) for x, y in elevation.holes() if x > middle)
    for pair, other in zip(left, right, strict=True):
        assert pair == pytest.approx(other, abs=0.02)
    assert {part.sku.split(" × ")[0] for part in card.parts} == {"2"}


@pytest.mark.parametrize(
    ("told", "hands"),
    [
        ({"hand": Hand.LH, "mount": Mount.REGULAR}, ("RH", "LH")),
        ({"swing": Swing.OUT, "mount": Mount.REGULAR}, ("LHR", "RHR")),
        ({"swing": Swing.IN, "mount": Mount.PARALLEL, "body_side": BodySide.PUSH}, ("LH", "RH")),
    ],
)
def test_the_leaves_of_a_pair_get_their_hands_from_hand_or_swing(told, hands):
    card = card_of(leaves=2, **STEEL, **told)
    plain = card.hand.replace(" (active)", "")
    assert f"at the left {hands[0]}, at the right {hands[1]}" in plain
    # Of a pair whose hand nobody has told either leaf may be the active one.
    assert (card.hand != plain) == ("hand" in told)
    assert (told["hand"].value in card.active) if "hand" in told else not card.active


def test_a_hand_that_is_not_stated_is_said_so_and_drawn_one_way():
    card = in_mount("tarrowby", Mount.REGULAR, None)
    assert card.hand == "hand not stated"
    assert any(alarm.startswith("HAND NOT STATED") for alarm in card.alarms)
    assert "hinge center line; hand not stated" in drawn(card.elevation).words()
    known = in_mount("tarrowby", Mount.REGULAR, Hand.RH)
    assert drawn(card.elevation).holes() == drawn(known.elevation).holes()
    assert not any("HAND NOT STATED" in warning for warning in known.warnings)


# --- units -----------------------------------------------------------------------------------


def test_each_dimension_on_a_drawing_is_led_by_its_letter_in_the_table():
    for name, card in every_card():
        words = {*drawn(card.elevation).words(), *(drawn(card.plan).words() if card.plan else ())}
        text = " ".join(words)
        for letter, position in zip("abcdefgh", card.positions, strict=False):
            for figure in re.sub(r" (in|mm)$", "", position.distance).split(" × "):
                assert re.search(rf"\b{letter} {re.escape(figure)}(?![\d/-])", text), name


def test_an_opening_in_millimetres_gets_millimetres_and_the_makers_inches_beside():
    """12.7 and 82.55 mm, to half a millimetre; the maker's own figure stands beside."""
    card = card_of("914x2134 mm", mount=Mount.REGULAR, hand=Hand.LH, **STEEL)
    rows = {position.what: (position.distance, position.maker) for position in card.positions}
    assert rows["upper body holes"] == ("12.5 mm", "1/2 in")
    words = drawn(card.elevation).words()
    assert "a 12.5" in words
    assert not [text for text in words if '"' in text]
    assert any("dimensions in mm" in text for text in words)


def test_an_opening_in_inches_gets_inches_with_fractions():
    card = card_of("3070", "averlund", mount=Mount.REGULAR, hand=Hand.LH, **STEEL)
    rows = {position.what: (position.distance, position.maker) for position in card.positions}
    assert rows["upper body holes"] == ("15/32 in", "12 mm")
    assert 'a 15/32"' in drawn(card.elevation).words()
    own = card_of("3070", "tarrowby", mount=Mount.REGULAR, hand=Hand.LH, **STEEL)
    assert {position.maker for position in own.positions} == {""}


# --- what may be drilled ---------------------------------------------------------------------


def without_rows(name: str, **changed: Any) -> Shelf:
    catalog = sample(name)
    changed = {"holes_row": None, **changed}
    return Shelf(
        [
            replace(
                catalog,
                series=tuple(
                    replace(
                        series,
                        templates=tuple(replace(each, **changed) for each in series.templates),
                    )
                    for series in catalog.series
                ),
            )
        ]
    )


@pytest.mark.parametrize("mount", Mount)
def test_without_a_row_no_drilling_dimension_is_printed(mount):
    face: dict[str, Any] = {"head_face": "5 in"} if mount is Mount.TOP_JAMB else {}
    told = opening(mount=mount, body_side=SIDE[mount], hand=Hand.LH, **STEEL, **face)
    card = setting_on(paper_of(told, on=without_rows("tarrowby")).cards[0])
    assert card.positions == ()
    assert "maker's template in the box" in card.no_positions
    steps = " ".join(step.text + step.lead for step in (*card.placing, *card.steps))
    assert "Take the maker's template" in steps
    assert "vertical dimension" not in steps
    for svg in (card.elevation, card.plan):
        assert not [text for text in drawn(svg).words() if re.search(r'\d"', text)]
    assert drawn(card.elevation).holes() == []


def test_top_jamb_counts_up_from_the_heads_lower_edge_to_the_lower_row():
    card = in_mount("tarrowby", Mount.TOP_JAMB, Hand.LH)
    first = card.positions[0]
    assert (first.what, first.measured_from) == ("lower body holes", "lower edge of head, up")


def test_holes_that_would_fall_below_the_head_are_never_printed():
    """The upper row half an inch up puts the lower one in the air."""
    told = opening(
        mount=Mount.TOP_JAMB, body_side=BodySide.PUSH, hand=Hand.LH, head_face="5 in", **STEEL
    )
    card = setting_on(paper_of(told, on=without_rows("tarrowby", holes_row="upper")).cards[0])
    assert card.positions == ()
    assert "over the edge of the frame head" in card.no_positions


def test_a_body_that_has_not_four_holes_is_drilled_by_the_makers_template():
    catalog = sample("tarrowby")
    odd = replace(
        catalog,
        series=tuple(
            replace(series, bodies=tuple(replace(each, fixing_holes=6) for each in series.bodies))
            for series in catalog.series
        ),
    )
    told = opening(mount=Mount.REGULAR, hand=Hand.LH, **STEEL)
    card = setting_on(paper_of(told, on=Shelf([odd])).cards[0])
    assert card.positions == ()
    assert "has not four holes" in card.no_positions
    assert drawn(card.elevation).holes() == []


def test_with_a_plate_its_own_holes_are_drilled_and_none_for_the_body():
    told: dict[str, Any] = {"mount": Mount.REGULAR, "hand": Hand.LH, **STOREFRONT}
    card = card_of("914x2134 mm", "averlund", top_rail="50 mm", **told)
    rows = {position.what: position.distance for position in card.positions}
    plate = sample("averlund").pieces["kyst-rail-plate"]
    assert rows["upper plate holes"] == "10 mm"
    assert rows["holes, along × across"] == "250 × 24 mm"
    assert not [what for what in rows if "body" in what]
    assert plate.holes_from_body is not None
    assert "plate" in drawn(card.elevation).words()
    assert "Make no holes for the body" in said(card)
    assert any(part.what == "plate" for part in card.parts)


def test_a_plate_without_drilling_of_its_own_is_drilled_by_its_template():
    told: dict[str, Any] = {
        "mount": Mount.PARALLEL,
        "hand": Hand.LH,
        "stop": Stop.RABBET,
        **STOREFRONT,
    }
    card = card_of(top_rail="2-1/4 in", **told)
    assert card.no_positions.startswith("A plate carries the body: drill by the plate's template")
    assert drawn(card.elevation).holes() == []
    assert [position.what for position in card.positions] == [
        "pinion",
        "bracket's pivot",
        "bracket's pivot",
    ]
    assert "Lay out the vertical" not in said(card)


def test_a_plate_under_the_shoe_leaves_the_bodys_holes_as_they_are():
    card = card_of(mount=Mount.REGULAR, hand=Hand.LH, head_face="1 in", **STEEL)
    assert len(drawn(card.elevation).holes()) == 4
    assert "Plate under the shoe:" in said(card)


def test_openings_whose_every_figure_is_equal_share_one_card_and_no_other_does():
    one, other = opening("3070", hand=Hand.LH, **STEEL), opening("3070", hand=Hand.RH, **STEEL)
    cards = paper_of(one, one, other, one, on=shelf("tarrowby")).cards
    assert [(card.marks, card.places, card.quantity) for card in cards] == [
        (("101", "102", "104"), "101, 102, 104", 3),
        (("103",), "103", 1),
    ]


def test_cards_of_several_kinds_are_led_by_an_index_of_their_marks(tmp_path):
    one, other = opening("3070", hand=Hand.LH, **STEEL), opening("3070", hand=Hand.RH, **STEEL)
    out = tmp_path / "cards.pdf"
    render_paper(paper_of(one, one, other, on=shelf("tarrowby")), out, TEMPLATES)
    first = PdfReader(out).pages[0].extract_text()
    assert "Index of setting cards" in first
    assert "101, 102" in first
    assert "103" in first


# --- hold ------------------------------------------------------------------------------------


def test_a_stopped_kit_has_a_page_hold_with_the_reason_and_no_card(tmp_path):
    told = opening(fire_minutes=90, hold_open=HoldOpen.ARM, hand=Hand.LH, **STEEL)
    paper = paper_of(told, on=shelf("tarrowby"))
    (page,) = paper.cards
    assert isinstance(page, HoldPage)
    assert any("hold-open arm must not be on a fire door" in text for text in page.reasons)
    # What the customer is asked is no question for a fitter.
    assert not [text for text in page.reasons if "Please tell us" in text]
    out = tmp_path / "cards.pdf"
    render_paper(paper, out, TEMPLATES)
    text = " ".join(" ".join(each.extract_text().split()) for each in PdfReader(out).pages)
    assert "HOLD" in text
    assert "Do not drill" in text
    assert "Drilling" not in text
    assert "Sweep valve" not in text
    assert "Please tell us" not in text
    assert "The office settles this" in text


def test_what_is_on_hold_comes_last_and_together_each_with_its_number_and_reason(tmp_path):
    held = {"hold_open": HoldOpen.ARM, "hand": Hand.LH, **STEEL}
    told = (
        opening(fire_minutes=90, **held),
        opening(hand=Hand.LH, **STEEL),
        opening(fire_minutes=60, **held),
    )
    paper = paper_of(*told, on=shelf("tarrowby"))
    assert [isinstance(page, HoldPage) for page in paper.cards] == [False, True, True]
    out = tmp_path / "cards.pdf"
    render_paper(paper, out, TEMPLATES)
    *_, card, last = (" ".join(page.extract_text().split()) for page in PdfReader(out).pages)
    assert "Card 1 · " in card
    assert "HOLD" not in card
    for number, page in enumerate(paper.cards[1:], 2):
        _, _, after = last.partition(f"HOLD sheet {number}: {page.places} ")
        assert page.title in after
        assert all(reason in after for reason in page.reasons)
    assert last.count("Do not drill and do not fit anything at these openings.") == 1


def test_an_unclear_label_has_a_page_hold_that_says_what_it_may_mean():
    unclear = Unclear("fire_minutes", "B", ("60", "90"))
    told = opening(fire_minutes=90, unclear=(unclear,), hand=Hand.LH, **STEEL)
    (page,) = paper_of(told, on=shelf("tarrowby")).cards
    assert isinstance(page, HoldPage)
    assert any("may mean 60 min or 90 min" in text for text in page.reasons)


def test_a_kit_that_lacks_a_piece_has_a_page_hold_that_names_it():
    catalog = sample("tarrowby")
    poorer = replace(
        catalog,
        items=tuple(
            item
            for item in catalog.items
            if not any("bracket" in supply.piece for supply in item.supplies)
        ),
    )
    told = opening(mount=Mount.PARALLEL, body_side=BodySide.PUSH, hand=Hand.LH, **STEEL)
    (page,) = paper_of(told, on=Shelf([poorer])).cards
    assert isinstance(page, HoldPage)
    assert any("soffit bracket" in text for text in page.reasons)


# --- steps and figures -----------------------------------------------------------------------


def test_the_latch_is_tried_by_a_gentle_push_before_the_closer_is_fitted():
    for _, card in every_card():
        assert "latch must engage when the leaf is pushed gently" in said(card)
        assert "latch by itself before" not in said(card)


def test_valves_say_which_way_they_turn_and_where_they_work():
    """Common practice, no source; the card says so and defers to the maker's sheet."""
    told: dict[str, Any] = {
        "mount": Mount.REGULAR,
        "hand": Hand.LH,
        "delayed_action": True,
        "backcheck": True,
    }
    card = card_of("926x2040 mm", "averlund", jurisdiction="uk", **told, **STEEL)
    steps = {step.lead: step.text for step in card.steps}
    for lead in ("Sweep valve:", "Latch valve:"):
        assert "Clockwise slower, counterclockwise faster." in steps[lead]
    assert "to about 70°" in steps["Delayed action valve:"]
    assert "where it begins, see the maker's sheet" in steps["Backcheck valve:"]
    assert "common practice, no source" in card.practice
    plain = card_of("926x2040 mm", "averlund", mount=Mount.REGULAR, hand=Hand.LH, **STEEL)
    assert "Delayed action valve:" not in {step.lead for step in plain.steps}


@pytest.mark.parametrize("mount", Mount)
def test_no_figure_of_another_place_stands_on_a_card(mount):
    """The 5 s of ADA 404.2.8.1 are for accessible US openings; IBC and BHMA are not the UK's."""
    face: dict[str, Any] = {"head_face": "5 in"} if mount is Mount.TOP_JAMB else {}
    told: dict[str, Any] = {
        "mount": mount,
        "body_side": SIDE[mount],
        "hand": Hand.LH,
        **STEEL,
        **face,
    }
    open_us = said(card_of(**told))
    uk = said(card_of("926x2040 mm", "averlund", jurisdiction="uk", accessible=True, **told))
    en = said(card_of("926x2040 mm", "averlund", jurisdiction="en", **told))
    for text in (open_us, uk, en):
        assert "404.2.8.1" not in text
        assert "5 seconds" not in text
    for text in (uk, en):
        assert not re.search(r"IBC|BHMA|ADA|lbf", text)
    assert not re.search(r"\b(EN 1154|BS 8300|22\.5 N)\b", open_us)
    assert "Force to open from 30° to 60°, N: at most 22.5" in uk
    assert "at the leading edge" in uk


def test_an_accessible_us_opening_is_told_its_time_and_force():
    card = card_of(mount=Mount.REGULAR, hand=Hand.LH, accessible=True, **STEEL)
    assert "5 seconds or more (ADA Standards 2010, 404.2.8.1)" in said(card)
    assert GaugeReading("Force to open, lbf", "at most 5") in card.readings
    assert GaugeReading("Closing from 90°, seconds", "to 12°: at least 5") in card.readings
    assert card.gauges[0].startswith("Set the gauge at the handle or latch edge")
    # A figure of the United States is no step as it is where the customer is elsewhere, unless
    # somebody said that the opening is there.
    for place, abroad in ((None, True), ("us", False)):
        told: dict[str, Any] = {"accessible": True, "jurisdiction": place, **STEEL}
        (text,) = (
            step.text
            for step in card_of(mount=Mount.REGULAR, locale="fr_CA", **told).steps
            if "404.2.8.1" in step.text
        )
        assert ("le code local prévaut" in text) == abroad


def test_a_stated_exit_is_told_its_limit_and_an_unknown_one_is_not():
    told: dict[str, Any] = {"mount": Mount.REGULAR, "hand": Hand.LH, **STEEL}
    stated = card_of("2868", "averlund", egress=True, **told)
    assert GaugeReading("Force to open, lbf", "at most 5") in stated.readings
    assert GaugeReading("Force to open, lbf") in card_of("2868", "averlund", **told).readings


def test_what_the_force_leaves_out_is_said_until_it_is_stated():
    told: dict[str, Any] = {"mount": Mount.REGULAR, "hand": Hand.LH, **STEEL}
    silent = dict(card_of(**told).calculated)
    assert "all without seals or latch" in silent["latches against up to"]
    newtons = parse_force("20 N")
    stated = dict(card_of(**told, seals=newtons, latch=newtons).calculated)
    assert "without" not in " ".join(stated.values())


@given(
    st.sampled_from((("3070", True), ("0.91 x 2.13 m", False))),
    st.sampled_from((("wind", "25 mph"), ("wind", "40 km/h"), ("pressure", "0.3 inwg"))),
)
@settings(max_examples=6)
def test_what_a_gauge_shows_in_still_air_stands_beside_the_force_with_the_stated_wind(size, stated):
    """On card, quote and submittal alike; in inches no pressure stands in pascals alone."""
    field, written = stated
    read = parse_speed if field == "wind" else parse_pressure
    kind = opening(size[0], location=Location.EXTERIOR, swing=Swing.OUT, **{field: read(written)})
    offer = offered([Opening("1", replace(kind, **STEEL))], shelf()).offer
    (kit,) = offer.kits
    assert kit.proof is not None
    verdict = kit.proof.verdict
    still = f"{verdict.closer_n / LBF:.1f} lbf" if size[1] else f"{verdict.closer_n:.1f} N"
    whole = f"{verdict.opening_lbf:.1f} lbf" if size[1] else f"{verdict.opening_n:.1f} N"
    (card,) = cards_paper(offer, RULES).cards
    for told in (dict(setting_on(card).calculated), dict(offer.words.kits[0].estimates)):
        alone, against, latches, *margin = (
            text for text in told.values() if not text.startswith("without")
        )
        assert alone.startswith(still)
        assert against.startswith(whole)
        assert f" at {written}" in against
        for text in (latches, *margin):
            # What was left out of the reckoning is no figure.
            if not any(sign.isdigit() for sign in text):
                continue
            assert ("lbf" in text.partition("(")[0]) is size[1]
    texts = " ".join(text for text, *_ in offer.words.kits[0].findings)
    for found in re.finditer(r"\d (Pa|N·m)", texts):
        assert not size[1] or texts[found.end()] == ")"


def test_spacer_coordinator_closing_order_and_release_test_are_on_the_card():
    spaced = card_of(
        mount=Mount.PARALLEL, body_side=BodySide.PUSH, hand=Hand.LH, stop=Stop.BLADE, **STEEL
    )
    assert "Stop spacer, before the bracket:" in said(spaced)
    assert any("stop spacer" in part.what for part in spaced.parts)
    pair = card_of(
        leaves=2,
        mount=Mount.PARALLEL,
        body_side=BodySide.PUSH,
        hand=Hand.RHR,
        fire_minutes=90,
        hold_open=HoldOpen.RELEASE,
        **STEEL,
    )
    for lead in ("Closing order of the pair:", "Coordinator:", "Release test:"):
        assert lead in said(pair)
    assert GaugeReading("Released by detector, and by loss of power") in pair.readings
    single = said(in_mount("tarrowby", Mount.PARALLEL, Hand.LH))
    for lead in ("Stop spacer", "Closing order", "Coordinator", "Release test"):
        assert lead not in single


def test_every_warning_of_danger_on_the_quote_stands_on_the_openings_card():
    """Over the sample job, with doors in wind, of the weather side, and exits beside it."""
    outside: dict[str, Any] = {"location": Location.EXTERIOR, "swing": Swing.OUT, **STEEL}
    windy = opening("3070", wind=parse_speed("25 mph"), **outside)
    beside = (
        Opening("X1", windy, note="Rear exit; windy yard"),
        Opening("X2", replace(windy, egress=True, finish="626")),
        Opening("X5", opening("3070", **{**outside, "swing": Swing.IN}), note="12 mph"),
        Opening("X3", opening("3070", body_side=BodySide.PULL, **outside)),
        Opening("X4", opening("3070", fire_minutes=90, delayed_action=True, **outside)),
    )
    openings = read_openings(str(SCHOOL), [], RULES)
    offer = offered([*openings, *beside], shelf()).offer
    cards = cards_paper(offer, RULES).cards
    settings = {
        mark: setting
        for card in cards
        if isinstance(card, SettingCard)
        for setting in card.settings
        for mark in setting.marks
    }
    # What a note alone states is not told as stated nowhere, and of wind whether it blows here.
    (noted,) = (text for text in settings["X5"].warnings if "12 mph" in text)
    assert noted == (
        "The note says “12 mph”, but no column of the schedule states wind speed. The kit does not "
        "reckon with the note. Does it blow against this door? Ask the office before drilling."
    )
    seen = set()
    for one in offer.openings:
        if not offer.is_firm(one):
            continue
        # By calculation it does not latch: no less than that on the card.
        sure = [
            each for each in offer.kit_of(one).findings if is_calculated(each.code, each.fields)
        ]
        latching = [text for text in settings[one.place].warnings if "not latch" in text]
        assert any("by calculation" in text.lower() for text in latching) >= bool(sure)
        assert not sure or not any("may not latch" in text for text in latching)
        told = " ".join(texts_of(settings[one.place]))
        said = [
            *zip(offer.kit_of(one).findings, offer.words.kits[one.kit].findings, strict=True),
            *zip(one.of_note, offer.words.of_note(one), strict=True),
        ]
        for finding, (text, *_) in said:
            warned = finding.severity is Severity.WARN
            if warned and fitters_are_told(finding.code, finding.fields):
                seen.add(finding.code)
                words = IN_ITS_OWN_WORDS.get(finding.code) or without_price(finding.fields, text)
                assert words in told, (one.place, finding.code)
    assert seen >= {
        "weather-side-body", "wind-needs-stop", "egress-force-limit", "force-over-limit",
        "delayed-action-on-fire-door", "pair-needs-coordinator", "latch-power-short",
        "fire-size-recommended", "note-says-more", "release-device-apart", "holes-near-edge",
    }  # fmt: skip


def texts_of(setting: Setting) -> list[str]:
    """What one opening's setting says of its work and of its dangers."""
    steps = (f"{step.lead} {step.text}" for step in (*setting.placing, *setting.steps))
    return [setting.fire, *setting.edges, *setting.warnings, *steps]


def test_the_card_names_the_skus_of_body_arms_and_bracket():
    card = in_mount("tarrowby", Mount.PARALLEL, Hand.LH)
    kinds = ", ".join(part.what for part in card.parts)
    for what in ("closer body", "main arm", "forearm", "soffit bracket"):
        assert what in kinds
    known = sample("tarrowby").items_by_sku
    assert all(part.sku in known for part in card.parts)


# --- as printed ------------------------------------------------------------------------------


def sizes_printed(pdf: Path) -> set[float]:
    """Every size of type in a PDF as printed [pt]: the font's size times all matrices about it."""
    found: set[float] = set()
    reader = PdfReader(pdf)
    for page in reader.pages:
        _walk(page, page["/Resources"], reader, IDENTITY, found)
    return found


IDENTITY = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def times(one, other):
    a, b, c, d, e, f = one
    g, h, i, j, k, m = other
    return (a * g + b * i, a * h + b * j, c * g + d * i, c * h + d * j, e * g + f * i + k,
            e * h + f * j + m)  # fmt: skip


def _walk(part, resources, reader, outer, found):
    """A content stream, and the forms it draws, with the matrix in force."""
    content = part.get_contents() if hasattr(part, "get_contents") else part
    now, kept, text, size = outer, [], IDENTITY, 0.0
    for operands, operator in ContentStream(content, reader).operations:
        values = [
            float(operand) for operand in operands if isinstance(operand, int | float | Decimal)
        ]
        if operator == b"q":
            kept.append(now)
        elif operator == b"Q":
            now = kept.pop()
        elif operator == b"cm":
            now = times(values, now)
        elif operator == b"BT":
            text = IDENTITY
        elif operator == b"Tm":
            text = (values[0], values[1], values[2], values[3], values[4], values[5])
        elif operator == b"Tf":
            size = values[-1]
        elif operator in (b"Tj", b"TJ"):
            _, _, c, d, _, _ = times(text, now)
            found.add(round(size * math.hypot(c, d), 2))
        elif operator == b"Do":
            form = resources["/XObject"][operands[0]].get_object()
            if form["/Subtype"] == "/Form":
                own = tuple(float(one) for one in form.get("/Matrix", IDENTITY))
                _walk(form, form.get("/Resources", resources), reader, times(own, now), found)


@pytest.mark.parametrize("size", PageSize)
def test_a_card_is_one_page_by_its_number_with_nothing_smaller_than_seven_points(size, tmp_path):
    """Of one leaf or a pair. Measured in the PDF. A drawing's type has its size in millimetres, so
    it is in true size."""
    cards = [
        in_mount(catalog, mount, Hand.LH, leaves)
        for catalog in SIZES
        for mount in Mount
        for leaves in (1, 2)
    ]
    out = tmp_path / "cards.pdf"
    paper = paper_with(*cards, size=size)
    render_paper(paper, out, TEMPLATES)
    sizes = sizes_printed(out)
    assert min(sizes) >= 7.0
    for drawn_size in (TEXT, TITLE):
        points = drawn_size * 72 / 25.4
        assert any(abs(each - points) < 0.02 for each in sizes), (points, sizes)
    # No other size lies near: nothing is shrunk to fit.
    known = (TEXT * 72 / 25.4, TITLE * 72 / 25.4, 7.2, 7.5, 8, 8.5, 9, 10, 11, 12, 13, 15)
    assert all(any(abs(each - size) < 0.02 for size in known) for each in sizes), sizes
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(out).pages[1:]]
    assert len(pages) == len(paper.cards)
    for number, (card, text) in enumerate(zip(paper.cards, pages, strict=True), 1):
        assert f"Card {number} · {card.title}" in text
        for leaf in card.common.leaves:
            # Each leaf of a pair is measured by itself.
            assert f"101 · {leaf}" in text
        assert bool(card.common.leaves) == card.common.wide == ("pair seen from" in text)


@pytest.mark.parametrize("locale", ["es_MX", "fr_CA"])
def test_a_pairs_card_is_one_page_with_its_plan_clear_of_its_table_in_longer_words_too(
    locale, tmp_path
):
    types = [
        opening("3070", hand=Hand.RHR, leaves=2, mount=mount, body_side=SIDE[mount], **STEEL)
        for mount in (Mount.REGULAR, Mount.PARALLEL)
    ]
    openings = [Opening(f"10{number}", each) for number, each in enumerate(types, 1)]
    paper = cards_paper(offered(openings, shelf("tarrowby"), locale=locale).offer, RULES)
    for card in paper.cards:
        assert isinstance(card, SettingCard)
        (wide,) = re.findall(r'<svg[^>]* width="([0-9.]+)mm"', card.common.plan)
        # What its column holds: 53 of 100 parts of what A4's margins leave.
        assert float(wide) <= 0.53 * 178
    out = tmp_path / "cards.pdf"
    render_paper(paper, out, TEMPLATES)
    assert len(PdfReader(out).pages) == len(paper.cards) + 1


# What makes a card long: each told of one leaf, alone and with the others.
LONG: list[tuple[str, str, dict[str, Any]]] = [
    ("3070", "quillmere", {"mount": Mount.PARALLEL, "stop": Stop.BLADE, **STEEL}),
    ("3070", "tarrowby", {"mount": Mount.REGULAR, "head_face": "1 in", "delayed_action": True}),
    ("3070", "tarrowby", {"mount": Mount.TOP_JAMB, "head_face": "1-3/4 in"}),
    ("3070", "quillmere", {"mount": Mount.PARALLEL, "top_rail": "2-1/4 in", **STOREFRONT}),
    ("926x2040 mm", "averlund", {"mount": Mount.PARALLEL, "jurisdiction": "uk", **STEEL}),
    (
        "926x2040 mm",
        "averlund",
        {"mount": Mount.REGULAR, "jurisdiction": "uk", "top_rail": "50 mm"},
    ),
]
ALSO: list[dict[str, Any]] = [
    {},
    {"fire_minutes": 60, "hold_open": HoldOpen.RELEASE, "delayed_action": False},
    {"accessible": True, "opening_degrees": 95},
    {"fire_minutes": 60, "accessible": True, "backcheck": True, "egress": True},
]


@pytest.mark.parametrize(("size", "locale"), [(PageSize.LETTER, "fr_CA"), (PageSize.A4, "es_MX")])
def test_a_single_leafs_card_takes_one_page_or_is_parted_before_its_settings(
    size, locale, tmp_path
):
    """With all that it may say; a French and a Spanish one are the longest."""
    cards = []
    for number, (width, catalog, told) in enumerate(LONG):
        side = SIDE[told["mount"]]
        # Two of what may be told besides, other ones on the other paper size.
        for also in ALSO[(number + (size is PageSize.A4)) % 2 :: 2]:
            page = page_of(width, catalog, locale, body_side=side, **{**told, **also})
            if isinstance(page, SettingCard):
                cards.append(setting_on(page))
    assert len(cards) > len(LONG)
    paper = paper_with(*cards, size=size)
    language = locale.partition("_")[0]
    paper = replace(paper, head=replace(paper.head, language=language, locale=locale))
    shown = [laid_out(card, size) for card in paper.cards if isinstance(card, SettingCard)]
    fits = [fit_of(card, size) for card in shown]
    assert len(set(fits)) > 1
    # One leaf's card is parted in the fewer cases, though each here says much.
    assert sum(parted for _, parted in fits) < len(fits) / 2
    # Some keep to it by their cautions alone, which stand under the plan then.
    assert any(one.beside for one in shown)
    assert all(not fit_of(one, size)[1] for one in shown if one.beside)
    out = tmp_path / "cards.pdf"
    render_paper(paper, out, TEMPLATES)
    with speaking(locale):
        each = tr("Each opening: its setting; check with a gauge, and write it down")
    pages = [" ".join(page.extract_text().split()) for page in PdfReader(out).pages]
    # The index of the cards stands before them. Every page that goes over holds all settings.
    each = " ".join(each.split())
    over = [text for text in pages[1:] if each not in text]
    assert len(over) == sum(parted for _, parted in fits)
    assert len(pages) == 1 + len(fits) + len(over)
    assert min(sizes_printed(out)) >= 7.0


@pytest.mark.parametrize("long_cautions", [False, True])
def test_what_goes_over_to_a_second_page_is_never_a_line_alone(long_cautions, tmp_path):
    """A card made too long for a page sends over whole what belongs together.

    Cautions stay beside the drawing; where they are too long for it they stand under the steps, not
    behind the settings. What is practice is never without the last opening's setting or them.
    """
    card = in_mount("tarrowby", Mount.PARALLEL, Hand.LH)
    extra = (f"{number}: {'a caution of this door; ' * 9}" for number in range(4))
    full = replace(card, cautions=(*card.cautions, *extra)) if long_cautions else card
    turned = kept = 0
    for more in range(12, 34, 4):
        again = (replace(card.steps[1], lead=f"{number}.") for number in range(more))
        paper = paper_with(replace(full, steps=(*card.steps, *again)))
        assert paper.cards[0].cautions_beside is not long_cautions
        out = tmp_path / f"{more}.pdf"
        render_paper(paper, out, TEMPLATES)
        first, *others = (" ".join(page.extract_text().split()) for page in PdfReader(out).pages)
        assert (full.cautions[0] in first) or long_cautions
        if len(others) == 1:
            turned += 1
            (over,) = others
            assert "Setting card, continued: 101 " in over
            assert card.practice in over
            assert "spring size" in over, "with the setting of the last opening"
            # Never where nobody reads them before he drills, unless the steps fill the page.
            kept += full.cautions[0] in first
    assert turned
    assert kept


def test_a_second_page_of_a_fire_doors_card_says_so_too(tmp_path):
    card = card_of(leaves=1, fire_minutes=90, mount=Mount.PARALLEL, hand=Hand.LHR, **STEEL)
    assert card.fire
    for one, named in ((card, True), (replace(card, fire=""), False)):
        again = (replace(one.steps[1], lead=f"{number}.") for number in range(40))
        out = tmp_path / f"{named}.pdf"
        render_paper(paper_with(replace(one, steps=(*one.steps, *again))), out, TEMPLATES)
        _, over, *_ = (" ".join(page.extract_text().split()) for page in PdfReader(out).pages)
        assert ("· FIRE DOOR ·" in over.partition("continued: ")[2]) == named


# --- what a fitter must not read into a card -------------------------------------------------


@pytest.mark.parametrize("mount", Mount)
def test_height_and_holes_of_the_foot_are_left_to_the_makers_template(mount):
    for catalog in SIZES:
        card = in_mount(catalog, mount, Hand.LH)
        foot = "Bracket" if mount is Mount.PARALLEL else "Shoe"
        assert card.sketches.startswith(f"{foot}: height and holes by the maker's template.")
        assert "only dimensioned figures hold" in card.sketches
        words = drawn(card.elevation).words()
        assert {"height and holes", "by the template"} <= {*words}
        for svg in (card.elevation, card.plan):
            assert "outlines are sketches; only figures hold" in drawn(svg).words()


@pytest.mark.parametrize("mount", [Mount.REGULAR, Mount.PARALLEL])
@pytest.mark.parametrize("hand", [Hand.LH, Hand.RH, Hand.LHR])
def test_a_plate_bears_its_name_ends_within_its_rail_and_shows_all_its_holes(mount, hand):
    """The rail of 2-1/4 in, 57.15 mm, is drawn that far under the leaf's top."""
    told: dict[str, Any] = {"mount": mount, "body_side": SIDE[mount], "hand": hand, **STOREFRONT}
    card = card_of("3070", "quillmere", top_rail="2-1/4 in", stop=Stop.RABBET, **told)
    picture = drawn(card.elevation)
    assert "plate" in picture.words()
    assert "body" not in picture.words()
    assert any(text.startswith("leaf; edge of its rail: ") for text in picture.words())
    top = min(y for points in picture.filled(LEAF) for _, y in points)
    level = top + 57.15 / picture.scale
    lines = [p for told, p in picture.shapes if told["fill"] == "none" and len(p) == 2]
    assert any(abs(a[1] - level) < 0.02 and abs(b[1] - level) < 0.02 for a, b in lines)
    (plate,) = (p for told, p in picture.shapes if told["stroke-width"] == "0.45")
    assert max(y for _, y in plate) <= level + 0.02
    holes = picture.holes()
    assert len(holes) == 4
    # No filled outline drawn after the plate lies over a hole.
    order = [points for told, points in picture.shapes if told["fill"] not in ("none", LEAF)]
    for shape in order[order.index(plate) + 1 :]:
        xs, ys = [x for x, _ in shape], [y for _, y in shape]
        for x, y in holes:
            assert not (min(xs) < x < max(xs) and min(ys) < y < max(ys)), (shape, x, y)
    labels = [box_of(*text) for text in picture.texts]
    for one, other in combinations(labels, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, (one, other)


def test_without_a_limit_that_binds_no_card_warns_of_one():
    """An exterior door in the US, accessible, set to the size required: ADA 404.2.9 is interior."""
    told: dict[str, Any] = {"mount": Mount.PARALLEL, "hand": Hand.LHR, **STEEL}
    outside = card_of(**told, location=Location.EXTERIOR, accessible=True, spring_size=4)
    assert not re.search(r"limit|may not latch", said(outside))
    inside = card_of(**told, location=Location.INTERIOR, accessible=True)
    assert any(
        warning.startswith("A force limit holds this closer's setting")
        for warning in inside.warnings
    )
    assert "do not tighten the spring past the limit" in said(inside)
    plain = card_of(**told, location=Location.INTERIOR)
    assert not [warning for warning in plain.warnings if "limit" in warning]


_CODED = re.compile(r" \([A-Z0-9.-]+\)")


def test_screws_are_said_in_the_cards_units_and_which_come_with_the_plate():
    """No. 14 is .242 in, 6.1 mm (ASME B18.6.1)."""
    wood: dict[str, Any] = {"door": Door.WOOD, "frame": Frame.WOOD, "mount": Mount.REGULAR}
    drilled = " ".join(each.drill for each in card_of(**wood).fasteners)
    # Which is for what, in hard wood too.
    assert re.search(r"in hard wood Ø [^;]+ for the thread, Ø [^;]+ for the shank", drilled)
    assert "No. 14 (.242 in)" in " ".join(each.said for each in card_of(**wood).fasteners)
    metric = " ".join(each.said for each in card_of("914x2134 mm", **wood).fasteners)
    assert "No. 14 (6.1 mm)" in metric
    assert " in)" not in metric
    top: dict[str, Any] = {"mount": Mount.TOP_JAMB, "body_side": BodySide.PUSH, **STEEL}
    card = card_of(head_face="1-3/4 in", **top)
    screws = {_CODED.sub("", each.what): each.drill for each in card.fasteners}
    # What goes into the plate needs no hole; what goes into the leaf or head does.
    from_box = "4 machine screws for the body, 1/4-20 × 5/8 in, from the plate's box"
    assert screws[from_box] == "drill nothing: they go into the plate"
    # As the catalogue's titles of the pieces begin.
    shoe = screws["2 machine screws for the shoe, 1/4-20 × 5/8 in"]
    assert shoe == "drill Ø No. 7 (.201 in), tap 1/4-20"


@pytest.mark.parametrize("catalog", SIZES)
@pytest.mark.parametrize("mount", Mount)
@pytest.mark.parametrize("told", [STEEL, STOREFRONT, {"door": Door.WOOD, "frame": Frame.WOOD}])
def test_every_group_of_holes_has_its_drill_or_why_it_has_none(catalog, mount, told):
    size, place = SIZES[catalog]
    face = {"head_face": "5 in"} if mount is Mount.TOP_JAMB else {}
    page = page_of(size, catalog, mount=mount, body_side=SIDE[mount], **place, **face, **told)
    assert isinstance(page, SettingCard)
    (card,) = page.settings
    assert len(card.fasteners) >= 2
    assert any(screws.drawn for screws in card.fasteners)
    for screws in card.fasteners:
        assert screws.drill.startswith("drill ") or "stop spacer" in screws.what
        # By the code of their pack, as the label of the bag has it.
        assert _CODED.search(screws.what) or "stop spacer" in screws.what
        if "Ø" in screws.drill and "not known" not in screws.drill:
            # A figure, or that of a nut's own sheet.
            assert re.search(r"Ø (No\. )?\S*\d", screws.drill) or "rivet nut" in screws.what
    assert {said.lead for said in page.screws} == {screws.what for screws in card.fasteners}


@settings(max_examples=12)
@given(st.integers(16, 64))
def test_holes_near_a_rails_edge_are_warned_of_and_no_others(eighths):
    """Two diameters of the nut's hole, 1.6 of its thread of 1/4 in, from the lower row of holes."""
    rail = Fraction(eighths, 8)
    told = {"mount": Mount.PARALLEL, "body_side": BodySide.PUSH, "hand": Hand.LHR, **STOREFRONT}
    page = page_of("3070", "quillmere", top_rail=f"{rail.numerator}/{rail.denominator} in", **told)
    if isinstance(page, HoldPage) or page.common.no_positions:
        return
    card = setting_on(page)
    rows = [Fraction(0)] + [
        sum(Fraction(part) for part in text.removesuffix(" in").replace("-", " ").split())
        for text in (
            card.positions[0].distance,
            card.positions[2].distance.partition(" × ")[2],
        )
    ]
    room = rail - sum(rows)
    nuts = any("rivet nut" in each.what for each in card.fasteners if each.drawn)
    least = Fraction(1, 2) * (Fraction(16, 10) if nuts else 1)
    assert bool(card.edges) == (room < least), (rail, rows, card.edges)
    (host,) = card.hosts
    assert ", as stated." in host
    if card.edges:
        assert page.alarms
        assert card.edges[0].startswith("HOLES TOO NEAR THE RAIL'S EDGE.")
        assert ("do not lie on it" in card.edges[0]) == (room <= 0)
        assert "The upper row is where the maker's template puts it" in card.edges[0]


def test_a_rail_that_is_not_stated_is_to_be_measured_and_what_holes_need_is_said():
    told = {"mount": Mount.PARALLEL, "body_side": BodySide.PUSH, "hand": Hand.LHR, **STOREFRONT}
    card = card_of("3070", "quillmere", **told)
    (host,) = card.hosts
    assert host.startswith("Top rail: not stated, measure it. The kit was chosen for 4 in.")
    assert re.search(r"The holes need \S+ in or more\.$", host)
    assert not any("top rail" in question for question in card.questions)
    # A leaf without glass has no rail to speak of.
    assert card_of(**STEEL, mount=Mount.REGULAR, body_side=BodySide.PULL).hosts == ()


@pytest.mark.parametrize("catalog", SIZES)
@pytest.mark.parametrize("mount", Mount)
def test_each_mounted_part_has_its_line_and_whence_it_is_measured_in_the_steps(catalog, mount):
    card = in_mount(catalog, mount, Hand.LH)
    steps = " ".join(f"{step.lead} {step.text}" for step in card.placing)
    # The rows, the nearest holes, and the pivot of shoe or bracket, a bracket's from the leaf too.
    feet = 2 if mount is Mount.PARALLEL else 1
    wanted = [*card.positions[:2], *card.positions[-feet:]]
    for position in wanted:
        letter = "abcdefgh"[card.positions.index(position)]
        assert f"{letter}, {position.distance}; {position.measured_from}" in steps
    part = "bracket" if mount is Mount.PARALLEL else "shoe"
    assert f"of the {part}: by the maker's template" in steps


@pytest.mark.parametrize(
    ("note", "hand", "asks"),
    [
        ("right leaf active", Hand.RHR, ""),
        ("right leaf active", Hand.LHR, "by the hand in the schedule it is LHR"),
        ("left leaf inactive", Hand.LHR, "by the hand in the schedule it is LHR"),
        ("right leaf active", None, "none is marked on the drawing"),
        ("vantail gauche actif", None, "Told from the outside, as is usual, it would be LHR"),
        ("kick plates by others", None, "Neither a note nor the schedule says it"),
        ("kick plates by others", Hand.RHR, ""),
    ],
)
def test_a_note_that_names_another_active_leaf_than_is_drawn_is_framed(note, hand, asks):
    kind = opening(
        "3070", leaves=2, hand=hand, swing=Swing.OUT, mount=Mount.PARALLEL,
        body_side=BodySide.PUSH, **STEEL,
    )  # fmt: skip
    offer = offered([Opening("101", kind, note=note)], shelf("tarrowby")).offer
    (page,) = cards_paper(offer, RULES).cards
    assert isinstance(page, SettingCard)
    framed = " ".join(said.text for said in page.alarms)
    assert ("WHICH LEAF IS ACTIVE?" in framed) == bool(asks)
    assert asks in framed


def test_a_card_lists_every_piece_of_its_kit_that_is_no_screw_to_fix_it():
    feet = {
        Mount.REGULAR: {"shoe"},
        Mount.PARALLEL: {"soffit bracket", "screw for arm to bracket"},
        Mount.TOP_JAMB: {"shoe"},
    }
    for mount, foot in feet.items():
        card = card_of(
            **STEEL, mount=mount, body_side=SIDE[mount], head_face="5 in", series="granite"
        )
        named = {what for part in card.parts for what in part.what.split(", ")}
        # The steps name pinion screw, cap and cover.
        always = {"closer body", "main arm", "forearm", "pinion screw", "pinion cap", "cover"}
        # Not every body has an end of its pinion to be capped.
        assert named | {"pinion cap"} == always | foot, mount


@pytest.mark.parametrize(
    ("holes", "says", "not_says"),
    [
        ("210 x 83 mm", "Reuse the old holes (8-9/32 × 3-9/32 in)", "Lay out the vertical"),
        ("7 x 2", "The plate covers the old holes (7 × 2 in)", "Reuse"),
        ("10 x 4", "New holes: the old ones (10 × 4 in) do not fit", "Reuse"),
        ("9-5/8 x 2-3/8", "fix it on the old holes", "drill the leaf for the plate"),
    ],
)
def test_a_card_says_what_becomes_of_old_holes(holes, says, not_says):
    told: dict[str, Any] = {**STEEL, "mount": Mount.REGULAR, "series": "slate"}
    card = card_of(existing_holes=parse_pattern(holes), **told)
    text = said(card)
    assert says in text
    assert not_says not in text
    # Where the holes are to lie stands on the card whether they are drilled or measured.
    assert any("holes" in position.what for position in card.positions)
    assert "old holes" in card.summary
