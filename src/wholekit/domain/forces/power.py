"""What a closer gives: closing moment and efficiency, from its size or from a measured force."""

from dataclasses import dataclass

from wholekit.domain.errors import CallError
from wholekit.domain.forces.figures import figures
from wholekit.domain.forces.formulas import force_from_moment
from wholekit.domain.rules import RuleBook


@dataclass(frozen=True, slots=True)
class CloserPower:
    """A closer at the door: closing moment at 0 to 4° [N·m], efficiency [fraction], size [class].

    closing_nm: the mean over these angles, which makes the size; felt_nm: the greatest of them,
    which a hand must overcome, None where it is not known apart. size None: below size 1.
    measured: the opening force was given, not reckoned from a size. stated: the efficiency is the
    maker's, not the least of the size.
    """

    closing_nm: float
    efficiency: float
    size: int | None
    measured: bool = False
    felt_nm: float | None = None
    stated: bool = False

    @property
    def opening_nm(self) -> float:
        """Moment that opens the leaf against the closer at 0 to 4°, at most [N·m]."""
        # The mean makes the size, but a hand must overcome the greatest: the limits of force are
        # held against that.
        return max(self.closing_nm, self.felt_nm or 0.0) / self.efficiency

    def opening_force(self, lever_m: float) -> float:
        """Force that overcomes the closer at a lever from the hinge [N]. Raises CallError."""
        return force_from_moment(self.opening_nm * self.efficiency, self.efficiency, lever_m)


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


def closer_of_size(
    size: int,
    rules: RuleBook,
    share: float = 1.0,
    felt: float | None = None,
    efficiency: float | None = None,
) -> CloserPower:
    """A closer set to a size: the least its band gives, at its maker's or its least efficiency.

    share: mean closing moment at 0 to 4° in this mount over the regular arm's [fraction], from
    `linkage`; felt: the greatest there over the same, None where it is not known apart;
    efficiency: the maker's own at 0 to 4° [fraction], None takes the least of EN 1154. Raises
    CallError, RuleError.
    """
    for value in (share, share if felt is None else felt):
        # A mount that left ten times the regular arm's power would be a slip of units.
        if not 0 < value <= 10:
            raise CallError("not-positive", name="share", given=value)
    if efficiency is not None and not 0 < efficiency <= 1:
        raise CallError("efficiency-out-of-range", given=efficiency)
    least = band(size, rules)[0]
    return CloserPower(
        least * share,
        least_efficiency(size, rules) if efficiency is None else efficiency,
        size,
        felt_nm=None if felt is None else least * felt,
        stated=efficiency is not None,
    )


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
        # From the largest size down: the first band reached is the largest that the force can be
        # of.
        closing_nm = opening_nm * row.efficiency
        if closing_nm >= row.least:
            return CloserPower(closing_nm, row.efficiency, row.size, measured=True)
    # Too weak for size 1: its efficiency is the least any size is held to.
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
    # Least moments rise with the size, so the first that is enough is the smallest.
    rows = figures(rules).sizes.values()
    return next((row.size for row in rows if round(row.least * share, 1) >= wanted), None)
