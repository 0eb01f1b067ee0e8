"""What a fitter is told of the valves and the gauge, from the rule book."""

from wholekit.domain.rules import RuleBook


def sweep_text(rules: RuleBook) -> str:
    """What the sweep valve governs, and how long closing takes (rules sweep-valve-range, ADA)."""
    span = rules.mapping("sweep-valve-range")
    return (
        f"it governs from about {span['from']}° to about {span['to']}°. From 90° to 12° the leaf "
        f"takes {rules.number('closing-speed-closer'):g} seconds or more "
        f"({rules.source('closing-speed-closer')})."
    )


def latch_text(rules: RuleBook) -> str:
    """What the latch valve governs: the rest (rule sweep-valve-range; common practice)."""
    return f"it governs the last {rules.mapping('sweep-valve-range')['to']}° or less."


def gauge_point(rules: RuleBook) -> str:
    """Where forces are read: `30 in from the pivot (ANSI/BHMA A156.4, test point)`."""
    inches = rules.number("force-gauge-point")
    return f"{inches:g} in from the pivot ({rules.source('force-gauge-point')})"
