"""Papers that leave the house speak to who reads them there, and ask about a finish with boxes."""

import re
import string
from functools import cache
from xml.etree import ElementTree

import pytest
from tests.documents.test_grouped_quote import school
from tests.support.customer_words import texts
from tests.support.house import RULES, opening, shelf
from tests.support.messages import TEMPLATES
from tests.support.offers import offered

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_submittal import submittal_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.openings import Door, Frame, Location, Opening
from wholekit.domain.quotes import Offer
from wholekit.wording.findings import HINTS
from wholekit.wording.force_sentences import HINTS as FORCE_HINTS
from wholekit.wording.speech import speaking, tr
from wholekit.wording.to_customers import IN_PLACE, hint_to_customers

# What only the house does: it asks its customer, keeps a price book, fills in a schedule.
OF_THE_HOUSE = re.compile(
    r"(with|ask|for) the customer|\bAsk (whether|how|what|the maker|for)\b|price book"
    r"|to the catalogues|\bin column\b|(avec|auprès d[eu]|au) (le )?client\b|la colonne"
)
# Hints of checks that no paper for customers holds: of kits put together by hand.
BY_HAND = {
    "ask-hand", "answer-field", "ask-corrosion", "fill-column", "quote-piece",
    "state-wish",
}  # fmt: skip


@cache
def clinic(locale: str = "en_US") -> Offer:
    asked = {"door": Door.HOLLOW_METAL, "frame": Frame.STEEL, "location": Location.INTERIOR}
    openings = [
        Opening("D1", opening(finish="626", **asked), 3),
        Opening("D2", opening(finish="652", **asked)),
    ]
    return offered(openings, shelf("tarrowby"), asks=True, locale=locale).offer


def test_no_paper_for_customers_architects_or_fitters_speaks_to_the_clerk():
    for offer in (school(), clinic(), clinic("fr_CA")):
        papers: list[AnyPaper] = [
            quote_paper(offer),
            submittal_paper(offer, RULES),
            cards_paper(offer, RULES),
        ]
        # Of the school the two that hold a stop's way out; the submittal words it as they do.
        for paper in papers[:: 2 if offer is school() else 1]:
            said = texts(make_flow(paper, TEMPLATES))
            assert [text for text in said if OF_THE_HOUSE.search(text)] == []


@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_a_hint_that_speaks_to_the_house_is_said_otherwise_and_keeps_its_figures(locale):
    for code, hint in {**FORCE_HINTS, **HINTS}.items():
        names = [name for _, name, _, _ in string.Formatter().parse(hint) if name]
        with speaking(locale):
            said = hint_to_customers(tr(hint).format(**{name: f"<{name}>" for name in names}))
            assert (said == tr(hint).format(**{name: f"<{name}>" for name in names})) is (
                code not in IN_PLACE
            )
        if locale == "en_US" and code not in BY_HAND:
            assert not OF_THE_HOUSE.search(said), code
        kept = re.findall(r"<\w+>", said)
        if code in IN_PLACE:
            assert kept == [f"<{name}>" for name in re.findall(r"{(\w+)}", IN_PLACE[code])]


@pytest.mark.parametrize("form", QuoteForm)
def test_answers_stand_apart_by_their_boxes_and_write_money_as_the_quote_does(form):
    flow = make_flow(quote_paper(clinic(), form=form), TEMPLATES)
    said = " ".join("".join(ElementTree.fromstring(flow.blocks[0].html).itertext()).split())  # noqa: S314  # our own
    asked = said.partition("Questions we need answered")[2].partition("Assumed")[0]
    assert asked.count("☐") > 5
    assert re.findall(r"\s[;:]|;\s*$|\d USD", asked) == []


def test_a_finish_that_is_not_the_one_asked_for_is_one_question_with_boxes_and_prices():
    offer = clinic()
    kits = [offer.kit_of(opening) for opening in offer.openings]
    paper = quote_paper(offer)
    question, plated = paper.questions[:2]
    assert question.marks == ("D1",)
    assert "626" in question.text
    assert "652" in question.text
    saved = next(each.difference for each in kits[0].findings if each.code == "finish-dearer")
    assert saved is not None
    assert saved.minor < 0
    (quoted, _), (match, effect), (blank, _) = question.answers
    assert (quoted, match, blank) == ("652", "689 (painted)", "")
    each, whole = -saved.minor / 100, -saved.minor * 3 / 100
    # A painted match may be another closer altogether, and says so.
    assert effect == (
        f"−${each:.2f} each, 3 openings, together −${whole:.2f} · "
        "with series Pebble in place of Granite"
    )
    # Asked for as it is sold, it is a question still, and no note repeats it.
    assert plated.marks == ("D2",)
    assert plated.answers[0][0] == "652"
    assert not any("painted match" in note.note.text for note in paper.notes)
    assert "Asked in question 1." in [note.note.hint for note in paper.notes]
