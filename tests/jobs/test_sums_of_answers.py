"""What stands beside an answer is what the firm total moves by once it is given."""

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.house import RULES, opening, shelf
from tests.support.offers import DAY
from tests.support.openings import openings

from wholekit.domain.findings import Severity
from wholekit.domain.kits import build_kit
from wholekit.domain.kits.outcome import Doubt, outcome_of
from wholekit.domain.kits.unknowns import answered
from wholekit.domain.openings import (
    HoldOpen,
    Location,
    Opening,
    OpeningType,
    Unclear,
    marks_named,
    read_stated,
)
from wholekit.domain.quotes.asking import Asking, Change, InTotal, asking_of, place_of
from wholekit.domain.quotes.job import Alternate, Release, finding_about
from wholekit.domain.quotes.offer import Offer, OfferOpening
from wholekit.domain.quotes.totals import firm_hardware
from wholekit.domain.quotes.worked import WorkedJob, WorkedOpening
from wholekit.services.schedules import work_up_schedule
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.wording.answers import LINE, brief_answers
from wholekit.wording.asked_finishes import finish_questions
from wholekit.wording.mark_groups import MarkGroups
from wholekit.wording.offers import HouseWords

# Of each job the base bid's openings, then those of its alternate; marks say which.
BASE_MARKS, OTHER_MARKS = ("101", "102", "103"), ("201", "202")
ALTERNATE = Alternate("alt-1", "Others", ())
AT = datetime(2026, 11, 20, 9, tzinfo=UTC)


def worked(kinds: dict[str, OpeningType], let_go: frozenset[str]) -> WorkedJob:
    """A job of these openings, two of the first kind each; let_go: marks whose stops somebody
    released as they are found here."""
    rows = [Opening(mark, kind, 1 + (mark == "101")) for mark, kind in kinds.items()]
    job = work_up_schedule(rows, shelf(), RULES, DAY).job
    made = tuple(of_alternate(one, let_go) for one in job.openings)
    contents = replace(
        job.contents,
        job=replace(job.contents.job, alternates=(ALTERNATE,)),
        openings=tuple(one.entry for one in made),
    )
    return replace(job, contents=contents, openings=made)


def of_alternate(one: WorkedOpening, let_go: frozenset[str]) -> WorkedOpening:
    entry = replace(one.entry, alternate="alt-1" if one.entry.mark in OTHER_MARKS else "")
    if entry.mark in let_go:
        entry = replace(
            entry,
            releases=tuple(
                Release(each.code, finding_about(each), "as agreed", "odo", AT)
                for each in one.kit.findings
                if each.severity is Severity.STOP
            ),
        )
    return replace(one, entry=entry)


def moved(job: WorkedJob, now: WorkedJob) -> tuple[int, int]:
    """By what the firm hardware of the base bid moves, and that of the alternate [minor units]."""

    def of_other(one: WorkedJob) -> int:
        return sum(each.price.minor for each in one.of_alternate("alt-1"))

    return firm_hardware(now).minor - firm_hardware(job).minor, of_other(now) - of_other(job)


def with_answers(
    kinds: dict[str, OpeningType], changes: Sequence[Change], field: str, text: str
) -> dict[str, OpeningType]:
    """The openings with an answer, and with the others that it takes there."""
    found = dict(kinds)
    for change in changes:
        given = {name: read_stated(name, said) for name, said in change.given}
        for place in change.marks:
            mark = place.partition(" ")[0]
            if mark in kinds:
                found[mark] = answered(kinds[mark], {field: read_stated(field, text), **given})
    return found


def printed(text: str) -> tuple[int, int]:
    """What an answer's line adds up to: in the firm total, and in the alternate [minor units]."""
    sums = [0, 0]
    for part in text.split(LINE):
        if " each, " not in part or "in no firm total" in part:
            continue
        amounts = re.findall(r"([+−])\$([\d,]+\.\d\d)", part)
        sign, figure = amounts[-1] if "together" in part else amounts[0]
        minor = int(figure.replace(",", "").replace(".", ""))
        sums["alternate alt-1" in part] += -minor if sign == "−" else minor
    return sums[0], sums[1]


@st.composite
def jobs(draw: st.DrawFn) -> tuple[dict[str, OpeningType], frozenset[str]]:
    """A job's openings, and those whose stops were let go: alike but for what they are quoted in,
    and for what was let go."""
    kinds = {mark: draw(openings()) for mark in ("101", "102")}
    if draw(st.booleans()):
        # Written, and not plainly: an answer settles what stops it.
        unclear = Unclear("fire_minutes", "B", ("60", "90"))
        kinds["102"] = replace(opening("3070"), fire_minutes=90, unclear=(unclear,))
    kinds |= {"103": kinds["101"], "201": kinds["101"], "202": kinds["102"]}
    return kinds, draw(st.frozensets(st.sampled_from([*kinds]), max_size=2))


@settings(max_examples=14)
@given(jobs(), st.randoms(use_true_random=False))
def test_an_answer_given_moves_the_firm_total_by_what_is_printed_and_a_door_is_told_of(drawn, draw):
    kinds, let_go = drawn
    job = worked(kinds, let_go)
    asking = asking_of(job, shelf(), RULES, DAY)
    doubted_and_mended(job, asking)
    asked = [(each, answer) for each in asking.questions for answer in each.answers]
    # What settles a stop is seldom, and always looked at.
    settling = [pair for pair in asked if pair[1].settled]
    few = [*draw.sample(asked, min(4, len(asked))), *draw.sample(settling, min(1, len(settling)))]
    for question, answer in few:
        had = [change for change in answer.changes if not change.refused]
        for given_too in {change.given for change in had}:
            alike = [change for change in had if change.given == given_too]
            now = worked(with_answers(kinds, alike, question.field, answer.text), let_go)
            moves_as_told(job, now, alike)
            if not given_too:
                assert answer.difference.minor == moved(job, now)[0]
                one = replace(question, answers=(replace(answer, changes=tuple(alike)),))
                text = brief_answers(one, asking)[0][1]
                assert printed(text) == moved(job, now)
                names_other_closers(job, now, text)


def moves_as_told(job: WorkedJob, now: WorkedJob, changes: Sequence[Change]) -> None:
    base = [change for change in changes if not change.alternate]
    told = sum(change.moves_firm.minor * change.count for change in base)
    other = sum(each.difference.minor * each.count for each in changes if each.alternate)
    assert moved(job, now) == (told, other)
    firm = {place_of(one): one.firm for one in now.openings}
    was = {place_of(one): one.firm for one in job.openings}
    for change in changes:
        for place in change.marks:
            assert (was[place], firm[place]) == (change.firm, change.firm_then)
            apart = not change.alternate and not change.firm and not change.firm_then
            assert (change.counted is InTotal.APART) == apart


def names_other_closers(job: WorkedJob, now: WorkedJob, text: str) -> None:
    for before, after in zip(job.openings, now.openings, strict=True):
        was, then = outcome_of(before.kit), outcome_of(after.kit)
        if then.series and was.series and then.series != was.series:
            # The samples' titles are the names with a capital.
            new, old = then.series.capitalize(), was.series.capitalize()
            assert f"series {new} in place of {old}" in text
        if then.closer and was.closer and then.closer[0] != was.closer[0]:
            assert "another maker" in text
        if then.spring_size not in (was.spring_size, None):
            assert "spring size" in text
        if Doubt.NO_LATCH in then.doubts and then.closer != was.closer:
            assert "it does not latch" in text


def doubted_and_mended(job: WorkedJob, asking: Asking) -> None:
    """What is doubted is so by its kit, and what no answer mends is firm and sound by none."""
    doubted = {
        place_of(one): one
        for one in job.openings
        if not one.entry.alternate and one.firm and outcome_of(one.kit).doubts
    }
    assert {*asking.doubted} == {*doubted}
    mended = {
        place
        for question in asking.questions
        for answer in question.answers
        for change in answer.changes
        for place in {*doubted} & {*change.marks}
        if is_mended(doubted[place], question.field, answer.text, change)
    }
    assert {*asking.unmended} == {*doubted} - mended
    latching = {Doubt.NO_LATCH, Doubt.MAY_NOT_LATCH}
    assert {*asking.unlatched} == {
        place for place in asking.unmended if latching & {*outcome_of(doubted[place].kit).doubts}
    }


def is_mended(one: WorkedOpening, field: str, text: str, change: Change) -> bool:
    mark = one.entry.mark
    kinds = with_answers({mark: one.entry.opening.type}, [change], field, text)
    kit = build_kit(kinds[mark], shelf(), RULES)
    released = {(each.code, each.about) for each in one.entry.releases}
    stops = {
        (each.code, finding_about(each)) for each in kit.findings if each.severity is Severity.STOP
    }
    return kit.complete and stops <= released and not outcome_of(kit).doubts


def test_either_swing_of_a_labelled_pair_frees_it_whatever_else_the_job_has():
    """A pair without a label comes first: what was seen of it is not taken for the labelled one."""
    plain = opening("3680", leaves=2, location=Location.INTERIOR, fire_minutes=0)
    kinds = {"101": plain, "102": replace(plain, fire_minutes=90)}
    job = worked(kinds, frozenset())
    asking = asking_of(job, shelf(), RULES, DAY)
    (question,) = (each for each in asking.questions if each.field == "swing")
    texts = dict(brief_answers(question, asking))
    assert {*texts} == {"swings in", "swings out"}
    for answer, text in texts.items():
        given = {"swing": read_stated("swing", answer.split()[-1])}
        now = worked({mark: answered(kind, given) for mark, kind in kinds.items()}, frozenset())
        assert "settles what stops it and adds to the firm total" in text
        # Of the labelled one its whole price, not a difference.
        assert moved(job, now)[0] >= now.openings[1].worked.price.minor > 0
        assert printed(text)[0] == moved(job, now)[0]


FINISHES = st.sampled_from(("626", "652", "689", "600", "605", "690"))


@settings(max_examples=20)
@given(st.lists(FINISHES, min_size=5, max_size=5), st.sets(st.sampled_from(BASE_MARKS)))
def test_a_finish_answered_moves_the_firm_total_by_what_is_printed(finishes, held):
    kinds = {
        mark: opening(
            "3070", finish=finish, hold_open=HoldOpen.ARM if mark in held else None,
            fire_minutes=90 if mark in held else 0,
        )
        for mark, finish in zip((*BASE_MARKS, *OTHER_MARKS), finishes, strict=True)
    }  # fmt: skip
    job = worked(kinds, frozenset())
    rows = [Opening(mark, kind, 1 + (mark == "101")) for mark, kind in kinds.items()]
    workup = replace(work_up_schedule(rows, shelf(), RULES, DAY), job=job)
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", None)
    offer = make_snapshot(workup, HouseWords(), RULES, headed).offer
    places = {each.place: each for each in offer.openings}
    for question, _places in finish_questions(offer, MarkGroups((), [*places])):
        named = ", ".join(question.marks).replace("–", "-").split(", ")
        asked_about = marks_named(named, [*places])[0]
        for value, text in question.answers[:-1]:
            finish = value.partition(" ")[0]
            at = {
                place.partition(" ")[0]
                for place in asked_about
                if "painted" not in value or finish in matches_of(offer, places[place])
            }
            now = {
                mark: replace(kind, finish=finish) if mark in at else kind
                for mark, kind in kinds.items()
            }
            assert printed(text) == moved(job, worked(now, frozenset()))


def matches_of(offer: Offer, one: OfferOpening) -> set[str]:
    findings = offer.kit_of(one).findings
    return {each.fields["match"] for each in findings if each.code == "finish-dearer"}
