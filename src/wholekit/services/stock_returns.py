"""What customers bring back: onto a shelf, to scrap, or on to the supplier."""

from enum import StrEnum

from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Kind, Movement, Slips
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, need_line, need_reason, note
from wholekit.services.paging import Page
from wholekit.services.ports import UnitOfWork
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
# More movements than the bag of one opening has.
_ALL = Page(0, 10_000)


class ReturnWay(StrEnum):
    """Where it goes that comes back."""

    SHELF = "shelf"
    SCRAP = "scrap"
    SUPPLIER = "supplier"


@needs(Action.RECEIVE_STOCK)
def return_stock(
    desk: Desk,
    deed: Deed,
    which: ToldItem,
    packs: int,
    way: ReturnWay,
    to: ToldPlace,
    reason: str,
    bag: str = "",
) -> Moved:
    """Packs that a customer brought back, for a reason. to: for what goes onto a shelf.

    bag: the one that they left in; of a bag that movements tell of, no more come back than were
    shipped in it. Raises CallError.
    """
    why = need_reason(reason, "return")
    need_packs(packs)
    with desk.store.writing() as uow:
        item, description = item_of(uow, which)
        uow.stock.hold([item])
        name = need_line(bag.strip(), "bag", LONGEST_NAME)
        if name:
            _need_left(uow, item, name, packs)
            after = {"supplier": item[0], "sku": item[1], "packs": packs, "to": way.value}
            note(uow, deed, RETURNED, SUBJECT, name, after=after, reason=why)
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        if way is ReturnWay.SHELF:
            made = slips.returned(item, packs, place_of(uow, item, to), why)
        else:
            make = slips.returned_scrap if way is ReturnWay.SCRAP else slips.returned_on
            made = make(item, packs, why)
        return written(uow, item, description, [made])


def _need_left(uow: UnitOfWork, item: ItemKey, bag: str, packs: int) -> None:
    """Raises CallError where more comes back than left in the bag and is not back yet."""
    moved, count = uow.stock.history(_ALL, bag=bag)
    if not count:
        # It left before there was a ledger.
        return
    left = sum(_shipped(one, item) for one in moved)
    for entry in uow.audit.of_subject(SUBJECT, bag):
        after = dict(entry.after or {})
        if entry.action == RETURNED and (after["supplier"], after["sku"]) == item:
            left -= int(str(after["packs"]))
    if packs > left:
        raise CallError("return-too-many", sku=item[1], bag=bag, left=left, given=packs)


def _shipped(one: Movement, item: ItemKey) -> int:
    return one.packs if one.kind is Kind.SHIP and one.item == item else 0
