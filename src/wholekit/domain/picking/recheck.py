"""A bag's items held against its opening by the house's own check of kits."""

from collections.abc import Mapping

from wholekit.domain.catalog import Catalog, Item
from wholekit.domain.findings import Severity
from wholekit.domain.kits import Shelf
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.openings import OpeningType
from wholekit.domain.picking.demand import BagDemand
from wholekit.domain.picking.substitution import KitCheck
from wholekit.domain.quotes.job import finding_about
from wholekit.domain.quotes.ready import ItemKey
from wholekit.domain.rules import RuleBook

ITEM_GONE = "item-unknown"


def kit_check(demand: BagDemand, opening: OpeningType, shelf: Shelf, rules: RuleBook) -> KitCheck:
    """The check of what goes into a bag: only stops that the bag's own items do not have count.

    Raises RuleError when it is called, as `check_kit`.
    """
    sold = {
        (item.supplier, item.sku): (item, catalog)
        for catalog in shelf.catalogs
        for item in catalog.items
    }
    own = {line.item: line.packs for line in demand.lines}

    def check(packs: Mapping[ItemKey, int]) -> tuple[str, ...]:
        if not packs.keys() <= sold.keys():
            return (ITEM_GONE,)
        had = _stops(own, sold, opening, shelf, rules)
        brought = _stops(packs, sold, opening, shelf, rules)
        return tuple(dict.fromkeys(code for code, about in brought if (code, about) not in had))

    return check


def _stops(
    packs: Mapping[ItemKey, int],
    sold: Mapping[ItemKey, tuple[Item, Catalog]],
    opening: OpeningType,
    shelf: Shelf,
    rules: RuleBook,
) -> tuple[tuple[str, str], ...]:
    """Code and `about` of each stop of a kit; none where an item of it is sold no more."""
    if not packs.keys() <= sold.keys():
        return ()
    lines = [HandLine(*sold[key], count) for key, count in packs.items()]
    return tuple(
        (finding.code, finding_about(finding))
        for finding in check_kit(opening, lines, shelf, rules).findings
        if finding.severity is Severity.STOP
    )
