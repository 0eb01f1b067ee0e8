"""A cover written out as a kit's lines: what each supplies, what is left over, what it costs."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from wholekit.domain.catalog import Role
from wholekit.domain.kits.counting import Brought, HandLine, count_off, lines_of_tally
from wholekit.domain.kits.demand import body_pieces, hands_wanted
from wholekit.domain.kits.kit import KitLine, Need, Unused
from wholekit.domain.kits.search import Found
from wholekit.domain.kits.shelf import Shelf
from wholekit.domain.openings import Facts
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.reasons import Reason

_ROLE_ORDER = {role: position for position, role in enumerate(Role)}


def lines_of(
    found: Found, body_need: Reason, facts: Facts, shelf: Shelf
) -> tuple[tuple[KitLine, ...], tuple[Unused, ...]]:
    """Lines in the order of roles; pieces used are counted off line by line."""
    catalog = shelf.catalog_of(found.cover.ranks[0])
    handed = found.body.handed
    wanted = hands_wanted(handed, facts)
    needs = [
        Need(Role.BODY, count, (shelf.key(catalog, piece),), body_need)
        for piece, count in body_pieces(found.body, wanted).items()
    ]
    counts = sorted(Counter(found.cover.ranks).items())
    cover = Brought(
        tuple(HandLine(shelf.item(rank), catalog, count) for rank, count in counts), shelf
    )
    # Of equal price the cover may name a set's screws though the plate's own are in its box.
    needs += [
        replace(need, pieces=(cover.boxed_with_plate(need) or piece,))
        for need, piece in zip(found.demand.needs, found.cover.chosen, strict=True)
        if piece is not None
    ]
    tally = count_off(cover, needs)
    first_use = {
        line.item.sku: min((_ROLE_ORDER[use.role] for use, _ in uses), default=len(_ROLE_ORDER))
        for line, uses in zip(cover.lines, tally.uses, strict=True)
    }
    lines, unused = lines_of_tally(cover, tally)
    # Sorting is stable: where roles are alike, the order of the price books stands.
    return (
        tuple(sorted(lines, key=lambda line: first_use[line.item.sku])),
        tuple(sorted(unused, key=lambda piece: first_use[piece.item.sku])),
    )


def list_price_of(lines: Sequence[KitLine], currency: str) -> Money:
    """What the lines cost at list [Money]."""
    total = Money.zero(currency)
    for line in lines:
        total += line.item.list_price.times(line.quantity)
    return total


def cost_of(lines: Sequence[KitLine], currency: str) -> Cost:
    """What the lines cost the house [Cost]."""
    total = Cost(0, currency)
    for line in lines:
        total += line.item.cost.times(line.quantity)
    return total
