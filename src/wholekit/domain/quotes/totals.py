"""A job's totals: hardware, extra lines, freight and tax, for the base bid and each alternate."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.frozen import FrozenTotals
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
    openings = job.of_alternate(BASE)
    lines = list(_taxable(openings))
    hardware = _sum(lines, job.currency)
    freight = _freight(hardware, place)
    extras = _extras(job, BASE)
    return _totals(
        job, lines, extras, freight, sum(one.cost.units for one in openings), hardware, place
    )


def alternate_totals(job: WorkedJob, alternate: Alternate, place: Place) -> FrozenTotals:
    """What an alternate changes: its own openings and lines less the base marks it takes out.

    Freight is the freight with the alternate less the freight without it.
    """
    base = job.of_alternate(BASE)
    added = job.of_alternate(alternate.code)
    out = [one for one in base if one.entry.mark in alternate.deducts]
    lines = [*_taxable(added), *_taxable(out, -1)]
    change = _sum(lines, job.currency)
    before = _sum(list(_taxable(base)), job.currency)
    freight = _freight(before + change, place) - _freight(before, place)
    cost = sum(one.cost.units for one in added) - sum(one.cost.units for one in out)
    return _totals(job, lines, _extras(job, alternate.code), freight, cost, change, place)


def _totals(
    job: WorkedJob,
    lines: list[TaxableLine],
    extras: list[ExtraLine],
    freight: Money,
    hardware_cost: int,
    hardware: Money,
    place: Place,
) -> FrozenTotals:
    priced = [TaxableLine(one.kind, total) for one in extras if (total := one.total) is not None]
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


def _taxable(
    openings: tuple[WorkedOpening, ...] | list[WorkedOpening], sign: int = 1
) -> Iterator[TaxableLine]:
    """Each line of each opening, all of its mark together."""
    for one in openings:
        count = one.entry.opening.quantity * sign
        for line in one.worked.lines:
            yield TaxableLine(LineKind.HARDWARE, line.total.times(count))
        if one.worked.adjustment.minor:
            yield TaxableLine(LineKind.HARDWARE, one.worked.adjustment.times(count))


def _extras(job: WorkedJob, alternate: str) -> list[ExtraLine]:
    return [one for one in job.contents.extras if one.alternate == alternate]


def _freight(hardware: Money, place: Place) -> Money:
    rate = None if place.ship_to is None else place.ship_to.freight_of(place.freight)
    return Money.zero(hardware.currency) if rate is None else rate.charge(hardware)


def _sum(lines: list[TaxableLine], currency: str) -> Money:
    return Money(sum(line.amount.minor for line in lines), currency)
