"""An offer's sentences, as it is sent with them."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager

from wholekit.domain.findings import Finding
from wholekit.domain.house_style import HouseCard
from wholekit.domain.kits import Kit
from wholekit.domain.kits.proof import Proof
from wholekit.domain.openings import Assumption, OpeningType
from wholekit.domain.quotes import Approval, ApprovedPart, Offer, Override, OverrideKind
from wholekit.domain.quotes.asking import NOTHING_ASKED, Asking
from wholekit.domain.quotes.offer import KitWords, OfferOpening, OfferWords
from wholekit.domain.quotes.proposal import WORD
from wholekit.domain.rules import RuleBook
from wholekit.wording.answers_on_paper import asked_on_paper
from wholekit.wording.calculated import force_text, forces_text
from wholekit.wording.cautions import PRICES_HOLD, TERMS, cautions_for
from wholekit.wording.choices import say_wish
from wholekit.wording.findings import say_finding, without_text
from wholekit.wording.mark_groups import MarkGroups, groups_of
from wholekit.wording.openings import (
    assumption_text,
    piece_text,
    sentence,
    serves,
    size_text,
    summary,
)
from wholekit.wording.openings import why_mount as mount_sentence
from wholekit.wording.openings import why_size as size_sentence
from wholekit.wording.questions import (
    assumed_text,
    for_customers,
    unmended_text,
)
from wholekit.wording.rates import percent
from wholekit.wording.reasons import say_reason
from wholekit.wording.sources import rule_source
from wholekit.wording.speech import (
    ENGLISH,
    in_english,
    language_of,
    language_spoken,
    speaking,
    tr,
    trn,
)
from wholekit.wording.units import in_units_of, measured, moment_text, pressure_text
from wholekit.wording.words import ROLES, field_name, listed, value_text

PRICES_HOLD_CHARGED = (
    "Prices hold to the date above and for the quantities stated; freight and taxes are charged "
    "as shown."
)


class HouseWords:
    """The house's wording; satisfies `services.ports.Words`. house: what it says of itself."""

    def __init__(self, house: Callable[[], HouseCard] = HouseCard) -> None:
        self._house = house

    def offer(
        self,
        offer: Offer,
        kits: Sequence[Kit],
        notes: Mapping[str, Sequence[Finding]],
        rules: RuleBook,
        asking: Asking = NOTHING_ASKED,
    ) -> OfferWords:
        """An offer's sentences in the language in use.

        kits: those of the offer, with their why; notes: what openings' notes say, by place;
        asking: what is asked of the customer.
        """
        kinds = (((each.alternate, each.kit), each.place) for each in offer.openings)
        groups = groups_of(kinds, asking.every, asking.beyond)
        named = MarkGroups(groups, asking.every, asking.beyond)
        with in_units_of(*(kit.type.width for kit in kits)):
            asked = [asked_on_paper(question, asking, named) for question in for_customers(asking)]
        charged = offer.totals.charged
        language = language_spoken()
        own = self._house().says_in(language)
        return OfferWords(
            language=language,
            kits=tuple(kit_words(kit, rules) for kit in kits),
            # A quote that charges freight or tax must not say that they are not included.
            terms=(
                *(
                    tr(PRICES_HOLD_CHARGED if term == PRICES_HOLD and charged else term)
                    for term in TERMS
                ),
                *own.terms,
            ),
            cautions=cautions_for(kits),
            payment=offer.customer.terms or payment_text(offer.customer.days),
            price_agreed=tr("Price agreed for the opening"),
            questions=tuple((each.text, each.marks) for each in asked),
            notes=tuple((place, findings_text(found, rules)) for place, found in notes.items()),
            answers=tuple(each.answers for each in asked),
            registration=own.registration,
            footer=own.footer,
            refusals=tuple(each.refusals for each in asked)
            if any(any(each.refusals) for each in asked)
            else (),
            unmended=unmended_text(asking, named.named),
            groups=groups,
        )

    def assumed(self, asking: Asking, kits: Sequence[Kit]) -> tuple[str, ...]:
        """What is open and not asked for, as it is assumed, in the units of the kits' openings."""
        with in_units_of(*(kit.type.width for kit in kits)):
            return tuple(assumed_text(each, asking) for each in asking.assumed)

    def language(self, locale: str) -> str:
        """The language that papers of a locale come in."""
        language = language_of(locale)
        sends = language == ENGLISH or self._house().sends_in(language)
        return language if sends else ENGLISH

    def in_english(self, locale: str) -> str:
        """The locale of English words beside it: its own where it is one of English."""
        return in_english(locale)

    def speaking(self, locale: str) -> AbstractContextManager[None]:
        """Words inside come in the locale's language."""
        return speaking(locale)

    def override(self, override: Override) -> str:
        """What a hand has set."""
        return say_override(override)

    def approval(self, approval: Approval) -> str:
        """What was approved, part by part."""
        return "; ".join((*map(say_part, approval.parts), *say_left_out(approval)))

    def finding(self, finding: Finding, kind: OpeningType, rules: RuleBook) -> str:
        """A finding's sentence, in the units of its opening."""
        with in_units_of(kind.width):
            return say_finding(finding, rules).text


def kit_words(kit: Kit, rules: RuleBook) -> KitWords:
    """A kit's sentences in the language in use, in the units of its opening's size."""
    with in_units_of(kit.type.width):
        return _kit_words(kit, rules)


def _kit_words(kit: Kit, rules: RuleBook) -> KitWords:
    said = summary(kit.type, arm_by_hand=bool(kit.idle_arms))
    return KitWords(
        size=size_text(kit.type),
        summary=sentence(said) if said else "",
        mount=value_text("mount", kit.mount),
        body_side=value_text("body_side", kit.body_side),
        why_size=size_sentence(kit),
        why_mount=mount_sentence(kit),
        lines=tuple(
            (serves(line.uses), tuple(say_reason(reason) for reason in line.because))
            for line in kit.lines
        ),
        findings=findings_text(kit.findings, rules),
        missing=tuple((tr(ROLES[piece.role]), say_reason(piece.because)) for piece in kit.missing),
        # Without a count: papers have that in a column of its own.
        unused=tuple(
            piece_text(piece.role, piece.kind, 1).removeprefix("1 ") for piece in kit.unused
        ),
        assumed=tuple(
            (assumption_text(assumption.field, assumption.value), why_assumed(assumption, rules))
            for assumption in kit.assumed
        ),
        estimates=estimates_text(kit.proof, kit.type),
        weight=_estimated(kit),
    )


def why_held(offer: Offer, opening: OfferOpening, said: Sequence[KitWords]) -> tuple[str, ...]:
    """Why an opening is not firm: its open stops and what its kit lacks, in the words given."""
    words, kit = said[opening.kit], offer.kit_of(opening)
    lacks = tr("missing: {quantity} × {piece}")
    return (
        *(words.findings[at][0] for at in offer.open_stops(opening)),
        *(
            lacks.format(quantity=missing.quantity, piece=piece)
            for missing, (piece, _) in zip(kit.missing, words.missing, strict=True)
        ),
    )


def released_texts(offer: Offer, opening: OfferOpening, said: OfferWords) -> tuple[str, ...]:
    """The stops of an opening that somebody let go by name, in the words given."""
    kit, words = offer.kit_of(opening), said.kits[opening.kit]
    return tuple(
        text
        for finding, (text, _, _) in zip(kit.findings, words.findings, strict=True)
        if (finding.code, finding.about) in opening.released
    )


def number_text(number: str) -> str:
    """A quote's number as papers in the language in use say it: a proposal's word is translated,
    its day and digest stay.

    >>> with speaking("fr_CA"):
    ...     number_text("PROPOSAL 2026-11-26 K7QXNA"), number_text("Q-00012/2")
    ('PROPOSITION 2026-11-26 K7QXNA', 'Q-00012/2')
    """
    word, space, rest = number.partition(" ")
    return f"{tr('PROPOSAL')} {rest}" if space and word == WORD else number


def number_to_customers(number: str) -> str:
    """As `number_text`, behind a title that says what it is of: a proposal's word would double it.

    >>> number_to_customers("PROPOSAL 2026-11-26 K7QXNA"), number_to_customers("Q-00012/2")
    ('no. 2026-11-26 K7QXNA', 'Q-00012/2')
    """
    word, space, rest = number.partition(" ")
    return tr("no. {number}").format(number=rest) if space and word == WORD else number


def payment_text(days: int) -> str:
    """Terms of payment by the days to pay [d]: `net 30 days`."""
    return trn("net {days} day", "net {days} days", days).format(days=days)


def say_override(override: Override) -> str:
    """What a hand has set, without the reason.

    >>> from datetime import datetime
    >>> say_override(Override(OverrideKind.SIZE, "", "", datetime(2026, 1, 1), size=4))
    'size set to 4'
    """
    count = "" if override.quantity is None else f"{override.quantity} × "
    match override.kind:
        case OverrideKind.SIZE:
            return f"size set to {override.size}"
        case OverrideKind.PRICE:
            amount = (
                ""
                if override.price is None
                else (f"{override.price.decimal_text} {override.price.currency}")
            )
            return f"price of {override.sku or 'the whole opening'} set to {amount}"
        case OverrideKind.CHOICE if override.wish is not None:
            return f"kit chosen: {say_wish(override.wish)}"
    if not override.sku:
        return f"{count}{override.other_sku} added"
    if override.other_sku is None:
        return f"{override.sku} left out"
    return f"{count}{override.other_sku} in place of {override.sku}"


def say_part(part: ApprovedPart) -> str:
    """What an owner saw of a part, in the figures that the quote shows.

    >>> from fractions import Fraction
    >>> from wholekit.domain.quantities import Money
    >>> say_part(ApprovedPart("alt-1", Money(41250, "USD"), Money(40000, "USD"), Fraction(1, 4)))
    'alternate alt-1 net 412.50 USD, margin 25%'
    """
    margin = "" if part.margin is None else f", margin {percent(part.margin)}"
    return f"{say_seen(part)}{margin}"


def say_seen(part: ApprovedPart) -> str:
    """The same without the margin, for those who may not see cost."""
    part_of = f"alternate {part.alternate}" if part.alternate else "base bid"
    return f"{part_of} net {part.quoted.decimal_text} {part.quoted.currency}"


def say_left_out(approval: Approval) -> tuple[str, ...]:
    """What an approved offer was without, if anything.

    >>> from datetime import UTC, datetime
    >>> say_left_out(Approval("odo", datetime(2026, 3, 2, tzinfo=UTC), "", left_out=("103", "7")))
    ('without 103 and 7',)
    """
    return (f"without {listed(approval.left_out)}",) if approval.left_out else ()


def findings_text(findings: Sequence[Finding], rules: RuleBook) -> tuple[tuple[str, str, str], ...]:
    """Findings as (text, hint, source)."""
    return tuple(
        (worded.text, worded.hint, worded.source)
        for worded in (say_finding(finding, rules) for finding in findings)
    )


def why_assumed(assumption: Assumption, rules: RuleBook) -> str:
    """Why a default stands in, with the rule that holds it."""
    rule = f"{rules[assumption.rule].title}; {rule_source(rules, assumption.rule)}"
    return f"{field_name(assumption.field)} not stated; house default ({rule})"


def _estimated(kit: Kit) -> str:
    if all(finding.code != "weight-estimated" for finding in kit.findings):
        return ""
    return tr("leaf weight estimated at {weight}").format(weight=measured(kit.weight))


def estimates_text(proof: Proof | None, kind: OpeningType) -> tuple[tuple[str, str], ...]:
    """Forces as calculated, what and figure, in the units of the opening's size first.

    The paper says that a gauge must confirm them.
    """
    if proof is None:
        return ()
    verdict = proof.verdict
    found = [*forces_text(proof, kind, lambda newtons: force_text(newtons, kind))]
    found.append((tr("latches against up to"), pressure_text(verdict.latches_to_pa)))
    if proof.pressure_pa:
        margin = moment_text(verdict.margin_nm)
        found.append((tr("latching margin against the stated wind or pressure"), margin))
    # Said once of all, so that a table's figures stay figures.
    without = without_text(verdict.unchecked) or tr("with seals and latch")
    found.append((tr("reckoned"), without))
    return tuple(found)
