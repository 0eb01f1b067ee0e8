"""What a drilling sheet's parts say where there is little room: warnings, and sizes of drills."""

import re
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.documents.test_drilling_sheets import SHEETS, parts_of, printed, put_together
from tests.documents.test_setting_cards import HEAD, SIDE, STEEL, TEMPLATES
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.drawings import Trued, draw_tiles
from wholekit.documents.drilling_room import sheet_texts, tiles_of
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.render import render_paper
from wholekit.domain.house_style import PageSize
from wholekit.domain.openings import BodySide, Hand, Mount, Opening


@settings(max_examples=60)
@given(
    first=st.floats(40, 400),
    along=st.floats(60, 300),
    down=st.floats(15, 60),
    across=st.floats(10, 95),
    up=st.booleans(),
    right=st.booleans(),
    size=st.sampled_from([*PageSize]),
    more=st.floats(4, 34),
    brief=st.floats(0, 4),
)
def test_warnings_stand_on_one_part_where_that_takes_fewer_sheets_of_paper(
    first, along, down, across, up, right, size, more, brief
):
    """Each sheet of paper holds its parts and texts, each hole is whole, and laps are alike."""
    holes = tuple((first + x, down + y) for y in (0.0, across) for x in (0.0, along))
    trued = Trued(holes, 6.1, ((first / 2, "pinion"),), "hinge", "edge", right, up)
    texts = (more, more)
    full = draw_tiles(trued, size, "A", texts)
    led = draw_tiles(trued, size, "A", texts, (brief, brief))
    assert len(led.pages) <= len(full.pages)
    if led.lead is None:
        assert led == full
        return
    assert len(led.pages) < len(full.pages)
    high = SHEETS[size][0] if led.turned else SHEETS[size][1] - 14
    for number, page in enumerate(led.pages):
        heights = [float(re.findall('height="([0-9.]+)mm"', tile.drawing)[0]) for tile in page]
        assert sum(heights) <= high - 58.9 - (more if number == led.lead else brief)
    drawings = [tile.drawing for page in led.pages for tile in page]
    found = {one for drawing in drawings for one in re.findall(r">([1-4])</text>", drawing)}
    assert found == {"1", "2", "3", "4"}


@pytest.mark.parametrize("hand", [Hand.LH, Hand.RH])
def test_parts_of_unlike_height_go_together_and_say_where_the_warnings_are(hand, tmp_path):
    """A parallel arm with long remarks: two sheets, not three, and its drills on both."""
    told = {"hand": hand, "mount": Mount.PARALLEL, "body_side": BodySide.PUSH}
    told |= {"fire_minutes": 90}
    one = opening("3070", **told)
    offer = offered([Opening("1", one, note="wind 12 mph")], shelf("tarrowby")).offer
    (sheet,) = drilling_paper(offer, RULES).sheets
    paper = replace(drilling_paper(offer, RULES), head=HEAD)
    tiles = tiles_of(sheet, "A", HEAD.page_size)
    assert tiles.lead is not None
    out = tmp_path / "parts.pdf"
    render_paper(paper, out, TEMPLATES)
    pages, _ = printed(out)
    own = pages[1:]
    assert len(own) == 2
    holes, hinge, edge = put_together([part for page in own for part in parts_of(page)])
    (kit,) = offer.kits
    assert kit.template is not None
    assert kit.body is not None
    side = -1 if sheet.trued.hinge_right else 1
    along, across = (length.in_millimetres for length in kit.body.hole_pattern)
    first = kit.template.holes_from_hinge.in_millimetres
    down = kit.template.holes_down.in_millimetres
    wanted = [(side * (first + x), -down - y) for x in (0, along) for y in (0, across)]
    for seen, place in zip(
        sorted((x - hinge, y - edge) for x, y in holes), sorted(wanted), strict=True
    ):
        assert seen == pytest.approx(place, abs=0.1)
    name = tiles.pages[tiles.lead][0].name
    for number, page in enumerate(own):
        assert ("FIRE DOOR." in page.text) == (number == tiles.lead)
        assert (f"READ THE WARNINGS ON {name}" in page.text) == (number != tiles.lead)
        assert "drill" in page.text.partition("Circles")[2]


def test_long_drill_sizes_stand_on_the_sheet_where_it_has_room():
    """Screws of two hundred signs and more, as in Spanish, beside the table of a regular arm."""
    told = {**STEEL, "mount": Mount.REGULAR, "body_side": SIDE[Mount.REGULAR], "hand": Hand.LH}
    paper = drilling_paper(offered([Opening("1", opening("3070", **told))], shelf()).offer, RULES)
    (sheet,) = paper.sheets
    (screws,) = sheet.screws
    long = replace(sheet, screws=(replace(screws, text=screws.text + " word" * 40),))
    assert sheet_texts(long, "A", PageSize.LETTER).screws == long.screws
    pages = [len(tiles_of(each, "A", PageSize.LETTER).pages) for each in (sheet, long)]
    assert pages[0] == pages[1]
    # No sheet of paper more for them: the card has them.
    endless = replace(sheet, screws=(replace(screws, text=screws.text + " word" * 900),))
    assert sheet_texts(endless, "A", PageSize.LETTER).screws == ()


def test_what_is_warned_of_some_openings_alone_is_never_said_of_all():
    """However long the list of their marks is: without room for it, that they are some stays."""
    told = {**STEEL, "mount": Mount.REGULAR, "body_side": SIDE[Mount.REGULAR], "hand": Hand.LH}
    openings = [
        Opening(f"{'WALL' * 3}-{3 * at}", opening("3070", **told), note="hold open" * (at % 2))
        for at in range(12)
    ]
    sheets = drilling_paper(offered(openings, shelf("tarrowby")).offer, RULES).sheets
    every = [(sheet, said) for sheet in sheets for said in (*sheet.warnings, *sheet.questions)]
    some = [(sheet, said) for sheet, said in every if said.places]
    assert any(len(said.places) > 50 for _, said in some)
    for sheet, said in some:
        texts = sheet_texts(sheet, "A", PageSize.LETTER)
        (there,) = (one for one in (*texts.boxed, *texts.look) if said.text in one.text)
        assert there.places == said.places or there.text.startswith("Some of them only")
