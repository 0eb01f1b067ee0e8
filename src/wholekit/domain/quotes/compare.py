"""Two revisions held against each other: what was added, removed and changed, and money moved."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.quantities import Money
from wholekit.domain.quotes.frozen import (
    FrozenExtra,
    FrozenKit,
    FrozenLine,
    FrozenOpening,
    Snapshot,
)


@dataclass(frozen=True, slots=True)
class FieldChange:
    """Something stated of an opening that changed; None where it was or is not stated."""

    field: str
    before: str | None
    after: str | None


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


@dataclass(frozen=True, slots=True)
class OpeningChange:
    """An opening that was added, removed or changed. moved: its price after less before [Money].

    price_before, price_after: for all of its mark; None where it is not there.
    """

    mark: str
    alternate: str
    quantity_before: int
    quantity_after: int
    price_before: Money | None
    price_after: Money | None
    moved: Money
    fields: tuple[FieldChange, ...] = ()
    lines: tuple[LineChange, ...] = ()

    @property
    def kind(self) -> str:
        """`added`, `removed` or `changed`."""
        if not self.quantity_before:
            return "added"
        return "changed" if self.quantity_after else "removed"


@dataclass(frozen=True, slots=True)
class ExtraChange:
    """An extra line before and after; None where there is none."""

    description: str
    alternate: str
    before: FrozenExtra | None
    after: FrozenExtra | None
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
class Comparison:
    """What changed from one revision to another. unchanged: openings left as they were [marks]."""

    first: str
    second: str
    currency: str
    openings: tuple[OpeningChange, ...]
    extras: tuple[ExtraChange, ...]
    totals: tuple[MoneyChange, ...]
    alternates: tuple[MoneyChange, ...]
    terms: tuple[FieldChange, ...]
    unchanged: int

    @property
    def same(self) -> bool:
        """Whether nothing that is quoted changed."""
        return not (self.openings or self.extras or self.terms) and not any(
            one.moved.minor for one in (*self.totals, *self.alternates)
        )


def compare(first: Snapshot, second: Snapshot) -> Comparison:
    """What changed from the first snapshot to the second, both in one currency.

    Openings are matched by alternate and mark, lines by SKU, extra lines by kind and description.
    """
    zero = Money.zero(second.currency)
    old = {(one.alternate, one.mark): one for one in first.openings}
    new = {(one.alternate, one.mark): one for one in second.openings}
    openings = [
        change
        for key in {**old, **new}
        if (change := _opening(first, old.get(key), second, new.get(key), zero)) is not None
    ]
    in_both = sum(key in new for key in old)
    changed = sum(one.kind == "changed" for one in openings)
    return Comparison(
        first=f"{first.quote}/{first.revision}",
        second=f"{second.quote}/{second.revision}",
        currency=second.currency,
        openings=tuple(openings),
        extras=_extras(first.extras, second.extras, zero),
        totals=_totals(first, second),
        alternates=_alternates(first, second, zero),
        terms=_terms(first, second),
        unchanged=in_both - changed,
    )


def _opening(
    first: Snapshot,
    old: FrozenOpening | None,
    second: Snapshot,
    new: FrozenOpening | None,
    zero: Money,
) -> OpeningChange | None:
    there = old or new
    assert there is not None  # noqa: S101  # the key came from one of them
    fields: tuple[FieldChange, ...] = ()
    lines: tuple[LineChange, ...] = ()
    if old is not None and new is not None:
        before, after = first.kit_of(old), second.kit_of(new)
        fields = _fields(_stated(before, old), _stated(after, new))
        lines = _lines(before.lines, after.lines)
        if not fields and not lines and (old.quantity, old.price) == (new.quantity, new.price):
            return None
    was = None if old is None else old.price
    now = None if new is None else new.price
    return OpeningChange(
        there.mark,
        there.alternate,
        0 if old is None else old.quantity,
        0 if new is None else new.quantity,
        was,
        now,
        (now or zero) - (was or zero),
        fields,
        lines,
    )


def _stated(kit: FrozenKit, opening: FrozenOpening) -> dict[str, str]:
    size = "beyond the tables" if kit.spring_size is None else str(kit.spring_size)
    worked = {
        "mount of the kit": kit.mount,
        "size of the kit": size,
        "finish of the kit": kit.finish,
        "note": opening.note,
    }
    return dict(kit.fields) | {name: value for name, value in worked.items() if value}


def _fields(old: dict[str, str], new: dict[str, str]) -> tuple[FieldChange, ...]:
    return tuple(
        FieldChange(name, old.get(name), new.get(name))
        for name in {**old, **new}
        if old.get(name) != new.get(name)
    )


def _lines(old: Sequence[FrozenLine], new: Sequence[FrozenLine]) -> tuple[LineChange, ...]:
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
    old: Sequence[FrozenExtra], new: Sequence[FrozenExtra], zero: Money
) -> tuple[ExtraChange, ...]:
    before, after = _keyed(old), _keyed(new)
    changes = []
    for key in {**before, **after}:
        was, now = before.get(key), after.get(key)
        if was == now:
            continue
        moved = _total(now, zero) - _total(was, zero)
        changes.append(ExtraChange(key[2], key[0], was, now, moved))
    return tuple(changes)


def _keyed(extras: Sequence[FrozenExtra]) -> dict[tuple[str, str, str, int], FrozenExtra]:
    """By alternate, kind and description; of several alike each has its own ordinal."""
    found: dict[tuple[str, str, str, int], FrozenExtra] = {}
    for one in extras:
        ordinal = 0
        while (key := (one.alternate, one.kind.value, one.description, ordinal)) in found:
            ordinal += 1
        found[key] = one
    return found


def _total(extra: FrozenExtra | None, zero: Money) -> Money:
    return zero if extra is None or extra.total is None else extra.total


def _totals(first: Snapshot, second: Snapshot) -> tuple[MoneyChange, ...]:
    old, new = first.totals, second.totals
    return (
        MoneyChange("hardware", old.hardware, new.hardware),
        MoneyChange("extras", old.extras, new.extras),
        MoneyChange("freight", old.freight, new.freight),
        MoneyChange("net", old.net, new.net),
        MoneyChange("tax", old.gross - old.net, new.gross - new.net),
        MoneyChange("gross", old.gross, new.gross),
    )


def _alternates(first: Snapshot, second: Snapshot, zero: Money) -> tuple[MoneyChange, ...]:
    old = {one.code: one.totals.net for one in first.alternates}
    new = {one.code: one.totals.net for one in second.alternates}
    return tuple(
        MoneyChange(code, old.get(code, zero), new.get(code, zero)) for code in {**old, **new}
    )


def _terms(first: Snapshot, second: Snapshot) -> tuple[FieldChange, ...]:
    def said(snapshot: Snapshot) -> dict[str, str]:
        found = {
            "payment": snapshot.customer.terms,
            "ship to": snapshot.ship_to,
            "site": snapshot.site,
            "rule book": snapshot.rules_version,
        }
        found |= {
            f"price book {one.supplier}": f"revision {one.revision} of {one.edition}"
            for one in snapshot.catalogs
        }
        return {name: value for name, value in found.items() if value}

    return _fields(said(first), said(second))
