"""What a bag must hold: the frozen kit of its opening, as items to take and pieces demanded."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from wholekit.domain.kits import Use
from wholekit.domain.picking.ware import PieceCount, PieceKey, Ware, whole_item
from wholekit.domain.quotes.bag_id import BagId
from wholekit.domain.quotes.offer import OfferKit, OfferLine
from wholekit.domain.quotes.ready import ItemKey


@dataclass(frozen=True, slots=True)
class BagLine:
    """So many packs of one item that a bag takes [count]; ware: what one pack is."""

    ware: Ware
    packs: int

    @property
    def item(self) -> ItemKey:
        """The item's key."""
        return self.ware.key


@dataclass(frozen=True, slots=True)
class NeededPiece:
    """So many of a piece that an opening uses [count]; finish: empty where it is not seen."""

    piece: PieceKey
    finish: str
    role: str
    count: int

    @property
    def key(self) -> tuple[PieceKey, str]:
        """What makes two needs one."""
        return self.piece, self.finish


@dataclass(frozen=True, slots=True)
class BagDemand:
    """A bag as it is released: never changed by picking.

    held: a stop is open, or a piece is missing that nobody sells, so nothing goes into it.
    """

    bag: BagId
    mark: str
    lines: tuple[BagLine, ...]
    needed: tuple[NeededPiece, ...]
    held: bool = False


def demand_of(
    bag: BagId, mark: str, kit: OfferKit, wares: Mapping[ItemKey, Ware], *, held: bool = False
) -> BagDemand:
    """The demand of one opening's kit.

    wares: what is in a pack of its items today; where an item is no longer known, its packs are
    taken to hold what the kit used of them. A line of which no use was kept demands its item.
    """
    lines: dict[ItemKey, BagLine] = {}
    needed: dict[tuple[PieceKey, str], NeededPiece] = {}
    for line in kit.lines:
        key = line.supplier, line.sku
        ware = wares.get(key) or _as_used(line)
        packs = lines[key].packs if key in lines else 0
        lines[key] = BagLine(ware, packs + line.quantity)
        for need in _needs(line, ware):
            others = needed[need.key].count if need.key in needed else 0
            needed[need.key] = replace(need, count=need.count + others)
    return BagDemand(
        bag, mark, tuple(lines.values()), tuple(needed.values()), held or bool(kit.missing)
    )


def _needs(line: OfferLine, ware: Ware) -> Iterator[NeededPiece]:
    if not line.uses:
        yield NeededPiece(whole_item(ware.key), "", line.kind, line.quantity)
    hidden = {part.piece for part in ware.holds if not part.shows}
    for use in line.uses:
        piece = _piece(line, use)
        finish = "" if piece in hidden else line.finish
        yield NeededPiece(piece, finish, use.role, use.quantity)


def _piece(line: OfferLine, use: Use) -> PieceKey:
    return line.catalog_id, use.piece


def _as_used(line: OfferLine) -> Ware:
    counts: dict[PieceKey, PieceCount] = {}
    for use in line.uses:
        piece = _piece(line, use)
        before = counts[piece].count if piece in counts else 0
        counts[piece] = PieceCount(piece, before + use.quantity, use.role, shows=bool(line.finish))
    holds = tuple(
        replace(part, count=-(-part.count // max(line.quantity, 1))) for part in counts.values()
    )
    return Ware((line.supplier, line.sku), line.description, line.finish, holds=holds)
