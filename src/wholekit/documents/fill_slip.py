"""From an offer to the packing slip that goes with the goods, in the customer's language."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from wholekit.documents.fill import goods_of, head_of
from wholekit.documents.packing_slip import (
    PackingSlipPaper,
    SlipKit,
    SlipLine,
    SlipMark,
)
from wholekit.documents.slip_parts import SlipParts
from wholekit.domain.catalog import ItemKey
from wholekit.domain.errors import CallError
from wholekit.domain.openings import marks_named
from wholekit.domain.orders.in_room import InRoom
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.filling import FilledLine, bag_count, filling_of
from wholekit.domain.quotes.offer import OfferKit, OfferOpening, OfferWords
from wholekit.wording.cautions import cautions_for_receivers
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import speaking, tr


@dataclass(frozen=True, slots=True)
class Consignment:
    """What goes together. marks: names of openings, as `marks_named` reads them; none: all that
    may go. parcel: which of how many. order: the customer's own number."""

    marks: tuple[str, ...] = ()
    parcel: tuple[int, int] | None = None
    order: str = ""


WHOLE = Consignment()


def packing_slip_paper(
    offer: Offer, notice: str = "", of: Consignment = WHOLE, in_room: InRoom | None = None
) -> PackingSlipPaper:
    """The slip of what is had (see `Offer.chosen`): bags of equal contents together, each mark with
    its room, then what does not go along and why.

    Openings with an open stop or a missing piece never go. Raises CallError `slip-marks-unknown`
    for names that mean no opening, `slip-marks-held` where one that was chosen may not go. in_room:
    what the pick room has done of it, where it was released.
    """
    words = offer.sent or offer.words
    head = head_of(offer, language=words.language)
    with speaking(head.words_of):
        return _Slip(offer, words, of, in_room).paper(notice)


class _Slip(SlipParts):
    """The slip of what is planned."""

    def __init__(
        self, offer: Offer, words: OfferWords, of: Consignment, in_room: InRoom | None
    ) -> None:
        # What was quoted for an opening: other items may stand in for some of it by now.
        self._quoted = {one.place: _packs(offer.kit_of(one)) for one in offer.openings}
        whole = None
        if in_room is not None:
            filled = in_room.filled(offer)
            offer, whole = filled.offer, filled.whole
            words = offer.sent or offer.words
        super().__init__(offer, words)
        self.every = [*dict.fromkeys(self.every)]
        self._of = of
        # Over all that may go: what goes now may wait for what was kept for another.
        self._filling = filling_of(offer, whole=whole)

    def paper(self, notice: str) -> PackingSlipPaper:
        offer = self.offer
        chosen = self._chosen()
        sent = [one for one in offer.openings if one.place in chosen and offer.is_firm(one)]
        held = [one for one in offer.openings if not offer.is_firm(one)]
        later = [one for one in offer.openings if offer.is_firm(one) and one.place not in chosen]
        kits = tuple(self._kits(sent))
        short = any(mark.short for kit in kits for mark in kit.marks)
        kinds = [offer.kit_of(opening).type for opening in sent]
        return PackingSlipPaper(
            head_of(offer, language=self.words.language, notice=tr(notice) if notice else ""),
            self.offer.goes_to,
            kits,
            openings=sum(bag_count(offer, opening) for opening in sent),
            bags=sum(kit.bags for kit in kits),
            packs=sum(line.here for kit in kits for line in kit.lines),
            ordered=sum(line.quantity for kit in kits for line in kit.lines),
            boxes=tuple(self.boxes(sent)),
            extras=goods_of(offer),
            held=tuple(self.held(held)),
            later=self.apart(later, ()) if later else (),
            cautions=cautions_for_receivers(fire=any(kind.fire_minutes for kind in kinds)),
            part=bool(self._of.marks),
            parcel=self._of.parcel,
            attention=offer.customer.contact,
            order=self._of.order,
            asked=(offer.ready_asked or offer.issued) if short else None,
        )

    def _chosen(self) -> set[str]:
        """The places that go together. Raises CallError."""
        if not self._of.marks:
            return set(self.every)
        found, unknown = marks_named(self._of.marks, self.every)
        if unknown or not found:
            known = ranges_text(self.every, self.every) or "none"
            raise CallError("slip-marks-unknown", given=unknown or self._of.marks, known=known)
        firm = {one.place for one in self.offer.openings if self.offer.is_firm(one)}
        stopped = [place for place in found if place not in firm]
        if stopped:
            raise CallError("slip-marks-held", given=ranges_text(stopped, self.every))
        return set(found)

    def _kits(self, sent: Sequence[OfferOpening]) -> Iterator[SlipKit]:
        alike: dict[tuple[object, ...], list[OfferOpening]] = {}
        for opening in sent:
            # An empty bag is none.
            if self.offer.kit_of(opening).lines:
                alike.setdefault(self._contents(opening), []).append(opening)
        for openings in alike.values():
            yield self._kit(openings)

    def _contents(self, opening: OfferOpening) -> tuple[object, ...]:
        """What two bags must have equal to stand as one."""
        lines = self.offer.kit_of(opening).lines
        gone, came = self._exchanged(opening)
        taken = tuple((line.supplier, line.sku, line.quantity) for line in lines)
        return gone, tuple(sorted(came.items())), taken

    def _exchanged(self, opening: OfferOpening) -> tuple[str, Counter[ItemKey]]:
        """SKU of the quoted item that others stand in for in a bag of it, empty where it is not one
        alone; and those others [packs]."""
        quoted, now = self._quoted[opening.place], _packs(self.offer.kit_of(opening))
        gone = [*(quoted - now)]
        return gone[0][1] if len(gone) == 1 else "", now - quoted

    def _kit(self, openings: Sequence[OfferOpening]) -> SlipKit:
        bags = sum(opening.quantity for opening in openings)
        filled = [self._filling.lines(opening) for opening in openings]
        gone, came = self._exchanged(openings[0])
        quoted = self._quoted[openings[0].place]
        return SlipKit(
            self.ranges(openings),
            bags,
            tuple(
                SlipLine(
                    same[0].line.sku,
                    self.words.item(same[0].line),
                    same[0].line.finish,
                    same[0].line.quantity,
                    sum(each.asked for each in same),
                    gone if came[key] else "",
                    came[key] if quoted[key] else 0,
                    short=sum(each.short for each in same),
                )
                for same in zip(*filled, strict=True)
                for key in ((same[0].line.supplier, same[0].line.sku),)
            ),
            tuple(
                SlipMark(
                    opening.place,
                    opening.quantity,
                    self.about(opening),
                    opening.note,
                    short=_lacking(lines),
                    waits=self._filling.waiting(opening),
                )
                for opening, lines in zip(openings, filled, strict=True)
            ),
        )


def _packs(kit: OfferKit) -> Counter[ItemKey]:
    """What a bag of it holds, by item [packs]."""
    found = Counter[ItemKey]()
    for line in kit.lines:
        found[line.supplier, line.sku] += line.quantity
    return found


def _lacking(lines: Iterable[FilledLine]) -> tuple[tuple[str, int], ...]:
    """What of its items the shelf has not for an opening's bags: SKU and packs."""
    lacks = Counter[tuple[str, str]]()
    for filled in lines:
        lacks[filled.line.supplier, filled.line.sku] += filled.short
    return tuple((sku, packs) for (_, sku), packs in lacks.items() if packs)
