"""The bins that goods of a bag are taken from, and were: what the walk says, the books say too."""

from collections.abc import Mapping, Sequence

from wholekit.domain.catalog import ItemKey
from wholekit.domain.orders import ReleasedBag
from wholekit.domain.picking import Wave
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.domain.stock import Kind, StockPlace
from wholekit.services.paging import Page
from wholekit.services.ports import UnitOfWork

# More movements than the bag of one opening has.
_ALL = Page(0, 10_000)


def bins_for(
    there: Mapping[StockPlace, int],
    row: ReleasedBag,
    item: ItemKey,
    packs: int,
    walk: Wave | None = None,
) -> list[tuple[StockPlace, int]]:
    """The bins at a bag's branch that hold an item, with the packs in each, in the order in which
    they are taken from: those that the picker's walk sends to for the bag, then one that holds all
    of so many packs, then by name; what has no bin comes last. there: packs by bin."""
    named = walk.bins_of(bag_id_from(row.id), item) if walk is not None else ()
    rank = {name: at for at, name in enumerate(named)}
    return sorted(
        ((place, held) for place, held in there.items() if place.branch == row.branch),
        key=lambda each: (
            rank.get(each[0].bin, len(rank)), each[1] < packs, not each[0].bin, each[0].bin,
        ),
    )  # fmt: skip


def parts_of(
    places: Sequence[tuple[StockPlace, int]], packs: int
) -> tuple[tuple[StockPlace, int], ...]:
    """So many packs drawn from places in their order; fewer where they hold fewer."""
    found, left = [], packs
    for place, held in places:
        part = min(left, held)
        if part > 0:
            found.append((place, part))
            left -= part
    return tuple(found)


def came_from(
    uow: UnitOfWork, row: ReleasedBag, scan: str = ""
) -> Mapping[ItemKey, tuple[tuple[StockPlace, int], ...]]:
    """By item the bins that what is in a bag was taken from, with the packs. scan: id of one scan,
    of which alone it is told."""
    net: dict[tuple[ItemKey, StockPlace], int] = {}
    for move in reversed(uow.stock.history(_ALL, bag=row.id)[0]):
        if scan and not move.key.startswith(f"{scan}/"):
            continue
        if move.kind is Kind.PICK:
            key = move.item, move.source.place
            net[key] = net.get(key, 0) + move.packs
        elif move.kind is Kind.UNPICK:
            key = move.item, move.target.place
            net[key] = net.get(key, 0) - move.packs
    found: dict[ItemKey, list[tuple[StockPlace, int]]] = {}
    for (item, place), packs in net.items():
        if packs > 0:
            found.setdefault(item, []).append((place, packs))
    return {item: tuple(places) for item, places in found.items()}
