"""Old fixing holes held against hole patterns of the catalogue: how far each is off.

Spacings alone are compared. Where the old holes lie on the leaf nobody has said: that they lie
where the template puts a body is for the fitter to measure.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from wholekit.domain.catalog.model import Body, Catalog, Piece
from wholekit.domain.openings.words import Mount
from wholekit.domain.quantities import HolePattern, Length

# A pattern is known by its two spacings only where four holes stand at its corners.
CORNERS = 4
# What a plate relieves that is made for old holes.
OLD_HOLES = "holes"


@dataclass(frozen=True, slots=True)
class HolesFit:
    """How far a pattern's spacings are from those of old holes: pattern less old [Length].

    turned: with length and height of the old ones exchanged. Half a turn, as a body is turned for
    the other hand, changes nothing: a rectangle comes to lie on itself.
    """

    along: Length
    across: Length
    turned: bool = False

    @property
    def worst(self) -> int:
        """The greater of the two differences [nm]."""
        return max(abs(self.along.nm), abs(self.across.nm))

    @property
    def order(self) -> tuple[int, int, bool]:
        """The nearest first: by the worse difference, then by both, in place before turned."""
        return self.worst, abs(self.along.nm) + abs(self.across.nm), self.turned

    def within(self, tolerance: Length) -> bool:
        """Whether neither spacing is off by more than the tolerance [Length]."""
        return self.worst <= tolerance.nm


def holes_fit(pattern: HolePattern, old: HolePattern) -> HolesFit:
    """The nearer of the old holes as they are written and a quarter turned.

    >>> old = HolePattern(Length.inches(8, 1, 4), Length.inches(3, 1, 4))
    >>> fit = holes_fit(HolePattern(Length.inches(8, 3, 4), Length.inches(1, 1, 2)), old)
    >>> str(fit.along), str(fit.across), fit.turned
    ('1/2 in', '-1-3/4 in', False)
    """
    # Differences in the unit in which the old holes were measured.
    written = HolesFit(_off(pattern.along, old.along), _off(pattern.across, old.across))
    exchanged = HolesFit(_off(pattern.along, old.across), _off(pattern.across, old.along), True)
    return min(written, exchanged, key=lambda fit: fit.order)


def _off(spacing: Length, old: Length) -> Length:
    return Length(spacing.nm - old.nm, old.unit)


def body_pattern(body: Body) -> HolePattern | None:
    """The holes of a body; None where they are not four."""
    return HolePattern(*body.hole_pattern) if body.fixing_holes == CORNERS else None


def plate_pattern(plate: Piece) -> HolePattern | None:
    """The holes by which a plate is fixed; None where they are not four or not given."""
    if plate.hole_pattern is None or plate.holes != CORNERS:
        return None
    return HolePattern(*plate.hole_pattern)


def hides(plate: Piece, old: HolePattern) -> bool:
    """Whether a plate that is made for old holes covers them, as they are written.

    >>> from wholekit.domain.catalog import Role
    >>> cover = (Length.inches(9), Length.inches(4))
    >>> plate = Piece("wide-plate", Role.PLATE, "fen", "Wide plate", covers=cover)
    >>> hides(plate, HolePattern(Length.inches(8), Length.inches(3)))
    True
    >>> hides(plate, HolePattern(Length.inches(3), Length.inches(8)))
    False
    """
    if plate.covers is None:
        return False
    return old.along <= plate.covers[0] and old.across <= plate.covers[1]


@dataclass(frozen=True, slots=True)
class NearBody:
    """A body of a catalogue and how far its holes are from old ones."""

    catalog: Catalog
    body: Body
    pattern: HolePattern
    fit: HolesFit


def bodies_by_holes(catalogs: Iterable[Catalog], old: HolePattern) -> list[NearBody]:
    """Every body with four holes, the nearest first; of equals by catalogue, then as it lists them.

    Bodies with another number of holes are left out: two spacings do not describe them.
    """
    found = [
        NearBody(catalog, body, pattern, holes_fit(pattern, old))
        for catalog in catalogs
        for body in catalog.bodies
        if (pattern := body_pattern(body)) is not None
    ]
    return sorted(found, key=lambda near: (near.fit.order, near.catalog.id))


@dataclass(frozen=True, slots=True)
class NearPlate:
    """A plate made for old holes: fixed by them (fit), or hiding them (fit None)."""

    catalog: Catalog
    plate: Piece
    fit: HolesFit | None

    @property
    def mounts(self) -> Sequence[Mount]:
        """Where it is used."""
        return [mount for mount in Mount if not self.plate.mounts or mount in self.plate.mounts]


def plates_for_holes(
    catalogs: Iterable[Catalog], old: HolePattern, tolerance: Length
) -> list[NearPlate]:
    """Plates made for old holes that are fixed by these, then those that hide them."""
    found = []
    for catalog in catalogs:
        for piece in catalog.pieces.values():
            if piece.relieves != OLD_HOLES:
                continue
            own = plate_pattern(piece)
            fit = None if own is None else holes_fit(own, old)
            if fit is not None and fit.within(tolerance):
                found.append(NearPlate(catalog, piece, fit))
            elif hides(piece, old):
                found.append(NearPlate(catalog, piece, None))
    return sorted(found, key=lambda near: (near.fit is None, near.catalog.id, near.plate.id))
