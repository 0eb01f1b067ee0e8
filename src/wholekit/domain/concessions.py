"""What was given off list in issued quotes: by whom, how and why.

Of every kit, list less what was given by each way is the price it was quoted at, to the cent:
the customer's own terms, the job's discount, prices set by hand. Hardware alone; extra lines have
no list price. Alternates count where they were accepted.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from wholekit.domain.customers import net_price
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.job import BASE
from wholekit.domain.quotes.offer import OfferKit, OfferOpening
from wholekit.domain.quotes.own import OwnKit, Sign, Snapshot

OVERRIDE = "override"


class GivenBy(StrEnum):
    """The way something was given off list."""

    TERMS = "customer-terms"
    DISCOUNT = "discount"
    HAND = "price-by-hand"


@dataclass(frozen=True, slots=True)
class Concession:
    """What one person gave in one quote by one way for one reason.

    off: of list, all openings together, below zero where a price was put up; of: list of what it
    was given on [Money]. reason: of terms the customer's code.
    """

    quote: str
    customer: str
    who: str
    way: GivenBy
    reason: str
    off: Money
    of: Money


@dataclass(frozen=True, slots=True)
class Concessions:
    """Concessions of one person, way and reason together. quotes: in how many [count]; off, of: as
    of a concession [Money]."""

    who: str
    way: GivenBy
    reason: str
    quotes: int
    off: Money
    of: Money

    @property
    def share(self) -> Fraction | None:
        """Off list [fraction]; None where list was nothing."""
        return Fraction(self.off.minor, self.of.minor) if self.of.minor else None


def conceded(
    snapshot: Snapshot, accepted: Sequence[str] = (), discounted_by: str = ""
) -> Iterator[Concession]:
    """What was given off list in a quote. discounted_by: who set the job's discount, where that is
    known; else whoever sells it."""
    offer = snapshot.offer
    out = {mark for each in offer.alternates if each.code in accepted for mark in each.deducts}
    for opening in offer.openings:
        if opening.alternate == BASE and opening.mark in out:
            continue
        if opening.alternate not in (BASE, *accepted):
            continue
        yield from _of_opening(snapshot, opening, discounted_by or offer.salesperson)


def given_by(found: Iterable[Concession], currency: str) -> tuple[Concessions, ...]:
    """Concessions by person, way and reason; of one person the largest first. What came to nothing
    is left out, as are those of other currencies."""
    groups: dict[tuple[str, GivenBy, str], list[Concession]] = {}
    for each in found:
        if each.off.currency == currency:
            groups.setdefault((each.who, each.way, each.reason), []).append(each)
    together = [_together(*key, group, currency) for key, group in groups.items()]
    return tuple(
        sorted(
            (each for each in together if each.off.minor),
            key=lambda each: (each.who, -each.off.minor, each.way, each.reason),
        )
    )


def _together(
    who: str, way: GivenBy, reason: str, group: Sequence[Concession], currency: str
) -> Concessions:
    return Concessions(
        who,
        way,
        reason,
        len({each.quote for each in group}),
        Money(sum(each.off.minor for each in group), currency),
        Money(sum(each.of.minor for each in group), currency),
    )


def _of_opening(
    snapshot: Snapshot, opening: OfferOpening, discounted_by: str
) -> Iterator[Concession]:
    offer, own = snapshot.offer, snapshot.own
    kit, mine, count = offer.kit_of(opening), snapshot.own_kit(opening), opening.quantity
    listed = [
        line.list_price.times(each.quantity)
        for each, line in zip(kit.lines, mine.lines, strict=True)
    ]
    whole = Money(sum(each.minor for each in listed), offer.currency)

    def given(who: str, way: GivenBy, reason: str, off: Money, of: Money) -> Concession:
        return Concession(
            offer.label, offer.customer.code, who, way, reason, off.times(count), of.times(count)
        )

    terms = whole - mine.tier_price
    yield given(offer.salesperson, GivenBy.TERMS, offer.customer.code, terms, whole)
    if kit.saved.minor:
        untouched = sum(
            each.minor for each, line in zip(listed, mine.lines, strict=True) if not line.by_hand
        )
        base = Money(untouched, offer.currency)
        yield given(discounted_by, GivenBy.DISCOUNT, own.discount_reason, kit.saved, base)
    signs = own.openings[offer.openings.index(opening)] if own.openings else ()
    by_reason = {sign.reason: sign.by for sign in signs if sign.what == OVERRIDE}
    for reason, (off, of) in _by_hand(kit, mine, offer.discount, listed).items():
        who = by_reason.get(reason, offer.salesperson)
        yield given(who, GivenBy.HAND, reason, off, of)
    if kit.adjustment.minor:
        who, reason = _agreed(signs, mine, offer.salesperson)
        yield given(who, GivenBy.HAND, reason, kit.adjustment.times(-1), whole)


def _by_hand(
    kit: OfferKit, own: OwnKit, discount: Fraction, listed: Sequence[Money]
) -> Mapping[str, tuple[Money, Money]]:
    """Off the customer's own prices by the reason of a price set by hand, and list of those lines
    [Money], for one opening."""
    found: dict[str, tuple[Money, Money]] = {}
    nothing = Money.zero(kit.price.currency)
    for line, mine, whole in zip(kit.lines, own.lines, listed, strict=True):
        if not mine.by_hand:
            continue
        # The multiplier that was kept has the discount in it.
        tier = net_price(mine.list_price, [mine.multiplier / (1 - discount)])
        off, of = found.get(mine.by_hand, (nothing, nothing))
        found[mine.by_hand] = off + tier.times(line.quantity) - line.total, of + whole
    return found


def _agreed(signs: Sequence[Sign], own: OwnKit, otherwise: str) -> tuple[str, str]:
    """Who agreed a price for a whole opening, and why: the last of what was set by hand there that
    is no reason of a line."""
    of_lines = {line.by_hand for line in own.lines}
    rest = [sign for sign in signs if sign.what == OVERRIDE and sign.reason not in of_lines]
    return (rest[-1].by, rest[-1].reason) if rest else (otherwise, "")
