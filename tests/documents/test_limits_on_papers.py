"""What the limits of opening force leave out is said where they are given."""

from typing import Any

import pytest
from tests.documents.test_submittal import STEEL, TEMPLATES
from tests.support.customer_words import texts
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_submittal import submittal_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.submittal import SubmittalPaper
from wholekit.domain.openings import Hand, Location, Opening
from wholekit.wording.speech import figure, speaking, tr

LIMITS: dict[str, tuple[dict[str, Any], bool]] = {
    # 2010 ADA Standards 404.2.9 sets 5 lbf for interior hinged doors that are no fire doors, and
    # does not apply them to the force required to retract latch bolts.
    "ADA": ({"accessible": True}, True),
    "exterior": ({"accessible": True, "location": Location.EXTERIOR}, False),
    "fire door": ({"accessible": True, "fire_minutes": 60}, False),
    "no route": ({"accessible": False, "egress": False}, False),
    "EN": ({"accessible": True, "jurisdiction": "uk"}, False),
}


@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_where_a_limit_leaves_the_latch_bolt_out_card_and_submittal_say_so_once(locale):
    with speaking(locale):
        source = tr("ADA Standards 2010, 404.2.9")
        message = tr(
            "The limit of {limit} does not count what it takes to draw back the latch bolt "
            "({source})."
        )
    ending = message.partition("{limit}")[2].partition("(")[0]
    for size, limit in (("3070", "5 lbf"), ("914x2134 mm", "22.2 N (5 lbf)")):
        with speaking(locale):
            said = message.format(limit=figure(limit), source=source)
        assert locale == "en_US" or "latch" not in said
        for name, (kind, counts) in LIMITS.items():
            kinds = [
                opening(size, **{**STEEL, "hand": hand, **kind}) for hand in (Hand.LH, Hand.RH)
            ]
            openings = [Opening(f"10{number}", each) for number, each in enumerate(kinds)]
            offer = offered(openings, shelf("tarrowby", "averlund"), locale=locale).offer
            for paper in (cards_paper(offer, RULES), submittal_paper(offer, RULES)):
                told = [text for text in texts(make_flow(paper, TEMPLATES)) if ending in text]
                heard = [text for text in told if said in text]
                assert told == heard, "said of no other limit"
                # Of each hand there is a card; in the submittal it stands over the forces besides.
                alone = isinstance(paper, SubmittalPaper)
                assert len(heard) == (2 + alone) * counts, (name, size, heard)
                assert all(text.count(said) == 1 for text in heard)
