"""An amount beside an answer names its openings wherever it is not for all that are asked about."""

import itertools
import re
from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import RULES, opening, sample, shelf, without
from tests.support.offers import DAY

from wholekit.domain.catalog import Role
from wholekit.domain.kits import Kit, Shelf, build_kit
from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.kits.unknowns import answered
from wholekit.domain.openings import (
    Door,
    Facts,
    Frame,
    Mount,
    Opening,
    OpeningType,
    marks_named,
    read_stated,
)
from wholekit.domain.quantities import Money, parse_mass
from wholekit.domain.quotes.asking import Answer, Asking, Change, JobQuestion, QuotedAs
from wholekit.domain.quotes.worked import WorkedJob
from wholekit.intake.openings import read_openings
from wholekit.services.schedules import work_up_schedule
from wholekit.settings import bundled
from wholekit.wording.answers import LINE, answers_text, brief_answers, refused_answers
from wholekit.wording.questions import question_text, stated_value

SCHOOL = bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv"
EVERY = tuple(str(number) for number in range(101, 113))


@given(st.sets(st.sampled_from(EVERY), min_size=1), st.data())
def test_an_amount_of_fewer_openings_than_are_asked_about_names_them(asked, data):
    priced = data.draw(st.sets(st.sampled_from(sorted(asked)), min_size=1))
    dearer = Change(tuple(sorted(priced)), len(priced), Money(1450, "USD"))
    question = JobQuestion(
        "egress", (), tuple(sorted(asked)), len(asked), (Answer("yes", (dearer,)),)
    )
    ((value, text),) = brief_answers(question, Asking((), (), EVERY))
    assert value == "yes"
    assert "+$14.50 each" in text
    named = text.rpartition(": ")[0].replace("–", "-")
    if priced == asked:
        assert named == ""
        return
    found = marks_named(named.split(", "), list(EVERY))[0]
    assert set(found) == priced


@st.composite
def parted(draw: st.DrawFn) -> JobQuestion:
    """A question whose openings an answer moves in several ways, each opening in one of them."""
    asked = sorted(draw(st.sets(st.sampled_from(EVERY), min_size=1)))
    of = draw(st.lists(st.integers(0, 4), min_size=len(asked), max_size=len(asked)))
    changes = tuple(
        Change(
            marks,
            len(marks),
            Money(draw(st.sampled_from((0, 1450, -300))), "USD"),
            draw(st.sampled_from(((), ("force-over-limit",)))),
            over=draw(st.booleans()),
            given=draw(st.sampled_from(((), (("accessible", "yes"),)))),
        )
        for group in sorted(set(of))
        if (marks := tuple(mark for mark, at in zip(asked, of, strict=True) if at == group))
    )
    return JobQuestion("egress", (), tuple(asked), len(asked), (Answer("yes", changes),))


@given(parted())
def test_an_opening_is_priced_or_cannot_be_had_so_and_never_both(question):
    among = Asking((), (), EVERY)
    ((_, text),) = brief_answers(question, among)
    (refused,) = refused_answers(question, among)
    every = sum((each.marks for each in question.answers[0].changes if each.refused), ())
    at = ", ".join(re.findall(r"not at ([\d–, ]+)", refused)).replace("–", "-").split(", ")
    assert {*(marks_named(at, list(EVERY))[0] if refused else ())} == {*every}
    told: dict[bool, list[str]] = {True: [], False: []}
    for part in text.split(LINE):
        named = re.match(r"([\d–, ]+): ", part)
        marks = named[1].replace("–", "-").split(", ") if named else [*question.marks]
        if " each, " in part or "another decision" in part:
            told[" each, " in part] += marks_named(marks, list(EVERY))[0]
    (answer,) = question.answers
    changes = answer.changes
    assert sorted(told[False]) == sorted(m for each in changes if each.refused for m in each.marks)
    assert not set(told[True]) & set(told[False])
    assert {*told[True], *told[False]} <= set(question.marks)
    assert answer.difference.minor == sum(
        each.difference.minor * each.count
        for each in changes
        if not each.refused and not each.given
    )


def test_what_is_quoted_by_default_parts_no_question_and_each_opening_keeps_its_own_effect():
    openings = read_openings(str(SCHOOL), [], RULES)[:36]
    job = work_up_schedule(openings, shelf(), RULES, DAY)
    asking = job.asking(RULES)
    alike = [(each.field, tuple(a.text for a in each.answers)) for each in asking.questions]
    assert len(alike) == len(set(alike))
    each = {one.entry.mark: one.worked.price for one in job.job.openings}
    priced_alone_keep_their_price(job.job, asking)
    mixed = [question for question in asking.questions if len(question.quoted) > 1]
    assert {question.field for question in mixed} >= {"frame_reinforced", "door_reinforced"}
    for question in mixed:
        stood = [mark for way in question.quoted for mark in way.marks]
        assert sorted(stood) == sorted(question.marks)
        assert len(stood) == len(set(stood))
        # The last is told as that of the others.
        assert len(question.quoted[-1].marks) == max(len(way.marks) for way in question.quoted)
        for answer in question.answers:
            given = {question.field: read_stated(question.field, answer.text)}
            now = [
                replace(one, type=answered(one.type, given)) if one.mark in stood else one
                for one in openings
            ]
            after = work_up_schedule(now, shelf(), RULES, DAY).job.openings
            moved = {one.entry.mark: one.worked.price - each[one.entry.mark] for one in after}
            told = {mark: change for change in answer.changes for mark in change.marks}
            # What takes another answer beside is told with it, and not by itself.
            alone = [mark for mark in stood if not told[mark].given]
            assert {mark: told[mark].difference for mark in alone} == {m: moved[m] for m in alone}
            assert all(
                told[mark].nothing for way in question.quoted for mark in way.marks
                if way.text == answer.text
            )  # fmt: skip


def priced_alone_keep_their_price(job: WorkedJob, asking: Asking) -> None:
    """What no answer moves keeps a price only where it has one: what is open is in no total."""
    firm = {one.entry.mark: one.firm for one in job.openings}
    told: dict[bool, list[str]] = {True: [], False: []}
    for question in asking.questions:
        said = question_text(question, asking).replace("–", "-")
        for is_firm, text in ((True, "The same price whatever is answered"), (False, "yet")):
            for named in re.findall(rf"{text}: ([^.]+)\.", said):
                told[is_firm] += marks_named(named.split(", "), list(asking.every))[0]
    assert told[True]
    assert told[False]
    assert all(firm[mark] for mark in told[True])
    assert not any(firm[mark] for mark in told[False])


# One of the suppliers makes no plate: its body's holes may come too near an edge.
PLAIN = {
    "top_rail": Shelf([without("quillmere", Role.PLATE), sample("tarrowby")]),
    "head_face": Shelf([without("tarrowby", Role.PLATE), sample("quillmere")]),
}


def heights_told_with_no_credit_for_an_edge(name: str, kind: OpeningType) -> None:
    """As the rule of holes finds them in the kits worked up anew for each height."""
    job = work_up_schedule([Opening("1", kind)], PLAIN[name], RULES, DAY)
    asking = job.asking(RULES)
    (question,) = [each for each in asking.questions if each.field == name]
    quoted = build_kit(kind, PLAIN[name], RULES)
    was = any(finding.code == NEAR_EDGE for finding in quoted.findings)
    seen = set()
    for answer in question.answers:
        kit = worked_with({"1": kind}, question, answer.text, PLAIN[name])["1"]
        near = any(finding.code == NEAR_EDGE for finding in kit.findings)
        others = {line.item.sku for line in kit.lines} != {line.item.sku for line in quoted.lines}
        one = replace(question, answers=(answer,))
        told = (brief_answers(one, asking)[0][1], answers_text(one, asking)[0][1])
        lost = near and others and not was
        seen.add(lost)
        for text in told:
            assert ("holes too near" in text) == near
            assert ("cannot be furnished so" in text) == lost
            assert not (lost and "$" in text)
    assert (True in seen) == (name == "head_face"), "a plate goes out at a high head"


def test_an_answer_tells_what_it_comes_in_what_it_assumes_and_that_it_is_as_quoted():
    """Every finish, height and material asked for, against the kits worked up anew with it."""
    kinds = {"117F": opening("3070", frame=Frame.ALUMINUM), "118": opening("3070")}
    job = work_up_schedule([Opening(*each) for each in kinds.items()], shelf(), RULES, DAY)
    asking = job.asking(RULES)
    asked = {each.field: each for each in asking.questions}
    each = {name: dict(brief_answers(question, asking)) for name, question in asked.items()}
    for answer in asked["finish"].answers:
        kits = worked_with(kinds, asked["finish"], answer.text)
        (finish,) = {kit.finish for kit in kits.values()}
        swapped = f"but in {finish}, as {answer.text} is not made for these kits"
        assert ("not made" in each["finish"][answer.text]) == (finish != answer.text)
        assert (swapped in each["finish"][answer.text]) == (finish != answer.text)
    assert "not made" in each["finish"]["626"]
    # And so where it is told at length.
    at_length = dict(answers_text(asked["finish"], asking))
    assert {box for box, text in at_length.items() if "not made" in text} == {
        box for box, text in each["finish"].items() if "not made" in text
    }
    assert any("taken as aluminum too" in text for _, text in answers_text(asked["frame"], asking))
    # Quoted at a height where holes come too near: the answer that says so is as quoted.
    schedule = [Opening("117F", kinds["117F"])]
    near = work_up_schedule(schedule, PLAIN["top_rail"], RULES, DAY).asking(RULES)
    (rail,) = [question for question in near.questions if question.field == "top_rail"]
    (quoted,) = rail.quoted
    kit = worked_with({"117F": kinds["117F"]}, rail, quoted.text, PLAIN["top_rail"])["117F"]
    assert any(finding.code == NEAR_EDGE for finding in kit.findings)
    said = dict(brief_answers(rail, near))[quoted.text]
    assert said.startswith("as quoted · but holes too near")
    # No credit is told for a kit whose holes come too near where those quoted do not.
    at_head = opening("3670", door=Door.ALUMINUM, frame=Frame.ALUMINUM, mount=Mount.TOP_JAMB)
    for name, kind in (("top_rail", kinds["117F"]), ("head_face", at_head)):
        heights_told_with_no_credit_for_an_edge(name, kind)
    # A leaf nobody stated is taken to be of its frame's material, and the other way round.
    for name, of, other in (("frame", "leaf", "door"), ("door", "frame", "frame")):
        for answer in asked[name].answers:
            kinds_now = answered(kinds["118"], {name: read_stated(name, answer.text)})
            taken = getattr(Facts(kinds_now, RULES), other)
            was = getattr(Facts(kinds["118"], RULES), other)
            value = stated_value(name, answer.text)
            boxes = next(text for box, text in each[name].items() if value in box)
            assert (f"the {of} taken as {taken} too" in boxes) == (taken is not was)
            assert (taken is not was) == (answer.text == "aluminum")


def worked_with(
    kinds: dict[str, OpeningType], question: JobQuestion, text: str, on: Shelf | None = None
) -> dict[str, Kit]:
    given = {question.field: read_stated(question.field, text)}
    return {
        mark: build_kit(answered(kind, given), on or shelf(), RULES)
        for mark, kind in kinds.items()
        if mark in question.marks
    }


def test_a_question_tells_where_it_is_quoted_otherwise():
    ways = (QuotedAs("no", ("102", "104")), QuotedAs("yes", ("101", "103", "105")))
    question = JobQuestion("frame_reinforced", ways, EVERY[:5], 5, ())
    said = question_text(question, Asking((), (), EVERY))
    assert said.endswith(" Quoted as: no (102, 104); yes (the others).")
    same = replace(question, quoted=(QuotedAs("yes", EVERY[:5]),))
    assert question_text(same, Asking((), (), EVERY)).endswith(" Quoted as: yes.")


@given(st.integers(11, 219), st.sampled_from(("3070", "0.91 x 2.13 m", "2668", "4080")))
def test_a_weight_has_one_box_and_what_stands_beside_it_holds_for_it(pounds, size):
    """Whatever a leaf weighs up to the last box; steps are those of EN 1154, Table 1."""
    job = work_up_schedule([Opening("1", opening(size))], shelf("quillmere"), RULES, DAY)
    weighed = opening(size, weight=f"{pounds} lb")
    now = work_up_schedule([Opening("1", weighed)], shelf("quillmere"), RULES, DAY).job.openings[0]
    asked = [each for each in job.asking(RULES).questions if each.field == "weight"]
    for question in asked:
        limits = [parse_mass(answer.text) for answer in question.answers]
        assert limits == sorted(limits)
        above = [at for at, limit in enumerate(limits) if parse_mass(f"{pounds} lb") <= limit]
        boxes = [text for text, _ in brief_answers(question, Asking((), (), ("1",)))]
        assert boxes[-1] == ""
        ends = [re.findall(r"[\d.]+ (?:lb|kg)", text) for text in boxes[:-1]]
        assert len(ends[0]) == 1
        assert all(two[0] == one[-1] for one, two in itertools.pairwise(ends))
        (change,) = question.answers[above[0]].changes
        assert now.worked.price - job.job.openings[0].worked.price == change.difference
