"""Where the holes are drilled that hold a body or its plate, and how high their rows lie."""

from dataclasses import dataclass

from wholekit.domain.catalog.holes import OLD_HOLES
from wholekit.domain.catalog.model import Body, Piece, Template
from wholekit.domain.catalog.words import HolesRow
from wholekit.domain.openings.words import Mount
from wholekit.domain.quantities import Length

# The row met first from the edge that the vertical dimension counts from: the top of the leaf
# going down, the bottom of the head going up.
NEAR_ROW = {
    Mount.REGULAR: HolesRow.UPPER,
    Mount.PARALLEL: HolesRow.UPPER,
    Mount.TOP_JAMB: HolesRow.LOWER,
}


@dataclass(frozen=True, slots=True)
class Holes:
    """Fixing holes and their place.

    pattern: along × across, between centres; from_hinge: hinge centre line to the nearest hole;
    down: from the top of the leaf, or for top jamb up from the bottom of the head, to `row`
    [Length]. count [count].
    """

    count: int
    pattern: tuple[Length, Length]
    from_hinge: Length
    down: Length
    row: HolesRow


def body_holes(body: Body, template: Template) -> Holes | None:
    """The body's own holes as the template places them; None where it names no row."""
    if template.holes_row is None:
        return None
    return Holes(
        body.fixing_holes,
        body.hole_pattern,
        template.holes_from_hinge,
        template.holes_down,
        template.holes_row,
    )


def plate_holes(plate: Piece, template: Template) -> Holes | None:
    """The holes of a plate under the body; None where the plate's data do not give them all."""
    if (
        plate.hole_pattern is None
        or plate.holes_from_body is None
        or plate.holes_down is None
        or plate.holes_row is None
    ):
        return None
    return Holes(
        plate.holes,
        plate.hole_pattern,
        template.holes_from_hinge + plate.holes_from_body,
        plate.holes_down,
        plate.holes_row,
    )


def carries_body(plate: Piece, mount: Mount) -> bool:
    """Whether a plate sits under the body in a mount; elsewhere it sits under shoe or bracket.

    The body is on the leaf, so it is the rail's plate; at the top jamb on the head. A plate for
    old holes goes where the old body was.
    """
    if plate.relieves == OLD_HOLES:
        return True
    return (plate.relieves == "head") is (mount is Mount.TOP_JAMB)


def rows_between(
    down: Length, across: Length, row: HolesRow, mount: Mount
) -> tuple[Length, Length]:
    """The near and the far row of holes, from the edge that `down` counts from [Length].

    A near row at or below zero lies off the leaf or head.

    >>> half, across = Length.inches(0, 1, 2), Length.inches(3, 1, 4)
    >>> [str(one) for one in rows_between(half, across, HolesRow.LOWER, Mount.TOP_JAMB)]
    ['1/2 in', '3-3/4 in']
    >>> [str(one) for one in rows_between(half, across, HolesRow.UPPER, Mount.TOP_JAMB)]
    ['-2-3/4 in', '1/2 in']
    """
    if row is HolesRow.CENTRE:
        near = down - Length(across.nm // 2)
    else:
        near = down if row is NEAR_ROW[mount] else down - across
    return near, near + across
