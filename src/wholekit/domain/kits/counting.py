"""What a kit's lines hold, counted off against what is needed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from wholekit.domain.catalog import Catalog, Item, Piece, Role
from wholekit.domain.catalog.screws import screw_size
from wholekit.domain.kits.kit import KitLine, Missing, Need, Unused, Use
from wholekit.domain.kits.shelf import Shelf
from wholekit.domain.reasons import Reason


@dataclass(frozen=True, slots=True)
class HandLine:
    """One line of a kit made by hand, for one opening [count]."""

    item: Item
    catalog: Catalog
    quantity: int


@dataclass(frozen=True)
class Brought:
    """A kit's lines, and the pieces in each by qualified id [count]."""

    lines: tuple[HandLine, ...]
    shelf: Shelf

    @cached_property
    def contents(self) -> tuple[Mapping[str, int], ...]:
        """The pieces of each line [count]."""
        return tuple(
            {
                self.shelf.key(line.catalog, supply.piece): supply.quantity * line.quantity
                for supply in line.item.supplies
            }
            for line in self.lines
        )

    @cached_property
    def held(self) -> Mapping[str, int]:
        """The pieces of the whole kit [count]."""
        found: dict[str, int] = {}
        for pieces in self.contents:
            for key, count in pieces.items():
                found[key] = found.get(key, 0) + count
        return found

    def pieces_of(self, position: int) -> list[Piece]:
        """The kinds of piece in a line."""
        return [self.shelf.pieces[key] for key in self.contents[position]]

    @cached_property
    def with_plate(self) -> tuple[bool, ...]:
        """Of each line, whether a plate comes in it."""
        return tuple(
            any(piece.role is Role.PLATE for piece in self.pieces_of(position))
            for position in range(len(self.lines))
        )

    def boxed_with_plate(self, need: Need) -> str | None:
        """The piece that comes boxed with the plates in the number needed; None where none does.

        Only for a joint onto a plate.
        """
        if not need.onto_plate:
            return None
        own = dict.fromkeys(need.pieces, 0)
        for pieces, with_plate in zip(self.contents, self.with_plate, strict=True):
            for key in own:
                own[key] += pieces.get(key, 0) if with_plate else 0
        return next((key for key, count in own.items() if count >= need.quantity), None)

    def sku_with(self, role: Role) -> str:
        """The first SKU that brings a piece of a role, empty where none does."""
        for position, line in enumerate(self.lines):
            if any(piece.role is role for piece in self.pieces_of(position)):
                return line.item.sku
        return ""


@dataclass(frozen=True, slots=True)
class Short:
    """A need the kit does not meet, and how many pieces it lacks [count]."""

    need: Need
    quantity: int

    @property
    def missing(self) -> Missing:
        """The same as a kit tells it."""
        return Missing(self.need.role, self.quantity, self.need.kinds, self.need.reason)


@dataclass(frozen=True, slots=True)
class Tally:
    """A kit counted off: line by line what is used and what is left, and what it lacks.

    plates_left: plates that are not used [count].
    """

    uses: tuple[tuple[tuple[Use, Reason], ...], ...]
    left: tuple[Mapping[str, int], ...]
    short: tuple[Short, ...]
    plates_left: int = 0

    @property
    def idle(self) -> int:
        """Lines of which nothing is used [count]."""
        return sum(not uses for uses in self.uses)


def count_off(brought: Brought, needs: Sequence[Need]) -> Tally:
    """Count needs off a kit's pieces, in the order of the needs and then of the lines.

    A need is met by one kind of piece, the one of which the kit has most left: screws of two
    patterns are not mixed in one joint. Screws onto a plate are the plate's own where it brings
    them, and its line comes before the others.
    """
    left = [dict(pieces) for pieces in brought.contents]
    uses: list[list[tuple[Use, Reason]]] = [[] for _ in left]
    short: list[Short] = []
    for need in needs:
        # From what is left, not from all there is: a screw that holds the body is gone for the
        # shoe.
        counts = {key: sum(pieces.get(key, 0) for pieces in left) for key in need.pieces}
        key = brought.boxed_with_plate(need) or max(counts, key=counts.__getitem__, default=None)
        order = list(range(len(left)))
        if need.onto_plate:
            order = sorted(order, key=lambda position: not brought.with_plate[position])
        wanted = need.quantity
        # Without a piece that would do, nobody makes what is needed: all of it is short.
        if key is not None:
            piece = brought.shelf.pieces[key]
            for pieces, used in ((left[position], uses[position]) for position in order):
                taken = min(wanted, pieces.get(key, 0))
                if taken:
                    pieces[key] -= taken
                    wanted -= taken
                    plate = piece if need.role is Role.PLATE else None
                    use = Use(
                        need.role,
                        piece.kind,
                        piece.id,
                        taken,
                        piece.screw_number,
                        plate,
                        screw_size(piece.title, piece.kind),
                    )
                    used.append((use, need.reason))
        if wanted:
            short.append(Short(need, wanted))
    plates_left = sum(
        count
        for pieces in left
        for key, count in pieces.items()
        if count and brought.shelf.pieces[key].role is Role.PLATE
    )
    return Tally(tuple(map(tuple, uses)), tuple(left), tuple(short), plates_left)


def lines_of_tally(
    brought: Brought, tally: Tally
) -> tuple[tuple[KitLine, ...], tuple[Unused, ...]]:
    """The lines in their own order with what each supplies, and the pieces not used."""
    lines = tuple(
        KitLine(line.item, line.quantity, tuple(use for use, _ in uses), _reasons(uses))
        for line, uses in zip(brought.lines, tally.uses, strict=True)
    )
    unused = tuple(
        Unused(line.item, piece.role, piece.id, quantity, piece.kind)
        for line, left in zip(brought.lines, tally.left, strict=True)
        for piece, quantity in ((brought.shelf.pieces[key], left[key]) for key in left)
        if quantity
    )
    return lines, unused


def spare_of(brought: Brought, tally: Tally, position: int) -> int:
    """How many whole items of a line the opening does not use [count]."""
    line = brought.lines[position]
    # The scarcest piece decides: an item of which any piece is used up is not spare.
    return min(
        tally.left[position][brought.shelf.key(line.catalog, supply.piece)] // supply.quantity
        for supply in line.item.supplies
    )


def _reasons(uses: Sequence[tuple[Use, Reason]]) -> tuple[Reason, ...]:
    """The reasons of uses, each once; reasons hold mappings, which do not hash."""
    found: list[Reason] = []
    for _, reason in uses:
        if reason not in found:
            found.append(reason)
    return tuple(found)
