"""What a closer gives: closing moment and efficiency, from its size or from a measured force."""

from dataclasses import dataclass

from wholekit.domain.errors import CallError
from wholekit.domain.forces.figures import figures
from wholekit.domain.forces.formulas import force_from_moment
from wholekit.domain.rules import RuleBook


@dataclass(frozen=True, slots=True)
class CloserPower:
    """A closer at the door: closing moment at 0 to 4° [N·m], efficiency [fraction], size [class].

    size None: below size 1. measured: the opening force was given, not reckoned from a size.
    """

    closing_nm: float
    efficiency: float
    size: int | None
    measured: bool = False

    def opening_force(self, lever_m: float) -> float:
        """Force that overcomes the closer at a lever from the hinge [N]. Raises CallError."""
        return force_from_moment(self.closing_nm, self.efficiency, lever_m)


def sizes(rules: RuleBook) -> tuple[int, ...]:
    """The sizes of EN 1154 Table 1 [class], smallest first. Raises RuleError."""
    return tuple(figures(rules).sizes)


def band(size: int, rules: RuleBook) -> tuple[float, float]:
    """Closing moment of a size at 0 to 4°: least, and where the next size begins [N·m].

    EN 1154 Table 1. Raises CallError for a size that does not exist, RuleError.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> band(3, load_rulebook())
    (18.0, 26.0)
    """
    row = figures(rules).of_size(size)
    return row.least, row.upper


def least_efficiency(size: int, rules: RuleBook) -> float:
    """Least efficiency of a size at 0 to 4° [fraction]. Raises CallError, RuleError."""
    return figures(rules).of_size(size).efficiency


def opening_moment_most(size: int, rules: RuleBook) -> float:
    """Greatest opening moment of a size from 0 to 60° [N·m]. Raises CallError, RuleError."""
    return figures(rules).of_size(size).opening_most


def closer_of_size(size: int, rules: RuleBook, share: float = 1.0) -> CloserPower:
    """A closer set to a size: the least its band gives, at its least efficiency.

    share: closing moment at the door in this mount over the regular arm's [fraction], from
    `linkage`. Raises CallError, RuleError.
    """
    if not 0 < share <= 10:
        raise CallError("not-positive", name="share", given=share)
    return CloserPower(band(size, rules)[0] * share, least_efficiency(size, rules), size)


def closer_of_force(force_n: float, lever_m: float, rules: RuleBook) -> CloserPower:
    """A closer whose opening force was measured [N] at a lever from the hinge [m].

    Its closing moment is the opening moment times the least efficiency of the largest size whose
    band it then reaches: what it gives at least. Raises CallError, RuleError.
    """
    if not 0 <= force_n <= 1e6:
        raise CallError("negative", name="closer-force", given=force_n)
    opening_nm = force_n * lever_m
    rows = list(figures(rules).sizes.values())
    for row in reversed(rows):
        closing_nm = opening_nm * row.efficiency
        if closing_nm >= row.least:
            return CloserPower(closing_nm, row.efficiency, row.size, measured=True)
    efficiency = rows[0].efficiency
    return CloserPower(opening_nm * efficiency, efficiency, None, measured=True)


def smallest_size_latching(needed_nm: float, rules: RuleBook, share: float = 1.0) -> int | None:
    """The smallest size whose least closing moment at the door is enough [class]; None if none is.

    Moments are compared to a tenth of a newton metre, as they are printed. Raises RuleError.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> smallest_size_latching(18.0, load_rulebook()), smallest_size_latching(90, load_rulebook())
    (3, None)
    """
    wanted = round(needed_nm, 1)
    rows = figures(rules).sizes.values()
    return next((row.size for row in rows if round(row.least * share, 1) >= wanted), None)


def largest_size_within(
    limit_n: float, lever_m: float, rules: RuleBook, share: float = 1.0
) -> int | None:
    """The largest size [class] a force limit [N] at a lever [m] allows with the best efficiency.

    None if even the smallest is too strong. Raises RuleError.
    """
    known = figures(rules)
    most = limit_n * lever_m * known.best
    within = [row.size for row in known.sizes.values() if row.least * share <= most]
    return within[-1] if within else None
