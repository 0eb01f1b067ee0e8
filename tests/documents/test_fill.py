"""From an offer to its papers: the figures agree with the offer's own, paper by paper."""

from collections import Counter
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.documents.test_papers import TEMPLATES
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.card_reference import card_numbers
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_labels import labels_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_sheet import sheet_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.tally import tally
from wholekit.domain.openings import Door, Frame, Hand, HoldOpen, Mount, Opening
from wholekit.domain.quotes import Snapshot
from wholekit.domain.quotes.bag_id import BagId, bag_id_from
from wholekit.domain.quotes.draws import draws_of
from wholekit.domain.quotes.filling import filling_of
from wholekit.domain.walk import walk_order
from wholekit.services.availability import calendar_of
from wholekit.wording.amounts import say_date

FLOOR = Fraction(25, 100)


@pytest.fixture(scope="module")
def made() -> Snapshot:
    parallel = opening("3070", mount=Mount.PARALLEL, weight="100 lb")
    stopped = opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM)
    many = opening("3070", mount=Mount.REGULAR, weight="100 lb")
    return offered(
        [
            Opening("1", parallel, 2, "by the stair"),
            Opening("2", stopped),
            Opening("3", many, 300),
            Opening("4", many, 5),
        ],
        shelf(),
        Fraction(62, 100),
        asks=True,
    )


def test_the_quote_adds_up_to_the_firm_price_and_what_is_open_is_in_no_total(made):
    paper = quote_paper(made.offer)
    assert paper.totals.gross == paper.firm == made.offer.firm
    assert sum(kit.price.minor for kit in paper.kits) == paper.firm.minor
    loose = sum(kit.price.minor for kit in paper.open_kits)
    assert loose + paper.firm.minor == made.offer.totals.hardware.minor
    for kit in (*paper.kits, *paper.open_kits):
        assert sum(line.net.minor for line in kit.lines) == kit.each.minor
        assert kit.price == kit.each.times(kit.quantity)
        assert sum(mark.quantity for mark in kit.marks) == kit.quantity
    assert [kit.places for kit in paper.kits] == ["1", "3, 4"]
    assert paper.kits[0].marks[0].note == "by the stair"
    (held,) = paper.open
    assert held.places == "2"
    assert "hold-open" in held.reasons[0]
    assert sum(item.net.minor for item in paper.items) == paper.firm.minor


def test_what_is_assumed_is_told_once_and_the_customer_is_asked(made):
    paper = quote_paper(made.offer)
    told = [one.text for one in paper.appendix.assumed]
    assert told
    assert len(set(told)) == len(told)
    assert not set(told) & {text.partition(" (")[0] for text in paper.assumptions}
    asked = " ".join(question.text for question in paper.questions)
    assert "reinforced" in asked
    assert "Quoted as: " in asked


def test_short_packs_fall_on_the_last_bags_and_add_up_to_what_the_shelf_lacks(made):
    paper = pick_list_paper(made.offer)
    sound = [one for one in made.offer.openings if one.place not in {h.mark for h in paper.held}]
    assert paper.bags == sum(opening.quantity for opening in sound)
    draws = draws_of(made.offer, sound)
    lacking = {draw.item.sku: draw.short for draw in draws if draw.short}
    assert lacking
    by_bag: dict[str, int] = {}
    for pick_opening in paper.openings:
        for line in pick_opening.lines:
            assert line.quantity == line.each * pick_opening.quantity
            by_bag[line.sku] = by_bag.get(line.sku, 0) + line.short
    assert {sku: short for sku, short in by_bag.items() if short} == lacking
    assert {line.sku: line.short for line in paper.walk if line.short} == lacking
    places = [(walk_order(line.bin), line.bin, line.sku) for line in paper.walk]
    assert places == sorted(places)


def test_what_is_short_says_by_when_more_can_be_here():
    """The day is that of the kits that wait for it: working days from the day it was asked."""
    rows = [
        Opening(str(at), opening("3070", mount=Mount.REGULAR, weight="100 lb"), 40) for at in (1, 2)
    ]
    offer = offered(rows, shelf()).offer
    calendar = calendar_of(RULES)
    every = pick_list_paper(offer, calendar=calendar)
    for line in every.walk:
        # One kind of answer for all that is short: the day, by lead days where no kit tells it.
        assert (line.comes is not None) == bool(line.short and line.waits)
        if line.comes is not None:
            assert every.asked is not None
            least = calendar.after(every.asked, line.waits)
            assert least is not None
            assert line.comes >= least
    assert "working day" not in make_flow(every, TEMPLATES).blocks[1].html
    paper = pick_list_paper(offer)
    short = [line for line in paper.walk if line.short]
    dated = [line for line in short if line.comes]
    assert dated
    waits = {
        (sku, part.day) for one in offer.openings for part in one.ready for sku in part.waits_for
    }
    for line in dated:
        assert (line.sku, line.comes) in waits
        assert line.comes is not None
        assert paper.asked is not None
        assert (line.comes - paper.asked).days >= line.waits
    assert not [line for line in paper.walk if line.comes and not line.short]
    walk = make_flow(paper, TEMPLATES).blocks[1].html
    assert f">by {say_date(dated[0].comes, 'en_US')}<" in walk
    assert f"If ordered {say_date(offer.ready_asked, 'en_US')}, more is here<" in walk


@pytest.mark.parametrize(("locale", "page"), [("fr_CA", "letter"), ("de_DE", "A4")])
def test_the_pick_list_names_days_in_its_own_language(locale, page):
    rows = [Opening("1", opening("3070", mount=Mount.REGULAR, weight="100 lb"))]
    paper = pick_list_paper(offered(rows, shelf(), locale=locale).offer)
    assert paper.head.page_size == page
    assert "November 25, 2026" in make_flow(paper, TEMPLATES).blocks[0].html


@given(st.integers(1, 10**6))
def test_a_box_stands_for_every_bag_once_and_there_are_never_many(bags):
    boxes = tally(bags)
    assert len(boxes) <= 60
    ends = [tuple(map(int, box.split("–"))) for box in boxes]
    assert ends[0][0] == 1
    assert ends[-1][-1] == bags
    for one, after in pairwise(ends):
        assert after[0] == one[-1] + 1
    assert (len(boxes) == bags) == (bags <= 60)


def test_what_is_held_takes_no_stock_and_no_bag_is_left_out(made):
    paper = pick_list_paper(made.offer)
    # Bags of a mark that wait stand apart from those that are whole: each bag is there once.
    bags = Counter[str]()
    for each in (*paper.openings, *paper.held):
        bags[each.mark] += each.quantity
    assert bags == {opening.place: opening.quantity for opening in made.offer.openings}
    held = {opening.mark for opening in paper.held}
    for quoted in made.offer.openings:
        stopped = bool(made.offer.kit_of(quoted).missing) or made.offer.is_held(quoted)
        assert (quoted.place in held) == stopped
    assert not held & {mark for line in paper.walk for mark, _ in line.split}
    assert not any(line.short for opening in paper.held for line in opening.lines)
    picked = {
        (line.sku, opening.mark): line.take
        for opening in paper.openings
        for line in opening.lines
        if line.take
    }
    walked = {(line.sku, mark): count for line in paper.walk for mark, count in line.split}
    assert walked == picked


def test_the_margin_sheet_agrees_with_the_job_and_names_only_what_is_short(made):
    paper = sheet_paper(made, FLOOR)
    assert paper.total.price == made.offer.totals.hardware
    assert paper.total.margin == made.offer.totals.hardware - made.own.cost.as_money
    assert (
        sum(supplier.figures.price.minor for supplier in paper.suppliers)
        == made.offer.totals.hardware.minor
    )
    assert (
        sum(opening_figures.figures.price.minor for opening_figures in paper.openings)
        == made.offer.totals.hardware.minor
    )
    # The headline is what signing accepts; what is stopped stands apart from it.
    assert made.offer.firm_totals is not None
    assert paper.firm.price == made.offer.firm == made.offer.firm_totals.hardware
    assert paper.firm_gross == made.offer.firm_totals.gross
    assert paper.held is not None
    assert paper.held.price.minor > 0
    assert paper.firm.price + paper.held.price == paper.total.price
    assert paper.firm.margin + paper.held.margin == paper.total.margin
    lacking = {draw.item.sku: draw.short for draw in filling_of(made.offer).shorts}
    assert {stock.sku: stock.short for stock in paper.shorts} == lacking
    for opening_figures in paper.openings:
        assert opening_figures.figures.rate is not None
        assert opening_figures.figures.below_floor == (opening_figures.figures.rate < FLOOR)


def test_every_bag_has_its_label_and_a_stopped_one_says_so(made):
    labels = labels_paper(made.offer).labels
    assert len(labels) == made.offer.opening_count
    assert [label.bag for label in labels if label.mark == "1"] == [1, 2]
    stopped = next(label for label in labels if label.mark == "2")
    assert "FIRE DOOR, 90 MINUTES" in stopped.alerts
    assert stopped.held
    for label in labels:
        opening = next(one for one in made.offer.openings if one.place == label.mark)
        kit = made.offer.kit_of(opening)
        assert [(one.sku, one.quantity) for one in label.contents] == [
            (line.sku, line.quantity) for line in kit.lines
        ]
        assert label.held is not made.offer.is_firm(opening)
        assert label.bag_id == "", "never issued"


def test_a_bag_keeps_its_id_whatever_alternates_are_taken_and_an_empty_one_has_no_label(made):
    issued = replace(made.offer, quote="Q-00012", revision=3)
    whole = {(one.mark, one.bag): one.bag_id for one in labels_paper(issued, issued=issued).labels}
    assert len(set(whole.values())) == len(whole) == issued.opening_count
    for (mark, bag), text in whole.items():
        place = [one.place for one in issued.openings].index(mark) + 1
        assert bag_id_from(text) == BagId(12, 3, place, bag)
    had = replace(issued, openings=issued.openings[1:])
    for label in labels_paper(had, issued=issued).labels:
        assert label.bag_id == whole[label.mark, label.bag]
    assert {one.bag_id for one in labels_paper(issued).labels} == {""}, "a draft"
    bare = tuple(replace(kit, lines=()) for kit in issued.kits)
    assert labels_paper(replace(issued, kits=bare)).labels == ()


def test_a_label_names_the_card_that_the_index_has_for_its_opening_and_a_held_one_none(made):
    pages = cards_paper(made.offer, RULES).cards
    assert len(pages) > 1
    labels = labels_paper(made.offer, cards=card_numbers(pages)).labels
    for label in labels:
        assert (label.card == 0) == label.held
        if label.card:
            assert label.mark in pages[label.card - 1].marks
    assert {label.card for label in labels_paper(made.offer).labels} == {0}
    assert card_numbers(pages[:1]) == {}, "one card has no index"


def test_a_hand_is_asked_where_it_changes_a_kit_and_each_answer_says_how():
    """Without a hand the closer goes on the pull side; a leaf that swings out has it inside."""
    told = {"door": Door.HOLLOW_METAL, "frame": Frame.STEEL}
    openings = [
        Opening("1", opening("3070", **told)),
        Opening("2", opening("3070", hand=Hand.LH, **told)),
        Opening("3", opening("3070", leaves=2, **told)),
    ]
    paper = quote_paper(offered(openings, shelf(), asks=True).offer)
    asked = [question for question in paper.questions if "LH, RH, LHR or RHR" in question.text]
    assert [question.marks for question in asked] == [("1",)]
    as_quoted, swung_out = asked[0].answers
    assert as_quoted == ("LH ☐ RH", "price and kit as quoted")
    assert swung_out[0] == "LHR ☐ RHR"
    assert "each, 1 opening" in swung_out[1]
    assert "Quoted as: not stated." in asked[0].text
    stated = quote_paper(offered(openings[1:], shelf(), asks=True).offer)
    assert not [question for question in stated.questions if "LHR" in question.text]


def test_what_is_assumed_of_fire_exits_access_and_reinforcement_stands_on_every_quote(made):
    """By marks: with the question that asks for it, else among what is to be confirmed; and on the
    sheet what was not asked."""
    told = {"door": Door.HOLLOW_METAL, "frame": Frame.STEEL}
    openings = [
        Opening("1", opening("3070", fire_minutes=20, **told)),
        Opening("2", opening("3070", egress=False, **told)),
        Opening("3", opening("3070", **told)),
    ]
    for asks in (True, False):
        snapshot = offered(openings, shelf(), asks=asks)
        paper = quote_paper(snapshot.offer)
        said = {each.text: each.marks for each in paper.questions}
        if asks:
            left = (
                "accessible route: no (1)",
                "means of egress: not stated, worked out as none (1)",
            )
            assert paper.assumptions == left
            route = "Is the opening on an accessible route? Quoted as: no."
            label = "Has the opening a fire label, and of how many minutes? Quoted as: none."
            exits = (
                "Is the opening an exit, on a means of egress? "
                "Quoted as: not stated, worked out as none."
            )
            assert (said[route], said[label], said[exits]) == (("2, 3",), ("2, 3",), ("3",))
            assert said["Is the frame reinforced where the closer goes? Quoted as: yes."] == ()
        else:
            assert "fire label: none (2, 3)" in paper.assumptions
            assert "means of egress: not stated, worked out as none (1, 3)" in paper.assumptions
            assert "accessible route: no" in paper.assumptions
            assert "frame reinforced for the closer: yes" in paper.assumptions
        assert bool(sheet_paper(snapshot, FLOOR).assumed) is asks


def test_the_table_of_marks_tells_an_exit_a_pair_with_its_active_leaf_and_the_hand_in_words():
    said = {
        mark.mark: (mark.size, mark.summary)
        for kit in quote_paper(
            offered(
                [
                    Opening("1", opening("3070", hand=Hand.RHR, leaves=2, egress=True)),
                    Opening("2", opening("3070", hand=Hand.LH, egress=False)),
                    Opening("3", opening("3070", leaves=2)),
                ],
                shelf(),
            ).offer
        ).kits
        for mark in kit.marks
    }
    assert said == {
        "1": (
            "pair, each leaf 3'-0\" × 7'-0\"",
            "Active leaf right hand reverse (RHRA), exit (means of egress).",
        ),
        "2": ("3'-0\" × 7'-0\"", "Left hand (LH)."),
        "3": ("pair, each leaf 3'-0\" × 7'-0\"", ""),
    }
