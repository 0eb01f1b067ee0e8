"""Stock: movements, the sums beside them, and what the latest price books say as openings."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS, guard_whole
from wholekit.store.opening_stock import enter_openings

revision = "0009"
down_revision: str | None = "0008"

_KINDS = (
    "'opening', 'receipt', 'reserve', 'unreserve', 'pick', 'unpick', 'ship', 'return', 'transfer', "
    "'adjust', 'count', 'scrap', 'to-supplier'"
)
_SIDES = "'outside', 'shelf', 'free', 'promised', 'bag', 'customer', 'scrap', 'difference'"
_LATEST = """
SELECT r.id, r.supplier, r.loaded_at, r.loaded_by FROM catalog_revision r
WHERE r.revision = (
    SELECT max(l.revision) FROM catalog_revision l WHERE l.catalog_id = r.catalog_id
) ORDER BY r.catalog_id
"""


def upgrade() -> None:
    """Make them, and enter what lay on the shelf by the books."""
    _make_movements()
    _make_sums()
    guard_whole(["stock_movement"])
    connection = op.get_bind()
    for key, supplier, at, who in connection.execute(sa.text(_LATEST)).all():
        enter_openings(connection, key, supplier, at, who)


def _words(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, WORDS, nullable=False) for name in names]


def _whole(*names: str) -> list[sa.Column[int]]:
    return [sa.Column(name, WHOLE, autoincrement=False, nullable=False) for name in names]


def _of_item(table: str) -> sa.ForeignKeyConstraint:
    return sa.ForeignKeyConstraint(["item"], ["stock_item.id"], name=f"fk_{table}_item")


def _make_movements() -> None:
    op.create_table(
        "stock_branch",
        *_words("code", "name"),
        sa.CheckConstraint("length(code) > 0", name="ck_stock_branch_code"),
        sa.PrimaryKeyConstraint("code", name="pk_stock_branch"),
        sqlite_strict=True,
    )
    op.create_table(
        "stock_item",
        sa.Column("id", WHOLE, autoincrement=True, nullable=False),
        *_words("sku", "supplier", "description"),
        sa.CheckConstraint("length(sku) > 0", name="ck_stock_item_sku"),
        sa.PrimaryKeyConstraint("id", name="pk_stock_item"),
        sa.UniqueConstraint("sku", "supplier", name="uq_stock_item_sku_supplier"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_table(
        "stock_movement",
        sa.Column("id", WHOLE, autoincrement=True, nullable=False),
        *_words("key", "kind"),
        *_whole("item", "packs"),
        *_words("source", "source_branch", "source_bin"),
        *_words("target", "target_branch", "target_bin"),
        *_words("bag", "at", "who", "reason"),
        sa.CheckConstraint(f"kind IN ({_KINDS})", name="ck_stock_movement_kind"),
        sa.CheckConstraint(f"source IN ({_SIDES})", name="ck_stock_movement_source"),
        sa.CheckConstraint(f"target IN ({_SIDES})", name="ck_stock_movement_target"),
        sa.CheckConstraint("packs > 0", name="ck_stock_movement_packs"),
        sa.CheckConstraint("length(who) > 0", name="ck_stock_movement_who"),
        sa.CheckConstraint(
            "kind <> 'adjust' OR length(reason) > 0", name="ck_stock_movement_reason"
        ),
        _of_item("stock_movement"),
        sa.PrimaryKeyConstraint("id", name="pk_stock_movement"),
        sa.UniqueConstraint("key", name="uq_stock_movement_key"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_stock_movement_item", "stock_movement", ["item", "id"])
    of_bags = sa.text("bag <> ''")
    op.create_index(
        "ix_stock_movement_bag",
        "stock_movement",
        ["bag", "id"],
        sqlite_where=of_bags,
        postgresql_where=of_bags,
    )


def _make_sums() -> None:
    op.create_table(
        "stock_balance",
        *_whole("item"),
        *_words("branch"),
        *_whole("on_hand", "promised", "moves"),
        sa.CheckConstraint("on_hand >= 0", name="ck_stock_balance_on_hand"),
        sa.CheckConstraint("promised >= 0", name="ck_stock_balance_promised"),
        sa.CheckConstraint("promised <= on_hand", name="ck_stock_balance_free"),
        _of_item("stock_balance"),
        sa.PrimaryKeyConstraint("item", "branch", name="pk_stock_balance"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_table(
        "stock_bin",
        *_whole("item"),
        *_words("branch", "bin"),
        *_whole("on_hand"),
        sa.CheckConstraint("on_hand >= 0", name="ck_stock_bin_on_hand"),
        _of_item("stock_bin"),
        sa.PrimaryKeyConstraint("item", "branch", "bin", name="pk_stock_bin"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_index("ix_stock_bin_bin", "stock_bin", ["branch", "bin"])
    op.create_table(
        "stock_bag",
        *_words("bag"),
        *_whole("item"),
        *_words("branch"),
        *_whole("promised", "picked", "latest"),
        sa.CheckConstraint("promised >= 0", name="ck_stock_bag_promised"),
        sa.CheckConstraint("picked >= 0", name="ck_stock_bag_picked"),
        _of_item("stock_bag"),
        sa.PrimaryKeyConstraint("bag", "item", "branch", name="pk_stock_bag"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_index("ix_stock_bag_item", "stock_bag", ["item", "branch"])
