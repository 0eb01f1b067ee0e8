"""From an offer to the packing slip that goes with the goods, in the customer's language."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from wholekit.documents.fill import goods_of, head_of, leaf_size
from wholekit.documents.packing_slip import (
    NotSent,
    PackingSlipPaper,
    SlipBox,
    SlipKit,
    SlipLine,
    SlipMark,
)
from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.errors import CallError
from wholekit.domain.openings import marks_named
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferKit, OfferLine, OfferOpening, OfferWords
from wholekit.wording.cautions import cautions_for_receivers
from wholekit.wording.offers import why_held
from wholekit.wording.openings import piece_text
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
# The order of pieces in words: as in the house's list of roles.
_PIECES = {role: at for at, role in enumerate(Role)}


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


class _Slip:
    """A slip's parts, in the language in use."""

    def __init__(self, offer: Offer, words: OfferWords, of: Consignment) -> None:
        self._offer = offer
        self._words = words
        self._of = of
        self._every = [opening.place for opening in offer.openings]

    def paper(self, notice: str) -> PackingSlipPaper:
        offer = self._offer
        chosen = self._chosen()
        sent = [one for one in offer.openings if one.place in chosen and offer.is_firm(one)]
        held = [one for one in offer.openings if not offer.is_firm(one)]
        later = [one for one in offer.openings if offer.is_firm(one) and one.place not in chosen]
        kits = tuple(self._kits(sent))
        kinds = [offer.kit_of(opening).type for opening in sent]
        return PackingSlipPaper(
            head_of(offer, language=self._words.language, notice=tr(notice) if notice else ""),
            self._ship_to(),
            kits,
            openings=sum(opening.quantity for opening in sent),
            bags=sum(kit.bags for kit in kits),
            packs=sum(line.quantity for kit in kits for line in kit.lines),
            boxes=tuple(self._boxes(sent)),
            extras=goods_of(offer),
            held=tuple(self._held(held)),
            later=self._apart(later, ()) if later else (),
            cautions=cautions_for_receivers(fire=any(kind.fire_minutes for kind in kinds)),
            part=bool(self._of.marks),
            parcel=self._of.parcel,
            attention=offer.customer.contact,
            order=self._of.order,
        )

    def _chosen(self) -> set[str]:
        """The places that go together. Raises CallError."""
        if not self._of.marks:
            return set(self._every)
        found, unknown = marks_named(self._of.marks, self._every)
        if unknown or not found:
            known = ranges_text(self._every, self._every) or "none"
            raise CallError("slip-marks-unknown", given=unknown or self._of.marks, known=known)
        firm = {one.place for one in self._offer.openings if self._offer.is_firm(one)}
        stopped = [place for place in found if place not in firm]
        if stopped:
            raise CallError("slip-marks-held", given=ranges_text(stopped, self._every))
        return set(found)

    def _ship_to(self) -> tuple[str, ...]:
        """The place of delivery; where none was named the site, else the customer's address."""
        offer = self._offer
        if offer.ship_to:
            return (offer.ship_to, *offer.ship_to_address)
        site = tuple(line for line in (offer.site, *offer.site_address) if line)
        return site or (offer.customer.name, *offer.customer.address)

    def _kits(self, sent: Sequence[OfferOpening]) -> Iterator[SlipKit]:
        alike: dict[tuple[object, ...], list[OfferOpening]] = {}
        for opening in sent:
            # An empty bag is none.
            if self._offer.kit_of(opening).lines:
                alike.setdefault(self._contents(opening), []).append(opening)
        for openings in alike.values():
            yield self._kit(openings)

    def _contents(self, opening: OfferOpening) -> tuple[object, ...]:
        """What two bags must have equal to stand as one."""
        lines = self._offer.kit_of(opening).lines
        return tuple((line.supplier, line.sku, line.quantity) for line in lines)

    def _kit(self, openings: Sequence[OfferOpening]) -> SlipKit:
        bags = sum(opening.quantity for opening in openings)
        return SlipKit(
            self._ranges(openings),
            bags,
            tuple(
                SlipLine(
                    line.sku,
                    line.description,
                    line.finish,
                    line.quantity,
                    line.quantity * bags,
                )
                for line in self._offer.kit_of(openings[0]).lines
            ),
            tuple(
                SlipMark(opening.place, opening.quantity, self._about(opening), opening.note)
                for opening in openings
            ),
        )

    def _about(self, opening: OfferOpening) -> str:
        said = self._words.kits[opening.kit]
        return f"{leaf_size(self._offer.kit_of(opening), said)}, {said.mount}"

    def _boxes(self, sent: Sequence[OfferOpening]) -> Iterator[SlipBox]:
        """What packs of several pieces hold, used here or not; items of equal packs together."""
        packs: dict[tuple[str, str], str] = {}
        for at in dict.fromkeys(opening.kit for opening in sent):
            kit = self._offer.kits[at]
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

    def _held(self, held: Sequence[OfferOpening]) -> Iterator[NotSent]:
        alike: dict[tuple[str, ...], list[OfferOpening]] = {}
        for opening in held:
            reasons = tuple(dict.fromkeys(why_held(self._offer, opening, self._words.kits)))
            alike.setdefault(reasons, []).append(opening)
        for reasons, openings in alike.items():
            yield from self._apart(openings, reasons)

    def _apart(
        self, openings: Sequence[OfferOpening], reasons: tuple[str, ...]
    ) -> tuple[NotSent, ...]:
        bags = sum(opening.quantity for opening in openings)
        return (NotSent(self._ranges(openings), bags, reasons),)

    def _ranges(self, openings: Iterable[OfferOpening]) -> str:
        return ranges_text(
            [opening.place for opening in openings], self._every, self._offer.not_quoted
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
