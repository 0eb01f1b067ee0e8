"""Choices side by side as text, for a schedule and for a job."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from wholekit.cli.console import table, width, wrapped
from wholekit.domain.kits import Shelf
from wholekit.domain.kits.choices import AS_QUOTED, Wish
from wholekit.domain.openings import Opening
from wholekit.domain.quotes.choices import Sum
from wholekit.domain.rules import RuleBook
from wholekit.services.choices import (
    beside_mixed,
    schedule_choices,
    schedule_sums,
    throughout,
    wishes_throughout,
)
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.workup import Workup
from wholekit.views.choices import (
    ChoiceAnswer,
    ChoicesAnswer,
    NotOfferedAnswer,
    SumAnswer,
    When,
    choices_answer,
    sum_answer,
    suppliers_of,
    with_choices,
    with_sums,
)
from wholekit.views.kits import KitsAnswer, PriceAnswer
from wholekit.wording.words import listed, plural


@dataclass(slots=True)
class Beside:
    """What a schedule's call asks to see beside its kits: choices, or the mixed price."""

    shelf: Shelf
    rules: RuleBook
    day: date
    asker: Asker
    choices: bool
    _wishes: tuple[Wish, ...] = ()
    _openings: tuple[Opening, ...] = ()

    def throughout(
        self, openings: Sequence[Opening], supplier: str, finish: str
    ) -> tuple[tuple[Opening, ...], Shelf]:
        """The openings and the shelf in one supplier's goods or one finish. Raises CallError."""
        self._openings = tuple(openings)
        self._wishes = wishes_throughout(supplier, finish, self.shelf, self.rules)
        return throughout(openings, self._wishes, self.shelf)

    def answer(self, kits: KitsAnswer, workup: Workup, shelf: Shelf) -> KitsAnswer | dict[str, Any]:
        """The call's answer, with what was asked for beside it."""
        suppliers = suppliers_of(self.shelf.catalogs)
        sums = [sum_answer(found, suppliers) for found in self._sums(workup, shelf)]
        if self.choices:
            found = schedule_choices(workup, shelf, self.rules)
            answers = [
                choices_answer(choices, suppliers, self.rules, when_of(workup)) for choices in found
            ]
            return with_choices(kits, answers, sums)
        return with_sums(kits, sums) if sums else kits

    def text(self, workup: Workup, shelf: Shelf) -> Iterator[str]:
        """The same as text, after the kits."""
        suppliers = suppliers_of(self.shelf.catalogs)
        if self.choices:
            for choices in schedule_choices(workup, shelf, self.rules):
                yield from choices_text(
                    choices_answer(choices, suppliers, self.rules, when_of(workup))
                )
        sums = [sum_answer(found, suppliers) for found in self._sums(workup, shelf)]
        if sums:
            yield from sums_text(sums)

    def _sums(self, workup: Workup, shelf: Shelf) -> tuple[Sum, ...]:
        if self._wishes:
            mixed = work_up_schedule(self._openings, self.shelf, self.rules, self.day, self.asker)
            return beside_mixed(mixed, workup, self._wishes)
        return schedule_sums(workup, shelf, self.rules) if self.choices else ()


def when_of(workup: Workup) -> When:
    """The days of a work-up's calendar, from its own day on."""
    return lambda days: workup.available.calendar.after(workup.place.day, days)


def choices_text(answer: ChoicesAnswer) -> Iterator[str]:
    """One opening's choices: a row each, then what is not offered."""
    where = f" [{answer.alternate}]" if answer.alternate else ""
    yield "=" * width()
    yield f"{answer.mark}{where}   {plural(answer.quantity, 'opening')}, price of one"
    rows = [
        (
            f"{choice.word} *" if choice.chosen and answer.chosen != AS_QUOTED else choice.word,
            choice.price.amount,
            "" if choice.word == answer.choices[0].word else signed(choice.difference),
            _stock(choice),
            "; ".join(_differs(choice)),
        )
        for choice in answer.choices
    ]
    heads = ("choice", "each", "beside", "stock", "what differs")
    yield from table(rows, heads, frozenset({1, 2}), 4)
    if answer.chosen != AS_QUOTED:
        yield f"* chosen, as {answer.chosen}"
    for because, words in _together(answer.not_offered).items():
        yield from wrapped(f"{listed(words)}: {because}", "not offered  ")


def sums_text(answers: Sequence[SumAnswer]) -> Iterator[str]:
    """The whole in one maker's goods or one finish, beside as it is quoted."""
    rows = [
        (
            answer.word,
            answer.price.amount,
            "" if number == 0 else signed(answer.difference),
            "; ".join(filter(None, (answer.what, _left(answer)))),
        )
        for number, answer in enumerate(answers)
    ]
    yield "=" * width()
    yield f"all openings, {answers[0].price.currency}"
    yield from table(rows, ("choice", "price", "beside", "what"), frozenset({1, 2}), 3)


def signed(difference: PriceAnswer) -> str:
    """A difference with its sign.

    >>> signed(PriceAnswer("14.80", "USD")), signed(PriceAnswer("-5.40", "USD"))
    ('+14.80', '−5.40')
    """
    amount = difference.amount
    # Nothing, in however many digits the currency has.
    if not amount.strip("-0."):
        return "same"
    return f"−{amount[1:]}" if amount.startswith("-") else f"+{amount}"


def _differs(choice: ChoiceAnswer) -> Iterator[str]:
    if len(choice.words) > 1:
        yield f"also {', '.join(choice.words[1:])}"
    yield from choice.differs
    for warned in choice.warns:
        yield f"MIND: {warned.rstrip('.')}"


def _stock(choice: ChoiceAnswer) -> str:
    if choice.in_stock:
        return "in stock"
    return "to order" if choice.ready is None else f"by {choice.ready}"


def _left(answer: SumAnswer) -> str:
    parts = []
    if answer.as_quoted:
        parts.append(f"not to be had for {listed(answer.as_quoted)}: there as quoted")
    if answer.not_firm:
        parts.append(f"stopped or not whole: {listed(answer.not_firm)}")
    return "; ".join(parts)


def _together(refused: Sequence[NotOfferedAnswer]) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for answer in refused:
        found.setdefault(answer.because, []).append(answer.word)
    return found
