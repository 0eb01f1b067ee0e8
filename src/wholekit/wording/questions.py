"""What only the customer can say: a question for each open field that changes a kit."""

from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import TypeVar

from wholekit.domain.openings import mark_runs, read_stated
from wholekit.domain.quantities import Money, parse_mass
from wholekit.domain.quotes.asking import (
    WEIGHT,
    Asking,
    Assumed,
    Change,
    JobQuestion,
    QuotedAs,
)
from wholekit.wording.offered import amount_text
from wholekit.wording.speech import tr, trn
from wholekit.wording.units import measured
from wholekit.wording.words import field_name, listed, value_text

QUESTIONS: dict[str, str] = {
    "door": "What is the leaf made of?",
    "core": "What core has the wood leaf?",
    "door_reinforced": "Is the leaf reinforced, or has it blocking, where the closer goes?",
    "weight": "What does the leaf weigh?",
    "thickness": "How thick is the leaf?",
    "frame": "What is the frame made of?",
    "frame_reinforced": "Is the frame reinforced where the closer goes?",
    "location": "Is the opening interior or exterior?",
    "hand": "Which hand is the leaf, read from the outside: LH, RH, LHR or RHR?",
    "swing": "Does the leaf swing in or out?",
    "fire_minutes": "Has the opening a fire label, and of how many minutes?",
    "accessible": "Is the opening on an accessible route?",
    "egress": "Is the opening an exit, on a means of egress?",
    "traffic": "Is the traffic through the opening light, usual or heavy?",
    "opening_degrees": "To what angle is the leaf to open?",
    "top_rail": "How high is the top rail of the leaf?",
    "head_face": "How high is the face of the frame head?",
    "reveal": "How deep is the reveal on the push side?",
    "stop": "Is the stop under the head a rabbet or a blade?",
    "finish": "Which finish is wanted?",
    "jurisdiction": "Which code's force limits apply, to the whole job?",
}
# One answer holds for the whole job.
OF_THE_JOB = ("jurisdiction",)
# What has more answers than are printed.
OPEN = frozenset(
    {
        "weight", "thickness", "fire_minutes", "opening_degrees", "top_rail", "head_face",
        "reveal", "finish", "jurisdiction",
    }
)  # fmt: skip


def question_text(question: JobQuestion, among: Asking) -> str:
    """The question, with what is quoted meanwhile; where that differs, with the marks of each."""
    text = tr(QUESTIONS[question.field])
    *fewer, most = question.quoted
    parts = [f"{_stand_in(question.field, way)} ({_where(way.marks, among)})" for way in fewer]
    rest = _stand_in(question.field, most)
    parts.append(tr("{value} (the others)").format(value=rest) if fewer else rest)
    return tr("{question} Quoted as: {value}.").format(question=text, value="; ".join(parts))


def _stand_in(field: str, way: QuotedAs) -> str:
    return stated_value(field, way.text) if way.text else tr("not stated")


def stated_value(field: str, text: str) -> str:
    """A value spelled as in a schedule, in plain words; a measure as it is written."""
    if field == WEIGHT:
        return measured(parse_mass(text))
    return value_text(field, read_stated(field, text))


def marks_text(marks: Iterable[str], every: Sequence[str], beyond: Sequence[str] = ()) -> str:
    """Marks as ranges in the job's order: `101–103, 105, 201`; nothing where it is all of them.

    Read as it stands it means just these marks (see `mark_runs`). beyond: marks that are none of
    the job's, and that no range runs over.

    >>> marks_text(["1", "2", "3", "9A"], ["1", "2", "3", "4", "9", "9A"])
    '1–3, 9A'
    """
    wanted = set(marks)
    if wanted >= set(every):
        return ""
    return ", ".join(
        run.first if run.first == run.last else f"{run.first}–{run.last}"
        for run in mark_runs(wanted, every, beyond)
    )


def ranges_text(marks: Sequence[str], every: Sequence[str], beyond: Sequence[str] = ()) -> str:
    """As `marks_text`, but never empty: all of them are named too.

    >>> ranges_text(["1", "2", "3"], ["1", "2", "3"]), ranges_text(["1"], ["1"])
    ('1–3', '1')
    """
    if len(marks) == 1:
        return marks[0]
    # Beside a mark that nobody has, they are not all.
    return marks_text(marks, every, beyond) or marks_text(marks, (*every, ""), beyond)


def answers_text(question: JobQuestion, among: Asking) -> tuple[tuple[str, str], ...]:
    """Each answer and what comes of it, answers of the same effect together.

    among: what else is asked, for the ranges of marks; so of all of these.
    """
    told = _alike(question, lambda changes: tuple(each for each in changes if not each.nothing))
    return tuple(
        (_values(question, values), effect_text(changes, question, among))
        for values, changes in told
    )


def brief_answers(question: JobQuestion, among: Asking) -> tuple[tuple[str, str], ...]:
    """As `answers_text`, each in a line: amounts from the least to the greatest.

    With them, where there are answers beside those printed, an empty answer and what a blank after
    it is for. No opening is both priced and told as one that cannot be had so.
    """
    told = tuple((boxes, text) for boxes, (text, _) in _boxed(question, among))
    blank = _blank(question)
    return (*told, ("", blank)) if blank else told


def refused_answers(question: JobQuestion, among: Asking) -> tuple[str, ...]:
    """Of each of `brief_answers`, at which openings it cannot be had so; empty where at none."""
    told = tuple(refused for _, (_, refused) in _boxed(question, among))
    return (*told, "") if _blank(question) else told


def _boxed(question: JobQuestion, among: Asking) -> tuple[tuple[str, tuple[str, str]], ...]:
    """Answers of one effect by their boxes; what comes of them, and what of it is refused."""

    def effect(changes: Sequence[Change]) -> tuple[str, str]:
        moved = [change for change in changes if not change.nothing]
        text = _brief_text(moved, question, among) if moved else tr("price and kit as quoted")
        return text, _not_at(moved, among)

    return tuple((_boxes(question, values), text) for values, text in _alike(question, effect))


Effects = TypeVar("Effects", bound=Hashable)


def _alike(
    question: JobQuestion, effect: Callable[[Sequence[Change]], Effects]
) -> Sequence[tuple[Sequence[str], Effects]]:
    """Answers of the same effect together, as values; of weights those next to one another."""
    found: list[tuple[list[str], Effects]] = []
    for answer in question.answers:
        came = effect(answer.changes)
        value = stated_value(question.field, answer.text)
        among = found[-1:] if question.field == WEIGHT else found
        values = next((values for values, known in among if known == came), None)
        if values is None:
            values = []
            if question.field == WEIGHT and found:
                # From where the weights before it end.
                values.append(found[-1][0][-1])
            found.append((values, came))
        values.append(value)
    return found


def _blank(question: JobQuestion) -> str:
    """What may be written in beside the answers printed; empty where they are all."""
    if question.field not in OPEN or question.unclear:
        return ""
    several = len(question.marks) > 1 and question.field not in OF_THE_JOB
    if question.field == WEIGHT:
        said = tr("heavier, or by mark:") if several else tr("heavier:")
    else:
        said = tr("another, or by mark:") if several else tr("another:")
    return f"{BOX.strip()} {said}"


def _where(marks: Iterable[str], among: Asking) -> str:
    return marks_text(marks, among.every, among.beyond)


# Between answers of one effect, each of which has a box of its own on paper.
BOX = " ☐ "


def _boxes(question: JobQuestion, values: Sequence[str]) -> str:
    return _values(question, values) if question.field == WEIGHT else BOX.join(values)


def _values(question: JobQuestion, values: Sequence[str]) -> str:
    """Answers of one effect; of weights all up to the last, above what another effect goes to."""
    if question.field != WEIGHT:
        return listed(values, "or")
    first = stated_value(WEIGHT, question.answers[0].text)
    if values[0] == first:
        return tr("up to {most}").format(most=values[-1])
    return tr("over {least}, up to {most}").format(least=values[0], most=values[-1])


def _brief_text(changes: Sequence[Change], question: JobQuestion, among: Asking) -> str:
    """What comes of an answer: each opening is either priced or one that cannot be had so."""
    had = [change for change in changes if not change.refused]
    priced = [change for change in had if change.difference.minor]
    settled = [change for change in had if change.settled]
    refused = _refused_parts(changes, question, among)
    # Where there are several parts each names its openings.
    several = bool(priced) + bool(settled) + len(refused) > 1
    parts = [_price_part(alike, question, among, several) for alike in _beside(priced)]
    parts += [
        _at(tr("settles what stops it"), alike, question, among, several)
        for alike in _beside(settled)
    ]
    return "; ".join((*parts, *refused)) or tr("another setting or size at the same price")


def _price_part(priced: Sequence[Change], question: JobQuestion, among: Asking, named: bool) -> str:
    amounts = sorted({change.difference for change in priced}, key=lambda each: each.minor)
    said = tr("{amount} each, {openings}")
    amount = _signed(amounts[0])
    if len(amounts) > 1:
        ends = {"least": amount, "most": _signed(amounts[-1])}
        amount = tr("from {least} to {most}").format(**ends)
    text = said.format(amount=amount, openings=_openings(priced))
    if sum(change.count for change in priced) > 1:
        every = sum(change.difference.minor * change.count for change in priced)
        whole = _signed(Money(every, amounts[0].currency))
        text = tr("{effect}, together {amount}").format(effect=text, amount=whole)
    return _at(text, priced, question, among, named)


def _refused_parts(changes: Sequence[Change], question: JobQuestion, among: Asking) -> list[str]:
    """At which openings an answer cannot be had so, and why; they are named wherever others are."""
    parts = []
    every = [change for change in changes if change.refused]
    several = len(every) < len(changes)
    for stops, said in (
        (True, tr("cannot be furnished so without another decision")),
        (False, tr("by calculation over the force limit, another decision is needed")),
    ):
        # A stop says more than a limit that is passed.
        alike = [change for change in every if bool(change.stops) is stops]
        parts += [
            _at(said, each, question, among, several or len(alike) < len(every))
            for each in _beside(alike)
        ]
    return parts


def _not_at(changes: Sequence[Change], among: Asking) -> str:
    """Where an answer cannot be had so, in the fewest words; the paper says what they mean."""
    parts = []
    for alike in _beside([change for change in changes if change.refused]):
        marks = [mark for change in alike for mark in change.marks]
        where = ranges_text(marks, among.every, among.beyond)
        parts.append(_with_others(tr("not at {marks}").format(marks=where), alike[0]))
    return "; ".join(parts)


def _beside(changes: Sequence[Change]) -> list[list[Change]]:
    """Changes by the answers to other questions that they take; those that take none first."""
    found: dict[tuple[tuple[str, str], ...], list[Change]] = {}
    for change in sorted(changes, key=lambda change: bool(change.given)):
        found.setdefault(change.given, []).append(change)
    return list(found.values())


def _at(
    text: str, changes: Sequence[Change], question: JobQuestion, among: Asking, named: bool
) -> str:
    """What comes of an answer with the other answers it takes, and its openings.

    They stand with the question where it is all of them. named: they are named all the same.
    """
    marks = [mark for change in changes for mark in change.marks]
    if set(marks) < set(question.marks) or (named and len(question.marks) > 1):
        where = ranges_text(marks, among.every, among.beyond)
        text = tr("{effect} ({marks})").format(effect=text, marks=where)
    return _with_others(text, changes[0])


def effect_text(changes: Sequence[Change], question: JobQuestion, among: Asking) -> str:
    """What comes of an answer, opening by opening where they differ: `+145.00 USD each`."""
    told: dict[str, list[str]] = {}
    for change in changes:
        told.setdefault(_change_text(change), []).extend(change.marks)
    texts = []
    for text, marks in told.items():
        # Where it is the same for all that are asked about they are named with the question.
        where = "" if set(marks) >= set(question.marks) else _where(marks, among)
        texts.append(tr("{effect} ({marks})").format(effect=text, marks=where) if where else text)
    return "; ".join(texts) or tr("as quoted")


def _change_text(change: Change) -> str:
    parts = []
    if change.stops:
        parts.append(tr("cannot be furnished so without another decision"))
    elif change.over:
        parts.append(tr("by calculation over the force limit, another decision is needed"))
    if change.settled:
        parts.append(tr("settles what stops it"))
    # What cannot be had has no price.
    if change.difference.minor and not change.refused:
        said = tr("{amount} each, {openings}")
        amount = _signed(change.difference)
        parts.append(said.format(amount=amount, openings=_openings([change])))
    if change.mount is not None:
        parts.append(value_text("mount", change.mount))
    if change.size is not None:
        parts.append(tr("spring size {size}").format(size=change.size))
    if change.items and not change.difference.minor and not change.refused:
        parts.append(tr("other items at the same price"))
    if not parts and not change.nothing:
        parts.append(tr("another setting"))
    return _with_others(", ".join(parts), change)


def _with_others(text: str, change: Change) -> str:
    """What comes of an answer, with the answers to other questions that it takes."""
    if not change.given:
        return text
    beside = listed(
        f"{field_name(other)}: {stated_value(other, value)}" for other, value in change.given
    )
    return tr("with {others}: {effect}").format(others=beside, effect=text)


def _signed(difference: Money) -> str:
    return f"{'−' if difference.minor < 0 else '+'}{amount_text(difference)}"


def _openings(changes: Sequence[Change]) -> str:
    count = sum(change.count for change in changes)
    return trn("{count} opening", "{count} openings", count).format(count=count)


def assumed_text(assumed: Assumed, among: Asking) -> str:
    """A field that is not asked for, as it is assumed, and where."""
    value = stated_value(assumed.field, assumed.quoted_as) if assumed.quoted_as else ""
    name = field_name(assumed.field)
    text = f"{name}: {value or tr('not stated')}"
    where = _where(assumed.marks, among)
    return f"{text} ({where})" if where else text


def for_customers(asking: Asking) -> list[JobQuestion]:
    """What a customer is asked: what stops an opening or moves its price."""
    return [question for question in asking.questions if any(question.moves[:2])]


def asked_texts(asking: Asking) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each question for a customer, with its marks as ranges (none: all of them)."""
    found = []
    for question in for_customers(asking):
        where = _where(question.marks, asking)
        found.append((question_text(question, asking), (where,) if where else ()))
    return tuple(found)
