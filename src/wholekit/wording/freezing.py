"""A kit's and a quote's texts, as a frozen revision keeps them."""

from collections.abc import Sequence
from contextlib import AbstractContextManager

from wholekit.domain.findings import Finding
from wholekit.domain.kits import Kit
from wholekit.domain.openings import OpeningType
from wholekit.domain.quotes import Approval, ApprovedPart, Override, OverrideKind
from wholekit.domain.rules import RuleBook
from wholekit.services.ports import KitTexts
from wholekit.wording.cautions import PRICES_HOLD, TERMS, cautions_for
from wholekit.wording.findings import say_finding, without_text
from wholekit.wording.fitting import force_text
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
from wholekit.wording.rates import percent
from wholekit.wording.reasons import say_reason
from wholekit.wording.speech import figure, language_of, speaking, tr, trn
from wholekit.wording.words import ROLES, field_name, value_text

_NO_FIELDS = ("width", "height")
PRICES_HOLD_CHARGED = (
    "Prices hold to the date above and for the quantities stated; freight and taxes are charged "
    "as shown."
)


class HouseWords:
    """The house's wording; satisfies `services.ports.Words`."""

    def kit(self, kit: Kit, rules: RuleBook) -> KitTexts:
        """A kit's texts."""
        said = summary(kit.type)
        return KitTexts(
            size=size_text(kit.type),
            summary=sentence(said) if said else "",
            mount=value_text("mount", kit.mount),
            body_side=value_text("body_side", kit.body_side),
            why_size=size_sentence(kit),
            why_mount=mount_sentence(kit),
            fields=stated(kit.type),
            lines=tuple(
                (serves(line), tuple(say_reason(reason) for reason in line.because))
                for line in kit.lines
            ),
            findings=self.findings(kit.findings, rules),
            missing=tuple((tr(ROLES[one.role]), say_reason(one.because)) for one in kit.missing),
            unused=tuple(piece_text(one.role, one.kind, one.quantity) for one in kit.unused),
            assumed=tuple(assumption_text(one) for one in kit.assumed),
            estimates=_estimates(kit),
        )

    def findings(
        self, findings: Sequence[Finding], rules: RuleBook
    ) -> tuple[tuple[str, str, str], ...]:
        """Findings as (text, hint, source)."""
        return tuple(
            (worded.text, worded.hint, worded.source)
            for worded in (say_finding(finding, rules) for finding in findings)
        )

    def language(self, locale: str) -> str:
        """The language that papers of a locale come in."""
        return language_of(locale)

    def speaking(self, locale: str) -> AbstractContextManager[None]:
        """Words inside come in the locale's language."""
        return speaking(locale)

    def terms(self, charged: bool) -> tuple[str, ...]:
        """The standing terms; where freight or taxes are charged they say so."""
        return tuple(
            tr(PRICES_HOLD_CHARGED if one == PRICES_HOLD and charged else one) for one in TERMS
        )

    def payment(self, days: int) -> str:
        """Terms of payment, by the days to pay."""
        return payment_text(days)

    def price_agreed(self) -> str:
        """What the line says that makes up a price agreed for a whole opening."""
        return tr("Price agreed for the opening")

    def cautions(self, kits: Sequence[Kit]) -> tuple[str, ...]:
        """The cautions that apply."""
        return cautions_for(kits)

    def override(self, override: Override) -> str:
        """What a hand has set."""
        return say_override(override)

    def approval(self, approval: Approval) -> str:
        """What was approved, part by part."""
        return "; ".join(say_part(one) for one in approval.parts)

    def finding(self, finding: Finding, rules: RuleBook) -> str:
        """A finding's sentence."""
        return say_finding(finding, rules).text


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
    part_of = f"alternate {part.alternate}" if part.alternate else "base bid"
    margin = "" if part.margin is None else f", margin {percent(part.margin)}"
    return f"{part_of} net {part.quoted.decimal_text} {part.quoted.currency}{margin}"


def stated(opening_type: OpeningType) -> tuple[tuple[str, str], ...]:
    """What the schedule states of an opening: plain field name and value, in a schedule's order."""
    found = [(tr("size"), size_text(opening_type))]
    for name in OpeningType.__dataclass_fields__:
        value = getattr(opening_type, name)
        if value is not None and name not in _NO_FIELDS:
            found.append((field_name(name), value_text(name, value)))
    return tuple(found)


def _estimates(kit: Kit) -> tuple[str, ...]:
    if kit.proof is None:
        return ()
    verdict = kit.proof.verdict
    force = figure(force_text(verdict, kit.type.width))
    without = without_text(verdict.unchecked)
    end = f", {without}" if without else ""
    said = (
        tr("force at the leading edge to set in motion: {force}")
        if verdict.read_at == "edge"
        else tr("force at the handle to set in motion: {force}")
    )
    pressure = f"{verdict.latches_to_pa:.0f} Pa"
    return (
        said.format(force=force) + end,
        tr("latches against up to {pressure}").format(pressure=pressure) + end,
    )
