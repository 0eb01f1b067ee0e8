"""What customers bring back: onto a shelf, to scrap, or on to the supplier."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips
from wholekit.services.desk import Deed, Desk, need_reason, note
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork
from wholekit.services.quote_reading import revision_of
from wholekit.services.rights import needs
from wholekit.services.stock import (
    Moved,
    ToldItem,
    ToldPlace,
    item_of,
    need_packs,
    place_of,
    written,
)

SUBJECT = "bag"
RETURNED = "stock-returned"


class ReturnWay(StrEnum):
    """Where it goes that comes back."""

    SHELF = "shelf"
    SCRAP = "scrap"
    SUPPLIER = "supplier"


@dataclass(frozen=True, slots=True)
class ToldReturn:
    """What came back [packs], where it goes and why. to: for what goes onto a shelf."""

    which: ToldItem
    packs: int
    way: ReturnWay
    to: ToldPlace
    reason: str


@needs(Action.RECEIVE_STOCK)
def return_stock(desk: Desk, deed: Deed, told: ToldReturn, bag: str = "", order: str = "") -> Moved:
    """Packs that a customer brought back of a bag, or of an order in whichever of its bags; no more
    than were shipped in it and are not back yet. Raises CallError."""
    if bool(bag.strip()) == bool(order.strip()):
        raise CallError("return-of-what")
    why = need_reason(told.reason, "return")
    with desk.store.writing() as uow:
        item, _ = item_of(uow, told.which)
        # Held before it is asked what came back: two who return the same wait for each other.
        uow.stock.hold([item])
        bags, source = _bags_of(uow, bag, order)
        there = _not_back(uow, item, bags)
        most = sum(there.values())
        if told.packs > most:
            raise CallError(
                "return-too-many", sku=item[1], source=source, left=most, given=told.packs
            )
        left = told.packs
        for name, packs in there.items():
            part = min(left, packs)
            left -= part
            if part > 0:
                after = {"supplier": item[0], "sku": item[1], "packs": part, "to": told.way.value}
                note(uow, deed, RETURNED, SUBJECT, name, after=after, reason=why)
        return _returned(uow, desk, deed, told)


@needs(Action.RETURN_UNNAMED)
def return_unnamed(desk: Desk, deed: Deed, told: ToldReturn) -> Moved:
    """Packs that a customer brought back and nobody knows the bag or order of, as they are told.
    Raises CallError."""
    with desk.store.writing() as uow:
        return _returned(uow, desk, deed, told)


def _returned(uow: UnitOfWork, desk: Desk, deed: Deed, told: ToldReturn) -> Moved:
    why = need_reason(told.reason, "return")
    need_packs(told.packs)
    item, description = item_of(uow, told.which)
    slips = Slips(desk.ids.new(), deed.at, deed.who)
    if told.way is ReturnWay.SHELF:
        made = slips.returned(item, told.packs, place_of(uow, item, told.to), why)
    else:
        make = slips.returned_scrap if told.way is ReturnWay.SCRAP else slips.returned_on
        made = make(item, told.packs, why)
    return written(uow, item, description, [made])


def _bags_of(uow: UnitOfWork, bag: str, order: str) -> tuple[Sequence[str], str]:
    """The bags that a return may be of, and what they go by. Raises CallError."""
    if bag.strip():
        name = str(bag_id_from(bag))
        if uow.orders.bag(name) is None:
            raise CallError("bag-unknown", bag=name)
        return [name], name
    revision = revision_of(uow, order)
    shipped = frozenset({BagState.SHIPPED})
    found = [
        each.id
        for one in uow.orders.of_job(revision.job_id)
        if one.quote == revision.quote_number
        for each in uow.orders.bags(BagFilter(order=one.id, states=shipped))
    ]
    return found, revision.label


def _not_back(uow: UnitOfWork, item: ItemKey, bags: Sequence[str]) -> Mapping[str, int]:
    """What was shipped in each bag and is not back yet [packs]."""
    there = dict(uow.stock.shipped(item, bags))
    for entry in uow.audit.of_subject(SUBJECT, *there):
        after = dict(entry.after or {})
        if entry.action == RETURNED and (after["supplier"], after["sku"]) == item:
            there[entry.subject_id] -= int(str(after["packs"]))
    return {bag: there[bag] for bag in bags if bag in there}
