"""A question as it is printed: its openings in groups named once, and what comes of answers."""

from typing import NamedTuple

from wholekit.domain.quotes.asking import Asking, JobQuestion
from wholekit.wording.answers import brief_answers, refused_answers
from wholekit.wording.mark_groups import MarkGroups
from wholekit.wording.questions import question_text


class AskedOnPaper(NamedTuple):
    """text: the question with what is quoted meanwhile; groups: its openings, the marks of each
    group as ranges and the others' last (none: all of the job); answers: their boxes and what comes
    of them; refusals: of each answer at which openings it cannot be had so, or empty."""

    text: str
    groups: tuple[str, ...]
    answers: tuple[tuple[str, str], ...]
    refusals: tuple[str, ...]


def asked_on_paper(question: JobQuestion, among: Asking) -> AskedOnPaper:
    """The question for paper, in the language in use."""
    groups = MarkGroups(question.marks, among)
    # All that names openings is said before any of it is named: groups part where any of it does.
    text = question_text(question, among, groups.held)
    answers = brief_answers(question, among, groups.held)
    refusals = refused_answers(question, among, groups.held)
    return AskedOnPaper(
        groups.named(text),
        groups.groups(),
        tuple((groups.named(boxes), groups.named(effect)) for boxes, effect in answers),
        tuple(map(groups.named, refusals)),
    )
