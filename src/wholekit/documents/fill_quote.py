"""From an offer to the customer's quote.

The offer is all that is read, so that an issued revision gives the same paper for ever.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from wholekit.documents.fill import (
    estimated_weight,
    facts_of,
    head_of,
    head_to_customer,
    leaf_size,
    missing_of,
)
from wholekit.documents.fill_remarks import Checks, appendix_of, reasons_of, safety_of, told_of
from wholekit.documents.papers import (
    OpenOpenings,
    QuoteAlternate,
    QuoteItem,
    QuoteKit,
    QuoteLine,
    QuoteMark,
    QuotePaper,
    QuoteReady,
)
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.openings import WhyUnasked
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import BASE, Offer
from wholekit.domain.quotes.alike import Alike, alike
from wholekit.domain.quotes.offer import OfferExtra, OfferOpening, OfferWords
from wholekit.domain.quotes.ready import Ready, job_ready
from wholekit.wording.amounts import say_count, say_date
from wholekit.wording.asked_in_checks import FrontQuestions
from wholekit.wording.finishes_written import (
    asked_otherwise,
    finish_as_written,
    finishes_in_other_words,
)
from wholekit.wording.makers import series_title
from wholekit.wording.openings import fire_label_text
from wholekit.wording.questions import marks_text, ranges_text
from wholekit.wording.speech import speaking, tr
from wholekit.wording.to_customers import beside_of, doubt_of, doubt_of_kit
from wholekit.wording.unasked import not_used_texts, unasked_text, unread_text
from wholekit.wording.words import listed


def quote_paper(
    offer: Offer, *, draft: bool = False, form: QuoteForm = QuoteForm.FULL
) -> QuotePaper:
    """The customer's quote, in their language. draft: it may still change.

    Stops that were released by name stand as deviations accepted; by whom and why is the house's
    own business.
    """
    # In the customer's language where there are words in it.
    words = offer.sent or offer.words
    with speaking(head_of(offer, language=words.language).words_of):
        return _Quote(offer, words, form).paper(draft)


class _Quote:
    """A quote's parts in the language of its words."""

    def __init__(self, offer: Offer, words: OfferWords, form: QuoteForm) -> None:
        self._offer = offer
        self._words = words
        self._base = offer.chosen()
        self._every = [opening.mark for opening in self._base.openings]
        self._beyond = offer.not_quoted
        self._front = FrontQuestions(offer, words)
        self._form = form
        self._checks = Checks(offer, words, self._front, brief=form is QuoteForm.SHORT)

    def paper(self, draft: bool) -> QuotePaper:
        offer, words, base = self._offer, self._words, self._base
        firm = [opening for opening in base.openings if offer.is_firm(opening)]
        loose = [opening for opening in base.openings if not offer.is_firm(opening)]
        kits = self._kits(firm)
        totals = offer.firm_totals
        counted = base.openings if totals is None else firm
        saved = sum(offer.kit_of(each).discounted.minor * each.quantity for each in counted)
        said = tr("Payment: {terms}.")
        doubts = self._checks.told(doubt_of, doubt_of_kit)
        assumptions = tuple(safety_of(offer, words, self._front))
        return QuotePaper(
            head=head_to_customer(offer, words.language),
            valid_until=offer.valid_until,
            kits=kits,
            openings=sum(opening.quantity for opening in firm),
            leaves=sum(opening.quantity * offer.kit_of(opening).type.leaves for opening in firm),
            totals=totals or offer.totals,
            firm=offer.firm,
            discount=offer.discount,
            saved=Money(saved, offer.currency),
            open_kits=self._kits(loose),
            open=tuple(self._open(loose)),
            open_places=self._open_places(loose),
            mixed=totals is None,
            items=_items(kits),
            notes=self._checks.notes,
            terms=(
                *((said.format(terms=words.payment),) if words.payment else ()),
                *words.terms,
            ),
            assumptions=assumptions,
            questions=tuple(self._front.all()),
            groups=self._front.groups(
                (*(one.stands for one in doubts), *assumptions, words.unmended)
            ),
            cautions=words.cautions,
            extras=self._extras(BASE),
            alternates=tuple(self._alternates()),
            cover_note=offer.cover_note,
            facts=facts_of(offer),
            # A site that is called what the job is stands above it already.
            site=tuple(
                text
                for text in (offer.site, *offer.site_address)
                if text not in ("", offer.job_name)
            ),
            draft=draft,
            ready=self._ready() if offer.ready_shown else (),
            ready_asked=offer.ready_asked,
            appendix=appendix_of(offer, words),
            form=self._form,
            unasked=self._unasked(BASE),
            unread=unread_text(offer.unasked, answer=True),
            unread_count=sum(door.why is WhyUnasked.UNREAD for door in offer.unasked),
            revision=offer.revision,
            doubts=doubts,
            by_others=told_of(offer, beside_of),
            unmended=words.unmended,
            delivery="" if offer.ready_shown else self._delivery(firm),
            not_used=not_used_texts(self._front.unused()),
            finishes=finishes_in_other_words(offer, firm, self._every),
        )

    def _kits(self, openings: Iterable[OfferOpening]) -> tuple[QuoteKit, ...]:
        return tuple(self._kit(group) for group in alike(self._offer, openings))

    def _kit(self, group: Alike) -> QuoteKit:
        kit = group.kit
        first = group.openings[0]
        words = self._words.kits[first.kit]
        every, beyond = self._every, self._beyond
        if first.alternate:
            every = [each.mark for each in self._offer.openings if each.alternate]
            # A range may pass no opening of the base bid either.
            beyond = (*self._every, *beyond)
        lines = [
            QuoteLine(line.sku, self._words.item(line), line.finish, line.quantity, line.total)
            for line in kit.lines
        ]
        # A price agreed for the whole opening: its lines keep theirs, and this makes up the rest.
        if kit.adjustment.minor:
            lines.append(QuoteLine("", self._words.price_agreed, "", 1, kit.adjustment))
        return QuoteKit(
            places=ranges_text(group.marks, every, beyond),
            quantity=group.quantity,
            leaves=kit.type.leaves,
            mount=words.mount,
            size_set=kit.spring_size,
            finish=finish_as_written(
                kit.finish,
                [(each.mark, asked_otherwise(self._offer, each)) for each in group.openings],
                every,
                beyond,
            ),
            as_written=any(asked_otherwise(self._offer, each) for each in group.openings),
            lines=tuple(lines),
            each=kit.price,
            price=group.price,
            marks=tuple(map(self._mark, group.openings)),
            missing=missing_of(kit, words),
        )

    def _mark(self, opening: OfferOpening) -> QuoteMark:
        said = self._words.kits[opening.kit]
        return QuoteMark(
            opening.mark,
            opening.quantity,
            self._leaf(opening),
            said.summary,
            opening.note,
            self._checks.of(opening),
            opening.room,
            estimated_weight(self._offer.kit_of(opening)),
            self._brief(opening),
        )

    def _brief(self, opening: OfferOpening) -> str:
        kind = self._offer.kit_of(opening).type
        hand = kind.hand.value if kind.hand and kind.leaves == 1 else ""
        fire = fire_label_text(kind.fire_minutes) if kind.fire_minutes else ""
        return ", ".join(filter(None, (hand, fire)))

    def _leaf(self, opening: OfferOpening) -> str:
        return leaf_size(self._offer.kit_of(opening), self._words.kits[opening.kit])

    def _open(self, loose: Sequence[OfferOpening]) -> Iterator[OpenOpenings]:
        """What is in no firm total, alike in its reasons together."""
        offer, words = self._offer, self._words
        found: dict[tuple[str, ...], list[OfferOpening]] = {}
        gone = offer.left_out or ()
        for opening in (*loose, *gone):
            found.setdefault(reasons_of(offer, opening, words, self._front), []).append(opening)
        every = [*self._every, *(opening.place for opening in gone)]
        for reasons, openings in found.items():
            yield OpenOpenings(
                ranges_text([opening.place for opening in openings], every, self._beyond),
                sum(opening.quantity for opening in openings),
                tuple(dict.fromkeys(map(self._leaf, openings))),
                reasons,
            )

    def _open_places(self, loose: Sequence[OfferOpening]) -> str:
        gone = self._offer.left_out or ()
        every = [*self._every, *(opening.place for opening in gone)]
        places = [opening.place for opening in (*loose, *gone)]
        return ranges_text(places, every, self._beyond) if places else ""

    def _alternates(self) -> Iterator[QuoteAlternate]:
        for alternate in self._offer.alternates:
            added = [each for each in self._offer.openings if each.alternate == alternate.code]
            marks = [opening.mark for opening in added]
            beside = (*self._every, *self._beyond)
            yield QuoteAlternate(
                alternate.code,
                alternate.title,
                ", ".join(
                    f"{group.quantity} × {ranges_text(group.marks, marks, beside)}"
                    for group in alike(self._offer, added)
                ),
                ranges_text(alternate.deducts, self._every, self._beyond)
                if alternate.deducts
                else "",
                self._kits(added),
                self._extras(alternate.code),
                alternate.change,
                self._unasked(alternate.code),
                self._series(added, alternate.deducts),
            )

    def _series(self, added: Sequence[OfferOpening], deducts: Sequence[str]) -> str:
        """That an alternate's closers are of another series than those it takes out, or empty."""

        def series_of(openings: Iterable[OfferOpening]) -> list[str]:
            kits = (self._offer.kit_of(opening) for opening in openings)
            # A boxed set may hold pieces of more series than that of its body.
            bodies = ((kit.body.series,) if kit.body else kit.kind.series for kit in kits)
            return sorted({name for series in bodies for name in series})

        new = series_of(added)
        old = series_of(each for each in self._base.openings if each.mark in deducts)
        if not new or not old or new == old:
            return ""
        said = tr("Closer series: {new} in place of {old}.")
        titles = self._offer.series
        return said.format(
            new=listed([series_title(name, titles) for name in new]),
            old=listed([series_title(name, titles) for name in old]),
        )

    def _unasked(self, alternate: str) -> str:
        doors = [door for door in self._offer.unasked if door.alternate == alternate]
        beside = [each.place for each in (*self._offer.openings, *(self._offer.left_out or ()))]
        return unasked_text([replace(door, alternate=BASE) for door in doors], beside)

    def _extras(self, alternate: str) -> tuple[OfferExtra, ...]:
        return tuple(extra for extra in self._offer.extras if extra.alternate == alternate)

    def _delivery(self, firm: Sequence[OfferOpening]) -> str:
        """How many of the firm openings come from stock, where no days are told; empty where it
        was not kept or nothing is firm."""
        asked = self._offer.ready_asked
        if asked is None or not firm:
            return ""
        parts = [part for opening in firm for part in opening.ready]
        every = sum(opening.quantity for opening in firm)
        # Whole at once, if only on the next working day: nothing of it is waited for.
        stock = sum(part.kits for part in parts if part.day and not part.waits_for)
        later = tr("Lead time on request and with your order; nothing is held for this quote.")
        if all(part.day is None for part in parts):
            # Neither stock nor lead times are known of any.
            return later
        if stock == every:
            text = tr("all openings from stock.")
        elif stock:
            said = tr("{count} of {every} openings from stock, the others when their goods come.")
            locale = self._offer.customer.locale
            counts = {"count": say_count(stock, locale), "every": say_count(every, locale)}
            text = said.format(**counts)
        else:
            text = tr("none from stock, all when their goods come.")
        day = say_date(asked, self._offer.customer.locale)
        by = tr("By the stock of {date}: {effect}").format(date=day, effect=text)
        return f"{by} {later}"

    def _ready(self) -> tuple[QuoteReady, ...]:
        """The kits of the base bid by day, with the marks that have any of them.

        No day is told of an opening that is not firm: its kit may be on the shelf and must not go
        out.
        """
        base = self._base
        if base.ready_asked is None:
            return ()
        parts = {
            opening.mark: opening.ready
            if base.is_firm(opening)
            else (Ready(opening.quantity, None),)
            for opening in base.openings
        }
        return tuple(
            QuoteReady(
                step.day,
                step.kits,
                marks_text(
                    [
                        mark
                        for mark, found in parts.items()
                        if any(part.day == step.day for part in found)
                    ],
                    self._every,
                    self._beyond,
                ),
            )
            for step in job_ready(parts.values(), base.ready_asked).steps
        )


def _items(kits: Sequence[QuoteKit]) -> tuple[QuoteItem, ...]:
    """The kits' lines added up by item; they come to the hardware's price."""
    found: dict[tuple[str, str, str], tuple[int, Money]] = {}
    for kit in kits:
        for line in kit.lines:
            key = (line.sku, line.description, line.finish)
            count, net = found.get(key, (0, Money.zero(line.net.currency)))
            found[key] = (count + line.quantity * kit.quantity, net + line.net.times(kit.quantity))
    return tuple(QuoteItem(*key, count, net) for key, (count, net) in sorted(found.items()))
