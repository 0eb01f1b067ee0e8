"""Choices side by side as data. No cost appears in any of it."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date
from typing import Any, TypeAlias

from wholekit.domain.catalog import Catalog
from wholekit.domain.quantities import Length
from wholekit.domain.quotes.choices import Choice, Choices, Refused, Sum
from wholekit.domain.rules import RuleBook
from wholekit.services.choices import Chosen
from wholekit.views.kits import KitsAnswer, PriceAnswer, price_answer
from wholekit.wording.choices import say_difference, say_refused, say_what
from wholekit.wording.findings import say_finding
from wholekit.wording.units import in_units_of

# So many working days from the day asked: the day, None past the calendar's end.
When: TypeAlias = Callable[[int], date | None]


@dataclass(frozen=True, slots=True)
class ChoiceLineAnswer:
    """One item of a choice's kit [count for one opening]."""

    sku: str
    description: str
    quantity: int
    finish: str | None


@dataclass(frozen=True, slots=True)
class ChoiceAnswer:
    """One kit an opening may have; prices are of one opening.

    words: those it may be chosen by, what the first means in `what`. difference: beside the kit as
    quoted. lead_days: the longest of what is short [d]; ready: the day on which all of it can be
    here (ISO), None where nobody can say.
    """

    word: str
    words: tuple[str, ...]
    what: str
    price: PriceAnswer
    difference: PriceAnswer
    in_stock: bool
    lead_days: int
    ready: str | None
    chosen: bool
    differs: tuple[str, ...]
    warns: tuple[str, ...]
    mount: str
    spring_size: int | None
    finish: str
    lines: tuple[ChoiceLineAnswer, ...]


@dataclass(frozen=True, slots=True)
class NotOfferedAnswer:
    """A word that comes to no kit to be offered, and why: roles it lacks, codes of its stops."""

    word: str
    what: str
    because: str
    lacks: tuple[str, ...]
    stops: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChoicesAnswer:
    """An opening's choices, the kit as quoted first. chosen: the word of the one that is set."""

    mark: str
    alternate: str
    quantity: int
    chosen: str
    choices: tuple[ChoiceAnswer, ...]
    not_offered: tuple[NotOfferedAnswer, ...]


@dataclass(frozen=True, slots=True)
class SumAnswer:
    """All openings in one maker's goods or one finish; as_quoted: the marks it cannot be had for,
    counted as they are quoted; not_firm: marks stopped or not whole."""

    word: str
    what: str
    price: PriceAnswer
    difference: PriceAnswer
    as_quoted: tuple[str, ...]
    not_firm: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChosenAnswer:
    """What was set on an opening: the word, its price each, and beside the kit as quoted.

    left: why it stays as it was.
    """

    mark: str
    alternate: str
    word: str | None
    price: PriceAnswer | None
    difference: PriceAnswer | None
    version: int
    left: str


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()


def suppliers_of(catalogs: Sequence[Catalog]) -> dict[str, str]:
    """Suppliers' names by catalogue id."""
    return {catalog.id: catalog.supplier for catalog in catalogs}


def choices_answer(
    choices: Choices, suppliers: Mapping[str, str], rules: RuleBook, when: When
) -> ChoicesAnswer:
    """An opening's choices as data."""
    return ChoicesAnswer(
        choices.entry.mark,
        choices.entry.alternate,
        choices.entry.opening.quantity,
        choices.chosen,
        tuple(
            _choice(choice, choices, suppliers, rules, when)
            for choice in (choices.quoted, *choices.offered)
        ),
        tuple(
            _refused(refused, choices.quoted.opening.kit.type.width, suppliers, rules)
            for refused in choices.refused
        ),
    )


def sum_answer(found: Sum, suppliers: Mapping[str, str]) -> SumAnswer:
    """A sum as data."""
    return SumAnswer(
        found.word,
        say_what(found.word, suppliers),
        price_answer(found.price),
        price_answer(found.difference),
        found.as_quoted,
        found.not_firm,
    )


def chosen_answer(chosen: Chosen, rules: RuleBook) -> ChosenAnswer:
    """What was set, as data."""
    entry, choice = chosen.entry, chosen.choice
    with in_units_of(entry.opening.type.width):
        left = "" if chosen.left is None else say_refused(chosen.left, rules)
    return ChosenAnswer(
        entry.mark,
        entry.alternate,
        None if choice is None else choice.words[0],
        None if choice is None else price_answer(choice.opening.worked.price),
        None if choice is None else price_answer(choice.difference),
        entry.version,
        left,
    )


def with_choices(
    kits: KitsAnswer, choices: Sequence[ChoicesAnswer], sums: Sequence[SumAnswer]
) -> dict[str, Any]:
    """A schedule's answer, each opening with its choices, and all of it in one maker's goods."""
    answer = plain_fields(kits)
    answer["openings"] = [
        {**plain_fields(opening), "choices": beside.choices, "not_offered": beside.not_offered}
        for opening, beside in zip(kits.openings, choices, strict=True)
    ]
    return {**answer, "sums": sums}


def with_sums(kits: KitsAnswer, sums: Sequence[SumAnswer]) -> dict[str, Any]:
    """A schedule's answer in one maker's goods or one finish, with the mixed price beside it."""
    return {**plain_fields(kits), "sums": sums}


def _choice(
    choice: Choice, choices: Choices, suppliers: Mapping[str, str], rules: RuleBook, when: When
) -> ChoiceAnswer:
    kit, quoted = choice.opening.kit, choices.quoted.opening.kit
    return ChoiceAnswer(
        choice.words[0],
        choice.words,
        say_what(choice.words[0], suppliers),
        price_answer(choice.opening.worked.price),
        price_answer(choice.difference),
        choice.stocked,
        choice.lead_days,
        None if choice.waits is None else _iso(when(choice.waits)),
        choices.chosen in choice.wishes,
        () if choice is choices.quoted else say_difference(quoted, kit),
        _warned(choice, rules),
        kit.mount.value,
        kit.spring_size,
        kit.finish,
        tuple(
            ChoiceLineAnswer(line.item.sku, line.item.description, line.quantity, line.item.finish)
            for line in kit.lines
        ),
    )


def _warned(choice: Choice, rules: RuleBook) -> tuple[str, ...]:
    with in_units_of(choice.opening.kit.type.width):
        return tuple(say_finding(finding, rules).text for finding in choice.warned)


def _refused(
    refused: Refused, size: Length, suppliers: Mapping[str, str], rules: RuleBook
) -> NotOfferedAnswer:
    with in_units_of(size):
        why = say_refused(refused, rules)
    return NotOfferedAnswer(
        refused.word,
        say_what(refused.word, suppliers),
        why,
        tuple(role.value for role in refused.lacks),
        tuple(stop.code for stop in refused.stops),
    )


def plain_fields(answer: Any) -> dict[str, Any]:  # noqa: ANN401  # any answer dataclass
    """The fields of an answer, as they stand."""
    return {field.name: getattr(answer, field.name) for field in fields(answer)}
