"""Closed bags that leave the house: shipments, in parts where need be, and what remains."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, Order, ReleasedBag, Shipment, ShipWay
from wholekit.domain.quotes import Acceptance, Offer
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, need_line, note
from wholekit.services.order_port import BagFilter
from wholekit.services.orders import order_of
from wholekit.services.ports import UnitOfWork, snapshot_of
from wholekit.services.quote_reading import revision_of, with_snapshot
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class Leaving:
    """How bags leave: see `Shipment`."""

    way: ShipWay = ShipWay.DELIVERY
    reference: str = ""
    received_by: str = ""


@dataclass(frozen=True, slots=True)
class Shipped:
    """A shipment, the bags that left with it, and those of the order that remain."""

    shipment: Shipment
    order: Order
    bags: tuple[ReleasedBag, ...]
    remaining: tuple[ReleasedBag, ...]


@dataclass(frozen=True, slots=True)
class ShipmentShown:
    """A shipment as its packing slip tells it, the same whenever it is asked. offer: of the
    revision that was shipped, without the house's own; before: bags of it that had left already."""

    shipment: Shipment
    order: Order
    offer: Offer
    acceptance: Acceptance
    bags: tuple[ReleasedBag, ...]
    before: tuple[ReleasedBag, ...]


@needs(Action.SHIP_BAGS)
def ship_bags(
    desk: Desk, deed: Deed, reference: str, bags: Sequence[str] = (), leaving: Leaving | None = None
) -> Shipped:
    """Closed bags of an order leave the house: those named, or every one. Raises CallError where
    none is closed, and for one that is not."""
    how = leaving or Leaving()
    need_line(how.reference, "reference", LONGEST_NAME)
    need_line(how.received_by, "name", LONGEST_NAME)
    with desk.store.writing() as uow:
        order = order_of(uow, reference)
        # Whoever ships of the same order waits here.
        uow.orders.for_change(order.id)
        # Bags before goods, as whoever unpacks one holds them.
        closed = BagFilter(order=order.id, states=frozenset({BagState.CLOSED}))
        uow.orders.hold_bags([bag.id for bag in uow.orders.bags(closed)])
        there = {bag.id: bag for bag in uow.orders.bags(BagFilter(order=order.id))}
        leave = _leaving(order, there, [str(bag_id_from(each)) for each in bags])
        shipment = Shipment(
            uow.numbers.take("shipment"), order.id, deed.at, deed.who,
            how.way, how.reference, how.received_by,
        )  # fmt: skip
        uow.orders.add_shipment(shipment)
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        held = uow.stock.bags([bag.id for bag in leave])
        uow.stock.move(
            [
                slips.ship(item, each.picked, branch, bag)
                for bag, items in sorted(held.items())
                for (item, branch), each in sorted(items.items())
                if each.picked
            ]
        )
        gone = tuple(bag.moved(BagState.SHIPPED, shipment=shipment.number) for bag in leave)
        for bag in gone:
            uow.orders.save_bag(bag, bag.version - 1)
        note(
            uow, deed, "bags-shipped", "revision", order.id, job_id=order.job_id,
            after={"shipment": shipment.label, "bags": [bag.id for bag in gone]},
        )  # fmt: skip
        left = uow.orders.bags(BagFilter(order=order.id))
        uow.commit()
    done = (BagState.SHIPPED, BagState.CANCELLED)
    return Shipped(shipment, order, gone, tuple(bag for bag in left if bag.state not in done))


@needs(Action.SEE_ORDERS)
def list_shipments(
    desk: Desk, deed: Deed, reference: str
) -> tuple[Order, tuple[tuple[Shipment, tuple[ReleasedBag, ...]], ...]]:
    """The shipments of an order and of those whose place it took, each with its bags. Raises
    CallError."""
    with desk.store.reading() as uow:
        order = order_of(uow, reference)
        found = [
            each
            for one in uow.orders.of_job(order.job_id)
            if one.quote == order.quote and one.revision <= order.revision
            for each in uow.orders.shipments(one.id)
        ]
        return order, tuple(
            (each, tuple(uow.orders.bags(BagFilter(shipment=each.number))))
            for each in sorted(found, key=lambda each: each.number)
        )


@needs(Action.SEE_PICK_PAPERS)
def shipment_shown(desk: Desk, deed: Deed, reference: str) -> ShipmentShown:
    """What a packing slip tells of a shipment: `S-00003` or 3. Raises CallError."""
    with desk.store.reading() as uow:
        shipment = _shipment(uow, reference)
        order = uow.orders.get(shipment.order)
        if order is None:
            raise CallError("shipment-unknown", shipment=reference)
        revision = with_snapshot(uow, revision_of(uow, order.label))
        # What a bag serves may have gone on to a later revision's order since.
        later = [
            bag
            for one in uow.orders.of_job(order.job_id)
            if one.quote == order.quote and one.revision >= order.revision
            for bag in uow.orders.bags(
                BagFilter(order=one.id, states=frozenset({BagState.SHIPPED}))
            )
        ]
        return ShipmentShown(
            shipment,
            order,
            snapshot_of(revision).offer_alone().offer,
            revision.acceptance or Acceptance(),
            tuple(uow.orders.bags(BagFilter(shipment=shipment.number))),
            tuple(bag for bag in later if bag.shipment < shipment.number),
        )


def _shipment(uow: UnitOfWork, reference: str) -> Shipment:
    digits = reference.strip().upper().removeprefix("S-")
    found = None
    # Longer numbers no store has, and one of twenty digits would fail in the driver.
    if digits.isdecimal() and digits.isascii() and len(digits) < 10:
        found = uow.orders.shipment(int(digits))
    if found is None:
        raise CallError("shipment-unknown", shipment=reference)
    return found


def _leaving(
    order: Order, there: dict[str, ReleasedBag], named: Sequence[str]
) -> list[ReleasedBag]:
    strangers = sorted(set(named) - there.keys())
    if strangers:
        raise CallError("ship-not-of-order", order=order.label, bags=strangers)
    wanted = [there[each] for each in dict.fromkeys(named)] if named else list(there.values())
    closed = [bag for bag in wanted if bag.state is BagState.CLOSED]
    other = [bag for bag in wanted if bag.state is not BagState.CLOSED]
    if named and other:
        raise CallError("ship-not-closed", bag=other[0].id, state=other[0].state.value)
    if not closed:
        raise CallError("ship-nothing-closed", order=order.label)
    return closed
