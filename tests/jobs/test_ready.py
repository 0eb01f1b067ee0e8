"""When the kits of a job can be whole: the shelf is shared out as its pick list shares it."""

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.documents.test_papers import TEMPLATES
from tests.support.house import RULES, kit_of, opening, sample, shelf
from tests.support.jobs import plain
from tests.support.offers import DAY, offered

from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.make_flow import make_flow
from wholekit.domain.catalog import item_key
from wholekit.domain.kits import Kit, Shelf, build_kit
from wholekit.domain.kits.kit import KitLine
from wholekit.domain.openings import HoldOpen, Mount, Opening, marks_named
from wholekit.domain.quotes.ready import Availability, KitsWanted, Ready, job_ready, ready_of
from wholekit.domain.quotes.sharing import Wants, share_out
from wholekit.domain.working_days import Holiday, WorkingDays
from wholekit.services.availability import calendar_of
from wholekit.services.schedules import work_up_schedule
from wholekit.views.kits import kits_answer
from wholekit.wording.ready import say_job_ready, say_ready

WEEK = WorkingDays(frozenset(range(5)))
LEADS = (0, 1, 3, 10)
SUPPLIERS = ("one", "other")


@cache
def items():
    """Eight items of four leads; two suppliers sell under the same SKUs. Lead 0 is none stated."""
    first = sample("tarrowby").items[0]
    return tuple(
        replace(first, sku=f"X-{lead}", supplier=supplier, lead_days=lead, discontinued=False)
        for supplier in SUPPLIERS
        for lead in LEADS
    )


@cache
def whole_kit():
    return replace(kit_of("3070", "tarrowby", finish="689"), missing=())


def kit(lines, *, whole: bool = True) -> Kit:
    """A kit of so many of the items by their place; one that is not whole lacks a piece."""
    made = tuple(KitLine(items()[place], count, (), ()) for place, count in lines)
    missing = () if whole else lacking().missing
    return replace(whole_kit(), lines=made, missing=missing)


@cache
def lacking():
    """A kit that lacks pieces, from a shelf of one item."""
    few = replace(sample("tarrowby"), items=sample("tarrowby").items[:1])
    return build_kit(opening("3070", finish="689"), Shelf([few]), RULES)


LINES = st.dictionaries(st.integers(0, 7), st.integers(1, 3), min_size=1, max_size=4)
KITS = st.builds(lambda lines, whole: kit(lines.items(), whole=whole), LINES, st.booleans())
JOBS = st.lists(st.tuples(st.integers(1, 4), KITS), min_size=1, max_size=5)
STOCK = st.lists(st.integers(0, 12), min_size=8, max_size=8)
HOLIDAYS = st.frozensets(st.dates(DAY, date(2026, 12, 24)), max_size=8)


def available(stock, holidays=frozenset()):
    on_hand = {item_key(item): count for item, count in zip(items(), stock, strict=True)}
    return Availability(on_hand, WorkingDays(WEEK.week, holidays))


def days_of(parts):
    """The day of each kit, in the order in which they are drawn."""
    return [part.day for part in parts for _ in range(part.kits)]


def later(day):
    return (day is None, day or date.max)


def asked_for(job):
    """A job's openings, of which those that lack a piece may not go."""
    return [KitsWanted(count, made, not made.missing) for count, made in job]


def by_pack(job, stock, holidays, asked):
    """The days found another way: of the packs each opening takes the first kit has the first."""
    found = available(stock, holidays)
    wants = [
        Wants(Counter({item_key(line.item): line.quantity for line in made.lines}), count,
              (bool(made.missing),))
        for count, made in job
    ]  # fmt: skip
    answers = []
    for (count, made), taken in zip(job, share_out(wants, found.on_hand), strict=True):
        left, days = dict(taken), []
        for _ in range(count):
            pieces = []
            for line in made.lines:
                for _ in range(line.quantity):
                    item = line.item
                    left[item_key(item)] -= 1
                    waits = left[item_key(item)] < 0
                    unknown = waits and not item.lead_days
                    lead = item.lead_days if waits else 0
                    pieces.append(None if unknown else found.calendar.after(asked, lead))
            days.append(None if made.missing else max(pieces, key=later))
        answers.append(days)
    return answers


@given(JOBS, STOCK, HOLIDAYS, st.dates(DAY, date(2026, 12, 10)))
def test_a_kit_is_ready_with_the_last_of_its_pieces_each_drawn_once(job, stock, holidays, asked):
    ready = ready_of(asked_for(job), available(stock, holidays), asked)
    assert [days_of(parts) for parts in ready] == by_pack(job, stock, holidays, asked)
    whole = job_ready(ready, asked)
    every = [day for parts in ready for day in days_of(parts)]
    assert sorted(days_of(whole.steps), key=later) == sorted(every, key=later)
    assert whole.complete == max(every, key=later)
    assert (whole.kits, whole.undated) == (len(every), every.count(None))
    assert whole.today == every.count(asked)
    # Alike days stand together, and every day but the first names what it waits for.
    assert len({step.day for step in whole.steps}) == len(whole.steps)
    for parts, (_, made) in zip(ready, job, strict=True):
        skus = {line.item.sku for line in made.lines}
        assert all(set(part.waits_for) <= skus for part in parts)
        assert all(part.waits_for for part in parts[1:])


@given(JOBS, STOCK, st.lists(st.integers(0, 2), min_size=5, max_size=5))
def test_the_shelf_is_shared_out_whole_kits_first_and_nothing_is_left_that_makes_one(
    job, stock, turns
):
    on_hand = available(stock).on_hand
    needs = [{item_key(line.item): line.quantity for line in made.lines} for _, made in job]
    wants = [
        Wants(need, count, (turn,))
        for need, (count, _), turn in zip(needs, job, turns, strict=False)
    ]
    taken = share_out(wants, on_hand)
    left = Counter(on_hand)
    for want, share in zip(wants, taken, strict=True):
        left.subtract(share)
        assert all(0 <= share[key] <= each * want.kits for key, each in want.needs.items())
    assert min(left.values()) >= 0
    for want, share in zip(wants, taken, strict=True):
        lacks = {key: each * want.kits - share[key] for key, each in want.needs.items()}
        # What is left on the shelf nobody lacks.
        assert not any(packs and left[key] for key, packs in lacks.items())
    # Who comes later changes nothing for those before.
    first = [at for at, want in enumerate(wants) if want.turn == min(one.turn for one in wants)]
    alone = share_out([wants[at] for at in first], on_hand)
    assert alone == [taken[at] for at in first]


@given(JOBS, STOCK, HOLIDAYS, st.dates(DAY, date(2026, 12, 24)))
def test_a_holiday_more_makes_no_day_earlier_and_enough_of_all_makes_it_today(
    job, stock, holidays, closed
):
    asked = asked_for(job)
    before = ready_of(asked, available(stock, holidays), DAY)
    longer = ready_of(asked, available(stock, holidays | {closed}), DAY)
    for was, less in zip(before, longer, strict=True):
        for day, late in zip(days_of(was), days_of(less), strict=True):
            assert later(day) <= later(late)
    richest = ready_of(asked, available([60] * 8), DAY)
    for parts, (count, made) in zip(richest, job, strict=True):
        assert parts == (Ready(count, None if made.missing else DAY),)


@cache
def kinds_of_four() -> tuple[Opening, ...]:
    """Four kinds of openings that share items, and one whose kit may not go out."""
    arm = {"fire_minutes": 90, "hold_open": HoldOpen.ARM}
    return (
        plain("1"),
        *(
            replace(plain("1"), type=opening(size, finish="689", **said))
            for size, said in (("3070", {"mount": Mount.PARALLEL}), ("4070", {}), ("2868", {}),
                               ("3070", arm))
        ),
    )  # fmt: skip


@settings(max_examples=30)
@given(
    st.lists(st.tuples(st.integers(0, 4), st.integers(1, 3)), min_size=1, max_size=6),
    st.randoms(use_true_random=False),
)
def test_what_a_quote_calls_ready_now_are_the_bags_its_pick_list_fills(kinds, draw):
    job = [
        replace(kinds_of_four()[kind], mark=str(101 + at), quantity=count)
        for at, (kind, count) in enumerate(kinds)
    ]
    few = sample("tarrowby")
    counts = {one.sku: draw.randint(0, 5) for one in few.items}
    offer = replace(offered(job, Shelf([replace(few, counts=counts)])).offer, ready_shown=True)
    picked = pick_list_paper(offer).openings
    filled = {one.mark: 0 for one in picked}
    for one in picked:
        # Of a mark those bags that wait stand apart, and none of them is whole.
        if not one.waits:
            filled[one.mark] += min((line.quantity - line.short) // line.each for line in one.lines)
    now = {
        one.mark: sum(part.kits for part in one.ready if part.day == DAY)
        for one in offer.openings
        if offer.is_firm(one)
    }
    assert now == filled
    said = [step for step in quote_paper(offer).ready if step.day == DAY]
    assert sum(step.kits for step in said) == sum(filled.values())


def test_what_is_discontinued_or_has_no_lead_days_has_no_date_once_it_is_short():
    known = kit([(2, 1)])
    gone = replace(
        known, lines=tuple(replace(line, item=replace(line.item, discontinued=True))
                           for line in known.lines)
    )  # fmt: skip
    stock = [0, 0, 1, 0, 0, 0, 0, 0]
    ((first, second),) = ready_of([KitsWanted(2, gone)], available(stock), DAY)
    assert (first, second) == (Ready(1, DAY), Ready(1, None, ("X-3",)))
    ((part,),) = ready_of([KitsWanted(2, kit([(0, 1)]))], available(stock), DAY)
    assert part == Ready(2, None, ("X-0",))


def test_an_opening_of_another_mark_does_not_get_what_an_earlier_one_took():
    job = [KitsWanted(1, kit([(2, 2)])), KitsWanted(1, kit([(2, 2)])), KitsWanted(1, kit([(3, 1)]))]
    ready = ready_of(job, available([0, 0, 3, 1, 0, 0, 0, 0]), DAY)
    # Wednesday 25 November; three working days later is Monday.
    assert ready == (
        (Ready(1, DAY),), (Ready(1, date(2026, 11, 30), ("X-3",)),), (Ready(1, DAY),),
    )  # fmt: skip
    assert say_job_ready(job_ready(ready, DAY)) == (
        "all but 1 today, complete by Mon 30 November 2026"
    )
    assert say_ready(ready[1], DAY) == "Mon 30 November 2026 (waits for X-3)"


@pytest.mark.parametrize(
    ("steps", "said"),
    [
        ([(4, 0)], "all today"),
        ([(9, 0), (3, 10)], "all but 3 today, complete by Sat 5 December 2026"),
        ([(2, 5), (3, 10)], "none today, complete by Sat 5 December 2026"),
        ([(9, 0), (2, 10), (1, None)],
         "all but 3 today, 2 by Sat 5 December 2026, no date known for 1"),
        ([(9, 0), (1, None)], "all but 1 today, no date known for 1"),
        ([(2, None)], "none today, no date known for 2"),
        ([], "no kits"),
    ],
)  # fmt: skip
def test_a_job_is_told_in_a_phrase(steps, said):
    parts = [
        Ready(kits, None if days is None else date.fromordinal(DAY.toordinal() + days))
        for kits, days in steps
    ]
    assert say_job_ready(job_ready([parts], DAY)) == said


def test_stock_is_what_the_port_says_and_no_longer_what_the_price_book_does():
    class Counted:
        def free(self, items, branch=""):
            return dict.fromkeys(items, 1)

    job = [plain("101"), plain("102")]
    workup = work_up_schedule(job, shelf("tarrowby"), RULES, DAY, stock=Counted())
    first, second = workup.ready()
    assert first == (Ready(1, DAY),)
    assert second[-1].day != DAY
    assert set(second[-1].waits_for) <= {line.item.sku for line in workup.job.openings[1].kit.lines}


def test_the_week_is_a_rule_and_a_house_file_adds_its_holidays():
    closed = replace(RULES, holidays=(Holiday(date(2026, 11, 26), "Founders"),))
    assert calendar_of(closed).after(DAY, 1) == date(2026, 11, 27)
    days = replace(RULES["working-week"], value=["wednesday", "saturday"])
    other = replace(RULES, rules={**RULES.rules, "working-week": days})
    assert calendar_of(other).after(DAY, 1) == date(2026, 11, 28)


def many() -> list[Opening]:
    """Openings of 44 kits alike."""
    return [plain("101", 3), plain("102", 40), plain("103")]


def stocked(count):
    """A shelf with so many on hand of each item."""
    few = sample("tarrowby")
    return Shelf([replace(few, counts={one.sku: count for one in few.items})])


def test_the_answer_of_a_schedule_tells_each_opening_and_the_whole():
    offer = offered(many(), stocked(20)).offer
    answer = kits_answer(offer, RULES)
    assert answer.ready is not None
    assert (answer.ready.asked, answer.ready.kits) == (DAY.isoformat(), 44)
    assert answer.ready.today == 20
    steps = [part for opening in answer.openings for part in opening.ready]
    assert sum(part.kits for part in steps) == 44
    assert answer.ready.complete == max(part.day or "~" for part in steps)
    short = {finding.text.partition(":")[0] for finding in answer.stock}
    assert {sku for part in steps for sku in part.waits_for} <= short
    assert short


@pytest.mark.parametrize(
    ("locale", "title", "day"),
    [("en_US", "An expectation and no promise", "November 25, 2026"),
     ("fr_CA", "Une prévision et non un engagement", "25 novembre 2026"),
     ("es_MX", "Es una previsión y no un compromiso", "25 de noviembre de 2026")],
)  # fmt: skip
def test_a_quote_says_the_days_only_where_the_house_wants_it(locale, title, day):
    offer = offered(many(), stocked(20), locale=locale).offer
    assert quote_paper(offer).ready == ()
    paper = quote_paper(replace(offer, ready_shown=True))
    silent, said = (
        next(iter(make_flow(each, TEMPLATES).blocks)).html for each in (quote_paper(offer), paper)
    )
    assert title in said
    assert f"<b>{day}</b>" in said
    assert title not in silent
    assert sum(step.kits for step in paper.ready) == 44
    every = ["101", "102", "103"]
    named = [marks_named([step.places or "101-103"], every)[0] for step in paper.ready]
    assert {mark for marks in named for mark in marks} == {*every}


def test_a_quote_tells_no_day_of_an_opening_that_may_not_go_out():
    held = replace(plain("104"), type=opening("3070", finish="689", fire_minutes=90,
                                              hold_open=HoldOpen.ARM))  # fmt: skip
    offer = replace(offered([plain("101"), held], stocked(20)).offer, ready_shown=True)
    assert offer.ready is not None
    assert not offer.is_firm(offer.openings[1])
    told = [(step.day, step.places) for step in quote_paper(offer).ready]
    assert told == [(DAY, "101"), (None, "104")]


# A Wednesday, and a Saturday: what is on the shelf is then ready on Monday, and from stock all the
# same.
@pytest.mark.parametrize("day", [DAY, DAY + timedelta(days=3)])
@pytest.mark.parametrize("on_hand", [0, 1, 20, 43, 900])
def test_without_days_a_quote_tells_in_a_line_how_many_firm_openings_come_from_stock(on_hand, day):
    held = replace(plain("104"), type=opening("3070", finish="689", fire_minutes=90,
                                              hold_open=HoldOpen.ARM))  # fmt: skip
    offer = offered([*many(), held], stocked(on_hand), day=day).offer
    assert offer.ready is not None
    firm = [one for one in offer.openings if offer.is_firm(one)]
    # As many as the pick list fills.
    stock = sum(one.bags for one in pick_list_paper(offer).openings if not one.waits)
    every = sum(one.quantity for one in firm)
    assert every == 44
    paper = quote_paper(offer)
    said = {0: "none from stock", every: "all openings from stock"}
    assert said.get(stock, f"{stock} of {every} openings from stock") in paper.delivery
    assert f"November {day.day}, 2026" in paper.delivery
    assert "nothing is held" in paper.delivery
    assert paper.delivery in next(iter(make_flow(paper, TEMPLATES).blocks)).html
    assert quote_paper(replace(offer, ready_shown=True)).delivery == ""
    assert quote_paper(replace(offer, ready_asked=None)).delivery == ""
