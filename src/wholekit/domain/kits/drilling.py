"""What the fitter drills to hold the body of a kit: its own holes, or those of its plate."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from wholekit.domain.catalog import (
    Body,
    Holes,
    Piece,
    Role,
    Template,
    body_holes,
    carries_body,
    plate_holes,
)
from wholekit.domain.kits.kit import Use
from wholekit.domain.openings import Mount


class FittedLine(Protocol):
    """A line of a kit, by what the opening uses of it."""

    @property
    def uses(self) -> Sequence[Use]:
        """Pieces that are used."""


class Lacking(Protocol):
    """A piece that a kit lacks."""

    @property
    def role(self) -> Role:
        """What it would be."""


class Fitted(Protocol):
    """A kit by what of it is drilled and fixed: as it was built, or as it was offered."""

    @property
    def body(self) -> Body | None:
        """The body, None without one."""

    @property
    def template(self) -> Template | None:
        """The template it is placed by."""

    @property
    def mount(self) -> Mount:
        """How body and arms are placed."""

    @property
    def lines(self) -> Sequence[FittedLine]:
        """Its lines."""

    @property
    def missing(self) -> Sequence[Lacking]:
        """The pieces it lacks."""


@dataclass(frozen=True, slots=True)
class Drilling:
    """What is drilled into leaf or head for a body.

    on_plate: a plate is fixed there, and its holes are drilled instead of the body's. holes None:
    the catalogue does not say where, and the maker's template in the box does: no dimension may be
    printed.
    """

    on_plate: bool
    holes: Holes | None


def body_drilling(kit: Fitted) -> Drilling | None:
    """The drilling for a kit's body; None where the kit has no body on a template.

    With a plate under the body its own drilling, where the catalogue gives it; never the body's.
    """
    body, template = kit.body, kit.template
    if body is None or template is None:
        return None
    plates = [plate for plate in _plates(kit) if plate is None or carries_body(plate, kit.mount)]
    if not plates:
        return Drilling(False, body_holes(body, template))
    # Plates that differ in where they are drilled leave no one answer: better none on the card
    # than the wrong one.
    placed = {None if plate is None else plate_holes(plate, template) for plate in plates}
    return Drilling(True, placed.pop() if len(placed) == 1 else None)


def foot_on_plate(kit: Fitted) -> bool:
    """Whether shoe or bracket sits on a plate, by whose template its place is drilled then."""
    return any(plate is None or not carries_body(plate, kit.mount) for plate in _plates(kit))


def _plates(kit: Fitted) -> Iterator[Piece | None]:
    """Each plate of the kit; None for one that is not known, or that is still missing."""
    yield from (use.plate for line in kit.lines for use in line.uses if use.role is Role.PLATE)
    yield from (None for piece in kit.missing if piece.role is Role.PLATE)
