"""Openings of a job whose kits want no goods any more: promised whole, packed or shipped."""

from collections import Counter
from collections.abc import Mapping

from wholekit.domain.orders import BagState, Order, ReleasedBag, lacking
from wholekit.domain.quotes import JobContents
from wholekit.domain.quotes.asked import asked_type
from wholekit.services.order_port import BagFilter
from wholekit.services.ports import UnitOfWork, snapshot_of
from wholekit.services.quote_reading import revision_of, with_snapshot

_HERE = frozenset({BagState.READY, BagState.OPEN, BagState.CLOSED, BagState.SHIPPED})


def served(uow: UnitOfWork, contents: JobContents) -> Mapping[tuple[str, str], int]:
    """By alternate and mark how many kits [count] have their goods, of openings that are as they
    were released."""
    found: Counter[tuple[str, str]] = Counter()
    for order in uow.orders.of_job(contents.job.id):
        if order.cancelled_at is None:
            found.update(_of_order(uow, order, contents))
    return found


def _of_order(
    uow: UnitOfWork, order: Order, contents: JobContents
) -> Mapping[tuple[str, str], int]:
    bags = Counter(bag.mark for bag in _with_goods(uow, order))
    if not bags:
        return {}
    offer = snapshot_of(with_snapshot(uow, revision_of(uow, order.label))).offer
    places = {(each.alternate, each.mark): each for each in offer.openings}
    found = {}
    for entry in contents.openings:
        key = entry.alternate, entry.mark
        then = places.get(key)
        set_since = any(each.at > order.released_at for each in entry.overrides)
        if then and not set_since and offer.kit_of(then).type == asked_type(entry):
            found[key] = bags[then.place]
    return found


def _with_goods(uow: UnitOfWork, order: Order) -> list[ReleasedBag]:
    bags = uow.orders.bags(BagFilter(order=order.id, states=_HERE))
    held = uow.stock.bags([bag.id for bag in bags if bag.state is BagState.OPEN])
    return [bag for bag in bags if lacking(bag, held.get(bag.id, {})) is None]
