"""What may be drawn for a job, and when more can come: stock as it is counted, and the calendar."""

from collections.abc import Collection, Iterable, Mapping

from wholekit.domain.catalog import Item, ItemKey, item_key
from wholekit.domain.kits import Kit
from wholekit.domain.quotes.ready import Availability
from wholekit.domain.rules import RuleBook
from wholekit.domain.working_days import Holiday, WorkingDays, working_days
from wholekit.services.ports import Stock

WEEK = "working-week"


class BookStock:
    """The quantities that the price books state: of a catalogue's folder or of its revision."""

    def on_hand(self, items: Collection[Item]) -> Mapping[ItemKey, int]:
        """Packs that may be taken, by supplier and SKU."""
        return {item_key(item): item.on_hand for item in items}


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
    items = {item_key(line.item): line.item for kit in each.values() for line in kit.lines}
    return Availability(stock.on_hand(tuple(items.values())), calendar_of(rules, holidays))
