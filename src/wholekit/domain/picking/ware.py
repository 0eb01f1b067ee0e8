"""What the pick room knows of an item: what is in a pack of it, and its codes; no money."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeAlias

from wholekit.domain.catalog import Catalog, Item
from wholekit.domain.catalog.gtin import as_gtin_14, is_gtin
from wholekit.domain.openings.words import HingeSide
from wholekit.domain.quotes.ready import ItemKey, item_key

# Catalogue and piece: two suppliers may use one id.
PieceKey: TypeAlias = tuple[str, str]
_WHOLE = "item:"


@dataclass(frozen=True, slots=True)
class PieceCount:
    """So many of one kind of piece in a pack [count].

    role: the piece's, or the line's kind where the item itself is demanded. series, hand: of the
    piece; shows: its finish is seen once it is mounted.
    """

    piece: PieceKey
    count: int
    role: str
    series: str = ""
    hand: HingeSide | None = None
    shows: bool = False

    def other_hand_of(self, other: "PieceCount") -> bool:
        """Whether it is the same part for hinges at the other side."""
        return (
            self.hand is not None
            and other.hand is not None
            and self.hand is not other.hand
            and (self.piece[0], self.series, self.role)
            == (other.piece[0], other.series, other.role)
        )


@dataclass(frozen=True, slots=True)
class Ware:
    """An item as it is taken from a bin. holds: the pieces of one pack.

    breakable: pieces of an open pack may lie on the shelf as loose stock. substitutes: items that
    may take its place, as its supplier says.
    """

    key: ItemKey
    title: str
    finish: str = ""
    gtin: str = ""
    holds: tuple[PieceCount, ...] = ()
    breakable: bool = False
    substitutes: tuple[ItemKey, ...] = ()

    @property
    def sku(self) -> str:
        """Its code without its supplier."""
        return self.key[1]

    def supplies(self, piece: PieceKey, finish: str) -> int:
        """How many of a piece in a finish [count in one pack]; finish empty: in any."""
        if finish and finish != self.finish:
            return 0
        return sum(part.count for part in self.holds if part.piece == piece)


class Codes(Protocol):
    """Looks a code up: SKU, whatever its case, or GTIN of any length."""

    def find(self, code: str) -> Sequence[Ware]:
        """Every item of that code; two suppliers may sell under one SKU."""


class CodeBook:
    """Codes of wares held in memory.

    >>> book = CodeBook([Ware(("averlund", "AVK-14"), "Kyst body", gtin="2880000000181")])
    >>> [ware.sku for ware in book.find("avk-14")], [ware.sku for ware in book.find("AVK")]
    (['AVK-14'], [])
    >>> [ware.sku for ware in book.find("02880000000181")]
    ['AVK-14']
    """

    def __init__(self, wares: Iterable[Ware]) -> None:
        self._found: dict[str, list[Ware]] = defaultdict(list)
        for ware in wares:
            self._found[ware.sku.casefold()].append(ware)
            if ware.gtin and as_gtin_14(ware.gtin) != ware.sku:
                self._found[as_gtin_14(ware.gtin)].append(ware)

    def find(self, code: str) -> tuple[Ware, ...]:
        """The wares of a code; empty where there is none."""
        found = {ware.key: ware for ware in self._found.get(code.casefold(), ())}
        if is_gtin(code):
            found |= {ware.key: ware for ware in self._found.get(as_gtin_14(code), ())}
        return tuple(found.values())


def whole_item(item: ItemKey) -> PieceKey:
    """What an item itself is demanded under, where no piece of it is."""
    return _WHOLE + item[0], item[1]


def ware_of(
    catalog: Catalog, item: Item, *, substitutes: Sequence[str] = (), breakable: bool = False
) -> Ware:
    """An item of a catalogue. substitutes: SKUs of the same supplier."""
    pieces = [(catalog.pieces[supply.piece], supply.quantity) for supply in item.supplies]
    return Ware(
        item_key(item),
        item.description,
        item.finish or "",
        item.barcode,
        tuple(
            PieceCount(
                (catalog.id, piece.id), count, piece.role, piece.series, piece.hand, piece.shows
            )
            for piece, count in pieces
        ),
        breakable,
        tuple((item.supplier, sku) for sku in substitutes),
    )
