"""Orders released to the pick room, their bags, and what happened to each bag."""

import sqlalchemy as sa
from alembic import op

from wholekit.store.migrations.parts import WHOLE, WORDS, guard_whole

revision = "0011"
down_revision: str | None = "0010"

_STATES = "'waiting', 'ready', 'open', 'closed', 'shipped', 'cancelled'"


def _words(name: str, *, empty: bool = False) -> sa.Column[str]:
    return sa.Column(name, WORDS, nullable=empty)


def _whole(name: str) -> sa.Column[int]:
    return sa.Column(name, WHOLE, autoincrement=False, nullable=False)


def upgrade() -> None:
    """New tables; bar codes are looked up at every scan."""
    op.create_index("ix_catalog_item_barcode", "catalog_item", ["barcode"])
    op.create_table(
        "released_order",
        _words("id"),
        _words("job_id"),
        _whole("quote"),
        _whole("revision"),
        _words("branch"),
        _words("released_at"),
        _words("released_by"),
        _words("promised_on", empty=True),
        _whole("priority"),
        _words("cancelled_at", empty=True),
        _whole("version"),
        sa.CheckConstraint("quote > 0", name="ck_released_order_quote"),
        sa.CheckConstraint("revision > 0", name="ck_released_order_revision"),
        sa.CheckConstraint("length(branch) > 0", name="ck_released_order_branch"),
        sa.CheckConstraint("version > 0", name="ck_released_order_version"),
        sa.ForeignKeyConstraint(["id"], ["quote_revision.id"], name="fk_released_order_id"),
        sa.ForeignKeyConstraint(["job_id"], ["job.id"], name="fk_released_order_job_id"),
        sa.UniqueConstraint("quote", "revision", name="uq_released_order_quote_revision"),
        sa.PrimaryKeyConstraint("id", name="pk_released_order"),
        sqlite_strict=True,
    )
    op.create_index("ix_released_order_job_id", "released_order", ["job_id"])
    op.create_table(
        "shipment",
        _whole("number"),
        _words("order_id"),
        _words("shipped_at"),
        _words("shipped_by"),
        _words("way"),
        _words("reference"),
        _words("received_by"),
        sa.CheckConstraint("way IN ('delivery', 'will-call')", name="ck_shipment_way"),
        sa.CheckConstraint("number > 0", name="ck_shipment_number"),
        sa.ForeignKeyConstraint(["order_id"], ["released_order.id"], name="fk_shipment_order_id"),
        sa.PrimaryKeyConstraint("number", name="pk_shipment"),
        sqlite_strict=True,
    )
    op.create_index("ix_shipment_order_id", "shipment", ["order_id"])
    _bags()
    op.create_table(
        "bag_event",
        sa.Column("id", WHOLE, primary_key=True, autoincrement=True),
        _words("event_id"),
        _words("bag_id"),
        _words("kind"),
        _words("data"),
        sa.CheckConstraint("length(event_id) > 0", name="ck_bag_event_event_id"),
        sa.ForeignKeyConstraint(["bag_id"], ["bag.id"], name="fk_bag_event_bag_id"),
        sa.UniqueConstraint("event_id", name="uq_bag_event_event_id"),
        sa.PrimaryKeyConstraint("id", name="pk_bag_event"),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index("ix_bag_event_bag_id", "bag_event", ["bag_id"])
    guard_whole(["bag_event"])


def _bags() -> None:
    op.create_table(
        "bag",
        _words("id"),
        _words("order_id"),
        _words("mark"),
        _whole("place"),
        _whole("number"),
        _words("state"),
        _words("branch"),
        _words("promised_on", empty=True),
        _whole("wave"),
        _words("picker"),
        _words("demand"),
        _words("packed", empty=True),
        _whole("shipment"),
        _whole("version"),
        sa.CheckConstraint(f"state IN ({_STATES})", name="ck_bag_state"),
        sa.CheckConstraint("length(mark) > 0", name="ck_bag_mark"),
        sa.CheckConstraint("place > 0", name="ck_bag_place"),
        sa.CheckConstraint("number > 0", name="ck_bag_number"),
        sa.CheckConstraint("wave >= 0", name="ck_bag_wave"),
        sa.CheckConstraint("shipment >= 0", name="ck_bag_shipment"),
        sa.CheckConstraint("(state = 'shipped') = (shipment > 0)", name="ck_bag_shipped"),
        sa.CheckConstraint(
            "state NOT IN ('closed', 'shipped') OR packed IS NOT NULL", name="ck_bag_closed"
        ),
        sa.CheckConstraint("version > 0", name="ck_bag_version"),
        sa.ForeignKeyConstraint(["order_id"], ["released_order.id"], name="fk_bag_order_id"),
        sa.PrimaryKeyConstraint("id", name="pk_bag"),
        sqlite_strict=True,
    )
    for columns in (["order_id"], ["state", "branch"], ["wave"], ["shipment"]):
        op.create_index(f"ix_bag_{'_'.join(columns)}", "bag", columns)
    op.create_table(
        "bag_need",
        _words("bag_id"),
        _words("supplier"),
        _words("sku"),
        _whole("packs"),
        sa.CheckConstraint("packs > 0", name="ck_bag_need_packs"),
        sa.ForeignKeyConstraint(["bag_id"], ["bag.id"], name="fk_bag_need_bag_id"),
        sa.PrimaryKeyConstraint("bag_id", "supplier", "sku", name="pk_bag_need"),
        sqlite_strict=True,
        sqlite_with_rowid=False,
    )
    op.create_index("ix_bag_need_supplier_sku", "bag_need", ["supplier", "sku"])
