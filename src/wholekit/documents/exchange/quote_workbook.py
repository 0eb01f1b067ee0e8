"""An issued quote as a workbook: totals, openings, items, extra lines, and what is open.

In the customer's language. No cost is in it.
"""

from collections.abc import Iterator

from wholekit.documents.exchange.workbook import Cell, WorkSheet, workbook_bytes
from wholekit.documents.papers import page_size_of
from wholekit.domain.quotes.offer import Offer, OfferOpening, Totals
from wholekit.wording.amounts import say_money, say_rate
from wholekit.wording.exports import leaf_text, mail_subject, question_texts, words_locale
from wholekit.wording.offers import why_held
from wholekit.wording.speech import speaking, tr


def quote_workbook(offer: Offer) -> bytes:
    """The quote as it was sent, base bid and alternates; the same revision, the same bytes."""
    with speaking(words_locale(offer)):
        return workbook_bytes(
            list(_sheets(offer)),
            title=mail_subject(offer),
            author=offer.house_name,
            day=offer.issued,
            page=page_size_of(offer.customer.locale),
        )


def _sheets(offer: Offer) -> Iterator[WorkSheet]:
    money = f" [{offer.currency}]"
    yield WorkSheet(tr("Quote"), (tr("Name"), tr("Value")), tuple(_facts(offer)))
    yield WorkSheet(
        tr("Openings"),
        (
            tr("Mark"),
            tr("Alternate"),
            tr("Quantity"),
            tr("Leaf size"),
            tr("Kit"),
            tr("Mount"),
            tr("Spring size"),
            tr("Finish"),
            tr("Net each") + money,
            tr("Price") + money,
            tr("Note"),
            tr("Open"),
        ),
        tuple(_opening(offer, opening) for opening in offer.openings),
    )
    yield WorkSheet(
        tr("Items"),
        (
            tr("Mark"),
            tr("Alternate"),
            tr("Item"),
            tr("Description"),
            tr("Finish"),
            tr("For one opening"),
            tr("Quantity"),
            tr("Net each") + money,
            tr("Price") + money,
        ),
        tuple(_items(offer)),
    )
    yield WorkSheet(
        tr("Extra lines"),
        (
            tr("Description"),
            tr("Alternate"),
            tr("Quantity"),
            tr("Net each") + money,
            tr("Price") + money,
        ),
        tuple(
            (extra.description, extra.alternate, extra.quantity, extra.unit, extra.total)
            for extra in offer.extras
        ),
    )
    yield WorkSheet(tr("Open"), (tr("Mark"), tr("Quantity"), tr("Reason")), tuple(_open(offer)))


def _facts(offer: Offer) -> Iterator[tuple[Cell, ...]]:
    yield tr("Quote"), offer.label
    yield tr("Date"), offer.issued
    yield tr("Valid until"), offer.valid_until
    yield tr("Customer"), offer.customer.name
    yield tr("Job"), offer.job_name
    yield tr("Our job"), offer.job
    yield from _totals(offer.totals, offer.customer.locale)
    if offer.stopped:
        yield f"{tr('Firm of the hardware')} [{offer.currency}]", offer.firm
    for alternate in offer.alternates:
        said = tr("Alternate {code}: {title}")
        name = said.format(code=alternate.code, title=alternate.title)
        yield f"{name} [{offer.currency}]", alternate.change.gross


def _totals(totals: Totals, locale: str) -> Iterator[tuple[Cell, ...]]:
    currency = totals.net.currency
    yield f"{tr('Hardware')} [{currency}]", totals.hardware
    if totals.extras.minor:
        yield f"{tr('Extra lines')} [{currency}]", totals.extras
    if totals.freight.minor:
        yield f"{tr('Freight')} [{currency}]", totals.freight
    yield f"{tr('Net')} [{currency}]", totals.net
    for tax in totals.taxes:
        said = tr("{tax}, {rate} of {base}")
        rate, base = say_rate(tax.rate, locale), say_money(tax.base, locale)
        yield said.format(tax=tax.name, rate=rate, base=base), tax.tax
    if totals.exempt:
        yield tr("Exempt, certificate {number}").format(number=totals.exempt), None
    yield f"{tr('Total')} [{currency}]", totals.gross


def _opening(offer: Offer, opening: OfferOpening) -> tuple[Cell, ...]:
    words = offer.sent or offer.words
    kit, said = offer.kit_of(opening), words.kits[opening.kit]
    return (
        opening.mark,
        opening.alternate,
        opening.quantity,
        leaf_text(said.size, kit.type.leaves),
        said.summary,
        said.mount,
        kit.spring_size,
        kit.finish,
        kit.price,
        opening.price,
        opening.note,
        " ".join(why_held(offer, opening, words.kits)),
    )


def _items(offer: Offer) -> Iterator[tuple[Cell, ...]]:
    words = offer.sent or offer.words
    for opening in offer.openings:
        kit, count = offer.kit_of(opening), opening.quantity
        for line in kit.lines:
            yield (
                opening.mark,
                opening.alternate,
                line.sku,
                words.item(line),
                line.finish,
                line.quantity,
                line.quantity * count,
                line.unit,
                line.total.times(count),
            )
        if kit.adjustment.minor:
            agreed = kit.adjustment
            place = opening.mark, opening.alternate
            yield (*place, "", words.price_agreed, "", 1, count, agreed, agreed.times(count))


def _open(offer: Offer) -> Iterator[tuple[Cell, ...]]:
    words = offer.sent or offer.words
    for opening in offer.left_out or ():
        why = " ".join(why_held(offer, opening, words.kits))
        yield opening.mark, opening.quantity, f"{tr('Not in this quote:')} {why}"
    for text in question_texts(offer):
        yield "", None, text
