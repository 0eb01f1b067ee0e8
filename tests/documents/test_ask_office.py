"""A kit whose card bids the fitter ask before he drills is not picked and sent without a word."""

import re
from dataclasses import replace

from tests.documents.test_setting_cards import SCHOOL
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.bags_alike import about_of
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_labels import labels_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_slip import packing_slip_paper
from wholekit.documents.setting_card import SettingCard
from wholekit.domain.openings import Door, Frame, Location, Mount, Opening, Swing
from wholekit.intake.openings import read_openings
from wholekit.wording.speech import speaking, tr
from wholekit.wording.to_fitters import ASK, ASK_FIRST


def asked_on(pairs):
    """Marks of which a text says so."""
    return {mark for mark, text in pairs if ASK_FIRST in text}


def test_cards_labels_list_and_slip_bid_ask_at_the_same_openings():
    # Of holes near an edge, and of a note that alone tells of wind.
    kind = opening("3070", door=Door.HOLLOW_METAL, frame=Frame.STEEL, location=Location.EXTERIOR)
    noted = Opening("X5", replace(kind, swing=Swing.IN), note="12 mph")
    narrow = opening(
        "3070", door=Door.ALUMINUM, frame=Frame.ALUMINUM, mount=Mount.REGULAR, top_rail="2 in"
    )
    both = (noted, Opening("X6", narrow))
    offer = offered([*read_openings(str(SCHOOL), [], RULES), *both], shelf()).offer
    on_cards = {
        mark
        for card in cards_paper(offer, RULES).cards
        if isinstance(card, SettingCard)
        for setting in card.settings
        for mark in setting.marks
        if ASK in " ".join((*setting.warnings, *setting.edges))
    }
    firm = {each.mark for each in offer.openings if offer.is_firm(each)}
    assert {"209", "X5", "X6"} <= on_cards < firm
    labels = labels_paper(offer).labels
    assert asked_on((each.mark, " ".join(each.alerts)) for each in labels) == on_cards
    listed = pick_list_paper(offer)
    openings = (*listed.openings, *listed.held)
    assert asked_on((each.mark, about_of(each)) for each in openings) == on_cards
    slip = packing_slip_paper(offer)
    marks = (mark for kit in slip.kits for mark in kit.marks)
    assert asked_on((each.mark, each.about) for each in marks) == on_cards


def test_it_is_said_in_the_language_of_what_goes_out():
    for language, word in (("fr", "PERCER"), ("es", "TALADRAR")):
        with speaking(language):
            assert re.search(rf"\b{word}\b", tr(ASK_FIRST))
