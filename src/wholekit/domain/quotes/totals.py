"""A job's totals: hardware, extra lines, freight and tax, for the base bid and each alternate."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.errors import CallError
from wholekit.domain.quantities import MOST_SUM, Cost, Money
from wholekit.domain.quotes.job import BASE, Alternate, ExtraLine
from wholekit.domain.quotes.offer import Totals
from wholekit.domain.quotes.own import Snapshot
from wholekit.domain.quotes.worked import WorkedJob, WorkedOpening
from wholekit.domain.tax import LineKind, ShipTo, TaxableLine, assess, net_factor

# Without a place there is no tax and no freight.
NOWHERE = ShipTo("", "")


@dataclass(frozen=True, slots=True)
class Destination:
    """Where the job goes, on which day, the certificate in force (empty: none), and the name of
    its freight rate (empty: the usual one)."""

    ship_to: ShipTo | None
    day: date
    certificate: str = ""
    freight: str = ""


def net_factors(place: Destination) -> dict[LineKind, Fraction]:
    """What is net of an amount of each kind of line [fraction]."""
    return {
        kind: net_factor(kind, place.ship_to, place.day, place.certificate) for kind in LineKind
    }


def base_totals(job: WorkedJob, place: Destination) -> Totals:
    """The base bid's totals."""
    return _offer(job, job.of_alternate(BASE), _extras(job, BASE), place)


def firm_totals(job: WorkedJob, place: Destination) -> Totals:
    """The base bid's totals without the openings that are not firm, as they would be quoted."""
    firm = [opening for opening in job.of_alternate(BASE) if opening.firm]
    return _offer(job, firm, _extras(job, BASE), place)


def firm_hardware(job: WorkedJob) -> Money:
    """What of the base bid's hardware belongs to openings that are firm [Money]."""
    firm = (opening for opening in job.of_alternate(BASE) if opening.firm)
    return Money(sum(opening.price.minor for opening in firm), job.currency)


def alternate_totals(
    job: WorkedJob, alternate: Alternate, place: Destination, *, firm: bool = False
) -> Totals:
    """What an alternate changes: the offer with it less the base bid, each worked out whole.

    firm: less the base bid's firm openings, which alone are signed for.

    With it there are its own openings and lines, and not the base marks it takes out. Freight and
    each tax are so what the two offers differ by: base and alternate add up to the cent.
    """
    base = [each for each in job.of_alternate(BASE) if each.firm or not firm]
    kept = [opening for opening in base if opening.entry.mark not in alternate.deducts]
    lines = _extras(job, BASE)
    with_it = _offer(
        job,
        [*kept, *job.of_alternate(alternate.code)],
        [*lines, *_extras(job, alternate.code)],
        place,
    )
    return with_it.joined(_offer(job, base, lines, place), -1)


def base_cost(job: WorkedJob) -> Cost:
    """Own cost of the base bid; an extra line without a known cost counts nothing."""
    return _cost(job, job.of_alternate(BASE), _extras(job, BASE))


def alternate_cost(job: WorkedJob, alternate: Alternate) -> Cost:
    """What an alternate changes of the base bid's cost."""
    added = _cost(job, job.of_alternate(alternate.code), _extras(job, alternate.code))
    out = [opening for opening in job.of_alternate(BASE) if opening.entry.mark in alternate.deducts]
    return added + _cost(job, out, []).times(-1)


def priced_at(job: WorkedJob, place: Destination, hardware: Money) -> Totals:
    """The base bid's totals if its hardware went for so much [Money], freight following it."""
    line = TaxableLine(LineKind.HARDWARE, hardware)
    return _totals(job, [line], _extras(job, BASE), place)


def hardware_for(job: WorkedJob, place: Destination, net: Money) -> Money:
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


def over_limit(snapshot: Snapshot) -> bool:
    """Whether any sum of a quote is beyond what may be kept (MOST_SUM)."""
    offer, own = snapshot.offer, snapshot.own
    all_totals = [offer.totals, *(alternate.totals for alternate in offer.alternates)]
    sums = [abs(money.minor) for each in all_totals for money in (each.net, each.gross)]
    sums += [abs(each.units) for each in (own.cost, *own.alternates)]
    for opening in offer.openings:
        cost = snapshot.own_kit(opening).cost.units
        sums += [opening.price.minor * opening.quantity, cost * opening.quantity**2]
    return max(sums) > MOST_SUM


def _offer(
    job: WorkedJob, openings: Sequence[WorkedOpening], extras: list[ExtraLine], place: Destination
) -> Totals:
    return _totals(job, list(_taxable(openings)), extras, place)


def _totals(
    job: WorkedJob,
    lines: list[TaxableLine],
    extras: list[ExtraLine],
    place: Destination,
) -> Totals:
    hardware = _sum(lines, job.currency)
    priced = [
        TaxableLine(extra.kind, total) for extra in extras if (total := extra.total) is not None
    ]
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
    return Totals(
        hardware=hardware,
        extras=_sum(priced, job.currency),
        freight=freight,
        net=taxed.net,
        taxes=taxed.taxes,
        gross=taxed.gross,
        inclusive=ship_to.inclusive,
        exempt=taxed.exempt,
    )


def _taxable(openings: Sequence[WorkedOpening]) -> Iterator[TaxableLine]:
    """Each line of each opening, all of its mark together."""
    for opening in openings:
        count = opening.entry.opening.quantity
        for line in opening.worked.lines:
            yield TaxableLine(LineKind.HARDWARE, line.total.times(count))
        if opening.worked.adjustment.minor:
            yield TaxableLine(LineKind.HARDWARE, opening.worked.adjustment.times(count))


def _cost(job: WorkedJob, openings: Sequence[WorkedOpening], extras: list[ExtraLine]) -> Cost:
    known = sum(extra.cost.units * extra.quantity for extra in extras if extra.cost is not None)
    return Cost(sum(opening.cost.units for opening in openings) + known, job.currency)


def _extras(job: WorkedJob, alternate: str) -> list[ExtraLine]:
    return [extra for extra in job.contents.extras if extra.alternate == alternate]


def _freight(hardware: Money, place: Destination) -> Money:
    rate = None if place.ship_to is None else place.ship_to.freight_of(place.freight)
    return Money.zero(hardware.currency) if rate is None else rate.charge(hardware)


def _loose_hardware(extras: Sequence[ExtraLine], currency: str) -> Money:
    """Hardware among the extra lines: the same for freight as it is for tax."""
    kind = LineKind.HARDWARE
    found = (extra.total for extra in extras if extra.kind is kind and extra.total is not None)
    return Money(sum(money.minor for money in found), currency)


def _sum(lines: list[TaxableLine], currency: str) -> Money:
    return Money(sum(line.amount.minor for line in lines), currency)
