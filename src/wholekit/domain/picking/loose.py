"""Pieces that a closed bag leaves over, as items that the shelf knows: loose stock."""

from collections import Counter
from collections.abc import Iterable, Sequence

from wholekit.domain.picking.closing import LeftPiece
from wholekit.domain.picking.events import LoosePacks
from wholekit.domain.picking.scan import ScanRefused
from wholekit.domain.picking.ware import PieceKey, Ware

_Loose = Counter[tuple[PieceKey, str]]


def put_loose(
    left: Iterable[LeftPiece], told: Sequence[tuple[Ware, int]]
) -> tuple[LoosePacks, ...] | ScanRefused:
    """So many packs of items, made of what is left over; together never more than was left.

    told: each item and its packs [count]; one told twice adds up. Refused: `loose-not-left`,
    `loose-too-many`.
    """
    there = _loose(left)
    packs: Counter[Ware] = Counter()
    for ware, count in told:
        most = _most(there, ware)
        fields = {"sku": ware.sku, "count": count, "left": most}
        if packs[ware] == 0 and most == 0:
            return ScanRefused("loose-not-left", fields)
        if not 0 < count <= most:
            return ScanRefused("loose-too-many", fields)
        there.subtract(_pieces(ware, count))
        packs[ware] += count
    return tuple(LoosePacks(ware.key, count) for ware, count in packs.items())


def may_go_back(left: Iterable[LeftPiece], wares: Iterable[Ware]) -> tuple[LoosePacks, ...]:
    """The most packs of each of some items that could be made of what is left, each by itself."""
    there = _loose(left)
    found = ((ware, _most(there, ware)) for ware in wares)
    return tuple(LoosePacks(ware.key, most) for ware, most in found if most)


def _loose(left: Iterable[LeftPiece]) -> _Loose:
    return Counter({(one.piece, one.finish): one.loose for one in left if one.loose})


def _most(there: _Loose, ware: Ware) -> int:
    """How many packs of an item what is there makes [count]."""
    of_one = _pieces(ware, 1)
    return min((there[part] // count for part, count in of_one.items()), default=0)


def _pieces(ware: Ware, packs: int) -> _Loose:
    pieces: _Loose = Counter()
    for part in ware.holds:
        pieces[part.piece, ware.finish if part.shows else ""] += part.count * packs
    return pieces
