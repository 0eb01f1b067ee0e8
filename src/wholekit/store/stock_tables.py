"""The tables of stock: movements, only ever added to, and the sums that are kept beside them.

A sum below zero is refused by its table: so no interleaving of writers promises a pack twice.
"""

from sqlalchemy import Index, UniqueConstraint, text

from wholekit.domain.stock import Kind, Side
from wholekit.store.columns import (
    COUNTED,
    KEYED,
    STRICT,
    Row,
    counted_key,
    one_of,
    rule,
    whole,
    words,
)

_OF_BAGS = text("bag <> ''")


class StockBranchRow(Row, table=True):
    """A branch besides the one that is always there."""

    __tablename__ = "stock_branch"
    __table_args__ = (rule("code", "length(code) > 0"), STRICT)
    code: str = words(key=True)
    name: str = words()


class StockItemRow(Row, table=True):
    """An item that stock is kept of. description: the latest price book's."""

    __tablename__ = "stock_item"
    __table_args__ = (
        # By SKU first, as it is typed and scanned.
        UniqueConstraint("sku", "supplier"),
        rule("sku", "length(sku) > 0"),
        COUNTED,
    )
    id: int = counted_key()
    sku: str = words()
    supplier: str = words()
    description: str = words()


class StockMovementRow(Row, table=True):
    """One movement [packs]. Only ever added to: triggers refuse the rest."""

    __tablename__ = "stock_movement"
    __table_args__ = (
        UniqueConstraint("key"),
        Index("ix_stock_movement_item", "item", "id"),
        Index(
            "ix_stock_movement_bag",
            "bag",
            "id",
            sqlite_where=_OF_BAGS,
            postgresql_where=_OF_BAGS,
        ),
        one_of("kind", Kind),
        one_of("source", Side),
        one_of("target", Side),
        rule("packs", "packs > 0"),
        rule("who", "length(who) > 0"),
        rule("reason", "kind <> 'adjust' OR length(reason) > 0"),
        COUNTED,
    )
    id: int = counted_key()
    key: str = words()
    kind: str = words()
    item: int = whole(to="stock_item.id")
    packs: int = whole()
    source: str = words()
    source_branch: str = words()
    source_bin: str = words()
    target: str = words()
    target_branch: str = words()
    target_bin: str = words()
    bag: str = words()
    at: str = words()
    who: str = words()
    reason: str = words()


class StockBalanceRow(Row, table=True):
    """An item at a branch [packs]. moves: how often it changed, so that a change shows."""

    __tablename__ = "stock_balance"
    __table_args__ = (
        rule("on_hand", "on_hand >= 0"),
        rule("promised", "promised >= 0"),
        rule("free", "promised <= on_hand"),
        KEYED,
    )
    item: int = whole(key=True, to="stock_item.id")
    branch: str = words(key=True)
    on_hand: int = whole()
    promised: int = whole()
    moves: int = whole()


class StockBinRow(Row, table=True):
    """An item in a bin of a branch [packs]; bin empty = it has none."""

    __tablename__ = "stock_bin"
    __table_args__ = (
        Index("ix_stock_bin_bin", "branch", "bin"),
        rule("on_hand", "on_hand >= 0"),
        KEYED,
    )
    item: int = whole(key=True, to="stock_item.id")
    branch: str = words(key=True)
    bin: str = words(key=True)
    on_hand: int = whole()


class StockBagRow(Row, table=True):
    """An item at a branch that a bag is promised or holds [packs].

    latest: the movement of its latest reservation, by which the order of promises is known.
    """

    __tablename__ = "stock_bag"
    __table_args__ = (
        Index("ix_stock_bag_item", "item", "branch"),
        rule("promised", "promised >= 0"),
        rule("picked", "picked >= 0"),
        KEYED,
    )
    bag: str = words(key=True)
    item: int = whole(key=True, to="stock_item.id")
    branch: str = words(key=True)
    promised: int = whole()
    picked: int = whole()
    latest: int = whole()
