"""Faults of the engineering data: each body, piece and template taken by itself."""

from collections.abc import Iterable, Iterator

from wholekit.domain.catalog.model import Body, Catalog, Piece, Series, Template
from wholekit.domain.catalog.nearest_words import NearWords, listed
from wholekit.domain.catalog.places import path_of, series_file_of
from wholekit.domain.catalog.words import FASTENER_ROLES, FastenerKind, Role
from wholekit.domain.errors import Problem
from wholekit.domain.quantities import Length

SMALLEST_SIZE, LARGEST_SIZE = 1, 7
GRADES = (1, 2, 3)
CORROSION_CLASSES = range(6)  # EN 1670
DURABILITY_DIGITS = range(1, 10)
WIDEST_ANGLE = 180
# No closer part takes more screws than this; common practice, no source.
MOST_SCREWS = 32
SCREWED_DOWN = (Role.SHOE, Role.SOFFIT_BRACKET, Role.PLATE)
ARMS = (Role.MAIN_ARM, Role.FOREARM)

Fault = tuple[str, str, dict[str, object]]


def check_series(catalog: Catalog) -> list[Problem]:
    """Repeated ids, sizes, counts, lengths and keys that a role needs or must not have."""
    problems: list[Problem] = []
    bodies = {name for body in catalog.bodies for name in (body.family, body.id)}
    fitting = bodies | catalog.pieces.keys()
    near = NearWords(fitting)
    for series in catalog.series:
        where = series_file_of(catalog, series.id)
        checked: list[tuple[Piece | Body | Template, Iterable[Fault]]] = [
            *((body, _body_faults(body)) for body in series.bodies),
            *((piece, _piece_faults(piece, fitting, near)) for piece in series.pieces),
            *((template, _template_faults(template)) for template in series.templates),
        ]
        problems += [
            Problem(code, {"id": thing.id, **fields}, where, column=path_of(thing, key))
            for thing, faults in checked
            for code, key, fields in faults
        ]
    return [*_repeats(catalog), *problems]


def _repeats(catalog: Catalog) -> Iterator[Problem]:
    first: dict[tuple[str, str], str] = {}
    for series in catalog.series:
        where = series_file_of(catalog, series.id)
        for kind, name, path in _names(series):
            if (kind, name) in first:
                fields = {"kind": kind, "id": name, "first": first[kind, name]}
                yield Problem("id-twice", fields, where, column=path)
            else:
                first[kind, name] = where


def _names(series: Series) -> Iterator[tuple[str, str, str]]:
    """Each id that must be the catalogue's only one: its kind, itself, its TOML path."""
    yield "series", series.id, "id"
    bodies: set[str] = set()
    for body in series.bodies:
        yield "body", body.id, path_of(body, "id")
        if body.id not in bodies:  # a body given twice is told once, not again for its pieces
            yield from (("piece", piece, path_of(body, "id")) for piece in body.pieces.values())
        bodies.add(body.id)
    for piece in series.pieces:
        if piece.role is not Role.BODY:
            yield "piece", piece.id, path_of(piece, "id")
    for template in series.templates:
        yield "template", template.id, path_of(template, "id")


def _body_faults(body: Body) -> Iterator[Fault]:
    for key in ("size_from", "size_to") if body.adjustable else ("size_from",):
        size = getattr(body, key)
        if not SMALLEST_SIZE <= size <= LARGEST_SIZE:
            shown = key if body.adjustable else "size"
            yield "size-unknown", shown, {"given": size}
    if body.size_from > body.size_to:
        yield "sizes-backwards", "size_from", {"from": body.size_from, "to": body.size_to}
    if body.grade is not None and body.grade not in GRADES:
        yield "grade-unknown", "grade", {"given": body.grade}
    if body.corrosion is not None and body.corrosion not in CORROSION_CLASSES:
        yield "corrosion-unknown", "corrosion", {"given": body.corrosion}
    if body.durability is not None and body.durability not in DURABILITY_DIGITS:
        yield "durability-unknown", "durability", {"given": body.durability}
    yield from _efficiency_faults(body)
    yield from _miscounted(body, ("fixing_holes", "pinion_screws", "pinion_caps"))
    if body.fixing_holes == 0:
        yield "holes-missing", "fixing_holes", {}
    if not body.mounts:
        yield "body-without-mount", "mounts", {}


def _efficiency_faults(body: Body) -> Iterator[Fault]:
    sourced = bool(body.efficiency_source.strip())
    if body.efficiency is None:
        if sourced:
            yield "source-of-nothing", "efficiency_source", {}
        return
    if not 0 < body.efficiency <= 1:
        yield "efficiency-impossible", "efficiency", {"given": f"{body.efficiency * 100:g}"}
    if not sourced:
        yield "efficiency-without-source", "efficiency_source", {}


def _piece_faults(piece: Piece, fitting: set[str], near: NearWords) -> Iterator[Fault]:
    if piece.role is Role.BODY:
        return
    yield from _miscounted(piece, ("holes", "arm_screws"))
    if piece.role in SCREWED_DOWN and piece.holes == 0:
        yield "holes-missing", "holes", {}
    for name in sorted(piece.fits - fitting):
        yield "fits-nothing", "fits", {"given": name, "right": near.right_for(name)}
    if piece.role in FASTENER_ROLES and piece.kind is None:
        yield "kind-missing", "kind", {"role": piece.role, "right": listed(FastenerKind)}
    if piece.role not in FASTENER_ROLES and piece.kind is not None:
        yield "kind-not-wanted", "kind", {"role": piece.role}
    if piece.kind is FastenerKind.THROUGH_BOLT:
        for key in ("leaf_from", "leaf_to"):
            if getattr(piece, key) is None:
                yield "leaf-range-missing", key, {"key": key}
    yield from _backwards(piece, "leaf_from", "leaf_to")
    yield from _backwards(piece, "length", "length_to")
    if piece.role in ARMS and piece.length is None:
        yield "arm-length-missing", "length", {}
    if piece.role is Role.PLATE and piece.relieves is None:
        yield "plate-relieves-missing", "relieves", {}
    if piece.role is Role.PLATE and piece.needs is None:
        yield "plate-needs-missing", "needs", {}
    if piece.role is Role.SPACER and piece.for_stop is None:
        yield "spacer-stop-missing", "for_stop", {}
    if piece.role is Role.HOLD_OPEN_ARM and not piece.stands_for:
        yield "stands-for-missing", "stands_for", {}


def _template_faults(template: Template) -> Iterator[Fault]:
    if not 0 < template.greatest_angle <= WIDEST_ANGLE:
        yield "angle-impossible", "greatest_angle", {"given": template.greatest_angle}
    if not template.families:
        yield "template-without-family", "families", {}
    for key in ("main_arms", "forearms", "feet"):
        if not getattr(template, key):
            yield "template-piece-missing", key, {"key": key}


def _miscounted(thing: Piece | Body, keys: tuple[str, ...]) -> Iterator[Fault]:
    for key in keys:
        count = getattr(thing, key)
        if count < 0:
            yield "count-negative", key, {"given": count}
        elif count > MOST_SCREWS:
            yield "count-over-limit", key, {"given": count, "most": MOST_SCREWS}


def _backwards(piece: Piece, low: str, high: str) -> Iterator[Fault]:
    least: Length | None = getattr(piece, low)
    most: Length | None = getattr(piece, high)
    if least is not None and most is not None and least > most:
        yield "range-backwards", low, {"from": str(least), "to": str(most)}
