"""What was in a bag: all that is known of it, from its release to what came back out of it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders import Order, ReleasedBag, Shipment
from wholekit.domain.picking import Bag, BagRecord, PackedBag, packed
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferOpening
from wholekit.domain.quotes.roles import Action
from wholekit.services.bag_work import opened
from wholekit.services.desk import Deed, Desk
from wholekit.services.lacks import order_of_id
from wholekit.services.ports import UnitOfWork, snapshot_of
from wholekit.services.quote_reading import revision_of, with_snapshot
from wholekit.services.rights import needs
from wholekit.services.stock_returns import RETURNED, SUBJECT


@dataclass(frozen=True, slots=True)
class CameBack:
    """Packs of a bag that the customer brought back [count]. way: where they went."""

    at: datetime
    who: str
    item: ItemKey
    packs: int
    way: str
    reason: str


@dataclass(frozen=True, slots=True)
class BagClaim:
    """What answers a claim. offer: of the bag's order, without the house's own; opening: its own in
    it; shipment: None until it left; record: all that happened to it, first to last; back: what
    came back out of it."""

    row: ReleasedBag
    bag: Bag
    packed: PackedBag
    order: Order
    offer: Offer
    opening: OfferOpening | None
    shipment: Shipment | None
    record: tuple[BagRecord, ...]
    back: tuple[CameBack, ...]


@needs(Action.SEE_ORDERS)
def bag_claim(desk: Desk, deed: Deed, reference: str) -> BagClaim:
    """All that is known of a bag. Raises CallError."""
    with desk.store.reading() as uow:
        row, bag = opened(uow, reference, held=False)
        order = order_of_id(uow, row.order)
        revision = with_snapshot(uow, revision_of(uow, order.label))
        offer = snapshot_of(revision).offer_alone().offer
        return BagClaim(
            row,
            bag,
            row.packed or packed(bag),
            order,
            offer,
            next((each for each in offer.openings if each.place == row.mark), None),
            uow.orders.shipment(row.shipment) if row.shipment else None,
            tuple(uow.orders.record(row.id)),
            tuple(_came_back(uow, row.id)),
        )


def _came_back(uow: UnitOfWork, bag: str) -> Iterator[CameBack]:
    for entry in uow.audit.of_subject(SUBJECT, bag):
        if entry.action == RETURNED:
            after = dict(entry.after or {})
            item = str(after["supplier"]), str(after["sku"])
            yield CameBack(
                entry.at, entry.who, item, int(str(after["packs"])), str(after["to"]), entry.reason
            )
