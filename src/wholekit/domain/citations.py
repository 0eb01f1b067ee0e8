"""Where a figure comes from."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Mark(StrEnum):
    """How far a figure may be trusted.

    seen: read in the published text named; memory: recalled, not read; practice: common practice
    of the trade, no published source; computed: follows from the rules named; house: set by the
    house's own file.
    """

    SEEN = "seen"
    MEMORY = "memory"
    PRACTICE = "practice"
    COMPUTED = "computed"
    HOUSE = "house"


@dataclass(frozen=True, slots=True)
class Source:
    """A published text: its body, edition and clause or table; empty where there is none."""

    body: str
    edition: str
    clause: str
    mark: Mark
    last_checked: date
