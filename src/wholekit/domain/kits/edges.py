"""How near the edge of rail or head the holes of a kit come (rule hole-edge-distance).

Judged is the row of holes of body or plate that lies farther from the leaf's top, at the top jamb
from the head's foot. The other row, and those of shoe or bracket, lie where the maker's template
puts them.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from wholekit.domain.catalog import (
    CORNERS,
    Body,
    FastenerKind,
    Piece,
    Role,
    Template,
    body_holes,
    rows_between,
)
from wholekit.domain.catalog.drills import edge_distance, screw_diameter
from wholekit.domain.catalog.screws import screw_size
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.drilling import Drilling, Fitted, body_drilling
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.quantities import Length
from wholekit.domain.quantities.length import NM_PER_INCH
from wholekit.domain.rules import RuleBook

NEAR_EDGE = "holes-near-edge"
RULE = "hole-edge-distance"
NM_PER_MM = 1_000_000


class Reckoned(StrEnum):
    """On what a distance to the edge is reckoned."""

    SCREW = "screw"
    NO_SIZE = "no-size"  # the screw's is not told: the rule's stands in
    RIVET_NUT = "rivet-nut"  # its hole is not known: over its thread
    NUT_NO_SIZE = "rivet-nut-no-size"


@dataclass(frozen=True, slots=True)
class HoleEdge:
    """far: the farther row, from the edge that rows are counted from; least: how near the other
    edge its centers may come [Length]."""

    far: Length
    least: Length
    reckoned: Reckoned

    @property
    def needed(self) -> Length:
        """The least height of rail or head [Length]."""
        return self.far + self.least


def host_field(mount: Mount) -> str:
    """The opening's field that decides how low, at the top jamb how high, holes may lie."""
    return "head_face" if mount is Mount.TOP_JAMB else "top_rail"


def rows_of(drilling: Drilling | None, mount: Mount) -> tuple[Length, Length] | None:
    """The near and the far row that may be drilled by [Length]; None where no figure holds.

    A pattern of other than four holes cannot be told by its rows, and one whose near row lies off
    leaf or head is a fault of the catalogue.
    """
    holes = None if drilling is None else drilling.holes
    if holes is None or holes.count != CORNERS:
        return None
    rows = rows_between(holes.down, holes.pattern[1], holes.row, mount)
    return rows if rows[0].nm > 0 else None


def hole_edge(kit: Fitted, rules: RuleBook) -> HoleEdge | None:
    """What a kit's holes ask of rail or head; None where nobody says where they lie.

    Raises RuleError.
    """
    drilling = body_drilling(kit)
    rows = rows_of(drilling, kit.mount)
    if drilling is None or rows is None:
        return None
    role = Role.PLATE_FASTENER if drilling.on_plate else Role.BODY_FASTENER
    asked = [
        _least(use.kind, use.screw_number, use.size, rules)
        for line in kit.lines
        for use in line.uses
        if use.role is role
    ]
    millimetres, reckoned = max(asked, default=_least(None, None, "", rules))
    return HoleEdge(rows[1], Length(round(millimetres * NM_PER_MM), "mm"), reckoned)


def bare_needs(
    body: Body, template: Template, screws: Iterable[Piece], rules: RuleBook
) -> Length | None:
    """The least height of rail or head for a body's own holes, with any of the screws [Length].

    None where nobody says where the holes lie. Raises RuleError.
    """
    rows = rows_of(Drilling(False, body_holes(body, template)), template.mount)
    if rows is None:
        return None
    asked = [
        _least(screw.kind, screw.screw_number, screw_size(screw.title, screw.kind), rules)[0]
        for screw in screws
    ]
    least = max(asked, default=_least(None, None, "", rules)[0])
    return rows[1] + Length(round(least * NM_PER_MM), "mm")


def near_edge(kit: Fitted, facts: Facts, rules: RuleBook) -> Finding | None:
    """That the holes come nearer the edge of rail or head than is sound, as it is stated or as it
    is assumed; None where they do not, or nobody knows. Raises RuleError."""
    edge = hole_edge(kit, rules)
    if edge is None:
        return None
    field = host_field(kit.mount)
    height = facts.head_face if field == "head_face" else facts.top_rail
    # A leaf without glass has no rail.
    if height is None:
        return None
    room = height - edge.far
    if room >= edge.least:
        return None
    assumed = getattr(facts.type, field) is None
    fields: dict[str, object] = {
        "host": field,
        "height": height,
        "assumed": assumed,
        "needed": edge.needed,
        "least": edge.least,
        "room": room,
        "reckoned": edge.reckoned.value,
        **_figures(edge.reckoned, rules),
    }
    hint = Hint("measure-height" if assumed else "other-height")
    return Finding(NEAR_EDGE, Severity.WARN, fields, RULE, hint)


def _figures(reckoned: Reckoned, rules: RuleBook) -> dict[str, object]:
    """The figures of the rule that a distance rests on."""
    rule = rules.mapping(RULE)
    figures: dict[str, object] = {"diameters": f"{float(str(rule['diameters'])):g}"}
    if reckoned in (Reckoned.RIVET_NUT, Reckoned.NUT_NO_SIZE):
        figures["times"] = f"{float(str(rule['rivet_nut'])):g}"
    if reckoned in (Reckoned.NO_SIZE, Reckoned.NUT_NO_SIZE):
        figures["screw"] = Length(round(float(str(rule["screw"])) * NM_PER_INCH), "in")
    return figures


def _least(
    kind: FastenerKind | None, number: int | None, size: str, rules: RuleBook
) -> tuple[float, Reckoned]:
    """How near an edge a hole's center may come [mm], and on what that is reckoned."""
    sized = screw_diameter(kind, number, size, rules) is not None
    if kind is FastenerKind.RIVET_NUT_SCREW:
        reckoned = Reckoned.RIVET_NUT if sized else Reckoned.NUT_NO_SIZE
    else:
        reckoned = Reckoned.SCREW if sized else Reckoned.NO_SIZE
    return edge_distance(kind, number, size, rules), reckoned
