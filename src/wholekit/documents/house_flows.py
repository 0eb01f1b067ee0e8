"""The papers of the house and its pick room as HTML: the walk, labels, slip, what it earns."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date

from wholekit.documents.bags_alike import about_of, bags_alike, which_bags
from wholekit.documents.flow import Block, Flow, Renderer, flow_of
from wholekit.documents.internal_sheet import InternalSheet
from wholekit.documents.order_paper import PurchaseOrderPaper
from wholekit.documents.packing_slip import PackingSlipPaper
from wholekit.documents.papers import (
    BinLine,
    PickListPaper,
)
from wholekit.documents.tally import tally
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import tr, trn


def internal_sheet_flow(paper: InternalSheet, render: Renderer) -> Flow:
    """The owner's sheet: sums, then each kit."""
    every = [*(opening.mark for opening in paper.openings), *paper.beyond]
    shared = {
        "paper": paper,
        "head": paper.head,
        "ranges": lambda marks: ranges_text([*marks], every),
    }

    def blocks() -> Iterator[Block]:
        yield Block(render("sheet_front", number=0, **shared))
        for number, kit in enumerate(paper.kits, 1):
            html = render("sheet_kit", number=number, kit=kit, **shared)
            yield Block(html, tr("Kit {number}").format(number=number))

    sheets = ("margin", "sheet", *(("draft",) if paper.draft else ()))
    return flow_of(tr("Internal sheet"), paper.head, render.css(paper.head, *sheets), blocks())


def pick_list_flow(paper: PickListPaper, render: Renderer) -> Flow:
    """The walk, the bags by equal contents, those that wait for goods, and last what is held."""
    marks = dict.fromkeys(opening.mark for opening in (*paper.openings, *paper.held))
    every = [*marks, *paper.beyond]
    waiting = _waiting(paper)
    bags = Counter[str]()
    for opening in paper.openings:
        bags[opening.mark] += opening.bags
    each_of = {
        (line.bin, line.sku, opening.mark): (bags[opening.mark], line.each)
        for opening in paper.openings
        for line in opening.lines
    }
    whole = [opening for opening in paper.openings if not opening.waits]
    apart = [opening for opening in paper.openings if opening.waits]
    shared = {
        "paper": paper,
        "head": paper.head,
        "ranges": lambda marks: ranges_text([*marks], every),
        "shares": lambda line, split: _shares(line, split, every, each_of),
        "in_turn": lambda lines: sorted(lines, key=_turn_of),
        "waiting": lambda line: ranges_text(waiting.get((line.bin, line.sku), []), every),
        "about": about_of,
        "which": which_bags,
        "tally": tally,
    }

    def blocks() -> Iterator[Block]:
        yield Block(render("pick_front", number=0, **shared))
        yield Block(render("pick_walk", number=1, **shared), tr("The walk"))
        number = 2
        for openings in (whole, apart, paper.held):
            values = {
                "held": openings is paper.held,
                "waits": openings is apart,
                "first": True,
            }
            for group in bags_alike(openings, every):
                html = render("pick_bags", number=number, group=group, **values, **shared)
                yield Block(html, group.places)
                number += 1
                values["first"] = False

    return flow_of(tr("Pick list"), paper.head, render.css(paper.head, "pick"), blocks())


def _waiting(paper: PickListPaper) -> dict[tuple[str, str], list[str]]:
    """By bin and SKU the marks whose bags lack some."""
    found: dict[tuple[str, str], list[str]] = {}
    for opening in paper.openings:
        for line in opening.lines:
            if line.short:
                found.setdefault((line.bin, line.sku), []).append(opening.mark)
    return found


def _turn_of(line: BinLine) -> tuple[date, bool, int]:
    """When more can be here: by day, then by working days, then what nobody states."""
    return line.comes or date.max, not line.waits, line.waits


def _shares(
    line: BinLine,
    split: Sequence[tuple[str, int]],
    every: Sequence[str],
    each_of: Mapping[tuple[str, str, str], tuple[int, int]],
) -> Iterator[tuple[str, str]]:
    """Marks in ranges, and of each how many bags and how many in a bag; the fewest first.

    each_of: by bin, SKU and mark how many bags there are, and how many packs one is to hold.
    """
    of: dict[tuple[int, int, int], list[str]] = {}
    for mark, count in split:
        of.setdefault((*each_of[line.bin, line.sku, mark], count), []).append(mark)
    for (bags, each, count), marks in sorted(of.items()):
        yield ranges_text(marks, every), _share_text(bags, each, count)


def _share_text(bags: int, each: int, count: int) -> str:
    """`8 bags`, `2 in it`, `3 bags, 2 in each`; nothing for one in one bag.

    >>> _share_text(3, 2, 6), _share_text(3, 2, 4), _share_text(3, 2, 5)
    ('3 bags, 2 in each', '2 of 3 bags, 2 in each', '2 of 3 bags, 2 in each, and 1 for another')
    """
    full, over = divmod(count, each)
    if bags == 1:
        if count == 1 == each:
            return ""
        some = tr("{count} in it") if full else tr("{count} of {each}")
        return some.format(count=count, each=each)
    if not full:
        text = tr("{count} of {each} for one of {bags} bags")
        return text.format(count=over, each=each, bags=bags)
    of_all = trn("{count} bag", "{count} bags", bags)
    text = of_all if full == bags else tr("{some} of {count} bags")
    parts = [text.format(count=bags, some=full)]
    if each > 1:
        parts.append(tr("{count} in each").format(count=each))
    if over:
        parts.append(tr("and {count} for another").format(count=over))
    return ", ".join(parts)


def packing_slip_flow(paper: PackingSlipPaper, render: Renderer) -> Flow:
    """Where the goods go, bags of equal contents, what stays behind."""
    shared = {"paper": paper, "head": paper.head, "tally": tally}

    def blocks() -> Iterator[Block]:
        yield Block(render("slip_front", number=0, **shared))
        for number, kit in enumerate(paper.kits, 1):
            yield Block(render("slip_kit", number=number, kit=kit, **shared), kit.places)
        yield Block(render("slip_end", number=len(paper.kits) + 1, **shared))

    return flow_of(tr("Packing slip"), paper.head, render.css(paper.head, "slip"), blocks())


def purchase_order_flow(paper: PurchaseOrderPaper, render: Renderer) -> Flow:
    """What one supplier is asked for."""
    block = Block(render("order_lines", number=0, paper=paper, head=paper.head))
    return flow_of(tr("Purchase order"), paper.head, render.css(paper.head, "order"), [block])
