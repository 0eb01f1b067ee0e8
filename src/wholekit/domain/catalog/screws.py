"""Screw sizes by their numbers."""

from wholekit.domain.catalog.words import FastenerKind
from wholekit.domain.rules import RuleBook

# What a piece's title calls it, behind its size; of a wood screw the number is a field of its own.
_NAMES = {
    FastenerKind.MACHINE_SCREW: "machine screw",
    FastenerKind.SELF_DRILLING_SCREW: "self-drilling screw",
    FastenerKind.RIVET_NUT_SCREW: "rivet nut",
    FastenerKind.THROUGH_BOLT: "through-bolt",
}


def screw_size(title: str, kind: FastenerKind | None) -> str:
    """The size that a fastener's title begins with; empty where it gives none.

    >>> screw_size("1/4-20 × 5/8 in machine screw, body", FastenerKind.MACHINE_SCREW)
    '1/4-20 × 5/8 in'
    >>> screw_size("through-bolt, leaf 1-3/8 in to 1-3/4 in, body", FastenerKind.THROUGH_BOLT)
    ''
    """
    size, found, _ = title.partition(_NAMES.get(kind, "\0") if kind is not None else "\0")
    return size.strip() if found and any(sign.isdigit() for sign in size) else ""


def wood_screw_diameter(number: int, rules: RuleBook) -> float:
    """The diameter of a wood screw [in] by its number: .060 + .013 × number (ASME B18.6.1).

    Raises RuleError. The number 14 was read as .242 in; the series is from memory, not read.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> wood_screw_diameter(14, load_rulebook())
    0.242
    """
    series = rules.mapping("wood-screw-diameter")
    return round(float(str(series["first"])) + number * float(str(series["step"])), 3)
