"""What the pick room has done of an order by now, as the papers of its offer tell it."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property

from wholekit.domain.orders.order import DONE, BagState, ReleasedBag
from wholekit.domain.quotes.offer import Offer


@dataclass(frozen=True)
class InRoom:
    """The bags of a released order as they stand on a day; cancelled ones are none of them."""

    day: date
    bags: tuple[ReleasedBag, ...]

    @classmethod
    def of(cls, day: date, bags: Iterable[ReleasedBag]) -> "InRoom":
        """Without what was cancelled."""
        return cls(day, tuple(bag for bag in bags if bag.state is not BagState.CANCELLED))

    @property
    def packed(self) -> int:
        """Bags that are closed and still here [count]."""
        return self._count(BagState.CLOSED)

    @property
    def shipped(self) -> int:
        """Bags that have left [count]."""
        return self._count(BagState.SHIPPED)

    @cached_property
    def whole(self) -> Mapping[str, int]:
        """By place, its bags for which every pack is promised, packed or gone [count]."""
        return self._by_place(bag for bag in self.bags if bag.state is not BagState.WAITING)

    def left(self, offer: Offer) -> tuple[Offer, Mapping[str, int]]:
        """The offer with the bags alone that are still to be packed, and how many of each place
        have all their goods promised [count]; openings that are held stay in it.

        What the shelf has of an item is what is promised to these bags.
        """
        to_pack = [bag for bag in self.bags if bag.state not in DONE]
        ready = [bag for bag in to_pack if bag.state is not BagState.WAITING]
        count = self._by_place(to_pack)
        # By the kits as quoted, so that walk and bags agree where an item stands in for another.
        whole = self._by_place(ready)
        there: Counter[tuple[str, str]] = Counter()
        for opening in offer.openings:
            for line in offer.kit_of(opening).lines:
                there[line.supplier, line.sku] += line.quantity * whole.get(opening.place, 0)
        kits = tuple(
            replace(
                kit,
                lines=tuple(
                    replace(line, on_hand=there[line.supplier, line.sku]) for line in kit.lines
                ),
            )
            for kit in offer.kits
        )
        openings = tuple(
            replace(opening, quantity=count.get(opening.place, opening.quantity), ready=())
            for opening in offer.openings
            if opening.place in count or not offer.is_firm(opening)
        )
        left = replace(offer, kits=kits, openings=openings, ready_asked=None)
        return left, whole

    def numbers(self, place: str, *, waiting: bool) -> tuple[int, ...]:
        """Of its bags that are still to be packed, the numbers of those that wait or of the
        others."""
        return tuple(
            sorted(
                bag.number
                for bag in self.bags
                if bag.mark == place
                and bag.state not in DONE
                and (bag.state is BagState.WAITING) is waiting
            )
        )

    def done(self, offer: Offer) -> tuple[str, ...]:
        """The openings all of whose bags are packed or gone, by their places."""
        open_ = {bag.mark for bag in self.bags if bag.state not in DONE}
        return tuple(
            each.place
            for each in offer.openings
            if each.place in self._marks and each.place not in open_
        )

    def not_released(self, offer: Offer) -> tuple[str, ...]:
        """The openings that may go out and that nobody has released, by their places."""
        return tuple(
            each.place
            for each in offer.openings
            if each.place not in self._marks and offer.is_firm(each) and offer.kit_of(each).lines
        )

    @cached_property
    def _marks(self) -> frozenset[str]:
        return frozenset(bag.mark for bag in self.bags)

    def _by_place(self, bags: Iterable[ReleasedBag]) -> Mapping[str, int]:
        return Counter(bag.mark for bag in bags)

    def _count(self, state: BagState) -> int:
        return sum(bag.state is state for bag in self.bags)
