"""Fire labels unusual for a leaf's construction: the listing is asked for, nothing is judged."""

from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.openings import Door, Facts
from wholekit.domain.rules import RuleBook


def label_told(facts: Facts, rules: RuleBook) -> tuple[Finding, ...]:
    """A warning where the label is longer than is usual for the leaf; () else. Raises RuleError.

    A wood leaf whose core nobody has named is held against the core that is listed the longest.
    """
    usual = {key: int(str(value)) for key, value in rules.mapping("labels-usual").items()}
    door: str = facts.door
    if facts.door is Door.WOOD:
        core = facts.type.core
        cores = [value for key, value in usual.items() if key.startswith("wood-")]
        most = max(cores) if core is None else usual[f"wood-{core}"]
    else:
        core, most = None, usual.get(door, 0)
    if facts.fire_minutes <= most:
        return ()
    fields = {"minutes": facts.fire_minutes, "most": most, "door": facts.door, "core": core}
    hint = Hint("ask-listing")
    return (Finding("label-unusual", Severity.WARN, fields, "labels-usual", hint),)
