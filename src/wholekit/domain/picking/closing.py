"""Closing a bag: what it needs, and what is then known of it for good."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wholekit.domain.catalog import ItemKey
from wholekit.domain.picking.bag import Bag, scans_of, why_no_deed
from wholekit.domain.picking.demand import BagLine, NeededPiece
from wholekit.domain.picking.events import BagClosed, EventStamp, ItemSubstituted, LoosePacks
from wholekit.domain.picking.scan import ScanRefused
from wholekit.domain.picking.ware import PieceKey, whole_item
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
    may be broken. finish: empty where it is not seen.
    """

    piece: PieceKey
    role: str
    count: int
    loose: int
    finish: str = ""


@dataclass(frozen=True, slots=True)
class PackedBag:
    """What was in the bag: the answer to a claim, made of what was frozen when it was closed.

    left: what its packs held besides; loose: what of that went back to the shelf.
    """

    bag: BagId
    mark: str
    lines: tuple[PackedLine, ...]
    needed: tuple[NeededPiece, ...]
    substitutions: tuple[ItemSubstituted, ...]
    left: tuple[LeftPiece, ...]
    closed: EventStamp | None
    loose: tuple[LoosePacks, ...] = ()


def close(bag: Bag, stamp: EventStamp) -> BagClosed | ScanRefused:
    """Close a bag, if all is taken and the pieces in it are those its opening demands."""
    shut = why_no_deed(bag)
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
    left = tuple(_left(bag))
    if bag.closed is None:
        return PackedBag(bag.id, bag.mark, lines, bag.needed, bag.substitutions, left, None)
    end = bag.closed
    return PackedBag(
        bag.id, bag.mark, lines, bag.needed, bag.substitutions, left, end.stamp, end.loose
    )


def _left(bag: Bag) -> Iterator[LeftPiece]:
    """What is in the packs beyond the demand. Packs that may not be broken are used up first."""
    lines = list(_opened(bag))
    parts = {
        (part.piece, line.ware.finish if part.shows else ""): part.role
        for line in lines
        for part in line.ware.holds
    }
    for (piece, finish), role in parts.items():
        wanted = sum(
            need.count
            for need in bag.needed
            if need.piece == piece and (not finish or need.finish in ("", finish))
        )
        count = _held(lines, piece, finish) - wanted
        if count > 0:
            loose = _held([line for line in lines if line.ware.breakable], piece, finish)
            yield LeftPiece(piece, role, count, min(count, loose), finish)


def _opened(bag: Bag) -> Iterator[BagLine]:
    """What is in it, but for packs that are demanded themselves: nothing of them is left over."""
    whole = {need.piece: need.count for need in bag.needed}
    for line in bag.plan:
        packs = bag.packs_in.get(line.item, 0) - whole.get(whole_item(line.item), 0)
        if packs > 0:
            yield replace(line, packs=packs)


def _held(lines: list[BagLine], piece: PieceKey, finish: str) -> int:
    return sum(line.packs * line.ware.supplies(piece, finish) for line in lines)
