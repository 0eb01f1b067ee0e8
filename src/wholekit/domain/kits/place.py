"""Where a closer is fixed: its site, its template, and the plates that make up for short parts."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from wholekit.domain.catalog import (
    OLD_HOLES,
    Body,
    FastenerKind,
    Piece,
    Role,
    Template,
    body_pattern,
    hides,
    holes_fit,
    plate_pattern,
)
from wholekit.domain.kits.edges import bare_needs
from wholekit.domain.kits.hosts import Host, host_of
from wholekit.domain.kits.shelf import BodyGroup, Shelf
from wholekit.domain.openings import Facts, Mount
from wholekit.domain.quantities import Length, parse_length
from wholekit.domain.rules import RuleBook

HOLES_TOLERANCE = "holes-tolerance"


@dataclass(frozen=True, slots=True)
class Site:
    """What every family meets alike in a mount: what joins to what, and the hosts for screws."""

    # The role of the foot follows from the mount: a shoe on frame or leaf, a bracket under the
    # head.
    foot_role: Role
    body_host: Host
    foot_host: Host
    fire: bool
    rules: RuleBook = field(repr=False, compare=False)


def site_of(facts: Facts, mount: Mount, rules: RuleBook) -> Site:
    """The site of an opening in a mount (rules joints-by-mount, fasteners-by-host)."""
    joints = rules.mapping("joints-by-mount")[mount]
    assert isinstance(joints, Mapping)  # noqa: S101  # the loader keeps the value's kind
    return Site(
        Role(str(joints["foot_role"])),
        host_of(str(joints["body"]), facts, rules),
        host_of(str(joints["foot"]), facts, rules),
        facts.fire_minutes > 0,
        rules,
    )


def holes_tolerance(rules: RuleBook) -> Length:
    """How far a spacing may be off for a hole to serve again [Length]. Raises RuleError."""
    return parse_length(str(rules[HOLES_TOLERANCE].value))


@dataclass(frozen=True, slots=True)
class FixingPlace:
    """Where and for what a demand is worked out: opening, family, template and its mount.

    over_holes: a plate is to carry the body over the old holes; fixed by these where they are its
    own to within so much [Length].
    """

    facts: Facts
    group: BodyGroup
    template: Template
    shelf: Shelf
    site: "Site"
    over_holes: Length | None = None

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
    old_holes: they are for the holes of an old closer. for_edge: the template would do without,
    but the body's own holes would come too near an edge; unsound: the body is to go without them
    all the same.
    """

    needed: bool
    pieces: tuple[Piece, ...] = ()
    holes: int = 0
    screws: tuple[Piece, ...] = ()
    kinds: tuple[FastenerKind, ...] = ()
    room: Length | None = None
    takes: Length | None = None
    old_holes: bool = False
    for_edge: bool = False
    unsound: bool = False


def plates_under(place: FixingPlace) -> tuple[list[Plates], list[Plates]]:
    """Plates on the rail and on the head, by how they are fixed (see plates_for).

    Over old holes the one under the body is for these, unless another must be there anyway.
    """
    rails, heads = plates_for(place, "rail"), plates_for(place, "head")
    on_head = place.template.mount is Mount.TOP_JAMB
    under = heads if on_head else rails
    if place.over_holes is None or (under[0].needed and not under[0].for_edge):
        return rails, heads
    found = _over_holes(place, place.over_holes)
    if not found:
        return rails, heads
    return (rails, found) if on_head else (found, heads)


def plates_for(place: FixingPlace, part: str) -> list[Plates]:
    """Plates that make up for a short rail or head, by how they are fixed; one empty entry where
    none is needed, or where the body may go without them too.
    """
    takes = place.template.rail_needed if part == "rail" else place.template.head_needed
    if takes is None:
        return _for_edge(place, part) or [Plates(False)]
    room = place.facts.top_rail if part == "rail" else place.facts.head_face
    # None: a flush leaf has no rail that could be too short.
    if room is None or room >= takes:
        return _for_edge(place, part) or [Plates(False)]
    short = Plates(True, room=room, takes=takes)
    return _by_fixing(place, _relieving(place, part, room), short) or [short]


def _relieving(place: FixingPlace, part: str, room: Length) -> list[Piece]:
    """Plates for a rail or head of that height [Length]."""
    return [
        piece
        for piece in place.usable(place.group.fitting[Role.PLATE])
        if piece.relieves == part and piece.needs is not None and piece.needs <= room
    ]


def _for_edge(place: FixingPlace, part: str) -> list[Plates]:
    """Plates where the template would do without, but the body's own holes would come nearer the
    edge than is sound (rule hole-edge-distance); then none, as the last resort. Empty where they
    would not, where nobody knows, and where no plate is made for it."""
    body, host, rules = place.group.bodies[0], place.site.body_host, place.site.rules
    if part != ("rail" if host.part == "door" else "head"):
        return []
    screws = place.usable(place.group.fitting[Role.BODY_FASTENER])
    right_kind = [screw for screw in screws if screw.kind in host.kinds]
    takes = bare_needs(body, place.template, right_kind, rules)
    if takes is None or not any(each.relieves == part for each in place.group.fitting[Role.PLATE]):
        return []
    room = place.facts.top_rail if part == "rail" else place.facts.head_face
    if room is None or room >= takes or _holes_there(place.facts, body, rules):
        return []
    like = Plates(True, room=room, takes=takes, for_edge=True)
    found = _by_fixing(place, _relieving(place, part, room), like)
    return [*found, Plates(False, unsound=True)] if found else []


def _holes_there(facts: Facts, body: Body, rules: RuleBook) -> bool:
    """Whether the old holes serve the body: nothing is drilled then."""
    old, own = facts.type.existing_holes, body_pattern(body)
    if old is None or own is None:
        return False
    return holes_fit(own, old).within(holes_tolerance(rules))


def _over_holes(place: FixingPlace, tolerance: Length) -> list[Plates]:
    """Plates for the old holes: those fixed by them; where there are none, those that hide them."""
    old = place.facts.type.existing_holes
    if old is None:
        return []
    on_head = place.template.mount is Mount.TOP_JAMB
    room = place.facts.head_face if on_head else place.facts.top_rail
    made_for = [
        piece
        for piece in place.usable(place.group.fitting[Role.PLATE])
        if piece.relieves == OLD_HOLES
        and (room is None or piece.needs is None or piece.needs <= room)
    ]
    fixed = [
        piece
        for piece in made_for
        if (own := plate_pattern(piece)) is not None and holes_fit(own, old).within(tolerance)
    ]
    hiding = [piece for piece in made_for if hides(piece, old)]
    return _by_fixing(place, fixed or hiding, Plates(True, old_holes=True))


def _by_fixing(place: FixingPlace, pieces: Iterable[Piece], like: Plates) -> list[Plates]:
    """Plates as `like`, by how they are fixed; none for no piece."""
    # Plates fixed alike are one choice for the cover; each other way of fixing is a demand of its
    # own, for its screws differ.
    alike: dict[Plates, list[Piece]] = {}
    for piece in pieces:
        screws = place.shelf.for_piece(place.group, piece, Role.PLATE_FASTENER)
        kinds = tuple(kind for kind in FastenerKind if kind in piece.takes_kinds)
        fixed = replace(like, holes=piece.holes, screws=screws, kinds=kinds)
        alike.setdefault(fixed, []).append(piece)
    return [
        replace(fixed, pieces=tuple(found))
        for fixed, found in sorted(alike.items(), key=lambda entry: entry[0].holes)
    ]
