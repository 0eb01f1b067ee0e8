"""What the papers of an offer share: the head, the facts in it, and what it was priced on."""

from wholekit.documents.papers import (
    Letterhead,
    MissingPiece,
    PaperHead,
    PickExtra,
    page_size_of,
)
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import KitWords, OfferKit
from wholekit.domain.tax import LineKind
from wholekit.wording.amounts import say_date
from wholekit.wording.speech import ENGLISH, tr
from wholekit.wording.units import in_units_of, measured


def head_of(offer: Offer, *, language: str = ENGLISH, notice: str = "") -> PaperHead:
    """The head of an offer's papers. notice: what is to be said loudly on every page."""
    locale = offer.customer.locale
    sent = offer.sent
    words = sent if sent is not None and sent.language == language else offer.words
    return PaperHead(
        letterhead=Letterhead(
            offer.house_name,
            offer.house_lines,
            offer.house_phone,
            offer.house_email,
            words.registration,
            words.footer,
        ),
        number=offer.label,
        issued=offer.issued,
        customer=offer.customer.name,
        job=offer.job_name,
        customer_address=offer.customer.address,
        prepared_by=offer.issued_by,
        locale=locale,
        page_size=page_size_of(locale),
        language=language,
        notice=notice,
    )


def facts_of(offer: Offer, locale: str = "") -> tuple[tuple[str, str], ...]:
    """Label and value of what stands in a paper's head; empty where nothing is known. locale: of
    its days, the customer's unless given."""
    due = offer.bids_due
    return (
        (tr("Attention"), offer.customer.contact),
        (tr("Salesperson"), offer.salesperson),
        (tr("Bids due"), "" if due is None else say_date(due, locale or offer.customer.locale)),
        (tr("Ship to"), offer.ship_to),
        (tr("Our job"), offer.job),
    )


def basis_of(offer: Offer, *, revisions: bool = False, locale: str = "") -> str:
    """Which catalogues and rule book an offer was made on. revisions: the store's own numbers of
    the catalogues too, which are the house's business. locale: as of `facts_of`."""
    locale = locale or offer.customer.locale
    said = tr("{supplier} catalogue of {date}")
    if revisions:
        said = tr("{supplier} catalogue revision {revision} of {date}")
    catalogs = "; ".join(
        said.format(
            supplier=catalog.supplier,
            revision=catalog.revision,
            date=say_date(catalog.edition, locale),
        )
        for catalog in offer.catalogs
    )
    return tr("Priced on {catalogs}. Rule book {version}.").format(
        catalogs=catalogs or tr("no catalogue"), version=offer.rules_version
    )


def leaf_size(kit: OfferKit, said: KitWords) -> str:
    """The size of the leaf; of a pair told that it is each leaf's."""
    if kit.type.leaves == 1:
        return said.size
    return tr("pair, each leaf {size}").format(size=said.size)


def estimated_weight(kit: OfferKit) -> str:
    """The weight of one leaf where it is an estimate, empty where the schedule states it."""
    if kit.type.weight is not None or kit.weight is None:
        return ""
    with in_units_of(kit.type.width):
        return tr("estimated {weight}").format(weight=measured(kit.weight))


def missing_of(kit: OfferKit, words: KitWords) -> tuple[MissingPiece, ...]:
    """The pieces a kit lacks, in words."""
    return tuple(
        MissingPiece(piece, missing.quantity, because)
        for missing, (piece, because) in zip(kit.missing, words.missing, strict=True)
    )


def goods_of(offer: Offer) -> tuple[PickExtra, ...]:
    """Extra lines that are goods; freight, labour and lines of text only are left out."""
    return tuple(
        PickExtra(extra.description, extra.quantity)
        for extra in offer.extras
        if extra.kind is LineKind.HARDWARE and extra.unit is not None
    )
