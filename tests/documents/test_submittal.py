"""The architect's submittal: all of the job, in one bookmarked file, and no money."""

import re
from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import cache
from html import unescape
from itertools import groupby
from typing import Any

import pytest
from pypdf import PdfReader
from tests.documents.test_card_sharing import marks_in
from tests.documents.test_papers import types_within
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.bootstrap import House, open_house
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_submittal import submittal_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.render import render_paper
from wholekit.documents.setting_card import HoldPage
from wholekit.documents.submittal import SubmittalPaper
from wholekit.domain.findings import Severity
from wholekit.domain.openings import Door, Frame, Hand, HoldOpen, Mount, Opening
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.intake.openings import read_openings
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed
from wholekit.settings import bundled
from wholekit.wording.asked_code import elsewhere_text
from wholekit.wording.openings import egress_unstated
from wholekit.wording.speech import speaking, tr

STEEL = {
    "door": Door.HOLLOW_METAL,
    "frame": Frame.STEEL,
    "door_reinforced": True,
    "frame_reinforced": True,
    "mount": Mount.REGULAR,
    "hand": Hand.LH,
}
TEMPLATES = bundled("templates")


SAMPLES = bundled("catalog_samples")
DAY = date(2026, 11, 25)
GRAVITY = (Severity.NOTE, Severity.WARN, Severity.STOP)


@cache
def house() -> House:
    return open_house([SAMPLES / name for name in ("quillmere", "tarrowby", "averlund")])


@cache
def sample(locale: str = "en_US") -> tuple[Offer, SubmittalPaper]:
    """The sample job on the sample shelves, with what other kits would cost in its findings."""
    place = house()
    openings = read_openings(str(SAMPLES / "jobs" / "ostrell-bay-school.csv"), [], place.rules)
    workup = work_up_schedule(openings, place.shelf, place.rules, DAY, Asker(locale=locale))
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", Fraction(1, 4))
    offer = place.snapshot(workup, headed).offer
    return offer, submittal_paper(offer, RULES)


def all_warnings(offer: Offer) -> Offer:
    """The offer with every note a warning, so that it is told at its kit."""
    return replace(
        offer,
        kits=tuple(
            replace(
                kit,
                findings=tuple(
                    replace(each, severity=Severity.WARN)
                    if each.severity is Severity.NOTE
                    else each
                    for each in kit.findings
                ),
            )
            for kit in offer.kits
        ),
    )


def small() -> Offer:
    types = (
        opening("3070", **STEEL),
        opening("3070", **STEEL),
        opening("3670", accessible=True, **STEEL),
        opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM, **STEEL),
    )
    openings = [Opening(f"10{number}", each) for number, each in enumerate(types, 1)]
    return offered(openings, shelf("tarrowby"), job="Annex").offer


def test_every_opening_stands_in_the_index_with_its_kit_and_its_card():
    offer, paper = sample()
    every = tuple(one.place for one in offer.openings)
    assert [row.mark for row in paper.rows] == [*every]
    for row, one in zip(paper.rows, offer.openings, strict=True):
        kit = paper.kits[row.kit - 1]
        assert kit.number == row.kit
        assert row.mark in marks_in(kit.places, every)
        assert row.mark in paper.cards[row.card - 1].marks
        held = not offer.is_firm(one)
        assert row.held is held
        assert (bool(kit.held) and row.mark in marks_in(kit.held, every)) is held
        assert isinstance(paper.cards[row.card - 1], HoldPage) or not offer.is_held(one)
        wanted = [(line.sku, line.quantity, line.finish) for line in offer.kit_of(one).lines]
        assert [(item.sku, item.quantity, item.finish) for item in kit.items] == wanted
    assert sum(kit.quantity for kit in paper.kits) == offer.opening_count
    # A series by its name; of an opening without a room what the sheet says of it.
    names = {dict(kit.maker)["Series"] for kit in paper.kits if kit.maker}
    assert names >= {"Harbor", "Lodge"}
    assert all(
        bool(row.room) is bool(one.room or one.note)
        for row, one in zip(paper.rows, offer.openings, strict=True)
    )


def test_forces_limits_and_assumptions_stay_with_their_marks():
    offer, paper = sample()
    every = tuple(one.place for one in offer.openings)
    rows = {mark: row for row in paper.forces for mark in marks_in(row.places, every)}
    assert sorted(rows) == sorted(every)
    for one in offer.openings:
        kit, said, row = offer.kit_of(one), offer.words.kits[one.kit], rows[one.place]
        assert (row.size_required, row.size_set) == (kit.size_required, kit.spring_size)
        assert row.figures == said.estimates
        mine = [
            told.lead
            for told in paper.assumptions
            if not told.places or one.place in marks_in(told.places, every)
        ]
        assert {text for text, _ in said.assumed} <= {*mine}
        if kit.type.egress is None:
            assert any("egress" in text for text in mine)
    # Assumptions of one kind stand together, whatever openings they are for.
    kinds = [re.split(r"\d|:", told.lead)[0] for told in paper.assumptions]
    assert len([*groupby(kinds)]) == len({*kinds})
    # A limit never stands without the published text it is from.
    assert all(
        limit.endswith("]") and "memory" not in limit
        for row in paper.forces
        for limit in row.limits
    )
    # 205: an exterior leaf too wide for any size has no closer to calculate with, and the limits of
    # IBC 1010.1.3 (30 lbf to set in motion, 15 to swing) all the same, if it is an exit.
    assert rows["205"].figures == ()
    assert rows["205"].limits == tuple(
        f"if it is an exit: {limit}; not calculated [IBC 2024, 1010.1.3]"
        for limit in ("30 lbf, to set in motion", "15 lbf, to swing fully open")
    )
    assert any("5 lbf; calculated" in limit for row in paper.forces for limit in row.limits)
    assert {*offer.words.cautions} <= {*paper.cautions}


def test_no_money_can_reach_the_architect():
    """Not by a field, nor in a sentence: findings tell what another kit would cost."""
    assert Money not in types_within(SubmittalPaper)
    for locale in ("en_US", "fr_CA"):
        offer, paper = sample(locale)
        words = offer.sent or offer.words
        sign = re.compile(r"USD|\$")
        assert any(sign.search(text) for kit in words.kits for text, *_ in kit.findings)
        assert not sign.search(repr(paper))
        warned = submittal_paper(all_warnings(offer), RULES)
        assert not sign.search(repr(warned))
        # The sentence stays, but for its end.
        told = {said.text for kit in warned.kits for said in kit.findings}
        priced = [text for kit in words.kits for text, *_ in kit.findings if sign.search(text)]
        assert any(text.partition(". ")[0] in said for text in priced for said in told)
        assert not {"See the quote.", "Voyez la soumission."} & told


def test_stops_of_an_opening_are_told_at_its_kit_and_on_the_cover(tmp_path):
    offer = small()
    out = tmp_path / "submittal.pdf"
    render_paper(submittal_paper(offer, RULES), out, TEMPLATES)
    reader: Any = PdfReader(out)
    pages = [" ".join(page.extract_text().split()) for page in reader.pages]
    assert "On hold: 104." in pages[0]
    assert "FOR REVIEW: nothing here is released for fitting." in pages[0]
    assert all(box in pages[0] for box in ("Reviewed, no exceptions", "Revise and send again"))
    kits = " ".join(pages)
    assert re.search(r"STOP\. [^.]*hold-open arm", kits)
    for kit in sample()[1].kits:
        told = [said.text for said in kit.findings]
        # Said once, though two rules say it; and no word of how a table of ours was read.
        assert len(told) == len(set(told))
        assert "inferred" not in " ".join(told)
    tops = [entry for entry in reader.outline if not isinstance(entry, list)]
    assert [str(entry["/Title"]) for entry in tops] == [
        "Submittal",
        "Openings",
        "Kits",
        "Forces and latching",
        "Assumptions and cautions",
        "Setting cards",
    ]
    starts = [reader.get_destination_page_number(entry) for entry in tops]
    # Parts follow one another on a page; the cards have pages of their own.
    assert starts == sorted(starts)
    assert starts[0] == starts[1], "the index begins on the cover"
    for entry, start in zip(tops[1:], starts[1:], strict=True):
        # What the cover says of its page.
        assert re.search(rf"{entry['/Title']} [a-z][^0-9]* {start + 1}\b", pages[0])
    for entry, start in zip(tops[1:], starts[1:], strict=True):
        assert str(entry["/Title"]) in pages[start] or "Index of setting cards" in pages[start]
    _, cards = (entry for entry in reader.outline if isinstance(entry, list))
    assert [str(entry["/Title"]).partition(":")[0] for entry in cards][-1] == "HOLD"
    index = pages[starts[-1]].partition("Index of setting cards")[2]
    for at, card in enumerate(cards, 1):
        start = reader.get_destination_page_number(card) + 1
        named = "HOLD sheet" if at == len(cards) else "(?<!sheet)"
        assert re.search(rf"{named} {at} .*? {start}(?= |$)", index)
    assert re.search(r"104 1 .*? HOLD sheet \d", " ".join(pages[:2]))
    assert all("FOR REVIEW" in pages[reader.get_destination_page_number(one)] for one in cards)


def test_the_cover_names_the_page_on_which_a_part_begins_however_long_it_is(tmp_path):
    """Parts that run over several pages: none is found where it ends."""
    paper = submittal_paper(small(), RULES)
    longer = replace(
        paper, rows=paper.rows * 40, forces=paper.forces * 30, assumptions=paper.assumptions * 60
    )
    out = tmp_path / "submittal.pdf"
    render_paper(longer, out, TEMPLATES)
    reader: Any = PdfReader(out)
    cover = " ".join(reader.pages[0].extract_text().split())
    tops = [entry for entry in reader.outline if not isinstance(entry, list)][1:]
    starts = [reader.get_destination_page_number(entry) + 1 for entry in tops]
    assert starts[1] - starts[0] > 1, "the index runs over pages"
    assert starts[3] - starts[2] > 1, "and so do the forces"
    for entry, start in zip(tops, starts, strict=True):
        assert re.search(rf"{entry['/Title']} [a-z][^0-9]* {start}\b", cover)


@pytest.mark.parametrize("locale", ["fr_CA", "es_MX", "en_US"])
def test_the_architect_is_asked_whose_code_holds_where_the_quote_asks(locale):
    """Beside the limits that were taken, which are another country's, and not among assumptions."""
    offer, paper = sample(locale)
    with speaking(locale):
        title, unstated = tr("Forces and latching"), egress_unstated()
        elsewhere = elsewhere_text(offer)
    assert bool(paper.whose_code) == bool(elsewhere) == (locale != "en_US")
    assert elsewhere in paper.whose_code
    assert any(elsewhere in question.text for question in quote_paper(offer).questions)
    (forces,) = (each.html for each in make_flow(paper, TEMPLATES).blocks if each.title == title)
    assert paper.whose_code in unescape(re.sub("<[^>]+>", "", forces))
    # That no exit was worked out, as the quote puts it.
    assert unstated in {said.lead or said.text for said in paper.assumptions}


def test_a_card_points_to_what_its_reader_has(tmp_path):
    """The architect gets no packing slip; and the index names its one card by a number."""
    note = "A remark of many words that no card has room for. " * 4
    told = Opening("101", opening("3070", **STEEL), 1, note=note)
    offer = offered([told], shelf()).offer
    fitter = "".join(block.html for block in make_flow(cards_paper(offer, RULES), TEMPLATES).blocks)
    assert "(the rest stands on the packing slip)" in fitter
    assert "Card 1" not in fitter
    paper = submittal_paper(offer, RULES)
    (*_, card) = make_flow(paper, TEMPLATES).blocks
    assert "(the rest stands in the schedule)" in card.html
    assert "Card 1" in card.html
    assert "packing slip" not in card.html


def test_the_submittal_is_in_the_jobs_language():
    (_, paper), (_, english) = sample("fr_CA"), sample()
    assert paper.head.language == "fr"
    assert paper.kits[0].title != english.kits[0].title
    assert not {*paper.cautions} & {*english.cautions}
    assert not {told.lead for told in paper.assumptions} & {
        told.lead for told in english.assumptions
    }
