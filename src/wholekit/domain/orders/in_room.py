"""What the pick room has done of an order by now, as the papers of its offer tell it."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import TypeAlias

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders.order import DONE, BagState, ReleasedBag
from wholekit.domain.quotes.filling import OpeningKey, key_of
from wholekit.domain.quotes.offer import Offer, OfferKit, OfferLine, OfferOpening, OfferWords

# What a bag is to hold: packs of each item.
Needs: TypeAlias = tuple[tuple[ItemKey, int], ...]


@dataclass(frozen=True, slots=True)
class StandIn:
    """An item that no kit of the offer has where a bag takes it: one that stands in for another."""

    description: str = ""
    finish: str = ""
    bin: str = ""


@dataclass(frozen=True, slots=True)
class BagsOfOffer:
    """An offer with the bags alone that are still to be packed (see `left`), or with all of them
    (see `filled`): an opening stands in it once for each kind of bag that it has. whole: how many
    of each opening have all their goods promised [count]; numbers: of an opening's bags that wait,
    and of the others."""

    offer: Offer
    whole: Mapping[OpeningKey, int]
    numbers: Mapping[tuple[OpeningKey, bool], tuple[int, ...]]


@dataclass(frozen=True)
class InRoom:
    """The bags of a released order as they stand on a day; cancelled ones are none of them.

    wares: by item, what is known of those that stand in for quoted ones.
    """

    day: date
    bags: tuple[ReleasedBag, ...]
    wares: Mapping[ItemKey, StandIn] = field(default_factory=dict)

    @classmethod
    def of(
        cls,
        day: date,
        bags: Iterable[ReleasedBag],
        wares: Mapping[ItemKey, StandIn] = MappingProxyType({}),
    ) -> "InRoom":
        """Without what was cancelled. wares: see `StandIn`."""
        kept = tuple(bag for bag in bags if bag.state is not BagState.CANCELLED)
        return cls(day, kept, wares)

    @property
    def packed(self) -> int:
        """Bags that are closed and still here [count]."""
        return self._count(BagState.CLOSED)

    @property
    def shipped(self) -> int:
        """Bags that have left [count]."""
        return self._count(BagState.SHIPPED)

    @property
    def gone(self) -> bool:
        """Whether every bag has left."""
        return all(bag.state is BagState.SHIPPED for bag in self.bags)

    def left(self, offer: Offer) -> "BagsOfOffer":
        """What is still to be packed, each bag with what is really to be taken for it.

        What the shelf has of an item is what is promised to these bags. Openings that are held stay
        in the offer; nothing is picked for them.
        """
        to_pack = [bag for bag in self.bags if bag.state not in DONE]
        there: Counter[ItemKey] = Counter()
        of: dict[str, list[ReleasedBag]] = {}
        for bag in to_pack:
            of.setdefault(bag.mark, []).append(bag)
            if bag.state is not BagState.WAITING:
                there.update(dict(bag.needs))
        kits = _Kits(offer, self.wares)
        openings: list[OfferOpening] = []
        numbers: dict[tuple[OpeningKey, bool], list[int]] = {}
        for opening in offer.openings:
            alike: dict[int, list[ReleasedBag]] = {}
            for bag in of.get(opening.place, ()):
                alike.setdefault(kits.holding(opening.kit, bag.needs), []).append(bag)
            if not alike and not offer.is_firm(opening):
                openings.append(replace(opening, ready=()))
            for kit, bags in sorted(alike.items()):
                openings.append(replace(opening, kit=kit, quantity=len(bags), ready=()))
                for bag in bags:
                    key = key_of(openings[-1]), bag.state is BagState.WAITING
                    numbers.setdefault(key, []).append(bag.number)
        left = replace(kits.offer(there), openings=tuple(openings), ready_asked=None)
        whole = {key: len(found) for (key, waits), found in numbers.items() if not waits}
        return BagsOfOffer(left, whole, {key: tuple(sorted(each)) for key, each in numbers.items()})

    def filled(self, offer: Offer) -> "BagsOfOffer":
        """All of the offer, each bag with what is really taken for it: an opening stands in it once
        for each kind of bag that it has. Bags that are no part of the order are as they were
        quoted, and not whole."""
        of: dict[str, list[ReleasedBag]] = {}
        for bag in self.bags:
            of.setdefault(bag.mark, []).append(bag)
        kits = _Kits(offer, self.wares)
        openings: list[OfferOpening] = []
        whole: dict[OpeningKey, int] = {}
        for opening in offer.openings:
            counts, there = Counter[int](), Counter[int]()
            for bag in of.get(opening.place, ()):
                kit = kits.holding(opening.kit, bag.needs)
                counts[kit] += 1
                there[kit] += bag.state is not BagState.WAITING
            counts[opening.kit] += opening.quantity - counts.total()
            for kit, count in sorted((+counts).items()):
                openings.append(replace(opening, kit=kit, quantity=count))
                whole[key_of(openings[-1])] = there[kit]
        return BagsOfOffer(replace(kits.offer({}), openings=tuple(openings)), whole, {})

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

    def _count(self, state: BagState) -> int:
        return sum(bag.state is state for bag in self.bags)


class _Kits:
    """The kits of an offer, and of each what bags hold in their place."""

    def __init__(self, offer: Offer, wares: Mapping[ItemKey, StandIn]) -> None:
        self._of = offer
        self._wares = wares
        self._quoted = {_key(line): line for kit in offer.kits for line in kit.lines}
        self._kits = [*offer.kits]
        self._words = [[*each.kits] for each in _words_of(offer)]
        self._found: dict[tuple[int, Needs], int] = {}

    def holding(self, kit: int, needs: Needs) -> int:
        """Which kit has what a bag of one needs [index]."""
        place = (kit, tuple(sorted(needs)))
        if place not in self._found:
            lines = self._lines(self._of.kits[kit], needs)
            if _packs(lines) == _packs(self._of.kits[kit].lines):
                self._found[place] = kit
            else:
                self._found[place] = len(self._kits)
                self._kits.append(replace(self._of.kits[kit], lines=lines))
                for words in self._words:
                    words.append(words[kit])
        return self._found[place]

    def offer(self, there: Mapping[ItemKey, int]) -> Offer:
        """The offer with all of them, of whose items the shelf has so many packs."""
        kits = (
            replace(
                kit,
                lines=tuple(replace(one, on_hand=there.get(_key(one), 0)) for one in kit.lines),
            )
            for kit in self._kits
        )
        first, *sent = (
            replace(words, kits=tuple(each))
            for words, each in zip(_words_of(self._of), self._words, strict=True)
        )
        return replace(self._of, kits=tuple(kits), words=first, sent=sent[0] if sent else None)

    def _lines(self, kit: OfferKit, needs: Needs) -> tuple[OfferLine, ...]:
        """The kit's own lines as far as they are needed, then what stands in."""
        left = Counter(dict(needs))
        own = _packs(kit.lines)
        lines = []
        for line in kit.lines:
            key = _key(line)
            # What stands in may be an item of the kit as well: its last line has the rest.
            own[key] -= line.quantity
            packs = min(line.quantity, left[key]) if own[key] else left[key]
            left[key] -= packs
            if packs:
                lines.append(replace(line, quantity=packs))
        others = (replace(self._line(key, kit), quantity=packs) for key, packs in (+left).items())
        return (*lines, *others)

    def _line(self, key: ItemKey, kit: OfferKit) -> OfferLine:
        """A line of an item that a kit was not quoted with."""
        if key in self._quoted:
            return self._quoted[key]
        ware = self._wares.get(key, StandIn())
        return replace(
            kit.lines[0],
            sku=key[1],
            supplier=key[0],
            catalog_id="",
            description=ware.description,
            finish=ware.finish,
            bin=ware.bin,
            uses=(),
            lead_days=0,
        )


def _words_of(offer: Offer) -> tuple[OfferWords, ...]:
    return (offer.words,) if offer.sent is None else (offer.words, offer.sent)


def _packs(lines: Iterable[OfferLine]) -> Counter[ItemKey]:
    found: Counter[ItemKey] = Counter()
    for line in lines:
        found[_key(line)] += line.quantity
    return found


def _key(line: OfferLine) -> ItemKey:
    return line.supplier, line.sku
