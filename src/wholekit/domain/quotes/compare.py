"""Two offers held against each other: what was added, removed and changed, and money moved.

Only codes and values are compared, never a sentence.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.openings import Mount, WhyUnasked, stated_of
from wholekit.domain.quantities import Length, Money
from wholekit.domain.quotes.offer import (
    Offer,
    OfferAlternate,
    OfferExtra,
    OfferKit,
    OfferLine,
    OfferOpening,
)

AGREED = "agreed"


@dataclass(frozen=True, slots=True)
class FieldChange:
    """Something stated that changed, by its code; None where it was or is not stated.

    of: whose, where several have such a field: a tax, a supplier.
    """

    field: str
    before: object
    after: object
    of: str = ""


@dataclass(frozen=True, slots=True)
class LineChange:
    """A line of a kit before and after, for one opening [count, Money]; None where there is none.

    How many: 0 where the line is not there.
    """

    sku: str
    description: str
    before: int
    after: int
    unit_before: Money | None
    unit_after: Money | None

    @property
    def repriced(self) -> bool:
        """Whether as many of the item came to another price each."""
        return self.before == self.after


@dataclass(frozen=True, slots=True)
class OpeningChange:
    """An opening that was added, removed or changed. moved: its price after less before [Money].

    size: of a leaf, width and height; mount, spring_size, finish: of its kit as it is, or was where
    it is gone. price_before, price_after: for all of its mark; each_before, each_after: for one
    opening [Money]; None where it is not there. fields, lines: what changed; of one that was added,
    lines are its whole kit. left_out: where it is not there, it was named as left out of the quote.
    by_discount: another discount came, and before it the kit's price is the same.
    """

    mark: str
    alternate: str
    size: tuple[Length, Length]
    mount: Mount
    spring_size: int | None
    finish: str
    quantity_before: int
    quantity_after: int
    price_before: Money | None
    price_after: Money | None
    each_before: Money | None
    each_after: Money | None
    moved: Money
    fields: tuple[FieldChange, ...] = ()
    lines: tuple[LineChange, ...] = ()
    left_out: bool = False
    by_discount: bool = False

    @property
    def kind(self) -> str:
        """`added`, `removed` or `changed`; `left-out`, `taken-in` where it is of the job still."""
        if not self.quantity_before:
            return "taken-in" if self.left_out else "added"
        if not self.quantity_after:
            return "left-out" if self.left_out else "removed"
        return "changed"

    @property
    def price_alone(self) -> bool:
        """Whether the same openings with the same items came to another price, and no more."""
        return (
            self.quantity_before == self.quantity_after
            and not self.fields
            and all(line.repriced for line in self.lines)
        )

    @property
    def discount_alone(self) -> bool:
        """Whether the discount of the whole job is all that changed."""
        return self.price_alone and self.by_discount


@dataclass(frozen=True, slots=True)
class ExtraChange:
    """An extra line before and after; None where there is none."""

    description: str
    alternate: str
    before: OfferExtra | None
    after: OfferExtra | None
    moved: Money


@dataclass(frozen=True, slots=True)
class MoneyChange:
    """A total before and after [Money]. what: `hardware`, `freight`, `net`, `tax`, `gross`, …"""

    what: str
    before: Money
    after: Money

    @property
    def moved(self) -> Money:
        """After less before [Money]."""
        return self.after - self.before


@dataclass(frozen=True, slots=True)
class AlternateChange:
    """An alternate that was added, removed or changed: what it adds or takes off, tax with it.

    before, after: None where it is not there [Money]. fields: title and the marks it takes out,
    where they changed.
    """

    code: str
    title: str
    before: Money | None
    after: Money | None
    moved: Money
    fields: tuple[FieldChange, ...] = ()


@dataclass(frozen=True, slots=True)
class UnaskedChange:
    """A door that was or is not asked for. before, after: why; None where it is not so named.

    quoted_before, quoted_after: whether it was or is among the openings that are asked for.
    """

    mark: str
    alternate: str
    before: WhyUnasked | None
    after: WhyUnasked | None
    quoted_before: bool
    quoted_after: bool


@dataclass(frozen=True, slots=True)
class Comparison:
    """What changed from one revision to another.

    marks: of both, in the job's order, those not asked for last; unchanged: openings left as they
    were [marks]. basis: price books and rule book it was worked out on, which are no part of what
    is quoted. valid_until: the last day before and after, where they differ. unasked: doors of the
    customer's sheet that are not asked for, where that changed. draft: the second is the job as it
    stands, which nobody has issued.
    """

    first: str
    second: str
    currency: str
    openings: tuple[OpeningChange, ...]
    extras: tuple[ExtraChange, ...]
    totals: tuple[MoneyChange, ...]
    alternates: tuple[AlternateChange, ...]
    terms: tuple[FieldChange, ...]
    basis: tuple[FieldChange, ...]
    valid_until: FieldChange | None
    unchanged: int
    draft: bool = False
    marks: tuple[str, ...] = ()
    unasked: tuple[UnaskedChange, ...] = ()

    @property
    def same(self) -> bool:
        """Whether nothing that is quoted changed, the days it is to hold aside."""
        told = self.openings or self.extras or self.terms or self.alternates or self.unasked
        return not told and not any(total.moved.minor for total in self.totals)


def alike_changes(openings: Sequence[OpeningChange]) -> tuple[tuple[OpeningChange, ...], ...]:
    """Openings that changed alike, those of one change together, by the first of each."""
    found: dict[OpeningChange, list[OpeningChange]] = {}
    for opening in openings:
        found.setdefault(replace(opening, mark=""), []).append(opening)
    return tuple(map(tuple, found.values()))


def compare(first: Offer, second: Offer, *, draft: bool = False) -> Comparison:
    """What changed from the first offer to the second, both in one currency.

    draft: the second is the job as it stands, and not issued. Openings are matched by alternate and
    mark, lines by SKU, extra lines by kind and description.
    """
    zero = Money.zero(second.currency)
    old = {(opening.alternate, opening.mark): opening for opening in first.openings}
    new = {(opening.alternate, opening.mark): opening for opening in second.openings}
    openings = [
        change
        for key in sorted({**old, **new}, key=lambda key: key[0])
        if (change := _opening(first, old.get(key), second, new.get(key), zero)) is not None
    ]
    in_both = sum(key in new for key in old)
    changed = sum(opening.kind == "changed" for opening in openings)
    until = FieldChange("valid-until", first.valid_until, second.valid_until)
    return Comparison(
        first=first.label,
        second=second.job if draft else second.label,
        currency=second.currency,
        openings=tuple(openings),
        extras=_extras(first.extras, second.extras, zero),
        totals=_totals(first, second),
        alternates=tuple(_alternates(first, second, zero)),
        terms=_named(_terms(first), _terms(second)),
        basis=_named(_basis(first), _basis(second)),
        valid_until=None if until.before == until.after else until,
        unchanged=in_both - changed,
        draft=draft,
        marks=tuple(
            dict.fromkeys(
                (
                    *(mark for _, mark in {**old, **new}),
                    *(door.mark for door in (*first.unasked, *second.unasked)),
                )
            )
        ),
        unasked=tuple(_unasked(first, second)),
    )


def _unasked(first: Offer, second: Offer) -> Iterator[UnaskedChange]:
    before = {door.at: door.why for door in first.unasked}
    after = {door.at: door.why for door in second.unasked}
    asked_before, asked_after = _asked(first), _asked(second)
    for at in {**before, **after}:
        if before.get(at) != after.get(at):
            alternate, mark = at
            yield UnaskedChange(
                mark,
                alternate,
                before.get(at),
                after.get(at),
                at in asked_before,
                at in asked_after,
            )


def _asked(offer: Offer) -> set[tuple[str, str]]:
    """Alternate and mark of all that is asked for, also where it is left out for now."""
    return {(each.alternate, each.mark) for each in (*offer.openings, *(offer.left_out or ()))}


def _opening(
    first: Offer,
    old: OfferOpening | None,
    second: Offer,
    new: OfferOpening | None,
    zero: Money,
) -> OpeningChange | None:
    before = None if old is None else first.kit_of(old)
    after = None if new is None else second.kit_of(new)
    there, kit = new or old, after or before
    assert there is not None  # noqa: S101  # the key came from one of them
    assert kit is not None  # noqa: S101
    fields: tuple[FieldChange, ...] = ()
    lines = _lines((), () if after is None else after.lines)
    if old is not None and new is not None and before is not None and after is not None:
        fields = _opening_fields(before, old, after, new)
        lines = _lines(before.lines, after.lines)
        if after.adjustment.minor:
            lines = tuple(line for line in lines if line.before != line.after)
        if not fields and not lines and (old.quantity, old.price) == (new.quantity, new.price):
            return None
    was = None if old is None else old.price
    now = None if new is None else new.price
    return OpeningChange(
        there.mark,
        there.alternate,
        (kit.type.width, kit.type.height),
        kit.mount,
        kit.spring_size,
        kit.finish,
        0 if old is None else old.quantity,
        0 if new is None else new.quantity,
        was,
        now,
        None if before is None else before.price,
        None if after is None else after.price,
        (now or zero) - (was or zero),
        fields,
        lines,
        _left_out(first if old is None else second, there),
        first.discount != second.discount
        and before is not None
        and after is not None
        and before.price + before.saved == after.price + after.saved,
    )


def _left_out(offer: Offer, opening: OfferOpening) -> bool:
    return any(
        (gone.alternate, gone.mark) == (opening.alternate, opening.mark)
        for gone in offer.left_out or ()
    )


def _opening_fields(
    before: OfferKit, old: OfferOpening, after: OfferKit, new: OfferOpening
) -> tuple[FieldChange, ...]:
    """What is stated of an opening that changed, then what its kit came to be.

    A finish that was asked for and came is told once.
    """
    stated = _fields(stated_of(before.type), stated_of(after.type))
    asked = {(change.before, change.after) for change in stated}
    worked = [
        field
        for field in _fields(_worked(before, old), _worked(after, new))
        if (field.before, field.after) not in asked
    ]
    return (*stated, *worked)


def _worked(kit: OfferKit, opening: OfferOpening) -> dict[str, object]:
    found: dict[str, object] = {
        "mount-supplied": kit.mount,
        "size-set": kit.spring_size,
        "finish-supplied": kit.finish,
        "lacking": kit.missing,
        "room": opening.room,
        "note": opening.note,
        "price": AGREED if kit.adjustment.minor else "",
    }
    return {name: value for name, value in found.items() if value}


def _fields(old: Mapping[str, object], new: Mapping[str, object]) -> tuple[FieldChange, ...]:
    return tuple(
        FieldChange(name, old.get(name), new.get(name))
        for name in {**old, **new}
        if old.get(name) != new.get(name)
    )


def _lines(old: Sequence[OfferLine], new: Sequence[OfferLine]) -> tuple[LineChange, ...]:
    before = {line.sku: line for line in old}
    after = {line.sku: line for line in new}
    changes = []
    for sku in {**before, **after}:
        was, now = before.get(sku), after.get(sku)
        there = now or was
        assert there is not None  # noqa: S101  # the key came from one of them
        change = LineChange(
            sku,
            there.description,
            0 if was is None else was.quantity,
            0 if now is None else now.quantity,
            None if was is None else was.unit,
            None if now is None else now.unit,
        )
        if (change.before, change.unit_before) != (change.after, change.unit_after):
            changes.append(change)
    return tuple(changes)


def _extras(
    old: Sequence[OfferExtra], new: Sequence[OfferExtra], zero: Money
) -> tuple[ExtraChange, ...]:
    before, after = _keyed(old), _keyed(new)
    changes = []
    for key in {**before, **after}:
        was, now = before.get(key), after.get(key)
        if was is not None and now is not None and _shown(was) == _shown(now):
            continue
        moved = _total(now, zero) - _total(was, zero)
        changes.append(ExtraChange(key[2], key[0], was, now, moved))
    return tuple(changes)


def _shown(extra: OfferExtra) -> tuple[object, ...]:
    """What a customer sees of an extra line: its cost is none of it."""
    return extra.quantity, extra.unit, extra.total


def _keyed(extras: Sequence[OfferExtra]) -> dict[tuple[str, str, str, int], OfferExtra]:
    """By alternate, kind and description; of several alike each has its own ordinal."""
    found: dict[tuple[str, str, str, int], OfferExtra] = {}
    for extra in extras:
        ordinal = 0
        while (key := (extra.alternate, extra.kind.value, extra.description, ordinal)) in found:
            ordinal += 1
        found[key] = extra
    return found


def _total(extra: OfferExtra | None, zero: Money) -> Money:
    return zero if extra is None or extra.total is None else extra.total


def _totals(first: Offer, second: Offer) -> tuple[MoneyChange, ...]:
    old, new = first.totals, second.totals
    saved, saving = _saved(first), _saved(second)
    return (
        MoneyChange("before-discount", old.hardware + saved, new.hardware + saving),
        MoneyChange("discount", saved.times(-1), saving.times(-1)),
        MoneyChange("hardware", old.hardware, new.hardware),
        MoneyChange("extras", old.extras, new.extras),
        MoneyChange("freight", old.freight, new.freight),
        MoneyChange("net", old.net, new.net),
        MoneyChange("tax", old.gross - old.net, new.gross - new.net),
        MoneyChange("gross", old.gross, new.gross),
    )


def _saved(offer: Offer) -> Money:
    """What the discount takes off the base bid [Money]."""
    kits = ((offer.kit_of(each), each.quantity) for each in offer.chosen().openings)
    return Money(sum(kit.saved.minor * count for kit, count in kits), offer.currency)


def _alternates(first: Offer, second: Offer, zero: Money) -> Iterator[AlternateChange]:
    old = {alternate.code: alternate for alternate in first.alternates}
    new = {alternate.code: alternate for alternate in second.alternates}
    for code in {**old, **new}:
        was, now = old.get(code), new.get(code)
        there = now or was
        assert there is not None  # noqa: S101  # the code came from one of them
        fields = () if was is None or now is None else _fields(_offer(was), _offer(now))
        before = None if was is None else was.totals.gross
        after = None if now is None else now.totals.gross
        if before != after or fields:
            moved = (after or zero) - (before or zero)
            yield AlternateChange(code, there.title, before, after, moved, fields)


def _offer(alternate: OfferAlternate) -> dict[str, object]:
    found: dict[str, object] = {
        "title": alternate.title,
        "in-place-of": ", ".join(alternate.deducts),
    }
    return {name: value for name, value in found.items() if value}


def _terms(offer: Offer) -> dict[tuple[str, str], object]:
    party = offer.customer
    found: dict[tuple[str, str], object] = {
        ("customer", ""): party.name,
        ("payment", ""): party.terms or party.days,
        ("ship-to", ""): offer.ship_to,
        ("site", ""): offer.site,
        ("discount", ""): offer.discount,
        ("certificate", ""): offer.totals.exempt,
    }
    found |= {("tax", tax.name): tax.rate for tax in offer.totals.taxes}
    return {key: value for key, value in found.items() if value}


def _basis(offer: Offer) -> dict[tuple[str, str], object]:
    found: dict[tuple[str, str], object] = {("rule-book", ""): offer.rules_version}
    return found | {("price-book", catalog.supplier): catalog for catalog in offer.catalogs}


def _named(
    old: Mapping[tuple[str, str], object], new: Mapping[tuple[str, str], object]
) -> tuple[FieldChange, ...]:
    return tuple(
        FieldChange(key[0], old.get(key), new.get(key), key[1])
        for key in {**old, **new}
        if old.get(key) != new.get(key)
    )
