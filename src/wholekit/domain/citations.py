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

    def __str__(self) -> str:
        """One line for a paper or an answer, the mark said where the text was not read.

        >>> from datetime import date
        >>> str(Source("EN 1154", "1996+A1:2002", "Table 1", Mark.MEMORY, date(2026, 1, 1)))
        'EN 1154 1996+A1:2002, Table 1 (from memory, not read)'
        """
        named = " ".join(part for part in (self.body, self.edition) if part)
        named = ", ".join(part for part in (named, self.clause) if part)
        match self.mark:
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
