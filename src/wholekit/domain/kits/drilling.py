"""Where a body's holes go, as its template places them; or why no position may be given.

A fitter drills by what is said here. So nothing is filled in: a template that does not say which
row its vertical dimension locates gives no position, and a body on a plate has none of its own.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.catalog import Body, Piece, Template
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length

CORNERS = 4


@dataclass(frozen=True, slots=True)
class Drilling:
    """Hole centres of one body [Length].

    columns: from the hinge centre line toward the latch, nearest first. rows: from the edge, top of
    the leaf downward or, for top jamb, bottom of the head upward, nearest first. row: the row that
    the template's vertical dimension locates, `upper`, `lower` or `centre`; vertical: that
    dimension.
    """

    columns: tuple[Length, Length]
    rows: tuple[Length, Length]
    row: str
    vertical: Length


@dataclass(frozen=True, slots=True)
class NoDrilling:
    """Why no position is given: `on-plate`, `row-not-stated`, `off-host`, `not-four-holes`."""

    code: str


def drilling_of(
    body: Body, template: Template, plates: Sequence[Piece] = ()
) -> Drilling | NoDrilling:
    """Where the body's holes go on leaf or head.

    plates: the plates of the kit. Does not cover the holes of shoe, bracket or plate: the
    catalogue gives their pivots alone. Holes at or over the host's edge are refused (`off-host`).
    """
    if any(carries_body(plate, template.mount) for plate in plates):
        return NoDrilling("on-plate")
    if template.holes_row is None:
        return NoDrilling("row-not-stated")
    if body.fixing_holes != CORNERS:
        return NoDrilling("not-four-holes")
    along, across = body.hole_pattern
    near = _nearest_row(template, across)
    if near.nm <= 0:
        return NoDrilling("off-host")
    first = template.holes_from_hinge
    return Drilling(
        columns=(first, first + along),
        rows=(near, near + across),
        row=template.holes_row,
        vertical=template.holes_down,
    )


def carries_body(plate: Piece, mount: Mount) -> bool:
    """Whether a plate carries the body in a mount; else it carries the shoe or bracket.

    A plate for a short rail sits on the leaf, one for a low head on the frame, and so does the
    body (rule joints-by-mount).
    """
    return (plate.relieves == "head") is (mount is Mount.TOP_JAMB)


def _nearest_row(template: Template, across: Length) -> Length:
    """The row nearest the edge it is measured from; counted upward on a head, downward on a leaf."""
    down = template.holes_down
    if template.holes_row == "centre":
        return Length(down.nm - across.nm // 2, down.unit)
    nearest = "lower" if template.mount is Mount.TOP_JAMB else "upper"
    return down if template.holes_row == nearest else down - across
