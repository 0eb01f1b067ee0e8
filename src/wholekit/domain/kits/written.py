"""A cover written out as a kit's lines: what each supplies, what is left over, what it costs."""

from collections import Counter
from collections.abc import Mapping, Sequence

from wholekit.domain.catalog import Role
from wholekit.domain.kits.demand import body_pieces, hands_wanted
from wholekit.domain.kits.kit import KitLine, Unused, Use
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
    handed = "any" not in found.body.pieces
    wanted = hands_wanted(handed, facts, [])
    open_needs: list[tuple[Role, str, int, Reason]] = [
        (Role.BODY, shelf.key(catalog, piece), count, body_need)
        for piece, count in body_pieces(found.body, wanted).items()
    ]
    open_needs += [
        (need.role, piece, need.quantity, need.reason)
        for need, piece in zip(found.demand.needs, found.cover.chosen, strict=True)
        if piece is not None
    ]
    counts = Counter(found.cover.ranks)
    left = {
        rank: {
            shelf.key(catalog, supply.piece): supply.quantity * count
            for supply in shelf.item(rank).supplies
        }
        for rank, count in counts.items()
    }
    uses: dict[int, list[tuple[Use, Reason]]] = {rank: [] for rank in counts}
    for role, key, quantity, reason in open_needs:
        for rank in sorted(counts):
            taken = min(quantity, left[rank].get(key, 0))
            if taken:
                piece = shelf.pieces[key]
                left[rank][key] -= taken
                quantity -= taken
                plate = piece if role is Role.PLATE else None
                use = Use(role, piece.kind, piece.id, taken, piece.screw_number, plate)
                uses[rank].append((use, reason))
    return _written(counts, uses, left, shelf)


def _written(
    counts: Mapping[int, int],
    uses: Mapping[int, list[tuple[Use, Reason]]],
    left: Mapping[int, Mapping[str, int]],
    shelf: Shelf,
) -> tuple[tuple[KitLine, ...], tuple[Unused, ...]]:
    order = sorted(
        counts,
        key=lambda rank: (
            min((_ROLE_ORDER[use.role] for use, _ in uses[rank]), default=99),
            rank,
        ),
    )
    lines = tuple(
        KitLine(
            shelf.item(rank),
            counts[rank],
            tuple(use for use, _ in uses[rank]),
            _reasons(uses[rank]),
        )
        for rank in order
    )
    unused = tuple(
        Unused(
            shelf.item(rank),
            shelf.pieces[key].role,
            shelf.pieces[key].id,
            quantity,
            shelf.pieces[key].kind,
        )
        for rank in order
        for key, quantity in left[rank].items()
        if quantity
    )
    return lines, unused


def _reasons(uses: Sequence[tuple[Use, Reason]]) -> tuple[Reason, ...]:
    found: list[Reason] = []
    for _, reason in uses:
        if reason not in found:
            found.append(reason)
    return tuple(found)


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
