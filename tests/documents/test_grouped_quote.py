"""Openings that are alike to who buys them share one kit on the quote, and none is lost."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import chain

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from tests.support.customer_words import texts
from tests.support.house import RULES, shelf
from tests.support.messages import TEMPLATES
from tests.support.offers import offered

from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.flow import _environment
from wholekit.documents.make_flow import make_flow
from wholekit.documents.papers import MissingPiece, QuotePaper
from wholekit.documents.quote_flow import ROWS
from wholekit.documents.quote_form import QuoteForm
from wholekit.documents.render import render_paper
from wholekit.domain.openings import Opening, Unclear, marks_named
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.alike import alike
from wholekit.domain.quotes.offer import OfferOpening
from wholekit.intake.openings import read_openings
from wholekit.settings import bundled
from wholekit.wording.amounts import say_money
from wholekit.wording.mark_groups import MOST_MARKS, MarkGroups
from wholekit.wording.questions import QUESTIONS

SCHOOL = bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv"
# More marks in a row than are their own name.
MANY = re.compile(rf"(\b\d{{3}}, ){{{MOST_MARKS}}}\d{{3}}\b")
UNCLEAR = Unclear("fire_minutes", "B", ("60", "90"))
# Of the sample job, pages at most.
LONGEST = {QuoteForm.FULL: 12, QuoteForm.SHORT: 4}


@cache
def school() -> Offer:
    return offered(read_openings(str(SCHOOL), [], RULES), shelf(), asks=True).offer


@st.composite
def offers(draw: st.DrawFn) -> Offer:
    """The school's kits at random marks, quantities and notes."""
    offer = school()
    kinds = st.lists(st.integers(0, len(offer.kits) - 1), min_size=1, max_size=40)
    openings = tuple(
        OfferOpening(
            f"{draw(st.sampled_from(['', 'A-', 'B']))}{101 + at}",
            quantity := draw(st.integers(1, 9)),
            kit,
            offer.kits[kit].price.times(quantity),
            note=draw(st.sampled_from(["", "Staff room"])),
        )
        for at, kit in enumerate(draw(kinds))
    )
    hardware = replace(offer.totals.hardware, minor=sum(each.price.minor for each in openings))
    totals = replace(offer.totals, hardware=hardware, net=hardware, gross=hardware)
    words = replace(offer.words, notes=(), questions=(), answers=())
    return replace(offer, openings=openings, totals=totals, words=words, priced_firm=None)


@given(offers())
def test_grouping_loses_no_opening_and_changes_no_quantity_and_no_sum(offer):
    groups = alike(offer, offer.openings)
    assert sorted(each.mark for group in groups for each in group.openings) == sorted(
        each.mark for each in offer.openings
    )
    assert sum(group.quantity for group in groups) == offer.opening_count
    assert sum(group.price.minor for group in groups) == offer.totals.hardware.minor
    alone: Counter[str] = Counter()
    for each in offer.openings:
        for line in offer.kit_of(each).lines:
            alone[line.sku] += line.quantity * each.quantity
    together: Counter[str] = Counter()
    for group in groups:
        for line in group.kit.lines:
            together[line.sku] += line.quantity * group.quantity
    assert together == alone


@given(offers())
def test_only_what_is_the_same_in_kit_setting_price_and_finish_is_alike(offer):
    groups = alike(offer, offer.openings)

    def shown(each: OfferOpening) -> object:
        kit = offer.kit_of(each)
        lines = [(line.sku, line.description, line.quantity, line.total) for line in kit.lines]
        setting = (kit.mount, kit.body_side, kit.spring_size, kit.finish, kit.type.leaves)
        return lines, setting, kit.price, kit.missing

    for group in groups:
        assert all(shown(each) == shown(group.openings[0]) for each in group.openings)
    firsts = [shown(group.openings[0]) for group in groups]
    assert all(one not in firsts[at + 1 :] for at, one in enumerate(firsts))


@given(offers())
def test_a_quote_names_each_opening_once_under_its_kit_and_adds_up(offer):
    paper = quote_paper(offer)
    every = [each.mark for each in offer.openings]
    kits = (*paper.kits, *paper.open_kits)
    assert sorted(mark.mark for kit in kits for mark in kit.marks) == sorted(every)
    for kit in kits:
        # As a reader of the range takes it.
        named = kit.places.replace("–", "-").split(", ")
        assert set(marks_named(named, every)[0]) == {mark.mark for mark in kit.marks}
    firm = {each.mark for each in offer.openings if offer.is_firm(each)}
    assert {mark.mark for kit in paper.kits for mark in kit.marks} == firm
    assert paper.totals.gross == paper.firm
    assert sum(kit.price.minor for kit in paper.kits) == paper.firm.minor
    assert sum(item.net.minor for item in paper.items) == paper.firm.minor
    assert sum(kit.quantity for kit in paper.kits) == paper.openings
    numbers = {number for kit in kits for mark in kit.marks for number in mark.checks}
    assert numbers == set(range(1, len(paper.notes) + 1))


@pytest.mark.parametrize("form", QuoteForm)
def test_the_sample_job_is_short_and_loses_no_opening_item_or_price(form, tmp_path):
    offer = school()
    paper = quote_paper(offer, form=form)
    said = " ".join(texts(make_flow(paper, TEMPLATES)))
    every = [opening.mark for opening in offer.openings]
    kits = (*paper.kits, *paper.open_kits)
    assert {mark.mark for kit in kits for mark in kit.marks} == set(every)
    for kit in kits:
        assert kit.places in said
        assert (say_money(kit.each, "en_US") if kit.lines else "not priced") in said
        assert not kit.lines or say_money(kit.price, "en_US") in said
        assert all(mark.size in said for mark in kit.marks)
    for opening in offer.openings:
        for line in offer.kit_of(opening).lines:
            assert line.sku in said
            # In short the items stand once, below the kits; of what is open only their codes do.
            assert line.description in said or not offer.is_firm(opening)
    if form is QuoteForm.FULL:
        for opening in offer.openings:
            assert re.search(rf"{re.escape(opening.mark)} {opening.quantity} (×|of) ", said)
            assert opening.note in said
            assert offer.words.kits[opening.kit].summary in said
    for text in (*offer.words.cautions, *paper.assumptions, *paper.terms):
        assert text in said
    assert all(question.text in said for question in paper.questions)
    render_paper(paper, tmp_path / "quote.pdf", TEMPLATES)
    pages = PdfReader(tmp_path / "quote.pdf").pages
    assert len(pages) <= LONGEST[form]
    # The front names the page that it is signed on.
    (page,) = re.findall(r"sign on page\s+(\d+)", pages[0].extract_text())
    assert "Acceptance of quote" in pages[int(page) - 1].extract_text()


def names_mean_the_same_everywhere(offer: Offer, paper: QuotePaper) -> None:
    """Each letter is given once to openings that no other letter has, and each question names by
    letters and marks just the openings that it is put to."""
    every = [each.place for each in (*offer.openings, *(offer.left_out or ()))]
    groups = {name: meant_by(marks, every) for name, marks in paper.groups}
    assert len(groups) == len(paper.groups)
    assert sum(map(len, groups.values())) == len({*chain(*groups.values())})
    for question in paper.questions:
        texts = (question.text, *chain(*question.answers), *question.refusals)
        said = "\n".join((question.where, *texts))
        assert {*re.findall(r"group [A-Z]+", said)} <= {*groups}
        assert "all others" not in said
        where, rest = re.subn("^all but ", "", question.where)
        named = [part for part in where.split(", ") if part]
        marks = [part for part in named if part not in groups]
        found = meant_by(", ".join(marks), every) if marks else set()
        found = found.union(*(groups[name] for name in named if name in groups))
        found = {*every} - found if rest else found
        if where and where != "all":
            assert found == meant_by(", ".join(question.marks), every)


def named_in(text: str, every: Sequence[str]) -> set[str]:
    """The marks of `101–103`, `all but 101` or nothing, which is all."""
    marks = text.removeprefix("all but ")
    found = meant_by(marks, every) if marks else set()
    return found if marks and marks == text else {*every} - found


def meant_by(marks: str, every: Sequence[str]) -> set[str]:
    found, unknown = marks_named(marks.split(", "), every)
    assert not unknown
    return {*found}


@given(counts=st.lists(st.integers(0, 4), min_size=8, max_size=40), left=st.integers(0, 3))
@settings(max_examples=10, deadline=None)
def test_a_letter_means_the_same_openings_in_every_question(counts, left):
    """Of any mixture of a few kinds of doors, also where some of them leave the quote."""
    kinds = [each.type for each in read_openings(str(SCHOOL), [], RULES)]
    rows = [Opening(f"{101 + at}", kinds[kind], 1) for at, kind in enumerate(counts)]
    offer = offered(rows, shelf(), asks=True).offer
    kept = offer.openings[left:]
    offer = replace(offer, openings=kept, left_out=offer.openings[:left])
    names_mean_the_same_everywhere(offer, quote_paper(offer))


def test_a_quote_of_one_opening_offers_no_answer_by_mark():
    """Of two openings, of the same kind or another, it does."""
    kinds = [each.type for each in read_openings(str(SCHOOL), [], RULES)]
    for count in (1, 2):
        rows = [Opening(f"{101 + at}", kinds[at], 1) for at in range(count)]
        paper = quote_paper(offered(rows, shelf(), asks=True).offer)
        front = " ".join(block.html for block in make_flow(paper, TEMPLATES).blocks)
        assert any(question.answers for question in paper.questions)
        assert ("by mark" in front) == (count > 1)


def test_a_sentence_that_begins_with_a_group_has_a_capital_and_lists_the_group():
    groups = MarkGroups([["1", "3", "5", "7", "9"]], [*"123456789"])
    (used,) = groups.used(["Group A: no single answer below makes it latch."])
    assert used == ("group A", "1, 3, 5, 7, 9")


def test_a_question_names_each_of_its_openings_once_and_those_that_free_come_first():
    """Of 300 doors, whose groups are too long for their marks to stand with each answer."""
    kinds = [each.type for each in read_openings(str(SCHOOL), [], RULES)]
    rows = [Opening(f"{101 + at}", kinds[at % 5], 1) for at in range(300)]
    unclear = replace(kinds[0], unclear=(UNCLEAR,), fire_minutes=90)
    rows += [Opening("E1", unclear, 1), Opening("E4", unclear, 1)]
    offer = offered(rows, shelf(), asks=True).offer
    paper = quote_paper(offer)
    html = make_flow(paper, TEMPLATES).blocks[0].html
    # A label that may be two may be none as well: the last word is the customer's.
    (label,) = (each for each in paper.questions if "label" in each.text and each.frees)
    assert ("", "☐ no label, another, or by mark:") in label.answers
    for question in paper.questions:
        named = [mark for marks in question.marks for mark in marks.replace("–", "-").split(", ")]
        assert len(named) == len(set(named))
        said = [question.text, *(effect for _, effect in question.answers), *question.refusals]
        # What has more marks or ranges than a few has a name.
        assert not [text for text in said if MANY.search(text)]
    assert "group A" in html
    names_mean_the_same_everywhere(offer, paper)
    freed = [question.frees for question in paper.questions]
    assert freed == sorted(freed, reverse=True)
    assert paper.questions[0].text.startswith(QUESTIONS["fire_minutes"])
    assert any(freed)
    assert not all(freed)
    assert html.index("First: these free what is open") < html.index("Then: these change")
    # Each answer has a row: its box, then what it comes to, then what comes with it.
    rows_of = re.findall(r'<tr class="one"><td><span class="or">☐&#160;<b>[^<]+</b>', html)
    assert len(rows_of) > len(paper.questions)
    # Open openings are counted, and named as they stand on the sheet.
    assert "of 302 openings firm" in html
    open_marks = [each.mark for each in offer.openings if not offer.is_firm(each)]
    meant = marks_named(paper.open_places.split(", "), [each.mark for each in offer.openings])
    assert meant == (open_marks, [])
    assert f"{len(open_marks)} openings not accepted, since open:" in " ".join(
        texts(make_flow(paper, TEMPLATES))
    )


def test_what_a_kit_of_many_openings_lacks_stands_once_and_before_them():
    kit, *_ = quote_paper(school()).kits
    marks = tuple(replace(kit.marks[0], mark=f"MARK-{at:02}") for at in range(2 * ROWS + 1))
    lacking = replace(kit, marks=marks, missing=(MissingPiece("drop plate", 1),))
    paper = replace(quote_paper(school()), kits=(lacking,), open_kits=(), alternates=())
    said = "".join(block.html for block in make_flow(paper, TEMPLATES).blocks)
    assert said.count("this kit is not complete") == 1
    named = [said.index(f">{one.mark}</th>") for one in marks]
    assert said.index(kit.lines[-1].sku) < said.index("this kit is not complete") < min(named)


@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_what_is_taken_off_has_the_minus_of_print(locale):
    paper = quote_paper(school())
    saved = Money(12_345, paper.saved.currency)
    head = replace(paper.head, locale=locale)
    totals = replace(paper.totals, extras=saved.times(-1))
    paper = replace(paper, head=head, saved=saved, discount=Fraction(3, 100), totals=totals)
    said = " ".join(texts(make_flow(paper, TEMPLATES)))
    assert len(re.findall(r"−\D{0,4}123[.,]45", said)) == 2
    assert not re.search(r"-\D{0,4}123", said)


def test_a_weight_is_told_as_estimated_and_every_reckoning_says_of_what():
    offer = school()
    paper = quote_paper(offer)
    marks = {one.mark: one for kit in (*paper.kits, *paper.open_kits) for one in kit.marks}
    for opening in offer.openings:
        stated = offer.kit_of(opening).type.weight
        assert bool(marks[opening.mark].weight) == (stated is None)
    assert marks["100A"].weight == "estimated 126 lb"
    (weight,) = [each for each in paper.questions if "leaf weigh" in each.text]
    assert "not stated" not in weight.text
    assert "estimated from 62.2 lb to 132 lb" in weight.text
    every = [each.place for each in offer.openings]

    def named(texts: Iterable[str]) -> list[str]:
        return [mark for text in texts for mark in named_in(text, every)]

    appendix = paper.appendix
    figured = named(row.places for table in appendix.forces for row in table.rows)
    # Each once, in the table of what is calculated of it, and of each what it is reckoned with.
    left_out = named_in(appendix.uncalculated, every) if appendix.uncalculated else set()
    assert sorted([*figured, *left_out]) == sorted(every)
    assert sorted(named(one.places for one in appendix.reckoned)) == sorted(figured)
    assert any(one.text == "with seals and latch" for one in appendix.reckoned)
    for table in appendix.forces:
        for row in table.rows:
            assert len(row.figures) == len(table.headings)
            assert all(row.figures)
    said = " ".join(texts(make_flow(paper, TEMPLATES)))
    assert "Openings not named and questions left open stay as quoted." in said
    assert "E8: no single answer below makes it latch;" in said


@pytest.mark.parametrize("form", QuoteForm)
def test_a_quote_names_no_supplier_no_digest_and_no_source_that_is_none(form):
    offer = school()
    said = " ".join(texts(make_flow(quote_paper(offer, form=form), TEMPLATES)))
    for catalog in offer.catalogs:
        assert catalog.supplier not in said
    assert offer.rules_version not in said
    assert not re.search(r"\b(?=[0-9a-f]*[0-9])(?=[0-9a-f]*[a-f])[0-9a-f]{10,}\b", said)
    assert "from memory" not in said
    assert "common practice" not in said


@pytest.mark.parametrize("code", ["QH-AB-690", "104–117", "1-3/4", "AVK-C-689", "TRL-FST-WS14-8"])
def test_a_code_is_kept_on_its_line_and_a_word_is_free(code):
    render = _environment(TEMPLATES, "en_US", "").from_string("{{ text | codes }}")
    kept = f'<span class="c">{code}</span>'
    assert render.render(text=f"one {code}, two") == f"one {kept}, two"
    assert render.render(text=f"<{code}>") == f'<span class="c">&lt;{code}&gt;</span>'
    for free in ("hold-open arm", "X" * 30 + "-" + "Y" * 29, "-", "plain"):
        assert "span" not in render.render(text=free)
