"""What came of a scan or a word at the cart, in lines for large type."""

from collections.abc import Iterable, Mapping, Sequence

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
    Ware,
)
from wholekit.wording.picking import say_refusal
from wholekit.wording.speech import tr, trn
from wholekit.wording.words import listed

# By bag id what people call it, where its mark alone does not tell.
Names = Mapping[str, str]
# Bins with packs of each.
Places = Sequence[tuple[str, int]]


def bag_name(mark: str, number: int, of: int) -> str:
    """What people call a bag: its mark, and which of how many where its opening has several.

    >>> bag_name("T2", 1, 2), bag_name("T3", 1, 1)
    ('T2 (1 of 2)', 'T3')
    """
    if of < 2:
        return mark
    return tr("{mark} ({number} of {of})").format(mark=mark, number=number, of=of)


def say_answer(
    answer: ScanCounted | BagTurnedTo | BagEvent | ScanRefused,
    bag: Bag | None,
    places: Places = (),
    names: Names | None = None,
) -> tuple[str, ...]:
    """An answer in lines, the first short. places: the bins it was taken from or put back to."""
    called = names or {}
    if isinstance(answer, ScanRefused):
        return say_refusal(answer, called)
    name = "" if bag is None else called.get(str(bag.id), bag.mark)
    if isinstance(answer, ScanCounted):
        return _counted(answer, name)
    if isinstance(answer, BagTurnedTo | BagOpened):
        return (tr("Now into bag {mark}").format(mark=name),)
    if isinstance(answer, EventUndone):
        return _undone(answer, bag, places)
    if isinstance(answer, ShortReported):
        said = (
            tr("Short: {packs} × {sku}") if answer.packs else tr("The books are put right: {sku}")
        )
        return (said.format(packs=answer.packs, sku=answer.item[1]),)
    if isinstance(answer, ItemSubstituted):
        said = tr("{by} in place of {sku}").format(by=answer.ware.sku, sku=answer.item[1])
        return said, tr("Take {packs} × {by}").format(packs=answer.by_packs, by=answer.ware.sku)
    if isinstance(answer, BagLeft):
        return (
            tr("Bag {mark} is put aside, with what is in it.").format(mark=name),
            tr("Its label goes on with it, in any wave."),
        )
    if isinstance(answer, BagClosed):
        closed = tr("Bag {mark} is closed and whole.").format(mark=name)
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


def say_short(
    short: ShortReported,
    elsewhere: Places,
    lacks: int,
    waiting: Iterable[str],
    substitutes: Sequence[tuple[Ware, int]],
    gone: Iterable[str] = (),
    *,
    more: bool = True,
) -> tuple[str, ...]:
    """What a short came to, line by line: the books, where else to go, what may stand in.

    elsewhere: bins to take it from now; lacks: packs that the bag waits for; waiting: names of the
    other bags that wait by it; substitutes: with the packs that are free; gone: names of bags that
    nobody has begun, and that left their wave by it; more: the bag takes other items too.
    """
    sku = short.item[1]
    lines = [
        tr("Out of the books at bin {bin}: {packs} × {sku}").format(
            bin=name or tr("(none)"), packs=packs, sku=sku
        )
        for name, packs in short.gone
    ]
    lines += [
        tr("Still to take at bin {bin}: {packs} × {sku}").format(
            bin=name or tr("(none)"), packs=packs, sku=sku
        )
        for name, packs in elsewhere
    ]
    if lacks:
        lines.append(
            tr("The bag waits for {packs} × {sku}; it is on the buy list.").format(
                packs=lacks, sku=sku
            )
        )
    others = list(waiting)
    if others:
        lines.append(tr("These wait by it too: {bags}").format(bags=listed(others)))
    out = list(gone)
    if out:
        lines.append(tr("Out of the wave until it is there: {bags}").format(bags=listed(out)))
    lines += [
        tr("May stand in, {free} free: {by}, {title}. Say: instead {sku} {by} REASON").format(
            free=free, by=ware.sku, title=ware.title, sku=sku
        )
        for ware, free in substitutes
    ]
    if lacks and not substitutes:
        lines.append(tr("Nothing that is on hand may stand in for it."))
    if lacks:
        last = tr("Scan what else is there; then put the bag aside.")
        lines.append(last if more else tr("Nothing else goes into it now: put the bag aside."))
    return tuple(lines)


def say_whole(names: Sequence[str]) -> tuple[str, ...]:
    """Which other bags lack nothing any more, in a line; none where there is none."""
    if not names:
        return ()
    said = trn(
        "Bag {bags} lacks nothing any more. Its label takes it into this wave.",
        "Bags {bags} lack nothing any more. Their labels take them into this wave.",
        len(names),
    )
    return (said.format(bags=listed(list(names))),)


def say_unclosed(names: Sequence[str]) -> str:
    """A reminder of bags that are full and stand open; empty where there is none."""
    if not names:
        return ""
    said = trn(
        "Bag {bags} has all and is not closed. Scan its label, then say: close",
        "Bags {bags} have all and are not closed. Scan the label of each, then say: close",
        len(names),
    )
    return said.format(bags=listed(list(names)))


def _counted(answer: ScanCounted, name: str) -> tuple[str, ...]:
    event: PacksScanned = answer.event
    if answer.again:
        return (tr("Counted before: {sku}").format(sku=event.item[1]),)
    said = tr("{packs} × {sku} into bag {mark}")
    first = said.format(packs=event.packs, sku=event.item[1], mark=name)
    if not answer.left:
        return (first,)
    return first, tr("{left} × {sku} more").format(left=answer.left, sku=event.item[1])


def _loose(put: LoosePacks) -> str:
    said = tr("Put {packs} × {sku} loose into bin {bin}.")
    if not put.bin:
        said = tr("Put {packs} × {sku} loose on the shelf.")
    return said.format(packs=put.packs, sku=put.item[1], bin=put.bin)


def _undone(answer: EventUndone, bag: Bag | None, places: Places) -> tuple[str, ...]:
    undone = None if bag is None else bag.by_id.get(answer.event)
    if isinstance(undone, ShortReported):
        said = tr("Not short after all: {packs} × {sku}") if undone.packs else tr("Taken back.")
        again = tr("In the books again at bin {bin}: {packs}")
        return (
            said.format(packs=undone.packs, sku=undone.item[1]),
            *(again.format(bin=name or tr("(none)"), packs=packs) for name, packs in places),
        )
    if not isinstance(undone, PacksScanned):
        return (tr("Taken back."),)
    said = tr("Out again: {packs} × {sku}").format(packs=undone.packs, sku=undone.item[1])
    return (said, *say_back(places))


def say_back(places: Places) -> tuple[str, ...]:
    """Where to put what comes out of a bag; how many to each where that is several bins."""
    if len(places) > 1:
        each = tr("Put {packs} back into bin {bin}.")
        return tuple(each.format(packs=packs, bin=name or tr("(none)")) for name, packs in places)
    if not places:
        return ()
    name = places[0][0]
    if not name:
        return (tr("The books know no bin of it: put it back where it lay."),)
    return (tr("Put it back into bin {bin}.").format(bin=name),)
