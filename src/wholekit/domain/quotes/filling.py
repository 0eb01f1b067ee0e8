"""What the shelf gives the bags of an offer, on the day it was priced: the one answer that every
paper reads, so that none counts what is short in a way of its own.

Only openings that may go out draw. What there is of an item is shared out so that whole kits come
of it (see `sharing`), and of the bags of one opening the first are the full ones.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.quotes.draws import Draw, draws_of
from wholekit.domain.quotes.offer import Offer, OfferLine, OfferOpening
from wholekit.domain.quotes.sharing import Wants, share_out
from wholekit.domain.walk import AS_NAMED, Walk

# By supplier too: two of them may sell under the same SKU.
Key: TypeAlias = tuple[str, str]
# An opening's place, and its kit: the bags of one may be filled in more than one way.
OpeningKey: TypeAlias = tuple[str, int]
# What an opening takes of each of its items [packs].
Share: TypeAlias = Mapping[Key, int]


@dataclass(frozen=True, slots=True)
class FilledLine:
    """A line of a kit in a bag, or in all bags of an opening: what is asked for and what of it the
    shelf gives [packs]."""

    line: OfferLine
    asked: int
    there: int

    @property
    def short(self) -> int:
        """What is not there [packs]."""
        return self.asked - self.there


@dataclass(frozen=True, slots=True)
class Filling:
    """How the bags of an offer's openings are filled. draws: in the order of the walk, of openings
    that may go out; shares: by each of them; one that is held has none."""

    offer: Offer
    draws: tuple[Draw, ...]
    shares: Mapping[OpeningKey, Share]

    @property
    def shorts(self) -> tuple[Draw, ...]:
        """What the shelf does not cover."""
        return tuple(draw for draw in self.draws if draw.short)

    def lines(self, opening: OfferOpening) -> tuple[FilledLine, ...]:
        """What all bags of an opening hold together; of one that is held nothing is there."""
        return self._filled(opening, opening.quantity, self.shares.get(key_of(opening), {}))

    def bag(self, opening: OfferOpening, number: int) -> tuple[FilledLine, ...]:
        """What one of its bags holds, by its number from 1."""
        return self.bags(opening, number, 1)

    def bags(self, opening: OfferOpening, first: int, count: int) -> tuple[FilledLine, ...]:
        """What some of its bags hold together: so many, from a number on that begins at 1."""
        before = first - 1
        left = {
            key: max(0, taken - self._each(opening, key) * before)
            for key, taken in self.shares.get(key_of(opening), {}).items()
        }
        return self._filled(opening, count, left)

    def waiting(self, opening: OfferOpening, item: OfferLine | None = None) -> int:
        """How many of its kits the shelf leaves without a piece [count]; item: without that one.
        None of an opening that is held, which waits for something else."""
        share = self.shares.get(key_of(opening))
        if share is None:
            return 0
        keys = share if item is None else share.keys() & {_key(item)}
        whole = [share[key] // self._each(opening, key) for key in keys]
        return opening.quantity - min((opening.quantity, *whole))

    def waits_for(self, draw: Draw) -> tuple[str, ...]:
        """The openings whose bags lack an item, by their places."""
        found = (each.place for each in self.offer.openings if self.waiting(each, draw.item))
        return tuple(dict.fromkeys(found))

    def split(self, draw: Draw) -> tuple[tuple[str, int], ...]:
        """What of an item there is for each opening that draws it, by their places [packs]."""
        found = {mark: 0 for mark, _ in draw.marks}
        for each in self.offer.openings:
            share = self.shares.get(key_of(each), {})
            if each.place in found:
                found[each.place] += share.get(_key(draw.item), 0)
        return tuple((mark, packs) for mark, packs in found.items() if packs)

    def _each(self, opening: OfferOpening, key: Key) -> int:
        lines = self.offer.kit_of(opening).lines
        return sum(line.quantity for line in lines if _key(line) == key)

    def _filled(self, opening: OfferOpening, bags: int, share: Share) -> tuple[FilledLine, ...]:
        left = dict(share)
        filled = []
        for line in self.offer.kit_of(opening).lines:
            key, asked = _key(line), line.quantity * bags
            there = min(asked, left.get(key, 0))
            left[key] = left.get(key, 0) - there
            filled.append(FilledLine(line, asked, there))
        return tuple(filled)


def bag_count(offer: Offer, opening: OfferOpening) -> int:
    """An opening's bags, one for each kit [count]; none where nothing would be in them."""
    return opening.quantity if offer.kit_of(opening).lines else 0


def filling_of(
    offer: Offer, walk: Walk = AS_NAMED, whole: Mapping[OpeningKey, int] | None = None
) -> Filling:
    """How the bags of an offer's openings are filled. offer: what is had (see `Offer.chosen`).

    whole: where the pick room has promised goods by now, how many bags of each opening have all of
    theirs [count]; the others have none.
    """
    sound = [opening for opening in offer.openings if offer.is_firm(opening)]
    draws = draws_of(offer, sound, walk)
    needs: dict[int, dict[Key, int]] = {}
    for opening in sound:
        if opening.kit not in needs:
            need = needs[opening.kit] = {}
            for line in offer.kit_of(opening).lines:
                need[_key(line)] = need.get(_key(line), 0) + line.quantity
    if whole is not None:
        promised = {
            key_of(each): {
                key: packs * min(whole.get(key_of(each), 0), each.quantity)
                for key, packs in needs[each.kit].items()
            }
            for each in sound
        }
        return Filling(offer, draws, promised)
    # As the quote's days are shared out (see `ready`): of alternates after the base bid.
    wants = [Wants(needs[each.kit], each.quantity, (each.alternate,)) for each in sound]
    taken = share_out(wants, {_key(draw.item): draw.item.on_hand for draw in draws})
    shares = {key_of(opening): share for opening, share in zip(sound, taken, strict=True)}
    return Filling(offer, draws, shares)


def short_stock(offer: Offer) -> tuple[Finding, ...]:
    """A warning for each item of which the shelf lacks some, with the openings that wait for it."""
    filling = filling_of(offer)
    return tuple(
        Finding(
            "short-stock",
            Severity.WARN,
            {
                "sku": draw.item.sku,
                "needed": draw.quantity,
                "on_hand": draw.item.on_hand,
                "lead_days": draw.item.lead_days,
                "marks": filling.waits_for(draw),
            },
            None,
            Hint("order-or-swap", {"short": draw.short}),
        )
        for draw in filling.shorts
    )


def key_of(opening: OfferOpening) -> OpeningKey:
    """What an opening's share stands under."""
    return opening.place, opening.kit


def _key(line: OfferLine) -> Key:
    return line.supplier, line.sku
