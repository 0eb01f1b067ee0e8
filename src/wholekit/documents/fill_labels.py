"""From an offer to a label for each bag."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from wholekit.documents.ask_office import ask_text
from wholekit.documents.fill import head_of, missing_of
from wholekit.documents.kit_label import BagContent, KitLabel
from wholekit.documents.label_stock import SHEET_10, LabelStock
from wholekit.documents.papers import KitLabelsPaper
from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState, ReleasedBag
from wholekit.domain.orders.in_room import InRoom
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.bag_id import BagId
from wholekit.domain.quotes.filling import Filling, bag_count, filling_of
from wholekit.domain.quotes.offer import OfferKit, OfferOpening, OfferWords
from wholekit.wording.speech import speaking, tr


def labels_paper(
    offer: Offer,
    notice: str = "",
    *,
    issued: Offer | None = None,
    stock: LabelStock = SHEET_10,
    cards: Mapping[str, int] = MappingProxyType({}),
) -> KitLabelsPaper:
    """A label for each bag of what is had; none for a kit that has no line.

    issued: the offer as it was frozen, which `offer` is chosen from: an opening's place in it is
    part of its bags' ids, whatever alternates are taken. None: it is a draft, which may bear the
    number of the revision to come, and its bags have no id. cards: by opening, the number of its
    setting card; a bag that is held names none.
    """
    frozen = issued.openings if issued is not None and issued.quote and issued.revision else ()
    places = {opening.place: at for at, opening in enumerate(frozen, 1)}
    words = offer.sent or offer.words
    filling = filling_of(offer)
    head = head_of(offer, language=words.language)
    # They go out with the goods: in the job's language.
    with speaking(head.words_of):
        labels = tuple(
            replace(
                _label(filling, words, opening, places.get(opening.place), bag),
                card=cards.get(opening.place, 0) if offer.is_firm(opening) else 0,
            )
            for opening in offer.openings
            for bag in range(1, bag_count(offer, opening) + 1)
        )
        # What may not ship comes last, apart from what may.
        labels = tuple(sorted(labels, key=lambda label: label.held))
        return KitLabelsPaper(replace(head, notice=tr(notice) if notice else ""), labels, stock)


def labels_together(papers: Sequence[KitLabelsPaper]) -> KitLabelsPaper:
    """Labels of several orders as one paper, those of each on sheets of their own."""
    first, *others = papers
    return replace(first, more=tuple(others))


def labels_of_bags(paper: KitLabelsPaper, bags: Iterable[ReleasedBag]) -> KitLabelsPaper:
    """The labels of some bags alone, with the ids under which they were released and what they
    hold, or are to hold now: an item may stand in for another. What the shelf had when the offer
    was priced is no matter any more. Raises CallError where none has any."""
    there = {(bag.mark, bag.number): bag for bag in bags}
    labels = tuple(
        replace(label, bag_id=bag.id, contents=_contents(bag, label))
        for label in paper.labels
        if (bag := there.get((label.mark, label.bag)))
    )
    if not labels:
        raise CallError("labels-nothing", given=paper.head.number)
    return replace(paper, labels=labels)


def labels_as_released(paper: KitLabelsPaper, in_room: InRoom) -> KitLabelsPaper:
    """The labels of an offer whose order is in the pick room: of a bag for which all is promised or
    packed, what it holds; of one that waits, that it does; of what was not released, as it was
    quoted."""
    there = {(bag.mark, bag.number): bag for bag in in_room.bags}

    def now(label: KitLabel) -> KitLabel:
        bag = there.get((label.mark, label.bag))
        if bag is None:
            return label
        contents = _contents(bag, label)
        if bag.state is BagState.WAITING:
            # Nothing is promised to it: what of it is on the shelf may be another's.
            contents = tuple(replace(each, short=each.quantity) for each in contents)
        return replace(label, bag_id=bag.id, contents=contents)

    return replace(paper, labels=tuple(map(now, paper.labels)))


def _contents(bag: ReleasedBag, label: KitLabel) -> tuple[BagContent, ...]:
    needs = [(item[1], packs) for item, packs in bag.needs]
    if bag.packed is not None:
        needs = [(line.item[1], line.packs) for line in bag.packed.lines]
    asked = Counter[str]()
    for content in label.contents:
        asked[content.sku] += content.quantity
    there = Counter[str]()
    for sku, packs in needs:
        there[sku] += packs
    # As the quote has them, unless something else is in it.
    if there == asked:
        return tuple(replace(content, short=0) for content in label.contents)
    said = {content.sku: content.description for content in label.contents}
    return tuple(BagContent(sku, packs, said.get(sku, "")) for sku, packs in there.items())


def _label(
    filling: Filling, words: OfferWords, opening: OfferOpening, place: int | None, bag: int
) -> KitLabel:
    offer = filling.offer
    kit, said = offer.kit_of(opening), words.kits[opening.kit]
    held = not offer.is_firm(opening)
    return KitLabel(
        mark=opening.place,
        bag=bag,
        bags=opening.quantity,
        size=said.size,
        mount=said.mount,
        size_set=kit.spring_size,
        hand=_hand(kit),
        contents=tuple(
            BagContent(
                filled.line.sku,
                filled.asked,
                words.item(filled.line),
                # Nothing is picked for one that is held, so that nothing of it is short either.
                0 if held else filled.short,
            )
            for filled in filling.bag(opening, bag)
        ),
        finish=kit.finish,
        alerts=tuple(_alerts(offer, opening)),
        held=held,
        room=opening.room,
        bag_id="" if place is None else _bag_id(offer, place, bag),
        missing=tuple(f"{lack.quantity} × {lack.piece}" for lack in missing_of(kit, said)),
        stops=tuple(dict.fromkeys(said.findings[at][0] for at in offer.open_stops(opening))),
    )


def _alerts(offer: Offer, opening: OfferOpening) -> list[str]:
    kit = offer.kit_of(opening)
    alerts = []
    if kit.type.fire_minutes:
        alerts.append(tr("FIRE DOOR, {minutes} MINUTES").format(minutes=kit.type.fire_minutes))
    if kit.type.accessible:
        alerts.append(tr("ACCESSIBLE"))
    if opening.released:
        alerts.append(tr("STOP RELEASED BY NAME"))
    if asked := ask_text(offer, opening):
        alerts.append(asked)
    return alerts


def _bag_id(offer: Offer, place: int, bag: int) -> str:
    number = int(offer.quote.rpartition("-")[2])
    return str(BagId(number, offer.revision, place, bag))


def _hand(kit: OfferKit) -> str:
    if kit.type.leaves == 2:
        return tr("pair")
    return kit.type.hand.value if kit.type.hand else tr("hand not stated")
