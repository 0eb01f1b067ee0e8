"""Revisions of a quote: drafted, approved, issued, accepted, declined, expired; compared."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta

from wholekit.domain.errors import CallError, InputError
from wholekit.domain.limits import Breach, approved, breaches, parts_of, standing_of
from wholekit.domain.quotes import (
    BASE,
    LOST_REASONS,
    Approval,
    Job,
    Request,
    Revision,
    Snapshot,
    State,
    digest,
    snapshot_text,
)
from wholekit.domain.quotes.offer import OfferKit, OfferWords
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.totals import base_totals, over_limit
from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.services.agreed_terms import agreed_customer
from wholekit.services.desk import (
    Deed,
    Desk,
    check_version,
    held_job,
    job_of,
    need_plain,
    need_reason,
    note,
)
from wholekit.services.ports import RevisionFilter, UnitOfWork, snapshot_of
from wholekit.services.quote_reading import (
    revision_of,
    with_snapshot,
)
from wholekit.services.reviews import Issue, OpenStop, Review, Waiting
from wholekit.services.rights import needs, role_of
from wholekit.services.workup import Workup, freeze, without_stopped, work_up_job

MOST_VALID_DAYS = 3650


@needs(Action.DRAFT_QUOTES)
def draft_quote(
    desk: Desk,
    deed: Deed,
    reference: str,
    *,
    cover_note: str | None = None,
    valid_days: int | None = None,
) -> Revision:
    """A draft for the next revision of a job's quote; a job has one draft at most.

    What is None is as in the revision before, or else no note and the days of the house. A draft
    that a refused issue left is taken up. Raises CallError: there is a draft, days out of range.
    """
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        left = _draft_of(uow, job)
        if left is not None and left.left_by_request:
            return _edited(uow, deed, left, cover_note, valid_days)
        revision = _draft(desk, deed, uow, job, cover_note, valid_days)
        uow.commit()
    return revision


@needs(Action.DRAFT_QUOTES)
def edit_draft(
    desk: Desk,
    deed: Deed,
    reference: str,
    *,
    cover_note: str | None = None,
    valid_days: int | None = None,
    expected: int | None = None,
) -> Revision:
    """Change a draft's cover note or the days it is to hold. Raises CallError, ConflictError."""
    with desk.store.writing() as uow:
        draft = _need_draft(uow, held_job(uow, reference))
        check_version("revision", draft.label, expected, draft.version)
        return _edited(uow, deed, draft, cover_note, valid_days)


def _edited(
    uow: UnitOfWork, deed: Deed, draft: Revision, cover_note: str | None, valid_days: int | None
) -> Revision:
    new = replace(
        draft,
        cover_note=draft.cover_note if cover_note is None else cover_note,
        valid_days=draft.valid_days if valid_days is None else _days(valid_days),
        version=draft.version + 1,
    )
    _save(uow, deed, draft, new, "draft-edited")
    uow.commit()
    return new


@needs(Action.DRAFT_QUOTES)
def discard_draft(desk: Desk, deed: Deed, reference: str) -> Revision:
    """Take a job's draft away; its number is free for the next. Raises CallError."""
    with desk.store.writing() as uow:
        draft = _need_draft(uow, held_job(uow, reference))
        uow.revisions.remove(draft, draft.version)
        note(uow, deed, "draft-discarded", "revision", draft.id, job_id=draft.job_id, before=draft)
        uow.commit()
    return draft


@needs(Action.SEE_JOBS)
def review_job(desk: Desk, deed: Deed, reference: str) -> Review:
    """A job worked up on the deed's day, with all that would keep it from being issued by them.

    Raises CallError, InputError (overrides that no longer fit).
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        return _review(uow, desk, deed, job, _draft_of(uow, job))


@needs(Action.APPROVE_PRICES)
def approve_draft(desk: Desk, deed: Deed, reference: str, reason: str) -> Revision:
    """An owner's approval of a draft at the prices and margins its parts now have.

    Raises CallError.
    """
    said = need_reason(reason, "approval")
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        draft = _need_draft(uow, job)
        # With nobody entered anybody would pass for an owner, and an approval would mean nothing.
        if not uow.people.all():
            raise CallError("owner-unknown")
        workup = work_up_job(uow, desk, job, deed.day)
        # What the owner saw is kept, part by part: the approval falls once any of it is lower.
        agreed = agreed_customer(uow, workup.job.customer)
        done = Approval(deed.who, deed.at, said, parts_of(workup.job, workup.place, agreed))
        new = replace(
            draft, approvals=(*draft.approvals, done), request=None, version=draft.version + 1
        )
        _save(uow, deed, draft, new, "draft-approved", said)
        uow.commit()
    return new


@needs(Action.REFUSE_PRICES)
def refuse_request(desk: Desk, deed: Deed, reference: str, reason: str) -> Revision:
    """An owner turns down a draft that was to be issued below the limits; the draft stays.

    Raises CallError: no reason, no draft, nobody asked.
    """
    said = need_reason(reason, "refusal")
    with desk.store.writing() as uow:
        draft = _need_draft(uow, held_job(uow, reference))
        asked = draft.request
        if asked is None or not asked.waiting:
            raise CallError("request-none", label=draft.label)
        answered = replace(asked, refused_by=deed.who, refused_at=deed.at, refusal=said)
        new = replace(draft, request=answered, version=draft.version + 1)
        _save(uow, deed, draft, new, "request-refused", said)
        uow.commit()
    return new


@needs(Action.SEE_REQUESTS)
def waiting_requests(desk: Desk, deed: Deed) -> tuple[Waiting, ...]:
    """The drafts that wait for an owner's word, the first asked first, each with what stands
    between it and its issue by who asked. A job that cannot be worked up any more has no review."""
    with desk.store.reading() as uow:
        found = []
        for draft in uow.revisions.waiting():
            job = job_of(uow, draft.job_id)
            asked = draft.request
            assert asked is not None  # noqa: S101  # the store gives none without
            try:
                review = _review(uow, desk, Deed(asked.by, deed.at), job, draft)
            except (CallError, InputError):
                review = None
            found.append(Waiting(job, draft, asked, review))
    return tuple(found)


@needs(Action.ISSUE_QUOTES)
def issue_quote(
    desk: Desk,
    deed: Deed,
    reference: str,
    *,
    leave_stopped: bool = False,
    expected: int | None = None,
) -> Issue:
    """Freeze a job's draft and send it; without one, it is drafted first as by `draft_quote`.

    leave_stopped: openings with an open stop or a missing piece are no part of the quote, which
    names them; limits then look at the whole job and at what is left of it.

    Nothing is written where a stop is open; where a limit is passed without approval, nothing but
    the draft with a request that an owner sees. The job's issued
    revision before it is superseded (expired, if it was past its day); one that was accepted stays
    accepted. Raises CallError (nothing to quote; nothing changed since a revision that still holds
    or was accepted; a name that the house does not know), InputError, ConflictError.
    """
    with desk.store.writing() as uow:
        # Held from here on: nobody changes the job between what is reviewed and what is frozen.
        job = held_job(uow, reference)
        there = _draft_of(uow, job)
        draft = there or _draft(desk, deed, uow, job, None, None)
        check_version("revision", draft.label, expected, draft.version)
        review = _review(uow, desk, deed, job, draft)
        workup = review.workup
        left_out: tuple[WorkedOpening, ...] = ()
        if leave_stopped:
            workup, left_out = without_stopped(review.workup)
            review = _reduced(uow, deed, review, workup)
        contents = workup.job.contents
        # Extra lines alone are a quote, but not where all the openings were left out of it.
        if not contents.openings and (left_out or not contents.extras):
            raise CallError("quote-empty", job=job.label)
        # Left without commit, so that a draft made on the way is not kept either.
        if not review.clear:
            if review.needs_owner:
                asked = _request(uow, deed, draft)
                uow.commit()
                return Issue(replace(review, request=asked.request), None)
            return Issue(review, None)
        before = uow.revisions.of_job(job.id)
        # Taken only now: a number given to a draft that is given up would leave a gap.
        number = max((earlier.quote_number for earlier in before), default=0)
        numbered = replace(draft, quote_number=number or uow.numbers.take("quote"))
        until = deed.day + timedelta(days=draft.valid_days)
        snapshot = freeze(
            workup,
            desk,
            numbered,
            issued=deed.day,
            valid_until=until,
            by=deed.signs,
            policy=uow.policy.get(),
            left_out=left_out,
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
        _save(uow, deed, draft, issued, "quote-issued")
        uow.commit()
    return Issue(review, issued, drafted=there is None)


@needs(Action.CLOSE_QUOTES)
def close_quote(
    desk: Desk,
    deed: Deed,
    reference: str,
    to: State,
    *,
    lost_reason: str = "",
    alternates: Sequence[str] = (),
    remark: str = "",
    expected: int | None = None,
) -> Revision:
    """Mark an issued revision accepted, declined (why: one of LOST_REASONS) or expired.

    reference: `Q-00012/3`, or `Q-00012` for its latest. alternates: codes of those accepted with
    the base bid. Raises CallError, ConflictError.
    """
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
        new = _end(uow, deed, revision, to, lost_reason, remark, alternates)
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


def _review(uow: UnitOfWork, desk: Desk, deed: Deed, job: Job, draft: Revision | None) -> Review:
    workup = work_up_job(uow, desk, job, deed.day)
    agreed = agreed_customer(uow, workup.job.customer)
    passed = _passed(uow, deed, workup)
    return Review(
        job,
        workup,
        standing_of(workup.job, workup.place, (BASE,)),
        base_totals(workup.job, workup.place).net,
        tuple(
            OpenStop(opening.entry.mark, opening.entry.alternate, finding)
            for opening in workup.job.openings
            for finding in opening.open_stops()
        ),
        passed,
        approved(
            parts_of(workup.job, workup.place, agreed),
            passed,
            () if draft is None else draft.approvals,
        ),
        None if draft is None else draft.request,
    )


def _passed(uow: UnitOfWork, deed: Deed, workup: Workup) -> tuple[Breach, ...]:
    return breaches(
        workup.job,
        workup.place,
        role_of(uow, deed.who),
        uow.policy.get(),
        agreed_customer(uow, workup.job.customer),
    )


def _reduced(uow: UnitOfWork, deed: Deed, whole: Review, workup: Workup) -> Review:
    """The review of what is left: no stop is in it, but a limit that the whole passes is passed.

    An approval was given for the figures of the whole, and holds for none that are lower: where
    what is left passes a limit of its own, an owner issues it.
    """
    passed = _passed(uow, deed, workup)
    left = replace(whole, workup=workup, stops=())
    return replace(left, breaches=passed, approval=None) if passed else left


def _draft(
    desk: Desk, deed: Deed, uow: UnitOfWork, job: Job, cover_note: str | None, days: int | None
) -> Revision:
    if _draft_of(uow, job) is not None:
        raise CallError("draft-there", job=job.label)
    new = next_draft(uow, desk, deed, job)
    revision = replace(
        new,
        valid_days=new.valid_days if days is None else _days(days),
        cover_note=new.cover_note if cover_note is None else cover_note,
    )
    need_plain(revision)
    uow.revisions.add(revision)
    note(uow, deed, "draft-made", "revision", revision.id, job_id=job.id, after=revision)
    return revision


def next_draft(uow: UnitOfWork, desk: Desk, deed: Deed, job: Job) -> Revision:
    """A draft for a job's next revision, as yet kept nowhere: days and cover note are those of the
    revision before; without one, the house's days and no note."""
    before = uow.revisions.of_job(job.id)
    last = before[-1] if before else None
    return Revision(
        id=desk.ids.new(),
        job_id=job.id,
        quote_number=max((earlier.quote_number for earlier in before), default=0),
        number=max((earlier.number for earlier in before), default=0) + 1,
        state=State.DRAFT,
        created_at=deed.at,
        created_by=deed.who,
        valid_days=uow.policy.get().valid_days if last is None else last.valid_days,
        cover_note="" if last is None else last.cover_note,
    )


def _request(uow: UnitOfWork, deed: Deed, draft: Revision) -> Revision:
    """The draft with a request on it; one that waits already is not asked again."""
    if draft.request is not None and draft.request.waiting:
        return draft
    asked = replace(draft, request=Request(deed.who, deed.at), version=draft.version + 1)
    _save(uow, deed, draft, asked, "approval-asked")
    return asked


def _draft_of(uow: UnitOfWork, job: Job) -> Revision | None:
    return next(
        (revision for revision in uow.revisions.of_job(job.id) if revision.state is State.DRAFT),
        None,
    )


def _need_draft(uow: UnitOfWork, job: Job) -> Revision:
    draft = _draft_of(uow, job)
    if draft is None:
        raise CallError("draft-none", job=job.label)
    return draft


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
    alternates: Sequence[str] = (),
) -> Revision:
    said = {"lost_reason": lost_reason, "note": remark}
    moved = revision.moved(to, at=deed.at, by=deed.who, alternates=alternates, **said)
    new = replace(moved, version=revision.version + 1)
    _save(uow, deed, revision, new, f"quote-{to.value}", lost_reason)
    return new


def _save(
    uow: UnitOfWork, deed: Deed, old: Revision, new: Revision, action: str, reason: str = ""
) -> None:
    """The snapshot itself is not copied into the audit log: its digest is."""
    need_plain(new)
    uow.revisions.save(new, old.version)
    note(
        uow,
        deed,
        action,
        "revision",
        new.id,
        job_id=new.job_id,
        before=replace(old, snapshot=None),
        after=replace(new, snapshot=None),
        reason=reason,
    )


def _days(days: int) -> int:
    if not 1 <= days <= MOST_VALID_DAYS:
        raise CallError("valid-days-out-of-range", given=days, most=MOST_VALID_DAYS)
    return days
