"""Where a closer is fixed: its site, its template, and the plates that make up for short parts."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from wholekit.domain.catalog import FastenerKind, Piece, Role, Template
from wholekit.domain.kits.hosts import Host, host_of
from wholekit.domain.kits.shelf import BodyGroup, Shelf
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook


@dataclass(frozen=True, slots=True)
class Site:
    """What every family meets alike in a mount: what joins to what, and the hosts for screws."""

    # The role of the foot follows from the mount: a shoe on frame or leaf, a bracket under the
    # head.
    foot_role: Role
    body_host: Host
    foot_host: Host
    fire: bool


def site_of(facts: Facts, mount: Mount, rules: RuleBook) -> Site:
    """The site of an opening in a mount (rules joints-by-mount, fasteners-by-host)."""
    joints = rules.mapping("joints-by-mount")[mount]
    assert isinstance(joints, Mapping)  # noqa: S101  # the loader keeps the value's kind
    return Site(
        Role(str(joints["foot_role"])),
        host_of(str(joints["body"]), facts, rules),
        host_of(str(joints["foot"]), facts, rules),
        facts.fire_minutes > 0,
    )


@dataclass(frozen=True, slots=True)
class FixingPlace:
    """Where and for what a demand is worked out: opening, family, template and its mount."""

    facts: Facts
    group: BodyGroup
    template: Template
    shelf: Shelf
    site: "Site"

    @property
    def leaves(self) -> int:
        """Leaves [count]."""
        return self.facts.type.leaves

    def keys(self, pieces: Iterable[Piece]) -> tuple[str, ...]:
        """Qualified ids."""
        catalog = self.group.catalog.id
        return tuple([f"{catalog}:{piece.id}" for piece in pieces])

    def usable(self, pieces: Iterable[Piece]) -> list[Piece]:
        """Those for this mount, and on a fire door those that are listed."""
        fire, mount = self.site.fire, self.template.mount
        return [
            piece
            for piece in pieces
            if (not piece.mounts or mount in piece.mounts) and (piece.fire_listed or not fire)
        ]


@dataclass(frozen=True, slots=True)
class Plates:
    """Plates that would do, all fixed alike; empty where one is needed and none fits.

    holes, screws: what fixes them to their host [count]; kinds: what fixes body or foot to them.
    """

    needed: bool
    pieces: tuple[Piece, ...] = ()
    holes: int = 0
    screws: tuple[Piece, ...] = ()
    kinds: tuple[FastenerKind, ...] = ()
    room: Length | None = None
    takes: Length | None = None


def plates_for(place: FixingPlace, part: str) -> list[Plates]:
    """Plates that make up for a short rail or head, by how they are fixed; one empty entry where
    none is needed.
    """
    takes = place.template.rail_needed if part == "rail" else place.template.head_needed
    if takes is None:
        return [Plates(False)]
    room = place.facts.top_rail if part == "rail" else place.facts.head_face
    # None: a flush leaf has no rail that could be too short.
    if room is None or room >= takes:
        return [Plates(False)]
    fitting = [
        piece
        for piece in place.usable(place.group.fitting[Role.PLATE])
        if piece.relieves == part and piece.needs is not None and piece.needs <= room
    ]
    # Plates fixed alike are one choice for the cover; each other way of fixing is a demand of its
    # own, for its screws differ.
    alike: dict[Plates, list[Piece]] = {}
    for piece in fitting:
        screws = place.shelf.for_piece(place.group, piece, Role.PLATE_FASTENER)
        kinds = tuple(kind for kind in FastenerKind if kind in piece.takes_kinds)
        fixed = Plates(True, (), piece.holes, screws, kinds, room, takes)
        alike.setdefault(fixed, []).append(piece)
    return [
        replace(fixed, pieces=tuple(pieces))
        for fixed, pieces in sorted(alike.items(), key=lambda entry: entry[0].holes)
    ] or [Plates(True, room=room, takes=takes)]
