"""From an offer to the customer's quote.

The offer is all that is read, so that an issued revision gives the same paper for ever.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wholekit.documents.fill import basis_of, facts_of, head_of, missing_of
from wholekit.documents.papers import (
    RELEASED,
    Estimate,
    FindingNote,
    LeftOut,
    Question,
    QuoteAlternate,
    QuoteLine,
    QuoteOpening,
    QuotePaper,
    QuoteReady,
    UnusedPiece,
)
from wholekit.domain.quotes import BASE, Offer
from wholekit.domain.quotes.offer import (
    KitWords,
    OfferAssumption,
    OfferExtra,
    OfferFinding,
    OfferKit,
    OfferOpening,
    OfferWords,
)
from wholekit.domain.quotes.ready import Ready, job_ready
from wholekit.wording.offers import why_held
from wholekit.wording.openings import assumption_text
from wholekit.wording.questions import marks_text
from wholekit.wording.speech import speaking, tr
from wholekit.wording.to_customers import said_to_customers

# Said elsewhere on a quote, or the house's own business.
NOT_FOR_CUSTOMERS = frozenset(
    {"assumed", "weight-estimated", "discontinued", "egress-force-limit", "size-next-used"}
)

# Assumed at the head of every quote, by marks, and so not at each opening again.
OF_SAFETY = frozenset(
    {"fire_minutes", "accessible", "egress", "door_reinforced", "frame_reinforced"}
)


def quote_paper(offer: Offer, *, draft: bool = False) -> QuotePaper:
    """The customer's quote, in their language. draft: it may still change.

    Stops that were released by name stand as deviations accepted; by whom and why is the house's
    own business.
    """
    # In the customer's language where there are words in it.
    words = offer.sent or offer.words
    head = head_of(offer, language=words.language)
    with speaking(head.words_of):
        return _Quote(offer, words).paper(draft)


class _Quote:
    """A quote's parts in the language of its words; alike openings are worded once."""

    def __init__(self, offer: Offer, words: OfferWords) -> None:
        self._offer = offer
        self._words = words
        self._common = _common(offer.kits)
        self._kits = [
            _worded(kit, said, words, self._common)
            for kit, said in zip(offer.kits, words.kits, strict=True)
        ]

    def paper(self, draft: bool) -> QuotePaper:
        offer, words = self._offer, self._words
        base = offer.chosen()
        said = tr("Payment: {terms}.")
        return QuotePaper(
            head=head_of(offer, language=words.language),
            valid_until=offer.valid_until,
            openings=tuple(self._opening(opening) for opening in base.openings),
            leaves=base.leaf_count,
            terms=(
                *((said.format(terms=words.payment),) if words.payment else ()),
                *words.terms,
            ),
            assumptions=(
                *self._of_safety(),
                *(
                    text
                    for kit, said_of in zip(offer.kits[:1], words.kits[:1], strict=True)
                    for assumption, (text, _) in zip(kit.assumed, said_of.assumed, strict=True)
                    if assumption in self._common and assumption.field not in OF_SAFETY
                ),
            ),
            questions=self._questions(),
            cautions=words.cautions,
            totals=offer.totals,
            discount=offer.discount,
            saved=base.saved,
            extras=self._extras(BASE),
            alternates=tuple(
                QuoteAlternate(
                    alternate.code,
                    alternate.title,
                    alternate.deducts,
                    tuple(
                        self._opening(opening)
                        for opening in offer.openings
                        if opening.alternate == alternate.code
                    ),
                    self._extras(alternate.code),
                    alternate.totals,
                )
                for alternate in offer.alternates
            ),
            cover_note=offer.cover_note,
            facts=facts_of(offer),
            site=tuple(text for text in (offer.site, *offer.site_address) if text),
            basis=basis_of(offer),
            draft=draft,
            firm=offer.firm,
            left_out=tuple(
                LeftOut(
                    opening.mark,
                    opening.quantity,
                    words.kits[opening.kit].size,
                    why_held(offer, opening, words.kits),
                )
                for opening in offer.left_out or ()
            ),
            ready=_ready(base) if offer.ready_shown else (),
            ready_asked=offer.ready_asked,
        )

    def _questions(self) -> tuple[Question, ...]:
        # Quotes of before have questions without answers.
        answers = [*self._words.answers, *([()] * len(self._words.questions))]
        return tuple(
            Question(text, marks, choices)
            for (text, marks), choices in zip(self._words.questions, answers, strict=False)
        )

    def _of_safety(self) -> Iterator[str]:
        """What is assumed about fire, exits, access and reinforcement, whatever it changes."""
        offer, words = self._offer, self._words
        found: dict[str, list[str]] = {}
        for opening in offer.openings:
            kit = offer.kit_of(opening)
            said = words.kits[opening.kit].assumed
            for assumption, (text, _) in zip(kit.assumed, said, strict=True):
                if assumption.field in OF_SAFETY:
                    found.setdefault(text, []).append(opening.place)
            if kit.type.egress is None:
                said_of = assumption_text("egress", None)
                found.setdefault(said_of, []).append(opening.place)
        every = [opening.place for opening in offer.openings]
        for text, marks in found.items():
            where = marks_text(marks, every)
            yield tr("{effect} ({marks})").format(effect=text, marks=where) if where else text

    def _extras(self, alternate: str) -> tuple[OfferExtra, ...]:
        return tuple(extra for extra in self._offer.extras if extra.alternate == alternate)

    def _opening(self, opening: OfferOpening) -> QuoteOpening:
        kit = self._offer.kit_of(opening)
        known = self._kits[opening.kit]
        findings = known.findings
        if opening.released:
            texts = self._words.kits[opening.kit].findings
            findings = _findings(kit.findings, texts, opening.released)
        findings = (*findings, *_findings(opening.of_note, self._words.of_note(opening)))
        return replace(
            known,
            mark=opening.mark,
            quantity=opening.quantity,
            price_extended=opening.price,
            findings=findings,
            note=opening.note,
            room=opening.room,
        )


def _ready(base: Offer) -> tuple[QuoteReady, ...]:
    """The kits of the base bid by day, with the marks that have any of them.

    No day is told of an opening that is not firm: its kit may be on the shelf and must not go out.
    """
    if base.ready_asked is None:
        return ()
    parts = {
        opening.mark: opening.ready if base.is_firm(opening) else (Ready(opening.quantity, None),)
        for opening in base.openings
    }
    return tuple(
        QuoteReady(
            step.day,
            step.kits,
            tuple(
                mark for mark, found in parts.items() if any(part.day == step.day for part in found)
            ),
        )
        for step in job_ready(parts.values(), base.ready_asked).steps
    )


def _worded(
    kit: OfferKit, said: KitWords, words: OfferWords, common: Sequence[OfferAssumption]
) -> QuoteOpening:
    """A kind of kit as every opening of it shows it."""
    lines = [
        QuoteLine(
            line.sku, line.description, line.finish, line.quantity, line.unit, line.total, serves
        )
        for line, (serves, _) in zip(kit.lines, said.lines, strict=True)
    ]
    # A price agreed for the whole opening: its lines keep theirs, and this makes up the rest.
    if kit.adjustment.minor:
        agreed = kit.adjustment
        lines.append(QuoteLine("", words.price_agreed, "", 1, agreed, agreed))
    assumptions = [
        text
        for assumption, (text, _) in zip(kit.assumed, said.assumed, strict=True)
        if assumption not in common and assumption.field not in OF_SAFETY
    ]
    return QuoteOpening(
        mark="",
        quantity=1,
        leaves=kit.type.leaves,
        size=said.size,
        summary=said.summary,
        mount=said.mount,
        size_required=kit.size_required,
        size_set=kit.spring_size,
        why_size=said.why_size,
        why_mount=said.why_mount,
        lines=tuple(lines),
        price_each=kit.price,
        price_extended=kit.price,
        unused=tuple(
            UnusedPiece(piece.sku, text, piece.quantity)
            for piece, text in zip(kit.unused, said.unused, strict=True)
        ),
        missing=missing_of(kit, said),
        findings=_findings(kit.findings, said.findings),
        assumptions=(*assumptions, *((said.weight,) if said.weight else ())),
        estimates=tuple(Estimate(*estimate) for estimate in said.estimates),
    )


def _findings(
    findings: Sequence[OfferFinding],
    texts: Sequence[tuple[str, str, str]],
    released: Sequence[tuple[str, str]] = (),
) -> tuple[FindingNote, ...]:
    return tuple(
        FindingNote(RELEASED, said[0], "", said[2])
        if (finding.code, finding.about) in released
        else FindingNote(finding.severity.value, *said_to_customers(finding.code, said))
        for finding, said in zip(findings, texts, strict=True)
        if finding.code not in NOT_FOR_CUSTOMERS
    )


def _common(kits: Sequence[OfferKit]) -> tuple[OfferAssumption, ...]:
    """What is assumed for every opening."""
    if not kits:
        return ()
    first, *others = kits
    return tuple(
        assumption
        for assumption in first.assumed
        if all(assumption in kit.assumed for kit in others)
    )
