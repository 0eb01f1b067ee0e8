"""What the store's catalogues sell, looked through page by page; money by the table of rights."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog import Catalog, Item, item_key
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import CatalogRef
from wholekit.domain.quotes.roles import Action
from wholekit.services.catalog_port import BookItem, CatalogRevision, ItemFilter
from wholekit.services.desk import Deed
from wholekit.services.ports import Page, Store, UnitOfWork
from wholekit.services.rights import has_right, needs

FIRST = Page()


@dataclass(frozen=True, slots=True)
class ShownItem:
    """An item as somebody may see it. on_hand: as its book says; free: in stock and promised to
    nobody now [packs]. price, cost: None where it is not theirs to see; a cost not shown has no
    price breaks either."""

    item: Item
    on_hand: int
    free: int
    price: Money | None
    cost: Cost | None


@dataclass(frozen=True, slots=True)
class ShownBook:
    """A page of a book. catalog: what is made, without its items; count: items found in all."""

    revision: CatalogRevision
    catalog: Catalog
    items: tuple[ShownItem, ...]
    count: int


@needs(Action.SEE_CATALOGS)
def browse(
    store: Store,
    deed: Deed,
    catalog: str,
    text: str = "",
    series: str = "",
    page: Page = FIRST,
    revision: int | None = None,
) -> ShownBook:
    """Items of a revision, the latest for None, whose SKU or description holds the text and that
    supply a piece of the series. Raises CallError."""
    with store.reading() as uow:
        found, made = _book(uow, catalog, revision)
        pieces = None
        if series:
            pieces = frozenset(
                piece.id for each in made.series if each.id == series for piece in each.pieces
            )
        ref = CatalogRef(catalog, found.revision)
        items, count = uow.catalogs.find_items(ref, ItemFilter(text, "", pieces), page)
        shown = _shown(store, uow, deed, items)
    return ShownBook(found, made, shown, count)


@needs(Action.SEE_COST)
def browse_with_cost(
    store: Store,
    deed: Deed,
    catalog: str,
    text: str = "",
    series: str = "",
    page: Page = FIRST,
    revision: int | None = None,
) -> ShownBook:
    """The same, refused to whoever may not see cost. Raises CallError."""
    return browse(store, deed, catalog, text, series, page, revision)


@needs(Action.SEE_CATALOGS)
def browse_item(store: Store, deed: Deed, catalog: str, sku: str) -> ShownBook:
    """One item of a catalogue's latest revision. Raises CallError."""
    with store.reading() as uow:
        found, made = _book(uow, catalog, None)
        ref = CatalogRef(catalog, found.revision)
        items, count = uow.catalogs.find_items(ref, ItemFilter(sku=sku), Page(0, 1))
        if not items:
            raise CallError("catalog-item-unknown", sku=sku, id=catalog)
        shown = _shown(store, uow, deed, items)
    return ShownBook(found, made, shown, count)


def _book(uow: UnitOfWork, catalog: str, revision: int | None) -> tuple[CatalogRevision, Catalog]:
    there = {each.revision: each for each in uow.catalogs.revisions(catalog)}
    if not there:
        known = [each.catalog_id for each in uow.catalogs.current()]
        raise CallError("catalog-not-loaded", id=catalog, known=known or "none")
    wanted = max(there) if revision is None else revision
    if wanted not in there:
        raise CallError("catalog-revision-unknown", catalog=catalog, revision=wanted)
    return there[wanted], uow.catalogs.without_book(CatalogRef(catalog, wanted))


def _shown(
    store: Store, uow: UnitOfWork, deed: Deed, items: Sequence[BookItem]
) -> tuple[ShownItem, ...]:
    prices, costs = (
        has_right(store, deed, action) for action in (Action.SEE_PRICES, Action.SEE_COST)
    )
    free = uow.stock.free([item_key(each.item) for each in items])
    found = []
    for each in items:
        item = each.item
        price, cost = item.list_price if prices else None, item.cost if costs else None
        # Nothing of what may not be seen is handed on.
        if price is None:
            item = replace(item, list_price=Money.zero(item.list_price.currency))
        if cost is None:
            terms = replace(item.terms, price_breaks=())
            item = replace(item, cost=Cost(0, item.cost.currency), terms=terms)
        found.append(ShownItem(item, each.on_hand, free.get(item_key(item), 0), price, cost))
    return tuple(found)
