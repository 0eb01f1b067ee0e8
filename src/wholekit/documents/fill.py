"""From a kitted job to its papers: words chosen, what is common to all said once."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from wholekit.documents.papers import (
    BinLine,
    Estimate,
    Figures,
    FindingNote,
    KitLabel,
    KitLabelsPaper,
    MarginOpening,
    MarginPaper,
    MissingPiece,
    PaperHead,
    PickLine,
    PickListPaper,
    PickOpening,
    Question,
    QuoteLine,
    QuoteOpening,
    QuotePaper,
    ShortStock,
    SupplierFigures,
    UnusedPiece,
)
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.kits import Kit, Unused
from wholekit.domain.margins import Margin
from wholekit.domain.openings import Assumption
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.rules import RuleBook
from wholekit.domain.stock import Draw
from wholekit.services.expand import KittedJob, KittedOpening
from wholekit.wording.cautions import TERMS, cautions_for
from wholekit.wording.findings import say_finding, without_text
from wholekit.wording.fitting import force_text
from wholekit.wording.openings import (
    assumption_text,
    piece_text,
    sentence,
    serves,
    size_text,
    summary,
    why_mount,
    why_size,
)
from wholekit.wording.reasons import say_reason
from wholekit.wording.speech import figure, language_of, speaking, tr
from wholekit.wording.words import ROLES, listed, value_text

# Said elsewhere on a quote, or the house's own business.
NOT_FOR_CUSTOMERS = frozenset(
    {"assumed", "weight-estimated", "discontinued", "egress-force-limit", "size-next-used"}
)


@dataclass(frozen=True, slots=True)
class Terms:
    """What a paper needs beyond the job: who, when, and the owner's floor [margin / price]."""

    head: PaperHead
    valid_until: date
    floor: Fraction


def quote_paper(job: KittedJob, terms: Terms, rules: RuleBook) -> QuotePaper:
    """The customer's quote, in the language of its locale."""
    head = replace(terms.head, language=language_of(terms.head.locale))
    with speaking(head.words_of):
        return _quote(job, replace(terms, head=head), rules)


def _quote(job: KittedJob, terms: Terms, rules: RuleBook) -> QuotePaper:
    kits = _kits(job)
    common = _common_assumptions(kits)
    worded: dict[int, QuoteOpening] = {}
    return QuotePaper(
        head=terms.head,
        valid_until=terms.valid_until,
        openings=tuple(_quote_opening(one, common, rules, worded) for one in job.openings),
        total=job.price,
        leaves=job.leaf_count,
        terms=tuple(tr(one) for one in TERMS),
        assumptions=tuple(assumption_text(one) for one in common),
        questions=_questions(job),
        cautions=cautions_for(kits),
    )


def _quote_opening(
    one: KittedOpening,
    common: Sequence[Assumption],
    rules: RuleBook,
    worded: dict[int, QuoteOpening],
) -> QuoteOpening:
    kit = one.kit
    known = worded.get(id(one.priced))
    if known is None:
        known = worded[id(one.priced)] = _worded_opening(one, common, rules)
    return QuoteOpening(
        mark=one.opening.mark,
        quantity=one.opening.quantity,
        leaves=kit.type.leaves,
        size=known.size,
        summary=known.summary,
        mount=known.mount,
        size_required=kit.size_required,
        size_set=kit.spring_size,
        why_size=known.why_size,
        why_mount=known.why_mount,
        lines=known.lines,
        price_each=one.priced.total,
        price_extended=one.price,
        unused=known.unused,
        missing=known.missing,
        findings=(*known.findings, *_notes(one.of_note, rules)),
        assumptions=known.assumptions,
        estimates=known.estimates,
        note=one.opening.note,
    )


def _worded_opening(
    one: KittedOpening, common: Sequence[Assumption], rules: RuleBook
) -> QuoteOpening:
    kit = one.kit
    assumptions = [assumption_text(entry) for entry in kit.assumed if entry not in common]
    if any(finding.code == "weight-estimated" for finding in kit.findings):
        said = tr("leaf weight estimated at {weight}")
        assumptions.append(said.format(weight=figure(str(kit.weight))))
    return QuoteOpening(
        mark="",
        quantity=1,
        leaves=kit.type.leaves,
        size=size_text(kit.type),
        summary=sentence(summary(kit.type)) if summary(kit.type) else "",
        mount=value_text("mount", kit.mount),
        size_required=kit.size_required,
        size_set=kit.spring_size,
        why_size=why_size(kit),
        why_mount=why_mount(kit),
        lines=tuple(
            QuoteLine(
                priced.line.item.sku,
                priced.line.item.description,
                priced.line.item.finish or "",
                priced.line.quantity,
                priced.unit,
                priced.total,
                serves(priced.line),
            )
            for priced in one.priced.lines
        ),
        price_each=one.priced.total,
        price_extended=one.priced.total,
        unused=tuple(
            UnusedPiece(unused.item.sku, _one_piece(unused), unused.quantity)
            for unused in kit.unused
        ),
        missing=_missing(kit),
        findings=_notes(kit.findings, rules),
        assumptions=tuple(assumptions),
        estimates=estimates_of(kit),
    )


def _notes(findings: Sequence[Finding], rules: RuleBook) -> tuple[FindingNote, ...]:
    return tuple(
        FindingNote(said.severity, said.text, said.hint, said.source)
        for said in (
            say_finding(finding, rules)
            for finding in findings
            if finding.code not in NOT_FOR_CUSTOMERS
        )
    )


def estimates_of(kit: Kit) -> tuple[Estimate, ...]:
    """Forces as calculated; the paper says that a gauge must confirm them."""
    if kit.proof is None:
        return ()
    verdict = kit.proof.verdict
    without = without_text(verdict.unchecked)
    end = f", {without}" if without else ""
    found = [
        Estimate(
            tr("force at the leading edge to set in motion")
            if verdict.read_at == "edge"
            else tr("force at the handle to set in motion"),
            figure(force_text(verdict, kit.type.width)) + end,
        ),
        Estimate(tr("latches against up to"), f"{verdict.latches_to_pa:.0f} Pa{end}"),
    ]
    if kit.proof.pressure_pa:
        found.append(
            Estimate(
                tr("latching margin against the stated pressure"),
                figure(f"{verdict.margin_nm:+.1f} N·m") + end,
            )
        )
    return tuple(found)


def pick_list_paper(job: KittedJob, terms: Terms, rules: RuleBook) -> PickListPaper:
    """The pick room's list: bag by bag, then by bin. Short packs fall on the last bags."""
    draws = job.draws()
    left = {(draw.item.supplier, draw.item.sku): draw.item.on_hand for draw in draws}
    openings = tuple(_pick_opening(one, left, rules) for one in job.openings)
    return PickListPaper(
        terms.head,
        openings,
        tuple(_bin_line(draw) for draw in draws),
        sum(opening.bags for opening in openings),
    )


def _pick_opening(
    one: KittedOpening, left: dict[tuple[str, str], int], rules: RuleBook
) -> PickOpening:
    kit = one.kit
    lines = []
    for line in kit.lines:
        item = line.item
        quantity = line.quantity * one.opening.quantity
        key = (item.supplier, item.sku)
        taken = min(quantity, left[key])
        left[key] -= taken
        lines.append(
            PickLine(
                item.sku,
                item.description,
                item.finish or "",
                item.bin,
                line.quantity,
                quantity,
                quantity - taken,
            )
        )
    return PickOpening(
        mark=one.opening.mark,
        quantity=one.opening.quantity,
        bags=one.opening.quantity,
        size=size_text(kit.type),
        mount=value_text("mount", kit.mount),
        size_set=kit.spring_size,
        lines=tuple(lines),
        stops=tuple(
            say_finding(finding, rules).text
            for finding in kit.findings
            if finding.severity is Severity.STOP
        ),
        missing=_missing(kit),
        note=one.opening.note,
    )


def _bin_line(draw: Draw) -> BinLine:
    item = draw.item
    return BinLine(
        item.bin,
        item.sku,
        item.description,
        item.finish or "",
        draw.quantity,
        draw.short,
        draw.marks,
    )


def labels_paper(job: KittedJob, terms: Terms) -> KitLabelsPaper:
    """A label for each bag."""
    labels: list[KitLabel] = []
    for one in job.openings:
        kit = one.kit
        alerts = []
        if kit.type.fire_minutes:
            alerts.append("FIRE DOOR")
        if kit.type.accessible:
            alerts.append("ACCESSIBLE")
        if kit.stopped:
            alerts.append("DO NOT SHIP: OPEN STOP")
        labels += [
            KitLabel(
                mark=one.opening.mark,
                bag=bag,
                bags=one.opening.quantity,
                size=size_text(kit.type),
                mount=value_text("mount", kit.mount),
                size_set=kit.spring_size,
                hand=_hand(kit),
                items=sum(line.quantity for line in kit.lines),
                finish=kit.finish,
                alerts=tuple(alerts),
            )
            for bag in range(1, one.opening.quantity + 1)
        ]
    return KitLabelsPaper(terms.head, tuple(labels))


def margin_paper(job: KittedJob, terms: Terms) -> MarginPaper:
    """The owner's sheet: by opening, by supplier, and what is short."""
    draws = job.draws()
    shorts = tuple(_short(draw, job) for draw in draws if draw.short)
    return MarginPaper(
        head=terms.head,
        total=_figures(job.price, job.cost, terms.floor),
        floor=terms.floor,
        multiplier=job.multiplier,
        openings=tuple(
            MarginOpening(
                one.opening.mark,
                one.opening.quantity,
                size_text(one.kit.type),
                value_text("mount", one.kit.mount),
                _figures(one.price, one.cost, terms.floor),
                one.kit.stopped,
            )
            for one in job.openings
        ),
        suppliers=_suppliers(job, terms.floor),
        shorts=shorts,
        exposure=Money(sum(short.price.minor for short in shorts), job.currency),
    )


def _suppliers(job: KittedJob, floor: Fraction) -> tuple[SupplierFigures, ...]:
    price: dict[str, int] = {}
    cost: dict[str, int] = {}
    items: dict[str, set[str]] = {}
    for one in job.openings:
        for priced in one.priced.lines:
            item = priced.line.item
            count = priced.line.quantity * one.opening.quantity
            price[item.supplier] = price.get(item.supplier, 0) + priced.unit.minor * count
            cost[item.supplier] = cost.get(item.supplier, 0) + item.cost.units * count
            items.setdefault(item.supplier, set()).add(item.sku)
    return tuple(
        SupplierFigures(
            supplier,
            len(items[supplier]),
            _figures(
                Money(price[supplier], job.currency), Cost(cost[supplier], job.currency), floor
            ),
        )
        for supplier in sorted(price)
    )


def _figures(price: Money, cost: Cost, floor: Fraction) -> Figures:
    margin = Margin(price, cost)
    return Figures(price, cost.as_money, margin.amount, margin.share, margin.under(floor))


def _short(draw: Draw, job: KittedJob) -> ShortStock:
    item = draw.item
    unit = item.list_price if job.multiplier == 1 else item.list_price.scaled(job.multiplier)
    return ShortStock(
        item.sku,
        item.description,
        draw.quantity,
        item.on_hand,
        draw.short,
        item.lead_days,
        unit.times(draw.short),
        tuple(mark for mark, _ in draw.marks),
    )


def _missing(kit: Kit) -> tuple[MissingPiece, ...]:
    return tuple(
        MissingPiece(tr(ROLES[one.role]), one.quantity, say_reason(one.because))
        for one in kit.missing
    )


def _one_piece(unused: Unused) -> str:
    """What one of the left-over pieces is: `shoe`, `wood screw for the body`."""
    return piece_text(unused.role, unused.kind, 1).removeprefix("1 ")


def _hand(kit: Kit) -> str:
    if kit.type.leaves == 2:
        return "pair"
    return kit.type.hand.value if kit.type.hand else "hand not stated"


def _kits(job: KittedJob) -> list[Kit]:
    found: dict[int, Kit] = {id(one.kit): one.kit for one in job.openings}
    return list(found.values())


def _common_assumptions(kits: Sequence[Kit]) -> tuple[Assumption, ...]:
    """Assumptions that every opening of the job shares."""
    if not kits:
        return ()
    first, *others = kits
    return tuple(one for one in first.assumed if all(one in other.assumed for other in others))


def _questions(job: KittedJob) -> tuple[Question, ...]:
    """What only the customer can say, by field, with the openings it concerns."""
    marks: dict[str, list[str]] = {}
    values: dict[str, set[str]] = {}
    for one in job.openings:
        for assumed in one.kit.assumed:
            marks.setdefault(assumed.field, []).append(one.opening.mark)
            said = value_text(assumed.field, assumed.value)
            values.setdefault(assumed.field, set()).add(said)
        codes = {finding.code for finding in one.kit.findings}
        for code, field in ASKED_BY.items():
            if code in codes:
                marks.setdefault(field, []).append(one.opening.mark)
    every = [one.opening.mark for one in job.openings]
    return tuple(
        _question(field, marks[field], values.get(field, set()), every)
        for field in QUESTIONS
        if field in marks
    )


def _question(field: str, marks: list[str], values: set[str], every: list[str]) -> Question:
    """A question with what the quote assumes; where it is for nearly all, the others are named."""
    text = tr(QUESTIONS[field])
    if len(values) == 1:
        said = tr("{question} Quoted as: {value}.")
        text = said.format(question=text, value=next(iter(values)))
    concerned = set(marks)
    others = [mark for mark in every if mark not in concerned]
    if not others:
        return Question(text)
    if len(others) < len(marks):
        said = tr("{question} All openings but {marks}.")
        return Question(said.format(question=text, marks=listed(others)))
    return Question(text, tuple(marks))


# Fields without a house default are asked for where a finding turns on them.
ASKED_BY = {"weight-estimated": "weight", "egress-force-limit": "egress"}
QUESTIONS: dict[str, str] = {
    "door": "What is the leaf made of?",
    "core": "What core has the wood leaf?",
    "door_reinforced": "Is the leaf reinforced, or has it blocking, where the closer goes?",
    "weight": "What does the leaf weigh?",
    "thickness": "How thick is the leaf?",
    "frame": "What is the frame made of?",
    "frame_reinforced": "Is the frame reinforced where the closer goes?",
    "location": "Is the opening interior or exterior?",
    "swing": "Does the leaf swing in or out?",
    "body_side": "On which side is the room the closer is to be in?",
    "fire_minutes": "Has the opening a fire label, and of how many minutes?",
    "accessible": "Is the opening on an accessible route?",
    "egress": "Is the opening an exit, on a means of egress?",
    "traffic": "Is the traffic through the opening light, usual or heavy?",
    "opening_degrees": "To what angle is the leaf to open?",
    "top_rail": "How high is the top rail of the leaf?",
    "head_face": "How high is the face of the frame head?",
    "reveal": "How deep is the reveal on the push side?",
    "stop": "Is the stop under the head a rabbet or a blade?",
    "finish": "Which finish is wanted?",
    "jurisdiction": "Which code's force limits apply?",
}
