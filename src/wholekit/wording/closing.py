"""What a fitter is told of the valves and the gauge, from the rule book.

The way a valve turns is common practice, no source; the maker's sheet rules.
"""

from wholekit.domain.quantities import parse_length
from wholekit.domain.rules import RuleBook
from wholekit.wording.sources import rule_source
from wholekit.wording.speech import figure, tr
from wholekit.wording.units import measure

# The limit whose clause says that the force to draw back a latch bolt is not counted.
LATCH_APART = "limit-ada-interior"
SLOWER = "Clockwise slower, counterclockwise faster."


def sweep_text(rules: RuleBook) -> str:
    """What the sweep valve governs (rule sweep-valve-range; common practice)."""
    said = tr("it governs closing from about {start}° to about {end}°.")
    return f"{_between(said, rules, 'sweep-valve-range')} {tr(SLOWER)}"


def closing_time(rules: RuleBook) -> str:
    """How long an accessible door takes to close at least (rule closing-speed-closer)."""
    return tr("From 90° to 12° the leaf takes {seconds} seconds or more ({source}).").format(
        seconds=_seconds(rules), source=tr(rule_source(rules, "closing-speed-closer"))
    )


def closing_limit(rules: RuleBook) -> str:
    """The same beside what is measured (rule closing-speed-closer)."""
    return tr("to 12°: at least {seconds}").format(seconds=_seconds(rules))


def latch_text(rules: RuleBook) -> str:
    """What the latch valve governs: the rest (rule sweep-valve-range; common practice)."""
    said = tr("it governs the last {end}° or less.")
    return f"{_between(said, rules, 'sweep-valve-range')} {tr(SLOWER)}"


def delayed_text(rules: RuleBook) -> str:
    """Where delayed action holds the leaf (rule delayed-action-range; common practice)."""
    said = tr(
        "it slows closing from about {start}°, or from where the leaf stands open, to about {end}°."
    )
    return (
        f"{_between(said, rules, 'delayed-action-range')} "
        f"{tr('Clockwise longer, counterclockwise shorter.')}"
    )


def gauge_point(
    rules: RuleBook, read_at: str = "handle", *, en: bool = False, metric: bool = False
) -> str:
    """Where a gauge is set on site, as a limit's code reads it: `at the handle or latch edge …`.

    read_at: `handle`, or `edge` for the leading edge. The laboratory's point of BHMA is told
    apart, so that nobody reads there; where EN 1154 is the basis (en) it has no place.
    metric: in millimetres, the standard's inches in brackets.
    """
    if read_at == "edge":
        return tr("at the leading edge")
    if en:
        return tr("at the handle")
    point = parse_length(f"{rules.number('force-gauge-point'):g} in")
    own = figure(str(point))
    return tr(
        "at the handle or latch edge; the laboratory's {distance} from the pivot ({source}) is no "
        "point for a reading on site"
    ).format(
        distance=f"{measure(point, metric)} ({own})" if metric else own,
        source=tr(rule_source(rules, "force-gauge-point")),
    )


def latch_apart(rules: RuleBook, limit: str) -> str:
    """That the limit of an accessible door's opening force leaves the latch out, by the clause that
    sets it (rule limit-ada-interior). limit: its figure in words.
    """
    return tr(
        "The limit of {limit} does not count what it takes to draw back the latch bolt ({source})."
    ).format(limit=limit, source=tr(rule_source(rules, LATCH_APART)))


def _between(said: str, rules: RuleBook, rule: str) -> str:
    span = rules.mapping(rule)
    return said.format(start=span["from"], end=span["to"])


def _seconds(rules: RuleBook) -> str:
    return figure(f"{rules.number('closing-speed-closer'):g}")
