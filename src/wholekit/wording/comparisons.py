"""Two revisions held against each other, in words and as data; no cost appears."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.openings import OpeningType, WhyUnasked
from wholekit.domain.quantities import Length, Money
from wholekit.domain.quotes.changes import (
    AlternateChange,
    Comparison,
    DiscountChange,
    ExtraChange,
    FieldChange,
    LineChange,
    OpeningChange,
    alike_changes,
)
from wholekit.domain.quotes.parties import PriceBook
from wholekit.wording.offers import payment_text
from wholekit.wording.openings import size_text
from wholekit.wording.questions import ranges_text
from wholekit.wording.rates import percent
from wholekit.wording.speech import tr, trn
from wholekit.wording.unasked import unasked_reason
from wholekit.wording.words import ROLES, field_name, value_text

TOTALS = {
    "before-discount": "Hardware before discount",
    "discount": "Discount",
    "hardware": "Hardware",
    "extras": "Extra lines",
    "freight": "Freight",
    "net": "Net",
    "tax": "Tax",
    "gross": "Total",
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
ONE_OPENING = "One opening"
QUOTED = "in the quote"
SAME = "Nothing that is quoted changed."
UNCHANGED = "{openings} unchanged."
UNCHANGED_BUT = "{openings} unchanged but for the discount."
UNCHANGED_APART = "Unchanged: {openings}."
UNCHANGED_APART_BUT = "Unchanged but for the discount: {openings}."
NUMBERED_ANEW = "Questions are numbered anew: answer by the numbers of the new revision."
BEFORE_DISCOUNT = (
    "The discount changed. So that like stands beside like, openings and items are at their prices"
    " before the discount; what it takes off is a line of its own."
)


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
    """Openings that changed alike. places: their marks as ranges; kind: as the change's, in words;
    what: their kit.

    total: all of them; rows: of one opening.
    """

    places: str
    marks: tuple[str, ...]
    alternate: str
    kind: str
    what: str
    total: ChangeRow
    rows: tuple[ChangeRow, ...]


@dataclass(frozen=True, slots=True)
class ComparisonText:
    """A comparison as a customer reads it; basis is for the house.

    discount: what another discount over the whole job moved, in one row; before_discount: that
    openings and items are told before it, or empty; repriced: openings of which the price alone
    changed; items: those at another price each; unasked: doors that were or are not asked for,
    those of one change together.
    """

    title: str
    openings: tuple[OpeningText, ...]
    discount: tuple[ChangeRow, ...]
    repriced: tuple[ChangeRow, ...]
    items: tuple[ChangeRow, ...]
    extras: tuple[ChangeRow, ...]
    terms: tuple[ChangeRow, ...]
    money: tuple[ChangeRow, ...]
    alternates: tuple[ChangeRow, ...]
    basis: tuple[ChangeRow, ...]
    closing: str
    draft: bool
    unasked: tuple[ChangeRow, ...] = ()
    before_discount: str = ""


def say_comparison(found: Comparison) -> ComparisonText:
    """The comparison in words, in the language in use, without a word of cost."""
    second = tr(AS_IT_STANDS).format(job=found.second) if found.draft else found.second
    until = () if found.valid_until is None else (found.valid_until,)
    changed = [opening for opening in found.openings if not opening.price_alone]
    discounted_totals = any(
        total.what == "discount" and (total.before.minor or total.after.minor)
        for total in found.totals
    )
    return ComparisonText(
        tr(TITLE).format(first=found.first, second=second),
        tuple(_alike(alike, found.marks) for alike in alike_changes(changed)),
        tuple(map(_discount, found.discounts)),
        tuple(_repriced(found)),
        tuple(_items(found.openings, found.marks)),
        tuple(_extra(extra) for extra in found.extras),
        tuple(
            _field(term)
            for term in (*found.terms, *until)
            # With what it moved it is told above.
            if term.field != "discount" or not found.discounts
        ),
        tuple(
            ChangeRow(tr(TOTALS[total.what]), total.before, total.after, total.moved)
            for total in found.totals
            # What was and is nothing need not be told; the total always is.
            if (total.before.minor or total.after.minor or total.what == "gross")
            and (discounted_totals or total.what != "before-discount")
        ),
        tuple(row for alternate in found.alternates for row in _alternate(alternate)),
        tuple(_field(change) for change in found.basis),
        _closing(found),
        found.draft,
        tuple(_unasked(found)),
        tr(BEFORE_DISCOUNT) if found.discounts else "",
    )


def _closing(found: Comparison) -> str:
    """What stayed as it was, and whether the numbers of the questions did."""
    said = [tr(SAME) if found.same else _unchanged(found)]
    if found.numbered_anew:
        said.append(tr(NUMBERED_ANEW))
    return " ".join(filter(None, said))


def _unchanged(found: Comparison) -> str:
    """How many openings stayed as they were; those of alternates apart, in no sum with others."""
    if not found.unchanged_of:
        said = tr(UNCHANGED_BUT if found.discounts else UNCHANGED)
        return said.format(openings=_openings(found.unchanged)) if found.unchanged else ""
    apart = [_named(_openings(count), alternate) for alternate, count in found.unchanged_of]
    if found.unchanged:
        base = tr("{openings} of the base bid").format(openings=_openings(found.unchanged))
        apart = [base, *apart]
    said = tr(UNCHANGED_APART_BUT if found.discounts else UNCHANGED_APART)
    return said.format(openings=", ".join(apart))


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


def _alike(openings: Sequence[OpeningChange], every: Sequence[str]) -> OpeningText:
    """Openings of one change as one."""
    opening = openings[0]
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
    marks = tuple(each.mark for each in openings)
    return OpeningText(
        ranges_text(marks, every),
        marks,
        opening.alternate,
        tr(KINDS[opening.kind]),
        what,
        _all_of(openings, _how_many(openings)),
        tuple(rows),
    )


def _all_of(openings: Sequence[OpeningChange], about: str) -> ChangeRow:
    before = [opening.price_before for opening in openings if opening.price_before is not None]
    after = [opening.price_after for opening in openings if opening.price_after is not None]
    return ChangeRow(
        about,
        _sum(before) if before else None,
        _sum(after) if after else None,
        _sum([opening.moved for opening in openings]),
    )


def _sum(amounts: Sequence[Money]) -> Money:
    return Money(sum(amount.minor for amount in amounts), amounts[0].currency)


def _discount(change: DiscountChange) -> ChangeRow:
    """What the discount moved by itself, in one row; alternates apart."""
    about = tr("Discount on {openings}").format(openings=_openings(change.openings))
    return ChangeRow(_named(about, change.alternate), change.before, change.after, change.moved)


def _repriced(found: Comparison) -> Iterator[ChangeRow]:
    """Openings of which the price alone changed, those at the same prices each together."""
    alike: dict[object, list[OpeningChange]] = {}
    for opening in found.openings:
        if opening.price_alone:
            key = (opening.alternate, opening.each_before, opening.each_after)
            alike.setdefault(key, []).append(opening)
    for openings in alike.values():
        yield _all_of(openings, _where(openings, found.marks))


def _unasked(found: Comparison) -> Iterator[ChangeRow]:
    alike: dict[tuple[str, str, str], list[str]] = {}
    for door in found.unasked:
        before = _not_asked(door.before, door.quoted_before)
        after = _not_asked(door.after, door.quoted_after)
        alike.setdefault((door.alternate, before, after), []).append(door.mark)
    for (alternate, before, after), marks in alike.items():
        places = _named(ranges_text(marks, found.marks), alternate)
        yield ChangeRow(places, before or None, after or None)


def _not_asked(why: WhyUnasked | None, quoted: bool) -> str:
    return unasked_reason(why) if why else tr(QUOTED) if quoted else ""


def _how_many(openings: Sequence[OpeningChange]) -> str:
    before = sum(opening.quantity_before for opening in openings)
    after = sum(opening.quantity_after for opening in openings)
    counts = [count for count in (before, after) if count]
    said = " → ".join(dict.fromkeys(str(count) for count in counts))
    return trn("{count} opening", "{count} openings", counts[-1]).format(count=said)


def _openings(count: int) -> str:
    return trn("{count} opening", "{count} openings", count).format(count=count)


def _where(openings: Sequence[OpeningChange], every: Sequence[str]) -> str:
    places = ranges_text([opening.mark for opening in openings], every)
    mark = _named(places, openings[0].alternate)
    count = sum(opening.quantity_after for opening in openings)
    return mark if count == 1 else f"{mark}, {_how_many(openings)}"


def _items(openings: Sequence[OpeningChange], every: Sequence[str]) -> Iterator[ChangeRow]:
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
                places = ranges_text([*dict.fromkeys(marks)], every)
                about = tr("{item}, at {marks}").format(item=about, marks=places)
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
    # What a tax is called is data.
    about = change.of if change.field == "tax" else f"{name[:1].upper()}{name[1:]}"
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
        about = f"{row.about[:1].lower()}{row.about[1:]}"
        yield ChangeRow(f"{alternate.code}, {about}", row.before, row.after)


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
