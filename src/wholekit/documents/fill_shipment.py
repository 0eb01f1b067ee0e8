"""From a shipment to its packing slip: the bags that left as they were closed, and what is to come.

What the bags hold is what was frozen when they were closed, not what the quote plans.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wholekit.documents.fill import goods_of, head_of
from wholekit.documents.packing_slip import (
    NotSent,
    PackingSlipPaper,
    SentBefore,
    SlipBox,
    SlipKit,
    SlipLine,
    SlipMark,
    SlipShipment,
    TakenOut,
)
from wholekit.documents.slip_parts import SlipParts
from wholekit.domain.catalog import ItemKey, Role
from wholekit.domain.orders import ReleasedBag, ShipWay, shipment_label
from wholekit.domain.picking import PackedBag, Ware
from wholekit.domain.quotes.offer import OfferOpening, OfferWords
from wholekit.services.shipping import ShipmentShown
from wholekit.wording.cautions import cautions_for_receivers
from wholekit.wording.openings import piece_text
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import speaking


def shipment_paper(shown: ShipmentShown) -> PackingSlipPaper:
    """The slip of one shipment, in the customer's language. No money."""
    words = shown.offer.sent or shown.offer.words
    head = head_of(shown.offer, language=words.language)
    with speaking(head.words_of):
        return _ShipmentSlip(shown, words).paper()


@dataclass(frozen=True, slots=True)
class _Gone:
    """A bag that left, and its opening."""

    row: ReleasedBag
    packed: PackedBag
    opening: OfferOpening


class _ShipmentSlip(SlipParts):
    """A slip of bags that were closed."""

    def __init__(self, shown: ShipmentShown, words: OfferWords) -> None:
        super().__init__(shown.offer.chosen(shown.acceptance.alternates), words)
        self._shown = shown
        places = {opening.place: opening for opening in self.offer.openings}
        self._gone = [
            _Gone(bag, bag.packed, places[bag.mark])
            for bag in sorted(shown.bags, key=lambda bag: (self.every.index(bag.mark), bag.number))
            if bag.packed is not None
        ]

    def paper(self) -> PackingSlipPaper:
        """The slip whole."""
        offer, shipment = self.offer, self._shown.shipment
        kits = tuple(self._bags())
        later = self._to_come()
        before = tuple(self._before())
        sent = list({gone.opening.place: gone.opening for gone in self._gone}.values())
        kinds = [offer.kit_of(opening).type for opening in sent]
        return PackingSlipPaper(
            head_of(offer, language=self.words.language),
            self.offer.goes_to,
            kits,
            openings=len(self._gone),
            bags=len(self._gone),
            packs=sum(line.quantity for kit in kits for line in kit.lines),
            boxes=tuple(self._packs(sent)),
            extras=goods_of(offer),
            held=tuple(self.held([one for one in offer.openings if not offer.is_firm(one)])),
            later=later,
            cautions=cautions_for_receivers(fire=any(kind.fire_minutes for kind in kinds)),
            part=bool(later or before),
            attention=offer.customer.contact,
            order=self._shown.acceptance.order_number,
            shipment=SlipShipment(
                shipment.label,
                shipment.at.date(),
                shipment.way is ShipWay.WILL_CALL,
                shipment.reference,
                shipment.received_by,
                before,
                tuple(self._taken_out()),
            ),
        )

    def _bags(self) -> Iterator[SlipKit]:
        """Bags of equal contents, in the order of the offer."""
        alike: dict[tuple[SlipLine, ...], list[_Gone]] = {}
        for gone in self._gone:
            alike.setdefault(tuple(self._lines(gone)), []).append(gone)
        for lines, bags in alike.items():
            marks: dict[str, list[_Gone]] = {}
            for gone in bags:
                marks.setdefault(gone.opening.place, []).append(gone)
            yield SlipKit(
                self.ranges([each[0].opening for each in marks.values()]),
                len(bags),
                tuple(replace(line, quantity=line.each * len(bags)) for line in lines),
                tuple(
                    SlipMark(
                        mark,
                        len(each),
                        self.about(each[0].opening),
                        each[0].opening.note,
                        tuple(gone.row.id for gone in each),
                    )
                    for mark, each in marks.items()
                ),
            )

    def _lines(self, gone: _Gone) -> Iterator[SlipLine]:
        """What one bag holds, an item that stands in for another with that."""
        said = {
            (line.supplier, line.sku): self.words.item(line)
            for line in self.offer.kit_of(gone.opening).lines
        }
        instead: dict[ItemKey, str] = {
            each.ware.key: each.item[1] for each in gone.packed.substitutions
        }
        stand_in = Counter[ItemKey]()
        for each in gone.packed.substitutions:
            stand_in[each.ware.key] += each.by_packs
        for line in gone.packed.lines:
            yield SlipLine(
                line.item[1],
                said.get(line.item, line.title),
                line.finish,
                line.packs,
                line.packs,
                instead.get(line.item, ""),
                # Of an item that was ordered as well, nobody can tell which pack is which.
                min(stand_in[line.item], line.packs) if line.item in said else 0,
            )

    def _packs(self, sent: Sequence[OfferOpening]) -> Iterator[SlipBox]:
        """What packs hold, of those that are in the bags alone."""
        there = {line.item for gone in self._gone for line in gone.packed.lines}
        skus = {sku for _, sku in there}
        for box in self.boxes(sent):
            kept = tuple(sku for sku in box.skus if sku in skus)
            if kept:
                yield replace(box, skus=kept)
        stood_in = {
            each.ware.key: each.ware for gone in self._gone for each in gone.packed.substitutions
        }
        ordered = {
            (line.supplier, line.sku)
            for opening in sent
            for line in self.offer.kit_of(opening).lines
        }
        for key in sorted(stood_in.keys() & there - ordered):
            held = _held(stood_in[key])
            if held:
                yield SlipBox((key[1],), held)

    def _taken_out(self) -> Iterator[TakenOut]:
        """What went back to the shelf out of bags as they were closed, those alike together."""
        of: dict[str, Counter[str]] = {}
        openings = {gone.opening.place: gone.opening for gone in self._gone}
        for gone in self._gone:
            for loose in gone.packed.loose:
                of.setdefault(gone.opening.place, Counter())[loose.item[1]] += loose.packs
        alike: dict[tuple[tuple[str, int], ...], list[str]] = {}
        for place, packs in of.items():
            alike.setdefault(tuple(sorted(packs.items())), []).append(place)
        for items, places in alike.items():
            yield TakenOut(
                self.ranges([openings[place] for place in places]),
                tuple((sku, count * len(places)) for sku, count in items),
            )

    def _to_come(self) -> tuple[NotSent, ...]:
        """Bags that may go and have not, with this shipment or before it."""
        gone = Counter(bag.mark for bag in (*self._shown.bags, *self._shown.before))
        left = [
            replace(opening, quantity=opening.quantity - gone[opening.place])
            for opening in self.offer.openings
            if self.offer.is_firm(opening)
            and self.offer.kit_of(opening).lines
            and opening.quantity > gone[opening.place]
        ]
        return self.apart(left, ()) if left else ()

    def _before(self) -> Iterator[SentBefore]:
        found: dict[int, list[str]] = {}
        for bag in self._shown.before:
            found.setdefault(bag.shipment, []).append(bag.mark)
        for number, marks in sorted(found.items()):
            places = ranges_text(list(dict.fromkeys(marks)), self.every, self.offer.not_quoted)
            yield SentBefore(shipment_label(number), places, len(marks))


def _held(ware: Ware) -> str:
    """What one pack holds in words; empty for a pack of one piece."""
    if sum(part.count for part in ware.holds) < 2:
        return ""
    roles = {role.value: role for role in Role}
    return ", ".join(
        piece_text(roles[part.role], None, part.count) for part in ware.holds if part.role in roles
    )
