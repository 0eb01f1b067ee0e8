"""What a load would change, as an answer and in lines of text."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.catalog.changes import CatalogChanges, ItemChange
from wholekit.domain.catalog.model import Item
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quantities.money import round_half_up

# Field names of an item as its price book heads them.
_COLUMNS = {
    "description": "description",
    "finish": "finish",
    "supplies": "supplies",
    "pack_size": "pack size",
    "bin": "bin",
    "lead_days": "lead days",
    "barcode": "barcode",
    "discontinued": "status",
    "replaced_by": "replaced by",
    "substitutes": "substitutes",
    "breakable": "breakable",
    "reorder_at": "reorder at",
    "least_order": "least order",
    "price_breaks": "price breaks",
    "currency": "currency",
}


@dataclass(frozen=True, slots=True)
class PricedItemAnswer:
    """An item that comes or goes, at its list price [major units]."""

    sku: str
    description: str
    price: str


@dataclass(frozen=True, slots=True)
class ItemChangeAnswer:
    """An item before and after. percent: of what it was before, one decimal; None from nothing."""

    sku: str
    description: str
    price_before: str
    price_after: str
    price_moved: str
    price_percent: str | None
    cost_before: str
    cost_after: str
    cost_moved: str
    cost_percent: str | None
    stock_before: int
    stock_after: int
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ChangesAnswer:
    """What loading one catalogue would change. stored_revision: 0 if there is none yet.

    dearer, cheaper, cost, stock, others: how many items [count]. average: by how much list prices
    rise on average over all items that stay; average_of_moved: of those that move [per cent].
    """

    catalog: str
    supplier: str
    currency: str
    edition: str
    stored_revision: int
    stored_edition: str | None
    nothing: bool
    items: int
    dearer: int
    cheaper: int
    cost: int
    stock: int
    others: int
    new: tuple[PricedItemAnswer, ...]
    gone: tuple[PricedItemAnswer, ...]
    changed: tuple[ItemChangeAnswer, ...]
    series_changed: tuple[str, ...]
    average: str | None
    average_of_moved: str | None


def changes_answer(changes: CatalogChanges, revision: int) -> ChangesAnswer:
    """The answer; items whose price moved most come first."""
    moved = [*changes.dearer, *changes.cheaper]
    seen = {change.after.sku for change in moved}
    ordered = [*moved, *(change for change in changes.changed if change.after.sku not in seen)]
    before = changes.before
    return ChangesAnswer(
        catalog=changes.after.id,
        supplier=changes.after.supplier,
        currency=changes.after.currency,
        edition=changes.after.edition.isoformat(),
        stored_revision=revision,
        stored_edition=None if before is None else before.edition.isoformat(),
        nothing=changes.nothing,
        items=len(changes.after.items),
        dearer=len(changes.dearer),
        cheaper=len(changes.cheaper),
        cost=sum(change.cost_moved != 0 for change in changes.changed),
        stock=sum(change.stock_moved != 0 for change in changes.changed),
        others=sum(bool(change.others) for change in changes.changed),
        # Of a first revision all would be new, which is told in one line instead.
        new=tuple(map(_item, changes.new)) if before is not None else (),
        gone=tuple(map(_item, changes.gone)),
        changed=tuple(map(_change, ordered)),
        series_changed=changes.series_changed if before is not None else (),
        average=_percent(changes.average_rise),
        average_of_moved=_percent(changes.average_of_moved),
    )


def changes_text(answer: ChangesAnswer, most: int | None) -> Iterator[str]:
    """The answer in lines of at most 80 columns; so many items of each kind, None = all."""
    yield f"{answer.catalog}: {answer.supplier}, edition {answer.edition}, {answer.items} items"
    if answer.stored_revision == 0:
        yield "  first revision; nothing of this catalogue is in the store yet"
        return
    yield f"  against revision {answer.stored_revision}, edition {answer.stored_edition}"
    if answer.nothing:
        yield "  nothing would change"
        return
    if answer.stored_edition is not None and answer.edition < answer.stored_edition:
        yield "  this edition is OLDER than the one in the store"
    yield (
        f"  {len(answer.new)} new, {len(answer.gone)} gone, {answer.dearer} dearer, "
        f"{answer.cheaper} cheaper,"
    )
    yield (
        f"  {answer.cost} of another cost, {answer.stock} of another stock, "
        f"{answer.others} otherwise changed"
    )
    if answer.average_of_moved is not None:
        yield (
            f"  list prices {answer.average} % on average, {answer.average_of_moved} % where they "
            "move"
        )
    if answer.series_changed:
        yield f"  engineering data changed: {', '.join(answer.series_changed)}"
    yield from _block("new", [_line(item) for item in answer.new], most)
    yield from _block("gone", [_line(item) for item in answer.gone], most)
    yield from _block("changed", [_change_line(change) for change in answer.changed], most)


def _block(title: str, lines: Sequence[str], most: int | None) -> Iterator[str]:
    if not lines:
        return
    yield f"  {title}:"
    shown = lines if most is None else lines[:most]
    yield from shown
    if len(shown) < len(lines):
        yield f"    … and {len(lines) - len(shown)} more (--all shows them)"


def _line(item: PricedItemAnswer) -> str:
    return f"    {item.sku:<20.20} {item.price:>12}  {item.description:.40}"


def _change_line(change: ItemChangeAnswer) -> str:
    said = []
    if change.price_before != change.price_after:
        share = "" if change.price_percent is None else f" ({change.price_percent} %)"
        said.append(f"{change.price_before} → {change.price_after}{share}")
    if change.cost_before != change.cost_after:
        share = "" if change.cost_percent is None else f" ({change.cost_percent} %)"
        said.append(f"cost {change.cost_before} → {change.cost_after}{share}")
    if change.stock_before != change.stock_after:
        said.append(f"stock {change.stock_before} → {change.stock_after}")
    if change.others:
        said.append(", ".join(change.others))
    rest = [f"\n{' ' * 25}{part}" for part in said[1:]]
    return f"    {change.sku:<20.20} {said[0] if said else ''}{''.join(rest)}"


def _item(item: Item) -> PricedItemAnswer:
    return PricedItemAnswer(item.sku, item.description, item.list_price.decimal_text)


def _change(change: ItemChange) -> ItemChangeAnswer:
    before, after = change.before, change.after
    return ItemChangeAnswer(
        sku=after.sku,
        description=after.description,
        price_before=before.list_price.decimal_text,
        price_after=after.list_price.decimal_text,
        price_moved=Money(change.price_moved, after.list_price.currency).decimal_text,
        price_percent=_percent(change.price_share),
        cost_before=before.cost.decimal_text,
        cost_after=after.cost.decimal_text,
        cost_moved=Cost(change.cost_moved, after.cost.currency).decimal_text,
        cost_percent=_percent(change.cost_share),
        stock_before=change.stock_before,
        stock_after=change.stock_after,
        others=tuple(_COLUMNS[name] for name in change.others),
    )


def _percent(share: Fraction | None) -> str | None:
    """A share as a signed percentage with one decimal.

    >>> _percent(Fraction(1, 8)), _percent(Fraction(-1, 3))
    ('+12.5', '-33.3')
    """
    if share is None:
        return None
    tenths = round_half_up(share * 1000)
    return f"{'-' if tenths < 0 else '+'}{abs(tenths) // 10}.{abs(tenths) % 10}"
