"""The size an opening requires: what the tables ask for, and what latching there needs.

It follows from the opening and its mount alone, never from what a shelf holds, so that a harsher
opening can never be answered by a smaller size.
"""

from dataclasses import replace

from wholekit.domain.findings import Finding
from wholekit.domain.kits.proof import moment_needed, size_latching_nominal
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE, Sizing, size_opening

_STATED = ("pressure", "wind", "seals", "latch", "fire_minutes", "width", "height")


def required_size(facts: Facts, mount: Mount, rules: RuleBook) -> Sizing:
    """What one leaf requires in a mount: the greater of its tables and of what latches there.

    Latching is reckoned with the share of power that the mount leaves a leaf (rule mount-share),
    before any body is known. required is None beyond the tables or where no size latches.
    Monotone: more width, height, mass, pressure, wind, seals, latch or fire never gives less, None
    counting as the greatest. Raises RuleError.
    """
    sizing = size_opening(facts, mount, rules)
    needed = moment_needed(facts, rules)
    latching = size_latching_nominal(needed, mount, rules)
    sizing = replace(sizing, needed_nm=needed, findings=_worth_telling(sizing, latching))
    if sizing.tables is None or sizing.binding is None:
        return sizing
    # The tables hold. Latching still lifts what is binding: a recommendation may be passed over,
    # the force may not.
    if latching is not None and latching <= sizing.tables:
        return replace(sizing, binding=max(latching, sizing.binding))
    # From here on latching asks for more than the tables, or no size latches at all (None).
    force = Reason(
        "size-by-force",
        {"size": latching, "needed": f"{needed:.1f}"},
        ("en1154-table-1", "mount-share"),
        tuple(facts.why(name) for name in _STATED if getattr(facts.type, name) is not None),
    )
    reason = replace(
        sizing.reason, fields={"size": latching}, because=(force, *sizing.reason.because)
    )
    return replace(sizing, required=latching, binding=latching, reason=reason)


def _worth_telling(sizing: Sizing, latching: int | None) -> tuple[Finding, ...]:
    """The findings of the tables, but a larger size by estimate only where it would be larger."""
    sizes = [size for size in (sizing.tables, latching) if size is not None]
    most = LARGEST_SIZE if latching is None else max(sizes, default=LARGEST_SIZE)
    return tuple(
        finding
        if finding.code != "weight-may-raise"
        else replace(finding, fields={**finding.fields, "size": most})
        for finding in sizing.findings
        if finding.code != "weight-may-raise" or int(str(finding.fields["by_mass"])) > most
    )
