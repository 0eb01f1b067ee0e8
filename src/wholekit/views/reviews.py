"""What stands before a quote, and its revisions, as data. Cost only where a caller says so."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.findings import Severity
from wholekit.domain.limits import Breach
from wholekit.domain.quotes import JobOpening, Request, Revision, State
from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.domain.rules import RuleBook
from wholekit.services.reviews import OpenStop, Review, Waiting
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.views.ready import JobReadyAnswer, job_ready_answer
from wholekit.wording.finding_words import in_short
from wholekit.wording.findings import say_finding
from wholekit.wording.job_sentences import LIMITS, LIMITS_TOLD
from wholekit.wording.offers import say_seen
from wholekit.wording.rates import percent
from wholekit.wording.units import in_units_of


@dataclass(frozen=True, slots=True)
class StopAnswer:
    """A stop finding that nobody has released."""

    mark: str
    alternate: str
    code: str
    text: str


@dataclass(frozen=True, slots=True)
class WarningAnswer:
    """What is to be checked before the goods go, in a few words, with the marks it holds for."""

    code: str
    text: str
    marks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BreachAnswer:
    """A limit that is passed, in words."""

    code: str
    text: str


@dataclass(frozen=True, slots=True)
class RequestAnswer:
    """That an owner approve: who asked when; refused by whom, when and why, or not answered yet.

    without_stopped: asked for what is left without openings that are stopped or not whole; reason:
    what the owner was told by whoever asked.
    """

    by: str
    at: str
    refused_by: str | None
    refused_at: str | None
    refusal: str | None
    without_stopped: bool = False
    reason: str = ""


@dataclass(frozen=True, slots=True)
class WaitingAnswer:
    """A draft that waits for an owner's word. limits: with the margin's figures, since none but an
    owner sees it; net: of the base bid as the quote shows it, None without one."""

    job: str
    name: str
    customer: str
    quote: str
    asked: RequestAnswer
    limits: tuple[BreachAnswer, ...]
    net: PriceAnswer | None
    discount: str = ""
    discount_reason: str = ""


@dataclass(frozen=True, slots=True)
class ReviewAnswer:
    """What stands between a job and its issue.

    Of the base bid: net as the quote shows it, with freight and every extra line, without tax;
    margin_price: what limits and margin look at, without freight, and without extra lines that
    nobody knows the buying price of. ready: when its kits can be whole. left_out: marks that the
    quote would leave out, where it was asked for without what is stopped. of_counter: limits that
    it passes for the counter, where an owner looks.
    """

    job: str
    clear: bool
    stops: tuple[StopAnswer, ...]
    limits: tuple[BreachAnswer, ...]
    approved_by: str | None
    request: RequestAnswer | None
    discount: str
    net: PriceAnswer
    margin_price: PriceAnswer
    ready: JobReadyAnswer | None = None
    warnings: tuple[WarningAnswer, ...] = ()
    left_out: tuple[str, ...] = ()
    of_counter: tuple[BreachAnswer, ...] = ()


@dataclass(frozen=True, slots=True)
class ApprovalAnswer:
    """What an owner approved, a sentence for the base bid and for each alternate; left_out: marks
    that were no part of it."""

    by: str
    at: str
    reason: str
    parts: tuple[str, ...]
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class RevisionAnswer:
    """A revision without its content. state: as of the day asked; accepted: codes of the
    alternates that were accepted with the base bid, order_number and accepted_on: the customer's
    order, and the day they accepted."""

    quote: str
    job_id: str
    revision: int
    state: str
    created: str
    issued: str | None
    issued_by: str
    valid_until: str | None
    closed: str | None
    closed_by: str
    lost_reason: str
    accepted: tuple[str, ...]
    note: str
    version: int
    digest: str
    approvals: tuple[ApprovalAnswer, ...]
    order_number: str
    accepted_on: str | None


def review_answer(review: Review, rules: RuleBook, *, cost: bool = False) -> ReviewAnswer:
    """A review as data. cost: for somebody who may see cost, with the margin's figures."""
    return ReviewAnswer(
        review.job.label,
        review.clear,
        tuple(stop_answer(stop, rules) for stop in review.stops),
        tuple(
            BreachAnswer(breach.code, say_breach(breach, cost=cost)) for breach in review.breaches
        ),
        None if review.approval is None else review.approval.by,
        request_answer(review.request),
        percent(review.standing.discount),
        price_answer(review.net),
        price_answer(review.standing.net),
        job_ready_answer(review.workup.base_ready()),
        warnings_of(review.workup.job.openings),
        tuple(place_of(opening.entry) for opening in review.left_out),
        tuple(
            BreachAnswer(breach.code, say_breach(breach, cost=cost)) for breach in review.of_counter
        ),
    )


def warnings_of(openings: Sequence[WorkedOpening]) -> tuple[WarningAnswer, ...]:
    """Every warning of a job's kits and notes, each once with its marks, by its code."""
    found: dict[str, dict[str, None]] = {}
    for opening in openings:
        for finding in (*opening.kit.findings, *opening.of_note):
            if finding.severity is Severity.WARN:
                found.setdefault(finding.code, {})[place_of(opening.entry)] = None
    return tuple(WarningAnswer(code, in_short(code), tuple(found[code])) for code in sorted(found))


def place_of(entry: JobOpening) -> str:
    """A mark, with its alternate in brackets."""
    return f"{entry.mark} [{entry.alternate}]" if entry.alternate else entry.mark


def request_answer(request: Request | None) -> RequestAnswer | None:
    """A request as data."""
    if request is None:
        return None
    at = request.refused_at
    return RequestAnswer(
        request.by,
        request.at.isoformat(),
        request.refused_by or None,
        None if at is None else at.isoformat(),
        request.refusal or None,
        request.leave_stopped,
        request.reason,
    )


def waiting_answer(waiting: Waiting) -> WaitingAnswer:
    """A draft that waits, as data."""
    job, review, asked = waiting.job, waiting.review, request_answer(waiting.request)
    assert asked is not None  # noqa: S101  # it waits, so it was asked
    return WaitingAnswer(
        job.label,
        job.name,
        job.customer,
        waiting.draft.label,
        asked,
        ()
        if review is None
        else tuple(
            BreachAnswer(breach.code, say_breach(breach, cost=True)) for breach in review.breaches
        ),
        None if review is None else price_answer(review.net),
        percent(job.discount) if job.discount else "",
        job.discount_reason,
    )


def stop_answer(stop: OpenStop, rules: RuleBook) -> StopAnswer:
    """An open stop as data."""
    with in_units_of(stop.size):
        said = say_finding(stop.finding, rules)
    return StopAnswer(stop.mark, stop.alternate, stop.finding.code, said.text)


def say_breach(breach: Breach, *, cost: bool = False) -> str:
    """A limit that is passed, in words; without the margin unless for who may see cost."""
    said = (LIMITS if cost else LIMITS_TOLD)[breach.code].format(
        found="below any" if breach.found is None else percent(breach.found),
        allowed=percent(breach.allowed),
        role=breach.role.value,
    )
    return f"Alternate {breach.alternate}: {said}" if breach.alternate else said


def revision_answer(revision: Revision, state: State) -> RevisionAnswer:
    """A revision as data."""
    return RevisionAnswer(
        revision.label,
        revision.job_id,
        revision.number,
        state.value,
        revision.created_at.isoformat(),
        None if revision.issued_at is None else revision.issued_at.isoformat(),
        revision.issued_by,
        None if revision.valid_until is None else revision.valid_until.isoformat(),
        None if revision.closed_at is None else revision.closed_at.isoformat(),
        revision.closed_by,
        revision.lost_reason,
        revision.accepted,
        revision.note,
        revision.version,
        revision.snapshot_digest,
        tuple(
            ApprovalAnswer(
                approval.by,
                approval.at.isoformat(),
                approval.reason,
                tuple(map(say_seen, approval.parts)),
                approval.left_out,
            )
            for approval in revision.approvals
        ),
        revision.order_number,
        None if revision.accepted_on is None else revision.accepted_on.isoformat(),
    )
