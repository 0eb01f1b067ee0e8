"""Where a figure comes from, in one line, and how far it may be trusted."""

from wholekit.domain.citations import Mark, Source
from wholekit.domain.rules import RuleBook


def say_source(source: Source) -> str:
    """One line for a paper or an answer, the mark said where the text was not read.

    >>> from datetime import date
    >>> say_source(Source("EN 1154", "1996+A1:2002", "Table 1", Mark.MEMORY, date(2026, 1, 1)))
    'EN 1154 1996+A1:2002, Table 1 (from memory, not read)'
    """
    named = " ".join(part for part in (source.body, source.edition) if part)
    named = ", ".join(part for part in (named, source.clause) if part)
    match source.mark:
        case Mark.PRACTICE:
            return named or "common practice, no source"
        case Mark.MEMORY:
            return f"{named} (from memory, not read)" if named else "from memory, not read"
        case Mark.COMPUTED:
            return f"computed from {named}" if named else "computed"
        case Mark.HOUSE:
            return f"house rule: {named}" if named else "house rule"
        case _:
            return named


def rule_source(rules: RuleBook, rule_id: str) -> str:
    """The source of a rule in one line, and what it replaces where the house has set it anew."""
    rule = rules[rule_id]
    said = say_source(rule.source)
    if rule.replaces is None:
        return said
    return f"{said}, in place of {say_source(rule.replaces.source)}"
