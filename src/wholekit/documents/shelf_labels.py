"""Labels of items and of bins: what they hold, and how catalogues fill them. No money."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from wholekit.documents.bars import Bars, item_bars, text_bars
from wholekit.documents.label_stock import LabelForm, LabelStock
from wholekit.documents.papers import Letterhead, PaperHead
from wholekit.domain.catalog import Catalog, Item
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import PageSize
from wholekit.domain.walk import walk_order

WIDTHS = {PageSize.LETTER: 215.9, PageSize.A4: 210.0}  # [mm]
# How high the bars are [mm], by what a label has room for.
HEIGHTS = {LabelForm.SMALL: 6.5, LabelForm.MIDDLE: 13.0, LabelForm.LARGE: 26.0}
NAMED = 6  # in an error


@dataclass(frozen=True, slots=True)
class ShelfLabel:
    """The label of an item or a bin. name: SKU or bin, in large type; lines: what it says else;
    place: the bin of an item; items: what lies in a bin, as SKU and description. bars: None where
    its name has signs that no bar code holds, or too many for the label; dots: to a module."""

    name: str
    lines: tuple[str, ...]
    bars: Bars | None
    place: str = ""
    items: tuple[tuple[str, str], ...] = ()
    dots: int = 0


@dataclass(frozen=True, slots=True)
class ShelfLabelsPaper:
    """Labels for shelves and items, for a stock. No money."""

    head: PaperHead
    kind: str
    labels: tuple[ShelfLabel, ...]
    stock: LabelStock


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which labels. skus, bins: these alone, in any case of letters; none: all. of_bins: a label
    for each bin in place of each item."""

    skus: tuple[str, ...] = ()
    bins: tuple[str, ...] = ()
    of_bins: bool = False


def shelf_labels_paper(
    catalogs: Sequence[Catalog], wanted: Wanted, stock: LabelStock, page: PageSize
) -> ShelfLabelsPaper:
    """Labels as one walks along the bins, those without a bin last.

    Raises CallError: `label-items-unknown`, `label-bins-unknown` for names that no catalogue has,
    `label-none` where nothing is to be printed.
    """
    items = list(_chosen([item for catalog in catalogs for item in catalog.items], wanted))
    made = _of_bins(items) if wanted.of_bins else map(_of_item, items)
    labels = tuple(_fitted(made, stock.width(WIDTHS[page])))
    if not labels:
        raise CallError("label-none", what="bin" if wanted.of_bins else "item")
    head = PaperHead(
        letterhead=Letterhead(""),
        number=", ".join(catalog.id for catalog in catalogs),
        issued=max(catalog.edition for catalog in catalogs),
        customer=", ".join(dict.fromkeys(catalog.supplier for catalog in catalogs)),
        job="",
        page_size=page,
    )
    return ShelfLabelsPaper(head, "Bin labels" if wanted.of_bins else "Item labels", labels, stock)


def word_labels_paper(
    words: Sequence[tuple[str, str]], issued: date, stock: LabelStock, page: PageSize
) -> ShelfLabelsPaper:
    """Words that a scanner types, each with what it does: for whoever wears gloves."""
    made = (ShelfLabel(word, (does,), text_bars(word)) for word, does in words)
    head = PaperHead(
        letterhead=Letterhead(""), number="", issued=issued, customer="", job="", page_size=page
    )
    return ShelfLabelsPaper(
        head, "Words at the cart", tuple(_fitted(made, stock.width(WIDTHS[page]))), stock
    )


def _chosen(items: Sequence[Item], wanted: Wanted) -> Iterator[Item]:
    skus = _known("label-items-unknown", wanted.skus, [item.sku for item in items])
    bins = _known("label-bins-unknown", wanted.bins, [item.bin for item in items if item.bin])
    for item in sorted(items, key=lambda item: (walk_order(item.bin), item.bin, item.sku)):
        if (not skus or _key(item.sku) in skus) and (not bins or _key(item.bin) in bins):
            yield item


def _known(code: str, names: Sequence[str], there: Sequence[str]) -> set[str]:
    """The names as they are compared. Raises CallError with those that are not there."""
    known = {_key(name) for name in there}
    unknown = [name for name in names if _key(name) not in known]
    if unknown:
        raise CallError(code, given=unknown, known=sorted(set(there))[:NAMED] or "none")
    return {_key(name) for name in names}


def _key(name: str) -> str:
    return " ".join(name.split()).casefold()


def _of_item(item: Item) -> ShelfLabel:
    pack = f"pack of {item.pack_size}" if item.pack_size > 1 else ""
    facts = (item.supplier, f"finish {item.finish}" if item.finish else "", pack)
    said = (item.description, " · ".join(fact for fact in facts if fact))
    place = f"Bin {item.bin}" if item.bin else "no bin"
    return ShelfLabel(item.sku, said, item_bars(item.sku, item.barcode), place=place)


def _of_bins(items: Sequence[Item]) -> Iterator[ShelfLabel]:
    """What has no bin has no label of one."""
    bins: dict[str, list[Item]] = {}
    for item in items:
        if item.bin:
            bins.setdefault(item.bin, []).append(item)
    for place, found in bins.items():
        inside = tuple((item.sku, item.description) for item in found)
        yield ShelfLabel(place, (), text_bars(place), items=inside)


def _fitted(labels: Iterable[ShelfLabel], width: float) -> Iterator[ShelfLabel]:
    """Each with as wide bars as there is room for [mm], or none."""
    for label in labels:
        dots = label.bars.dots_within(width) if label.bars else 0
        yield replace(label, dots=dots, bars=label.bars if dots else None)
