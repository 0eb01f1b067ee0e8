"""What only the customer can say: a question for each open field that changes a kit."""

from collections.abc import Callable, Iterable, Sequence

from wholekit.domain.openings import mark_runs, read_stated
from wholekit.domain.quantities import parse_mass
from wholekit.domain.quotes.asking import (
    WEIGHT,
    Asking,
    Assumed,
    JobQuestion,
    QuotedAs,
)
from wholekit.wording.speech import tr, trn
from wholekit.wording.units import measured
from wholekit.wording.words import field_name, value_text

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
# What a note may name and only a figure answers.
FIGURES: dict[str, str] = {
    "wind": "How strong is the wind that the leaf must close against?",
    "pressure": "What difference of pressure is there between the two sides of the leaf?",
    "seals": "What force do the seals take as the leaf closes?",
    "latch": "What force does the latch take to drive home?",
    "ceiling_clearance": "How much clearance is there under the ceiling?",
}
# What such figures are written in where the leaf's size is in inches, and where in millimetres.
UNITS: dict[str, tuple[str, str]] = {
    "wind": ("mph", "km/h"),
    "pressure": ("inwg", "Pa"),
    "seals": ("lbf", "N"),
    "latch": ("lbf", "N"),
    "weight": ("lb", "kg"),
    "opening_degrees": ("°", "°"),
    **dict.fromkeys(
        ("ceiling_clearance", "thickness", "top_rail", "head_face", "reveal"), ("in", "mm")
    ),
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
# Between answers of one effect, each of which has a box of its own on paper.
BOX = " ☐ "


# What may help where no answer does.
UNLATCHED = (
    "{marks}: no single answer below makes it latch; lighter seals or latch, less draft or wind, "
    "another mount or a power operator may help, as local codes allow."
)
PASSING = (
    "{marks}: no single answer below keeps it within the force limit; another mount or a power "
    "operator may help, as local codes allow."
)


# More estimates than these are told from the least to the greatest.
MOST_WEIGHTS = 3


def question_text(
    question: JobQuestion, among: Asking, where: Callable[[Sequence[str]], str] | None = None
) -> str:
    """The question, with what is quoted meanwhile; where that differs, with the marks of each.

    where: names openings, else their marks do.
    """
    text = tr(QUESTIONS[question.field])

    def named(marks: Sequence[str]) -> str:
        return (where or (lambda each: where_text(each, among)))(marks)

    if question.field == WEIGHT and len(question.quoted) > MOST_WEIGHTS:
        weights = sorted((parse_mass(way.text) for way in question.quoted), key=lambda way: way.ug)
        ends = {"least": measured(weights[0]), "most": measured(weights[-1])}
        said = tr("{question} Quoted as: estimated from {least} to {most}, each by its opening.")
        return _with_unmoved(said.format(question=text, **ends), question, among, where)
    *fewer, most = question.quoted
    parts = [f"{_stand_in(question.field, way)} ({named(way.marks)})" for way in fewer]
    rest = _stand_in(question.field, most)
    others = trn("{value} (the other)", "{value} (the others)", len(most.marks))
    parts.append(others.format(value=rest) if fewer else rest)
    said = tr("{question} Quoted as: {value}.").format(question=text, value="; ".join(parts))
    return _with_unmoved(said, question, among, where)


def unmoved_text(where: str) -> str:
    """That no answer moves the price of these openings, by their name."""
    return tr("The same price whatever is answered: {marks}.").format(marks=where)


def unpriced_text(where: str) -> str:
    """That these openings, by their name, are open and in no total, so that no price can stay."""
    return tr("Open, so without a price yet: {marks}.").format(marks=where)


def _with_unmoved(
    text: str,
    question: JobQuestion,
    among: Asking,
    where: Callable[[Sequence[str]], str] | None,
) -> str:
    """A question with those of its openings that no answer tells anything of."""
    felt = {
        mark
        for answer in question.answers
        for change in answer.changes
        if change.felt
        for mark in change.marks
    }
    # What is open has no price that could stay.
    unpriced = {
        mark
        for answer in question.answers
        for change in answer.changes
        if not change.firm and not change.alternate
        for mark in change.marks
    }
    if not felt:
        return text
    rest = [mark for mark in question.marks if mark not in felt]
    for said, marks in (
        (unmoved_text, [mark for mark in rest if mark not in unpriced]),
        (unpriced_text, [mark for mark in rest if mark in unpriced]),
    ):
        if marks:
            named = where(marks) if where else ranges_text(marks, among.every, among.beyond)
            text = f"{text} {said(named)}"
    return text


def _stand_in(field: str, way: QuotedAs) -> str:
    if not way.text:
        # Of an exit nothing stands in, and no kit is worked out as for one.
        return tr("not stated, worked out as none" if field == "egress" else "not stated")
    value = stated_value(field, way.text)
    return tr("estimated {weight}").format(weight=value) if field == WEIGHT else value


def stated_value(field: str, text: str) -> str:
    """A value spelled as in a schedule, in plain words; a measure as it is written."""
    if field == WEIGHT:
        return measured(parse_mass(text))
    return value_text(field, read_stated(field, text))


def marks_text(marks: Iterable[str], every: Sequence[str], beyond: Sequence[str] = ()) -> str:
    """Marks as ranges in the job's order: `101–103, 105, 201`; nothing where it is all of them.

    Read as it stands it means just these marks (see `mark_runs`). beyond: marks that are none of
    the job's, and that no range runs over. Nor does one run over a mark that a reader may take to
    lie in it, though it is named too: that one stands at its place.

    >>> marks_text(["1", "2", "3", "9A"], ["1", "2", "3", "4", "9", "9A"])
    '1–3, 9A'
    >>> marks_text(["1", "2", "3", "3A", "4", "5", "6"], ["1", "2", "3", "3A", "4", "5", "6", "7"])
    '1–3, 3A, 4–6'
    """
    wanted = set(marks)
    if wanted >= set(every):
        return ""
    places = {mark: place for place, mark in enumerate(dict.fromkeys((*every, *beyond)))}
    numbered = {mark for mark in wanted if mark[-1:].isdecimal()}
    runs = [(run.first, run.last) for run in mark_runs(numbered, every, beyond)]
    runs += [(mark, mark) for mark in wanted - numbered if mark in places]
    return ", ".join(
        first if first == last else f"{first}–{last}"
        for first, last in sorted(runs, key=lambda run: places[run[0]])
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


def where_text(marks: Iterable[str], among: Asking) -> str:
    """Marks among those that are asked of, as `marks_text`."""
    return marks_text(marks, among.every, among.beyond)


def assumed_text(assumed: Assumed, among: Asking) -> str:
    """A field that is not asked for, as it is assumed, and where."""
    value = stated_value(assumed.field, assumed.quoted_as) if assumed.quoted_as else ""
    name = field_name(assumed.field)
    text = f"{name}: {value or _stand_in(assumed.field, QuotedAs('', ()))}"
    where = where_text(assumed.marks, among)
    return f"{text} ({where})" if where else text


def unmended_text(asking: Asking, named: Callable[[Sequence[str]], str]) -> str:
    """What may help firm openings that may not latch or pass a limit whatever is answered; empty
    where there is none. Where an answer settles it, that is the help.

    named: names openings. Each sentence begins with a capital, but for one that begins with a mark.

    >>> asking = Asking((), (), ("a1",), unmended=("a1",))
    >>> unmended_text(asking, ", ".join).partition(" below")[0]
    'a1: no single answer'
    >>> unmended_text(asking, lambda marks: "group A").partition(" below")[0]
    'Group A: no single answer'
    """
    passing = [mark for mark in asking.unmended if mark not in {*asking.unlatched}]
    return " ".join(
        tr(said).format(marks=_begun(named(marks), marks))
        for said, marks in ((UNLATCHED, asking.unlatched), (PASSING, passing))
        if marks
    )


def _begun(where: str, marks: Sequence[str]) -> str:
    """What openings are called, as a sentence begins with it; a mark stays as it is written."""
    return where if where.startswith(tuple(marks)) else f"{where[:1].upper()}{where[1:]}"


def for_customers(asking: Asking) -> list[JobQuestion]:
    """What a customer is asked: what stops an opening or moves its price."""
    return [question for question in asking.questions if any(question.moves[:2])]


def blank_of(question: JobQuestion) -> str:
    """What may be written in beside the answers printed; empty where they are all."""
    if question.field not in OPEN:
        return ""
    several = len(question.marks) > 1 and question.field not in OF_THE_JOB
    if question.field == WEIGHT and not question.unclear:
        said = tr("heavier, or by mark:") if several else tr("heavier:")
    elif question.field == "fire_minutes" and question.unclear:
        # That it has none is no reading of what was written, and may be so all the same.
        said = tr("no label, another, or by mark:") if several else tr("no label, or another:")
    else:
        said = tr("another, or by mark:") if several else tr("another:")
    return f"{BOX.strip()} {said}"
