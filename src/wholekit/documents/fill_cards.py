"""Setting cards: how the fitter drills, places, sets and checks the openings of a job.

A kit that is stopped or incomplete gets a page HOLD in place of its card.
"""

from collections.abc import Iterator
from dataclasses import replace

from wholekit.documents.card_sharing import shared_pages
from wholekit.documents.fill import head_of, leaf_size
from wholekit.documents.fill_drills import edge_text
from wholekit.documents.fill_setting import dangers_of, setting_of
from wholekit.documents.papers import SettingCardPaper
from wholekit.documents.setting_card import HoldPage, Setting
from wholekit.domain.findings import Severity
from wholekit.domain.openings import active_leaf
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import KitWords, OfferKit, OfferOpening, OfferWords
from wholekit.domain.rules import RuleBook
from wholekit.wording.offers import released_texts
from wholekit.wording.openings import summary
from wholekit.wording.speech import speaking, tr
from wholekit.wording.to_customers import said_to_customers
from wholekit.wording.to_fitters import ASK, HEIGHTS, said_to_fitters
from wholekit.wording.words import MOUNTS


def cards_paper(offer: Offer, rules: RuleBook, notice: str = "") -> SettingCardPaper:
    """A card for each template, hand and drilling, with the setting of each of its openings.

    In the job's language. Openings with a stop that nobody released stand apart from their likes.
    What was issued before bodies were kept in the snapshot has pages HOLD. Raises RuleError.
    """
    words = offer.sent or offer.words
    head = head_of(offer, language=words.language)
    alike: dict[tuple[object, ...], list[OfferOpening]] = {}
    for opening in offer.openings:
        notes = (*_of_note(opening, words), *_of_note(opening, words, heights=True))
        kit = offer.kit_of(opening)
        noted = active_leaf(opening.note, rules) if kit.type.leaves == 2 else ""
        dangers = dangers_of(opening, kit, rules)
        key = (opening.kit, offer.is_held(opening), opening.released, notes, noted, dangers)
        alike.setdefault(key, []).append(opening)
    with speaking(head.words_of):
        head = replace(head, notice=tr(notice) if notice else "")
        territory = head.locale.replace("-", "_").rpartition("_")[2]
        territory = territory if len(territory) == 2 and territory.isupper() else ""
        pages = [_page(offer, words, openings, rules, territory) for openings in alike.values()]
        every = (*(opening.place for opening in offer.openings), *offer.not_quoted)
        return SettingCardPaper(head, shared_pages(pages, every))


def _page(
    offer: Offer, words: OfferWords, openings: list[OfferOpening], rules: RuleBook, territory: str
) -> Setting | HoldPage:
    kit = offer.kit_of(openings[0])
    if offer.is_held(openings[0]) or kit.missing or kit.body is None or kit.template is None:
        return _hold(offer, words, openings)
    setting = setting_of(openings, kit, kit.body, kit.template, rules, territory)
    said = tr("Stop released by name: {stop}")
    released = tuple(said.format(stop=text) for text in released_texts(offer, openings[0], words))
    texts = words.kits[openings[0].kit]
    told = dict.fromkeys((*_warned(kit, texts), *_of_note(openings[0], words)))
    noted = (*_of_note(openings[0], words, heights=True),)
    brief = edge_text(kit, texts, grounds=False)
    return replace(
        setting,
        warnings=(*released, *setting.warnings, *told),
        before_drilling=(*released, *(text for text in told if text.endswith(tr(ASK)))),
        edges=tuple(filter(None, (edge_text(kit, texts), *noted))),
        edges_in_brief=tuple(filter(None, (brief, *noted))),
    )


def _warned(kit: OfferKit, said: KitWords) -> Iterator[str]:
    """What a kit's warnings tell a fitter, beside what the card says in its own words."""
    for finding, (text, *_) in zip(kit.findings, said.findings, strict=True):
        if finding.severity is Severity.WARN:
            yield from filter(None, [said_to_fitters(finding.code, finding.fields, text)])


def _of_note(opening: OfferOpening, words: OfferWords, *, heights: bool = False) -> Iterator[str]:
    """What a note says more than its columns: of the height of what holes lie in, or of all else.

    The first stands where the drill is set, on a drilling sheet too.
    """
    for finding, (text, *_) in zip(opening.of_note, words.of_note(opening), strict=True):
        if (finding.fields.get("column") in HEIGHTS) is not heights:
            continue
        yield from filter(None, [said_to_fitters(finding.code, finding.fields, text)])


def _hold(offer: Offer, words: OfferWords, openings: list[OfferOpening]) -> HoldPage:
    # What the customer is asked beside a reason is no question for a fitter.
    first = openings[0]
    kit, said = offer.kit_of(first), words.kits[first.kit]
    reasons = [
        said_to_customers(kit.findings[at].code, said.findings[at])[0]
        for at in offer.open_stops(first)
    ]
    lacks = tr("Missing: {quantity} × {piece}; {because}.")
    reasons += [
        lacks.format(quantity=missing.quantity, piece=piece, because=because)
        for missing, (piece, because) in zip(kit.missing, said.missing, strict=True)
    ]
    if not reasons:
        reasons = [tr("No closer and template were found for this opening.")]
    mount = tr(MOUNTS[kit.mount])
    return HoldPage(
        marks=tuple(opening.place for opening in openings),
        quantity=sum(opening.quantity for opening in openings),
        title=f"{mount[:1].upper()}{mount[1:]}, {leaf_size(kit, said)}",
        summary=summary(kit.type, arm_by_hand=bool(kit.idle_arms)),
        reasons=tuple(dict.fromkeys(reasons)),
    )
