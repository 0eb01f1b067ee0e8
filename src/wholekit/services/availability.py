"""What may be drawn for a job, and when more can come: stock as it is counted, and the calendar."""

from collections.abc import Collection, Iterable, Mapping

from wholekit.domain.catalog import Catalog, ItemKey, item_key
from wholekit.domain.kits import Kit, OnHand, book_counts
from wholekit.domain.quotes.ready import Availability
from wholekit.domain.rules import RuleBook
from wholekit.domain.stock import MAIN
from wholekit.domain.working_days import Holiday, WorkingDays, working_days
from wholekit.services.stock_port import Stock

WEEK = "working-week"


class BookStock:
    """The quantities that price books state: of catalogues' folders or of their revisions."""

    def __init__(self, catalogs: Iterable[Catalog]) -> None:
        self._counts = book_counts(catalogs)

    def free(self, items: Collection[ItemKey], branch: str = "") -> Mapping[ItemKey, int]:
        """Packs that may be taken; a book knows one branch, the main one."""
        if branch not in ("", MAIN):
            return {}
        return {item: self._counts[item] for item in items if item in self._counts}


class ShelfStock:
    """What a shelf of this unit of work counts: free packs of all branches together."""

    def __init__(self, counts: OnHand) -> None:
        self._counts = counts

    def free(self, items: Collection[ItemKey], branch: str = "") -> Mapping[ItemKey, int]:  # noqa: ARG002  # as stock has it
        """Packs that may be taken."""
        return {item: self._counts[item] for item in items if item in self._counts}


def calendar_of(rules: RuleBook, holidays: Iterable[Holiday] = ()) -> WorkingDays:
    """The rule book's week, with the holidays of its house file and those given besides.

    Raises RuleError.
    """
    return working_days(rules.words(WEEK), (*rules.holidays, *holidays))


def availability_of(
    kits: Iterable[Kit], stock: Stock, rules: RuleBook, holidays: Iterable[Holiday] = ()
) -> Availability:
    """What these kits may draw on. Raises RuleError."""
    # Openings alike share one kit.
    each = {id(kit): kit for kit in kits}
    items = {item_key(line.item): None for kit in each.values() for line in kit.lines}
    return Availability(stock.free(tuple(items)), calendar_of(rules, holidays))
