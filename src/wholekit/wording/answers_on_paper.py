"""A question as it is printed: its openings by their groups, and what comes of answers."""

from typing import NamedTuple

from wholekit.domain.quotes.asking import Asking, JobQuestion
from wholekit.wording.answers import brief_answers, refused_answers
from wholekit.wording.mark_groups import MarkGroups
from wholekit.wording.questions import question_text, ranges_text


class AskedOnPaper(NamedTuple):
    """text: the question with what is quoted meanwhile; marks: its openings as ranges (none: all of
    the job); answers: their boxes and what comes of them; refusals: of each answer at which
    openings it cannot be had so, or empty."""

    text: str
    marks: tuple[str, ...]
    answers: tuple[tuple[str, str], ...]
    refusals: tuple[str, ...]


def asked_on_paper(question: JobQuestion, among: Asking, groups: MarkGroups) -> AskedOnPaper:
    """The question for paper, in the language in use."""
    named = groups.of(question.marks)
    every = {*question.marks} >= {*among.every}
    marks = () if every else (ranges_text(question.marks, among.every, among.beyond),)
    return AskedOnPaper(
        question_text(question, among, named),
        marks,
        brief_answers(question, among, named),
        refused_answers(question, among, named),
    )
