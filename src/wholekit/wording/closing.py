"""What a fitter is told of the valves and the gauge, from the rule book.

The way a valve turns is common practice, no source; the maker's sheet rules.
"""

from wholekit.domain.rules import RuleBook
from wholekit.wording.sources import rule_source

SLOWER = "Clockwise slower, anticlockwise faster."


def sweep_text(rules: RuleBook, timed: bool) -> str:
    """What the sweep valve governs (rule sweep-valve-range; common practice).

    timed: the place asks how long closing takes at least (ADA), and is told so.
    """
    span = rules.mapping("sweep-valve-range")
    text = f"it governs closing from about {span['from']}° to about {span['to']}°. {SLOWER}"
    return f"{text} {closing_time(rules)}" if timed else text


def closing_time(rules: RuleBook) -> str:
    """How long an accessible door takes to close at least (rule closing-speed-closer)."""
    return (
        f"From 90° to 12° the leaf takes {rules.number('closing-speed-closer'):g} seconds or more "
        f"({rule_source(rules, 'closing-speed-closer')})."
    )


def latch_text(rules: RuleBook) -> str:
    """What the latch valve governs: the rest (rule sweep-valve-range; common practice)."""
    return f"it governs the last {rules.mapping('sweep-valve-range')['to']}° or less. {SLOWER}"


def delayed_text(rules: RuleBook) -> str:
    """Where delayed action holds the leaf (rule delayed-action-range; common practice)."""
    span = rules.mapping("delayed-action-range")
    return (
        f"it slows closing from about {span['from']}°, or from where the leaf stands open, to "
        f"about {span['to']}°. Clockwise longer, anticlockwise shorter."
    )


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
        f"({rule_source(rules, 'force-gauge-point')}) is no point for a reading on site"
    )
