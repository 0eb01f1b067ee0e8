"""Answers as data: what `--json` prints. No cost appears in any of them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from wholekit.domain.customers import LIST
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.filling import short_stock
from wholekit.domain.quotes.offer import KitWords, OfferFinding, OfferKit
from wholekit.domain.rules import RuleBook
from wholekit.views.ready import JobReadyAnswer, ReadyAnswer, job_ready_answer, ready_answers
from wholekit.wording.findings import say_finding


@dataclass(frozen=True, slots=True)
class PriceAnswer:
    """An amount with its currency's own digits, and the currency [ISO 4217]."""

    amount: str
    currency: str


@dataclass(frozen=True, slots=True)
class AssumedAnswer:
    """A default that stood in."""

    field: str
    value: str
    because: str


@dataclass(frozen=True, slots=True)
class SuppliesAnswer:
    """Pieces of a line that the opening uses [count over the whole line]."""

    role: str
    kind: str | None
    quantity: int


@dataclass(frozen=True, slots=True)
class KitLineAnswer:
    """One item of a kit [count for one opening]."""

    sku: str
    description: str
    quantity: int
    finish: str | None
    supplies: tuple[SuppliesAnswer, ...]
    because: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UnusedAnswer:
    """Boxed pieces the opening does not use [count]."""

    sku: str
    role: str
    quantity: int


@dataclass(frozen=True, slots=True)
class MissingAnswer:
    """A piece that is needed and not there [count]."""

    role: str
    quantity: int
    because: str


@dataclass(frozen=True, slots=True)
class FindingAnswer:
    """A finding in words."""

    code: str
    severity: str
    text: str
    source: str
    hint: str


@dataclass(frozen=True, slots=True)
class OpeningAnswer:
    """One opening's kit."""

    mark: str
    quantity: int
    leaves: int
    complete: bool
    mount: str
    body_side: str
    size_required: int | None
    spring_size: int | None
    finish: str
    assumed: tuple[AssumedAnswer, ...]
    lines: tuple[KitLineAnswer, ...]
    unused: tuple[UnusedAnswer, ...]
    missing: tuple[MissingAnswer, ...]
    findings: tuple[FindingAnswer, ...]
    price: PriceAnswer
    ready: tuple[ReadyAnswer, ...] = ()


@dataclass(frozen=True, slots=True)
class KitsTotalsAnswer:
    """The job's totals. firm: what of the price belongs to openings that are whole, unstopped."""

    openings: int
    leaves: int
    price: PriceAnswer
    firm: PriceAnswer
    multiplier: str = "1"


@dataclass(frozen=True, slots=True)
class KitsAnswer:
    """All openings of a job, what its shelf lacks, and its totals at list times the multiplier.

    What is short stands at each opening that takes it, and once more for the whole job.
    """

    openings: tuple[OpeningAnswer, ...]
    stock: tuple[FindingAnswer, ...]
    totals: KitsTotalsAnswer
    ready: JobReadyAnswer | None = None


def kits_answer(offer: Offer, rules: RuleBook, multiplier: Fraction = LIST) -> KitsAnswer:
    """An offer as data; alike openings are worded once. multiplier: what it was asked at."""
    kits = [_kit(*worded) for worded in zip(offer.kits, offer.words.kits, strict=True)]
    stock: list[FindingAnswer] = []
    short: dict[str, list[FindingAnswer]] = {}
    for finding in short_stock(offer):
        said = say_finding(finding, rules)
        answer = FindingAnswer(said.code, said.severity, said.text, said.source, said.hint)
        stock.append(answer)
        marks = finding.fields["marks"]
        for mark in dict.fromkeys(marks if isinstance(marks, tuple) else ()):
            short.setdefault(mark, []).append(answer)
    return KitsAnswer(
        tuple(
            replace(
                kits[opening.kit],
                mark=opening.mark,
                quantity=opening.quantity,
                findings=(
                    *kits[opening.kit].findings,
                    *_findings(opening.of_note, offer.words.of_note(opening)),
                    *short.get(opening.place, ()),
                ),
                ready=ready_answers(opening.ready),
            )
            for opening in offer.openings
        ),
        tuple(stock),
        KitsTotalsAnswer(
            offer.opening_count,
            offer.leaf_count,
            price_answer(offer.totals.hardware),
            price_answer(offer.firm),
            f"{float(multiplier):g}",
        ),
        job_ready_answer(offer.ready),
    )


def price_answer(money: Money) -> PriceAnswer:
    """Money as an answer."""
    return PriceAnswer(money.decimal_text, money.currency)


def _kit(kit: OfferKit, said: KitWords) -> OpeningAnswer:
    return OpeningAnswer(
        mark="",
        quantity=1,
        leaves=kit.type.leaves,
        complete=not kit.missing,
        mount=kit.mount.value,
        body_side=kit.body_side.value,
        size_required=kit.size_required,
        spring_size=kit.spring_size,
        finish=kit.finish,
        assumed=tuple(
            AssumedAnswer(assumption.field, assumption.text, because)
            for assumption, (_, because) in zip(kit.assumed, said.assumed, strict=True)
        ),
        lines=tuple(
            KitLineAnswer(
                line.sku,
                line.description,
                line.quantity,
                line.finish or None,
                tuple(
                    SuppliesAnswer(
                        use.role.value, None if use.kind is None else use.kind.value, use.quantity
                    )
                    for use in line.uses
                ),
                because,
            )
            for line, (_, because) in zip(kit.lines, said.lines, strict=True)
        ),
        unused=tuple(
            UnusedAnswer(piece.sku, piece.role.value, piece.quantity) for piece in kit.unused
        ),
        missing=tuple(
            MissingAnswer(piece.role.value, piece.quantity, because)
            for piece, (_, because) in zip(kit.missing, said.missing, strict=True)
        ),
        findings=_findings(kit.findings, said.findings),
        price=price_answer(kit.price),
    )


def _findings(
    findings: Sequence[OfferFinding], texts: Sequence[tuple[str, str, str]]
) -> tuple[FindingAnswer, ...]:
    return tuple(
        FindingAnswer(finding.code, finding.severity.value, text, source, hint)
        for finding, (text, hint, source) in zip(findings, texts, strict=True)
    )
