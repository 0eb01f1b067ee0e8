"""What a quote says of the openings of the customer's own schedule, row by row."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from wholekit.domain.quotes.offer import Offer, OfferOpening
from wholekit.wording.exports import words_locale
from wholekit.wording.offers import why_held
from wholekit.wording.speech import speaking, tr


@dataclass(frozen=True, slots=True)
class ScheduleColumns:
    """Headings, and the cells of each row; unknown: marks of the sheet that the quote says nothing
    of; missed: marks of the quote that are not on the sheet."""

    headings: tuple[str, ...]
    rows: dict[int, tuple[str | int | Decimal | None, ...]]
    unknown: tuple[str, ...]
    missed: tuple[str, ...]


def schedule_columns(offer: Offer, placed: Sequence[tuple[int, str]]) -> ScheduleColumns:
    """Our columns for rows with their marks, of the base bid, in the customer's language.

    The price of a mark stands in its first row, so that the column adds up to the hardware. An
    opening that is not firm has no kit, price or day, but why. Days are told where the quote tells
    them.
    """
    with speaking(words_locale(offer)):
        return _columns(offer, placed)


def _columns(offer: Offer, placed: Sequence[tuple[int, str]]) -> ScheduleColumns:
    base = offer.chosen()
    quoted = {opening.mark: opening for opening in base.openings}
    out = {opening.mark: opening for opening in offer.left_out or ()}
    rows: dict[int, tuple[str | int | Decimal | None, ...]] = {}
    seen: set[str] = set()
    for row, mark in placed:
        first = mark not in seen
        seen.add(mark)
        opening = quoted.get(mark)
        if opening is not None and offer.is_firm(opening):
            rows[row] = _firm(offer, opening, first=first)
        elif opening is not None or mark in out:
            rows[row] = _open(offer, opening or out[mark])
        else:
            rows[row] = (*_NOTHING, tr("Not in this quote:").rstrip(" :"))
        if offer.ready_shown:
            day = _day(offer, quoted.get(mark))
            rows[row] = (*rows[row], day)
    money = f" [{offer.currency}]"
    headings = (
        tr("Kit"),
        tr("Spring size"),
        tr("Quantity"),
        tr("Net each") + money,
        tr("Price") + money,
        tr("Open"),
    )
    return ScheduleColumns(
        (*headings, tr("Expected to be ready")) if offer.ready_shown else headings,
        rows,
        tuple(mark for mark in dict.fromkeys(mark for _, mark in placed)
              if mark not in quoted and mark not in out),
        tuple(mark for mark in quoted if mark not in seen),
    )  # fmt: skip


# Kit, size, quantity and prices of an opening that is not firm.
_NOTHING = ("", None, None, None, None)


def _firm(
    offer: Offer, opening: OfferOpening, *, first: bool
) -> tuple[str | int | Decimal | None, ...]:
    kit = offer.kit_of(opening)
    items = ", ".join(f"{line.quantity} × {line.sku}" for line in kit.lines)
    # Of a mark in several rows, all its openings stand in the first.
    of_all = (opening.quantity, kit.price.decimal, opening.price.decimal)
    return items, kit.spring_size, *(of_all if first else (None, None, None)), ""


def _open(offer: Offer, opening: OfferOpening) -> tuple[str | int | Decimal | None, ...]:
    words = offer.sent or offer.words
    return *_NOTHING, " ".join(why_held(offer, opening, words.kits))


def _day(offer: Offer, opening: OfferOpening | None) -> str:
    """The last day on which a kit of the opening is ready, empty where one has none."""
    if opening is None or not offer.is_firm(opening):
        return ""
    days = [part.day for part in opening.ready]
    known = [day for day in days if day is not None]
    return max(known).isoformat() if known and len(known) == len(days) else ""
