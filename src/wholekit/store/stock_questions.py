"""What the ledger of stock is asked before anything is written in it."""

from sqlalchemy import ColumnElement, bindparam, literal_column, select, union_all

from wholekit.store.stock_rows import BAG, BALANCE, BALANCES, BIN, ITEM, MOVEMENT

_NOTHING: ColumnElement[int] = literal_column("0")
# In one order, so that two who hold the same wait and do not block each other. SQLite passes over
# FOR UPDATE: there a writer has the whole file.
HOLD = (
    BALANCES.where(ITEM.c.sku.in_(bindparam("_skus", expanding=True)))
    .order_by(BALANCE.c.item, BALANCE.c.branch)
    .with_for_update(of=BALANCE)
)
# What a deed is judged by, in one question.
LOOK = union_all(
    select(
        literal_column("'bin'").label("kind"),
        BIN.c.item.label("item"),
        BIN.c.branch.label("branch"),
        BIN.c.bin.label("what"),
        BIN.c.on_hand.label("first"),
        _NOTHING.label("second"),
    ).where(BIN.c.item.in_(bindparam("_items", expanding=True))),
    select(
        literal_column("'bag'"),
        BAG.c.item,
        BAG.c.branch,
        BAG.c.bag,
        BAG.c.promised,
        BAG.c.picked,
    ).where(BAG.c.bag.in_(bindparam("_bags", expanding=True))),
    select(
        literal_column("'key'"),
        MOVEMENT.c.item,
        literal_column("''"),
        MOVEMENT.c.key,
        _NOTHING,
        _NOTHING,
    ).where(MOVEMENT.c.key.in_(bindparam("_keys", expanding=True))),
)

_OF_ITEM = (ITEM.c.sku == bindparam("_sku"), ITEM.c.supplier == bindparam("_supplier"))
_HELD_ONE = (
    select(BALANCE).join(ITEM, ITEM.c.id == BALANCE.c.item).where(*_OF_ITEM)
    .order_by(BALANCE.c.branch)
    .with_for_update(of=BALANCE)
    .cte("held")
)  # fmt: skip
# One item held, and looked at, in one question. `then` is what the question saw as it began: where
# its moves are those of what is `held`, nobody came in between, and all of it is of one moment.
HOLD_AND_LOOK = union_all(
    select(
        literal_column("'held'").label("kind"),
        _HELD_ONE.c.item.label("item"),
        _HELD_ONE.c.branch.label("branch"),
        literal_column("''").label("what"),
        _HELD_ONE.c.on_hand.label("first"),
        _HELD_ONE.c.promised.label("second"),
        _HELD_ONE.c.moves.label("moves"),
    ),
    select(
        literal_column("'then'"),
        BALANCE.c.item,
        BALANCE.c.branch,
        literal_column("''"),
        _NOTHING,
        _NOTHING,
        BALANCE.c.moves,
    )
    .join(ITEM, ITEM.c.id == BALANCE.c.item)
    .where(*_OF_ITEM),
    select(
        literal_column("'bin'"),
        BIN.c.item,
        BIN.c.branch,
        BIN.c.bin,
        BIN.c.on_hand,
        _NOTHING,
        _NOTHING,
    )
    .join(ITEM, ITEM.c.id == BIN.c.item)
    .where(*_OF_ITEM),
    select(
        literal_column("'bag'"),
        BAG.c.item,
        BAG.c.branch,
        BAG.c.bag,
        BAG.c.promised,
        BAG.c.picked,
        _NOTHING,
    )
    .join(ITEM, ITEM.c.id == BAG.c.item)
    .where(*_OF_ITEM, BAG.c.bag == bindparam("_bag")),
    select(
        literal_column("'key'"),
        MOVEMENT.c.item,
        literal_column("''"),
        MOVEMENT.c.key,
        _NOTHING,
        _NOTHING,
        _NOTHING,
    ).where(MOVEMENT.c.key == bindparam("_key")),
)
