"""A job's totals: hardware, extra lines, freight and tax, for the base bid and each alternate."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from wholekit.domain.errors import CallError
from wholekit.domain.quantities import MOST_SUM, Cost, Money
from wholekit.domain.quotes.frozen import FrozenTotals, Snapshot
from wholekit.domain.quotes.job import BASE, Alternate, ExtraLine
from wholekit.domain.quotes.worked import WorkedJob, WorkedOpening
from wholekit.domain.tax import LineKind, ShipTo, TaxableLine, assess, net_factor

# Without a place there is no tax and no freight.
NOWHERE = ShipTo("", "")


@dataclass(frozen=True, slots=True)
class Place:
    """Where the job goes, on which day, the certificate in force (empty: none), and the name of
    its freight rate (empty: the usual one)."""

    ship_to: ShipTo | None
    day: date
    certificate: str = ""
    freight: str = ""


def net_factors(place: Place) -> dict[LineKind, Fraction]:
    """What is net of an amount of each kind of line [fraction]."""
    return {
        kind: net_factor(kind, place.ship_to, place.day, place.certificate) for kind in LineKind
    }


def base_totals(job: WorkedJob, place: Place) -> FrozenTotals:
    """The base bid's totals."""
    return _offer(job, job.of_alternate(BASE), _extras(job, BASE), place)


def alternate_totals(job: WorkedJob, alternate: Alternate, place: Place) -> FrozenTotals:
    """What an alternate changes: the offer with it less the base bid, each worked out whole.

    With it there are its own openings and lines, and not the base marks it takes out. Freight and
    each tax are so what the two offers differ by: base and alternate add up to the cent.
    """
    base = job.of_alternate(BASE)
    kept = [one for one in base if one.entry.mark not in alternate.deducts]
    lines = _extras(job, BASE)
    with_it = _offer(
        job,
        [*kept, *job.of_alternate(alternate.code)],
        [*lines, *_extras(job, alternate.code)],
        place,
    )
    return _joined(with_it, _offer(job, base, lines, place), -1)


def priced_at(job: WorkedJob, place: Place, hardware: Money) -> FrozenTotals:
    """The base bid's totals if its hardware went for so much [Money], freight following it."""
    cost = sum(one.cost.units for one in job.of_alternate(BASE))
    line = TaxableLine(LineKind.HARDWARE, hardware)
    return _totals(job, [line], _extras(job, BASE), cost, place)


def hardware_for(job: WorkedJob, place: Place, net: Money) -> Money:
    """The least hardware amount [Money] with which the base bid's net comes to so much, freight
    following it; above an amount from which freight is free, where that does.

    Raises CallError (`net-under-lines`) where the extra lines alone come to more.
    """

    def net_with(hardware: int) -> int:
        return priced_at(job, place, Money(hardware, job.currency)).net.minor

    lines = net_with(0)
    if net.minor < lines:
        raise CallError(
            "net-under-lines",
            given=net.decimal_text,
            currency=net.currency,
            lines=Money(lines, job.currency).decimal_text,
        )
    least, most = 0, 1
    while net_with(most) < net.minor:
        most *= 2
    rate = None if place.ship_to is None else place.ship_to.freight_of(place.freight)
    if rate is not None and rate.free_from is not None:
        # From so much of the kits on, the loose hardware being there already.
        loose = _loose_hardware(_extras(job, BASE), job.currency)
        free = max(0, rate.free_from.minor - loose.minor)
        if net_with(free) <= net.minor:
            least, most = free, max(most, free)
        else:
            most = min(most, free)
    return Money(bisect_left(range(least, most), net.minor, key=net_with) + least, job.currency)


def offer_totals(snapshot: Snapshot, alternates: Sequence[str]) -> FrozenTotals:
    """The base bid with what some alternates change, each as it was quoted: what was offered."""
    found = snapshot.totals
    for one in snapshot.alternates:
        if one.code in alternates:
            found = _joined(found, one.totals)
    return found


def over_limit(snapshot: Snapshot) -> bool:
    """Whether any sum of a quote is beyond what may be kept (MOST_SUM)."""
    all_totals = [snapshot.totals, *(one.totals for one in snapshot.alternates)]
    sums = [abs(one.minor) for each in all_totals for one in (each.net, each.gross)]
    sums += [abs(each.cost.units) for each in all_totals]
    for opening in snapshot.openings:
        sums += [opening.price.minor * opening.quantity, opening.cost.units * opening.quantity]
    return max(sums) > MOST_SUM


def _joined(one: FrozenTotals, other: FrozenTotals, sign: int = 1) -> FrozenTotals:
    """The totals and others with them, or (sign -1) without; the same taxes are in both."""

    def sum_of(first: Money, second: Money) -> Money:
        return first + second.times(sign)

    taxes = tuple(
        replace(first, base=sum_of(first.base, second.base), tax=sum_of(first.tax, second.tax))
        for first, second in zip(one.taxes, other.taxes, strict=True)
    )
    return replace(
        one,
        hardware=sum_of(one.hardware, other.hardware),
        extras=sum_of(one.extras, other.extras),
        freight=sum_of(one.freight, other.freight),
        net=sum_of(one.net, other.net),
        taxes=taxes,
        gross=sum_of(one.gross, other.gross),
        cost=one.cost + other.cost.times(sign),
    )


def _offer(
    job: WorkedJob, openings: Sequence[WorkedOpening], extras: list[ExtraLine], place: Place
) -> FrozenTotals:
    cost = sum(one.cost.units for one in openings)
    return _totals(job, list(_taxable(openings)), extras, cost, place)


def _totals(
    job: WorkedJob,
    lines: list[TaxableLine],
    extras: list[ExtraLine],
    hardware_cost: int,
    place: Place,
) -> FrozenTotals:
    hardware = _sum(lines, job.currency)
    priced = [TaxableLine(one.kind, total) for one in extras if (total := one.total) is not None]
    freight = _freight(hardware + _loose_hardware(extras, job.currency), place)
    taxed_lines = [*lines, *priced]
    if freight.minor:
        taxed_lines.append(TaxableLine(LineKind.FREIGHT, freight))
    ship_to = place.ship_to or NOWHERE
    taxed = assess(
        taxed_lines,
        ship_to.taxes,
        day=place.day,
        currency=job.currency,
        inclusive=ship_to.inclusive,
        rounding=ship_to.rounding,
        certificate=place.certificate,
    )
    extra_cost = sum(one.cost.units * one.quantity for one in extras if one.cost is not None)
    return FrozenTotals(
        hardware=hardware,
        extras=_sum(priced, job.currency),
        freight=freight,
        net=taxed.net,
        taxes=taxed.taxes,
        gross=taxed.gross,
        cost=Cost(hardware_cost + extra_cost, job.currency),
        inclusive=ship_to.inclusive,
        exempt=taxed.exempt,
    )


def _taxable(openings: Sequence[WorkedOpening]) -> Iterator[TaxableLine]:
    """Each line of each opening, all of its mark together."""
    for one in openings:
        count = one.entry.opening.quantity
        for line in one.worked.lines:
            yield TaxableLine(LineKind.HARDWARE, line.total.times(count))
        if one.worked.adjustment.minor:
            yield TaxableLine(LineKind.HARDWARE, one.worked.adjustment.times(count))


def _extras(job: WorkedJob, alternate: str) -> list[ExtraLine]:
    return [one for one in job.contents.extras if one.alternate == alternate]


def _freight(hardware: Money, place: Place) -> Money:
    rate = None if place.ship_to is None else place.ship_to.freight_of(place.freight)
    return Money.zero(hardware.currency) if rate is None else rate.charge(hardware)


def _loose_hardware(extras: Sequence[ExtraLine], currency: str) -> Money:
    """Hardware among the extra lines: the same for freight as it is for tax."""
    kind = LineKind.HARDWARE
    found = (one.total for one in extras if one.kind is kind and one.total is not None)
    return Money(sum(one.minor for one in found), currency)


def _sum(lines: list[TaxableLine], currency: str) -> Money:
    return Money(sum(line.amount.minor for line in lines), currency)
