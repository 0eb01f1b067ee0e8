"""What was in a bag, as data: job and opening, what happened to it, how it left, what came back."""

from collections.abc import Mapping
from dataclasses import dataclass, fields, replace

from wholekit.domain.orders import Expected
from wholekit.domain.picking import (
    BagClosed,
    BagLeft,
    BagOpened,
    BagRecord,
    BagUnpacked,
    EventStamp,
    EventUndone,
    ItemSubstituted,
    PacksScanned,
    ScanNotCounted,
    ScanRefused,
    ShortReported,
)
from wholekit.services.bag_claims import BagClaim
from wholekit.views.pick_room import BagContentsAnswer, contents_answer
from wholekit.wording.picking import say_refusal


@dataclass(frozen=True, slots=True)
class BagDeedAnswer:
    """Something that happened to a bag. deed: `opened`, `counted`, `refused`, `undone`,
    `substituted`, `short`, `left`, `closed` or `unpacked`. id: the scan's; of: id of what an
    `undone` took back; undone: it was taken back later.

    sku, packs: of what was scanned, given in another's place, told short or taken back; instead:
    SKU in whose place; code: why a scan was refused; said: a reason, or the refusal in words; gone:
    by bin, packs that a short took out of the books.
    """

    at: str
    who: str
    deed: str
    id: str
    sku: str = ""
    packs: int = 0
    instead: str = ""
    of: str = ""
    undone: bool = False
    code: str = ""
    said: str = ""
    gone: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class BagLeftAnswer:
    """How a bag left the house."""

    shipment: str
    at: str
    by: str
    way: str
    reference: str
    received_by: str


@dataclass(frozen=True, slots=True)
class CameBackAnswer:
    """Packs that a customer brought back out of a bag. way: `shelf`, `scrap` or `supplier`."""

    at: str
    who: str
    sku: str
    supplier: str
    packs: int
    way: str
    reason: str


@dataclass(frozen=True, slots=True)
class BagClaimAnswer(BagContentsAnswer):
    """A bag with what is in it and how it came to be so. order: the quote's; of: bags of its mark
    [count]; opening: size and mount in words; left: None until it was shipped; record: first to
    last; returned: what came back out of it."""

    order: str
    job: str
    job_name: str
    customer: str
    of: int
    opening: str
    room: str
    left: BagLeftAnswer | None
    record: tuple[BagDeedAnswer, ...]
    returned: tuple[CameBackAnswer, ...]


def claim_answer(claim: BagClaim, waits: Expected | None = None) -> BagClaimAnswer:
    """What answers a claim; waits: when it can be whole, where it lacks goods."""
    held = contents_answer(claim.row, claim.bag, claim.packed, waits)
    offer, opening, left = claim.offer, claim.opening, claim.shipment
    said = None if opening is None else offer.words.kits[opening.kit]
    return BagClaimAnswer(
        **{each.name: getattr(held, each.name) for each in fields(held)},
        order=claim.order.label,
        job=offer.job,
        job_name=offer.job_name,
        customer=offer.customer.name,
        of=1 if opening is None else opening.quantity,
        opening="" if said is None else f"{said.size}, {said.mount}",
        room="" if opening is None else opening.room or opening.note,
        left=None
        if left is None
        else BagLeftAnswer(
            left.label, left.at.isoformat(), left.by, left.way.value, left.reference,
            left.received_by,
        ),
        record=_deeds(claim.record),
        returned=tuple(
            CameBackAnswer(
                each.at.isoformat(), each.who, each.item[1], each.item[0], each.packs, each.way,
                each.reason,
            )
            for each in claim.back
        ),
    )  # fmt: skip


def _deeds(record: tuple[BagRecord, ...]) -> tuple[BagDeedAnswer, ...]:
    by_id = {each.stamp.id: each for each in record if not isinstance(each, ScanNotCounted)}
    gone = {each.event for each in record if isinstance(each, EventUndone)}
    return tuple(_deed(each, by_id, each.stamp.id in gone) for each in record)


def _deed(each: BagRecord, by_id: Mapping[str, BagRecord], gone: bool) -> BagDeedAnswer:
    match each:
        case BagOpened():
            return _of(each.stamp, "opened")
        case PacksScanned():
            return _of(each.stamp, "counted", each.item[1], each.packs, undone=gone)
        case EventUndone():
            back = by_id.get(each.event)
            what = ("", 0) if back is None else _what(back)
            return _of(each.stamp, "undone", *what, of=each.event)
        case ItemSubstituted():
            return _of(
                each.stamp, "substituted", *_what(each), instead=each.item[1], undone=gone,
                said=each.reason,
            )  # fmt: skip
        case ShortReported():
            short = _of(each.stamp, "short", *_what(each), undone=gone, said=each.note)
            return replace(short, gone=each.gone)
        case BagLeft():
            return _of(each.stamp, "left", said=each.reason)
        case BagClosed():
            return _of(each.stamp, "closed")
        case BagUnpacked():
            return _of(each.stamp, "unpacked", said=each.reason)
        case ScanNotCounted():
            # A scan that was refused may count later under its id: that one alone can be undone.
            words = say_refusal(ScanRefused(each.code, each.fields))
            return _of(each.stamp, "refused", code=each.code, said=" ".join(words))


def _what(each: BagRecord) -> tuple[str, int]:
    """SKU and packs of what can be undone."""
    if isinstance(each, ItemSubstituted):
        return each.ware.sku, each.by_packs
    if isinstance(each, PacksScanned | ShortReported):
        return each.item[1], each.packs
    return "", 0


def _of(
    stamp: EventStamp,
    deed: str,
    sku: str = "",
    packs: int = 0,
    *,
    instead: str = "",
    of: str = "",
    undone: bool = False,
    code: str = "",
    said: str = "",
) -> BagDeedAnswer:
    return BagDeedAnswer(
        stamp.when.isoformat(), stamp.who, deed, stamp.id, sku, packs, instead, of, undone, code,
        said,
    )  # fmt: skip
