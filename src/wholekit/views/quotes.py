"""An issued revision as data, made of its snapshot and of what was accepted of it. No cost
appears in it."""

from dataclasses import dataclass, fields

from wholekit.domain.quotes import Acceptance, Offer
from wholekit.domain.quotes.offer import OfferExtra, OfferOpening
from wholekit.views.jobs import (
    AlternateAnswer,
    TotalsAnswer,
    UnaskedDoorAnswer,
    totals_answer,
    unasked_answers,
)
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.views.ready import JobReadyAnswer, ReadyAnswer, job_ready_answer, ready_answers
from wholekit.wording.offers import why_held


@dataclass(frozen=True, slots=True)
class QuoteLineAnswer:
    """A line of an issued kit, for one opening."""

    sku: str
    description: str
    finish: str
    quantity: int
    unit: PriceAnswer
    total: PriceAnswer
    serves: str


@dataclass(frozen=True, slots=True)
class QuoteOpeningAnswer:
    """An opening of an issued revision."""

    mark: str
    alternate: str
    quantity: int
    size: str
    summary: str
    mount: str
    spring_size: int | None
    finish: str
    lines: tuple[QuoteLineAnswer, ...]
    missing: tuple[str, ...]
    assumed: tuple[str, ...]
    price_each: PriceAnswer
    price: PriceAnswer
    note: str
    ready: tuple[ReadyAnswer, ...] = ()
    room: str = ""


@dataclass(frozen=True, slots=True)
class QuoteExtraAnswer:
    """An extra line of an issued revision."""

    kind: str
    description: str
    quantity: int
    unit: PriceAnswer | None
    total: PriceAnswer | None
    alternate: str


@dataclass(frozen=True, slots=True)
class AcceptedAnswer:
    """What was accepted: the base bid with these alternates, each as it was quoted. order_number:
    the customer's; day: None where it was not kept."""

    alternates: tuple[str, ...]
    totals: TotalsAnswer
    order_number: str
    day: str | None


@dataclass(frozen=True, slots=True)
class NotQuotedAnswer:
    """An opening of the job that is no part of the quote, and why."""

    mark: str
    quantity: int
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class QuoteAnswer:
    """An issued revision for the customer: no cost, no hand-set reasons. accepted: None unless it
    was. ready: what was said that day of its base bid's kits, None where it was not kept."""

    quote: str
    revision: int
    job: str
    job_name: str
    customer: str
    issued: str
    valid_until: str
    currency: str
    cover_note: str
    openings: tuple[QuoteOpeningAnswer, ...]
    extras: tuple[QuoteExtraAnswer, ...]
    totals: TotalsAnswer
    alternates: tuple[AlternateAnswer, ...]
    catalogs: tuple[str, ...]
    rules_version: str
    terms: tuple[str, ...]
    cautions: tuple[str, ...]
    digest: str
    accepted: AcceptedAnswer | None
    left_out: tuple[NotQuotedAnswer, ...] = ()
    ready: JobReadyAnswer | None = None
    unasked: tuple[UnaskedDoorAnswer, ...] = ()
    not_used: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class SentQuoteAnswer:
    """An issued revision as data that leaves the house with it: what the paper says, and neither
    whose price books stand behind it nor how the house keeps it."""

    quote: str
    revision: int
    job_name: str
    customer: str
    issued: str
    valid_until: str
    currency: str
    cover_note: str
    openings: tuple[QuoteOpeningAnswer, ...]
    extras: tuple[QuoteExtraAnswer, ...]
    totals: TotalsAnswer
    alternates: tuple[AlternateAnswer, ...]
    terms: tuple[str, ...]
    cautions: tuple[str, ...]
    accepted: AcceptedAnswer | None
    left_out: tuple[NotQuotedAnswer, ...]
    ready: JobReadyAnswer | None
    unasked: tuple[UnaskedDoorAnswer, ...]
    not_used: tuple[str, ...]


def sent_answer(offer: Offer, accepted: Acceptance | None = None) -> SentQuoteAnswer:
    """An issued revision as data for the customer. accepted: what was taken of it."""
    whole = quote_answer(offer, "", accepted)
    names = [each.name for each in fields(SentQuoteAnswer)]
    return SentQuoteAnswer(**{name: getattr(whole, name) for name in names})


def quote_answer(offer: Offer, digest: str, accepted: Acceptance | None = None) -> QuoteAnswer:
    """An issued revision as data. accepted: what was taken of it; None: not accepted."""
    return QuoteAnswer(
        quote=offer.label,
        revision=offer.revision,
        job=offer.job,
        job_name=offer.job_name,
        customer=offer.customer.name,
        issued=offer.issued.isoformat(),
        valid_until=offer.valid_until.isoformat(),
        currency=offer.currency,
        cover_note=offer.cover_note,
        openings=tuple(_opening(offer, opening) for opening in offer.openings),
        extras=tuple(_extra(extra) for extra in offer.extras),
        totals=totals_answer(offer.totals, offer.firm),
        alternates=tuple(
            AlternateAnswer(
                alternate.code, alternate.title, alternate.deducts, totals_answer(alternate.change)
            )
            for alternate in offer.alternates
        ),
        catalogs=tuple(
            f"{catalog.supplier}, revision {catalog.revision} of {catalog.edition}"
            for catalog in offer.catalogs
        ),
        rules_version=offer.rules_version,
        terms=offer.words.terms,
        cautions=offer.words.cautions,
        digest=digest,
        accepted=None if accepted is None else _accepted(offer, accepted),
        left_out=tuple(
            NotQuotedAnswer(
                opening.mark, opening.quantity, why_held(offer, opening, offer.words.kits)
            )
            for opening in offer.left_out or ()
        ),
        ready=job_ready_answer(offer.chosen().ready),
        unasked=unasked_answers(offer.unasked),
        not_used=offer.not_used,
    )


def _accepted(offer: Offer, accepted: Acceptance) -> AcceptedAnswer:
    return AcceptedAnswer(
        accepted.alternates,
        totals_answer(offer.totals_with(accepted.alternates)),
        accepted.order_number,
        None if accepted.day is None else accepted.day.isoformat(),
    )


def _opening(offer: Offer, opening: OfferOpening) -> QuoteOpeningAnswer:
    kit, said = offer.kit_of(opening), offer.words.kits[opening.kit]
    lines = [
        QuoteLineAnswer(
            line.sku,
            line.description,
            line.finish,
            line.quantity,
            price_answer(line.unit),
            price_answer(line.total),
            serves,
        )
        for line, (serves, _) in zip(kit.lines, said.lines, strict=True)
    ]
    # Else the lines would not come to the price that was agreed.
    if kit.adjustment.minor:
        agreed = price_answer(kit.adjustment)
        lines.append(QuoteLineAnswer("", offer.words.price_agreed, "", 1, agreed, agreed, ""))
    return QuoteOpeningAnswer(
        opening.mark,
        opening.alternate,
        opening.quantity,
        said.size,
        said.summary,
        said.mount,
        kit.spring_size,
        kit.finish,
        tuple(lines),
        tuple(
            f"{piece.quantity} × {text}"
            for piece, (text, _) in zip(kit.missing, said.missing, strict=True)
        ),
        tuple(text for text, _ in said.assumed),
        price_answer(kit.price),
        price_answer(opening.price),
        opening.note,
        ready_answers(opening.ready),
        opening.room,
    )


def _extra(extra: OfferExtra) -> QuoteExtraAnswer:
    return QuoteExtraAnswer(
        extra.kind.value,
        extra.description,
        extra.quantity,
        None if extra.unit is None else price_answer(extra.unit),
        None if extra.total is None else price_answer(extra.total),
        extra.alternate,
    )
