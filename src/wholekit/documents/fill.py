"""What the papers of an offer share: the head, the facts in it, and what it was priced on."""

from dataclasses import replace

from wholekit.documents.papers import (
    Letterhead,
    MissingPiece,
    PaperHead,
    PickExtra,
    page_size_of,
)
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import KitWords, OfferKit, OfferWords
from wholekit.domain.tax import LineKind
from wholekit.wording.amounts import say_date
from wholekit.wording.offers import number_text, number_to_customers
from wholekit.wording.speech import (
    ENGLISH,
    in_english,
    language_of,
    language_spoken,
    speaking,
    tr,
)
from wholekit.wording.units import in_units_of, measured
from wholekit.wording.words import ROLES, value_text


def head_of(
    offer: Offer, *, language: str = ENGLISH, notice: str = "", locale: str = ""
) -> PaperHead:
    """The head of an offer's papers. notice: what is to be said loudly on every page. locale: of
    its days and amounts, the customer's unless given."""
    locale = locale or offer.customer.locale
    words = words_in(offer, language)
    with speaking(locale if language != ENGLISH else ENGLISH):
        number = number_text(offer.label)
    return PaperHead(
        letterhead=Letterhead(
            offer.house_name,
            offer.house_lines,
            offer.house_phone,
            offer.house_email,
            words.registration,
            words.footer,
        ),
        number=number,
        issued=offer.issued,
        customer=offer.customer.name,
        job=offer.job_name,
        customer_address=offer.customer.address,
        prepared_by=offer.issued_by,
        locale=locale,
        page_size=page_size_of(offer.customer.locale),
        language=language,
        notice=notice,
    )


def head_to_customer(offer: Offer, language: str) -> PaperHead:
    """The head of a paper that goes out, whose title stands before its number."""
    head = head_of(offer, language=language)
    with speaking(head.words_of):
        return replace(head, number=number_to_customers(offer.label))


def house_head(offer: Offer, language: str = ENGLISH, notice: str = "") -> PaperHead:
    """The head of a paper that stays in the house. language: the house's own [CLDR code]; so are
    its days and amounts, in the customer's manner where that is the customer's language too."""
    there = offer.customer.locale
    # What has no words of its own is read in English, which `in_english` knows.
    theirs = language != ENGLISH and language_of(there) == language
    locale = there if theirs else in_english(there) if language == ENGLISH else language
    with speaking(locale if language != ENGLISH else ENGLISH):
        said = tr(notice) if notice else ""
    return head_of(offer, language=language, notice=said, locale=locale)


def words_in(offer: Offer, language: str) -> OfferWords:
    """The offer's sentences in a language where it was sent in that, else the English ones."""
    sent = offer.sent
    return sent if sent is not None and sent.language == language else offer.words


def mount_said(kit: OfferKit, said: KitWords, words: OfferWords) -> str:
    """The mount in the language in use; as it was frozen where the words are in that."""
    spoken = words.language == language_spoken()
    return said.mount if spoken else value_text("mount", kit.mount)


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
    said = tr("{supplier} catalog of {date}")
    if revisions:
        said = tr("{supplier} catalog revision {revision} of {date}")
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


def missing_of(kit: OfferKit, words: KitWords, language: str = "") -> tuple[MissingPiece, ...]:
    """The pieces a kit lacks, in words. language: of the words, empty for that in use; in another
    the pieces are named in the language in use, without the reason."""
    spoken = language in ("", language_spoken())
    return tuple(
        MissingPiece(
            piece if spoken else tr(ROLES[missing.role]),
            missing.quantity,
            because if spoken else "",
        )
        for missing, (piece, because) in zip(kit.missing, words.missing, strict=True)
    )


def goods_of(offer: Offer) -> tuple[PickExtra, ...]:
    """Extra lines that are goods; freight, labour and lines of text only are left out."""
    return tuple(
        PickExtra(extra.description, extra.quantity)
        for extra in offer.extras
        if extra.kind is LineKind.HARDWARE and extra.unit is not None
    )
