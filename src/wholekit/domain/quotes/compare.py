"""Two offers held against each other: what was added, removed and changed, and money moved.

Only codes and values are compared, never a sentence. Where the discount of the whole job changed,
openings and items are held against each other before it, and what it moved is told by itself: so
each is like with like, and all together are what the hardware moved.
"""

from collections.abc import Iterator, Mapping, Sequence

from wholekit.domain.openings import stated_of
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.changes import (
    AlternateChange,
    Comparison,
    DiscountChange,
    ExtraChange,
    FieldChange,
    LineChange,
    MoneyChange,
    OpeningChange,
    UnaskedChange,
)
from wholekit.domain.quotes.offer import (
    Offer,
    OfferAlternate,
    OfferExtra,
    OfferKit,
    OfferLine,
    OfferOpening,
)

AGREED = "agreed"


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
    changed = {(change.alternate, change.mark) for change in openings}
    left: dict[str, int] = {}
    for alternate, mark in old:
        if (alternate, mark) in new and (alternate, mark) not in changed:
            left[alternate] = left.get(alternate, 0) + new[alternate, mark].quantity
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
        unchanged=left.pop("", 0),
        unchanged_of=tuple(left.items()),
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
        discounts=tuple(_discounts(first, second)),
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
    apart = first.discount != second.discount
    each_before = None if before is None else _price(before, apart)
    each_after = None if after is None else _price(after, apart)
    was = None if old is None or each_before is None else each_before.times(old.quantity)
    now = None if new is None or each_after is None else each_after.times(new.quantity)
    fields: tuple[FieldChange, ...] = ()
    lines = _lines({}, _priced(after, apart))
    if old is not None and new is not None and before is not None and after is not None:
        fields = _opening_fields(before, old, after, new)
        lines = _lines(_priced(before, apart), _priced(after, apart))
        if after.adjustment.minor:
            lines = tuple(line for line in lines if line.before != line.after)
        if not fields and not lines and (old.quantity, was) == (new.quantity, now):
            return None
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
        each_before,
        each_after,
        (now or zero) - (was or zero),
        fields,
        lines,
        _left_out(first if old is None else second, there),
    )


def _price(kit: OfferKit, apart: bool) -> Money:
    """Of one opening, before the discount where that is told apart [Money]."""
    return kit.price + kit.discounted if apart else kit.price


def _priced(kit: OfferKit | None, apart: bool) -> dict[str, tuple[OfferLine, Money | None]]:
    """Lines and what each item costs, by SKU: before the discount where that is told apart, None
    where that was not kept of the items [Money]."""
    if kit is None:
        return {}
    if not apart:
        return {line.sku: (line, line.unit) for line in kit.lines}
    told = sum(line.saved.minor * line.quantity for line in kit.lines if line.saved is not None)
    if told != kit.saved.minor:
        return {line.sku: (line, None) for line in kit.lines}
    return {
        line.sku: (line, line.unit if line.saved is None else line.unit + line.saved)
        for line in kit.lines
    }


def _discounts(first: Offer, second: Offer) -> Iterator[DiscountChange]:
    if first.discount == second.discount:
        return
    for alternate in dict.fromkeys(each.alternate for each in (*first.openings, *second.openings)):
        counts, sums = [], []
        for offer in (first, second):
            its = [each for each in offer.openings if each.alternate == alternate]
            off = [(offer.kit_of(each).discounted.minor, each.quantity) for each in its]
            counts.append(sum(count for each, count in off if each))
            sums.append(sum(each * count for each, count in off))
        if any(counts):
            moved = Money(sums[0] - sums[1], second.currency)
            count = counts[1] or counts[0]
            yield DiscountChange(alternate, first.discount, second.discount, count, moved)


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


def _lines(
    old: Mapping[str, tuple[OfferLine, Money | None]],
    new: Mapping[str, tuple[OfferLine, Money | None]],
) -> tuple[LineChange, ...]:
    changes = []
    for sku in {**old, **new}:
        was, unit_before = old.get(sku, (None, None))
        now, unit_after = new.get(sku, (None, None))
        if was is not None and now is not None and None in (unit_before, unit_after):
            # Only one of them was kept: they cannot be held against each other.
            unit_before = unit_after = None
        there = now or was
        assert there is not None  # noqa: S101  # the key came from one of them
        change = LineChange(
            sku,
            there.description,
            0 if was is None else was.quantity,
            0 if now is None else now.quantity,
            unit_before,
            unit_after,
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
    return offer.chosen().saved


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
