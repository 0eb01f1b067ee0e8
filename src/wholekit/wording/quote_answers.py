"""An issued revision as data, made of its snapshot and of what was accepted of it. No cost
appears in it."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.quotes.frozen import FrozenExtra, Snapshot
from wholekit.domain.quotes.totals import offer_totals
from wholekit.wording.answers import PriceAnswer, price_answer
from wholekit.wording.job_answers import AlternateAnswer, TotalsAnswer, totals_answer


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
    """What was accepted: the base bid with these alternates, each as it was quoted."""

    alternates: tuple[str, ...]
    totals: TotalsAnswer


@dataclass(frozen=True, slots=True)
class QuoteAnswer:
    """An issued revision for the customer: no cost, no hand-set reasons. accepted: None unless it
    was."""

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


def quote_answer(
    snapshot: Snapshot, digest: str, accepted: Sequence[str] | None = None
) -> QuoteAnswer:
    """An issued revision as data. accepted: codes of the alternates taken; None: not accepted."""
    openings = []
    for one in snapshot.openings:
        kit = snapshot.kit_of(one)
        openings.append(
            QuoteOpeningAnswer(
                one.mark,
                one.alternate,
                one.quantity,
                kit.size,
                kit.summary,
                kit.mount,
                kit.spring_size,
                kit.finish,
                tuple(
                    QuoteLineAnswer(
                        line.sku,
                        line.description,
                        line.finish,
                        line.quantity,
                        price_answer(line.unit),
                        price_answer(line.total),
                        line.serves,
                    )
                    for line in kit.lines
                ),
                tuple(f"{piece.quantity} × {piece.piece}" for piece in kit.missing),
                kit.assumed,
                price_answer(kit.price),
                price_answer(one.price),
                one.note,
            )
        )
    return QuoteAnswer(
        quote=f"{snapshot.quote}/{snapshot.revision}",
        revision=snapshot.revision,
        job=snapshot.job,
        job_name=snapshot.job_name,
        customer=snapshot.customer.name,
        issued=snapshot.issued.isoformat(),
        valid_until=snapshot.valid_until.isoformat(),
        currency=snapshot.currency,
        cover_note=snapshot.cover_note,
        openings=tuple(openings),
        extras=tuple(_extra(one) for one in snapshot.extras),
        totals=totals_answer(snapshot.totals),
        alternates=tuple(
            AlternateAnswer(one.code, one.title, one.deducts, totals_answer(one.totals))
            for one in snapshot.alternates
        ),
        catalogs=tuple(
            f"{one.supplier}, revision {one.revision} of {one.edition}" for one in snapshot.catalogs
        ),
        rules_version=snapshot.rules_version,
        terms=snapshot.terms,
        cautions=snapshot.cautions,
        digest=digest,
        accepted=None
        if accepted is None
        else AcceptedAnswer(tuple(accepted), totals_answer(offer_totals(snapshot, accepted))),
    )


def _extra(one: FrozenExtra) -> QuoteExtraAnswer:
    return QuoteExtraAnswer(
        one.kind.value,
        one.description,
        one.quantity,
        None if one.unit is None else price_answer(one.unit),
        None if one.total is None else price_answer(one.total),
        one.alternate,
    )
