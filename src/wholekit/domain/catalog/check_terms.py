"""Faults of the terms on which items are bought: substitutes, and prices by quantity."""

from collections.abc import Iterator, Mapping

from wholekit.domain.catalog.model import Catalog, Item
from wholekit.domain.catalog.nearest_words import NearWords
from wholekit.domain.errors import Problem


def check_terms(catalog: Catalog, where: str) -> list[Problem]:
    """Substitutes that are not in the book, are of another finish or lack pieces; breaks that are
    no cheaper. where: the price book."""
    skus = catalog.items_by_sku
    near = NearWords(skus)
    problems: list[Problem] = []
    for item in catalog.items:
        if item.terms.substitutes:
            problems += _substitutes(item, skus, near, where)
        if item.terms.price_breaks:
            problems += _breaks(item, where)
    return problems


def _substitutes(
    item: Item, skus: Mapping[str, Item], near: NearWords, where: str
) -> Iterator[Problem]:
    for sku in item.terms.substitutes:
        fields: dict[str, object] = {"sku": item.sku, "given": sku}
        other = skus.get(sku)
        code = ""
        if other is None:
            code = "substitute-unknown"
            fields["right"] = near.right_for(sku)
        elif sku == item.sku:
            code = "substitute-of-itself"
        elif other.discontinued:
            code = "substitute-discontinued"
        elif other.finish != item.finish:
            code = "substitute-other-finish"
            fields |= {"finish": other.finish or "-", "right": item.finish or "-"}
        elif lacking := _lacking(item, other):
            code = "substitute-lacks"
            fields["piece"] = ", ".join(lacking)
        if code:
            yield Problem(code, fields, where, item.row, "substitutes")


def _lacking(item: Item, other: Item) -> list[str]:
    """What a pack of the item holds and one of the other has not, or fewer of."""
    held = {supply.piece: supply.quantity for supply in other.supplies}
    return [
        f"{supply.quantity} {supply.piece}"
        for supply in item.supplies
        if held.get(supply.piece, 0) < supply.quantity
    ]


def _breaks(item: Item, where: str) -> Iterator[Problem]:
    before = item.cost
    for each in item.terms.price_breaks:
        if each.cost >= before:
            fields = {
                "sku": item.sku,
                "packs": each.packs,
                "cost": each.cost.decimal_text,
                "before": before.decimal_text,
            }
            yield Problem("price-break-not-cheaper", fields, where, item.row, "price_breaks")
        before = each.cost
