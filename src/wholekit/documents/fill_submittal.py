"""From an offer to the architect's submittal; the offer is all that is read."""

import re
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import replace

from wholekit.documents.card_placing import is_metric
from wholekit.documents.card_sharing import places_of
from wholekit.documents.fill import facts_of, leaf_size
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_setting import (
    binding_limits,
    limits_if_exit,
    limits_without_latch,
    uncalculated_limits,
)
from wholekit.documents.papers import PaperHead
from wholekit.documents.setting_card import HoldPage, Said, SettingCard
from wholekit.documents.submittal import (
    SubmittalForce,
    SubmittalItem,
    SubmittalKit,
    SubmittalPaper,
    SubmittalRow,
)
from wholekit.domain.catalog import Role
from wholekit.domain.findings import Severity
from wholekit.domain.forces.case import LimitResult
from wholekit.domain.quantities.physical import N_PER_LBF
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferFinding, OfferKit, OfferOpening, OfferWords
from wholekit.domain.rules import RuleBook
from wholekit.wording.amounts import say_date
from wholekit.wording.asked_code import whose_code
from wholekit.wording.fitting import limit_text
from wholekit.wording.makers import series_title
from wholekit.wording.offered import without_price
from wholekit.wording.offers import number_to_customers
from wholekit.wording.openings import egress_unstated, lacking_text, sentence
from wholekit.wording.sources import rule_source
from wholekit.wording.speech import figure, speaking, tr
from wholekit.wording.to_customers import (
    for_customers,
    said_to_customers,
    source_for_customers,
)
from wholekit.wording.unasked import unasked_text, unread_text
from wholekit.wording.units import force_limit
from wholekit.wording.words import listed

# Notes that a specification may hang on.
_SPECIFIED = frozenset({"standard-differs"})
# What is told of an opening: leads with sentences.
Telling = Callable[[OfferOpening], Iterable[tuple[str, str]]]


def submittal_paper(offer: Offer, rules: RuleBook) -> SubmittalPaper:
    """All of a job that an architect reviews, in the job's language. Raises RuleError.

    Stopped and incomplete openings are in it and say that they are on hold.
    """
    cards = cards_paper(offer, rules)
    words = offer.sent or offer.words
    with speaking(cards.head.words_of):
        notice = tr("FOR REVIEW: nothing here is released for fitting.")
        head = replace(cards.head, notice=notice, number=number_to_customers(offer.label))
        return _Submittal(offer, words, cards.cards, rules).paper(head)


class _Submittal:
    """Its parts; openings of equal kits are told of once."""

    def __init__(
        self,
        offer: Offer,
        words: OfferWords,
        cards: tuple[SettingCard | HoldPage, ...],
        rules: RuleBook,
    ) -> None:
        self._offer, self._words, self._cards, self._rules = offer, words, cards, rules
        self._every = (*(opening.place for opening in offer.openings), *offer.not_quoted)
        alike: dict[Hashable, list[OfferOpening]] = {}
        for opening in offer.openings:
            alike.setdefault(self._kind(opening), []).append(opening)
        self._groups = tuple(alike.values())

    def paper(self, head: PaperHead) -> SubmittalPaper:
        offer = self._offer
        held = [opening.place for opening in offer.openings if not offer.is_firm(opening)]
        return SubmittalPaper(
            head=head,
            rows=tuple(self._rows()),
            kits=tuple(self._kit(number, group) for number, group in enumerate(self._groups, 1)),
            forces=tuple(self._forces()),
            cards=self._cards,
            assumptions=self._assumptions(),
            cautions=self._words.cautions,
            facts=(
                (tr("Date"), say_date(offer.issued, offer.customer.locale)),
                *((label, value) for label, value in facts_of(offer) if value),
            ),
            held=places_of(held, self._every) if held else "",
            held_count=len(held),
            unasked="; ".join(filter(None, self._unasked())),
            not_counted=tuple(dict.fromkeys(self._not_counted())),
            whose_code=whose_code(offer),
        )

    def _not_counted(self) -> Iterator[str]:
        for opening in self._offer.openings:
            kit = self._offer.kit_of(opening)
            limits = binding_limits(kit, tuple(uncalculated_limits(kit, self._rules)))
            yield from limits_without_latch(limits, self._rules, is_metric(kit))

    def _unasked(self) -> Iterator[str]:
        yield unread_text(self._offer.unasked)
        yield unasked_text(self._offer.unasked, [each.place for each in self._offer.openings])

    def _kind(self, opening: OfferOpening) -> Hashable:
        kit, said = self._offer.kit_of(opening), self._words.kits[opening.kit]
        return (
            kit.mount,
            kit.body_side,
            kit.spring_size,
            kit.type.leaves,
            tuple(self._items(kit, opening)),
            said.mount,
        )

    def _items(self, kit: OfferKit, opening: OfferOpening) -> Iterator[SubmittalItem]:
        said = self._words.kits[opening.kit]
        for line, (serves, _) in zip(kit.lines, said.lines, strict=True):
            yield SubmittalItem(
                line.sku, self._words.item(line), line.finish, line.quantity, serves
            )

    def _rows(self) -> Iterator[SubmittalRow]:
        kits = {
            opening.place: number
            for number, group in enumerate(self._groups, 1)
            for opening in group
        }
        cards = {mark: number for number, card in enumerate(self._cards, 1) for mark in card.marks}
        for opening in self._offer.openings:
            kit, said = self._offer.kit_of(opening), self._words.kits[opening.kit]
            yield SubmittalRow(
                mark=opening.place,
                quantity=opening.quantity,
                size=leaf_size(kit, said),
                summary=said.summary,
                # What the sheet says of it, where it names no room.
                room=opening.room or opening.note,
                mount=said.mount,
                size_set=kit.spring_size,
                kit=kits[opening.place],
                card=cards[opening.place],
                on_hold=isinstance(self._cards[cards[opening.place] - 1], HoldPage),
                held=not self._offer.is_firm(opening),
            )

    def _kit(self, number: int, group: Sequence[OfferOpening]) -> SubmittalKit:
        first = group[0]
        kit, said = self._offer.kit_of(first), self._words.kits[first.kit]
        pair = tr("pair, ") if kit.type.leaves == 2 else ""
        title = f"{pair}{said.mount}, {said.body_side}"
        held = [opening.place for opening in group if not self._offer.is_firm(opening)]
        return SubmittalKit(
            number=number,
            places=places_of([opening.place for opening in group], self._every),
            quantity=sum(opening.quantity for opening in group),
            title=title[:1].upper() + title[1:],
            size_set=kit.spring_size,
            items=tuple(self._items(kit, first)),
            findings=self._with_marks(group, self._findings),
            missing=self._with_marks(group, self._missing),
            held=places_of(held, self._every) if held else "",
            maker=tuple(_maker(kit, self._offer)),
        )

    def _findings(self, opening: OfferOpening) -> Iterator[tuple[str, str]]:
        """Stops, warnings, what a specification hangs on: (word, sentence).

        What was released is told as accepted.
        """
        kit, said = self._offer.kit_of(opening), self._words.kits[opening.kit]
        told = [*zip(kit.findings, said.findings, strict=True)]
        told += [*zip(opening.of_note, self._words.of_note(opening), strict=True)]
        for finding, texts in told:
            if not for_customers(finding) or (
                finding.severity is Severity.NOTE and finding.code not in _SPECIFIED
            ):
                continue
            text, hint, source = said_to_customers(finding.code, _unpriced(finding, texts))
            if (finding.code, finding.about) in opening.released:
                yield tr("Deviation accepted"), text
                continue
            stop = finding.severity is Severity.STOP
            rest = f"{hint} [{source}]" if source else hint
            yield tr("STOP") if stop else tr("Check"), f"{text} {rest}".rstrip()

    def _missing(self, opening: OfferOpening) -> Iterator[tuple[str, str]]:
        kit, said = self._offer.kit_of(opening), self._words.kits[opening.kit]
        for piece, (name, because) in zip(kit.missing, said.missing, strict=True):
            lacks, because = lacking_text(piece.quantity, name, because)
            yield sentence(lacks).removesuffix("."), sentence(because) if because else ""

    def _forces(self) -> Iterator[SubmittalForce]:
        alike: dict[SubmittalForce, list[OfferOpening]] = {}
        for opening in self._offer.openings:
            kit, said = self._offer.kit_of(opening), self._words.kits[opening.kit]
            told = SubmittalForce(
                places="",
                size=said.size,
                size_required=kit.size_required,
                size_set=kit.spring_size,
                figures=said.estimates,
                limits=tuple(_limits(kit, self._rules)),
            )
            alike.setdefault(told, []).append(opening)
        for told, openings in alike.items():
            marks = [opening.place for opening in openings]
            yield replace(told, places=places_of(marks, self._every))

    def _assumptions(self) -> tuple[Said, ...]:
        """Those of one kind together, in the order in which each first comes."""
        kinds: dict[str, list[Said]] = {}
        for said in self._with_marks(self._offer.openings, self._assumed):
            kinds.setdefault(re.split(r"\d|:", said.lead)[0], []).append(said)
        return tuple(said for alike in kinds.values() for said in alike)

    def _assumed(self, opening: OfferOpening) -> Iterator[tuple[str, str]]:
        kit, said = self._offer.kit_of(opening), self._words.kits[opening.kit]
        for text, _ in said.assumed:
            yield text, ""
        if kit.type.egress is None:
            yield egress_unstated(), ""
        if said.weight:
            yield said.weight, ""

    def _with_marks(self, openings: Sequence[OfferOpening], of: Telling) -> tuple[Said, ...]:
        """What is told of each, once, with the marks it holds for; none where it is all."""
        found: dict[tuple[str, str], list[str]] = {}
        for opening in openings:
            for told in dict.fromkeys(of(opening)):
                found.setdefault(told, []).append(opening.place)
        return tuple(
            Said(text, lead, "" if len(marks) == len(openings) else places_of(marks, self._every))
            for (lead, text), marks in found.items()
        )


def _maker(kit: OfferKit, offer: Offer) -> Iterator[tuple[str, str]]:
    """Whose closer it is and what the catalogue claims of it: what it does not say is told so."""
    body = kit.body
    if body is None:
        return
    unsaid = tr("not stated")
    makers = [line.supplier for line in kit.lines if line.kind == Role.BODY]
    makers = makers or [line.supplier for line in kit.lines if body.series in line.series]
    yield tr("Manufacturer"), listed(dict.fromkeys(makers)) or unsaid
    yield tr("Series"), series_title(body.series, offer.series)
    yield tr("Standard"), listed(sorted(body.standards)) or unsaid
    yield tr("Grade"), unsaid if body.grade is None else str(body.grade)
    listing = tr("for fire doors, as the catalog says; its number is not stated")
    yield tr("Listing"), listing if body.fire_listed else tr("none stated")


def _unpriced(finding: OfferFinding, texts: tuple[str, str, str]) -> tuple[str, str, str]:
    """A finding's texts without what another kit would cost, which ends the sentence."""
    text, hint, source = texts
    cut = without_price(finding.fields, text)
    # Better no sentence than a price at the architect's.
    return (cut, hint, source) if cut else (tr("See the quote."), "", "")


def _limits(kit: OfferKit, rules: RuleBook) -> Iterator[str]:
    """The limits that bind, then those that would if it is an exit, where nobody said."""
    metric, uncalculated = is_metric(kit), tuple(uncalculated_limits(kit, rules))
    for result in binding_limits(kit, uncalculated):
        yield _held_against(result, metric, rules)
    for result in limits_if_exit(kit, uncalculated):
        held = _held_against(result, metric, rules)
        yield tr("if it is an exit: {limits}").format(limits=held)


def _held_against(result: LimitResult, metric: bool, rules: RuleBook) -> str:
    """A limit, what was calculated of it and where it comes from, as far as that is a published
    text: `5 lbf; calculated 4.8 lbf [ADA Standards 2010, 404.2.9]`."""
    source = source_for_customers(tr(rule_source(rules, result.limit.rule)))
    held = _calculated(result, metric)
    return f"{held} [{source}]" if source else held


def _calculated(result: LimitResult, metric: bool) -> str:
    unit = result.limit.unit
    said = force_limit(result.allowed, unit, metric)
    allowed = limit_text(said, result.limit.at, result.limit.phase)
    if result.force is None:
        return f"{allowed}; {tr('not calculated')}"
    force = (
        f"{result.force * N_PER_LBF:.1f} N"
        if metric and unit == "lbf"
        else f"{result.force:.1f} {unit}"
    )
    return tr("{limit}; calculated {force}").format(limit=allowed, force=figure(force))
