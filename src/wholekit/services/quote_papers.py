"""The revision a paper is made of: an issued one as it was frozen, or the draft as it stands."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from fractions import Fraction

from wholekit.domain.errors import CallError, InputError
from wholekit.domain.quotes import Acceptance, Job, Offer, Revision, Snapshot, State
from wholekit.domain.quotes.compare import compare
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.ports import UnitOfWork, snapshot_of
from wholekit.services.quote_drafts import next_draft
from wholekit.services.quote_reading import revisions_of, split_reference, whole_revision
from wholekit.services.rights import needs
from wholekit.services.snapshots import freeze
from wholekit.services.workup import work_up_job


@dataclass(frozen=True, slots=True)
class Shown:
    """What a paper is made of. label: the revision's, or the job's while it has no number.

    draft: the snapshot is of the job as it stands and is kept nowhere. digest: of what was frozen,
    empty for a draft. floor: the owner's, now [margin / price]. acceptance: what the customer took,
    None where the revision was not accepted. changed: the job as it stands is
    no longer what was accepted.
    """

    label: str
    snapshot: Snapshot
    draft: bool
    digest: str
    floor: Fraction
    acceptance: Acceptance | None = None
    changed: bool = False

    @property
    def accepted(self) -> tuple[str, ...] | None:
        """Codes of the alternates taken; None where it was not accepted."""
        return None if self.acceptance is None else self.acceptance.alternates


@needs(Action.SEE_QUOTES)
def revision_shown(desk: Desk, deed: Deed, reference: str, number: int | None = None) -> Shown:
    """What a reference means for the papers that customers get, without the house's own. Raises
    CallError, InputError."""
    return _offer_alone(_shown(desk, deed, reference, number))


@needs(Action.SEE_PICK_PAPERS)
def order_shown(desk: Desk, deed: Deed, reference: str, number: int | None = None) -> Shown:
    """The same for papers of the warehouse, which show no price. Raises CallError, InputError."""
    return _offer_alone(_shown(desk, deed, reference, number))


@needs(Action.SEE_COST)
def sheet_shown(desk: Desk, deed: Deed, reference: str, number: int | None = None) -> Shown:
    """The same for the owner's sheet, with the house's own. Raises CallError, InputError."""
    return _shown(desk, deed, reference, number)


@needs(Action.SEE_QUOTES)
def as_it_stands(desk: Desk, deed: Deed, reference: str) -> Shown:
    """A job's draft, or what one made now would be, kept nowhere; without the house's own. Raises
    CallError, InputError."""
    return _offer_alone(_stands(desk, deed, reference))


def _offer_alone(shown: Shown) -> Shown:
    return replace(shown, snapshot=shown.snapshot.offer_alone())


def _shown(desk: Desk, deed: Deed, reference: str, number: int | None) -> Shown:
    """What a reference means for a paper.

    `Q-00012/3`, or `Q-00012` and a number, is that revision; `Q-00012` alone the latest issued; a
    job the draft as it stands, or with a number that revision. Raises CallError, InputError.
    """
    is_quote = reference.strip().upper().startswith("Q-")
    with desk.store.reading() as uow:
        found = revisions_of(uow, reference)
    if is_quote:
        _, said = split_reference(reference)
        if said is not None and number not in (None, said):
            raise CallError("quote-reference-wrong", given=f"{reference} --revision {number}")
        number = said if number is None else number
    if number is None and not is_quote:
        return _stands(desk, deed, reference)
    if number is None:
        return _issued(desk, deed, reference)
    for revision in found:
        if revision.number == number:
            if revision.state is State.DRAFT:
                return _stands(desk, deed, revision.job_id)
            return _issued(desk, deed, revision.label)
    raise CallError("quote-unknown", quote=f"{reference.partition('/')[0]}/{number}")


def _issued(desk: Desk, deed: Deed, reference: str) -> Shown:
    with desk.store.reading() as uow:
        revision = whole_revision(uow, reference)
    snapshot = snapshot_of(revision)
    accepted = revision.acceptance
    return Shown(
        revision.label,
        snapshot,
        draft=False,
        digest=revision.snapshot_digest,
        floor=_floor(desk),
        acceptance=accepted,
        # Asked of orders alone, since it takes working up the whole job.
        changed=accepted is not None
        and _differs(desk, deed, snapshot.offer, accepted.alternates, revision.job_id),
    )


def _differs(desk: Desk, deed: Deed, ordered: Offer, accepted: Sequence[str], job_id: str) -> bool:
    """Whether the job as it stands is no longer what was ordered: other openings, items or extra
    lines. Prices alone make no difference; a job that cannot be worked up any more does."""
    try:
        now = _stands(desk, deed, job_id).snapshot.offer
    except (CallError, InputError):
        return True
    # What was left out of the order is still in the job; it is news only once it is firm.
    gone = {opening.place for opening in ordered.left_out or ()}
    kept = (each for each in now.openings if each.place not in gone or now.is_firm(each))
    now = replace(now, openings=tuple(kept))
    found = compare(ordered.chosen(accepted), now.chosen(accepted), draft=True)
    return bool(found.extras) or any(not opening.price_alone for opening in found.openings)


def _stands(desk: Desk, deed: Deed, reference: str) -> Shown:
    """A job's draft, or what one made now would be, kept nowhere. Raises CallError, InputError."""
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        draft = _draft(uow, desk, deed, job)
        policy = uow.policy.get()
        snapshot = freeze(
            work_up_job(uow, desk, job, deed.day),
            desk,
            draft,
            issued=deed.day,
            valid_until=deed.day + timedelta(days=draft.valid_days),
            by=deed.signs,
            policy=policy,
        )
    label = draft.label if draft.quote_number else job.label
    return Shown(label, snapshot, draft=True, digest="", floor=policy.floor)


def _draft(uow: UnitOfWork, desk: Desk, deed: Deed, job: Job) -> Revision:
    """The job's draft, or what one made now would be."""
    for revision in uow.revisions.of_job(job.id):
        if revision.state is State.DRAFT:
            return revision
    return next_draft(uow, desk, deed, job)


def _floor(desk: Desk) -> Fraction:
    with desk.store.reading() as uow:
        return uow.policy.get().floor
