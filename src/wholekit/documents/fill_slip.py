"""From an offer to the packing slip that goes with the goods, in the customer's language."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from wholekit.documents.fill import goods_of, head_of
from wholekit.documents.fill_pick import Share, shares_of
from wholekit.documents.packing_slip import (
    PackingSlipPaper,
    SlipKit,
    SlipLine,
    SlipMark,
)
from wholekit.documents.slip_parts import SlipParts
from wholekit.domain.errors import CallError
from wholekit.domain.openings import marks_named
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.draws import draws_of
from wholekit.domain.quotes.offer import OfferOpening, OfferWords
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


def packing_slip_paper(offer: Offer, notice: str = "", of: Consignment = WHOLE) -> PackingSlipPaper:
    """The slip of what is had (see `Offer.chosen`): bags of equal contents together, each mark with
    its room, then what does not go along and why.

    Openings with an open stop or a missing piece never go. Raises CallError `slip-marks-unknown`
    for names that mean no opening, `slip-marks-held` where one that was chosen may not go.
    """
    words = offer.sent or offer.words
    head = head_of(offer, language=words.language)
    with speaking(head.words_of):
        return _Slip(offer, words, of).paper(notice)


class _Slip(SlipParts):
    """The slip of what is planned."""

    def __init__(self, offer: Offer, words: OfferWords, of: Consignment) -> None:
        super().__init__(offer, words)
        self._of = of

    def paper(self, notice: str) -> PackingSlipPaper:
        offer = self.offer
        chosen = self._chosen()
        sent = [one for one in offer.openings if one.place in chosen and offer.is_firm(one)]
        held = [one for one in offer.openings if not offer.is_firm(one)]
        later = [one for one in offer.openings if offer.is_firm(one) and one.place not in chosen]
        shares = shares_of(offer, sent, draws_of(offer, sent))
        kits = tuple(self._kits(sent, shares))
        short = any(mark.short for kit in kits for mark in kit.marks)
        kinds = [offer.kit_of(opening).type for opening in sent]
        return PackingSlipPaper(
            head_of(offer, language=self.words.language, notice=tr(notice) if notice else ""),
            self.offer.goes_to,
            kits,
            openings=sum(opening.quantity for opening in sent),
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

    def _kits(self, sent: Sequence[OfferOpening], shares: Mapping[str, Share]) -> Iterator[SlipKit]:
        alike: dict[tuple[object, ...], list[OfferOpening]] = {}
        for opening in sent:
            # An empty bag is none.
            if self.offer.kit_of(opening).lines:
                alike.setdefault(self._contents(opening), []).append(opening)
        for openings in alike.values():
            yield self._kit(openings, shares)

    def _contents(self, opening: OfferOpening) -> tuple[object, ...]:
        """What two bags must have equal to stand as one."""
        lines = self.offer.kit_of(opening).lines
        return tuple((line.supplier, line.sku, line.quantity) for line in lines)

    def _short(self, opening: OfferOpening, share: Share) -> Iterator[tuple[str, int]]:
        """What of its items the shelf has not for an opening's bags [packs]."""
        left = dict(share)
        for line in self.offer.kit_of(opening).lines:
            key, needed = (line.supplier, line.sku), line.quantity * opening.quantity
            lacks = max(0, needed - left[key])
            left[key] = max(0, left[key] - needed)
            if lacks:
                yield line.sku, lacks

    def _kit(self, openings: Sequence[OfferOpening], shares: Mapping[str, Share]) -> SlipKit:
        bags = sum(opening.quantity for opening in openings)
        lacks = [dict(self._short(opening, shares[opening.place])) for opening in openings]
        return SlipKit(
            self.ranges(openings),
            bags,
            tuple(
                SlipLine(
                    line.sku,
                    line.description,
                    line.finish,
                    line.quantity,
                    line.quantity * bags,
                    short=sum(of_mark.get(line.sku, 0) for of_mark in lacks),
                )
                for line in self.offer.kit_of(openings[0]).lines
            ),
            tuple(
                SlipMark(
                    opening.place,
                    opening.quantity,
                    self.about(opening),
                    opening.note,
                    short=tuple(of_mark.items()),
                )
                for opening, of_mark in zip(openings, lacks, strict=True)
            ),
        )
