"""From an offer to the pick room's list: what goes into which bag."""

from wholekit.documents.fill import head_of, missing_of
from wholekit.documents.papers import (
    BinLine,
    PickExtra,
    PickLine,
    PickListPaper,
    PickOpening,
)
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.draws import Draw, draws_of
from wholekit.domain.quotes.offer import KitWords, OfferKit, OfferOpening
from wholekit.domain.tax import LineKind
from wholekit.wording.offers import released_texts


def pick_list_paper(offer: Offer, notice: str = "") -> PickListPaper:
    """The pick room's list: the walk from bin to bin, then bag by bag, then the bags that are held.

    Held are bags with an open stop or a missing piece; they take no stock from those that may go.
    Short packs fall on the last bags. offer: what is had (see `Offer.chosen`). Extra lines of
    hardware are goods, and come after the walk; freight, labour and lines of text only are left
    out.
    """
    sound = [opening for opening in offer.openings if offer.is_firm(opening)]
    held = [opening for opening in offer.openings if not offer.is_firm(opening)]
    draws = draws_of(offer, sound)
    # By supplier too: two of them may sell under the same SKU.
    left = {(draw.item.supplier, draw.item.sku): draw.item.on_hand for draw in draws}
    openings = tuple(_opening(offer, opening, left) for opening in sound)
    return PickListPaper(
        head_of(offer, notice=notice),
        tuple(_bin_line(draw) for draw in draws),
        openings,
        sum(opening.bags for opening in openings),
        tuple(_opening(offer, opening, None) for opening in held),
        tuple(
            PickExtra(extra.description, extra.quantity)
            for extra in offer.extras
            if extra.kind is LineKind.HARDWARE and extra.unit is not None
        ),
    )


def _opening(
    offer: Offer, opening: OfferOpening, left: dict[tuple[str, str], int] | None
) -> PickOpening:
    """left: what is on the shelf, of which it takes its part; None where nothing is taken."""
    kit, said = offer.kit_of(opening), offer.words.kits[opening.kit]
    lines = []
    for line in kit.lines:
        quantity = line.quantity * opening.quantity
        taken = quantity
        if left is not None:
            key = (line.supplier, line.sku)
            taken = min(quantity, left[key])
            left[key] -= taken
        lines.append(
            PickLine(
                line.sku,
                line.description,
                line.finish,
                line.bin,
                line.quantity,
                quantity,
                quantity - taken,
            )
        )
    return PickOpening(
        mark=opening.place,
        quantity=opening.quantity,
        bags=opening.quantity,
        size=_leaf(kit, said),
        mount=said.mount,
        size_set=kit.spring_size,
        lines=tuple(lines),
        stops=tuple(said.findings[at][0] for at in offer.open_stops(opening)),
        released=released_texts(offer, opening, offer.words),
        missing=missing_of(kit, said),
        note=opening.note,
    )


def _leaf(kit: OfferKit, said: KitWords) -> str:
    return f"pair, each leaf {said.size}" if kit.type.leaves == 2 else said.size


def _bin_line(draw: Draw) -> BinLine:
    item = draw.item
    return BinLine(
        item.bin,
        item.sku,
        item.description,
        item.finish,
        draw.quantity,
        draw.short,
        draw.marks,
        draw.item.lead_days or 0,
    )
