"""An item as the cells of a price book's row, which read back as the same item."""

from wholekit.domain.catalog.model import Item
from wholekit.intake.price_book import COLUMNS, NO_REPLACEMENT, STATUSES


def item_cells(item: Item, on_hand: int) -> list[str]:
    """A cell for each of COLUMNS, in their order."""
    terms = item.terms
    cells = {
        "sku": item.sku,
        "description": item.description,
        "list": item.list_price.decimal_text,
        "cost": item.cost.decimal_text,
        # A cell counts the pieces of one; an item those of the whole pack.
        "supplies": "; ".join(
            f"{each.quantity // item.pack_size} {each.piece}" for each in item.supplies
        ),
        "finish": item.finish or "",
        "pack_size": str(item.pack_size),
        "on_hand": str(on_hand),
        "bin": item.bin,
        "lead_days": str(item.lead_days),
        "barcode": item.barcode,
        "status": STATUSES[item.discontinued],
        "replaced_by": item.replaced_by or (NO_REPLACEMENT if item.discontinued else ""),
        "substitutes": " ".join(terms.substitutes),
        "breakable": "yes" if terms.breakable else "",
        "reorder_at": "" if terms.reorder_at is None else str(terms.reorder_at),
        "least_order": str(terms.least_order),
        "price_breaks": "; ".join(
            f"{each.packs}: {each.cost.decimal_text}" for each in terms.price_breaks
        ),
    }
    return [cells[name] for name in COLUMNS]
