"""What one opening demands of a family of bodies on one template: each joint, each site condition.

Counts come from the pieces' own holes and screws; hosts from the mount; both times the leaves.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

from wholekit.domain.catalog import Body, FastenerKind, Piece, Role
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.edges import RULE as HOLE_EDGE
from wholekit.domain.kits.hosts import Host
from wholekit.domain.kits.kit import Need
from wholekit.domain.kits.place import HOLES_TOLERANCE, FixingPlace, Plates, plates_under
from wholekit.domain.openings import (
    Facts,
    HingeSide,
    HoldOpen,
    Mount,
    Stop,
    hinge_side_from_pull,
)
from wholekit.domain.reasons import Reason

_JOINTS = ("joints-by-mount",)
_ON_PLATE = ("plate-two-sets",)


@dataclass(frozen=True, slots=True)
class Demand:
    """Needs besides the body, and what stands in the way on site.

    for_edge: with a plate only to keep the body's holes from an edge; unsound: without it (see
    place).
    """

    needs: tuple[Need, ...]
    findings: tuple[Finding, ...]
    for_edge: bool = False
    unsound: bool = False

    @property
    def stops(self) -> int:
        """Findings that stop the kit [count]."""
        return sum(finding.severity is Severity.STOP for finding in self.findings)


def leaf_hands(facts: Facts) -> tuple[HingeSide, ...]:
    """Hinge side from the pull side, leaf by leaf; an unknown hand gives no entry.

    A pair's leaves are of opposite hand.
    """
    if facts.type.leaves == 2:
        return (HingeSide.LEFT, HingeSide.RIGHT)
    if facts.type.hand is None:
        return ()
    return (hinge_side_from_pull(facts.type.hand),)


def hands_wanted(handed: bool, facts: Facts) -> dict[HingeSide, int]:
    """How many [count] of each hand a kit wants; of an unknown hand the left is shown.

    A kit is shown all the same, so that the rest of it can be priced while the hand is asked for
    (see `hand_told`).
    """
    if not handed:
        return {HingeSide.ANY: facts.type.leaves}
    hands = leaf_hands(facts) or (HingeSide.LEFT,) * facts.type.leaves
    return {hand: hands.count(hand) for hand in dict.fromkeys(hands)}


def hand_told(handed: bool, facts: Facts) -> tuple[Finding, ...]:
    """The stop for a handed piece where nobody knows the hand."""
    if not handed or leaf_hands(facts):
        return ()
    return (Finding("hand-unknown", Severity.STOP, {}, None, Hint("ask-hand")),)


def demands(place: FixingPlace) -> list[Demand]:
    """Every way this opening can be furnished on the template: by foot, plate and hold-open arm.

    Mostly one; more where a family offers feet or plates with unlike holes. Raises RuleError.
    """
    # Without a foot that may be used the demand is still worked out: the foot is then missing.
    feet: list[Piece | None] = [
        *place.usable(place.shelf.named(place.group.catalog, place.template.feet))
    ] or [None]
    found: list[Demand] = []
    for foot, rail_plates, head_plates in product(feet, *plates_under(place)):
        found.append(_Builder(place, foot, rail_plates, head_plates).demand())
    return found


def body_pieces(body: Body, wanted: Mapping[HingeSide, int]) -> dict[str, int]:
    """The pieces [count] of a body a kit wants, by its own ids."""
    if not body.handed:
        return {body.pieces[HingeSide.ANY]: sum(wanted.values())}
    return {body.pieces[hand]: count for hand, count in wanted.items()}


class _Builder:
    """One demand, joint by joint in the order of a kit's lines."""

    def __init__(self, place: FixingPlace, foot: Piece | None, rail: Plates, head: Plates) -> None:
        self._place = place
        self._facts = place.facts
        self._foot = foot
        self._rail = rail
        self._head = head
        self._needs: list[Need] = []
        self._findings: list[Finding] = []

    def demand(self) -> Demand:
        # The order also decides which joint gets the screws that two could take (see count_off).
        self._arms()
        self._foot_and_spacer()
        self._plate(self._rail, "top_rail", "top-rail-short")
        self._plate(self._head, "head_face", "head-face-short")
        self._fasteners()
        self._small_parts()
        self._site()
        under = (self._rail, self._head)
        return Demand(
            tuple(self._needs),
            tuple(self._findings),
            any(plates.for_edge for plates in under),
            any(plates.unsound for plates in under),
        )

    def _add(
        self,
        role: Role,
        each: int,
        pieces: Sequence[Piece],
        reason: Reason,
        kinds: tuple[FastenerKind, ...] = (),
        onto_plate: bool = False,
    ) -> None:
        if each <= 0:
            return
        if not any(piece.hand for piece in pieces):
            # Nothing is shared between the leaves of a pair: each has its own closer.
            quantity, keys = each * self._place.leaves, self._place.keys(pieces)
            self._needs.append(Need(role, quantity, keys, reason, kinds, onto_plate))
            return
        self._findings += hand_told(True, self._facts)
        for hand, leaves in hands_wanted(True, self._facts).items():
            # A piece that is not handed does for either hand.
            fitting = [piece for piece in pieces if piece.hand in (None, hand)]
            self._needs.append(Need(role, each * leaves, self._place.keys(fitting), reason, kinds))

    def _arms(self) -> None:
        place, template = self._place, self._place.template
        named = place.shelf.named
        catalog = place.group.catalog
        stood_for: frozenset[Role] = frozenset()
        # On a fire door the arm is refused with a stop (rule fire-no-hold-open) and must not be in
        # the kit.
        if self._facts.hold_open is HoldOpen.ARM and not self._facts.fire_minutes:
            arms = place.usable(named(catalog, template.hold_open_arms))
            if arms:
                stood_for = arms[0].stands_for
                # Alternatives must leave the same other needs; the first one listed decides.
                arms = [arm for arm in arms if arm.stands_for == stood_for]
            self._add(
                Role.HOLD_OPEN_ARM,
                1,
                arms,
                Reason("need-hold-open-arm", {}, (), (self._facts.why("hold_open"),)),
            )
        if template.main_arms and Role.MAIN_ARM not in stood_for:
            reason = Reason("need-main-arm", {"mount": template.mount}, _JOINTS)
            self._add(Role.MAIN_ARM, 1, place.usable(named(catalog, template.main_arms)), reason)
        if template.forearms and Role.FOREARM not in stood_for:
            self._forearm(place.usable(named(catalog, template.forearms)))

    def _forearm(self, forearms: list[Piece]) -> None:
        template = self._place.template
        reason = Reason("need-forearm", {"mount": template.mount}, _JOINTS)
        # Only here does the forearm reach across the reveal, from the frame's face to the leaf.
        if template.mount is Mount.TOP_JAMB:
            reveal = self._facts.reveal
            limits = [piece.reveal_max for piece in forearms if piece.reveal_max is not None]
            # One forearm without a limit serves any reveal: only the template's own limit is left
            # then.
            deepest = max(limits) if len(limits) == len(forearms) and limits else None
            if template.reveal_max is not None and (
                deepest is None or template.reveal_max < deepest
            ):
                deepest = template.reveal_max
            forearms = [
                piece
                for piece in forearms
                if piece.reveal_max is None or piece.reveal_max >= reveal
            ]
            if deepest is not None and reveal > deepest:
                self._stop(
                    "reveal-too-deep",
                    {"reveal": reveal, "most": deepest},
                    Hint("use-parallel"),
                )
                # Within the forearm's own limit the template's may still forbid it: no forearm is
                # right then.
                forearms = []
            reason = Reason(
                "need-forearm-reveal",
                {"reveal": reveal},
                _JOINTS,
                (self._facts.why("reveal"),),
            )
        self._add(Role.FOREARM, 1, forearms, reason)

    def _foot_and_spacer(self) -> None:
        place = self._place
        role = place.site.foot_role
        feet = [] if self._foot is None else [self._foot]
        self._add(role, 1, feet, Reason(f"need-{role}", {"mount": place.template.mount}, _JOINTS))
        # The spacer levels the stop under a bracket; a shoe is screwed to a face.
        if place.template.mount is not Mount.PARALLEL or self._facts.stop is not Stop.BLADE:
            return
        spacers: list[Piece] = []
        if self._foot is not None:
            offered = place.shelf.for_piece(place.group, self._foot, Role.SPACER)
            spacers = [piece for piece in place.usable(offered) if piece.for_stop == Stop.BLADE]
        reason = Reason("need-spacer", {}, ("blade-stop-spacer",), (self._facts.why("stop"),))
        self._add(Role.SPACER, 1, spacers, reason)

    def _plate(self, plates: Plates, field: str, code: str) -> None:
        if not plates.needed:
            return
        reason = Reason(
            "need-plate",
            {"part": field, "room": plates.room, "takes": plates.takes},
            (),
            (self._facts.why(field),),
        )
        if plates.for_edge:
            reason = replace(reason, code="need-plate-for-edge", rules=(HOLE_EDGE,))
        if plates.old_holes:
            why = self._facts.why("existing_holes")
            reason = Reason("need-plate-for-holes", {}, (HOLES_TOLERANCE,), (why,))
        if not plates.pieces:
            hint = (
                Hint("other-mount")
                if self._place.template.mount is not Mount.REGULAR or field == "top_rail"
                else Hint("ask-maker")
            )
            self._stop(code, self._room_fields(plates, field), hint)
        self._add(Role.PLATE, 1, plates.pieces, reason)

    def _room_fields(self, plates: Plates, field: str) -> dict[str, object]:
        """What a rail or head is short of: the least that would serve, and this template's own."""
        template, site = self._place.template, self._place.site
        least, series = self._place.shelf.least_room(
            template.mount,
            "rail" if field == "top_rail" else "head",
            min(self._facts.opening_degrees, template.greatest_angle),
            site.fire,
        )
        fields: dict[str, object] = {"room": plates.room, "takes": plates.takes}
        if least is None or plates.takes is None or least >= plates.takes:
            return fields
        return {**fields, "takes": least, "series": series, "own": plates.takes}

    def _fasteners(self) -> None:
        place = self._place
        body_host, foot_host = place.site.body_host, place.site.foot_host
        # The plate goes with the host: where the body is on the leaf, the rail's plate is under
        # it.
        body_plates = self._rail if body_host.part == "door" else self._head
        foot_plates = self._rail if foot_host.part == "door" else self._head
        for plates, host in ((body_plates, body_host), (foot_plates, foot_host)):
            # Two sets of screws (rule plate-two-sets): these hold the plate, the body's hold the
            # body to it.
            if plates.pieces:
                self._screws(Role.PLATE_FASTENER, plates.holes, plates.screws, host, _ON_PLATE)
        role = Role.BODY_FASTENER
        # Any body of the group: its holes and fitting pieces are what a group has in common.
        holes, offered = place.group.bodies[0].fixing_holes, place.group.fitting[role]
        self._onto(role, holes, offered, body_plates, body_host)
        foot = self._foot
        if foot is None:
            return
        role = Role.BRACKET_FASTENER if foot.role is Role.SOFFIT_BRACKET else Role.SHOE_FASTENER
        offered = place.shelf.for_piece(place.group, foot, role)
        self._onto(role, foot.holes, offered, foot_plates, foot_host)

    def _onto(
        self, role: Role, count: int, offered: Iterable[Piece], plates: Plates, host: Host
    ) -> None:
        """Screws of body or foot into the plate under it, or where there is none into the host."""
        if not plates.pieces:
            self._screws(role, count, offered, host)
            return
        fitting = [piece for piece in self._place.usable(offered) if piece.kind in plates.kinds]
        listed = ("fire-listed-fasteners",) if self._facts.fire_minutes else ()
        reason = Reason(
            f"need-{role}",
            {"count": count, "host": "plate", "kinds": plates.kinds},
            (*_ON_PLATE, *listed),
        )
        self._add(role, count, fitting, reason, plates.kinds, onto_plate=True)

    def _screws(
        self,
        role: Role,
        count: int,
        offered: Iterable[Piece],
        host: Host,
        cited: tuple[str, ...] = (),
    ) -> None:
        right_kind = [piece for piece in self._place.usable(offered) if piece.kind in host.kinds]
        fitting = [
            piece
            for piece in right_kind
            # Only a through-bolt passes through the leaf, so only it depends on how thick the leaf
            # is.
            if piece.kind is not FastenerKind.THROUGH_BOLT or self._clamps(piece, host)
        ]
        rules = (
            *cited,
            *host.reason.rules,
            *(("fire-listed-fasteners",) if self._facts.fire_minutes else ()),
        )
        reason = Reason(
            f"need-{role}",
            {"count": count, "host": host.part, "kinds": host.kinds},
            rules,
            (host.reason,),
        )
        # Told only where bolts are sold and none of them clamps this leaf; else they are missing.
        if right_kind and not fitting:
            self._stop(
                "through-bolt-length",
                {"thickness": self._facts.thickness, "role": role, "sleeved": host.sleeved},
                Hint("order-through-bolts", {"thickness": self._facts.thickness}),
            )
        self._add(role, count, fitting, reason, host.kinds)

    def _clamps(self, bolt: Piece, host: Host) -> bool:
        if host.sleeved and not bolt.sleeved:
            return False
        # Leaf thickness says nothing of a frame.
        if host.part != "door":
            return True
        thickness = self._facts.thickness
        return (bolt.leaf_from is None or bolt.leaf_from <= thickness) and (
            bolt.leaf_to is None or thickness <= bolt.leaf_to
        )

    def _small_parts(self) -> None:
        place = self._place
        body = place.group.bodies[0]
        fitting = place.group.fitting
        if self._foot is not None and self._foot.role is Role.SOFFIT_BRACKET:
            screws = place.shelf.for_piece(place.group, self._foot, Role.BRACKET_ARM_SCREW)
            self._add(
                Role.BRACKET_ARM_SCREW,
                self._foot.arm_screws,
                place.usable(screws),
                Reason("need-bracket-arm-screw", {"count": self._foot.arm_screws}, _JOINTS),
            )
        self._add(
            Role.PINION_SCREW,
            body.pinion_screws,
            place.usable(fitting[Role.PINION_SCREW]),
            Reason("need-pinion-screw", {"count": body.pinion_screws}, _JOINTS),
        )
        self._add(
            Role.PINION_CAP,
            body.pinion_caps,
            fitting[Role.PINION_CAP],
            Reason("need-pinion-cap", {"count": body.pinion_caps}),
        )
        if body.cover_required:
            self._add(Role.COVER, 1, fitting[Role.COVER], Reason("need-cover", {}))

    def _site(self) -> None:
        template = self._place.template
        wanted = self._facts.opening_degrees
        if template.greatest_angle < wanted:
            own = template.greatest_angle
            reached, series = self._place.shelf.nearest_angle(
                template.mount, wanted, self._place.site.fire
            )
            self._stop(
                "angle-not-reached",
                {"wanted": wanted, "reached": reached if series else own}
                | ({"series": series, "own": own} if series else {}),
                Hint("wider-series", {"series": series}) if reached > own else Hint("other-mount"),
            )
        # Only for an angle that was stated: a default one is no promise that the leaf stops there.
        elif self._facts.type.opening_degrees is not None and template.greatest_angle > wanted:
            self._findings.append(
                Finding(
                    "stop-needed",
                    Severity.NOTE,
                    {"wanted": wanted, "reached": template.greatest_angle},
                    None,
                    Hint("add-door-stop", {"wanted": wanted}),
                )
            )
        clearance = self._facts.ceiling_clearance
        needed = template.ceiling_needed
        # A schedule that is silent on the ceiling is taken to have room enough (see Facts).
        if needed is not None and clearance is not None and clearance < needed:
            self._stop(
                "ceiling-too-low",
                {"clearance": clearance, "needed": needed},
                Hint("other-mount"),
            )

    def _stop(self, code: str, fields: Mapping[str, object], hint: Hint) -> None:
        self._findings.append(Finding(code, Severity.STOP, fields, None, hint))
