"""Faults of the price book: items against each other, and against the pieces they supply."""

from collections.abc import Collection, Iterator, Mapping

from wholekit.domain.catalog.check_terms import check_terms
from wholekit.domain.catalog.gtin import GTIN_LENGTHS, as_gtin_14, check_digit, is_digits
from wholekit.domain.catalog.model import Catalog, Item, Piece, Supply
from wholekit.domain.catalog.nearest_words import NearWords
from wholekit.domain.catalog.places import path_of, price_book_of, series_file_of
from wholekit.domain.errors import Problem
from wholekit.domain.quantities import currency_digits
from wholekit.domain.quantities.money import COST_DIGITS


def check_items(catalog: Catalog, finishes: Collection[str]) -> list[Problem]:
    """SKUs, barcodes, finishes, costs and replacements of the items, whatever they supply."""
    where = price_book_of(catalog)
    return [
        *_repeats(catalog, where),
        *_barcodes(catalog.items, where),
        *_finishes(catalog.items, finishes, where),
        *_costs(catalog, where),
        *_replacements(catalog, where),
        *check_terms(catalog, where),
    ]


def check_supplies(catalog: Catalog) -> list[Problem]:
    """Items that supply what no series has, or sell what shows without a finish; pieces unsold."""
    where = price_book_of(catalog)
    pieces = catalog.pieces
    near = NearWords(pieces)
    problems: list[Problem] = []
    # Many items supply the same; the catalogue keeps the tuples, so that their ids are theirs.
    sound: dict[tuple[int, bool], bool] = {}
    for_sale: dict[int, tuple[Supply, ...]] = {}
    for item in catalog.items:
        key = (id(item.supplies), item.finish is None)
        if not sound.get(key, False):
            faults = list(_supply_faults(item, pieces, near, where))
            sound[key] = not faults
            problems += faults
        if not item.discontinued:
            for_sale[key[0]] = item.supplies
    sold = {supply.piece for supplies in for_sale.values() for supply in supplies}
    return problems + list(_unsold(catalog, sold))


def _supply_faults(
    item: Item, pieces: Mapping[str, Piece], near: NearWords, where: str
) -> Iterator[Problem]:
    for supply in item.supplies:
        piece = pieces.get(supply.piece)
        if piece is None:
            right = near.right_for(supply.piece)
            fields = {"sku": item.sku, "piece": supply.piece, "right": right}
            yield Problem("piece-unknown", fields, where, item.row, "supplies")
        elif piece.shows and item.finish is None:
            fields = {"sku": item.sku, "piece": piece.id}
            yield Problem("finish-missing", fields, where, item.row, "finish")


def _unsold(catalog: Catalog, sold: Collection[str]) -> Iterator[Problem]:
    body_of = {piece: body for body in catalog.bodies for piece in body.pieces.values()}
    for series in catalog.series:
        for piece in series.pieces:
            if piece.id not in sold:
                path = path_of(body_of.get(piece.id, piece))
                place = series_file_of(catalog, series.id)
                yield Problem("piece-unsold", {"piece": piece.id}, place, column=path)


def _repeats(catalog: Catalog, where: str) -> Iterator[Problem]:
    if len(catalog.items_by_sku) == len(catalog.items):
        return
    first: dict[str, int] = {}
    for item in catalog.items:
        row = first.setdefault(item.sku, item.row)
        if row != item.row:
            yield Problem("sku-twice", {"sku": item.sku, "first": row}, where, item.row, "sku")


def _barcodes(items: Collection[Item], where: str) -> Iterator[Problem]:
    first: dict[str, Item] = {}
    for item in items:
        code = item.barcode
        if not code:
            continue
        if not is_digits(code) or len(code) not in GTIN_LENGTHS:
            fields: dict[str, object] = {"given": code}
            yield Problem("barcode-not-a-gtin", fields, where, item.row, "barcode")
            continue
        right = check_digit(code[:-1])
        if right != int(code[-1]):
            fields = {"given": code, "digit": code[-1], "right": right}
            yield Problem("barcode-wrong-digit", fields, where, item.row, "barcode")
        other = first.setdefault(as_gtin_14(code), item)
        if other is not item:
            fields = {"given": code, "sku": other.sku, "first": other.row}
            yield Problem("barcode-twice", fields, where, item.row, "barcode")


def _finishes(items: Collection[Item], finishes: Collection[str], where: str) -> Iterator[Problem]:
    known = frozenset(finishes)
    near = NearWords(known)
    for item in items:
        if item.finish is not None and item.finish not in known:
            fields = {"given": item.finish, "right": near.right_for(item.finish)}
            yield Problem("finish-unknown", fields, where, item.row, "finish")


def _costs(catalog: Catalog, where: str) -> Iterator[Problem]:
    # Both sides in ten-thousandths of the major unit, so that the comparison is exact.
    scale = 10 ** (COST_DIGITS - currency_digits(catalog.currency))
    for item in catalog.items:
        if item.cost.units > item.list_price.minor * scale:
            fields = {
                "sku": item.sku,
                "cost": item.cost.decimal_text,
                "list": item.list_price.decimal_text,
            }
            yield Problem("cost-above-list", fields, where, item.row, "cost")


def _replacements(catalog: Catalog, where: str) -> Iterator[Problem]:
    skus = catalog.items_by_sku
    near = NearWords(skus)
    for item in catalog.items:
        if item.replaced_by is None:
            continue
        if not item.discontinued:
            fields = {"sku": item.sku, "given": item.replaced_by}
            yield Problem("replacement-of-current", fields, where, item.row, "replaced_by")
        if item.replaced_by not in skus:
            fields = {"given": item.replaced_by, "right": near.right_for(item.replaced_by)}
            yield Problem("replacement-unknown", fields, where, item.row, "replaced_by")
    for loop in _loops(skus):
        fields = {"loop": " → ".join([*(item.sku for item in loop), loop[0].sku])}
        yield Problem("replacement-loop", fields, where, loop[0].row, "replaced_by")


def _loops(skus: Mapping[str, Item]) -> Iterator[list[Item]]:
    """Each loop of replacements once, from its first row on."""
    done: set[str] = set()
    for start, first in skus.items():
        if first.replaced_by is None:
            continue
        chain: list[str] = []
        sku: str | None = start
        while sku is not None and sku in skus and sku not in done:
            done.add(sku)
            chain.append(sku)
            sku = skus[sku].replaced_by
        if sku in chain:
            loop = [skus[link] for link in chain[chain.index(sku) :]]
            head = min(range(len(loop)), key=lambda number: loop[number].row)
            yield loop[head:] + loop[:head]
