"""A value that somebody wrote and that could mean several things: worked under, never taken."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Unclear:
    """What was written for a field, and the values it may mean, as a schedule spells them.

    Until somebody answers, the field itself holds the harshest of them.
    """

    field: str
    written: str
    candidates: tuple[str, ...]
