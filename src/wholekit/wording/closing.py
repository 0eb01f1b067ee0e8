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


def gauge_point(rules: RuleBook, read_at: str = "handle", en: bool = False) -> str:
    """Where a gauge is set on site, as a limit's code reads it: `at the handle or latch edge …`.

    read_at: `handle`, or `edge` for the leading edge. The laboratory's point of BHMA is told
    apart, so that nobody reads there; where EN 1154 is the basis (en) it has no place.
    """
    if read_at == "edge":
        return "at the leading edge"
    if en:
        return "at the handle"
    inches = rules.number("force-gauge-point")
    return (
        f"at the handle or latch edge; the laboratory's {inches:g} in from the pivot "
        f"({rules.source('force-gauge-point')}) is no point for a reading on site"
    )
