"""From a snapshot to the customer's quote.

A snapshot is all that is read, so that an issued revision gives the same paper for ever.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from wholekit.documents.fill import NOT_FOR_CUSTOMERS
from wholekit.documents.papers import (
    Estimate,
    FindingNote,
    Letterhead,
    MissingPiece,
    PaperHead,
    QuoteAlternate,
    QuoteExtra,
    QuoteLine,
    QuoteOpening,
    QuotePaper,
    QuoteTax,
    QuoteTotals,
    UnusedPiece,
    page_size_of,
)
from wholekit.domain.customers import net_price
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.frozen import (
    FrozenLine,
    FrozenOpening,
    FrozenTotals,
    Snapshot,
)
from wholekit.domain.quotes.job import BASE
from wholekit.wording.amounts import say_date
from wholekit.wording.speech import ENGLISH, language_of, speaking, tr

_ESTIMATED = "weight-estimated"


def head_of(snapshot: Snapshot, number: str) -> PaperHead:
    """The head of a snapshot's papers under a number such as `Q-00012/3`."""
    locale = snapshot.customer.locale
    return PaperHead(
        letterhead=Letterhead(snapshot.house_name),
        number=number,
        issued=snapshot.issued,
        customer=snapshot.customer.name,
        job=snapshot.job_name,
        customer_address=snapshot.customer.address,
        prepared_by=snapshot.issued_by,
        locale=locale,
        page_size=page_size_of(locale),
    )


def quote_of_snapshot(snapshot: Snapshot, number: str, *, draft: bool = False) -> QuotePaper:
    """The customer's quote, in their language. number: as printed; draft: it may still change.

    Stops that were released by name are the house's own business and are left out; pieces that a
    kit lacks are not.
    """
    # What was issued before there were words in the customer's language stays in English.
    language = language_of(snapshot.customer.locale) if snapshot.translations else ENGLISH
    head = replace(head_of(snapshot, number), language=language)
    with speaking(head.words_of):
        return _quote(snapshot, head, _Read(dict(snapshot.translations)), draft)


@dataclass(frozen=True, slots=True)
class _Read:
    """The snapshot's texts as the customer reads them."""

    translations: Mapping[str, str]

    def __call__(self, text: str) -> str:
        return self.translations.get(text, text)

    def all(self, texts: Iterable[str]) -> tuple[str, ...]:
        return tuple(self(text) for text in texts)


def _quote(snapshot: Snapshot, head: PaperHead, read: _Read, draft: bool) -> QuotePaper:
    base = [one for one in snapshot.openings if one.alternate == BASE]
    common = _common_assumptions(snapshot)
    payment = read(snapshot.customer.terms)
    return QuotePaper(
        head=head,
        valid_until=snapshot.valid_until,
        openings=tuple(_opening(snapshot, one, common, read) for one in base),
        total=snapshot.totals.gross,
        leaves=sum(one.quantity * snapshot.kit_of(one).leaves for one in base),
        terms=(
            *((tr("Payment: {terms}.").format(terms=payment),) if payment else ()),
            *read.all(snapshot.terms),
        ),
        assumptions=read.all(common),
        cautions=read.all(snapshot.cautions),
        totals=_totals(snapshot, snapshot.totals, base),
        extras=_extras(snapshot, BASE),
        alternates=tuple(
            QuoteAlternate(
                one.code,
                one.title,
                one.deducts,
                tuple(
                    _opening(snapshot, opening, common, read)
                    for opening in snapshot.openings
                    if opening.alternate == one.code
                ),
                _extras(snapshot, one.code),
                _totals(snapshot, one.totals, ()),
            )
            for one in snapshot.alternates
        ),
        cover_note=snapshot.cover_note,
        facts=facts_of(snapshot),
        site=tuple(text for text in (snapshot.site, *snapshot.site_address) if text),
        basis=basis_of(snapshot),
        draft=draft,
    )


def _opening(
    snapshot: Snapshot, one: FrozenOpening, common: Sequence[str], read: _Read
) -> QuoteOpening:
    kit = snapshot.kit_of(one)
    released = released_texts(one)
    estimated = tuple(found.text for found in kit.findings if found.code == _ESTIMATED)
    return QuoteOpening(
        mark=one.mark,
        quantity=one.quantity,
        leaves=kit.leaves,
        size=read(kit.size),
        summary=read(kit.summary),
        mount=read(kit.mount),
        size_required=kit.size_required,
        size_set=kit.spring_size,
        why_size=read(kit.why_size),
        why_mount=read(kit.why_mount),
        lines=tuple(_line(line, read) for line in kit.lines),
        price_each=kit.price,
        price_extended=one.price,
        unused=tuple(
            UnusedPiece(
                piece.sku, read(piece.piece).removeprefix(f"{piece.quantity} "), piece.quantity
            )
            for piece in kit.unused
        ),
        missing=tuple(
            MissingPiece(read(piece.piece), piece.quantity, read(piece.because))
            for piece in kit.missing
        ),
        findings=tuple(
            FindingNote(found.severity, read(found.text), read(found.hint), read(found.source))
            for found in (*kit.findings, *one.findings)
            if found.code not in NOT_FOR_CUSTOMERS and found.text not in released
        ),
        assumptions=read.all(text for text in (*kit.assumed, *estimated) if text not in common),
        estimates=tuple(Estimate(text, "") for text in read.all(kit.estimates)),
        note=one.note,
    )


def _line(line: FrozenLine, read: _Read) -> QuoteLine:
    """An item's description is data of its catalogue; a line without an item is the house's own."""
    return QuoteLine(
        line.sku,
        line.description if line.sku else read(line.description),
        line.finish,
        line.quantity,
        line.unit,
        line.total,
        read(line.serves),
    )


def released_texts(one: FrozenOpening) -> frozenset[str]:
    """What the stops said that were released at an opening."""
    return frozenset(sign.text for sign in one.signs if sign.what == "release")


def _extras(snapshot: Snapshot, alternate: str) -> tuple[QuoteExtra, ...]:
    return tuple(
        QuoteExtra(one.description, one.quantity, one.unit, one.total)
        for one in snapshot.extras
        if one.alternate == alternate
    )


def _totals(
    snapshot: Snapshot, totals: FrozenTotals, openings: Iterable[FrozenOpening]
) -> QuoteTotals:
    return QuoteTotals(
        hardware=totals.hardware,
        extras=totals.extras,
        freight=totals.freight,
        net=totals.net,
        taxes=tuple(QuoteTax(one.name, one.rate, one.base, one.tax) for one in totals.taxes),
        gross=totals.gross,
        discount=snapshot.discount,
        saved=saved_by_discount(snapshot, openings),
        inclusive=totals.inclusive,
        exempt=totals.exempt,
    )


def saved_by_discount(snapshot: Snapshot, openings: Iterable[FrozenOpening]) -> Money:
    """What the job's discount takes off [Money]; a price set by hand stands without it."""
    each = [sum(_saved_on(line, snapshot.discount) for line in kit.lines) for kit in snapshot.kits]
    saved = sum(each[one.kit] * one.quantity for one in openings)
    return Money(saved, snapshot.currency)


def _saved_on(line: FrozenLine, discount: Fraction) -> int:
    """[minor units] for one opening."""
    if line.by_hand or not line.sku or not discount:
        return 0
    before = net_price(line.list_price, [line.multiplier / (1 - discount)])
    return (before - line.unit).minor * line.quantity


def _common_assumptions(snapshot: Snapshot) -> tuple[str, ...]:
    """What is assumed for every opening."""
    if not snapshot.kits:
        return ()
    first, *others = snapshot.kits
    return tuple(text for text in first.assumed if all(text in one.assumed for one in others))


def facts_of(snapshot: Snapshot) -> tuple[tuple[str, str], ...]:
    """Label and value of what stands in a paper's head; empty where nothing is known."""
    due = snapshot.bids_due
    return (
        (tr("Attention"), snapshot.customer.contact),
        (tr("Salesperson"), snapshot.salesperson),
        (tr("Bids due"), "" if due is None else say_date(due, snapshot.customer.locale)),
        (tr("Ship to"), snapshot.ship_to),
        (tr("Our job"), snapshot.job),
    )


def basis_of(snapshot: Snapshot) -> str:
    """Which catalogues and rule book a snapshot was made on."""
    said = tr("{supplier} catalogue revision {revision} of {date}")
    catalogs = "; ".join(
        said.format(
            supplier=one.supplier,
            revision=one.revision,
            date=say_date(one.edition, snapshot.customer.locale),
        )
        for one in snapshot.catalogs
    )
    return tr("Priced on {catalogs}. Rule book {version}.").format(
        catalogs=catalogs or tr("no catalogue"), version=snapshot.rules_version
    )
