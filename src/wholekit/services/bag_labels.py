"""Which bags a paper of labels is of: one bag, or those of one order in a wave."""

from dataclasses import dataclass

from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, Order, ReleasedBag
from wholekit.domain.quotes.roles import Action
from wholekit.services.bag_work import whole_bag
from wholekit.services.desk import Deed, Desk
from wholekit.services.lacks import order_of_id
from wholekit.services.order_port import BagFilter
from wholekit.services.orders import order_of
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import needs

_GONE = frozenset({BagState.SHIPPED, BagState.CANCELLED})


@dataclass(frozen=True, slots=True)
class LabelledBags:
    """Bags of one order that labels are wanted of. reference: what the paper is asked for by;
    stock: the name of the sheets or rolls it is for."""

    reference: str
    order: Order
    bags: tuple[ReleasedBag, ...]
    stock: str


def labels_reference(stock: str, bag: str = "", wave: int = 0, order: str = "") -> str:
    """What labels are asked for by: of a bag, or of an order's bags in a wave.

    >>> labels_reference("a6", wave=4, order="Q-00012/1")
    'W-00004 Q-00012/1 a6'
    """
    return f"{bag} {stock}" if bag else f"W-{wave:05} {order} {stock}"


@needs(Action.SEE_PICK_PAPERS)
def bags_labelled(desk: Desk, deed: Deed, reference: str) -> LabelledBags:
    """The bags of such a reference. Raises CallError."""
    with desk.store.reading() as uow:
        return labelled(uow, reference)


def labelled(uow: UnitOfWork, reference: str) -> LabelledBags:
    """The same in a unit of work. Raises CallError."""
    first, *more = reference.split(" ")
    if not first.startswith("W-"):
        if len(more) != 1:
            raise CallError("labels-malformed", given=reference)
        row = whole_bag(uow, first, held=False).row
        if row.state is BagState.CANCELLED:
            raise CallError("labels-nothing", given=row.id)
        return LabelledBags(f"{row.id} {more[0]}", order_of_id(uow, row.order), (row,), more[0])
    digits = first.removeprefix("W-")
    if (
        len(more) != 2
        or not more[0]
        or not (digits.isdecimal() and digits.isascii() and len(digits) < 10)
    ):
        raise CallError("labels-malformed", given=reference)
    order = order_of(uow, more[0])
    there = uow.orders.bags(BagFilter(order=order.id, wave=int(digits))) if int(digits) else ()
    bags = tuple(bag for bag in there if bag.state not in _GONE)
    if not bags:
        raise CallError("labels-nothing", given=f"{first} {order.label}")
    told = labels_reference(more[1], wave=int(digits), order=order.label)
    return LabelledBags(told, order, bags, more[1])
