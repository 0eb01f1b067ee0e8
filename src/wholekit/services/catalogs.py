"""Catalogues of the store, read: no price and no cost but for those who may see them."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog import Catalog, ItemKey, item_key
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import CatalogRef
from wholekit.domain.quotes.roles import Action
from wholekit.services.catalog_port import CatalogRevision
from wholekit.services.desk import Deed
from wholekit.services.ports import Store, UnitOfWork
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class StoredCatalog:
    """A catalogue and the revision it is of."""

    ref: CatalogRef
    catalog: Catalog


@needs(Action.SEE_CATALOGS)
def list_catalogs(store: Store, deed: Deed, catalog: str = "") -> Sequence[CatalogRevision]:
    """Every catalogue in its latest revision, or all revisions of one. Raises CallError."""
    with store.reading() as uow:
        found = uow.catalogs.revisions(catalog) if catalog else uow.catalogs.current()
        if catalog and not found:
            _refuse(uow, catalog)
    return found


@needs(Action.SEE_PRICES)
def newest_catalogs(store: Store, deed: Deed, ids: Sequence[str] = ()) -> tuple[Catalog, ...]:
    """The latest revision of each catalogue named, of all of them for none, to make a shelf of.

    Costs are in them as for any job that is worked up: no answer made from a shelf shows them.
    Their counts are what is free now, and no longer what the book said.
    Raises CallError: one is not there, or there are several currencies and none was named.
    """
    with store.reading() as uow:
        there = {stored.catalog_id: stored for stored in uow.catalogs.current()}
        for catalog in ids:
            if catalog not in there:
                raise CallError("catalog-unknown", given=catalog, known=sorted(there) or "none")
        if not ids and len({stored.currency for stored in there.values()}) > 1:
            listed = [f"{name} in {stored.currency}" for name, stored in sorted(there.items())]
            raise CallError("currencies-in-store", known=listed)
        wanted = [there[catalog] for catalog in ids or there]
        refs = [CatalogRef(stored.catalog_id, stored.revision) for stored in wanted]
        free = uow.stock.every_free()
        return tuple(_counted(uow.catalogs.load(ref), free) for ref in refs)


@needs(Action.SEE_CATALOGS)
def stored_catalog(
    store: Store, deed: Deed, catalog: str, revision: int | None = None
) -> StoredCatalog:
    """A revision, the latest for None, without money: prices and costs are zero, and no price
    break. Raises CallError."""
    found = _without_cost(_stored(store, catalog, revision))
    nothing = Money.zero(found.catalog.currency)
    items = tuple(replace(item, list_price=nothing) for item in found.catalog.items)
    return replace(found, catalog=replace(found.catalog, items=items))


@needs(Action.SEE_PRICES)
def stored_with_prices(
    store: Store, deed: Deed, catalog: str, revision: int | None = None
) -> StoredCatalog:
    """The same with list prices. Raises CallError."""
    return _without_cost(_stored(store, catalog, revision))


@needs(Action.SEE_COST)
def stored_with_cost(
    store: Store, deed: Deed, catalog: str, revision: int | None = None
) -> StoredCatalog:
    """The same with costs as well. Raises CallError."""
    return _stored(store, catalog, revision)


@needs(Action.SEE_CATALOGS)
def stored_bodies(store: Store, deed: Deed) -> list[Catalog]:
    """Every catalogue in its latest revision without its items: what is made, and no price."""
    with store.reading() as uow:
        refs = [CatalogRef(each.catalog_id, each.revision) for each in uow.catalogs.current()]
        return [uow.catalogs.without_book(ref) for ref in refs]


def _counted(catalog: Catalog, free: Mapping[ItemKey, int]) -> Catalog:
    counts = {item.sku: free[item_key(item)] for item in catalog.items if item_key(item) in free}
    return replace(catalog, counts=counts)


def _without_cost(found: StoredCatalog) -> StoredCatalog:
    nothing = Cost(0, found.catalog.currency)
    items = tuple(
        replace(item, cost=nothing, terms=replace(item.terms, price_breaks=()))
        for item in found.catalog.items
    )
    return StoredCatalog(found.ref, replace(found.catalog, items=items))


def _stored(store: Store, catalog: str, revision: int | None) -> StoredCatalog:
    with store.reading() as uow:
        there = [stored.revision for stored in uow.catalogs.revisions(catalog)]
        if not there:
            _refuse(uow, catalog)
        if revision is not None and revision not in there:
            raise CallError("catalog-revision-unknown", catalog=catalog, revision=revision)
        ref = CatalogRef(catalog, there[-1] if revision is None else revision)
        return StoredCatalog(ref, uow.catalogs.load(ref))


def _refuse(uow: UnitOfWork, catalog: str) -> None:
    known = [revision.catalog_id for revision in uow.catalogs.current()]
    raise CallError("catalog-not-loaded", id=catalog, known=known or "none")
