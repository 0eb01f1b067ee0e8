"""Labels of bags, items and bins as HTML, by pages of their stock."""

import re
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from typing import TypeVar

from wholekit.documents.bag_code import code_drawing
from wholekit.documents.flow import DRAWING_URL, Block, Flow, Renderer, coded, flow_of
from wholekit.documents.glyphs import as_printed
from wholekit.documents.kit_label import KitLabel
from wholekit.documents.label_room import NEAR, LabelFit, LabelText, bound, fitted
from wholekit.documents.label_stock import LabelForm, LabelStock
from wholekit.documents.lettering import is_wide
from wholekit.documents.papers import KitLabelsPaper, PaperHead
from wholekit.documents.press import house_characters
from wholekit.documents.shelf_labels import HEIGHTS, WIDTHS, ShelfLabelsPaper
from wholekit.documents.small_label import Fact, SmallFit, SmallText, small_fitted
from wholekit.wording.speech import speaking, tr, trn

Label = TypeVar("Label")
# Up to so broad, a mark on a label is written in the first, second … of its sizes [characters].
MARK_LENGTHS = (3, 5, 9, 16, 28, 60, 100)
# Up to so many kinds of items that a bag is short of are named on it.
NAMED_SHORT = 3
# A proposal's number: the day and six signs of base 32.
_PROPOSED = re.compile(r" \d{4}-\d\d-\d\d [A-Z2-7]{6}$")
# How high a code is drawn [mm].
_HIGH = re.compile(r' height="([\d.]+)mm"')
# Half as broad again as others.
_BROAD = frozenset("MW@%")


def labels_flow(paper: KitLabelsPaper, render: Renderer) -> Flow:
    """Labels of bags, by pages of their stock."""
    stock = paper.stock
    shared = {
        "stock": stock,
        "counted": _counted,
        "lacks_of": lambda label: _lacks(label, brief=stock.form is LabelForm.SMALL),
        "bound": bound,
        "number_of": lambda head: number_in_short(head.number),
        "drawing_url": DRAWING_URL,
    }

    def blocks() -> Iterator[Block]:
        pages = (
            (each.head, rows)
            for each in (paper, *paper.more)
            for rows in _pages_of_labels(each.labels, stock)
        )
        for number, (head, rows) in enumerate(pages):
            drawings = {
                label.bag_id: code_drawing(label.bag_id, stock.dots)
                for row in rows
                for label in row
                if label and label.bag_id
            }
            codes = {bag: coded(drawing) for bag, drawing in drawings.items()}

            def fit_of(
                label: KitLabel,
                alerts: Sequence[str],
                facts: str,
                why: str,
                head: PaperHead = head,
                drawings: Mapping[str, str] = drawings,
            ) -> LabelFit:
                drawing = drawings.get(label.bag_id, "")
                words = _words(
                    label, head, f"{NEAR}· ".join(map(bound, alerts)), facts, why, drawing
                )
                return fitted(words, stock, WIDTHS[paper.head.page_size])

            def small_of(
                label: KitLabel,
                alerts: Sequence[str],
                head: PaperHead = head,
                drawings: Mapping[str, str] = drawings,
            ) -> SmallFit:
                code = _how_high(drawings.get(label.bag_id, ""))
                told = " · ".join(map(bound, alerts))
                words = small_words(label, told, number_in_short(head.number), code)
                return small_fitted(words, stock.width(WIDTHS[paper.head.page_size]), stock.height)

            # On one cart may be orders of several languages.
            with speaking(head.words_of):
                html = render(
                    "label_sheet",
                    head=head,
                    number=number,
                    rows=rows,
                    codes=codes,
                    fit_of=fit_of,
                    small_of=small_of,
                    **shared,
                )
            yield Block(html)

    css = render.css(paper.head, "labels") + stock.css
    return flow_of(
        tr("Kit labels"), paper.head, css, blocks(), apart=True, numbered=stock.page is None
    )


def _words(
    label: KitLabel, head: PaperHead, alerts: str, facts: str, why: str, drawing: str
) -> LabelText:
    """What a label says, as `label_room` measures it. drawing: of its bag's code, or empty."""
    bar = ("", "")
    if label.held:
        bar = tr("HOLD"), tr("may not ship")
    elif label.waits:
        bar = tr("WAITS"), tr("not complete, do not ship")
    foot = [head.number, head.job, head.customer]
    if label.card:
        foot.insert(0, f"{tr('Setting card')} {label.card}")
    return LabelText(
        _printed(label.mark),
        int(_mark_class(label.mark)[1:]),
        bar,
        tr("Bag {number} of {count}").format(number=label.bag, count=label.bags),
        _counted(label),
        _printed(alerts),
        _printed(facts),
        _printed(why),
        label.contents,
        [_printed(bound(part)) for part in foot if part],
        _how_high(drawing),
        label.held,
    )


def _how_high(drawing: str) -> float:
    """How high a code is drawn [mm]; 0 for none."""
    high = _HIGH.search(drawing)
    return float(high[1]) if high else 0.0


def _counted(label: KitLabel, *, see_list: bool = False) -> str:
    """How many items are in a bag, and of how many where some are short; of one that is held, how
    many it is to hold. see_list: and where they stand."""
    here, planned = label.here, label.planned
    if label.held:
        text = trn("{count} item, not picked", "{count} items, not picked", planned)
    elif here < planned:
        text = trn("{here} of {count} item", "{here} of {count} items", planned)
        text = tr("{items}, see the pick list").format(items=text) if see_list else text
    elif see_list:
        text = trn("{count} item, see the pick list", "{count} items, see the pick list", planned)
    else:
        text = trn("{count} item", "{count} items", planned)
    return text.format(here=here, count=planned)


def small_words(label: KitLabel, alerts: str, number: str, code: float) -> SmallText:
    """What the smallest label has to say. alerts: in one; number: its quote's, where it has no id;
    code: how high the drawing of that is [mm]."""
    mount = label.mount
    if label.size_set:
        mount += ", " + tr("spring size {size}").format(size=label.size_set)
    sized = f"{label.size}, {label.hand}"
    # Hand and finish before mount and room, since nothing else on the bag tells them; of one that
    # is held where the reasons stand.
    wanted = [
        (0, tr("Card {number}").format(number=label.card) if label.card else "", True),
        (1, tr("why: see the pick list") if label.stops else "", True),
        (4, mount, False),
        (2, sized, True),
        (3, tr("finish {finish}").format(finish=label.finish) if label.finish else "", True),
        (5, label.room, False),
    ]
    there = [] if label.barred else [each for each in label.contents if each.here]
    return SmallText(
        _printed(label.mark),
        int(_mark_class(label.mark)[1:]),
        label.barred,
        tr("Bag {number} of {count}").format(number=label.bag, count=label.bags),
        "" if label.held else _counted(label),
        "" if code else number,
        _printed(alerts),
        [
            Fact((text, label.hand) if text == sized else (_printed(text),), rank, must)
            for rank, text, must in wanted
            if text
        ],
        ", ".join(f"{each.here}{NEAR}×{NEAR}{each.sku}" for each in there),
        _counted(label, see_list=True) if label.contents else "",
        code,
    )


def _lacks(label: KitLabel, *, brief: bool = False) -> list[str]:
    """What a bag is without: pieces that nobody supplies, and items that the shelf had not; of
    more than a few items how many. brief: never which items, on the smallest label."""
    found = []
    if label.missing:
        found.append(tr("MISSING {pieces}").format(pieces=", ".join(label.missing)))
    short = Counter[str]()
    for each in label.contents:
        short[each.sku] += each.short
    short = +short
    if short and brief:
        lacking = label.planned - label.here
        found.append(
            trn(
                "SHORT {count} item, see pick list", "SHORT {count} items, see pick list", lacking
            ).format(count=lacking)
        )
    elif 0 < len(short) <= NAMED_SHORT:
        items = ", ".join(bound(f"{packs} × {sku}") for sku, packs in short.items())
        found.append(f"{tr('SHORT')} {items}")
    elif short:
        found.append(f"{tr('SHORT')} {label.planned - label.here}")
    return found


def number_in_short(number: str) -> str:
    """A quote's number where there is room for little: of a proposal its last sign group.

    >>> number_in_short("PROPOSAL 2026-11-26 K7QXNA"), number_in_short("Q-00012/2")
    ('K7QXNA', 'Q-00012/2')
    """
    return number.rpartition(" ")[2] if _PROPOSED.search(number) else number


def shelf_labels_flow(paper: ShelfLabelsPaper, render: Renderer) -> Flow:
    """Labels of items and bins, by pages of their stock."""
    stock = paper.stock
    shared = {
        "stock": stock,
        "shown_of": lambda items: items[: stock.lines // 2],
        "mark_class": _mark_class,
        "drawing_url": DRAWING_URL,
        "drawn": lambda label: coded(label.bars.drawing(label.dots, HEIGHTS[stock.form])),
    }
    blocks = (
        Block(render("shelf_sheet", number=number, rows=rows, **shared))
        for number, rows in enumerate(_pages_of_labels(paper.labels, stock))
    )
    css = render.css(paper.head, "labels", "shelf") + stock.css
    return flow_of(paper.kind, paper.head, css, blocks, apart=True, numbered=stock.page is None)


def _pages_of_labels(
    labels: Sequence[Label], stock: LabelStock
) -> Iterator[list[list[Label | None]]]:
    """Labels by page and row; a row that is not full has empty places at its end."""
    for start in range(0, len(labels), stock.to_a_page):
        page: list[Label | None] = [*labels[start : start + stock.to_a_page]]
        page += [None] * (-len(page) % stock.across)
        yield [page[at : at + stock.across] for at in range(0, len(page), stock.across)]


def _mark_class(mark: str) -> str:
    """How large a mark is written: the class of its breadth, as the labels' style sheet has it."""
    shown = _printed(mark)
    broad = len(shown) + sum(one in _BROAD for one in shown) // 2 + sum(map(is_wide, shown))
    return f"m{1 + bisect_left(MARK_LENGTHS, broad)}"


def _printed(text: str) -> str:
    return as_printed(text, house_characters())
