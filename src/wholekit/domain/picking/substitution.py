"""Another item in the place of one that is short: which may, and how many of it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

from wholekit.domain.catalog import ItemKey
from wholekit.domain.picking.bag import Bag, BagStatus, supplied, uncovered, why_no_deed
from wholekit.domain.picking.demand import BagLine, NeededPiece
from wholekit.domain.picking.events import EventStamp, ItemSubstituted
from wholekit.domain.picking.judge import other_hand
from wholekit.domain.picking.scan import ScanRefused
from wholekit.domain.picking.ware import Ware

REASON_MOST = 200  # characters


class KitCheck(Protocol):
    """Holds a bag's items against its opening, as a kit made by hand is (see `recheck`)."""

    def __call__(self, packs: Mapping[ItemKey, int]) -> Sequence[str]:
        """Codes of the stops that these packs bring and the bag's own kit had not."""


def substitute(
    bag: Bag,
    item: ItemKey,
    by: Ware,
    reason: str,
    stamp: EventStamp,
    check: KitCheck | None = None,
) -> ItemSubstituted | ScanRefused:
    """Take another item for all packs of one that are still to take.

    Allowed: what the item's supplier calls a substitute, pack for pack, or what holds the same
    pieces in the same finish, as many packs of it as the demand takes. Packs of other items that
    it makes needless, and that are not in the bag yet, are taken no more. Without a check the
    facts of the opening are not at hand, and nothing but this is looked at. A bag may be new: what
    is promised to it can be another item before anybody picks.
    """
    fields: dict[str, object] = {
        "bag": str(bag.id), "mark": bag.mark, "sku": item[1], "by": by.sku,
    }  # fmt: skip
    shut = why_no_deed(bag)
    if shut is not None and bag.status is not BagStatus.NEW:
        return shut
    line = next((line for line in bag.remaining if line.item == item), None)
    if line is None:
        return ScanRefused("substitute-not-wanted", fields)
    if not reason.strip() or len(reason) > REASON_MOST:
        return ScanRefused("substitute-reason", {**fields, "most": REASON_MOST})
    found = _exchange(bag, line, by)
    if isinstance(found, ScanRefused):
        return replace(found, fields={**fields, **found.fields})
    made = ItemSubstituted(
        stamp,
        item,
        line.packs,
        by,
        found.packs,
        reason.strip(),
        found.settled,
        tuple(found.dropped.items()),
    )
    if check is not None:
        after = bag.after(made)
        speaks_against = tuple(check({line.item: line.packs for line in after.plan}))
        if speaks_against:
            return ScanRefused("substitute-fails-check", {**fields, "stops": speaks_against})
    return made


def may_substitute(bag: Bag, item: ItemKey, wares: Sequence[Ware]) -> tuple[Ware, ...]:
    """Those of some wares that may take an item's place, as far as their pieces tell."""
    line = next((line for line in bag.remaining if line.item == item), None)
    if line is None:
        return ()
    return tuple(ware for ware in wares if isinstance(_exchange(bag, line, ware), _Exchange))


@dataclass(frozen=True, slots=True)
class _Exchange:
    """What an item in another's place means: packs of it, and as in `ItemSubstituted`."""

    packs: int
    settled: tuple[NeededPiece, ...] = ()
    dropped: Mapping[ItemKey, int] = field(default_factory=dict)


def _exchange(bag: Bag, line: BagLine, by: Ware) -> _Exchange | ScanRefused:
    if by.key == line.item:
        return ScanRefused("substitute-same")
    without = [
        replace(other, packs=other.packs - line.packs) if other.item == line.item else other
        for other in bag.plan
    ]
    short = uncovered(bag.needed, without)
    listed = by.key in line.ware.substitutes
    wrong = _wrong(bag, line, by, short, listed=listed)
    if wrong is not None:
        return wrong
    new = BagLine(by, line.packs)
    unmet = [need for need in short if not supplied(new, need)]
    if not short and not listed:
        # None of its packs is needed: nothing but its own pieces tells what may take its place.
        unmet = [NeededPiece(part.piece, "", part.role, part.count) for part in line.ware.holds]
        unmet = [need for need in unmet if not supplied(new, need)]
    if unmet and not listed:
        return _lacks(by, unmet[0])
    if unmet:
        return _Exchange(line.packs, short)
    packs = max((-(-need.count // supplied(new, need)) for need in short), default=line.packs)
    return _Exchange(packs, (), _needless(bag, without, replace(new, packs=packs)))


def _lacks(by: Ware, need: NeededPiece) -> ScanRefused:
    """Which piece is not in an item, and what of the same kind is in it instead."""
    fields: dict[str, object] = {"role": need.role, "count": need.count, "piece": need.piece[1]}
    held = next((part.piece[1] for part in by.holds if part.role == need.role), "")
    if held and held != need.piece[1]:
        return ScanRefused("substitute-other-piece", {**fields, "held": held})
    return ScanRefused("substitute-lacks", fields)


def _wrong(
    bag: Bag, line: BagLine, by: Ware, short: Sequence[NeededPiece], *, listed: bool
) -> ScanRefused | None:
    """The other finish or hand, whoever calls it a substitute."""
    seen = {need.piece for need in short if need.finish}
    same = any(part.piece in seen or (listed and part.shows) for part in by.holds)
    if same and line.ware.finish != by.finish:
        finishes = {"finish": by.finish, "wanted_finish": line.ware.finish}
        return ScanRefused("substitute-finish", finishes)
    hands = other_hand(bag, line, by)
    if hands is not None:
        return ScanRefused("substitute-hand", {"hand": hands[0], "wanted_hand": hands[1]})
    return None


def _needless(bag: Bag, without: Sequence[BagLine], new: BagLine) -> dict[ItemKey, int]:
    """Packs of other items, not in the bag yet, whose pieces the new ones bring as well."""
    plan = {line.item: line for line in without}
    before = plan.get(new.item)
    plan[new.item] = replace(new, packs=new.packs + (before.packs if before else 0))
    brought = {part.piece for part in new.ware.holds}
    dropped: dict[ItemKey, int] = {}
    for line in bag.remaining:
        shared = brought & {part.piece for part in line.ware.holds}
        if not shared or line.item == new.item or plan[line.item].packs == 0:
            continue
        for _ in range(min(line.packs, plan[line.item].packs)):
            less = replace(plan[line.item], packs=plan[line.item].packs - 1)
            if uncovered(bag.needed, [*(plan | {line.item: less}).values()]):
                break
            plan[line.item] = less
            dropped[line.item] = dropped.get(line.item, 0) + 1
    return dropped
