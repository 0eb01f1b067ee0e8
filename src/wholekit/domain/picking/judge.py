"""The judge of a scan: counted, or refused at once with what belongs there."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog.gtin import as_gtin_14, unit_gtin
from wholekit.domain.picking.bag import Bag, BagStatus, open_bag, why_shut
from wholekit.domain.picking.demand import BagLine
from wholekit.domain.picking.events import BagOpened, EventStamp, PacksScanned
from wholekit.domain.picking.layouts import other_layouts
from wholekit.domain.picking.scan import CodeScan, ScanRefused, shown
from wholekit.domain.picking.ware import Codes, PieceCount, Ware
from wholekit.domain.quotes.bag_id import BagId

HALF_LEAST = 3  # characters: fewer are part of too many codes
# The beginning of a bag's label, its place in the revision still in it.
_HALF_LABEL = re.compile("Q[0-9]+R[0-9]+P[0-9]*(B[0-9]*)?", re.IGNORECASE | re.ASCII)


@dataclass(frozen=True, slots=True)
class ScanCounted:
    """A scan that counts. left: packs of the item still to take; again: it was counted before."""

    event: PacksScanned
    left: int
    again: bool = False


@dataclass(frozen=True, slots=True)
class BagTurnedTo:
    """The bag picked into from now on. event: that it was opened; None where it was open."""

    bag: BagId
    event: BagOpened | None


def judge(
    bag: Bag,
    scan: CodeScan,
    stamp: EventStamp,
    codes: Codes,
    wave: Sequence[Bag] = (),
    *,
    spent: bool = False,
) -> ScanCounted | ScanRefused:
    """Whether an item goes into a bag; the bag itself does not change (see `Bag.after`).

    wave: the bags picked in the same walk, of which another may be the right one. spent: the id is
    that of something else. A scan whose id was counted is counted no more, whatever came after it.
    """
    wares = codes.find(scan.code)
    known = bag.by_id.get(stamp.id)
    if known is not None:
        return _seen(bag, known, scan, wares)
    # Sent again after another bag was turned to: it must not be counted there as well.
    if spent or any(stamp.id in other.by_id for other in wave):
        return ScanRefused("scan-id-used", _about(bag, scan))
    shut = why_shut(bag)
    if shut is not None:
        return shut
    wanted = {line.item: line for line in bag.remaining}
    lines = [wanted[ware.key] for ware in wares if ware.key in wanted]
    if lines:
        # Of two suppliers' items of one code, the one that takes so many.
        fits = (line for line in lines if line.packs >= scan.packs)
        return _count(bag, next(fits, lines[0]), scan, stamp)
    if not wares:
        return _unknown(bag, scan, codes)
    return _misplaced(bag, wares, scan, wave)


def judge_bag(
    scanned: BagId, wave: Sequence[Bag], stamp: EventStamp, turned_to: BagId | None = None
) -> BagTurnedTo | ScanRefused:
    """Whether a bag of the wave may be picked into. turned_to: the one picked into now."""
    bag = next((one for one in wave if one.id == scanned), None)
    if bag is None:
        return _stranger(scanned, wave)
    if bag.takes and scanned != turned_to:
        return BagTurnedTo(bag.id, None)
    opened = open_bag(bag, stamp)
    if isinstance(opened, ScanRefused):
        # Of its label, and of no piece that somebody holds.
        return replace(opened, code="bag-label-closed") if bag.closed else opened
    return BagTurnedTo(bag.id, opened)


def belongs(bag: Bag, ware: Ware | None = None) -> BagLine | None:
    """What belongs into a bag next: what does the same as a ware, else the first still to take."""
    roles = {part.role for part in ware.holds} if ware else set()
    alike = (line for line in bag.remaining if roles & {part.role for part in line.ware.holds})
    return next(alike, bag.remaining[0] if bag.remaining else None)


def _seen(
    bag: Bag, known: object, scan: CodeScan, wares: Sequence[Ware]
) -> ScanCounted | ScanRefused:
    """The answer to a scan whose id is written already."""
    same = (
        isinstance(known, PacksScanned)
        and known in bag.standing
        and known.packs == scan.packs
        and known.item in {ware.key for ware in wares}
    )
    if not same or not isinstance(known, PacksScanned):
        return ScanRefused("scan-id-used", _about(bag, scan))
    left = {line.item: line.packs for line in bag.remaining}
    return ScanCounted(known, left.get(known.item, 0), again=True)


def _count(bag: Bag, line: BagLine, scan: CodeScan, stamp: EventStamp) -> ScanCounted | ScanRefused:
    if scan.packs > line.packs:
        fields = {**_about(bag, scan, line), "sku": line.ware.sku, "count": scan.packs}
        return ScanRefused("item-too-many", fields)
    return ScanCounted(PacksScanned(stamp, line.item, scan.packs), line.packs - scan.packs)


def why_unknown(
    scan: CodeScan, wanted: Sequence[tuple[str, str]], codes: Codes
) -> tuple[str, int | None]:
    """What befell a code that nobody has, if that can be told: the refusal, and which of the
    wanted (SKU and GTIN) it may be half of."""
    if any(codes.find(code) for code in other_layouts(scan.code)):
        return "scan-other-layout", None
    if scan.misread_gtin:
        return "scan-gtin-misread", None
    if _HALF_LABEL.fullmatch(scan.code.strip()):
        return "scan-label-half", None
    middle = len(scan.code) // 2
    if middle >= HALF_LEAST and scan.code[:middle] == scan.code[middle:]:
        return "scan-doubled", None
    piece = unit_gtin(scan.code)
    for at, (_, number) in enumerate(wanted):
        if piece and number and as_gtin_14(number) == piece:
            return "scan-carton", at
    for at, names in enumerate(wanted):
        if _is_half(scan.code.casefold(), names):
            return "scan-half", at
    return "", None


def _unknown(bag: Bag, scan: CodeScan, codes: Codes) -> ScanRefused:
    names = [(line.ware.sku, line.ware.gtin) for line in bag.remaining]
    code, half = why_unknown(scan, names, codes)
    if half is not None:
        return ScanRefused(code, _about(bag, scan, bag.remaining[half]))
    usual = "scan-unknown" if bag.remaining else "scan-unknown-all-in"
    return ScanRefused(code or usual, _about(bag, scan, belongs(bag)))


def _is_half(given: str, names: tuple[str, str]) -> bool:
    return len(given) >= HALF_LEAST and any(
        name.casefold().startswith(given) or name.casefold().endswith(given) for name in names
    )


def _misplaced(bag: Bag, wares: Sequence[Ware], scan: CodeScan, wave: Sequence[Bag]) -> ScanRefused:
    """A known item that the bag does not take, or takes no more."""
    takers = _takers(bag, wares, wave)
    elsewhere: dict[str, object] = {
        "other": ", ".join(dict.fromkeys(other.mark for other in takers)),
        "other_bag": ",".join(str(other.id) for other in takers),
    }
    for ware in wares:
        packs = bag.packs_in.get(ware.key, 0)
        if packs:
            about = _about(bag, scan, belongs(bag, ware))
            fields = {**about, **elsewhere, "sku": ware.sku, "has": packs}
            return ScanRefused("item-one-too-many", fields)
    for ware in wares:
        for code, line, more in _near(bag, ware):
            fields = {**_about(bag, scan, line), **elsewhere, **more, "sku": ware.sku}
            return ScanRefused(code, fields)
    fields = {**_about(bag, scan, belongs(bag, wares[0])), **elsewhere, "sku": wares[0].sku}
    if takers:
        return ScanRefused("item-of-other-bag", fields)
    return ScanRefused("item-wrong" if bag.remaining else "item-bag-full", fields)


def _near(bag: Bag, ware: Ware) -> Iterator[tuple[str, BagLine, dict[str, object]]]:
    """What an item nearly is: the same in another finish or hand, or fit for a substitute."""
    for line in bag.remaining:
        if _same_pieces(bag, line, ware) and line.ware.finish != ware.finish:
            finishes = {"finish": ware.finish, "wanted_finish": line.ware.finish}
            yield "item-wrong-finish", line, {**finishes}
    for line in bag.remaining:
        hands = other_hand(bag, line, ware)
        if hands is not None:
            yield "item-wrong-hand", line, {"hand": hands[0], "wanted_hand": hands[1]}
    for line in bag.remaining:
        if ware.key in line.ware.substitutes or _same_pieces(bag, line, ware):
            yield "item-substitute", line, {}


def _demanded_of(bag: Bag, line: BagLine) -> list[PieceCount]:
    """The pieces of a line that its bag demands."""
    demanded = {need.piece for need in bag.needed}
    return [part for part in line.ware.holds if part.piece in demanded]


def _same_pieces(bag: Bag, line: BagLine, ware: Ware) -> bool:
    """Whether a ware holds every piece that is demanded of a line, in whatever finish."""
    demanded = {part.piece for part in _demanded_of(bag, line)}
    return bool(demanded) and demanded <= {part.piece for part in ware.holds}


def other_hand(bag: Bag, line: BagLine, ware: Ware) -> tuple[str, str] | None:
    """The hand of a ware and the one that is wanted, where it holds the other hand's piece."""
    held = {part.piece for part in ware.holds}
    for wanted in _demanded_of(bag, line):
        for part in ware.holds:
            if wanted.piece not in held and part.other_hand_of(wanted):
                return str(part.hand), str(wanted.hand)
    return None


def _takers(bag: Bag, wares: Sequence[Ware], wave: Sequence[Bag]) -> list[Bag]:
    """The other bags of the wave that still take one of them."""
    keys = {ware.key for ware in wares}
    shut = (BagStatus.HELD, BagStatus.CLOSED)
    return [
        other
        for other in wave
        if other.id != bag.id
        and other.status not in shut
        and any(line.item in keys for line in other.remaining)
    ]


def _stranger(scanned: BagId, wave: Sequence[Bag]) -> ScanRefused:
    fields = {"bag": str(scanned), "quote": scanned.quote, "revision": scanned.revision}
    for bag in wave:
        if bag.id.quote == scanned.quote and bag.id.revision != scanned.revision:
            fields["wanted_revision"] = bag.id.revision
            return ScanRefused("bag-of-other-revision", fields)
    return ScanRefused("bag-not-in-wave", fields)


def _about(bag: Bag, scan: CodeScan, line: BagLine | None = None) -> dict[str, object]:
    """What any refusal may say: the bag, what was given and what belongs there."""
    return {
        "bag": str(bag.id),
        "mark": bag.mark,
        "given": shown(scan.code),
        "wanted": line.ware.sku if line else "",
        "wanted_title": line.ware.title if line else "",
        "packs": line.packs if line else 0,
    }
