"""The waves that are under way."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.orders import BagState
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk
from wholekit.services.order_port import BagFilter
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class WaveUnderWay:
    """A wave with bags that are not closed. marks: of those; begun: how many are [bags]."""

    number: int
    picker: str
    branch: str
    marks: tuple[str, ...]
    begun: int


@needs(Action.SEE_ORDERS)
def waves_under_way(desk: Desk, deed: Deed) -> Sequence[WaveUnderWay]:
    """Waves with bags that are not closed, the latest first; and how many bags wait for one."""
    with desk.store.reading() as uow:
        bags = uow.orders.bags(BagFilter(states=frozenset({BagState.READY, BagState.OPEN})))
    found: dict[int, list[tuple[str, bool]]] = {}
    about = {}
    for bag in bags:
        if bag.wave:
            found.setdefault(bag.wave, []).append((bag.mark, bag.state is BagState.OPEN))
            about[bag.wave] = (bag.picker, bag.branch)
    return tuple(
        WaveUnderWay(
            number,
            *about[number],
            tuple(mark for mark, _ in found[number]),
            sum(begun for _, begun in found[number]),
        )
        for number in sorted(found, reverse=True)
    )
