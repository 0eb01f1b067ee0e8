"""What the columns of a price book are called on a page."""

from wholekit.wording.speech import tr


def column_words(column: str) -> str:
    """A column of ours in the language in use."""
    return {
        "sku": tr("SKU"),
        "description": tr("Description"),
        "list": tr("List price"),
        "cost": tr("Cost"),
        "supplies": tr("Pieces it supplies"),
        "finish": tr("Finish"),
        "pack_size": tr("Pieces in a pack"),
        "on_hand": tr("On hand"),
        "bin": tr("Bin"),
        "lead_days": tr("Lead time in days"),
        "barcode": tr("Barcode"),
        "status": tr("Status"),
        "replaced_by": tr("Replaced by"),
        "substitutes": tr("What may stand in for it"),
        "breakable": tr("Sold by the piece"),
        "reorder_at": tr("Reorder at"),
        "least_order": tr("Least order"),
        "price_breaks": tr("Price breaks"),
    }[column]
