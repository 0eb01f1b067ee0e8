"""Shelves kept from call to call: a catalogue revision never changes, and what is made of it only
with the stock."""

from collections.abc import Sequence

from wholekit.domain.errors import CallError
from wholekit.domain.kits import OnHand, Policy, Shelf
from wholekit.domain.quotes import CatalogRef
from wholekit.services.catalog_port import CatalogRevision
from wholekit.services.ports import UnitOfWork

# A shelf takes about a kilobyte an item with what it has worked out, 200 megabytes at most, and
# the kits that it keeps (`KITS_KEPT`) ten more.
MOST_SHELVES = 16
MOST_ITEMS = 200_000
# What a shelf remembers of openings it has seen, by far more than a job has kinds [entries].
MOST_REMEMBERED = 50_000
# Shelves narrowed to the bodies that fit old holes, each as large as a part of the whole.
MOST_NARROWED = 16

Key = tuple[tuple[CatalogRevision, ...], Policy]


class ShelfKeeper:
    """The shelves used last, by the revisions they are of and the policy; the others are let go.

    For one store and one rule book: a shelf remembers what it has worked out by their rules. A
    revision counts by all its row says, the moment of its load too, so that a store restored under
    a running program brings no stale shelf.
    """

    def __init__(self) -> None:
        # In the order of their last use. Each step below is one that no other thread can split.
        self._shelves: dict[Key, Shelf] = {}
        self._counted: tuple[object, OnHand] | None = None

    def shelf(self, uow: UnitOfWork, refs: Sequence[CatalogRef], policy: Policy) -> Shelf:
        """The shelf of catalogue revisions, made on first use.

        Raises CallError (`catalog-revision-unknown`).
        """
        key = _revisions(uow, refs), policy
        shelf = self._shelves.pop(key, None)
        stock = self._stock(uow)
        if shelf is None:
            # Two callers at once may make it twice; neither waits for the other's reading.
            shelf = Shelf([uow.catalogs.load(ref) for ref in refs], policy, stock)
        else:
            shelf = shelf.with_stock(stock)
        self._shelves[key] = shelf
        self._let_go()
        _forget(shelf)
        return shelf

    def _stock(self, uow: UnitOfWork) -> OnHand:
        """What is free now; read anew where any balance has changed since."""
        # The stamp first: counts that are newer than it are read again, never older ones kept.
        stamp = uow.stock.stamp()
        known = self._counted
        if known is None or known[0] != stamp:
            known = self._counted = stamp, uow.stock.every_free()
        return known[1]

    def __len__(self) -> int:
        return len(self._shelves)

    def _let_go(self) -> None:
        """Drop the shelves used longest ago, but never the last, however large."""
        kept = list(self._shelves)
        items = sum(catalog.items for key in kept for catalog in key[0])
        for number, key in enumerate(kept[:-1]):
            if len(kept) - number <= MOST_SHELVES and items <= MOST_ITEMS:
                return
            self._shelves.pop(key, None)
            items -= sum(catalog.items for catalog in key[0])


def _revisions(uow: UnitOfWork, refs: Sequence[CatalogRef]) -> tuple[CatalogRevision, ...]:
    """The stored revisions of the refs; one question of the store where all are the latest."""
    found = {(stored.catalog_id, stored.revision): stored for stored in uow.catalogs.current()}
    for ref in refs:
        if (ref.catalog_id, ref.revision) not in found:
            older = uow.catalogs.revisions(ref.catalog_id)
            found |= {(stored.catalog_id, stored.revision): stored for stored in older}
    try:
        return tuple(found[ref.catalog_id, ref.revision] for ref in refs)
    except KeyError as missing:
        catalog, revision = missing.args[0]
        raise CallError("catalog-revision-unknown", catalog=catalog, revision=revision) from None


def _forget(shelf: Shelf) -> None:
    """Keep what a shelf remembers within bounds; what is forgotten is worked out anew."""
    if len(shelf.of_bodies) > MOST_NARROWED:
        shelf.of_bodies.clear()
    for each in (shelf, *shelf.variants.values(), *shelf.of_bodies.values()):
        memories = (
            each.floors, each.group_floors, each.geometry, each.eligible, each.suited,
            each.weakness, each.any_size, each.settled, each.settings,
        )  # fmt: skip
        # All at once: the floors of groups go by the identity of what `eligible` holds, and
        # another entry may come to stand where a forgotten one stood.
        if any(len(memory) > MOST_REMEMBERED for memory in memories):
            for memory in memories:
                memory.clear()
