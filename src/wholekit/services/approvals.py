"""What stands between a draft and its issue, and an owner's answer to it."""

from dataclasses import replace

from wholekit.domain.errors import CallError, InputError
from wholekit.domain.limits import Breach, approved, breaches, parts_of, standing_of
from wholekit.domain.quotes import (
    BASE,
    Approval,
    Job,
    Request,
    Revision,
)
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.totals import base_totals
from wholekit.services.agreed_terms import agreed_customer
from wholekit.services.desk import (
    Deed,
    Desk,
    held_job,
    job_of,
    need_reason,
)
from wholekit.services.ports import UnitOfWork
from wholekit.services.quote_drafts import draft_of, need_draft, save_revision
from wholekit.services.reviews import OpenStop, Review, Waiting
from wholekit.services.rights import needs, role_of
from wholekit.services.workup import Workup, work_up_job


@needs(Action.SEE_JOBS)
def review_job(desk: Desk, deed: Deed, reference: str) -> Review:
    """A job worked up on the deed's day, with all that would keep it from being issued by them.

    Raises CallError, InputError (overrides that no longer fit).
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        return review_of(uow, desk, deed, job, draft_of(uow, job))


@needs(Action.APPROVE_PRICES)
def approve_draft(desk: Desk, deed: Deed, reference: str, reason: str) -> Revision:
    """An owner's approval of a draft at the prices and margins its parts now have.

    Raises CallError.
    """
    said = need_reason(reason, "approval")
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        draft = need_draft(uow, job)
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
    between it and its issue by who asked. A job that cannot be worked up any more has no review."""
    with desk.store.reading() as uow:
        found = []
        for draft in uow.revisions.waiting():
            job = job_of(uow, draft.job_id)
            asked = draft.request
            assert asked is not None  # noqa: S101  # the store gives none without
            try:
                review = review_of(uow, desk, Deed(asked.by, deed.at), job, draft)
            except (CallError, InputError):
                review = None
            found.append(Waiting(job, draft, asked, review))
    return tuple(found)


def review_of(uow: UnitOfWork, desk: Desk, deed: Deed, job: Job, draft: Revision | None) -> Review:
    """A job worked up on the deed's day, with what keeps this draft of it from being issued."""
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


def reduced(uow: UnitOfWork, deed: Deed, whole: Review, workup: Workup) -> Review:
    """The review of what is left: no stop is in it, but a limit that the whole passes is passed.

    An approval was given for the figures of the whole, and holds for none that are lower: where
    what is left passes a limit of its own, an owner issues it.
    """
    passed = _passed(uow, deed, workup)
    left = replace(whole, workup=workup, stops=())
    return replace(left, breaches=passed, approval=None) if passed else left


def ask_owner(uow: UnitOfWork, deed: Deed, draft: Revision) -> Revision:
    """The draft with a request on it; one that waits already is not asked again."""
    if draft.request is not None and draft.request.waiting:
        return draft
    asked = replace(draft, request=Request(deed.who, deed.at), version=draft.version + 1)
    save_revision(uow, deed, draft, asked, "approval-asked")
    return asked


def _passed(uow: UnitOfWork, deed: Deed, workup: Workup) -> tuple[Breach, ...]:
    return breaches(
        workup.job,
        workup.place,
        role_of(uow, deed.who),
        uow.policy.get(),
        agreed_customer(uow, workup.job.customer),
    )
