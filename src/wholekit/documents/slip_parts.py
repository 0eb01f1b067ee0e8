"""What every packing slip has: where it goes, marks in ranges, what packs hold, what is held."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from wholekit.documents.ask_office import ask_text
from wholekit.documents.fill import leaf_size
from wholekit.documents.packing_slip import NotSent, SlipBox
from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.filling import bag_count
from wholekit.domain.quotes.offer import OfferKit, OfferLine, OfferOpening, OfferWords
from wholekit.wording.offers import why_held
from wholekit.wording.openings import fire_label_text, piece_text
from wholekit.wording.questions import ranges_text

# The order of pieces in words: as in the house's list of roles.
_PIECES = {role: at for at, role in enumerate(Role)}


class SlipParts:
    """A slip's parts, in the language in use."""

    def __init__(self, offer: Offer, words: OfferWords) -> None:
        self.offer = offer
        self.words = words
        self.every = [opening.place for opening in offer.openings]

    def about(self, opening: OfferOpening) -> str:
        """What opening it is: leaf, mount, fire label; and whether its fitter must ask first."""
        said, kit = self.words.kits[opening.kit], self.offer.kit_of(opening)
        minutes = kit.type.fire_minutes
        fire = (fire_label_text(minutes),) if minutes else ()
        asked = filter(None, (ask_text(self.offer, opening),))
        return ", ".join((leaf_size(kit, said), said.mount, *fire, *asked))

    def boxes(self, sent: Sequence[OfferOpening]) -> Iterator[SlipBox]:
        """What packs of several pieces hold, used here or not; items of equal packs together."""
        packs: dict[tuple[str, str], str] = {}
        for at in dict.fromkeys(opening.kit for opening in sent):
            kit = self.offer.kits[at]
            for line in kit.lines:
                pieces = _pieces(kit, line)
                if pieces.total() > 1:
                    texts = (piece_text(*piece, count) for piece, count in pieces.items())
                    packs.setdefault((line.supplier, line.sku), ", ".join(texts))
        alike: dict[str, set[str]] = {}
        for (_, sku), held in packs.items():
            alike.setdefault(held, set()).add(sku)
        boxes = (SlipBox(tuple(sorted(skus)), held) for held, skus in alike.items())
        yield from sorted(boxes, key=lambda box: box.skus)

    def held(self, held: Sequence[OfferOpening]) -> Iterator[NotSent]:
        """What is held, by the reasons why."""
        alike: dict[tuple[str, ...], list[OfferOpening]] = {}
        for opening in held:
            reasons = tuple(dict.fromkeys(why_held(self.offer, opening, self.words.kits)))
            alike.setdefault(reasons, []).append(opening)
        for reasons, openings in alike.items():
            yield from self.apart(openings, reasons)

    def apart(
        self, openings: Sequence[OfferOpening], reasons: tuple[str, ...]
    ) -> tuple[NotSent, ...]:
        """Openings that do not go along, together."""
        bags = sum(bag_count(self.offer, opening) for opening in openings)
        return (NotSent(self.ranges(openings), bags, reasons),)

    def ranges(self, openings: Iterable[OfferOpening]) -> str:
        """Their marks in ranges."""
        return ranges_text(
            [opening.place for opening in openings], self.every, self.offer.not_quoted
        )


def _pieces(kit: OfferKit, line: OfferLine) -> Counter[tuple[Role, FastenerKind | None]]:
    """The pieces of one pack of a line: those that the kit uses and those that it leaves."""
    counts: Counter[tuple[Role, FastenerKind | None]] = Counter()
    for use in line.uses:
        counts[use.role, use.kind] += use.quantity
    for left in kit.unused:
        if left.sku == line.sku:
            counts[left.role, next(iter(left.kinds), None)] += left.quantity
    of_one = {piece: count // line.quantity for piece, count in counts.items()}
    return Counter(
        dict(sorted(of_one.items(), key=lambda each: (_PIECES[each[0][0]], each[0][1] or "")))
    )
