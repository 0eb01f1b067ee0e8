"""Are the sums that are kept of stock those of its movements, and of each other?"""

from collections.abc import Iterator

from sqlalchemy import Connection, text

# What is kept taken off what the movements add up to: nothing must be left.
_LOOKS = {
    "bin": """
        SELECT item, branch, bin AS what, sum(packs) AS off FROM (
            SELECT item, target_branch AS branch, target_bin AS bin, packs
            FROM stock_movement WHERE target = 'shelf'
            UNION ALL SELECT item, source_branch, source_bin, -packs
            FROM stock_movement WHERE source = 'shelf'
            UNION ALL SELECT item, branch, bin, -on_hand FROM stock_bin
        ) AS moved GROUP BY item, branch, bin HAVING sum(packs) <> 0""",
    "promised": """
        SELECT item, branch, bag AS what, sum(packs) AS off FROM (
            SELECT item, target_branch AS branch, bag, packs
            FROM stock_movement WHERE target = 'promised'
            UNION ALL SELECT item, source_branch, bag, -packs
            FROM stock_movement WHERE source = 'promised' OR kind = 'pick'
            UNION ALL SELECT item, target_branch, bag, packs
            FROM stock_movement WHERE kind = 'unpick'
            UNION ALL SELECT item, branch, bag, -promised FROM stock_bag
        ) AS moved GROUP BY item, branch, bag HAVING sum(packs) <> 0""",
    "picked": """
        SELECT item, branch, bag AS what, sum(packs) AS off FROM (
            SELECT item, target_branch AS branch, bag, packs
            FROM stock_movement WHERE target = 'bag'
            UNION ALL SELECT item, source_branch, bag, -packs
            FROM stock_movement WHERE source = 'bag'
            UNION ALL SELECT item, branch, bag, -picked FROM stock_bag
        ) AS moved GROUP BY item, branch, bag HAVING sum(packs) <> 0""",
    "received": """
        SELECT item, branch, bin AS what, sum(packs) AS off FROM (
            SELECT i.id AS item, r.branch, r.bin,
                CASE WHEN r.delivery LIKE 'undo:%' THEN -r.packs ELSE r.packs END AS packs
            FROM purchase_receipt r
            JOIN purchase_order o ON o.number = r.order_number
            JOIN purchase_line l ON l.order_number = r.order_number AND l.line = r.line
            JOIN stock_item i ON i.supplier = o.supplier AND i.sku = l.sku
            UNION ALL SELECT item, target_branch, target_bin, -packs
            FROM stock_movement WHERE kind = 'receipt' AND key LIKE 'P-%'
            UNION ALL SELECT item, source_branch, source_bin, packs
            FROM stock_movement WHERE kind = 'to-supplier' AND key LIKE 'P-%'
        ) AS came GROUP BY item, branch, bin HAVING sum(packs) <> 0""",
    "on hand": """
        SELECT item, branch, '' AS what, sum(packs) AS off FROM (
            SELECT item, branch, on_hand AS packs FROM stock_bin
            UNION ALL SELECT item, branch, -on_hand FROM stock_balance
        ) AS kept GROUP BY item, branch HAVING sum(packs) <> 0""",
    "promised in all": """
        SELECT item, branch, '' AS what, sum(packs) AS off FROM (
            SELECT item, branch, promised AS packs FROM stock_bag
            UNION ALL SELECT item, branch, -promised FROM stock_balance
        ) AS kept GROUP BY item, branch HAVING sum(packs) <> 0""",
}


def wrong_sums(connection: Connection) -> Iterator[str]:
    """Each kept sum that is not what it should be, and by how many packs it is off."""
    for name, look in _LOOKS.items():
        found = connection.execute(
            text(
                "SELECT i.supplier, i.sku, f.branch, f.what, f.off "  # noqa: S608  # own texts
                f"FROM ({look}) AS f JOIN stock_item i ON i.id = f.item "
                "ORDER BY i.sku, i.supplier, f.branch, f.what"
            )
        )
        for supplier, sku, branch, what, off in found:
            place = f"{branch} {what}".strip()
            yield f"{supplier} {sku}, {place}: {name} off by {int(off)}"
