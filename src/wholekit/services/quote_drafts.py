"""Drafts of a job's quote: made, changed, taken away."""

from dataclasses import replace

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import (
    Job,
    Revision,
    State,
)
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import (
    Deed,
    Desk,
    check_version,
    held_job,
    need_plain,
    note,
)
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs

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
        left = draft_of(uow, job)
        if left is not None and left.left_by_request:
            return _edited(uow, deed, left, cover_note, valid_days)
        revision = new_draft(uow, desk, deed, job, cover_note, valid_days)
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
        draft = need_draft(uow, held_job(uow, reference))
        check_version("revision", draft.label, expected, draft.version)
        return _edited(uow, deed, draft, cover_note, valid_days)


@needs(Action.DRAFT_QUOTES)
def discard_draft(desk: Desk, deed: Deed, reference: str) -> Revision:
    """Take a job's draft away; its number is free for the next. Raises CallError."""
    with desk.store.writing() as uow:
        draft = need_draft(uow, held_job(uow, reference))
        uow.revisions.remove(draft, draft.version)
        note(uow, deed, "draft-discarded", "revision", draft.id, job_id=draft.job_id, before=draft)
        uow.commit()
    return draft


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


def new_draft(
    uow: UnitOfWork, desk: Desk, deed: Deed, job: Job, cover_note: str | None, days: int | None
) -> Revision:
    """The next draft of a job, added to the store. Raises CallError: there is a draft already."""
    if draft_of(uow, job) is not None:
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


def draft_of(uow: UnitOfWork, job: Job) -> Revision | None:
    """A job's draft, if it has one."""
    return next(
        (revision for revision in uow.revisions.of_job(job.id) if revision.state is State.DRAFT),
        None,
    )


def need_draft(uow: UnitOfWork, job: Job) -> Revision:
    """A job's draft. Raises CallError: it has none."""
    draft = draft_of(uow, job)
    if draft is None:
        raise CallError("draft-none", job=job.label)
    return draft


def save_revision(
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


def _edited(
    uow: UnitOfWork, deed: Deed, draft: Revision, cover_note: str | None, valid_days: int | None
) -> Revision:
    new = replace(
        draft,
        cover_note=draft.cover_note if cover_note is None else cover_note,
        valid_days=draft.valid_days if valid_days is None else _days(valid_days),
        version=draft.version + 1,
    )
    save_revision(uow, deed, draft, new, "draft-edited")
    uow.commit()
    return new


def _days(days: int) -> int:
    if not 1 <= days <= MOST_VALID_DAYS:
        raise CallError("valid-days-out-of-range", given=days, most=MOST_VALID_DAYS)
    return days
