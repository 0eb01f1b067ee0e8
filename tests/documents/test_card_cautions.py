"""What a card says before anything is drilled, by what the schedule tells of the leaf.

Which words of a note tell of lead or old age, and what is said of dust, glass, eyes and footing,
are common practice, no source.
"""

from dataclasses import replace

import pytest
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.setting_card import SettingCard
from wholekit.domain.openings import BodySide, Door, Frame, Mount, Opening
from wholekit.domain.quantities import parse_pattern

STEEL = {"door": Door.HOLLOW_METAL, "frame": Frame.STEEL}
REINFORCED = {"door_reinforced": True, "frame_reinforced": True}
PULL = {"mount": Mount.REGULAR, "body_side": BodySide.PULL}
LEAD, OLD, GLASS = "LEAD LINING", "OLD LEAF OR FRAME", "GLASS"


def offer_of(*openings):
    return offered(list(openings), shelf("tarrowby")).offer


def framed(offer):
    """By mark, what of the three its card frames."""
    told = {}
    for page in cards_paper(offer, RULES).cards:
        assert isinstance(page, SettingCard)
        for setting in page.settings:
            leads = {lead for lead in (LEAD, OLD, GLASS) if " ".join(setting.alarms).count(lead)}
            told.update(dict.fromkeys(setting.marks, leads))
    return told


def test_lead_old_age_and_glass_are_framed_where_the_schedule_tells_of_them_and_nowhere_else():
    steel = opening("3070", **STEEL, **REINFORCED, **PULL)
    cases = {
        "101": (steel, "", "Kitchen, lead-lined leaf", {LEAD}),
        "102": (steel, "X-ray room 2", "", {LEAD}),
        "103": (steel, "", "vantail plombé", {LEAD}),
        "104": (steel, "", "hoja emplomada", {LEAD}),
        "105": (steel, "", "not lead lined; lead time 3 weeks", set()),
        "106": (steel, "", "Old hall, frame kept", {OLD}),
        "107": (steel, "", "porte existante", {OLD}),
        "108": (replace(steel, existing_holes=parse_pattern("7 x 2")), "", "", {OLD}),
        "109": (steel, "New hall", "first door", set()),
        "110": (replace(steel, door=Door.ALUMINUM), "", "", {GLASS}),
        "111": (replace(steel, frame=Frame.ALUMINUM), "", "", {GLASS}),
    }
    offer = offer_of(
        *(
            Opening(mark, kind, note=note, room=room)
            for mark, (kind, room, note, _) in cases.items()
        )
    )
    assert framed(offer) == {mark: leads for mark, (*_, leads) in cases.items()}
    # A sheet to drill by says so too.
    sheets = drilling_paper(offer, RULES).sheets
    said = " ".join(one.text for sheet in sheets for one in sheet.warnings)
    for lead in (LEAD, OLD, GLASS):
        assert lead in said


def test_eyes_and_footing_are_said_once_on_each_card():
    steel = opening("3070", **STEEL, **REINFORCED, **PULL)
    offer = offer_of(Opening("101", steel), Opening("102", replace(steel, fire_minutes=60)))
    for page in cards_paper(offer, RULES).cards:
        assert isinstance(page, SettingCard)
        told = [said for said in page.cautions if "eye protection" in said.text]
        assert len(told) == 1
        assert "secure footing" in told[0].text
        assert not told[0].places


@pytest.mark.parametrize("side", BodySide)
def test_a_sheet_of_a_fire_door_says_so_first_and_from_the_push_side_where_the_hinge_line_is(side):
    mount = Mount.REGULAR if side is BodySide.PULL else Mount.PARALLEL
    kind = opening("3070", fire_minutes=60, mount=mount, body_side=side, **STEEL, **REINFORCED)
    for sheet in drilling_paper(offer_of(Opening("101", kind, note="old door")), RULES).sheets:
        first, *_ = (*sheet.notes, *sheet.warnings)
        assert first.text.startswith("FIRE DOOR.")
        hidden = "Not seen there: the hinge center line" in sheet.seen
        assert hidden == (side is BodySide.PUSH)
