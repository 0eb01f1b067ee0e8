"""Screw sizes by their numbers."""

from wholekit.domain.rules import RuleBook


def wood_screw_diameter(number: int, rules: RuleBook) -> float:
    """The diameter of a wood screw [in] by its number: .060 + .013 × number (ASME B18.6.1).

    Raises RuleError. The number 14 was read as .242 in; the series is from memory, not read.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> wood_screw_diameter(14, load_rulebook())
    0.242
    """
    series = rules.mapping("wood-screw-diameter")
    return round(float(str(series["first"])) + number * float(str(series["step"])), 3)
