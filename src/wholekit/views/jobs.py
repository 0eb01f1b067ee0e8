"""Jobs and quotes as data: what `--json` prints of them. No cost appears in any of these."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from wholekit.domain.openings import OpeningType, UnaskedDoor, note_findings, without_asked
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Job, JobOpening
from wholekit.domain.quotes.offer import Totals
from wholekit.domain.quotes.totals import alternate_totals, base_totals, firm_hardware
from wholekit.domain.quotes.worked import WorkedOpening, standing
from wholekit.domain.rules import RuleBook
from wholekit.services.job_view import JobView
from wholekit.services.ports import JobSummary
from wholekit.services.reviews import OpenStop
from wholekit.views.customers import FreightAnswer, freight_answer
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.views.ready import JobReadyAnswer, ReadyAnswer, job_ready_answer, ready_answers
from wholekit.views.reviews import StopAnswer, WarningAnswer, stop_answer, warnings_of
from wholekit.wording.findings import say_finding
from wholekit.wording.job_notes import job_notes
from wholekit.wording.offers import say_override
from wholekit.wording.openings import leaf_text, plain_size, summary
from wholekit.wording.rates import percent
from wholekit.wording.words import MOUNTS


@dataclass(frozen=True, slots=True)
class JobRowAnswer:
    """A job in a list."""

    job: str
    name: str
    customer: str
    salesperson: str
    bids_due: str | None
    openings: int
    quote: str | None
    state: str | None
    net: PriceAnswer | None


@dataclass(frozen=True, slots=True)
class SignAnswer:
    """What somebody decided: what was set or released, why, by whom, when."""

    what: str
    text: str
    reason: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class JobOpeningAnswer:
    """An opening of a job with its kit in short. price: for all of its mark.

    summary: what is scheduled, in words. note_says_more: what the note says and its columns do not,
    with the way out. mount, complete and prices are None where the kit cannot
    be worked out. closer: what the body is called, empty without one. size_alone: the size
    without the number of leaves; mount_asked, size_asked: as the schedule states them, or empty.
    """

    mark: str
    alternate: str
    quantity: int
    size: str
    summary: str
    mount: str | None
    spring_size: int | None
    complete: bool | None
    price_each: PriceAnswer | None
    price: PriceAnswer | None
    note: str
    room: str
    version: int
    by_hand: tuple[SignAnswer, ...]
    stops: tuple[StopAnswer, ...]
    note_says_more: tuple[str, ...] = ()
    ready: tuple[ReadyAnswer, ...] = ()
    closer: str = ""
    size_alone: str = ""
    mount_asked: str = ""
    size_asked: str = ""


@dataclass(frozen=True, slots=True)
class ExtraLineAnswer:
    """An extra line by its place in the job; price None: text only."""

    line: int
    kind: str
    description: str
    quantity: int
    unit: PriceAnswer | None
    total: PriceAnswer | None
    alternate: str
    version: int


@dataclass(frozen=True, slots=True)
class TaxAnswer:
    """One named tax."""

    name: str
    rate: str
    base: PriceAnswer
    tax: PriceAnswer


@dataclass(frozen=True, slots=True)
class TotalsAnswer:
    """Totals of the base bid or of an alternate (what it adds; below zero: deducts).

    firm: what of the base bid's hardware belongs to openings with a whole kit and no open stop.
    """

    hardware: PriceAnswer
    extras: PriceAnswer
    freight: PriceAnswer
    net: PriceAnswer
    taxes: tuple[TaxAnswer, ...]
    gross: PriceAnswer
    inclusive: bool
    exempt: str
    firm: PriceAnswer | None = None


@dataclass(frozen=True, slots=True)
class AlternateAnswer:
    """An alternate with what it changes."""

    code: str
    title: str
    deducts: tuple[str, ...]
    totals: TotalsAnswer


@dataclass(frozen=True, slots=True)
class JobAlternateAnswer:
    """An alternate of a job; totals None where they cannot be worked out."""

    code: str
    title: str
    deducts: tuple[str, ...]
    totals: TotalsAnswer | None


@dataclass(frozen=True, slots=True)
class UnaskedDoorAnswer:
    """A door of the customer's sheet that nothing was asked for. why: `by-others`, `no-closer`,
    `not-in-contract`, `not-used`, `left-out`, `unread`; of the last row [from 1], column what
    stands there and the code of the fault."""

    mark: str
    alternate: str
    why: str
    row: int | None = None
    column: str = ""
    given: str = ""
    code: str = ""


@dataclass(frozen=True, slots=True)
class JobAnswer:
    """A job whole, at the prices of the day.

    freight: the rate that is charged. notes: what somebody should know, in sentences. totals, ready
    (of the base bid): None where they cannot be worked out; the notes say why.
    """

    job: str
    id: str
    version: int
    name: str
    customer: str
    customer_name: str
    currency: str
    site: str
    contact: str
    ship_to: str
    freight: FreightAnswer | None
    bids_due: str | None
    salesperson: str
    note: str
    notes: tuple[str, ...]
    discount: str
    discount_reason: str
    catalogs: tuple[str, ...]
    openings: tuple[JobOpeningAnswer, ...]
    lines: tuple[ExtraLineAnswer, ...]
    totals: TotalsAnswer | None
    alternates: tuple[JobAlternateAnswer, ...]
    ready: JobReadyAnswer | None = None
    warnings: tuple[WarningAnswer, ...] = ()
    unasked: tuple[UnaskedDoorAnswer, ...] = ()
    not_used: tuple[str, ...] = ()


def unasked_answers(doors: Iterable[UnaskedDoor]) -> tuple[UnaskedDoorAnswer, ...]:
    """Doors that nothing was asked for, as data."""
    return tuple(
        UnaskedDoorAnswer(
            door.mark,
            door.alternate,
            door.why.value,
            door.row or None,
            door.column,
            door.given,
            door.code,
        )
        for door in doors
    )


def job_row_answer(row: JobSummary) -> JobRowAnswer:
    """A row of the list of jobs."""
    quote = f"Q-{row.quote_number:05d}/{row.revision}" if row.quote_number else None
    return JobRowAnswer(
        f"J-{row.number:05d}",
        row.name,
        row.customer,
        row.salesperson,
        None if row.bids_due is None else row.bids_due.isoformat(),
        row.openings,
        quote,
        None if row.state is None else row.state.value,
        None if row.net is None else price_answer(Money(row.net, row.currency)),
    )


def job_answer(view: JobView, rules: RuleBook, day: date) -> JobAnswer:
    """A job as data."""
    job, workup = view.job, view.workup
    words = _KindWords()
    found = () if workup is None else workup.ready()
    ready = {}
    if workup is not None:
        worked = zip(workup.job.openings, found, strict=True)
        ready = {(each.entry.alternate, each.entry.mark): parts for each, parts in worked}
    return JobAnswer(
        job=job.label,
        id=job.id,
        version=job.version,
        name=job.name,
        customer=job.customer,
        customer_name=view.customer.name,
        currency=job.currency,
        site=job.site,
        contact=job.contact,
        ship_to=job.ship_to,
        freight=None if view.freight is None else freight_answer(view.freight),
        bids_due=None if job.bids_due is None else job.bids_due.isoformat(),
        salesperson=job.salesperson,
        note=job.note,
        notes=job_notes(view, day),
        discount=percent(job.discount),
        discount_reason=job.discount_reason,
        catalogs=tuple(
            f"{catalog.catalog_id} revision {catalog.revision}" for catalog in job.catalogs
        ),
        openings=tuple(
            _opening(
                opening,
                view.worked.get(_key(opening)),
                rules,
                words,
                ready_answers(ready.get(_key(opening), ())),
            )
            for opening in view.contents.openings
        ),
        lines=tuple(
            ExtraLineAnswer(
                place,
                extra.kind.value,
                extra.description,
                extra.quantity,
                None if extra.unit is None else price_answer(extra.unit),
                None if extra.total is None else price_answer(extra.total),
                extra.alternate,
                extra.version,
            )
            for place, extra in enumerate(view.contents.extras, start=1)
        ),
        totals=None
        if workup is None
        else totals_answer(base_totals(workup.job, workup.place), firm_hardware(workup.job)),
        alternates=tuple(
            JobAlternateAnswer(
                alternate.code,
                alternate.title,
                alternate.deducts,
                None
                if workup is None
                else totals_answer(alternate_totals(workup.job, alternate, workup.place)),
            )
            for alternate in job.alternates
        ),
        ready=None if workup is None else job_ready_answer(workup.base_ready(found)),
        warnings=warnings_of(
            [
                opening
                for opening in map(view.worked.get, map(_key, view.contents.openings))
                if opening
            ]
        ),
        unasked=unasked_answers(
            without_asked(job.unasked, {_key(opening) for opening in view.contents.openings})
        ),
        not_used=job.not_used,
    )


def _key(entry: JobOpening) -> tuple[str, str]:
    return entry.alternate, entry.mark


def totals_answer(totals: Totals, firm: Money | None = None) -> TotalsAnswer:
    """Totals as data. firm: of the base bid [Money]."""
    return TotalsAnswer(
        price_answer(totals.hardware),
        price_answer(totals.extras),
        price_answer(totals.freight),
        price_answer(totals.net),
        tuple(
            TaxAnswer(
                charge.name,
                percent(charge.rate),
                price_answer(charge.base),
                price_answer(charge.tax),
            )
            for charge in totals.taxes
        ),
        price_answer(totals.gross),
        totals.inclusive,
        totals.exempt,
        None if firm is None else price_answer(firm),
    )


def signs_of(entry: JobOpening) -> tuple[SignAnswer, ...]:
    """Overrides and releases of an opening, in words."""
    return tuple(
        SignAnswer(
            "override",
            say_override(override),
            override.reason,
            override.by,
            override.at.isoformat(),
        )
        for override in standing(entry.overrides)
    ) + tuple(
        SignAnswer("release", release.code, release.reason, release.by, release.at.isoformat())
        for release in entry.releases
    )


class _KindWords:
    """How kinds of opening are told: those that are one object, once."""

    def __init__(self) -> None:
        # The kind is kept beside its words so that its identity is not given to another.
        self._known: dict[tuple[int, bool], tuple[OpeningType, tuple[str, str, str]]] = {}

    def of(self, kind: OpeningType, *, arm_by_hand: bool) -> tuple[str, str, str]:
        """Leaf, summary, and the size as it is read in again."""
        known = self._known.get((id(kind), arm_by_hand))
        if known is None:
            told = leaf_text(kind), summary(kind, arm_by_hand=arm_by_hand), plain_size(kind)
            known = self._known[id(kind), arm_by_hand] = kind, told
        return known[1]


def _opening(
    entry: JobOpening,
    opening: WorkedOpening | None,
    rules: RuleBook,
    words: _KindWords,
    ready: tuple[ReadyAnswer, ...],
) -> JobOpeningAnswer:
    kind = entry.opening.type
    by_hand = opening is not None and bool(opening.kit.idle_arms)
    leaf, said, size = words.of(kind, arm_by_hand=by_hand)
    return JobOpeningAnswer(
        entry.mark,
        entry.alternate,
        entry.opening.quantity,
        leaf,
        said,
        None if opening is None else MOUNTS[opening.kit.mount],
        None if opening is None else opening.kit.spring_size,
        None if opening is None else opening.kit.complete,
        None if opening is None else price_answer(opening.worked.price),
        None if opening is None else price_answer(opening.price),
        entry.opening.note,
        entry.opening.room,
        entry.version,
        signs_of(entry),
        tuple(
            stop_answer(
                OpenStop(entry.mark, entry.alternate, finding, entry.opening.type.width), rules
            )
            for finding in (() if opening is None else opening.open_stops())
        ),
        tuple(
            f"{said.text} {said.hint}"
            for said in (
                say_finding(finding, rules) for finding in note_findings(entry.opening, rules)
            )
        ),
        closer="" if opening is None or opening.kit.body is None else opening.kit.body.title,
        ready=ready,
        size_alone=size,
        mount_asked=kind.mount.value if kind.mount else "",
        size_asked="" if kind.spring_size is None else str(kind.spring_size),
    )


def header_answer(job: Job) -> dict[str, object]:
    """What a command that changed a job's header prints."""
    return {"job": job.label, "id": job.id, "version": job.version, "name": job.name}
