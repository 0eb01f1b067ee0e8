"""What the owner asks: margins, cost drift, quotes won and lost, and what if."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.catalog import Catalog
from wholekit.domain.earnings import (
    Drift,
    Earning,
    Fate,
    Key,
    Sale,
    WinRate,
    drift_of,
    earning,
    earnings_by,
    price_at,
    sales_of,
    win_rate,
)
from wholekit.domain.errors import CallError
from wholekit.domain.kits import Policy, Shelf
from wholekit.domain.limits import standing_of
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import BASE, CatalogRef, HousePolicy, Revision, State, quote_label
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.ports import RevisionFilter, UnitOfWork, snapshot_of
from wholekit.services.workup import Workup, freeze, work_up_job

COUNTED = frozenset({State.ISSUED, State.ACCEPTED})
DECIDED = frozenset({State.ISSUED, State.ACCEPTED, State.DECLINED, State.EXPIRED})


@dataclass(frozen=True, slots=True)
class MarginReport:
    """Margins by a key, and all together."""

    key: Key
    currency: str
    earnings: tuple[Earning, ...]
    total: Earning
    floor: Fraction


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A job as it is and as it would be. now, then: margins; openings lacking pieces or stopped."""

    job: str
    now: Margin
    then: Margin
    lacking: tuple[str, ...] = ()
    stopped: tuple[str, ...] = ()


def margin_report(desk: Desk, key: Key, wanted: RevisionFilter, currency: str) -> MarginReport:
    """Margins of issued quotes by a key; a quote counts once, by `counted`."""
    with desk.store.reading() as uow:
        chosen = RevisionFilter(
            wanted.issued_from,
            wanted.issued_to,
            wanted.customer,
            wanted.salesperson,
            wanted.job_id,
            wanted.states or COUNTED,
        )
        revisions = counted(uow.revisions.matching(chosen))
        floor = uow.policy.get().floor
    sales = [sale for one in revisions for sale in sales_of(snapshot_of(one))]
    return _report(sales, key, currency, floor)


def job_margins(desk: Desk, deed: Deed, reference: str, key: Key) -> MarginReport:
    """Margins of a job as it stands, on today's prices and cost. Raises CallError, InputError."""
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        workup = work_up_job(uow, desk, job, deed.day)
        floor = uow.policy.get().floor
    return _report(_sales(desk, deed, workup), key, job.currency, floor)


def cost_drift(desk: Desk, deed: Deed) -> tuple[Drift, ...]:
    """Every open quote at present cost, those that lack most for the floor first."""
    with desk.store.reading() as uow:
        wanted = RevisionFilter(states=frozenset({State.ISSUED}))
        open_quotes = [
            one for one in uow.revisions.matching(wanted) if one.state_on(deed.day) is State.ISSUED
        ]
        catalogs = _present(uow, open_quotes)
        floor = uow.policy.get().floor

    def present(catalog_id: str, sku: str) -> Cost | None:
        catalog = catalogs.get(catalog_id)
        item = None if catalog is None else catalog.items_by_sku.get(sku)
        return None if item is None else item.cost

    found = [drift_of(snapshot_of(one), present, floor) for one in open_quotes]
    return tuple(sorted(found, key=lambda one: (-one.short.minor, one.quote)))


def win_report(desk: Desk, deed: Deed, wanted: RevisionFilter, currency: str) -> WinRate:
    """Quotes won and lost; an issued one past its day counts as expired."""
    with desk.store.reading() as uow:
        chosen = RevisionFilter(
            wanted.issued_from,
            wanted.issued_to,
            wanted.customer,
            wanted.salesperson,
            wanted.job_id,
            DECIDED,
        )
        revisions = counted(uow.revisions.matching(chosen))
    return win_rate([_fate(one, deed.day) for one in revisions], currency)


def what_if_price(desk: Desk, deed: Deed, reference: str, price: Money) -> WhatIf:
    """The margin of a job sold for a net price [Money]. Raises CallError."""
    job, now = _standing(desk, deed, reference)
    if price.currency != now.price.currency:
        raise CallError(
            "override-currency", currency=price.currency, job_currency=now.price.currency
        )
    return WhatIf(job, now, Margin(price, now.cost))


def what_if_margin(desk: Desk, deed: Deed, reference: str, margin: Fraction) -> WhatIf:
    """The least net price of a base bid that earns a margin [fraction of it]. Raises CallError."""
    job, now = _standing(desk, deed, reference)
    return WhatIf(job, now, Margin(price_at(now.cost, margin), now.cost))


def what_if_supplier(desk: Desk, deed: Deed, reference: str, supplier: str) -> WhatIf:
    """A job with kits of one supplier's latest catalogue alone. Raises CallError, InputError."""
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        now = work_up_job(uow, desk, job, deed.day)
        current = {one.catalog_id: one for one in uow.catalogs.current()}
        row = current.get(supplier)
        if row is None:
            raise CallError("supplier-unknown", supplier=supplier, known=list(current))
        if row.currency != job.currency:
            raise CallError(
                "job-currency",
                job=job.label,
                currency=job.currency,
                supplier=row.supplier,
                other=row.currency,
            )
        catalog = uow.catalogs.load(CatalogRef(row.catalog_id, row.revision))
        shelf = Shelf([catalog], Policy((), job.stock_first))
        then = work_up_job(uow, desk, job, deed.day, shelf)
    return WhatIf(
        job.label,
        _margin(now),
        _margin(then),
        tuple(one.entry.mark for one in then.job.openings if not one.kit.complete),
        tuple(one.entry.mark for one in then.job.openings if one.open_stops()),
    )


def counted(revisions: Sequence[Revision]) -> list[Revision]:
    """One revision of each quote: the last accepted, or else the last."""
    chosen: dict[int, Revision] = {}
    for one in revisions:
        there = chosen.get(one.quote_number)
        if there is None or one.state is State.ACCEPTED or there.state is not State.ACCEPTED:
            chosen[one.quote_number] = one
    return list(chosen.values())


def _report(sales: list[Sale], key: Key, currency: str, floor: Fraction) -> MarginReport:
    mine = [one for one in sales if one.price.currency == currency]
    return MarginReport(
        key, currency, earnings_by(mine, key, currency), earning("total", mine, currency), floor
    )


def _sales(desk: Desk, deed: Deed, workup: Workup) -> list[Sale]:
    """A job's sales as they would be if it were issued now."""
    job = workup.job.contents.job
    stand_in = Revision("", job.id, 0, 0, State.DRAFT, deed.at, deed.who, valid_days=1)
    snapshot = freeze(
        workup,
        desk,
        stand_in,
        issued=deed.day,
        valid_until=deed.day,
        by=deed.who,
        policy=HousePolicy(),
    )
    return list(sales_of(snapshot))


def _standing(desk: Desk, deed: Deed, reference: str) -> tuple[str, Margin]:
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        return job.label, _margin(work_up_job(uow, desk, job, deed.day))


def _margin(workup: Workup) -> Margin:
    """Hardware and extra lines of known cost of the base bid."""
    standing = standing_of(workup.job, workup.place, (BASE,))
    return Margin(standing.net, standing.cost)


def _present(uow: UnitOfWork, revisions: Sequence[Revision]) -> dict[str, Catalog]:
    wanted = {ref.catalog_id for one in revisions for ref in snapshot_of(one).catalogs}
    return {
        one.catalog_id: uow.catalogs.load(CatalogRef(one.catalog_id, one.revision))
        for one in uow.catalogs.current()
        if one.catalog_id in wanted
    }


def _fate(revision: Revision, day: date) -> Fate:
    snapshot = snapshot_of(revision)
    return Fate(
        quote_label(revision.quote_number),
        snapshot.customer.code,
        snapshot.salesperson,
        revision.state_on(day).value,
        revision.lost_reason,
        snapshot.totals.net,
    )
