"""How a supplier's own price sheet is read: what somebody told of its columns once."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime


@dataclass(frozen=True, slots=True)
class PriceSheet:
    """What was told of one supplier's price sheets.

    sheet: the name of the workbook's sheet, empty for the one that is found. columns: headings
    with our column, empty for one that is not taken. whole: the sheet is the whole book, and what
    it does not name is sold no longer; else that stays as it is.
    """

    sheet: str = ""
    columns: Mapping[str, str] = field(default_factory=dict)
    whole: bool = False


@dataclass(frozen=True, slots=True)
class KeptPriceSheet:
    """The same as it is kept for a catalogue, when it was last told and by whom.

    version: counts its changes, from 1.
    """

    catalog: str
    told: PriceSheet
    at: datetime
    by: str
    version: int = 1
