"""Whether a house's own value can stand in place of the published one."""

from collections.abc import Iterator, Mapping

from wholekit.domain.rules import Rule, RuleBook
from wholekit.intake.rule_domains import DOMAINS
from wholekit.intake.rule_shapes import NOT_SET


def unfit(rule: Rule, published: Rule, book: RuleBook) -> Iterator[dict[str, object]]:
    """The fields of a fault for each part of a house rule that cannot stand.

    What the program could not work with, and what would silence or loosen a stop about fire or
    latching, or a limit of force. book: all rules, the house's among them.
    """
    domain = DOMAINS.get(rule.id)
    if domain is not None:
        for fault in domain.faults(rule.value, published.value, book):
            yield {"given": fault.shown, "right": fault.right}
    if rule.unit not in ("", published.unit):
        yield {"given": f"unit {rule.unit}", "right": published.unit or "no unit"}
    # From its first day on a limit holds; a later one would leave the days before without any.
    if rule.id.startswith("limit-") and rule.valid_from > published.valid_from:
        yield {
            "given": f"valid_from {rule.valid_from}",
            "right": f"no day after {published.valid_from}",
        }


def may_be_set_to(rule: Rule, book: RuleBook) -> str:
    """What a house may set a rule to, in words: of named values each, of a table its outer form."""
    domain = DOMAINS.get(rule.id)
    if domain is None:
        return "nothing: the rule states what the program does"
    published = (rule.replaces or rule).value
    # A value that fits nowhere, so that each shape tells what would be right.
    nothing = dict.fromkeys(published) if isinstance(published, Mapping) else None
    by_remedy: dict[str, list[str]] = {}
    for fault in domain.faults(nothing, published, book):
        if fault.path and fault.right.endswith(NOT_SET):
            continue
        by_remedy.setdefault(fault.right, []).append(fault.path)
    return "; ".join(
        f"{', '.join(paths)}: {right}" if any(paths) else right
        for right, paths in by_remedy.items()
    )
