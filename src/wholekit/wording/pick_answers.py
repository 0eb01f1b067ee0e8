"""What came of a scan or a word at the cart, in lines for large type."""

from wholekit.domain.picking import (
    Bag,
    BagClosed,
    BagEvent,
    BagLeft,
    BagOpened,
    BagTurnedTo,
    EventUndone,
    GoodsCounted,
    ItemSubstituted,
    LoosePacks,
    PacksScanned,
    ScanCounted,
    ScanRefused,
    ShortReported,
)
from wholekit.wording.picking import say_refusal
from wholekit.wording.speech import tr


def say_answer(
    answer: ScanCounted | BagTurnedTo | BagEvent | ScanRefused, bag: Bag | None, place: str = ""
) -> tuple[str, ...]:
    """An answer in lines, the first short. place: the bin it was taken from or put back to."""
    if isinstance(answer, ScanRefused):
        return say_refusal(answer)
    mark = "" if bag is None else bag.mark
    if isinstance(answer, ScanCounted):
        return _counted(answer, mark)
    if isinstance(answer, BagTurnedTo | BagOpened):
        return (tr("Bag {mark}").format(mark=mark),)
    if isinstance(answer, EventUndone):
        return _undone(answer, bag, place)
    if isinstance(answer, ShortReported):
        said = tr("Short: {packs} × {sku}").format(packs=answer.packs, sku=answer.item[1])
        return said, tr("Scan what is there, take another in its place, or leave the bag.")
    if isinstance(answer, ItemSubstituted):
        said = tr("{by} in place of {sku}").format(by=answer.ware.sku, sku=answer.item[1])
        return said, tr("Take {packs} × {by}").format(packs=answer.by_packs, by=answer.ware.sku)
    if isinstance(answer, BagLeft):
        return (tr("Bag {mark} waits, with what is in it.").format(mark=mark),)
    if isinstance(answer, BagClosed):
        closed = tr("Bag {mark} is closed and whole.").format(mark=mark)
        return closed, *map(_loose, answer.loose)
    return (tr("{packs} × {sku} in").format(packs=answer.packs, sku=answer.item[1]),)


def say_goods(answer: GoodsCounted, place: str) -> tuple[str, ...]:
    """A scan of goods that came, or that was taken back, in lines. place: the bin."""
    fields = {"packs": answer.packs, "sku": answer.sku, "bin": place}
    if answer.again:
        return tr("Counted before: {sku}").format_map(fields), _standing(answer)
    if answer.back:
        first = tr("Out again: {packs} × {sku}")
    elif place:
        first = tr("{packs} × {sku} into bin {bin}")
    else:
        first = tr("{packs} × {sku} onto the shelf")
    return first.format_map(fields), _standing(answer)


def _standing(answer: GoodsCounted) -> str:
    fields = {"received": answer.received, "ordered": answer.ordered, "open": answer.open}
    if answer.over:
        said = tr("{received} of {ordered}: {over} more than were ordered")
        return said.format(over=answer.over, **fields)
    if not answer.open:
        return tr("{received} of {ordered}: all of it is here").format_map(fields)
    return tr("{received} of {ordered}: {open} still to come").format_map(fields)


def _counted(answer: ScanCounted, mark: str) -> tuple[str, ...]:
    event: PacksScanned = answer.event
    if answer.again:
        return (tr("Counted before: {sku}").format(sku=event.item[1]),)
    said = tr("{packs} × {sku} into bag {mark}")
    first = said.format(packs=event.packs, sku=event.item[1], mark=mark)
    if not answer.left:
        return (first,)
    return first, tr("{left} × {sku} more").format(left=answer.left, sku=event.item[1])


def _loose(put: LoosePacks) -> str:
    said = tr("Put {packs} × {sku} loose into bin {bin}.")
    if not put.bin:
        said = tr("Put {packs} × {sku} loose on the shelf.")
    return said.format(packs=put.packs, sku=put.item[1], bin=put.bin)


def _undone(answer: EventUndone, bag: Bag | None, place: str) -> tuple[str, ...]:
    undone = None if bag is None else bag.by_id.get(answer.event)
    if not isinstance(undone, PacksScanned):
        return (tr("Taken back."),)
    said = tr("Out again: {packs} × {sku}").format(packs=undone.packs, sku=undone.item[1])
    return (said, tr("Put it back into bin {bin}.").format(bin=place)) if place else (said,)
