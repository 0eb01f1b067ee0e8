"""What a job takes from the shelf, and what is short."""

from collections.abc import Iterable
from dataclasses import dataclass

from wholekit.domain.catalog import Item
from wholekit.domain.kits import Kit


@dataclass(frozen=True, slots=True)
class Draw:
    """What a job takes of one item [packs], and how much of it the shelf lacks [packs]."""

    item: Item
    quantity: int
    marks: tuple[tuple[str, int], ...]

    @property
    def short(self) -> int:
        """Packs to be ordered before the job can be picked whole."""
        return max(0, self.quantity - self.item.on_hand)


def draw_stock(kitted: Iterable[tuple[str, int, Kit]]) -> tuple[Draw, ...]:
    """All items of a job by bin, then SKU, with the openings each goes to.

    kitted: mark, number of openings alike [count], kit of one of them.
    """
    items: dict[tuple[str, str], Item] = {}
    marks: dict[tuple[str, str], list[tuple[str, int]]] = {}
    for mark, quantity, kit in kitted:
        for line in kit.lines:
            key = (line.item.supplier, line.item.sku)
            items[key] = line.item
            marks.setdefault(key, []).append((mark, line.quantity * quantity))
    draws = [
        Draw(item, sum(count for _, count in marks[key]), tuple(marks[key]))
        for key, item in items.items()
    ]
    return tuple(sorted(draws, key=lambda draw: (draw.item.bin, draw.item.sku)))
