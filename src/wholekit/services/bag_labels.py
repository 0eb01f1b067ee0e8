"""Which bags a paper of labels is of: one bag, those of a wave, or of one order in it."""

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
    """Bags that labels are wanted of, order by order. reference: what the paper is asked for by;
    stock: the name of the sheets or rolls it is for."""

    reference: str
    parts: tuple[tuple[Order, tuple[ReleasedBag, ...]], ...]
    stock: str


def labels_reference(stock: str, bag: str = "", wave: int = 0, order: str = "") -> str:
    """What labels are asked for by: of a bag, of a wave's bags, or of an order's in it.

    >>> labels_reference("a6", wave=4, order="Q-00012/1"), labels_reference("a6", wave=4)
    ('W-00004 Q-00012/1 a6', 'W-00004 a6')
    """
    return " ".join(part for part in (bag or f"W-{wave:05}", order, stock) if part)


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
        parts = ((order_of_id(uow, row.order), (row,)),)
        return LabelledBags(f"{row.id} {more[0]}", parts, more[0])
    digits, stock = first.removeprefix("W-"), more[-1] if more else ""
    if (
        len(more) not in (1, 2)
        or not more[0]
        or not (digits.isdecimal() and digits.isascii() and len(digits) < 10)
    ):
        raise CallError("labels-malformed", given=reference)
    order = order_of(uow, more[0]) if len(more) > 1 else None
    wave = int(digits)
    wanted = BagFilter(wave=wave) if order is None else BagFilter(order=order.id, wave=wave)
    bags = [bag for bag in uow.orders.bags(wanted) if bag.state not in _GONE] if wave else []
    if not bags:
        raise CallError("labels-nothing", given=f"{first} {order.label if order else ''}".strip())
    orders = {each: order_of_id(uow, each) for each in dict.fromkeys(bag.order for bag in bags)}
    told = labels_reference(stock, wave=wave, order=order.label if order else "")
    return LabelledBags(
        told,
        tuple(
            (each, tuple(bag for bag in bags if bag.order == each.id))
            for each in sorted(orders.values(), key=lambda each: each.pressing)
        ),
        stock,
    )
