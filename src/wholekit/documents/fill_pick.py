"""From an offer to the pick room's list: what goes into which bag."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import date

from wholekit.documents.ask_office import asks_office
from wholekit.documents.fill import (
    goods_of,
    head_of,
    house_head,
    leaf_size,
    missing_of,
    mount_said,
    words_in,
)
from wholekit.documents.papers import (
    BinLine,
    InHand,
    LabelWords,
    PickLine,
    PickListPaper,
    PickOpening,
)
from wholekit.domain.orders.in_room import InRoom
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.draws import Draw
from wholekit.domain.quotes.filling import Filling, bag_count, filling_of, key_of
from wholekit.domain.quotes.offer import OfferOpening, OfferWords
from wholekit.domain.walk import AS_NAMED, Walk
from wholekit.domain.working_days import WorkingDays
from wholekit.wording.offers import released_texts
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import ENGLISH, speaking, tr


def pick_list_paper(
    offer: Offer,
    notice: str = "",
    walk: Walk = AS_NAMED,
    calendar: WorkingDays | None = None,
    language: str = ENGLISH,
    in_room: InRoom | None = None,
) -> PickListPaper:
    """The pick room's list: the walk from bin to bin, then bag by bag, then the bags that are held.

    Held are bags with an open stop or a missing piece; they take no stock from those that may go.
    What is short is shared so that whole bags come of it. It stays in the house, whose language
    it is in [CLDR code], its days too, whoever the customer is; sentences about the kits are in it
    where the quote was sent in it, else in English.
    offer: what is had (see `Offer.chosen`). Other goods come after the walk. walk: the house's.
    calendar: by which more of an item comes that no kit waits for the longest; the offer keeps the
    days of the others alone. in_room: what the pick room has done of it, where it was released: the
    list is then of what is left to be packed.
    """
    left, in_hand, goods, offered = None, None, goods_of(offer), offer
    if in_room is not None:
        in_hand = _in_hand(offer, in_room)
        # Nobody scans what goes beside the kits: it may be to take until the last bag has left.
        goods = () if in_room.gone and not in_room.not_released(offer) else goods
        left = in_room.left(offer)
        offer = left.offer
    of_all = {each.place: bag_count(offered, each) for each in offered.openings}
    filling = filling_of(offer, walk, left.whole if left else None)
    sound = [opening for opening in offer.openings if offer.is_firm(opening)]
    held = [opening for opening in offer.openings if not offer.is_firm(opening)]
    words, head = words_in(offer, language), house_head(offer, language, notice)
    comes = _coming(offer)
    with speaking(head.words_of):
        openings = tuple(
            replace(
                part,
                numbers=left.numbers[key_of(opening), part.waits] if left else (),
                of_all=of_all[opening.place],
            )
            for opening in sound
            for part in _parts(filling, words, opening)
        )
        apart = tuple(_opening(filling, words, opening, 1, opening.quantity) for opening in held)
    return PickListPaper(
        head,
        tuple(
            _bin_line(
                draw,
                words,
                filling.split(draw),
                comes.get(draw.item.sku) or _lead_day(draw, offer.ready_asked, calendar),
            )
            for draw in filling.draws
        ),
        openings,
        sum(opening.bags for opening in openings),
        apart,
        goods,
        offer.ready_asked,
        offer.not_quoted,
        in_hand,
        _on_labels(offer, language),
    )


def _on_labels(offer: Offer, language: str) -> LabelWords | None:
    """What the labels call what the list does, where they are in another language."""
    labels = head_of(offer, language=(offer.sent or offer.words).language)
    if labels.language == language:
        return None
    with speaking(labels.words_of):
        return LabelWords(labels.language, tr("HOLD"), tr("WAITS"), tr("SHORT"))


def _in_hand(offer: Offer, in_room: InRoom) -> InHand:
    every = [opening.place for opening in offer.openings]
    return InHand(
        in_room.day,
        len(in_room.bags),
        in_room.packed,
        in_room.shipped,
        ranges_text(in_room.done(offer), every),
        ranges_text(in_room.not_released(offer), every),
    )


def _parts(filling: Filling, words: OfferWords, opening: OfferOpening) -> Iterator[PickOpening]:
    """An opening's bags that are complete, then those that wait."""
    waiting = filling.waiting(opening)
    whole = opening.quantity - waiting
    if whole:
        yield _opening(filling, words, opening, 1, whole)
    if waiting:
        yield _opening(filling, words, opening, whole + 1, waiting, waits=True)


def _opening(
    filling: Filling,
    words: OfferWords,
    opening: OfferOpening,
    first: int,
    count: int,
    *,
    waits: bool = False,
) -> PickOpening:
    """So many of an opening's bags, from a number on."""
    offer = filling.offer
    kit, said = offer.kit_of(opening), words.kits[opening.kit]
    # Nothing is taken for one that is held, so that nothing of it is short either.
    sound = offer.is_firm(opening)
    lines = (
        PickLine(
            filled.line.sku,
            words.item(filled.line),
            filled.line.finish,
            filled.line.bin,
            filled.line.quantity,
            filled.asked,
            filled.short if sound else 0,
        )
        for filled in filling.bags(opening, first, count)
    )
    return PickOpening(
        mark=opening.place,
        quantity=count,
        bags=min(count, bag_count(offer, opening)),
        size=leaf_size(kit, said),
        mount=mount_said(kit, said, words),
        size_set=kit.spring_size,
        lines=tuple(lines),
        stops=tuple(dict.fromkeys(said.findings[at][0] for at in offer.open_stops(opening))),
        released=released_texts(offer, opening, words),
        missing=missing_of(kit, said, words.language),
        note=opening.note,
        room=opening.room,
        fire_minutes=kit.type.fire_minutes or 0,
        asks_office=asks_office(offer, opening),
        waits=waits,
        first=first,
    )


def _coming(offer: Offer) -> dict[str, date]:
    """By SKU the day on which more can be here, of those that a kit waits for the longest."""
    found: dict[str, date] = {}
    for opening in offer.openings:
        for part in opening.ready:
            for sku in part.waits_for:
                if part.day is not None:
                    # Two suppliers may sell under one SKU; the later day holds for both.
                    found[sku] = max(found.get(sku, part.day), part.day)
    return found


def _lead_day(draw: Draw, asked: date | None, calendar: WorkingDays | None) -> date | None:
    """The day on which more of an item can be here by its lead days; None where none is known."""
    days = draw.item.lead_days
    return calendar.after(asked, days) if calendar and asked and days else None


def _bin_line(
    draw: Draw, words: OfferWords, split: tuple[tuple[str, int], ...], comes: date | None
) -> BinLine:
    item = draw.item
    return BinLine(
        item.bin,
        item.sku,
        words.item(item),
        item.finish,
        draw.quantity,
        draw.short,
        split,
        draw.item.lead_days or 0,
        comes if draw.short else None,
    )
