"""What openings of an offer take from the shelf, item by item in the order of the walk."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.quotes.offer import Offer, OfferLine, OfferOpening
from wholekit.domain.walk import AS_NAMED, Walk


@dataclass(frozen=True, slots=True)
class Draw:
    """What an offer takes of one item [packs]; marks: how it is split over the openings."""

    item: OfferLine
    quantity: int
    marks: tuple[tuple[str, int], ...]

    @property
    def short(self) -> int:
        """Packs to be ordered before the job can be picked whole."""
        return max(0, self.quantity - self.item.on_hand)


def draws_of(
    offer: Offer, openings: Sequence[OfferOpening] | None = None, walk: Walk = AS_NAMED
) -> tuple[Draw, ...]:
    """All items of an offer's openings as one walks along the bins, with the openings each goes to.

    openings: those alone, where given. walk: the house's.
    """
    items: dict[tuple[str, str], OfferLine] = {}
    marks: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for opening in offer.openings if openings is None else openings:
        for line in offer.kit_of(opening).lines:
            key = (line.supplier, line.sku)
            items.setdefault(key, line)
            marks.setdefault(key, []).append((opening.place, line.quantity * opening.quantity))
    draws = [
        Draw(item, sum(count for _, count in marks[key]), tuple(marks[key]))
        for key, item in items.items()
    ]
    return tuple(
        sorted(draws, key=lambda draw: (walk.place_of(draw.item.bin), draw.item.bin, draw.item.sku))
    )
