"""Revisions of a quote as they are asked for: by job, by quote, by `Q-00012/3`."""

from dataclasses import replace

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Revision, State
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.ports import UnitOfWork, snapshot_of
from wholekit.services.rights import needs


@needs(Action.SEE_QUOTES)
def quote_revisions(desk: Desk, deed: Deed, reference: str) -> tuple[Revision, ...]:
    """All revisions of a job (`J-…`) or quote (`Q-…`). Raises CallError."""
    with desk.store.reading() as uow:
        found = revisions_of(uow, reference)
    return tuple(replace(revision, snapshot=None) for revision in found)


def revisions_of(uow: UnitOfWork, reference: str) -> tuple[Revision, ...]:
    """All revisions of a job or quote. Raises CallError."""
    if not reference.strip().upper().startswith("Q-"):
        return uow.revisions.of_job(job_of(uow, reference).id)
    number, _ = split_reference(reference)
    found = uow.revisions.by_quote(number)
    if not found:
        raise CallError("quote-unknown", quote=reference)
    return found


@needs(Action.SEE_QUOTES)
def issued_revision(desk: Desk, deed: Deed, reference: str) -> Revision:
    """The revision of a reference, as `close_quote` reads it, without the house's own: cost,
    tiers, signatures. Raises CallError."""
    with desk.store.reading() as uow:
        found = whole_revision(uow, reference)
    return replace(found, snapshot=snapshot_of(found).offer_alone())


@needs(Action.SEE_COST)
def issued_whole(desk: Desk, deed: Deed, reference: str) -> Revision:
    """The same with the house's own. Raises CallError."""
    with desk.store.reading() as uow:
        return whole_revision(uow, reference)


def whole_revision(uow: UnitOfWork, reference: str) -> Revision:
    """The revision of a reference with its whole snapshot. Raises CallError."""
    return with_snapshot(uow, revision_of(uow, reference))


def revision_of(uow: UnitOfWork, reference: str) -> Revision:
    """The issued revision of `Q-00012/3`, or the latest issued of `Q-00012`. Raises CallError."""
    number, revision = split_reference(reference)
    found = [
        each
        for each in uow.revisions.by_quote(number)
        if each.state is not State.DRAFT and revision in (None, each.number)
    ]
    if not found:
        raise CallError("quote-unknown", quote=reference)
    # They come by number, so the last is the latest.
    return found[-1]


def split_reference(reference: str) -> tuple[int, int | None]:
    """Quote number and revision of `Q-00012/3`, `q-12` or `12/3`. Raises CallError.

    >>> split_reference("Q-00012/3"), split_reference("12")
    ((12, 3), (12, None))
    """
    head, slash, tail = reference.strip().upper().removeprefix("Q-").partition("/")
    parts = [head, tail] if slash else [head]
    if not all(part.isascii() and part.isdecimal() and len(part) < 10 for part in parts):
        raise CallError("quote-reference-wrong", given=reference)
    return int(head), int(tail) if slash else None


def with_snapshot(uow: UnitOfWork, revision: Revision) -> Revision:
    """The revision with its snapshot."""
    found = uow.revisions.get(revision.id)
    if found is None:
        raise CallError("quote-unknown", quote=revision.label)
    return found
