"""Who an offer is made to, and whose books it was priced on."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Party:
    """The customer as quoted to; nameless where a schedule stands on its own. terms: of payment,
    as they are printed for this customer; empty: the house's, by days to pay [d]."""

    code: str
    name: str
    address: tuple[str, ...] = ()
    contact: str = ""
    locale: str = "en_US"
    terms: str = ""
    days: int = 0


@dataclass(frozen=True, slots=True)
class PriceBook:
    """A catalogue the offer was priced on; revision 0: not of a store."""

    catalog_id: str
    supplier: str
    revision: int
    edition: date
