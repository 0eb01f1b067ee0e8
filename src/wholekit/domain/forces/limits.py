"""Force limits by jurisdiction and date."""

from collections.abc import Sequence
from datetime import date

from wholekit.domain.errors import CallError, RuleError
from wholekit.domain.forces.figures import figures
from wholekit.domain.forces.limit import NEWTONS, Limit
from wholekit.domain.rules import RuleBook

__all__ = ["NEWTONS", "Limit", "adopted", "en_basis", "jurisdictions", "limits_of", "profile_name"]


def jurisdictions(rules: RuleBook) -> tuple[str, ...]:
    """Every profile's name, in order. Raises RuleError."""
    return tuple(sorted(figures(rules).profiles))


def profile_name(text: str, rules: RuleBook) -> str:
    """The profile a person's word means: `us-or`, `Oregon`. Raises CallError, RuleError.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> profile_name("Oregon", load_rulebook())
    'us-or'
    """
    profiles = figures(rules).profiles
    if text in profiles:
        return text
    # Names of places are written with blanks, hyphens or underscores; the rule book keys them
    # once.
    word = "-".join(text.strip().lower().replace("_", "-").split())
    named = str(rules.mapping("force-profile-names").get(word, word))
    if named not in profiles:
        raise CallError("jurisdiction-unknown", given=text, known=jurisdictions(rules))
    return named


def limits_of(jurisdiction: str, rules: RuleBook, on: date | None = None) -> tuple[Limit, ...]:
    """The limits of a profile as published on a day, or of the newest edition where none is given.

    Raises CallError for an unknown profile, RuleError for a limit the book does not hold.
    """
    dated = figures(rules).profiles[profile_name(jurisdiction, rules)]
    return tuple(dated_limit.limit for dated_limit in dated if dated_limit.holds(on))


def en_basis(jurisdiction: str, rules: RuleBook) -> bool:
    """Whether a profile sizes and powers by EN 1154 (rule en-basis-jurisdictions).

    Raises RuleError.
    """
    names = rules["en-basis-jurisdictions"].value
    if isinstance(names, str) or not isinstance(names, Sequence):
        raise RuleError("rule-not-a-table", rule="en-basis-jurisdictions")
    return jurisdiction in names


def adopted(jurisdiction: str, rules: RuleBook) -> bool:
    """Whether the place is known to have adopted the editions of its profile.

    Else they are published, and no more is known (rule force-profile-adopted). Raises CallError,
    RuleError.
    """
    return rules.mapping("force-profile-adopted").get(profile_name(jurisdiction, rules)) is True
