"""Closed bags that leave the house: shipments, in parts where need be, and what remains."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, Expected, Order, ReleasedBag, Shipment, ShipWay
from wholekit.domain.quotes import Acceptance, Job, Offer
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Slips
from wholekit.services.desk import LONGEST_NAME, Deed, Desk, need_line, note
from wholekit.services.lacks import order_of_id, waits_of_order
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


@dataclass(frozen=True, slots=True)
class ToShip:
    """An order with closed bags. place: where its job's goods go, line by line; bags: all of it."""

    order: Order
    job: Job
    customer: str
    place: tuple[str, ...]
    bags: tuple[ReleasedBag, ...]

    @property
    def closed(self) -> tuple[ReleasedBag, ...]:
        """The bags that can leave now."""
        return tuple(bag for bag in self.bags if bag.state is BagState.CLOSED)


@dataclass(frozen=True, slots=True)
class OrderLeaving:
    """An order at the door. place: where its packing slips say that it goes, whose it is first;
    bags: all of it; shipments: of it and of orders whose place it took, each with its bags; waits:
    by bag when those that lack goods can be whole."""

    order: Order
    offer: Offer
    place: tuple[str, ...]
    bags: tuple[ReleasedBag, ...]
    shipments: tuple[tuple[Shipment, tuple[ReleasedBag, ...]], ...]
    waits: Mapping[str, Expected]


@needs(Action.SEE_ORDERS)
def orders_to_ship(desk: Desk, deed: Deed) -> tuple[ToShip, ...]:
    """The orders that stand and have closed bags, the most pressing first."""
    with desk.store.reading() as uow:
        closed = uow.orders.bags(BagFilter(states=frozenset({BagState.CLOSED})))
        ids = frozenset(bag.order for bag in closed)
        if not ids:
            return ()
        orders = [each for each in uow.orders.several(ids).values() if not each.cancelled_at]
        jobs = {job.id: job for job in uow.jobs.several({order.job_id for order in orders})}
        customers = uow.customers.several(sorted({job.customer for job in jobs.values()}))
        places = {place.code: place for place in uow.ship_tos.all()}
        bags: dict[str, list[ReleasedBag]] = {}
        for bag in uow.orders.bags(BagFilter(orders=ids)):
            bags.setdefault(bag.order, []).append(bag)
        found = []
        for order in sorted(orders, key=lambda order: order.pressing):
            job = jobs[order.job_id]
            customer, to = customers.get(job.customer), places.get(job.ship_to)
            site = tuple(line for line in (job.site, *job.site_address) if line)
            found.append(
                ToShip(
                    order,
                    job,
                    customer.name if customer else job.customer,
                    (to.name, *to.address) if to else site,
                    tuple(bags[order.id]),
                )
            )
        return tuple(found)


@needs(Action.SEE_ORDERS)
def order_leaving(desk: Desk, deed: Deed, reference: str) -> OrderLeaving:
    """An order with what can leave, what remains and what has left. Raises CallError."""
    with desk.store.reading() as uow:
        order = order_of(uow, reference)
        revision = with_snapshot(uow, revision_of(uow, order.label))
        offer = snapshot_of(revision).offer_alone().offer
        return OrderLeaving(
            order,
            offer,
            _named(offer.customer.name, offer.goes_to),
            tuple(uow.orders.bags(BagFilter(order=order.id))),
            _shipments(uow, order),
            {each.bag: each for each in waits_of_order(uow, desk, deed, order.id)},
        )


@needs(Action.SEE_ORDERS)
def closed_bag(desk: Desk, deed: Deed, reference: str) -> tuple[ReleasedBag, Order]:
    """The bag of a label that was scanned and its order, if it can leave now. Raises CallError."""
    with desk.store.reading() as uow:
        bag_id = str(bag_id_from(reference))
        bag = uow.orders.bag(bag_id)
        if bag is None:
            raise CallError("bag-unknown", bag=bag_id)
        if bag.state is not BagState.CLOSED:
            raise CallError("ship-not-closed", bag=bag.id, state=bag.state.value)
        return bag, order_of_id(uow, bag.order)


@needs(Action.SHIP_BAGS)
def ship_bags(
    desk: Desk, deed: Deed, reference: str, bags: Sequence[str] = (), leaving: Leaving | None = None
) -> Shipped:
    """Closed bags of an order leave the house: those named, or every one. Raises CallError where
    none is closed, for one that is not, and where nobody is named who called for them."""
    how = leaving or Leaving()
    need_taker(how)
    need_line(how.reference, "reference", LONGEST_NAME)
    need_line(how.received_by, "name", LONGEST_NAME)
    with desk.store.writing() as uow:
        order = order_of(uow, reference)
        # Whoever ships of the same order waits here.
        uow.orders.for_change(order.id)
        # Bags before goods, as whoever unpacks one holds them.
        closed = BagFilter(order=order.id, states=frozenset({BagState.CLOSED}))
        uow.orders.hold_bags([bag.id for bag in uow.orders.bags(closed)])
        leave = bags_to_leave(order, uow.orders.bags(BagFilter(order=order.id)), bags)
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
        return order, _shipments(uow, order)


@needs(Action.SEE_PICK_PAPERS)
def shipment_shown(desk: Desk, deed: Deed, reference: str) -> ShipmentShown:
    """What a packing slip tells of a shipment: `S-00003` or 3. Raises CallError."""
    with desk.store.reading() as uow:
        shipment = shipment_of(uow, reference)
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


def _named(customer: str, place: tuple[str, ...]) -> tuple[str, ...]:
    """A place with whose it is at its head: a driver asks for a name first."""
    return place if place[:1] == (customer,) else (customer, *place)


def need_taker(leaving: Leaving) -> None:
    """Raises CallError where the customer calls for bags and nobody is named who took them: no
    carrier's paper tells it later."""
    if leaving.way is ShipWay.WILL_CALL and not leaving.received_by.strip():
        raise CallError("ship-taker-needed")


def _shipments(
    uow: UnitOfWork, order: Order
) -> tuple[tuple[Shipment, tuple[ReleasedBag, ...]], ...]:
    """The shipments of an order and of those whose place it took, by number."""
    every = [one for one in uow.orders.of_job(order.job_id) if one.quote == order.quote]
    found = [
        each
        for one in every
        if one.revision <= order.revision
        for each in uow.orders.shipments(one.id)
    ]
    # What a bag serves may have gone on to a later revision's order since.
    ids, shipped = frozenset(one.id for one in every), frozenset({BagState.SHIPPED})
    gone: dict[int, list[ReleasedBag]] = {}
    for bag in uow.orders.bags(BagFilter(orders=ids, states=shipped)) if found else ():
        gone.setdefault(bag.shipment, []).append(bag)
    return tuple(
        (each, tuple(gone.get(each.number, ())))
        for each in sorted(found, key=lambda each: each.number)
    )


def shipment_of(uow: UnitOfWork, reference: str) -> Shipment:
    """The shipment of a reference: `S-00003` or 3. Raises CallError."""
    digits = reference.strip().upper().removeprefix("S-")
    found = None
    # Longer numbers no store has, and one of twenty digits would fail in the driver.
    if digits.isdecimal() and digits.isascii() and len(digits) < 10:
        found = uow.orders.shipment(int(digits))
    if found is None:
        raise CallError("shipment-unknown", shipment=reference)
    return found


def bags_to_leave(
    order: Order, every: Sequence[ReleasedBag], wanted: Collection[str]
) -> list[ReleasedBag]:
    """The closed bags that are named, none: every closed one. every: those of the order. Raises
    CallError."""
    there = {bag.id: bag for bag in every}
    named = [str(bag_id_from(each)) for each in wanted]
    strangers = sorted(set(named) - there.keys())
    if strangers:
        raise CallError("ship-not-of-order", order=order.label, bags=strangers)
    meant = [there[each] for each in dict.fromkeys(named)] if named else list(there.values())
    closed = [bag for bag in meant if bag.state is BagState.CLOSED]
    other = [bag for bag in meant if bag.state is not BagState.CLOSED]
    if named and other:
        raise CallError("ship-not-closed", bag=other[0].id, state=other[0].state.value)
    if not closed:
        raise CallError("ship-nothing-closed", order=order.label)
    return closed
