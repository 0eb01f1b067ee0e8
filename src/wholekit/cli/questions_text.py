"""What is asked of a job, as text on a screen."""

from collections.abc import Iterator

from wholekit.cli.console import width, wrapped
from wholekit.domain.quotes.asking import Asking
from wholekit.wording.answers import answers_text
from wholekit.wording.questions import assumed_text, marks_text, question_text


def asking_text(asking: Asking) -> Iterator[str]:
    """What is asked as text: each question with its openings, and what each answer comes to."""
    for number, question in enumerate(asking.questions, start=1):
        where = marks_text(question.marks, asking.every, asking.beyond) or "all openings"
        yield from wrapped(f"{question_text(question, asking)}  ({where})", f"{number:>2}  ")
        yield f"      {question.field}"
        for values, effect in answers_text(question, asking):
            yield from wrapped(effect, f"      {values}: ", " " * 10)
    if not asking.questions:
        yield "No open question changes a kit."
    if asking.assumed:
        yield "=" * width()
        yield "not asked, as no answer changes a kit; assumed:"
        for assumed in asking.assumed:
            yield from wrapped(assumed_text(assumed, asking), "    ")
