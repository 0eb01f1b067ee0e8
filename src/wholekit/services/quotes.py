"""Revisions of a quote: issued, accepted, declined, expired."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import (
    AS_QUOTED,
    LOST_REASONS,
    Acceptance,
    Revision,
    Snapshot,
    State,
    digest,
    snapshot_text,
)
from wholekit.domain.quotes.offer import OfferKit, OfferWords
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.totals import over_limit
from wholekit.services.approvals import ask_owner, review_of
from wholekit.services.desk import (
    LONGEST_NAME,
    Deed,
    Desk,
    check_version,
    held_job,
    job_of,
    need_line,
)
from wholekit.services.ports import RevisionFilter, UnitOfWork, snapshot_of
from wholekit.services.quote_drafts import draft_of, new_draft, save_revision
from wholekit.services.quote_reading import revision_of, with_snapshot
from wholekit.services.reviews import Issue
from wholekit.services.rights import needs
from wholekit.services.snapshots import freeze
from wholekit.services.workup import work_up_job


@needs(Action.ISSUE_QUOTES)
def issue_quote(
    desk: Desk,
    deed: Deed,
    reference: str,
    *,
    leave_stopped: bool = False,
    expected: int | None = None,
    cover_note: str | None = None,
    ask: str | None = "",
) -> Issue:
    """Freeze a job's draft and send it; without one, it is drafted first as by `draft_quote`.

    leave_stopped: openings with an open stop or a missing piece are no part of the quote, which
    names them; limits then look at the whole job and at what is left of it, and an owner's approval
    of what is left is enough. cover_note: words to the customer, those of the draft where it is
    None; ask: what an owner is told why, where one has to be asked; None asks nobody.

    Nothing is written where a stop is open; where a limit is passed without approval, nothing but
    the draft with a request that an owner sees. The job's issued
    revision before it is superseded (expired, if it was past its day); one that was accepted stays
    accepted. Raises CallError (nothing to quote; nothing changed since a revision that still holds
    or was accepted; a name that the house does not know), InputError, ConflictError.
    """
    need_line(ask or "", "reason")
    _ask_beforehand(desk, deed, reference)
    with desk.store.writing() as uow:
        # Held from here on: nobody changes the job between what is reviewed and what is frozen.
        job = held_job(uow, reference)
        there = draft_of(uow, job)
        draft = there or new_draft(uow, desk, deed, job, cover_note, None)
        check_version("revision", draft.label, expected, draft.version)
        if cover_note is not None and draft.cover_note != cover_note:
            worded = replace(draft, cover_note=cover_note, version=draft.version + 1)
            save_revision(uow, deed, draft, worded, "draft-edited")
            draft = worded
        review = review_of(uow, desk, deed, job, draft, leave_stopped=leave_stopped)
        if review.empty:
            raise CallError("quote-empty", job=job.label)
        # Left without commit, so that a draft made on the way is not kept either.
        if not review.clear:
            if review.needs_owner and ask is not None:
                asked = ask_owner(uow, deed, draft, leave_stopped=leave_stopped, reason=ask)
                uow.commit()
                return Issue(replace(review, request=asked.request), None)
            return Issue(review, None)
        before = uow.revisions.of_job(job.id)
        # Taken only now: a number given to a draft that is given up would leave a gap.
        number = max((earlier.quote_number for earlier in before), default=0)
        numbered = replace(draft, quote_number=number or uow.numbers.take("quote"))
        until = deed.day + timedelta(days=draft.valid_days)
        snapshot = freeze(
            review.workup,
            desk,
            numbered,
            issued=deed.day,
            valid_until=until,
            by=deed.signs,
            policy=uow.policy.get(),
            left_out=review.left_out,
        )
        # Before anything is written: reports add such sums up, and the store's numbers have an end.
        if over_limit(snapshot):
            raise CallError("quote-over-limit", job=job.label)
        _need_change(uow, before, snapshot, draft.valid_days, deed.day)
        for earlier in before:
            # A customer is not to hold two revisions that are both open.
            if earlier.state is State.ISSUED:
                _end(uow, deed, earlier, _after(earlier, deed.day))
        issued = replace(
            numbered,
            state=State.ISSUED,
            issued_at=deed.at,
            issued_by=deed.who,
            valid_until=until,
            snapshot=snapshot,
            snapshot_digest=digest(snapshot_text(snapshot)),
            request=None,
            version=draft.version + 1,
        )
        save_revision(uow, deed, draft, issued, "quote-issued")
        uow.commit()
    return Issue(review, issued, drafted=there is None)


def _ask_beforehand(desk: Desk, deed: Deed, reference: str) -> None:
    """Work the job's questions out while nobody waits for the store.

    The shelf keeps what it was asked, so that the same questions cost little when the quote is
    frozen; where the job is changed meanwhile, what is new is worked out then.
    """
    with desk.store.reading() as uow:
        workup = work_up_job(uow, desk, job_of(uow, reference), deed.day)
    workup.asking(desk.rules)


@needs(Action.CLOSE_QUOTES)
def close_quote(
    desk: Desk,
    deed: Deed,
    reference: str,
    to: State,
    *,
    lost_reason: str = "",
    acceptance: Acceptance = AS_QUOTED,
    remark: str = "",
    expected: int | None = None,
) -> Revision:
    """Mark an issued revision accepted, declined (why: one of LOST_REASONS) or expired.

    reference: `Q-00012/3`, or `Q-00012` for its latest. acceptance: alternates accepted with the
    base bid, the customer's order number and the day. Raises CallError, ConflictError.
    """
    need_line(acceptance.order_number, "order number", LONGEST_NAME)
    if to is State.DECLINED and lost_reason not in LOST_REASONS:
        raise CallError("lost-reason-unknown", given=lost_reason, known=list(LOST_REASONS))
    if to is not State.DECLINED and lost_reason:
        raise CallError("lost-reason-unwanted", to=to.value)
    with desk.store.writing() as uow:
        # The job first, as everybody holds it who changes one; then the revision anew, since
        # another may have closed it while this one waited.
        uow.jobs.for_change(revision_of(uow, reference).job_id)
        revision = with_snapshot(uow, revision_of(uow, reference))
        check_version("revision", revision.label, expected, revision.version)
        new = _end(uow, deed, revision, to, lost_reason, remark, acceptance)
        uow.commit()
    return new


@needs(Action.CLOSE_QUOTES)
def expire_quotes(desk: Desk, deed: Deed) -> tuple[Revision, ...]:
    """Mark every issued revision past its last valid day as expired."""
    with desk.store.writing() as uow:
        wanted = RevisionFilter(states=frozenset({State.ISSUED}))
        done = tuple(
            _end(uow, deed, revision, State.EXPIRED)
            for revision in uow.revisions.matching(wanted)
            if revision.state_on(deed.day) is State.EXPIRED
        )
        uow.commit()
    return done


def _need_change(
    uow: UnitOfWork, before: Sequence[Revision], snapshot: Snapshot, valid_days: int, day: date
) -> None:
    """Raises CallError where the last issued revision says the same and still holds.

    One that expired or was declined may be quoted again as it was; who issued it when, and
    approvals, are no change of what is quoted.
    """
    issued = [earlier for earlier in before if earlier.state is not State.DRAFT]
    if not issued:
        return
    last = issued[-1]
    # To hold for other days is a change by itself.
    if last.state_on(day) not in (State.ISSUED, State.ACCEPTED) or last.valid_days != valid_days:
        return
    old = snapshot_of(with_snapshot(uow, last))
    if _quoted(snapshot) == _quoted(old):
        raise CallError("quote-unchanged", label=last.label)


def _quoted(snapshot: Snapshot) -> Snapshot:
    """What is quoted and why it costs what it does, without number, days, hands and sentences;
    stock moves every day, and when kits can be ready is no change either."""
    offer = replace(
        snapshot.offer,
        revision=0,
        issued=date.min,
        valid_until=date.min,
        issued_by="",
        words=OfferWords(""),
        sent=None,
        kits=tuple(_goods(kit) for kit in snapshot.offer.kits),
        openings=tuple(replace(opening, ready=()) for opening in snapshot.offer.openings),
        ready_asked=None,
        priced_firm=None,
        alternates=tuple(replace(each, firm=None) for each in snapshot.offer.alternates),
    )
    # What was frozen in an older format may say the same.
    return replace(
        snapshot, format=0, offer=offer, own=replace(snapshot.own, openings=(), signs=())
    )


def _goods(kit: OfferKit) -> OfferKit:
    """A kit by its items alone: the rest follows from them, and older snapshots do not keep it."""
    lines = tuple(replace(line, uses=(), on_hand=0, lead_days=0) for line in kit.lines)
    return replace(kit, lines=lines, weight=None, body=None, template=None, proof=None)


def _after(revision: Revision, day: date) -> State:
    """What becomes of the issued revision before a new one."""
    expired = revision.state_on(day) is State.EXPIRED
    return State.EXPIRED if expired else State.SUPERSEDED


def _end(
    uow: UnitOfWork,
    deed: Deed,
    revision: Revision,
    to: State,
    lost_reason: str = "",
    remark: str = "",
    acceptance: Acceptance = AS_QUOTED,
) -> Revision:
    said = {"lost_reason": lost_reason, "note": remark}
    moved = revision.moved(to, at=deed.at, by=deed.who, acceptance=acceptance, **said)
    new = replace(moved, version=revision.version + 1)
    save_revision(uow, deed, revision, new, f"quote-{to.value}", lost_reason)
    return new
