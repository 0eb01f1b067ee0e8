"""Two revisions held against each other, in words and as data; no cost appears."""

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass

from wholekit.domain.quantities import Money
from wholekit.domain.quotes.compare import (
    Comparison,
    ExtraChange,
    FieldChange,
    LineChange,
    MoneyChange,
    OpeningChange,
)
from wholekit.wording.answers import price_answer
from wholekit.wording.words import plural

TOTALS = {
    "hardware": "hardware",
    "extras": "extra lines",
    "freight": "freight",
    "net": "net",
    "tax": "tax",
    "gross": "total with tax",
}


@dataclass(frozen=True, slots=True)
class ChangeText:
    """One thing that changed: about what, in words, and the lines below it."""

    about: str
    text: str
    below: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ComparisonText:
    """A comparison as a customer reads it."""

    title: str
    openings: tuple[ChangeText, ...]
    extras: tuple[ChangeText, ...]
    terms: tuple[ChangeText, ...]
    money: tuple[ChangeText, ...]
    closing: str


def say_comparison(found: Comparison) -> ComparisonText:
    """The comparison in words, without a word of cost."""
    return ComparisonText(
        f"{found.second} compared with {found.first}",
        tuple(_opening(one) for one in found.openings),
        tuple(_extra(one) for one in found.extras),
        tuple(ChangeText(one.field, _field(one)) for one in found.terms),
        (
            *(_money(TOTALS[one.what], one) for one in found.totals if _shown(one)),
            *(_money(f"alternate {one.what}", one) for one in found.alternates if _shown(one)),
        ),
        "Nothing that is quoted changed."
        if found.same
        else f"{plural(found.unchanged, 'opening')} unchanged.",
    )


def comparison_lines(said: ComparisonText) -> Iterator[tuple[int, str]]:
    """The comparison line by line, each with its depth [0 = heading]."""
    yield 0, said.title
    sections = (
        ("Openings", said.openings),
        ("Extra lines", said.extras),
        ("Terms", said.terms),
        ("Money", said.money),
    )
    for title, changes in sections:
        if changes:
            yield 0, title
        for change in changes:
            yield 1, f"{change.about}: {change.text}"
            for below in change.below:
                yield 2, below
    yield 0, said.closing


def with_amounts(value: object) -> object:
    """Dataclasses as named values, with every amount as `--json` writes amounts elsewhere."""
    if isinstance(value, Money):
        return price_answer(value)
    if isinstance(value, tuple):
        return [with_amounts(one) for one in value]
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: with_amounts(getattr(value, field.name)) for field in fields(value)}
    return value


def moved(amount: Money) -> str:
    """An amount with its sign: `+12.50 USD`, `-3.00 USD`.

    >>> moved(Money(1250, "USD")), moved(Money(-300, "USD"))
    ('+12.50 USD', '-3.00 USD')
    """
    sign = "+" if amount.minor > 0 else ""
    return f"{sign}{amount.decimal_text} {amount.currency}"


def _opening(one: OpeningChange) -> ChangeText:
    about = f"{one.mark} (alternate {one.alternate})" if one.alternate else one.mark
    price = f"{moved(one.moved)}"
    if one.kind == "added":
        return ChangeText(about, f"added, {plural(one.quantity_after, 'opening')}, {price}")
    if one.kind == "removed":
        return ChangeText(about, f"removed, {plural(one.quantity_before, 'opening')}, {price}")
    below = []
    if one.quantity_before != one.quantity_after:
        below.append(f"quantity {one.quantity_before} → {one.quantity_after}")
    below += [f"{change.field}: {_field(change)}" for change in one.fields]
    below += [_line(change) for change in one.lines]
    return ChangeText(about, f"changed, {price}", tuple(below))


def _field(one: FieldChange) -> str:
    if one.before is None:
        return f"now {one.after}"
    if one.after is None:
        return f"{one.before} no longer stated"
    return f"{one.before} → {one.after}"


def _line(one: LineChange) -> str:
    name = one.sku or one.description
    if not one.before or one.unit_before is None:
        return f"added: {one.after} × {name}"
    if not one.after or one.unit_after is None:
        return f"removed: {one.before} × {name}"
    parts = []
    if one.before != one.after:
        parts.append(f"{one.before} → {one.after}")
    if one.unit_before != one.unit_after:
        parts.append(f"{one.unit_before.decimal_text} → {one.unit_after.decimal_text} each")
    return f"{name}: {', '.join(parts)}"


def _extra(one: ExtraChange) -> ChangeText:
    what = "added" if one.before is None else "removed" if one.after is None else "changed"
    about = f"{one.description} (alternate {one.alternate})" if one.alternate else one.description
    return ChangeText(about, f"{what}, {moved(one.moved)}")


def _money(name: str, one: MoneyChange) -> ChangeText:
    return ChangeText(
        name, f"{one.before.decimal_text} → {one.after.decimal_text}, {moved(one.moved)}"
    )


def _shown(one: MoneyChange) -> bool:
    return bool(one.moved.minor) or one.what in ("net", "gross")
