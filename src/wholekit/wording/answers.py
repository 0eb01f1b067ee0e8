"""Answers as data: what `--json` prints. No cost appears in any of them."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wholekit.domain.findings import Finding
from wholekit.domain.pricing import PricedKit
from wholekit.domain.quantities import Money
from wholekit.domain.rules import RuleBook
from wholekit.services.expand import KittedJob, KittedOpening
from wholekit.wording.findings import say_finding
from wholekit.wording.reasons import say_reason
from wholekit.wording.words import field_name, plain_value


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
class LineAnswer:
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
    lines: tuple[LineAnswer, ...]
    unused: tuple[UnusedAnswer, ...]
    missing: tuple[MissingAnswer, ...]
    findings: tuple[FindingAnswer, ...]
    price: PriceAnswer


@dataclass(frozen=True, slots=True)
class TotalsAnswer:
    """The job's totals."""

    openings: int
    leaves: int
    price: PriceAnswer
    multiplier: str = "1"


@dataclass(frozen=True, slots=True)
class KitsAnswer:
    """All openings of a job, what its shelf lacks, and its totals at list times the multiplier.

    What is short stands at each opening that takes it, and once more for the whole job.
    """

    openings: tuple[OpeningAnswer, ...]
    stock: tuple[FindingAnswer, ...]
    totals: TotalsAnswer


def kits_answer(job: KittedJob, rules: RuleBook) -> KitsAnswer:
    """The job as data; alike openings are worded once."""
    worded: dict[int, OpeningAnswer] = {}
    stock: list[FindingAnswer] = []
    short: dict[str, list[FindingAnswer]] = {}
    for finding in job.short_stock():
        answer = _finding(finding, rules)
        stock.append(answer)
        marks = finding.fields["marks"]
        for mark in dict.fromkeys(marks if isinstance(marks, tuple) else ()):
            short.setdefault(mark, []).append(answer)
    return KitsAnswer(
        tuple(_opening(one, rules, worded, short) for one in job.openings),
        tuple(stock),
        TotalsAnswer(
            job.opening_count,
            job.leaf_count,
            price_answer(job.price),
            f"{float(job.multiplier):g}",
        ),
    )


def price_answer(money: Money) -> PriceAnswer:
    """Money as an answer."""
    return PriceAnswer(money.decimal_text, money.currency)


def _finding(finding: Finding, rules: RuleBook) -> FindingAnswer:
    said = say_finding(finding, rules)
    return FindingAnswer(said.code, said.severity, said.text, said.source, said.hint)


def _opening(
    one: KittedOpening,
    rules: RuleBook,
    worded: dict[int, OpeningAnswer],
    short: Mapping[str, list[FindingAnswer]],
) -> OpeningAnswer:
    answer = worded.get(id(one.priced))
    if answer is None:
        answer = worded[id(one.priced)] = _kit(one.priced, rules)
    return replace(
        answer,
        mark=one.opening.mark,
        quantity=one.opening.quantity,
        findings=(
            *answer.findings,
            *(_finding(finding, rules) for finding in one.of_note),
            *short.get(one.opening.mark, ()),
        ),
    )


def _kit(priced: PricedKit, rules: RuleBook) -> OpeningAnswer:
    kit = priced.kit
    return OpeningAnswer(
        mark="",
        quantity=1,
        leaves=kit.type.leaves,
        complete=kit.complete,
        mount=kit.mount.value,
        body_side=kit.body_side.value,
        size_required=kit.size_required,
        spring_size=kit.spring_size,
        finish=kit.finish,
        assumed=tuple(
            AssumedAnswer(
                one.field,
                plain_value(one.value),
                f"{field_name(one.field)} not stated; house default"
                f" ({rules[one.rule].title}; {rules.source(one.rule)})",
            )
            for one in kit.assumed
        ),
        lines=tuple(
            LineAnswer(
                line.item.sku,
                line.item.description,
                line.quantity,
                line.item.finish,
                tuple(
                    SuppliesAnswer(
                        use.role.value, None if use.kind is None else use.kind.value, use.quantity
                    )
                    for use in line.uses
                ),
                tuple(say_reason(reason) for reason in line.because),
            )
            for line in kit.lines
        ),
        unused=tuple(
            UnusedAnswer(one.item.sku, one.role.value, one.quantity) for one in kit.unused
        ),
        missing=tuple(
            MissingAnswer(one.role.value, one.quantity, say_reason(one.because))
            for one in kit.missing
        ),
        findings=tuple(_finding(finding, rules) for finding in kit.findings),
        price=price_answer(priced.total),
    )
