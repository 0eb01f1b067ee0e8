"""A stored job worked up on a day, and put into a snapshot when it is issued."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from wholekit.domain.errors import CallError
from wholekit.domain.findings import Finding
from wholekit.domain.kits import Kit, Shelf
from wholekit.domain.quantities import Cost
from wholekit.domain.quotes import HousePolicy, Job, JobContents, Revision, quote_label
from wholekit.domain.quotes.frozen import (
    FrozenAlternate,
    FrozenCatalog,
    FrozenExtra,
    FrozenFinding,
    FrozenKit,
    FrozenLine,
    FrozenOpening,
    FrozenParty,
    FrozenPiece,
    FrozenSign,
    Snapshot,
)
from wholekit.domain.quotes.job import finding_about
from wholekit.domain.quotes.totals import Place, alternate_totals, base_totals, net_factors
from wholekit.domain.quotes.worked import (
    WorkedJob,
    WorkedKit,
    WorkedLine,
    WorkedOpening,
    standing,
    work_up,
)
from wholekit.domain.tax import ShipTo
from wholekit.services.desk import Desk, shelf_of
from wholekit.services.ports import UnitOfWork

ADJUSTMENT = "adjustment"
ENGLISH = "en"
ONE = Fraction(1)


@dataclass(frozen=True, slots=True)
class Workup:
    """A job worked up, with where it goes and the catalogue revisions it stands on."""

    job: WorkedJob
    place: Place
    catalogs: tuple[FrozenCatalog, ...]


def work_up_job(
    uow: UnitOfWork, desk: Desk, job: Job, day: date, shelf: Shelf | None = None
) -> Workup:
    """The job's kits, prices and place on a day. shelf: in place of the job's own.

    Raises CallError (customer or ship-to gone, no catalogues, currencies), InputError (overrides).
    """
    contents = uow.jobs.contents(job.id)
    if contents is None:
        raise CallError("job-unknown", job=job.label)
    return work_up_contents(uow, desk, contents, day, shelf)


def work_up_contents(
    uow: UnitOfWork, desk: Desk, contents: JobContents, day: date, shelf: Shelf | None = None
) -> Workup:
    """As `work_up_job`, of contents at hand."""
    job = contents.job
    customer = uow.customers.get(job.customer)
    if customer is None:
        raise CallError("customer-unknown", name=job.customer)
    ship_to = None
    if job.ship_to:
        ship_to = uow.ship_tos.get(job.ship_to)
        if ship_to is None:
            raise CallError("ship-to-unknown", name=job.ship_to)
        check_freight(job, ship_to)
    if shelf is None and contents.openings:
        shelf = shelf_of(uow, desk, job)
    worked = work_up(contents, customer, shelf, desk.rules, day)
    revisions = {ref.catalog_id: ref.revision for ref in job.catalogs}
    return Workup(
        worked,
        Place(ship_to, day, customer.tax.certificate_on(day), job.freight),
        tuple(
            FrozenCatalog(one.id, one.supplier, revisions.get(one.id, 0), one.edition)
            for one in worked.catalogs
        ),
    )


def check_freight(job: Job, place: ShipTo) -> None:
    """Raises CallError where the job's freight rate is not one of the place, or is charged in
    another currency than the job's."""
    rate = place.freight_of(job.freight)
    if job.freight and rate is None:
        raise CallError(
            "freight-unknown",
            freight=job.freight,
            name=place.code,
            known=[one.name for one in place.freights],
        )
    if rate is not None and rate.flat.currency != job.currency:
        raise CallError(
            "freight-currency",
            name=place.code,
            currency=rate.flat.currency,
            job_currency=job.currency,
        )


def freeze(
    workup: Workup,
    desk: Desk,
    revision: Revision,
    *,
    issued: date,
    valid_until: date,
    by: str,
    policy: HousePolicy,
) -> Snapshot:
    """The snapshot of a worked job for a revision that has its numbers."""
    job, contents = workup.job, workup.job.contents
    header = contents.job
    kits: list[FrozenKit] = []
    places: dict[int, int] = {}
    openings = []
    for one in job.openings:
        place = places.get(id(one.worked))
        if place is None:
            place = places[id(one.worked)] = len(kits)
            kits.append(_kit(one.worked, desk))
        openings.append(_opening(one, place, desk))
    totals = base_totals(job, workup.place)
    charged = bool(totals.freight.minor or totals.taxes or totals.exempt)
    return Snapshot(
        quote=quote_label(revision.quote_number),
        revision=revision.number,
        job=header.label,
        job_name=header.name,
        issued=issued,
        valid_until=valid_until,
        issued_by=by,
        currency=header.currency,
        customer=FrozenParty(
            job.customer.code,
            job.customer.name,
            job.customer.address,
            header.contact or job.customer.contact,
            job.customer.locale,
            job.customer.terms.text or desk.words.payment(job.customer.terms.days),
        ),
        site=header.site,
        site_address=header.site_address,
        salesperson=header.salesperson,
        bids_due=header.bids_due,
        ship_to=workup.place.ship_to.name if workup.place.ship_to else "",
        house_name=policy.house_name,
        catalogs=workup.catalogs,
        rules_version=desk.rules.version,
        discount=header.discount,
        discount_reason=header.discount_reason,
        floor=policy.floor,
        kits=tuple(kits),
        openings=tuple(openings),
        extras=tuple(
            FrozenExtra(
                one.kind,
                one.description,
                one.quantity,
                one.unit,
                one.total,
                one.cost,
                one.alternate,
            )
            for one in contents.extras
        ),
        totals=totals,
        alternates=tuple(
            FrozenAlternate(
                one.code, one.title, one.deducts, alternate_totals(job, one, workup.place)
            )
            for one in header.alternates
        ),
        cover_note=revision.cover_note,
        terms=desk.words.terms(charged),
        cautions=desk.words.cautions(_kits(job)),
        signs=tuple(
            FrozenSign("approval", desk.words.approval(one), one.reason, one.by, one.at)
            for one in revision.approvals
        ),
        net_of=tuple(net_factors(workup.place).items()) if totals.inclusive else (),
        translations=_translations(job, desk, charged),
    )


def _translations(job: WorkedJob, desk: Desk, charged: bool) -> tuple[tuple[str, str], ...]:
    """What the customer reads in place of each text; nothing where they read English."""
    if desk.words.language(job.customer.locale) == ENGLISH:
        return ()
    english = tuple(_said(job, desk, charged))
    with desk.words.speaking(job.customer.locale):
        theirs = tuple(_said(job, desk, charged))
    pairs = {said: read for said, read in zip(english, theirs, strict=True) if said != read}
    return tuple(pairs.items())


def _said(job: WorkedJob, desk: Desk, charged: bool) -> Iterator[str]:
    """Every text of the house that the customer's paper may show."""
    for kit in _kits(job):
        yield from desk.words.kit(kit, desk.rules).for_customers()
    for one in job.openings:
        for texts in desk.words.findings(one.of_note, desk.rules):
            yield from texts
    yield from desk.words.terms(charged)
    yield from desk.words.cautions(_kits(job))
    yield desk.words.price_agreed()
    if not job.customer.terms.text:
        yield desk.words.payment(job.customer.terms.days)


def _kits(job: WorkedJob) -> Sequence[Kit]:
    return list({id(one.worked): one.kit for one in job.openings}.values())


def _kit(worked: WorkedKit, desk: Desk) -> FrozenKit:
    kit = worked.kit
    texts = desk.words.kit(kit, desk.rules)
    lines = [
        _line(line, serves, because)
        for line, (serves, because) in zip(worked.lines, texts.lines, strict=True)
    ]
    if worked.adjustment.minor:
        lines.append(_adjustment(worked, desk))
    return FrozenKit(
        size=texts.size,
        leaves=kit.type.leaves,
        summary=texts.summary,
        mount=texts.mount,
        body_side=texts.body_side,
        finish=kit.finish,
        size_required=kit.size_required,
        spring_size=kit.spring_size,
        why_size=texts.why_size,
        why_mount=texts.why_mount,
        fields=texts.fields,
        lines=tuple(lines),
        price=worked.price,
        tier_price=worked.tier_price,
        cost=kit.cost,
        unused=tuple(
            FrozenPiece(piece, one.quantity, one.item.sku)
            for one, piece in zip(kit.unused, texts.unused, strict=True)
        ),
        missing=tuple(
            FrozenPiece(piece, one.quantity, "", because)
            for one, (piece, because) in zip(kit.missing, texts.missing, strict=True)
        ),
        findings=_findings(kit.findings, texts.findings),
        assumed=texts.assumed,
        estimates=texts.estimates,
    )


def _findings(
    findings: Sequence[Finding], texts: Sequence[tuple[str, str, str]]
) -> tuple[FrozenFinding, ...]:
    return tuple(
        FrozenFinding(one.code, one.severity.value, text, hint, source, finding_about(one))
        for one, (text, hint, source) in zip(findings, texts, strict=True)
    )


def _line(worked: WorkedLine, serves: str, because: tuple[str, ...]) -> FrozenLine:
    item = worked.line.item
    return FrozenLine(
        sku=item.sku,
        supplier=item.supplier,
        catalog_id=worked.catalog_id,
        series=tuple(sorted(worked.goods.every_series)),
        kind=worked.goods.kind,
        description=item.description,
        finish=item.finish or "",
        quantity=worked.line.quantity,
        list_price=item.list_price,
        multiplier=worked.multiplier,
        unit=worked.unit,
        total=worked.total,
        cost=item.cost,
        serves=serves,
        because=because,
        bin=item.bin,
        by_hand="" if worked.by_hand is None else worked.by_hand.reason,
    )


def _adjustment(worked: WorkedKit, desk: Desk) -> FrozenLine:
    """What makes the lines add up to a price agreed for the whole opening."""
    money = worked.adjustment
    return FrozenLine(
        sku="",
        supplier="",
        catalog_id="",
        series=(),
        kind=ADJUSTMENT,
        description=desk.words.price_agreed(),
        finish="",
        quantity=1,
        list_price=money,
        multiplier=worked.lines[0].multiplier if worked.lines else ONE,
        unit=money,
        total=money,
        cost=Cost(0, money.currency),
    )


def _opening(one: WorkedOpening, place: int, desk: Desk) -> FrozenOpening:
    entry = one.entry
    signs = [
        FrozenSign("override", desk.words.override(done), done.reason, done.by, done.at)
        for done in standing(entry.overrides)
    ]
    found = {(one.code, finding_about(one)): one for one in one.kit.findings}
    signs += [
        FrozenSign(
            "release",
            desk.words.finding(found[(done.code, done.about)], desk.rules),
            done.reason,
            done.by,
            done.at,
        )
        for done in entry.releases
        if (done.code, done.about) in found
    ]
    return FrozenOpening(
        entry.mark,
        entry.opening.quantity,
        place,
        one.price,
        one.cost,
        entry.alternate,
        entry.opening.note,
        tuple(signs),
        _findings(one.of_note, desk.words.findings(one.of_note, desk.rules)),
    )
