"""Whether a price needs an owner: discount and margin held against the role's limits."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.customers import Customer, net_price
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.job import BASE
from wholekit.domain.quotes.people import HousePolicy, PersonRole
from wholekit.domain.quotes.revision import Approval, ApprovedPart
from wholekit.domain.quotes.totals import Destination, alternate_totals, base_totals, net_factors
from wholekit.domain.quotes.worked import WorkedJob
from wholekit.domain.tax import LineKind


@dataclass(frozen=True, slots=True)
class Standing:
    """What the limits look at.

    tier: hardware at the customer's own prices; hardware: as quoted; net, cost: hardware and
    extra lines whose cost is known, without freight and tax [Money, Cost]: the price that margins
    are on.
    """

    tier: Money
    hardware: Money
    net: Money
    cost: Cost

    @property
    def discount(self) -> Fraction:
        """Off the customer's own prices [fraction]; below zero where the price is higher."""
        if not self.tier.minor:
            return Fraction(0)
        return 1 - Fraction(self.hardware.minor, self.tier.minor)

    @property
    def margin(self) -> Fraction | None:
        """(net - cost) / net [fraction]; None where nothing is sold."""
        return Margin(self.net, self.cost).share


@dataclass(frozen=True, slots=True)
class Breach:
    """A limit that is passed, by the base bid (empty) or by an alternate's own openings and lines.

    code: `discount-over-limit` or `margin-under-limit`. found: off the prices of the agreed terms,
    or the margin; None where what costs something is given away.
    """

    code: str
    alternate: str
    role: PersonRole
    allowed: Fraction
    found: Fraction | None


def standing_of(
    job: WorkedJob,
    place: Destination,
    alternates: Sequence[str] | None = None,
    *,
    extras: bool = True,
) -> Standing:
    """A worked job's standing where it goes; tax that prices contain is no part of net.

    alternates: those counted, the empty code for the base bid; None = everything. extras: with
    extra lines.
    """
    currency = job.currency
    openings = [
        opening
        for opening in job.openings
        if alternates is None or opening.entry.alternate in alternates
    ]
    lines = [
        extra
        for extra in job.contents.extras
        if extras and (alternates is None or extra.alternate in alternates)
    ]
    factors = net_factors(place)
    hardware = sum(opening.price.minor for opening in openings)
    known = [
        (extra.total.scaled(factors[extra.kind]), extra.cost.times(extra.quantity))
        for extra in lines
        if extra.total is not None and extra.cost is not None
    ]
    return Standing(
        Money(sum(opening.tier_price.minor for opening in openings), currency),
        Money(hardware, currency),
        Money(hardware, currency).scaled(factors[LineKind.HARDWARE])
        + Money(sum(total.minor for total, _ in known), currency),
        Cost(
            sum(opening.cost.units for opening in openings) + sum(cost.units for _, cost in known),
            currency,
        ),
    )


def thinnest_margin(job: WorkedJob, place: Destination, alternate: str) -> Margin:
    """What the limit of a part's margin looks at: its hardware, and those of its extra lines that
    make the margin smaller [Money, Cost].

    The cost of an extra line is whatever was typed, so none may carry a thin price across the
    limit; one that pulls the margin down counts, since it is sold at that.
    """
    factors = net_factors(place)
    hardware = standing_of(job, place, (alternate,), extras=False)
    least = Margin(hardware.net, hardware.cost)
    lines = [
        Margin(extra.total.scaled(factors[extra.kind]), extra.cost.times(extra.quantity))
        for extra in job.contents.extras
        if extra.alternate == alternate and extra.total is not None and extra.cost is not None
    ]
    # The thinnest first: then none that is left out would have made it smaller still.
    for line in sorted(lines, key=_height):
        both = Margin(least.price + line.price, least.cost + line.cost)
        if _height(both) < _height(least):
            least = both
    return least


def _height(margin: Margin) -> tuple[int, Fraction]:
    """An order of margins: what is given away under everything, nothing at all above it."""
    if margin.share is not None:
        return (1, margin.share)
    return (0 if margin.cost.units > 0 else 2, Fraction(0))


def breaches(
    job: WorkedJob,
    place: Destination,
    role: PersonRole,
    policy: HousePolicy,
    agreed: Customer,
) -> tuple[Breach, ...]:
    """The limits of a role that the base bid or an alternate passes; an owner has none.

    agreed: the customer on their standing terms. The discount is the whole way down from those, by
    whatever means: the job's discount, a price by hand, a multiplier or tier of the job's customer
    that no owner agreed to. Each part is held against the limits by itself: a dear alternate does
    not make up for a cheap base.
    """
    limit = policy.limit_of(role)
    if limit is None:
        return ()
    found = []
    for code in (BASE, *(alternate.code for alternate in job.contents.job.alternates)):
        standing = standing_of(job, place, (code,))
        thinnest = thinnest_margin(job, place, code)
        margin = thinnest.share
        if standing.hardware < _least_price(job, code, agreed, place, limit.most_discount):
            discount = _discount(job, code, agreed, place, standing.hardware)
            found.append(Breach("discount-over-limit", code, role, limit.most_discount, discount))
        # Nothing sold has no margin; something given away has less than any.
        given_away = margin is None and thinnest.cost.units > 0
        if given_away or (margin is not None and margin < limit.least_margin):
            found.append(Breach("margin-under-limit", code, role, limit.least_margin, margin))
    return tuple(found)


def _discount(
    job: WorkedJob, alternate: str, agreed: Customer, place: Destination, hardware: Money
) -> Fraction:
    """How far the hardware of a part is below the standing terms [fraction of those]."""
    full = _least_price(job, alternate, agreed, place, Fraction(0))
    return 1 - Fraction(hardware.minor, full.minor) if full.minor else Fraction(0)


def _least_price(
    job: WorkedJob, alternate: str, agreed: Customer, place: Destination, most_discount: Fraction
) -> Money:
    """The hardware of a part of the job at standing terms, the whole of a discount off [Money].

    Rounded as prices are, so that the limit itself is no breach by a fraction of a cent.
    """
    total = Money.zero(job.currency)
    # Openings that are alike share one kit, which is reckoned once.
    known: dict[int, Money] = {}
    for opening in job.of_alternate(alternate):
        each = known.get(id(opening.worked), Money.zero(job.currency))
        for line in () if id(opening.worked) in known else opening.worked.lines:
            terms = agreed.multiplier_for(line.goods, place.day)
            net = net_price(line.line.item.list_price, [terms, 1 - most_discount])
            each += net.times(line.line.quantity)
        known[id(opening.worked)] = each
        total += each.times(opening.entry.opening.quantity)
    return total


def parts_of(job: WorkedJob, place: Destination, agreed: Customer) -> tuple[ApprovedPart, ...]:
    """What there is to approve: the base bid and each alternate as they stand.

    agreed: as in `breaches`.
    """
    quoted = {BASE: base_totals(job, place).net}
    for alternate in job.contents.job.alternates:
        quoted[alternate.code] = alternate_totals(job, alternate, place).net
    parts = []
    for code, net in quoted.items():
        standing = standing_of(job, place, (code,))
        margin = thinnest_margin(job, place, code).share
        discount = _discount(job, code, agreed, place, standing.hardware)
        parts.append(ApprovedPart(code, net, standing.net, margin, discount))
    return tuple(parts)


def approved(
    parts: Sequence[ApprovedPart], breaches: Sequence[Breach], approvals: Sequence[Approval]
) -> Approval | None:
    """The latest approval that still holds and saw every part that passes a limit.

    It holds while none of the parts it saw is lower, in what the quote shows, in net or in margin,
    and none is further below the agreed terms.
    One that saw no parts covers nothing. An alternate that has gone is quoted no more.
    """
    now = {part.alternate: part for part in parts}
    for approval in reversed(approvals):
        seen = {part.alternate: part for part in approval.parts}
        covers = BASE in seen and all(breach.alternate in seen for breach in breaches)
        if covers and not any(
            _lower(now[code], then) for code, then in seen.items() if code in now
        ):
            return approval
    return None


def _lower(now: ApprovedPart, then: ApprovedPart) -> bool:
    if now.quoted < then.quoted or now.net < then.net:
        return True
    # Approvals of older programs kept no discount, and are held to the rest.
    if now.discount is not None and then.discount is not None and now.discount > then.discount:
        return True
    return then.margin is not None and (now.margin is None or now.margin < then.margin)
