"""What the owner asks: margins, cost drift, quotes won and lost, and what if."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
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
    changed_by,
    drift_of,
    earning,
    earnings_by,
    left_out,
    price_at,
    sold,
    win_rate,
)
from wholekit.domain.errors import CallError
from wholekit.domain.kits import Policy, Shelf
from wholekit.domain.limits import standing_of
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Cost, Money, currency_digits
from wholekit.domain.quotes import (
    BASE,
    CatalogRef,
    HousePolicy,
    Job,
    Revision,
    Snapshot,
    State,
    quote_label,
)
from wholekit.domain.quotes.choices import as_quoted
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.totals import (
    base_totals,
    hardware_for,
    net_factors,
    priced_at,
)
from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.domain.tax import LineKind
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.ports import JobFilter, Page, RevisionFilter, UnitOfWork, snapshot_of
from wholekit.services.rights import needs
from wholekit.services.snapshots import freeze
from wholekit.services.workup import Workup, work_up_contents, work_up_job

# A superseded revision is in neither: the one after it stands for the quote.
COUNTED = frozenset({State.ISSUED, State.ACCEPTED})
DECIDED = frozenset({State.ISSUED, State.ACCEPTED, State.DECLINED, State.EXPIRED})
NO_RISE: Mapping[str, Fraction] = {}
NOTHING_INSTEAD: Mapping[str, Catalog] = {}


@dataclass(frozen=True, slots=True)
class MarginReport:
    """Margins by a key, and all together.

    left_out: (currency, count) of quotes in other currencies. alternates: what each open one would
    change, in no total. quotes: the margin of each quote, by its label without the revision.
    """

    key: Key
    currency: str
    earnings: tuple[Earning, ...]
    total: Earning
    floor: Fraction
    left_out: tuple[tuple[str, int], ...] = ()
    alternates: tuple[Earning, ...] = ()
    quotes: Mapping[str, Margin] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class BaseBid:
    """A base bid for a price. margin: on hardware and extra lines of known cost, without freight
    and tax; net: as the quote shows it, freight and all extra lines in it [Money]."""

    margin: Margin
    net: Money


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A job's base bid as it is and as it would be; openings then lacking pieces or stopped."""

    job: str
    now: BaseBid
    then: BaseBid
    lacking: tuple[str, ...] = ()
    stopped: tuple[str, ...] = ()


@needs(Action.SEE_COST)
def margin_report(
    desk: Desk,
    deed: Deed,
    key: Key,
    wanted: RevisionFilter,
    currency: str,
    *,
    alternates: bool = False,
) -> MarginReport:
    """Margins of issued quotes by a key; a quote counts once, by `counted`, as `sold`.

    A quote past its last valid day on the deed's has lapsed, and counts as expired whether or not
    anybody has marked it so.
    Raises CallError (days reversed; a customer or salesperson nobody knows), QuantityError.
    """
    # Refuses a currency that does not exist, which would else have no quotes and no fault.
    currency_digits(currency)
    with desk.store.reading() as uow:
        check_wanted(uow, wanted)
        revisions = counted(in_states(uow, wanted, wanted.states or COUNTED, deed.day))
        floor = uow.policy.get().floor
    sales = [
        sale for revision in revisions for sale in sold(snapshot_of(revision), revision.accepted)
    ]
    # With an accepted quote its alternates are decided too.
    still_open = [
        snapshot_of(revision)
        for revision in revisions
        if revision.state_on(deed.day) is State.ISSUED
    ]
    return replace(
        _report(sales, key, currency, floor),
        left_out=left_out(
            (snapshot_of(revision).offer.currency for revision in revisions), currency
        ),
        alternates=_changes(still_open, currency) if alternates else (),
    )


@needs(Action.SEE_COST)
def job_margins(
    desk: Desk, deed: Deed, reference: str, key: Key, *, alternates: bool = False
) -> MarginReport:
    """Margins of a job as it stands, on today's prices and cost. Raises CallError, InputError."""
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        workup = work_up_job(uow, desk, job, deed.day)
        floor = uow.policy.get().floor
    snapshot = _as_if_issued(desk, deed, workup)
    return replace(
        _report(sold(snapshot), key, job.currency, floor),
        alternates=_changes([snapshot], job.currency) if alternates else (),
    )


@needs(Action.SEE_COST)
def cost_drift(
    desk: Desk,
    deed: Deed,
    rises: Mapping[str, Fraction] = NO_RISE,
    instead: Mapping[str, Catalog] = NOTHING_INSTEAD,
) -> tuple[Drift, ...]:
    """Every open quote at present cost, those that lack most for the floor first.

    rises: what is tried of suppliers' costs, by catalogue id [fraction of cost], such as 6/100;
    instead: catalogues in place of the store's newest, by id; nothing is loaded for either.
    """
    with desk.store.reading() as uow:
        open_quotes = in_states(uow, RevisionFilter(), frozenset({State.ISSUED}), deed.day)
        catalogs = {**_present(uow, open_quotes), **instead}
        floor = uow.policy.get().floor

    def present(catalog_id: str, sku: str) -> Cost | None:
        catalog = catalogs.get(catalog_id)
        item = None if catalog is None else catalog.items_by_sku.get(sku)
        if item is None or item.cost is None:
            return None
        rise = rises.get(catalog_id)
        return item.cost if rise is None else item.cost.scaled(1 + rise)

    def unrisen(catalog_id: str, sku: str) -> Cost | None:
        catalog = catalogs.get(catalog_id)
        item = None if catalog is None else catalog.items_by_sku.get(sku)
        return None if item is None else item.cost

    found = []
    for quote in open_quotes:
        snapshot = snapshot_of(quote)
        drift = drift_of(snapshot, present, floor)
        before = drift_of(snapshot, unrisen, floor).now if rises else drift.then
        fell = drift.now.under(floor) and not before.under(floor)
        found.append(replace(drift, before=before, fell=fell))
    return tuple(sorted(found, key=lambda drift: (-drift.short.minor, drift.quote)))


@needs(Action.SEE_COST)
def win_report(desk: Desk, deed: Deed, wanted: RevisionFilter, currency: str) -> WinRate:
    """Quotes won and lost; an issued one past its day counts as expired.

    Raises CallError and QuantityError as `margin_report`.
    """
    currency_digits(currency)
    with desk.store.reading() as uow:
        check_wanted(uow, wanted)
        revisions = counted(uow.revisions.matching(replace(wanted, states=DECIDED)))
    return win_rate([_fate(revision, deed.day) for revision in revisions], currency)


@needs(Action.SEE_COST)
def what_if_price(desk: Desk, deed: Deed, reference: str, price: Money) -> WhatIf:
    """A base bid sold for a price without freight and tax [Money]. Raises CallError."""
    workup = _worked(desk, deed, reference)
    _need_currency(price, workup)
    now = _base_bid(workup)
    # Extra lines keep their prices; the hardware alone takes up what the price is moved by.
    lines = now.margin.price - _net_hardware(workup, base_totals(workup.job, workup.place).hardware)
    # From net back to how the place writes its prices, with the tax in them where it does.
    hardware = (price - lines).scaled(1 / net_factors(workup.place)[LineKind.HARDWARE])
    totals = priced_at(workup.job, workup.place, hardware)
    return WhatIf(_label(workup), now, BaseBid(Margin(price, now.margin.cost), totals.net))


@needs(Action.SEE_COST)
def what_if_net(desk: Desk, deed: Deed, reference: str, net: Money) -> WhatIf:
    """A base bid whose net, as the quote shows it, comes to so much [Money]. Raises CallError."""
    workup = _worked(desk, deed, reference)
    _need_currency(net, workup)
    now = _base_bid(workup)
    there = base_totals(workup.job, workup.place).hardware
    hardware = hardware_for(workup.job, workup.place, net)
    moved = _net_hardware(workup, hardware) - _net_hardware(workup, there)
    then = Margin(now.margin.price + moved, now.margin.cost)
    totals = priced_at(workup.job, workup.place, hardware)
    return WhatIf(_label(workup), now, BaseBid(then, totals.net))


@needs(Action.SEE_COST)
def what_if_margin(desk: Desk, deed: Deed, reference: str, margin: Fraction) -> WhatIf:
    """The least price of a base bid that earns a margin [fraction of it]. Raises CallError."""
    cost = _base_bid(_worked(desk, deed, reference)).margin.cost
    return what_if_price(desk, deed, reference, price_at(cost, margin))


@needs(Action.SEE_COST)
def what_if_supplier(
    desk: Desk, deed: Deed, reference: str, supplier: str, marks: Sequence[str] = ()
) -> WhatIf:
    """A job with kits of one supplier's latest catalogue alone.

    marks: of the base bid, those that are tried; the others stay as they are. None: every opening.
    Raises CallError, InputError.
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        now = work_up_job(uow, desk, job, deed.day)
        contents = now.job.contents
        known = [opening.mark for opening in contents.openings if opening.alternate == BASE]
        for mark in marks:
            if mark not in known:
                raise CallError("job-mark-unknown", job=job.label, mark=mark, known=known)
        tried = [
            opening
            for opening in contents.openings
            if not marks or (opening.alternate == BASE and opening.mark in marks)
        ]
        # The trial takes the place of whatever was chosen.
        tried = [as_quoted(opening) for opening in tried]
        shelf = _shelf_of(uow, desk, job, supplier)
        chosen = replace(contents, openings=tuple(tried))
        # By id, since a mark may stand in the base bid and in alternates.
        other = {
            opening.entry.id: opening
            for opening in work_up_contents(uow, desk, chosen, deed.day, shelf).job.openings
        }
    openings = tuple(other.get(opening.entry.id, opening) for opening in now.job.openings)
    then = replace(now, job=replace(now.job, openings=openings))
    return WhatIf(
        job.label,
        _base_bid(now),
        _base_bid(then),
        tuple(_where(opening) for opening in openings if not opening.kit.complete),
        tuple(_where(opening) for opening in openings if opening.open_stops()),
    )


def counted(revisions: Sequence[Revision]) -> list[Revision]:
    """One revision of each quote: the last accepted, or else the last."""
    chosen: dict[int, Revision] = {}
    for revision in revisions:
        there = chosen.get(revision.quote_number)
        if there is None or revision.state is State.ACCEPTED or there.state is not State.ACCEPTED:
            chosen[revision.quote_number] = revision
    return list(chosen.values())


def in_states(
    uow: UnitOfWork, wanted: RevisionFilter, states: frozenset[State], day: date
) -> list[Revision]:
    """The revisions wanted that were in one of the states on a day."""
    # Those that have lapsed are issued in the store until somebody marks them.
    stored = states | {State.ISSUED} if State.EXPIRED in states else states
    found = uow.revisions.matching(replace(wanted, states=stored))
    return [revision for revision in found if revision.state_on(day) in states]


def check_wanted(uow: UnitOfWork, wanted: RevisionFilter) -> None:
    """Raises CallError for days the wrong way round, and for names that nobody has."""
    first, last = wanted.issued_from, wanted.issued_to
    if first is not None and last is not None and last < first:
        raise CallError("dates-reversed", first=f"{first}", last=f"{last}")
    if wanted.customer and uow.customers.get(wanted.customer) is None:
        raise CallError("customer-unknown", name=wanted.customer)
    name = wanted.salesperson
    # Somebody who was never entered, or has left, may still have sold.
    if name and uow.people.get(name) is None:
        _, jobs = uow.jobs.page(JobFilter(salesperson=name), Page(limit=1))
        if not jobs:
            raise CallError("salesperson-unknown", name=name)


def _report(sales: Sequence[Sale], key: Key, currency: str, floor: Fraction) -> MarginReport:
    mine = [sale for sale in sales if sale.price.currency == currency]
    of: dict[str, list[Sale]] = {}
    for sale in mine:
        of.setdefault(sale.quote.partition("/")[0], []).append(sale)
    return MarginReport(
        key, currency, earnings_by(mine, key, currency), earning("total", mine, currency), floor,
        quotes={quote: earning(quote, own, currency).margin for quote, own in of.items()},
    )  # fmt: skip


def _changes(snapshots: Sequence[Snapshot], currency: str) -> tuple[Earning, ...]:
    """What each alternate would change, quote by quote."""
    return tuple(
        changed_by(snapshot, alternate.code)
        for snapshot in snapshots
        if snapshot.offer.currency == currency
        for alternate in snapshot.offer.alternates
    )


def _as_if_issued(desk: Desk, deed: Deed, workup: Workup) -> Snapshot:
    """A job as it would be frozen if it were issued now."""
    job = workup.job.contents.job
    stand_in = Revision("", job.id, 0, 0, State.DRAFT, deed.at, deed.who, valid_days=1)
    return freeze(
        workup,
        desk,
        stand_in,
        issued=deed.day,
        valid_until=deed.day,
        by=deed.who,
        # Nobody sees this snapshot's head, and the floor is read apart.
        policy=HousePolicy(),
        asks=False,
    )


def _worked(desk: Desk, deed: Deed, reference: str) -> Workup:
    with desk.store.reading() as uow:
        return work_up_job(uow, desk, job_of(uow, reference), deed.day)


def _base_bid(workup: Workup) -> BaseBid:
    """The base bid as it stands."""
    standing = standing_of(workup.job, workup.place, (BASE,))
    return BaseBid(Margin(standing.net, standing.cost), base_totals(workup.job, workup.place).net)


def _net_hardware(workup: Workup, hardware: Money) -> Money:
    """What is net of a hardware amount: all of it, unless prices contain the tax."""
    return hardware.scaled(net_factors(workup.place)[LineKind.HARDWARE])


def _need_currency(amount: Money, workup: Workup) -> None:
    if amount.currency != workup.job.currency:
        raise CallError(
            "override-currency", currency=amount.currency, job_currency=workup.job.currency
        )


def _shelf_of(uow: UnitOfWork, desk: Desk, job: Job, supplier: str) -> Shelf:
    """A supplier's latest catalogue alone. Raises CallError (unknown; another currency)."""
    current = {revision.catalog_id: revision for revision in uow.catalogs.current()}
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
    ref = CatalogRef(row.catalog_id, row.revision)
    # Nobody is to be preferred where there is one supplier only.
    return desk.shelves.shelf(uow, [ref], Policy((), job.stock_first))


def _where(opening: WorkedOpening) -> str:
    entry = opening.entry
    return f"{entry.mark} [{entry.alternate}]" if entry.alternate else entry.mark


def _label(workup: Workup) -> str:
    return workup.job.contents.job.label


def _present(uow: UnitOfWork, revisions: Sequence[Revision]) -> dict[str, Catalog]:
    wanted = {
        ref.catalog_id for revision in revisions for ref in snapshot_of(revision).offer.catalogs
    }
    return {
        stored.catalog_id: uow.catalogs.load(CatalogRef(stored.catalog_id, stored.revision))
        for stored in uow.catalogs.current()
        if stored.catalog_id in wanted
    }


def _fate(revision: Revision, day: date) -> Fate:
    offer = snapshot_of(revision).offer
    return Fate(
        quote_label(revision.quote_number),
        offer.customer.code,
        offer.salesperson,
        revision.state_on(day).value,
        revision.lost_reason,
        offer.totals_with(revision.accepted).net,
        revision.note,
        revision.number,
    )
