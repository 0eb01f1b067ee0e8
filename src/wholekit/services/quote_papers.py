"""The revision a paper is made of: an issued one as it was frozen, or the draft as it stands."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from fractions import Fraction

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import ReleasedBag
from wholekit.domain.orders.in_room import InRoom, StandIn
from wholekit.domain.quotes import (
    Acceptance,
    Job,
    Offer,
    Override,
    OverrideKind,
    Revision,
    Snapshot,
    State,
)
from wholekit.domain.quotes.asked import asks_the_same, not_prices
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.order_port import BagFilter
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
    no longer what was accepted. in_room: what the pick room has done of it; None where it was not
    released.
    """

    label: str
    snapshot: Snapshot
    draft: bool
    digest: str
    floor: Fraction
    acceptance: Acceptance | None = None
    changed: bool = False
    in_room: InRoom | None = None

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
        order = uow.orders.get(revision.id)
        bags = () if order is None else uow.orders.bags(BagFilter(order=order.id))
        snapshot = snapshot_of(revision)
        in_room = None
        if order and not order.cancelled_at:
            in_room = InRoom.of(deed.day, bags, _stand_ins(uow, snapshot.offer, bags))
    accepted = revision.acceptance
    return Shown(
        revision.label,
        snapshot,
        draft=False,
        digest=revision.snapshot_digest,
        floor=_floor(desk),
        acceptance=accepted,
        changed=accepted is not None
        and _differs(desk, snapshot, accepted.alternates, revision.job_id),
        in_room=in_room,
    )


def _stand_ins(
    uow: UnitOfWork, offer: Offer, bags: Sequence[ReleasedBag]
) -> Mapping[ItemKey, StandIn]:
    """What is known of items in bags that nothing was quoted of."""
    quoted = {(line.supplier, line.sku) for kit in offer.kits for line in kit.lines}
    others = {item for bag in bags for item, _ in bag.needs} - quoted
    if not others:
        return {}
    bins = uow.wares.bins(others)
    return {
        key: StandIn(ware.title, ware.finish, bins.get(key, ""))
        for key, ware in uow.wares.of(others).items()
    }


def _differs(desk: Desk, ordered: Snapshot, accepted: Sequence[str], job_id: str) -> bool:
    """Whether the job as it stands no longer asks for what was ordered, or for it elsewhere: other
    openings, conditions, hands, extra lines, customer or place. Prices make no difference, and
    neither does what the shelf would give today."""
    with desk.store.reading() as uow:
        now = uow.jobs.contents(job_id)
        if now is None:
            return True
        place = uow.ship_tos.get(now.job.ship_to) if now.job.ship_to else None
    offer = ordered.offer
    terms = (offer.customer.code, offer.ship_to, offer.site, offer.site_address)
    stands = (
        now.job.customer, place.name if place else "", now.job.site, now.job.site_address,
    )  # fmt: skip
    set_now = {
        (entry.alternate, entry.mark): frozenset(
            desk.words.override(done) for done in not_prices(entry.overrides)
        )
        for entry in now.openings
    }
    hands = _hands(desk, ordered)
    return terms != stands or not asks_the_same(offer, accepted, hands, now, set_now)


def _hands(desk: Desk, ordered: Snapshot) -> Mapping[tuple[str, str], frozenset[str]] | None:
    """What was set by hand on each opening of an offer but its prices; None where that was not
    kept."""
    offer, own = ordered.offer, ordered.own
    if len(own.openings) != len(offer.openings):
        return None
    found = {}
    for opening, signs in zip(offer.openings, own.openings, strict=True):
        kit = offer.kit_of(opening)
        prices = [("", kit.price), *((line.sku, line.unit) for line in kit.lines)]
        said = {
            desk.words.override(
                Override(OverrideKind.PRICE, sign.reason, sign.by, sign.at, sku=sku, price=price)
            )
            for sign in signs
            for sku, price in prices
        }
        found[opening.alternate, opening.mark] = frozenset(
            sign.text for sign in signs if sign.what == "override" and sign.text not in said
        )
    return found


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
