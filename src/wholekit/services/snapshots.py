"""The snapshot of a job worked up: its offer, and the house's own beside."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from itertools import chain, repeat

from wholekit.domain.catalog import ItemKey, item_key
from wholekit.domain.findings import Finding
from wholekit.domain.house_style import HouseCard
from wholekit.domain.openings import stated_text, without_asked
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Approval, HousePolicy, Revision, quote_label
from wholekit.domain.quotes.asking import NOTHING_ASKED, Asking
from wholekit.domain.quotes.job import BASE, finding_about
from wholekit.domain.quotes.offer import (
    Offer,
    OfferAlternate,
    OfferAssumption,
    OfferExtra,
    OfferFinding,
    OfferKit,
    OfferLine,
    OfferOpening,
    OfferPiece,
    OfferWords,
)
from wholekit.domain.quotes.own import Own, OwnKit, OwnLine, Sign, Snapshot
from wholekit.domain.quotes.parties import Party
from wholekit.domain.quotes.ready import Ready
from wholekit.domain.quotes.totals import (
    alternate_cost,
    alternate_totals,
    base_cost,
    base_totals,
    firm_totals,
    net_factors,
)
from wholekit.domain.quotes.worked import WorkedJob, WorkedKit, WorkedLine, WorkedOpening, standing
from wholekit.domain.rules import RuleBook
from wholekit.services.desk import Desk
from wholekit.services.ports import Words
from wholekit.services.workup import Workup

ENGLISH = "en"


@dataclass(frozen=True, slots=True)
class Headed:
    """What stands at the head of a snapshot beside the job: number, days, who, the house.

    ready_shown: the customer's paper says when the kits can be ready.
    """

    quote: str
    revision: int
    issued: date
    valid_until: date
    by: str
    house_name: str
    floor: Fraction | None
    cover_note: str = ""
    approvals: tuple[Approval, ...] = ()
    house_lines: tuple[str, ...] = ()
    house_phone: str = ""
    house_email: str = ""
    ready_shown: bool = False

    def said_by(self, card: HouseCard) -> "Headed":
        """The same with what the house says of itself; a name given stands."""
        return replace(
            self,
            house_name=self.house_name or card.name,
            house_lines=card.address,
            house_phone=card.phone,
            house_email=card.email,
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
    left_out: Sequence[WorkedOpening] = (),
    asks: bool = True,
) -> Snapshot:
    """The snapshot of a worked job for a revision that has its numbers. left_out: what is told to
    be no part of it; asks: whether it puts its questions, which takes longer than all the rest."""
    card = desk.house()
    headed = Headed(
        # The first draft of a job has none until it is issued.
        quote_label(revision.quote_number) if revision.quote_number else "",
        revision.number,
        issued,
        valid_until,
        by,
        card.name or policy.house_name,
        policy.floor,
        revision.cover_note,
        revision.approvals,
        ready_shown=policy.dates_on_quote,
    ).said_by(card)
    return make_snapshot(workup, desk.words, desk.rules, headed, left_out, asks=asks)


def make_snapshot(
    workup: Workup,
    words: Words,
    rules: RuleBook,
    headed: Headed,
    left_out: Sequence[WorkedOpening] = (),
    *,
    asks: bool = False,
) -> Snapshot:
    """The one way from a worked job to its offer and the house's own. left_out, asks: as in
    `freeze`."""
    job = workup.job
    asking = workup.asking(rules) if asks else NOTHING_ASKED
    header, customer = job.contents.job, job.customer
    kinds: dict[int, int] = {}
    kits: list[WorkedKit] = []
    openings: list[OfferOpening] = []
    # What is left out draws nothing, and has no day.
    days = chain(workup.ready(), repeat(()))
    for opening, ready in zip((*job.openings, *left_out), days, strict=False):
        # By identity: openings alike share one worked kit, and the job keeps them all while we
        # look.
        place = kinds.setdefault(id(opening.worked), len(kits))
        if place == len(kits):
            kits.append(opening.worked)
        openings.append(_opening(opening, place, ready))
    all_firm = all(opening.firm for opening in job.of_alternate(BASE))
    offer = Offer(
        quote=headed.quote,
        revision=headed.revision,
        job=header.label if header.number else "",
        job_name=header.name,
        issued=headed.issued,
        valid_until=headed.valid_until,
        issued_by=headed.by,
        currency=header.currency,
        customer=Party(
            customer.code,
            customer.name,
            customer.address,
            header.contact or customer.contact,
            customer.locale,
            customer.terms.text,
            customer.terms.days,
        ),
        house_name=headed.house_name,
        catalogs=workup.catalogs,
        rules_version=rules.version,
        kits=tuple(_kit(kit, workup.available.on_hand) for kit in kits),
        openings=tuple(openings[: len(job.openings)]),
        left_out=tuple(openings[len(job.openings) :]) or None,
        extras=tuple(
            OfferExtra(
                extra.kind,
                extra.description,
                extra.quantity,
                extra.unit,
                extra.total,
                extra.alternate,
            )
            for extra in job.contents.extras
        ),
        totals=base_totals(job, workup.place),
        words=OfferWords(ENGLISH),
        site=header.site,
        site_address=header.site_address,
        salesperson=header.salesperson,
        bids_due=header.bids_due,
        ship_to=workup.place.ship_to.name if workup.place.ship_to else "",
        discount=header.discount,
        alternates=tuple(
            OfferAlternate(
                alternate.code,
                alternate.title,
                alternate.deducts,
                totals,
                None if all_firm or firm == totals else firm,
            )
            for alternate in header.alternates
            for totals in (alternate_totals(job, alternate, workup.place),)
            for firm in (alternate_totals(job, alternate, workup.place, firm=True),)
        ),
        cover_note=headed.cover_note,
        house_lines=headed.house_lines,
        house_phone=headed.house_phone,
        house_email=headed.house_email,
        ready_asked=workup.place.day,
        ready_shown=headed.ready_shown,
        ship_to_address=workup.place.ship_to.address if workup.place.ship_to else (),
        priced_firm=None if all_firm else firm_totals(job, workup.place),
        unasked=without_asked(header.unasked, {(each.alternate, each.mark) for each in openings}),
        not_used=header.not_used,
        checks_ask=True,
        series=_titles(job, kits),
    )
    said = _worded(offer, kits, job, words, rules, asking)
    own = replace(
        _own(workup, kits, words, rules, headed),
        assumed=words.assumed(asking, [each.kit for each in kits]),
    )
    return Snapshot(said, own)


def _worded(
    offer: Offer,
    kits: list[WorkedKit],
    job: WorkedJob,
    words: Words,
    rules: RuleBook,
    asking: Asking,
) -> Offer:
    """The offer with its sentences: in English, and in the customer's own where that is other."""
    made = [worked_kit.kit for worked_kit in kits]
    notes = {
        opening.place: worked.of_note
        for opening, worked in zip(offer.openings, job.openings, strict=True)
        if worked.of_note
    }
    # In English whatever the customer reads: the house's own papers and lists are made from it.
    with words.speaking(words.in_english(offer.customer.locale)):
        english = words.offer(offer, made, notes, rules, asking)
    if words.language(offer.customer.locale) == ENGLISH:
        return replace(offer, words=english)
    with words.speaking(offer.customer.locale):
        theirs = words.offer(offer, made, notes, rules, asking)
    theirs = replace(theirs, items=tuple(_items(offer, job, theirs.language)))
    return replace(offer, words=english, sent=theirs)


def _titles(job: WorkedJob, kits: Sequence[WorkedKit]) -> tuple[tuple[str, str], ...]:
    """What the makers call the series of these kits, by their codes."""
    used = {name for each in kits for line in each.lines for name in line.goods.every_series}
    titles = {one.id: one.title for catalog in job.catalogs for one in catalog.series}
    return tuple((name, titles[name]) for name in sorted(used) if titles.get(name, name) != name)


def _items(offer: Offer, job: WorkedJob, language: str) -> Iterator[tuple[str, str, str]]:
    """The descriptions of the offer's items that their catalogues give in a language."""
    catalogs = {catalog.id: catalog for catalog in job.catalogs}
    named = {(line.catalog_id, line.description) for kit in offer.kits for line in kit.lines}
    for catalog_id, description in sorted(named):
        said = catalogs[catalog_id].description_in(language, description)
        if said:
            yield catalog_id, description, said


def _own(
    workup: Workup, kits: list[WorkedKit], words: Words, rules: RuleBook, headed: Headed
) -> Own:
    job = workup.job
    header = job.contents.job
    totals = base_totals(job, workup.place)
    return Own(
        kits=tuple(_own_kit(kit) for kit in kits),
        openings=tuple(_signs(opening, words, rules) for opening in job.openings),
        extras=tuple(extra.cost for extra in job.contents.extras),
        cost=base_cost(job),
        alternates=tuple(alternate_cost(job, alternate) for alternate in header.alternates),
        signs=tuple(
            Sign("approval", words.approval(approval), approval.reason, approval.by, approval.at)
            for approval in headed.approvals
        ),
        # Margins hold net against cost: where prices contain the tax they need to know how much is
        # net.
        net_of=tuple(net_factors(workup.place).items()) if totals.inclusive else (),
        discount_reason=header.discount_reason,
        floor=headed.floor,
    )


def _kit(worked: WorkedKit, on_hand: Mapping[ItemKey, int]) -> OfferKit:
    kit = worked.kit
    saved = sum(each.minor * line.line.quantity for line in worked.lines if (each := _off(line)))
    return OfferKit(
        type=kit.type,
        mount=kit.mount,
        body_side=kit.body_side,
        size_required=kit.size_required,
        spring_size=kit.spring_size,
        finish=kit.finish,
        weight=kit.weight,
        lines=tuple(_line(line, on_hand) for line in worked.lines),
        adjustment=worked.adjustment,
        price=worked.price,
        saved=Money(saved, worked.price.currency),
        assumed=tuple(
            OfferAssumption(assumption.field, stated_text(assumption.value))
            for assumption in kit.assumed
        ),
        unused=tuple(
            OfferPiece(
                piece.role,
                piece.quantity,
                () if piece.kind is None else (piece.kind,),
                piece.item.sku,
            )
            for piece in kit.unused
        ),
        missing=tuple(OfferPiece(piece.role, piece.quantity, piece.kinds) for piece in kit.missing),
        findings=_findings(kit.findings),
        # Frozen whole, with template and forces, so that a better card can be drawn of it one day.
        body=kit.body,
        template=kit.template,
        # Its findings are the kit's already.
        proof=None
        if kit.proof is None
        else replace(kit.proof, verdict=replace(kit.proof.verdict, findings=())),
    )


def _findings(findings: Sequence[Finding]) -> tuple[OfferFinding, ...]:
    return tuple(
        OfferFinding(finding.code, finding.severity, finding_about(finding)) for finding in findings
    )


def _off(line: WorkedLine) -> Money | None:
    """What the discount takes off each [Money]; None where nothing is taken off."""
    # A price set by hand was agreed, and is no saving by the discount.
    saved = line.tier_unit - line.unit
    return saved if saved.minor and line.by_hand is None else None


def _line(worked: WorkedLine, on_hand: Mapping[ItemKey, int]) -> OfferLine:
    item = worked.line.item
    return OfferLine(
        sku=item.sku,
        supplier=item.supplier,
        catalog_id=worked.catalog_id,
        # Sorted, as a set has no order and equal offers must give equal texts.
        series=tuple(sorted(worked.goods.every_series)),
        kind=worked.goods.kind,
        description=item.description,
        finish=item.finish or "",
        quantity=worked.line.quantity,
        unit=worked.unit,
        total=worked.total,
        uses=worked.line.uses,
        bin=item.bin,
        on_hand=on_hand.get(item_key(item), 0),
        lead_days=item.lead_days,
        saved=_off(worked),
    )


def _own_kit(worked: WorkedKit) -> OwnKit:
    return OwnKit(
        tuple(
            OwnLine(
                line.line.item.list_price,
                line.multiplier,
                line.line.item.cost,
                "" if line.by_hand is None else line.by_hand.reason,
            )
            for line in worked.lines
        ),
        worked.tier_price,
        worked.kit.cost,
    )


def _opening(opening: WorkedOpening, kit: int, ready: tuple[Ready, ...]) -> OfferOpening:
    entry = opening.entry
    found = set()
    # A release counts while its stop is still found; one whose stop is gone releases nothing.
    if entry.releases:
        found = {(finding.code, finding_about(finding)) for finding in opening.kit.findings}
    return OfferOpening(
        entry.mark,
        entry.opening.quantity,
        kit,
        opening.price,
        entry.alternate,
        entry.opening.note,
        _findings(opening.of_note),
        tuple(
            (done.code, done.about) for done in entry.releases if (done.code, done.about) in found
        ),
        ready,
        entry.opening.room,
        entry.opening.finish_written,
    )


def _signs(opening: WorkedOpening, words: Words, rules: RuleBook) -> tuple[Sign, ...]:
    """What hands set on an opening, then what they released of what its kit still says."""
    entry = opening.entry
    if not entry.overrides and not entry.releases:
        return ()
    found = {(finding.code, finding_about(finding)): finding for finding in opening.kit.findings}
    set_by_hand = [
        Sign("override", words.override(done), done.reason, done.by, done.at)
        for done in standing(entry.overrides)
    ]
    released = [
        Sign(
            "release",
            words.finding(found[(done.code, done.about)], opening.kit.type, rules),
            done.reason,
            done.by,
            done.at,
        )
        for done in entry.releases
        if (done.code, done.about) in found
    ]
    return (*set_by_hand, *released)
