"""Closed bags that leave the house: shipments, in parts where need be, and what remains."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, Order, ReleasedBag, Shipment, ShipWay
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, need_line, note
from wholekit.services.order_port import BagFilter
from wholekit.services.orders import order_of
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
    """The shipments of an order, each with its bags. Raises CallError."""
    with desk.store.reading() as uow:
        order = order_of(uow, reference)
        return order, tuple(
            (each, tuple(uow.orders.bags(BagFilter(shipment=each.number))))
            for each in uow.orders.shipments(order.id)
        )


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
