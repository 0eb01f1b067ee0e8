"""Items of a stored catalogue as answers."""

from dataclasses import dataclass

from wholekit.services.catalog_browse import ShownBook, ShownItem


@dataclass(frozen=True, slots=True)
class ItemAnswer:
    """One item of a stored revision. price: list [major units], empty where it is not told;
    on_hand: as its book says; free: in stock and promised to nobody now; reorder_at, least_order
    [packs]."""

    sku: str
    description: str
    finish: str
    price: str
    on_hand: int
    free: int
    lead_days: int
    bin: str
    status: str
    substitutes: tuple[str, ...]
    breakable: bool
    reorder_at: int | None
    least_order: int


@dataclass(frozen=True, slots=True)
class BreakAnswer:
    """Cost of one pack [major units] from so many in one order on [packs]."""

    packs: int
    cost: str


@dataclass(frozen=True, slots=True)
class CostedItemAnswer(ItemAnswer):
    """The same with own cost, where it was asked for, and what it is from so many packs on."""

    cost: str
    price_breaks: tuple[BreakAnswer, ...]


@dataclass(frozen=True, slots=True)
class ItemsAnswer:
    """Items of one stored revision, a page of them; count: those found in all."""

    catalog: str
    revision: int
    supplier: str
    edition: str
    currency: str
    items: tuple[ItemAnswer, ...]
    count: int
    page: int
    page_size: int


def items_answer(book: ShownBook, cost: bool, page: int, page_size: int) -> ItemsAnswer:
    """A page of a book; with cost where it is asked for and told."""
    return ItemsAnswer(
        book.revision.catalog_id,
        book.revision.revision,
        book.revision.supplier,
        book.revision.edition.isoformat(),
        book.revision.currency,
        tuple(item_answer(each, cost) for each in book.items),
        book.count,
        page,
        page_size,
    )


def item_answer(shown: ShownItem, cost: bool) -> ItemAnswer:
    """One item."""
    item = shown.item
    answer = (
        item.sku,
        item.description,
        item.finish or "",
        "" if shown.price is None else shown.price.decimal_text,
        shown.on_hand,
        shown.free,
        item.lead_days,
        item.bin,
        "discontinued" if item.discontinued else "",
        item.terms.substitutes,
        item.terms.breakable,
        item.terms.reorder_at,
        item.terms.least_order,
    )
    if not cost or shown.cost is None:
        return ItemAnswer(*answer)
    breaks = (BreakAnswer(each.packs, each.cost.decimal_text) for each in item.terms.price_breaks)
    return CostedItemAnswer(*answer, shown.cost.decimal_text, tuple(breaks))
