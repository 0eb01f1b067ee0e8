"""Two revisions of a quote held against each other: like with like, and nothing of the sum untold.

What an opening or an item is shown to have moved by does not depend on the discount over the whole
job: it is what it would be if neither revision had any. All that is shown comes to what the total
moved.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.house import RULES, opening, shelf
from tests.support.offers import DAY

from wholekit.domain.openings import Location, Opening
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.changes import Comparison
from wholekit.domain.quotes.compare import compare
from wholekit.domain.quotes.job import (
    Alternate,
    ExtraLine,
    JobContents,
    JobOpening,
    Override,
    OverrideKind,
)
from wholekit.domain.quotes.offer import Offer
from wholekit.domain.quotes.totals import Destination
from wholekit.domain.quotes.worked import work_up
from wholekit.domain.tax import FreightRate, LineKind, ShipTo, TaxRate
from wholekit.services.schedules import work_up_schedule
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.wording.comparisons import (
    BEFORE_DISCOUNT,
    NUMBERED_ANEW,
    ChangeRow,
    say_comparison,
)
from wholekit.wording.offers import HouseWords
from wholekit.wording.question_numbers import numbered_anew

AT = datetime(2026, 11, 20, 9, tzinfo=UTC)
MARKS = ("101", "102", "103", "201")
OTHERS = Alternate("alt-1", "Others", ("101",))
FINISHES = ("689", "690")
SIZES = ("3070", "3068")
PORT = ShipTo(
    "port",
    "Port Aldren",
    taxes=(TaxRate("city", Fraction(15, 1000)),),
    freights=(FreightRate("van", Money(4500, "USD"), Fraction(1, 50)),),
)


@st.composite
def revision(draw: st.DrawFn) -> dict[str, Any]:
    """What one revision asks for, by mark: size, finish, count and a price by hand; extra lines;
    its discount, and what a customer pays of list."""
    openings = {
        mark: (
            draw(st.sampled_from(SIZES)),
            draw(st.sampled_from(FINISHES)),
            draw(st.integers(1, 3)),
            draw(st.sampled_from(("", "", "", "item", "whole"))),
        )
        for mark in MARKS
        if draw(st.integers(0, 5))
    }
    extras = draw(st.lists(st.tuples(st.sampled_from("ab"), st.integers(1, 3)), max_size=2))
    return {
        "openings": openings,
        "extras": extras,
        "discount": Fraction(draw(st.sampled_from((0, 0, 3, 5, 7))), 100),
        "multiplier": Fraction(draw(st.sampled_from((55, 60))), 100),
        "by_hand": draw(st.integers(1_000, 30_000)),
    }


def offer_of(asked: dict[str, Any], discount: Fraction | None = None) -> Offer:
    """The offer of a revision; discount: another than its own."""
    rows = {
        mark: Opening(mark, opening(size, finish=finish, location=Location.INTERIOR), count)
        for mark, (size, finish, count, _) in asked["openings"].items()
    }
    alone = work_up_schedule([*rows.values()], shelf("tarrowby"), RULES, DAY)
    entries = []
    for at, worked in enumerate(alone.job.openings):
        way = asked["openings"][worked.entry.mark][3]
        sku = worked.worked.lines[0].line.item.sku if way == "item" else ""
        price = Money(asked["by_hand"], "USD")
        entries.append(
            JobOpening(
                worked.entry.mark,
                "",
                at,
                rows[worked.entry.mark],
                "alt-1" if worked.entry.mark == "201" else "",
                (Override(OverrideKind.PRICE, "agreed", "odo", AT, sku=sku, price=price),)
                if way
                else (),
            )
        )
    header = replace(
        alone.job.contents.job,
        alternates=(OTHERS,),
        discount=asked["discount"] if discount is None else discount,
    )
    extras = [
        ExtraLine(f"{at}", "", at, LineKind.LABOUR, name, count, Money(1_999, "USD"))
        for at, (name, count) in enumerate(asked["extras"])
    ]
    job = work_up(
        JobContents(header, tuple(entries), tuple(extras)),
        replace(alone.job.customer, multiplier=asked["multiplier"]),
        shelf("tarrowby"),
        RULES,
        DAY,
    )
    headed = Headed("Q-1", 1, DAY, DAY + timedelta(days=30), "ines", "Fernhollow", Fraction(1, 4))
    workup = replace(alone, job=job, place=Destination(PORT, DAY))
    return make_snapshot(workup, HouseWords(), RULES, headed).offer


def moved(rows: Sequence[ChangeRow]) -> int:
    """What rows of the base bid moved [minor units]."""
    base = (row for row in rows if "alternate" not in row.about)
    return sum(row.moved.minor for row in base if row.moved is not None)


def totals_of(found: Comparison) -> dict[str, int]:
    return {total.what: total.moved.minor for total in found.totals}


@settings(max_examples=60)
@given(revision(), revision())
def test_what_is_shown_of_two_revisions_is_what_the_total_moved(one, other):
    found = compare(offer_of(one), offer_of(other))
    said = say_comparison(found)
    openings = [each.total for each in said.openings if not each.alternate]
    shown = moved(openings) + moved(said.repriced) + moved(said.discount)
    totals = totals_of(found)
    assert shown == totals["hardware"]
    assert shown + moved(said.extras) + totals["freight"] + totals["tax"] == totals["gross"]
    if found.discounts:
        assert moved(said.discount) == totals["discount"]
        assert totals["before-discount"] == shown - totals["discount"]


@settings(max_examples=60)
@given(revision(), revision(), st.sampled_from((Fraction(0), Fraction(3, 100))))
def test_openings_and_items_move_as_if_there_were_no_discount(one, other, rate):
    """Also where one revision has the same openings as the other at another discount."""
    without = compare(offer_of(one, Fraction(0)), offer_of(other, Fraction(0)))
    found = compare(offer_of(one, rate), offer_of(other, Fraction(5, 100)))
    assert found.openings == without.openings
    assert found.unchanged == without.unchanged
    first, second = say_comparison(found), say_comparison(without)
    assert (first.openings, first.repriced, first.items) == (
        second.openings,
        second.repriced,
        second.items,
    )
    assert (first.before_discount, second.before_discount) == (
        BEFORE_DISCOUNT if found.discounts else "",
        "",
    )


@pytest.mark.parametrize("rate", [Fraction(3, 100), Fraction(1, 8)])
def test_a_discount_alone_is_one_line_and_changes_no_opening(rate):
    asked: dict[str, Any] = {
        "openings": dict.fromkeys(("101", "102"), ("3070", "689", 2, "")),
        "extras": [],
        "discount": Fraction(0),
        "multiplier": Fraction(55, 100),
        "by_hand": 0,
    }
    found = compare(offer_of(asked), offer_of(asked, rate))
    said = say_comparison(found)
    assert (said.openings, said.repriced, said.items) == ((), (), ())
    (row,) = said.discount
    assert (row.about, row.before, row.after) == ("Discount on 4 openings", 0, rate)
    assert said.closing == "4 openings unchanged but for the discount."


@pytest.mark.parametrize(
    ("now", "sentence"),
    [
        ({}, "Unchanged: 3 openings of the base bid, 2 openings (alternate alt-1)."),
        ({"101": ("3070", "690", 1, "")}, "Unchanged: 2 openings of the base bid, 2 openings"),
        (
            {"101": ("3070", "690", 1, ""), "102": ("3070", "690", 2, "")},
            "Unchanged: 2 openings (alternate alt-1).",
        ),
        ({"201": ("3070", "690", 2, "")}, "3 openings unchanged."),
    ],
)
def test_openings_of_an_alternate_are_in_no_sum_with_those_of_the_base_bid(now, sentence):
    same = {mark: ("3070", "689", count, "") for mark, count in (("101", 1), ("102", 2))}
    asked: dict[str, Any] = {
        "openings": {**same, "201": ("3070", "689", 2, "")},
        "extras": [("a", 1)],
        "discount": Fraction(0),
        "multiplier": Fraction(55, 100),
        "by_hand": 0,
    }
    later = asked | {"openings": {**asked["openings"], **now}, "extras": []}
    found = compare(offer_of(asked), offer_of(later))
    assert say_comparison(found).closing.startswith(sentence)
    off = compare(offer_of(asked), offer_of(later, Fraction(3, 100)))
    assert "unchanged but for the discount" in say_comparison(off).closing.lower()


WEIGHT, HAND = "What does the leaf weigh? Quoted as: {}.", "Which hand is the leaf? Quoted as: {}."


@pytest.mark.parametrize(
    ("questions", "anew"),
    [
        ([WEIGHT.format("100 lb"), HAND.format("left")], False),
        # Quoted otherwise, it is the same question.
        ([WEIGHT.format("90 lb"), HAND.format("right")], False),
        ([WEIGHT.format("100 lb"), HAND.format("left"), "Is it so?"], False),
        ([WEIGHT.format("100 lb")], False),
        (["Is it so?", WEIGHT.format("100 lb"), HAND.format("left")], True),
        ([HAND.format("left"), WEIGHT.format("100 lb")], True),
        ([HAND.format("left")], True),
        ([], False),
    ],
)
def test_questions_are_said_to_be_numbered_anew_where_one_of_both_has_another_number(
    questions, anew
):
    def asking(texts: Sequence[str]) -> Offer:
        words = replace(offer.words, questions=tuple((text, ("101",)) for text in texts))
        return replace(offer, words=replace(words, answers=(), refusals=()), checks_ask=False)

    asked: dict[str, Any] = {
        "openings": {"101": ("3070", "689", 1, "")},
        "extras": [],
        "discount": Fraction(0),
        "multiplier": Fraction(55, 100),
        "by_hand": 0,
    }
    offer = offer_of(asked)
    first, second = asking([WEIGHT.format("100 lb"), HAND.format("left")]), asking(questions)
    assert numbered_anew(first, second) == anew
    found = replace(compare(first, second), numbered_anew=anew)
    assert (NUMBERED_ANEW in say_comparison(found).closing) == anew


def test_a_price_agreed_for_an_opening_stands_whatever_the_discount():
    asked: dict[str, Any] = {
        "openings": {"101": ("3070", "689", 1, "whole"), "102": ("3070", "689", 1, "")},
        "extras": [],
        "discount": Fraction(0),
        "multiplier": Fraction(55, 100),
        "by_hand": 25_000,
    }
    now = offer_of(asked, Fraction(3, 100))
    found = compare(offer_of(asked), now)
    assert found.openings == ()
    (change,) = found.discounts
    assert change.openings == 1
    assert now.saved == now.kit_of(now.openings[1]).saved


def test_items_of_which_no_price_before_the_discount_was_kept_are_told_by_their_count():
    """Offers issued before it was kept: the opening still is like with like."""
    asked: dict[str, Any] = {
        "openings": {"101": ("3070", "689", 1, "")},
        "extras": [],
        "discount": Fraction(3, 100),
        "multiplier": Fraction(55, 100),
        "by_hand": 0,
    }
    old = offer_of(asked)
    kits = tuple(
        replace(kit, lines=tuple(replace(line, saved=None) for line in kit.lines))
        for kit in old.kits
    )
    old = replace(old, kits=kits)
    assert compare(old, offer_of(asked, Fraction(0))).openings == ()
    dearer = asked | {"multiplier": Fraction(60, 100)}
    (opening_change,) = compare(old, offer_of(dearer, Fraction(0))).openings
    assert opening_change.lines == ()
    assert opening_change.moved.minor > 0
    other = asked | {"openings": {"101": ("3070", "690", 1, "")}}
    (opening_change,) = compare(old, offer_of(other, Fraction(0))).openings
    gone = [line for line in opening_change.lines if not line.after]
    assert gone
    assert all(line.unit_before is None for line in gone)
