"""What price books say of the shelf, entered as opening movements: of each item once, for ever.

The migration to version 0009 uses this too: a version that changes these tables keeps a copy of
the statements for it.
"""

from sqlalchemy import Connection, text

# An item is known by its balance at the main branch, be it of nothing.
_NEW = "NOT EXISTS (SELECT 1 FROM stock_balance b WHERE b.item = s.id AND b.branch = 'main')"
_BOOK = (
    "FROM catalog_item i "
    "JOIN stock_item s ON s.sku = i.sku AND s.supplier = :supplier "
    f"WHERE i.revision_id = :revision AND {_NEW}"
)
_STATEMENTS = (
    # WHERE: SQLite would take ON for that of a join (its manual, lang_upsert.html).
    (
        "INSERT INTO stock_item (sku, supplier, description) "
        "SELECT i.sku, :supplier, i.description FROM catalog_item i "
        "WHERE i.revision_id = :revision ORDER BY i.sku "
        "ON CONFLICT (sku, supplier) DO UPDATE SET description = excluded.description "
        "WHERE stock_item.description <> excluded.description"
    ),
    (
        "INSERT INTO stock_movement (key, kind, item, packs, source, source_branch, source_bin, "
        "target, target_branch, target_bin, bag, at, who, reason) "
        "SELECT 'opening/' || s.id, 'opening', s.id, i.on_hand, 'outside', '', '', "
        f"'shelf', 'main', i.bin, '', :at, :who, '' {_BOOK} AND i.on_hand > 0 ORDER BY s.id"
    ),
    (
        "INSERT INTO stock_bin (item, branch, bin, on_hand) "
        f"SELECT s.id, 'main', i.bin, i.on_hand {_BOOK}"
    ),
    # Last, as the others ask for it.
    (
        "INSERT INTO stock_balance (item, branch, on_hand, promised, moves) "
        f"SELECT s.id, 'main', i.on_hand, 0, 1 {_BOOK}"
    ),
)


def enter_openings(connection: Connection, revision: int, supplier: str, at: str, who: str) -> None:
    """What a stored revision says is on hand, of items that no stock is kept of yet.

    revision: its key in the table; at: ISO text. In as many statements however many items.
    """
    values = {"revision": revision, "supplier": supplier, "at": at, "who": who or "wholekit"}
    for statement in _STATEMENTS:
        used = {name: value for name, value in values.items() if f":{name}" in statement}
        connection.execute(text(statement), used)
