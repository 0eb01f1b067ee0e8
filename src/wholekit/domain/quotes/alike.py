"""Openings of an offer alike to who buys them: the same kit, set the same, at the same price."""

from collections.abc import Iterable
from dataclasses import dataclass, replace

from wholekit.domain.quantities import Money
from wholekit.domain.quotes.offer import Offer, OfferKit, OfferLine, OfferOpening


@dataclass(frozen=True, slots=True)
class Alike:
    """Openings that one kit, written once, stands for; kit: of the first of them."""

    kit: OfferKit
    openings: tuple[OfferOpening, ...]

    @property
    def marks(self) -> tuple[str, ...]:
        """Their marks, in the offer's order."""
        return tuple(opening.mark for opening in self.openings)

    @property
    def quantity(self) -> int:
        """Openings, those of one mark counted each."""
        return sum(opening.quantity for opening in self.openings)

    @property
    def price(self) -> Money:
        """Of all of them [Money]."""
        total = sum(opening.price.minor for opening in self.openings)
        return Money(total, self.kit.price.currency)


def alike(offer: Offer, openings: Iterable[OfferOpening]) -> tuple[Alike, ...]:
    """Some of an offer's openings, those alike together, in the order of the first of each.

    Alike: equal items at equal prices, number of leaves, mount, side of the body, spring size,
    finish, missing pieces and price agreed. What a boxed piece is used for, the size of the leaf
    and all that is said of an opening may differ, and is told by mark.
    """
    found: dict[object, list[OfferOpening]] = {}
    keys = [_key(kit) for kit in offer.kits]
    for opening in openings:
        found.setdefault(keys[opening.kit], []).append(opening)
    return tuple(Alike(offer.kit_of(group[0]), tuple(group)) for group in found.values())


def _key(kit: OfferKit) -> object:
    return (
        tuple(map(_sold, kit.lines)),
        kit.adjustment,
        kit.price,
        kit.type.leaves,
        kit.mount,
        kit.body_side,
        kit.spring_size,
        kit.finish,
        kit.missing,
    )


def _sold(line: OfferLine) -> OfferLine:
    """A line by what is sold: neither what it serves for nor where it lies."""
    return replace(line, uses=(), series=(), bin="", on_hand=0, lead_days=0)
