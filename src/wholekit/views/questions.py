"""What is asked of a job as data: what `--questions --json` prints."""

from dataclasses import dataclass
from typing import Any

from wholekit.domain.quotes.asking import Answer, Asking, Change, JobQuestion
from wholekit.views.choices import plain_fields
from wholekit.views.kits import KitsAnswer, PriceAnswer, price_answer
from wholekit.wording.answers import answer_text
from wholekit.wording.questions import question_text


@dataclass(frozen=True, slots=True)
class ChangeAnswer:
    """What an answer comes to for some openings alike. price_difference: of one opening.

    mount, spring_size: the new ones, None where they stay; settles: codes of stops that go;
    together_with: answers to other fields, by field, that it takes to come about. over_limit: a
    force limit that binds then is passed by calculation; no price counts of it, nor of a stop.

    alternate: theirs, empty for the base bid; firm, firm_then: whether they are firm as quoted, and
    with the answer. series: the new one, None where it stays; other_maker: whether the closer is of
    another supplier; doubts: what then speaks against the door.
    """

    openings: tuple[str, ...]
    count: int
    price_difference: PriceAnswer
    stops: tuple[str, ...]
    settles: tuple[str, ...]
    mount: str | None
    spring_size: int | None
    other_items: bool
    other_setting: bool
    together_with: dict[str, str]
    over_limit: bool
    alternate: str
    firm: bool
    firm_then: bool
    series: str | None
    other_maker: bool
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AnswerAnswer:
    """An answer, what it moves the firm price of the base bid's kits by, and what it comes to one
    by one. effect: the same in a line."""

    answer: str
    price_difference: PriceAnswer
    stops: tuple[str, ...]
    settles: tuple[str, ...]
    changes: tuple[ChangeAnswer, ...]
    effect: str


@dataclass(frozen=True, slots=True)
class QuotedAnswer:
    """What the kits of some openings stand on meanwhile; None: nothing stands in."""

    quoted_as: str | None
    openings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class QuestionAnswer:
    """A question: the field, its openings, and what is quoted meanwhile (None: nothing stands in,
    or not the same at all of them). quoted: what stands in, and where.

    count: openings, those alike counted each; unclear: written, but it could mean several things.
    """

    field: str
    text: str
    openings: tuple[str, ...]
    count: int
    quoted_as: str | None
    unclear: bool
    answers: tuple[AnswerAnswer, ...]
    quoted: tuple[QuotedAnswer, ...]


@dataclass(frozen=True, slots=True)
class NotAskedAnswer:
    """A field that is open and decides nothing."""

    field: str
    quoted_as: str | None
    openings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AskingAnswer:
    """Questions, the most telling first, and what is assumed unasked. unmended: firm openings that
    by calculation may not latch or pass a limit, whatever is answered."""

    questions: tuple[QuestionAnswer, ...]
    not_asked: tuple[NotAskedAnswer, ...]
    unmended: tuple[str, ...]


def asking_answer(asking: Asking) -> AskingAnswer:
    """What is asked of a job, as data."""
    return AskingAnswer(
        tuple(_question(question, asking) for question in asking.questions),
        tuple(
            NotAskedAnswer(each.field, each.quoted_as or None, each.marks)
            for each in asking.assumed
        ),
        asking.unmended,
    )


def with_questions(answer: KitsAnswer | dict[str, Any], asking: Asking) -> dict[str, Any]:
    """The answer of a call, with what is asked of its openings."""
    asked = asking_answer(asking)
    plain = answer if isinstance(answer, dict) else plain_fields(answer)
    return {
        **plain,
        "questions": asked.questions,
        "not_asked": asked.not_asked,
        "unmended": asked.unmended,
    }


def _question(question: JobQuestion, asking: Asking) -> QuestionAnswer:
    return QuestionAnswer(
        question.field,
        question_text(question, asking),
        question.marks,
        question.count,
        (question.quoted[0].text or None) if len(question.quoted) == 1 else None,
        question.unclear,
        tuple(_answer(answer, question, asking) for answer in question.answers),
        tuple(QuotedAnswer(way.text or None, way.marks) for way in question.quoted),
    )


def _answer(answer: Answer, question: JobQuestion, asking: Asking) -> AnswerAnswer:
    return AnswerAnswer(
        answer.text,
        price_answer(answer.difference),
        answer.stops,
        answer.settled,
        tuple(_change(change) for change in answer.changes if not change.nothing),
        answer_text(question, answer.text, answer.changes, asking),
    )


def _change(change: Change) -> ChangeAnswer:
    return ChangeAnswer(
        change.marks,
        change.count,
        price_answer(change.difference),
        change.stops,
        change.settled,
        None if change.mount is None else change.mount.value,
        change.size,
        change.items,
        change.setting,
        dict(change.given),
        change.over,
        change.alternate,
        change.firm,
        change.firm_then,
        change.series[0] if change.series else None,
        change.maker,
        tuple(doubt.value for doubt in change.doubts),
    )
