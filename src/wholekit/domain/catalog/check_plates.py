"""Faults of plates: what nobody could fix to its host, or fix a body or foot to."""

from collections.abc import Iterator

from wholekit.domain.catalog.drilling import carries_body, rows_between
from wholekit.domain.catalog.holes import OLD_HOLES
from wholekit.domain.catalog.model import Body, Catalog, Piece
from wholekit.domain.catalog.nearest_words import listed
from wholekit.domain.catalog.places import path_of, series_file_of
from wholekit.domain.catalog.words import PLATE_KINDS, FastenerKind, Role
from wholekit.domain.errors import Problem
from wholekit.domain.openings.words import Mount

Fault = tuple[str, str, dict[str, object]]
_DRILLING = ("hole_pattern", "holes_from_body", "holes_down", "holes_row")


def check_plates(catalog: Catalog) -> list[Problem]:
    """Both sets of screws of every plate, and its own drilling.

    A plate needs screws into its host, and screws of a kind it takes for each body, shoe or bracket
    it is for, in each of its mounts.
    """
    plates = [piece for piece in catalog.pieces.values() if piece.role is Role.PLATE]
    offered = _Offered(catalog)
    return [
        Problem(code, {"id": plate.id, **fields}, where, column=path_of(plate, key))
        for plate in plates
        for where in [series_file_of(catalog, plate.series)]
        for code, key, fields in (*_own(plate), *_unscrewed(plate, catalog, offered))
    ]


def _own(plate: Piece) -> Iterator[Fault]:
    if not plate.takes_kinds:
        yield "plate-kinds-missing", "takes_kinds", {"right": listed(PLATE_KINDS)}
    unfit = [kind for kind in FastenerKind if kind in plate.takes_kinds - set(PLATE_KINDS)]
    if unfit:
        fields: dict[str, object] = {"given": listed(unfit), "right": listed(PLATE_KINDS)}
        yield "plate-kind-unfit", "takes_kinds", fields
    left_out = [key for key in _DRILLING if getattr(plate, key) is None]
    if left_out and len(left_out) < len(_DRILLING):
        yield "plate-drilling-part", left_out[0], {"right": listed(left_out)}
    if plate.relieves == OLD_HOLES and plate.covers is None and plate.hole_pattern is None:
        yield "plate-holes-unsaid", "covers", {}
    if plate.relieves != OLD_HOLES and plate.covers is not None:
        yield "plate-covers-unused", "covers", {"given": plate.relieves or ""}
    if plate.hole_pattern is None or plate.holes_down is None or plate.holes_row is None:
        return
    at_head = plate.relieves == "head" or plate.mounts == {Mount.TOP_JAMB}
    mount = Mount.TOP_JAMB if at_head else Mount.REGULAR
    near, far = rows_between(plate.holes_down, plate.hole_pattern[1], plate.holes_row, mount)
    if plate.needs is not None and not (near.nm > 0 and far < plate.needs):
        fields = {"near": str(near), "far": str(far), "needed": str(plate.needs)}
        yield "plate-holes-outside", "holes_down", fields


class _Offered:
    """Kinds of fastener on offer, by role, mount and what they fit; feet by family and mount."""

    def __init__(self, catalog: Catalog) -> None:
        feet: dict[tuple[str, Mount], dict[str, Piece]] = {}
        for series in catalog.series:
            for template in series.templates:
                named = {
                    name: catalog.pieces[name] for name in template.feet if name in catalog.pieces
                }
                for family in template.families:
                    feet.setdefault((family, template.mount), {}).update(named)
        self.feet = feet
        self._kinds: dict[tuple[Role, Mount, str], set[FastenerKind]] = {}
        for piece in catalog.pieces.values():
            if piece.kind is None:
                continue
            for mount in piece.mounts or Mount:
                for name in piece.fits or (_whole(piece.series),):
                    self._kinds.setdefault((piece.role, mount, name), set()).add(piece.kind)

    def kinds(self, role: Role, mount: Mount, names: tuple[str, ...]) -> set[FastenerKind]:
        """Kinds of a role that fit any of the names in a mount."""
        return set().union(*(self._kinds.get((role, mount, name), ()) for name in names))


def _whole(series: str) -> str:
    """What stands for everything in a series; no id has a blank."""
    return f"series {series}"


def _unscrewed(plate: Piece, catalog: Catalog, offered: _Offered) -> Iterator[Fault]:
    loose: list[Mount] = []
    bare: dict[Role, list[Mount]] = {}
    for mount in Mount if not plate.mounts else sorted(plate.mounts):
        for body in catalog.bodies:
            if mount not in body.mounts or not _fits(plate, body):
                continue
            own = (body.family, plate.id, _whole(plate.series))
            if not offered.kinds(Role.PLATE_FASTENER, mount, own):
                loose.append(mount)
            for role, names in _carried(plate, body, mount, offered):
                if plate.takes_kinds and not plate.takes_kinds & offered.kinds(role, mount, names):
                    bare.setdefault(role, []).append(mount)
    if loose:
        yield "plate-never-fixed", "", {"mounts": listed(dict.fromkeys(loose))}
    for role, mounts in bare.items():
        kinds = listed(kind for kind in FastenerKind if kind in plate.takes_kinds)
        fields: dict[str, object] = {
            "role": role,
            "kinds": kinds,
            "mounts": listed(dict.fromkeys(mounts)),
        }
        yield "plate-carries-nothing", "takes_kinds", fields


def _fits(plate: Piece, body: Body) -> bool:
    if not plate.fits:
        return body.series == plate.series
    return not plate.fits.isdisjoint((body.family, body.id))


def _carried(
    plate: Piece, body: Body, mount: Mount, offered: _Offered
) -> Iterator[tuple[Role, tuple[str, ...]]]:
    """What is screwed to the plate: the role of its screws, and what they may fit."""
    if carries_body(plate, mount):
        yield Role.BODY_FASTENER, (body.family, body.id, _whole(body.series))
        return
    role = Role.BRACKET_FASTENER if mount is Mount.PARALLEL else Role.SHOE_FASTENER
    for foot in offered.feet.get((body.family, mount), {}).values():
        yield role, (body.family, foot.id, _whole(foot.series))
