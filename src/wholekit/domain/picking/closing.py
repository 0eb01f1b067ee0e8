"""Closing a bag: what it needs, and what is then known of it for good."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.picking.bag import Bag, scans_of, supplied, why_shut
from wholekit.domain.picking.demand import BagLine, NeededPiece
from wholekit.domain.picking.events import BagClosed, EventStamp, ItemSubstituted
from wholekit.domain.picking.scan import ScanRefused
from wholekit.domain.picking.ware import PieceKey
from wholekit.domain.quotes.bag_id import BagId


@dataclass(frozen=True, slots=True)
class PackedScan:
    """So many packs [count] that one scan put in."""

    packs: int
    stamp: EventStamp


@dataclass(frozen=True, slots=True)
class PackedLine:
    """What is in a bag of one item [packs], and by which scans."""

    item: ItemKey
    title: str
    finish: str
    packs: int
    scans: tuple[PackedScan, ...]


@dataclass(frozen=True, slots=True)
class LeftPiece:
    """Pieces of an item's packs that the opening does not use [count].

    loose: how many of them may go back to the shelf as loose stock, since the packs they came in
    may be broken.
    """

    piece: PieceKey
    role: str
    count: int
    loose: int


@dataclass(frozen=True, slots=True)
class PackedBag:
    """What was in the bag: the answer to a claim, made of what was frozen when it was closed."""

    bag: BagId
    mark: str
    lines: tuple[PackedLine, ...]
    needed: tuple[NeededPiece, ...]
    substitutions: tuple[ItemSubstituted, ...]
    left: tuple[LeftPiece, ...]
    closed: EventStamp | None


def close(bag: Bag, stamp: EventStamp) -> BagClosed | ScanRefused:
    """Close a bag, if all is taken and the pieces in it are those its opening demands."""
    shut = why_shut(bag)
    if shut is not None:
        return shut
    fields: dict[str, object] = {"bag": str(bag.id), "mark": bag.mark}
    if bag.remaining:
        line = bag.remaining[0]
        count = sum(line.packs for line in bag.remaining)
        more = {"wanted": line.ware.sku, "wanted_title": line.ware.title, "packs": line.packs}
        return ScanRefused("close-items-left", {**fields, **more, "count": count})
    if bag.lacking:
        need = bag.lacking[0]
        more = {"role": need.role, "piece": need.piece[1], "count": need.count}
        return ScanRefused("close-pieces-lacking", {**fields, **more})
    return BagClosed(stamp)


def packed(bag: Bag) -> PackedBag:
    """What is in a bag, whether it is closed or not."""
    lines = tuple(
        PackedLine(
            line.item,
            line.ware.title,
            line.ware.finish,
            packs,
            tuple(PackedScan(scan.packs, scan.stamp) for scan in scans_of(bag, line.item)),
        )
        for line in bag.plan
        if (packs := bag.packs_in.get(line.item, 0))
    )
    closed = bag.closed.stamp if bag.closed else None
    return PackedBag(
        bag.id, bag.mark, lines, bag.needed, bag.substitutions, tuple(_left(bag)), closed
    )


def _left(bag: Bag) -> Iterator[LeftPiece]:
    """What is in the packs beyond the demand. Packs that may not be broken are used up first."""
    lines = [replace(line, packs=bag.packs_in.get(line.item, 0)) for line in bag.plan]
    parts = {part.piece: part.role for line in lines for part in line.ware.holds if line.packs}
    for piece, role in parts.items():
        # In any finish: two needs of one piece differ in nothing else.
        wanted = sum(need.count for need in bag.needed if need.piece == piece)
        any_finish = NeededPiece(piece, "", role, 1)
        count = _held(lines, any_finish) - wanted
        if count > 0:
            loose = _held([line for line in lines if line.ware.breakable], any_finish)
            yield LeftPiece(piece, role, count, min(count, loose))


def _held(lines: list[BagLine], need: NeededPiece) -> int:
    return sum(line.packs * supplied(line, need) for line in lines)
