"""The bags that an accepted revision asks for: one for each opening whose kit may go out."""

from collections.abc import Collection, Iterator

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders.order import ReleasedBag
from wholekit.domain.quotes.bag_id import BagId
from wholekit.domain.quotes.job import BASE
from wholekit.domain.quotes.offer import Offer, OfferKit, OfferOpening


def needs_of(kit: OfferKit) -> tuple[tuple[ItemKey, int], ...]:
    """Packs [count] of each item that one kit takes, by supplier and SKU."""
    counts: dict[ItemKey, int] = {}
    for line in kit.lines:
        key = (line.supplier, line.sku)
        counts[key] = counts.get(key, 0) + line.quantity
    return tuple(sorted(counts.items()))


def bags_of(
    offer: Offer, order: str, quote: int, alternates: Collection[str] = ()
) -> Iterator[tuple[OfferOpening, tuple[ReleasedBag, ...]]]:
    """Each firm opening that is had with some alternates, and its bags.

    order: id of the order they are to belong to; quote: the quote's number. An opening that is
    held or not whole, and one whose kit has no line, has no bag (see `without_bag`).
    """
    had = {
        (opening.mark, opening.alternate) for opening in offer.chosen(tuple(alternates)).openings
    }
    for place, opening in enumerate(offer.openings, 1):
        kit = offer.kit_of(opening)
        if (opening.mark, opening.alternate) not in had or not kit.lines:
            continue
        if not offer.is_firm(opening):
            continue
        needs = needs_of(kit)
        yield (
            opening,
            tuple(
                ReleasedBag(
                    str(BagId(quote, offer.revision, place, number)),
                    order,
                    opening.place,
                    place,
                    number,
                    needs,
                )
                for number in range(1, opening.quantity + 1)
            ),
        )


def without_bag(offer: Offer, alternates: Collection[str] = ()) -> tuple[OfferOpening, ...]:
    """The openings that are had with some alternates and may not go out: held, not whole, or left
    out of the offer for it."""
    chosen = offer.chosen(tuple(alternates)).openings
    left_out = (each for each in offer.left_out or () if each.alternate in (BASE, *alternates))
    return (
        *(
            opening
            for opening in chosen
            if not offer.is_firm(opening) or not offer.kit_of(opening).lines
        ),
        *left_out,
    )
