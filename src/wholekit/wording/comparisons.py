"""Two revisions held against each other, in words and as data; no cost appears."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.openings import OpeningType
from wholekit.domain.quantities import Length, Money
from wholekit.domain.quotes.compare import (
    AlternateChange,
    Comparison,
    ExtraChange,
    FieldChange,
    LineChange,
    OpeningChange,
)
from wholekit.domain.quotes.offer import PriceBook
from wholekit.wording.offers import payment_text
from wholekit.wording.openings import size_text
from wholekit.wording.rates import percent
from wholekit.wording.speech import tr, trn
from wholekit.wording.words import ROLES, field_name, value_text

TOTALS = {
    "hardware": "hardware",
    "extras": "extra lines",
    "freight": "freight",
    "net": "net",
    "tax": "tax",
    "gross": "total",
}
# What fields are called that are not those of a schedule.
NAMES = {
    "mount-supplied": "mount supplied",
    "size-set": "spring size set",
    "finish-supplied": "finish supplied",
    "lacking": "pieces lacking",
    "note": "note",
    "room": "room",
    "price": "price",
    "valid-until": "valid until",
    "customer": "customer",
    "payment": "payment",
    "ship-to": "ship to",
    "site": "site",
    "discount": "discount",
    "certificate": "exemption certificate",
    "title": "title",
    "in-place-of": "in place of",
    "size": "size",
    "rule-book": "rule book",
}
AGREED_FOR_ALL = "agreed for the opening as a whole"
AS_IT_STANDS = "{job} as it stands"
KINDS = {
    "added": "added",
    "removed": "removed",
    "changed": "changed",
    # Still of the job, and no part of this quote.
    "left-out": "left out for now",
    "taken-in": "no longer left out",
}
TITLE = "{second} compared with {first}"
ONE_OPENING = "one opening"
SAME = "Nothing that is quoted changed."
UNCHANGED = "{openings} unchanged."


@dataclass(frozen=True, slots=True)
class CountedAt:
    """So many [count] at a price each [Money]; None for text without a price."""

    count: int
    each: Money | None


Value = str | date | Fraction | int | Money | CountedAt | None


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One thing before and after; None where it was or is not there. moved: money, if any."""

    about: str
    before: Value
    after: Value
    moved: Money | None = None


@dataclass(frozen=True, slots=True)
class OpeningText:
    """An opening that changed. kind: as the change's, in words; what: its kit.

    total: all of its mark; rows: of one opening.
    """

    mark: str
    alternate: str
    kind: str
    what: str
    total: ChangeRow
    rows: tuple[ChangeRow, ...]


@dataclass(frozen=True, slots=True)
class ComparisonText:
    """A comparison as a customer reads it; basis is for the house.

    repriced: openings of which the price alone changed; items: those at another price each.
    """

    title: str
    openings: tuple[OpeningText, ...]
    repriced: tuple[ChangeRow, ...]
    items: tuple[ChangeRow, ...]
    extras: tuple[ChangeRow, ...]
    terms: tuple[ChangeRow, ...]
    money: tuple[ChangeRow, ...]
    alternates: tuple[ChangeRow, ...]
    basis: tuple[ChangeRow, ...]
    closing: str
    draft: bool


def say_comparison(found: Comparison) -> ComparisonText:
    """The comparison in words, in the language in use, without a word of cost."""
    second = tr(AS_IT_STANDS).format(job=found.second) if found.draft else found.second
    until = () if found.valid_until is None else (found.valid_until,)
    unchanged = tr(UNCHANGED).format(openings=_openings(found.unchanged))
    return ComparisonText(
        tr(TITLE).format(first=found.first, second=second),
        tuple(_opening(opening) for opening in found.openings if not opening.price_alone),
        tuple(
            _all_of_mark(opening, _where(opening))
            for opening in found.openings
            if opening.price_alone
        ),
        tuple(_items(found.openings)),
        tuple(_extra(extra) for extra in found.extras),
        tuple(_field(term) for term in (*found.terms, *until)),
        tuple(
            ChangeRow(tr(TOTALS[total.what]), total.before, total.after, total.moved)
            for total in found.totals
            # What was and is nothing need not be told; the total always is.
            if total.before.minor or total.after.minor or total.what == "gross"
        ),
        tuple(row for alternate in found.alternates for row in _alternate(alternate)),
        tuple(_field(change) for change in found.basis),
        tr(SAME) if found.same else unchanged if found.unchanged else "",
        found.draft,
    )


def row_texts(row: ChangeRow) -> tuple[str, str, str, str]:
    """What it is about, before, now and the money it moves, in plain text."""
    moved_text = "" if row.moved is None else moved(row.moved)
    return row.about, _value(row.before), _value(row.after), moved_text


def moved(amount: Money) -> str:
    """An amount with its sign, nothing where nothing moved.

    >>> moved(Money(1250, "USD")), moved(Money(-300, "USD"))
    ('+12.50', '-3.00')
    """
    sign = "+" if amount.minor > 0 else ""
    return f"{sign}{amount.decimal_text}" if amount.minor else ""


def _opening(opening: OpeningChange) -> OpeningText:
    size = "" if opening.spring_size is None else tr("size {size}").format(size=opening.spring_size)
    said, mount = size_text(OpeningType(*opening.size)), value_text("mount", opening.mount)
    finish = opening.finish and tr("finish {finish}").format(finish=opening.finish)
    what = ", ".join(f"{part}" for part in (said, mount, size, finish) if part)
    rows = [_field(change) for change in opening.fields]
    if opening.quantity_after:
        rows += [_line(change) for change in opening.lines if not change.repriced]
    if (
        max(opening.quantity_before, opening.quantity_after) > 1
        and opening.each_before != opening.each_after
    ):
        rows.append(_priced(tr(ONE_OPENING), opening.each_before, opening.each_after))
    return OpeningText(
        opening.mark,
        opening.alternate,
        tr(KINDS[opening.kind]),
        what,
        _all_of_mark(opening, _how_many(opening)),
        tuple(rows),
    )


def _all_of_mark(opening: OpeningChange, about: str) -> ChangeRow:
    return ChangeRow(about, opening.price_before, opening.price_after, opening.moved)


def _how_many(opening: OpeningChange) -> str:
    counts = [count for count in (opening.quantity_before, opening.quantity_after) if count]
    said = " → ".join(dict.fromkeys(str(count) for count in counts))
    return trn("{count} opening", "{count} openings", counts[-1]).format(count=said)


def _openings(count: int) -> str:
    return trn("{count} opening", "{count} openings", count).format(count=count)


def _where(opening: OpeningChange) -> str:
    mark = _named(opening.mark, opening.alternate)
    return mark if opening.quantity_after == 1 else f"{mark}, {_how_many(opening)}"


def _items(openings: Sequence[OpeningChange]) -> Iterator[ChangeRow]:
    """Items at another price each; one that moved otherwise elsewhere is told with its marks."""
    found: dict[tuple[str, str], dict[tuple[Money | None, Money | None], list[str]]] = {}
    for opening in openings:
        for line in opening.lines:
            if line.repriced:
                prices = found.setdefault((line.description, line.sku), {})
                prices.setdefault((line.unit_before, line.unit_after), []).append(opening.mark)
    for (description, sku), prices in sorted(found.items()):
        for (before, after), marks in prices.items():
            about = f"{description} ({sku})"
            if len(prices) > 1:
                listed_marks = ", ".join(dict.fromkeys(marks))
                about = tr("{item}, at {marks}").format(item=about, marks=listed_marks)
            yield _priced(about, before, after)


def _named(name: str, alternate: str) -> str:
    """A mark or a line, and of which alternate."""
    if not alternate:
        return name
    return tr("{mark} (alternate {code})").format(mark=name, code=alternate)


def _field(change: FieldChange) -> ChangeRow:
    name = tr(NAMES[change.field]) if change.field in NAMES else field_name(change.field)
    if change.field == "price-book":
        name = f"price book {change.of}"
    about = change.of if change.field == "tax" else name
    return ChangeRow(
        about, _stated(change.field, change.before), _stated(change.field, change.after)
    )


def _stated(field: str, value: object) -> Value:
    """What is stated of a field, as it is read in the language in use."""
    match value:
        case None | Fraction() | date():
            return value
        case (Length() as width, Length() as height):
            return size_text(OpeningType(width, height))
        case tuple():
            return ", ".join(f"{piece.quantity} × {tr(ROLES[piece.role])}" for piece in value)
        case PriceBook():
            return f"revision {value.revision} of {value.edition}"
    if field == "payment" and isinstance(value, int):
        return payment_text(value)
    if field == "price":
        return tr(AGREED_FOR_ALL)
    if field in ("mount-supplied", "finish-supplied", "size-set"):
        return value_text(field.partition("-")[0], value)
    # A note, a site or a title is data: only the name of its field is a word.
    return f"{value}" if field in NAMES else value_text(field, value)


def _line(line: LineChange) -> ChangeRow:
    before = CountedAt(line.before, line.unit_before) if line.before else None
    after = CountedAt(line.after, line.unit_after) if line.after else None
    amounts = [
        each.times(count)
        for each, count in ((line.unit_before, line.before), (line.unit_after, line.after))
        if each is not None and count
    ]
    change = None
    if before and after:
        change = amounts[1] - amounts[0]
    elif amounts:
        change = amounts[0] if after else Money.zero(amounts[0].currency) - amounts[0]
    return ChangeRow(f"{line.description} ({line.sku})", before, after, change)


def _priced(about: str, before: Money | None, after: Money | None) -> ChangeRow:
    change = after - before if before is not None and after is not None else None
    return ChangeRow(about, before, after, change)


def _extra(change: ExtraChange) -> ChangeRow:
    about = _named(change.description, change.alternate)
    before = (
        None if change.before is None else CountedAt(change.before.quantity, change.before.unit)
    )
    after = None if change.after is None else CountedAt(change.after.quantity, change.after.unit)
    priced = any(side is not None and side.each is not None for side in (before, after))
    return ChangeRow(about, before, after, change.moved if priced else None)


def _alternate(alternate: AlternateChange) -> Iterator[ChangeRow]:
    name = f"{alternate.code} {alternate.title}".strip()
    yield ChangeRow(name, alternate.before, alternate.after, alternate.moved)
    for change in alternate.fields:
        row = _field(change)
        yield ChangeRow(f"{alternate.code}, {row.about}", row.before, row.after)


def _value(value: Value) -> str:
    match value:
        case None:
            return ""
        case Money():
            return value.decimal_text
        case CountedAt():
            each = "" if value.each is None else f" × {value.each.decimal_text}"
            return f"{value.count}{each}"
        case Fraction():
            return percent(value)
        case date():
            return value.isoformat()
    return str(value)
