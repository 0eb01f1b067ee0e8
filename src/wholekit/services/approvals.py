"""What stands between a draft and its issue, and an owner's answer to it."""

from collections.abc import Sequence
from dataclasses import replace

from wholekit.domain.errors import CallError, InputError
from wholekit.domain.limits import Breach, approved, breaches, parts_of, standing_of
from wholekit.domain.quotes import (
    BASE,
    Approval,
    ApprovedPart,
    Job,
    PersonRole,
    Request,
    Revision,
)
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.totals import base_totals
from wholekit.services.agreed_terms import agreed_customer
from wholekit.services.asked_once import for_jobs
from wholekit.services.desk import Deed, Desk, held_job, job_of, need_reason
from wholekit.services.ports import UnitOfWork
from wholekit.services.quote_drafts import draft_of, need_draft, save_revision
from wholekit.services.reviews import OpenStop, Review, Waiting
from wholekit.services.rights import needs, role_of
from wholekit.services.workup import Workup, without_stopped, work_up_job


@needs(Action.SEE_JOBS)
def review_job(desk: Desk, deed: Deed, reference: str, *, leave_stopped: bool = False) -> Review:
    """A job worked up on the deed's day, with all that would keep it from being issued by them.

    leave_stopped: as `issue_quote` would leave openings out. Raises CallError (an alternate would
    lose one), InputError (overrides that no longer fit).
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        return review_of(uow, desk, deed, job, draft_of(uow, job), leave_stopped=leave_stopped)


@needs(Action.APPROVE_PRICES)
def approve_draft(
    desk: Desk, deed: Deed, reference: str, reason: str, *, leave_stopped: bool = False
) -> Revision:
    """An owner's approval of a draft at the prices and margins its parts now have.

    leave_stopped: of what is left without openings that are stopped or not whole. Raises CallError.
    """
    said = need_reason(reason, "approval")
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        draft = need_draft(uow, job)
        # With nobody entered anybody would pass for an owner, and an approval would mean nothing.
        if not uow.people.all():
            raise CallError("owner-unknown")
        seen = review_of(uow, desk, deed, job, draft, leave_stopped=leave_stopped)
        if seen.left_out and seen.empty:
            raise CallError("quote-empty", job=job.label)
        # What the owner saw is kept, part by part: the approval falls once any of it is lower.
        done = Approval(
            deed.who,
            deed.at,
            said,
            _parts(uow, seen.workup),
            tuple(opening.entry.mark for opening in seen.left_out),
        )
        new = replace(
            draft, approvals=(*draft.approvals, done), request=None, version=draft.version + 1
        )
        save_revision(uow, deed, draft, new, "draft-approved", said)
        uow.commit()
    return new


@needs(Action.REFUSE_PRICES)
def refuse_request(desk: Desk, deed: Deed, reference: str, reason: str) -> Revision:
    """An owner turns down a draft that was to be issued below the limits; the draft stays.

    Raises CallError: no reason, no draft, nobody asked.
    """
    said = need_reason(reason, "refusal")
    with desk.store.writing() as uow:
        draft = need_draft(uow, held_job(uow, reference))
        asked = draft.request
        if asked is None or not asked.waiting:
            raise CallError("request-none", label=draft.label)
        answered = replace(asked, refused_by=deed.who, refused_at=deed.at, refusal=said)
        new = replace(draft, request=answered, version=draft.version + 1)
        save_revision(uow, deed, draft, new, "request-refused", said)
        uow.commit()
    return new


@needs(Action.SEE_REQUESTS)
def waiting_requests(desk: Desk, deed: Deed) -> tuple[Waiting, ...]:
    """The drafts that wait for an owner's word, the first asked first, each with what stands
    between it and its issue by who asked. A job that cannot be worked up any more has no review.
    Their reviews tell nothing of stock."""
    with desk.store.reading() as uow:
        found = []
        drafts = uow.revisions.waiting()
        every = for_jobs(uow, [draft.job_id for draft in drafts])
        for draft in drafts:
            contents = every.jobs.contents(draft.job_id)
            if contents is None:
                raise CallError("job-unknown", job=draft.job_id)
            job = contents.job
            asked = draft.request
            assert asked is not None  # noqa: S101  # the store gives none without
            try:
                review = review_of(
                    every,
                    desk,
                    Deed(asked.by, deed.at),
                    job,
                    draft,
                    leave_stopped=asked.leave_stopped,
                )
            except (CallError, InputError):
                review = None
            found.append(Waiting(job, draft, asked, review))
    return tuple(found)


@needs(Action.SEE_QUOTES)
def asked_of_owner(desk: Desk, deed: Deed) -> tuple[tuple[Job, Request], ...]:
    """The jobs whose drafts wait for an owner's word, the first asked first, for those who wait."""
    with desk.store.reading() as uow:
        drafts = uow.revisions.waiting()
        jobs = {job.id: job for job in uow.jobs.several([draft.job_id for draft in drafts])}
    return tuple(
        (jobs[draft.job_id], draft.request)
        for draft in drafts
        if draft.request is not None and draft.job_id in jobs
    )


def review_of(
    uow: UnitOfWork,
    desk: Desk,
    deed: Deed,
    job: Job,
    draft: Revision | None,
    *,
    leave_stopped: bool = False,
) -> Review:
    """A job worked up on the deed's day, with what keeps this draft of it from being issued.

    leave_stopped: as in `review_job`. A kit that lacks a piece is left out even so: that its stop
    was let go makes it nothing to sign for.
    """
    workup = work_up_job(uow, desk, job, deed.day)
    passed = _passed(uow, deed, workup)
    whole = Review(
        job,
        workup,
        standing_of(workup.job, workup.place, (BASE,)),
        base_totals(workup.job, workup.place).net,
        tuple(
            OpenStop(opening.entry.mark, opening.entry.alternate, finding, opening.kit.type.width)
            for opening in workup.job.openings
            for finding in opening.open_stops()
        ),
        passed,
        _approval(uow, workup, passed, draft),
        None if draft is None else draft.request,
        of_counter=_of_counter(uow, deed, workup),
    )
    waived = not whole.stops and any(not opening.firm for opening in workup.job.openings)
    return _reduced(uow, deed, whole, draft) if leave_stopped or waived else whole


def _reduced(uow: UnitOfWork, deed: Deed, whole: Review, draft: Revision | None) -> Review:
    """The review of what is left: no stop is in it, but a limit that the whole passes is passed.

    An approval of the whole holds for no figures that are lower, so what is left needs one that
    saw it; and one that saw what goes out is enough, whatever the whole would have needed.
    """
    workup, out = without_stopped(whole.workup)
    passed = _passed(uow, deed, workup)
    approval = _approval(uow, workup, passed or whole.breaches, draft)
    return replace(
        whole,
        workup=workup,
        standing=standing_of(workup.job, workup.place, (BASE,)),
        net=base_totals(workup.job, workup.place).net,
        stops=(),
        breaches=passed or whole.breaches,
        approval=approval if passed else approval or whole.approval,
        left_out=out,
        of_counter=_of_counter(uow, deed, workup),
    )


def ask_owner(
    uow: UnitOfWork, deed: Deed, draft: Revision, *, leave_stopped: bool, reason: str = ""
) -> Revision:
    """The draft with a request on it; one that waits already is not asked again, unless it is for
    another offer (the whole, or what is left without stopped openings) or for another reason."""
    there = draft.request
    if (
        there is not None
        and there.waiting
        and there.leave_stopped == leave_stopped
        and reason in ("", there.reason)
    ):
        return draft
    request = Request(deed.who, deed.at, leave_stopped=leave_stopped, reason=reason)
    asked = replace(draft, request=request, version=draft.version + 1)
    save_revision(uow, deed, draft, asked, "approval-asked")
    return asked


def _of_counter(uow: UnitOfWork, deed: Deed, workup: Workup) -> tuple[Breach, ...]:
    """Limits passed for the counter, told to an owner alone."""
    if role_of(uow, deed.who) is not PersonRole.OWNER:
        return ()
    return _passed_by(uow, PersonRole.COUNTER, workup)


def _passed(uow: UnitOfWork, deed: Deed, workup: Workup) -> tuple[Breach, ...]:
    return _passed_by(uow, role_of(uow, deed.who), workup)


def _passed_by(uow: UnitOfWork, role: PersonRole, workup: Workup) -> tuple[Breach, ...]:
    return breaches(
        workup.job,
        workup.place,
        role,
        uow.policy.get(),
        agreed_customer(uow, workup.job.customer),
    )


def _approval(
    uow: UnitOfWork, workup: Workup, passed: Sequence[Breach], draft: Revision | None
) -> Approval | None:
    return approved(_parts(uow, workup), passed, () if draft is None else draft.approvals)


def _parts(uow: UnitOfWork, workup: Workup) -> tuple[ApprovedPart, ...]:
    return parts_of(workup.job, workup.place, agreed_customer(uow, workup.job.customer))
