"""What changed from one offer to another, in codes and values: openings, lines, terms and money."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from wholekit.domain.openings import Mount, WhyUnasked
from wholekit.domain.quantities import Length, Money
from wholekit.domain.quotes.offer import OfferExtra


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
    Where the discount changed, each amount is before it.
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


@dataclass(frozen=True, slots=True)
class DiscountChange:
    """Another discount over the whole job: before and after [fraction], how many openings it is or
    was taken off [count], and what they moved by it [Money]; of the base bid, or of an alternate.
    """

    alternate: str
    before: Fraction
    after: Fraction
    openings: int
    moved: Money


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

    marks: of both, in the job's order, those not asked for last; unchanged: openings of the base
    bid left as they were [count], unchanged_of: those of each alternate, by its code.
    numbered_anew: a question that both put has another number in the second. discounts: what
    another discount moved. basis: price books and rule book it was worked out on, which are no
    part of what is quoted. valid_until: the last day before and after, where they differ. unasked:
    doors of the customer's sheet that are not asked for, where that changed. draft: the second is
    the job as it stands, which nobody has issued.
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
    discounts: tuple[DiscountChange, ...] = ()
    unchanged_of: tuple[tuple[str, int], ...] = ()
    numbered_anew: bool = False

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
