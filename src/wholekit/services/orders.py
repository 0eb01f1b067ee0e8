"""Accepted revisions sent to the pick room: what is promised to which bag, and what waits for what.

Whole kits first: a bag is promised every pack it needs or none, so that nothing lies locked in a
kit that cannot go out.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date

from wholekit.domain.errors import CallError
from wholekit.domain.orders import (
    BagState,
    Expected,
    Order,
    ReleasedBag,
    bags_of,
    without_bag,
)
from wholekit.domain.quotes import Offer, Revision, State
from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import MAIN, Slips
from wholekit.services.allocating import (
    Allocated,
    known_branch,
    promised,
)
from wholekit.services.desk import Deed, Desk, need_reason, note
from wholekit.services.lacks import arrival, order_of_id, waits_of_order
from wholekit.services.order_port import BagFilter, OrderFilter, OrderSummary
from wholekit.services.paging import Page
from wholekit.services.ports import UnitOfWork, snapshot_of
from wholekit.services.promises import items_of
from wholekit.services.quote_reading import revision_of, with_snapshot
from wholekit.services.rights import needs
from wholekit.services.takeovers import drop_bags, taken_over

LOWEST_PRIORITY, HIGHEST_PRIORITY = -9, 9


@dataclass(frozen=True, slots=True)
class ToldRelease:
    """What somebody says of a release. marks: those openings alone, none: all that may go out;
    promised_on: the day told to the customer, None: as stock and lead days let expect."""

    marks: tuple[str, ...] = ()
    branch: str = MAIN
    promised_on: date | None = None
    priority: int = 0


@dataclass(frozen=True, slots=True)
class OrderStanding:
    """An order as it stands. bags: all of it; expected: of those that lack goods. held:
    marks that may not go out, for an open stop or a missing piece. surplus: bags that hold goods
    which a newer revision no longer asks for."""

    order: Order
    job_name: str
    bags: tuple[ReleasedBag, ...]
    expected: tuple[Expected, ...] = ()
    held: tuple[str, ...] = ()
    surplus: tuple[ReleasedBag, ...] = ()


@needs(Action.RELEASE_ORDERS)
def release_order(desk: Desk, deed: Deed, reference: str, told: ToldRelease) -> OrderStanding:
    """Send an accepted revision to the pick room, and promise goods to its bags.

    Released again it takes further openings; a newer accepted revision takes the place of the
    order before it: bags that serve on keep their labels and what they hold. Raises CallError.
    """
    if not LOWEST_PRIORITY <= told.priority <= HIGHEST_PRIORITY:
        raise CallError(
            "priority-out-of-range",
            given=told.priority,
            least=LOWEST_PRIORITY,
            most=HIGHEST_PRIORITY,
        )
    with desk.store.writing() as uow:
        revision = _accepted(uow, reference)
        # Whoever releases revisions of one job waits here.
        uow.jobs.for_change(revision.job_id)
        offer = snapshot_of(revision).offer
        branch = known_branch(uow, told.branch)
        order, before = _order_for(uow, deed, revision, branch, told)
        # Before their bags, as whoever cancels one or ships of it holds them.
        for each in sorted({order.id, *(one.id for one in before)}):
            uow.orders.for_change(each)
        uow.stock.take_turn()
        held = without_bag(offer, revision.accepted)
        wanted = _wanted(offer, revision, told.marks, held)
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        surplus, goods = taken_over(uow, deed, slips, before, order, offer, wanted)
        allocated = promised(uow, desk, deed, slips, goods, order.id)
        order = _dated(uow, order, told, uow.orders.bags(BagFilter(order=order.id)), allocated)
        note(
            uow, deed, "order-released", "revision", order.id, job_id=order.job_id, after=told,
        )  # fmt: skip
        found = _standing(uow, order, allocated.expected, held, surplus)
        uow.commit()
    return found


@needs(Action.RELEASE_ORDERS)
def cancel_order(desk: Desk, deed: Deed, reference: str, reason: str) -> OrderStanding:
    """Take an order back from the pick room: promises are free again; bags that hold goods stay,
    named, until they are unpacked. Raises CallError."""
    why = need_reason(reason, "cancellation")
    with desk.store.writing() as uow:
        # Before its bags, as whoever releases it or ships of it holds them; and those before goods.
        uow.orders.for_change(order_of(uow, reference).id)
        order = order_of(uow, reference)
        uow.stock.take_turn()
        uow.orders.hold_bags([bag.id for bag in uow.orders.bags(BagFilter(order=order.id))])
        bags = uow.orders.bags(BagFilter(order=order.id))
        uow.stock.hold(items_of(bags))
        slips = Slips(desk.ids.new(), deed.at, deed.who)
        drop_bags(uow, slips, bags, why)
        full = tuple(
            bag for bag in bags if bag.state in (BagState.OPEN, BagState.CLOSED, BagState.SHIPPED)
        )
        if not full:
            order = replace(order, cancelled_at=deed.at, version=order.version + 1)
            uow.orders.save(order, order.version - 1)
        note(
            uow, deed, "order-cancelled", "revision", order.id, job_id=order.job_id, reason=why,
        )  # fmt: skip
        found = _standing(uow, order, (), (), full)
        uow.commit()
    return found


@needs(Action.SEE_ORDERS)
def list_orders(
    desk: Desk, deed: Deed, wanted: OrderFilter, page: Page
) -> tuple[Sequence[OrderSummary], int]:
    """Orders by priority, promise and release, and how many there are in all."""
    with desk.store.reading() as uow:
        return uow.orders.page(wanted, page)


@needs(Action.SEE_ORDERS)
def list_bags(
    desk: Desk, deed: Deed, reference: str, states: Collection[BagState], page: Page
) -> tuple[Sequence[tuple[ReleasedBag, Order]], int]:
    """Bags with their orders, of one order or of all that stand (empty), in some states or in any
    (none): the most pressing first; and how many there are in all. Raises CallError."""
    with desk.store.reading() as uow:
        order = order_of(uow, reference).id if reference else ""
        found = uow.orders.bags(BagFilter(order=order, states=frozenset(states)))
        of = {each: order_of_id(uow, each) for each in {bag.order for bag in found}}
        rows = [(bag, of[bag.order]) for bag in found]
        rows.sort(key=lambda row: arrival(row[1], row[0]))
        return rows[page.offset : page.offset + page.limit], len(rows)


@needs(Action.SEE_ORDERS)
def show_order(desk: Desk, deed: Deed, reference: str) -> OrderStanding:
    """An order with its bags, and when those that lack goods can be whole. Raises CallError."""
    with desk.store.reading() as uow:
        order = order_of(uow, reference)
        revision = with_snapshot(uow, revision_of(uow, order.label))
        held = without_bag(snapshot_of(revision).offer, revision.accepted)
        return _standing(uow, order, waits_of_order(uow, desk, deed, order.id), held)


def _accepted(uow: UnitOfWork, reference: str) -> Revision:
    revision = with_snapshot(uow, revision_of(uow, reference))
    if revision.state is not State.ACCEPTED:
        raise CallError("release-not-accepted", quote=revision.label, state=revision.state.value)
    return revision


def _order_for(
    uow: UnitOfWork, deed: Deed, revision: Revision, branch: str, told: ToldRelease
) -> tuple[Order, tuple[Order, ...]]:
    """The order of a revision, made if it is not there, and those it takes the place of."""
    every = [
        order
        for order in uow.orders.of_job(revision.job_id)
        if order.quote == revision.quote_number
    ]
    before = tuple(order for order in every if not order.cancelled_at)
    newer = [order for order in before if order.revision > revision.number]
    if newer:
        raise CallError("release-superseded", quote=revision.label, by=newer[-1].label)
    there = next((order for order in every if order.id == revision.id), None)
    if there is None:
        there = Order(
            revision.id, revision.job_id, revision.quote_number, revision.number, branch,
            deed.at, deed.who, told.promised_on, told.priority,
        )  # fmt: skip
        uow.orders.add(there)
    elif there.cancelled_at or (there.branch, there.priority, there.promised_on) != (
        branch, told.priority, told.promised_on or there.promised_on,
    ):  # fmt: skip
        there = replace(
            there, branch=branch, priority=told.priority, version=there.version + 1,
            promised_on=told.promised_on or there.promised_on, cancelled_at=None,
        )  # fmt: skip
        uow.orders.save(there, there.version - 1)
    return there, tuple(order for order in before if order.id != revision.id)


def _wanted(
    offer: Offer, revision: Revision, marks: Collection[str], held: Collection[object]
) -> dict[str, tuple[ReleasedBag, int]]:
    """The bags asked for, each with the kit of its opening."""
    found: dict[str, tuple[ReleasedBag, int]] = {}
    known = set()
    for opening, bags in bags_of(offer, revision.id, revision.quote_number, revision.accepted):
        known.add(opening.place)
        if not marks or opening.place in marks:
            found |= {bag.id: (bag, opening.kit) for bag in bags}
    wrong = sorted(set(marks) - known)
    if wrong:
        stopped = [opening.place for opening in without_bag(offer, revision.accepted)]
        raise CallError(
            "release-marks-unknown",
            quote=revision.label, marks=wrong,
            held=[mark for mark in wrong if mark in stopped],
        )  # fmt: skip
    if not found:
        raise CallError("release-nothing", quote=revision.label, held=len(held))
    return found


def _dated(
    uow: UnitOfWork,
    order: Order,
    told: ToldRelease,
    bags: Sequence[ReleasedBag],
    allocated: Allocated,
) -> Order:
    """The order with the day on which all of it can be whole, unless another was told; none where
    nobody knows one."""
    if told.promised_on is not None or order.promised_on is not None:
        return order
    days = [each.day for each in allocated.expected]
    if any(day is None for day in days) or not bags:
        return order
    last = max((day for day in days if day is not None), default=order.released_at.date())
    new = replace(order, promised_on=last, version=order.version + 1)
    uow.orders.save(new, order.version)
    return new


def _standing(
    uow: UnitOfWork,
    order: Order,
    waits: tuple[Expected, ...],
    held: Sequence[object] = (),
    surplus: tuple[ReleasedBag, ...] = (),
) -> OrderStanding:
    job = uow.jobs.get(order.job_id)
    return OrderStanding(
        order,
        "" if job is None else job.name,
        tuple(uow.orders.bags(BagFilter(order=order.id))),
        waits,
        tuple(getattr(opening, "place", "") for opening in held),
        surplus,
    )


def order_of(uow: UnitOfWork, reference: str) -> Order:
    """The order of a quote's reference; of the latest revision that was released. Raises
    CallError."""
    revision = revision_of(uow, reference)
    found = [
        order
        for order in uow.orders.of_job(revision.job_id)
        if order.quote == revision.quote_number and not order.cancelled_at
    ]
    exact = [order for order in found if order.id == revision.id]
    if not found:
        raise CallError("order-unknown", quote=reference)
    return (exact or found)[-1]
