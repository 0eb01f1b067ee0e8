"""Revisions of a quote: what may follow what, and what is kept of each step."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from enum import StrEnum
from fractions import Fraction

from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.own import Snapshot


class State(StrEnum):
    """Where a revision stands. All but draft and issued are ends."""

    DRAFT = "draft"
    ISSUED = "issued"
    ACCEPTED = "accepted"
    DECLINED = "declined"
    EXPIRED = "expired"
    SUPERSEDED = "superseded"


NEXT: dict[State, frozenset[State]] = {
    State.DRAFT: frozenset({State.ISSUED}),
    State.ISSUED: frozenset({State.ACCEPTED, State.DECLINED, State.EXPIRED, State.SUPERSEDED}),
    State.ACCEPTED: frozenset(),
    State.DECLINED: frozenset(),
    State.EXPIRED: frozenset(),
    State.SUPERSEDED: frozenset(),
}
LOST_REASONS = (
    "price",
    "lead-time",
    "product",
    "job-dropped",
    "other-supplier",
    "no-answer",
    "other",
)


@dataclass(frozen=True, slots=True)
class ApprovedPart:
    """What an owner saw of the base bid (empty code) or of an alternate.

    quoted: net as the quote shows it, of an alternate what it adds or takes out [Money]. net: of
    the part's own openings and lines of known cost [Money]. margin: the one that the limits look
    at [fraction]; None where nothing is sold. discount: off the agreed terms [fraction of them].
    """

    alternate: str
    quoted: Money
    net: Money
    margin: Fraction | None
    discount: Fraction | None = None


@dataclass(frozen=True, slots=True)
class Approval:
    """An owner's yes to prices below the limits: it holds while no part is lower than was seen.

    left_out: marks that were no part of what was seen, since they were stopped or not whole.
    """

    by: str
    at: datetime
    reason: str
    parts: tuple[ApprovedPart, ...] = ()
    left_out: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Request:
    """A draft that was to be issued and passes a limit: it waits for an owner's word.

    Approved it is gone; refused it stays with who refused it, when and why, until it is asked
    again or the draft goes out. leave_stopped: asked for what is left without stopped openings;
    reason: what the owner was told by whoever asked, or empty.
    """

    by: str
    at: datetime
    refused_by: str = ""
    refused_at: datetime | None = None
    refusal: str = ""
    leave_stopped: bool = False
    reason: str = ""

    @property
    def waiting(self) -> bool:
        """Whether no owner has answered yet."""
        return not self.refused_by


@dataclass(frozen=True, slots=True)
class Acceptance:
    """What a customer accepted: the base bid with some alternates [codes]. order_number: their own,
    empty where they gave none; day: when they did, None in what was accepted before it was kept."""

    alternates: tuple[str, ...] = ()
    order_number: str = ""
    day: date | None = None


AS_QUOTED = Acceptance()


@dataclass(frozen=True, slots=True)
class Revision:
    """One revision of a job's quote. A draft follows the job; from issue on the snapshot stands.

    quote_number: the quote's running number, 0 until the first issue. number: revision of the
    quote, from 1. closed_at, closed_by: when and by whom it came to its end; lost_reason: one of
    LOST_REASONS where declined. accepted: codes of the alternates taken, order_number: the
    customer's, accepted_on: the day they accepted, where they did (see `Acceptance`).
    snapshot_digest: SHA-256 of the snapshot's text. request: that a limit be passed, of a draft
    alone. version: counts changes, from 1.
    """

    id: str
    job_id: str
    quote_number: int
    number: int
    state: State
    created_at: datetime
    created_by: str
    valid_days: int
    cover_note: str = ""
    approvals: tuple[Approval, ...] = ()
    issued_at: datetime | None = None
    issued_by: str = ""
    valid_until: date | None = None
    closed_at: datetime | None = None
    closed_by: str = ""
    lost_reason: str = ""
    accepted: tuple[str, ...] = ()
    note: str = ""
    snapshot: Snapshot | None = None
    snapshot_digest: str = ""
    request: Request | None = None
    version: int = 1
    order_number: str = ""
    accepted_on: date | None = None

    @property
    def acceptance(self) -> Acceptance | None:
        """What was accepted of it; None unless it was."""
        if self.state is not State.ACCEPTED:
            return None
        return Acceptance(self.accepted, self.order_number, self.accepted_on)

    @property
    def label(self) -> str:
        """`Q-00012/3`; a draft before the first issue is `draft`."""
        return f"{quote_label(self.quote_number)}/{self.number}" if self.quote_number else "draft"

    @property
    def left_by_request(self) -> bool:
        """Whether nobody drafted it: an issue that was refused left it with its request."""
        asked = self.request
        return asked is not None and (asked.by, asked.at) == (self.created_by, self.created_at)

    def state_on(self, day: date) -> State:
        """The state on a day: an issued revision past its last valid day has expired."""
        return state_on(self.state, self.valid_until, day)

    def moved(
        self,
        to: State,
        *,
        at: datetime,
        by: str,
        lost_reason: str = "",
        note: str = "",
        acceptance: Acceptance = AS_QUOTED,
    ) -> "Revision":
        """The revision at its end. acceptance: what was taken with the base bid, on which order and
        day; without a day that of `at`.

        Once past its last valid day an issued revision can only expire or be superseded; but what
        was accepted in time is accepted, even if it is only told later. Raises CallError where that
        may not follow, for a day before the issue or after `at`, and as `alternates_taken`.
        """
        day = at.date()
        if to is State.ACCEPTED:
            day = self._day_accepted(acceptance.day, day)
        elif acceptance != AS_QUOTED:
            raise CallError("alternates-unwanted", to=to.value)
        state = self.state_on(day)
        allowed = NEXT[self.state]
        if state is State.EXPIRED and self.state is State.ISSUED:
            allowed = frozenset({State.EXPIRED, State.SUPERSEDED})
        if to not in allowed:
            raise CallError(
                "revision-not-movable", label=self.label, state=state.value, to=to.value
            )
        if to is State.EXPIRED and state is not State.EXPIRED:
            raise CallError("revision-still-valid", label=self.label, until=f"{self.valid_until}")
        alternates = acceptance.alternates
        return replace(
            self,
            state=to,
            closed_at=at,
            closed_by=by,
            lost_reason=lost_reason,
            accepted=alternates_taken(self, alternates) if alternates else (),
            note=note or self.note,
            order_number=acceptance.order_number,
            accepted_on=day if to is State.ACCEPTED else None,
        )

    def _day_accepted(self, said: date | None, today: date) -> date:
        """The day of acceptance, if it lies between the issue and today. Raises CallError."""
        day = said or today
        issued = today if self.issued_at is None else self.issued_at.date()
        if said is not None and not issued <= day <= today:
            raise CallError(
                "accepted-on-wrong-day",
                label=self.label,
                given=f"{day}",
                issued=f"{issued}",
                today=f"{today}",
            )
        return day


def alternates_taken(revision: Revision, codes: Sequence[str]) -> tuple[str, ...]:
    """The codes of alternates that are taken together, each once, in the order of the quote.

    Raises CallError for a code that was not quoted, and for two that take out the same mark of the
    base bid: its price would be taken off twice.
    """
    quoted = (
        {} if revision.snapshot is None else {o.code: o for o in revision.snapshot.offer.alternates}
    )
    for code in codes:
        if not quoted:
            raise CallError("alternates-none", label=revision.label, name=code)
        if code not in quoted:
            raise CallError(
                "alternate-not-quoted", label=revision.label, name=code, known=list(quoted)
            )
    taken = [alternate for code, alternate in quoted.items() if code in codes]
    out: dict[str, str] = {}
    for alternate in taken:
        for mark in alternate.deducts:
            other = out.setdefault(mark, alternate.code)
            if other != alternate.code:
                raise CallError("alternates-exclude", first=other, second=alternate.code, mark=mark)
    return tuple(alternate.code for alternate in taken)


def state_on(state: State, valid_until: date | None, day: date) -> State:
    """A state on a day: what is issued has expired once its last valid day is past."""
    lapsed = state is State.ISSUED and valid_until is not None and day > valid_until
    return State.EXPIRED if lapsed else state


def quote_label(number: int) -> str:
    """A quote's number as people write it.

    >>> quote_label(12)
    'Q-00012'
    """
    return f"Q-{number:05d}"
