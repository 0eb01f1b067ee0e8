"""Body, main arm, forearm and shoe or bracket as a plane four-bar linkage, at any opening angle.

Plan view. The hinge pin is the origin; x runs along the closed leaf toward the latch, y square to
it toward the pull side, so that the leaf opens by turning from x toward y. The four bars are the
frame, the leaf, the main arm and the forearm. Body or anchor turns with the leaf, the other stands.
"""

import math
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import TypeAlias

from wholekit.domain.errors import CallError
from wholekit.domain.openings import Mount

XY: TypeAlias = tuple[float, float]
# No arm, frame or turn is larger; a value that is not a number fails the comparison too.
LONGEST, WIDEST_TURN = 100.0, 1000.0
_LONGER_THAN_NOTHING = (
    "main_arm", "forearm_from", "forearm_to", "pinion_along", "anchor_along"
)  # fmt: skip
_MAY_BE_NOTHING = (
    "pinion_proud", "anchor_proud", "hinge_offset", "leaf", "reveal", "preload", "spring_set",
    "stop", "half_width", "edge_gap",
)  # fmt: skip


@dataclass(frozen=True)
class Arms:
    """One placing of body and arms; the key by which swings are remembered.

    Lengths in [m]: main_arm, and the forearm's shortest and longest setting, pivot to pivot;
    pinion and anchor along the leaf from the hinge line and proud of the face each is fixed to
    (see Template); hinge_offset: pin proud of the leaf's pull face; leaf: its thickness; reveal:
    frame face to leaf on the push side; stop, half_width, edge_gap: see rule book. Angles in [°]:
    preload, spring_set: turn already in the spring at its rest.
    """

    mount: Mount
    main_arm: float
    forearm_from: float
    forearm_to: float
    pinion_along: float
    pinion_proud: float
    anchor_along: float
    anchor_proud: float
    hinge_offset: float
    leaf: float
    reveal: float
    preload: float
    spring_set: float
    stop: float
    half_width: float
    edge_gap: float

    def __post_init__(self) -> None:
        # Refused here, so that no length of nothing ever divides below.
        for name in _LONGER_THAN_NOTHING:
            value = getattr(self, name)
            if not 0 < value < LONGEST:
                raise CallError("not-positive", name=name, given=value)
        for name in _MAY_BE_NOTHING:
            value = getattr(self, name)
            if not -WIDEST_TURN < value < WIDEST_TURN:
                raise CallError("not-positive", name=name, given=value)
        # With no turn left in it on the closed leaf the spring would not close at all.
        if self.preload + self.spring_set <= 0:
            raise CallError("not-positive", name="preload_with_spring_set", given=self.preload)

    # Kept: every remembered swing and position asks for it, and a hash of sixteen fields is dear.
    def __hash__(self) -> int:
        return self._hash

    @cached_property
    def _hash(self) -> int:
        return hash(tuple(getattr(self, name) for name in self.__dataclass_fields__))

    @property
    def body_on_leaf(self) -> bool:
        """Whether the body turns with the leaf; else the anchor does."""
        return self.mount is not Mount.TOP_JAMB

    @property
    def winding(self) -> int:
        """Sense in which opening turns the main arm against its body: 1 anticlockwise, else -1."""
        return -1 if self.body_on_leaf else 1

    @property
    def rest_direction(self) -> float:
        """Where the main arm points at the spring's rest, leaf closed [°]: see Template.preload."""
        return {Mount.REGULAR: 90.0, Mount.PARALLEL: 0.0, Mount.TOP_JAMB: -90.0}[self.mount]

    @property
    def push_face(self) -> float:
        """The closed leaf's push face on the y axis [m]; below the pin."""
        return -self.hinge_offset - self.leaf

    @cached_property
    def pinion(self) -> XY:
        """The pinion with the leaf closed [m]."""
        match self.mount:
            # The leaf's pull face lies at −hinge_offset, its push face a thickness below; the sign
            # says to which side the body stands proud of its face.
            case Mount.REGULAR:
                return self.pinion_along, self.pinion_proud - self.hinge_offset
            case Mount.PARALLEL:
                return self.pinion_along, self.push_face - self.pinion_proud
            case _:
                return self.pinion_along, self.push_face - self.reveal - self.pinion_proud

    @cached_property
    def anchor(self) -> XY:
        """The pivot of shoe or bracket with the leaf closed [m]."""
        if self.mount is Mount.REGULAR:
            return self.anchor_along, self.anchor_proud - self.hinge_offset
        return self.anchor_along, self.push_face - self.anchor_proud

    @cached_property
    def forearm_wanted(self) -> float:
        """The forearm setting that gives the stated preload [m], in or out of its range."""
        turned = math.radians(self.rest_direction + self.winding * self.preload)
        x, y = self.pinion
        elbow = (x + self.main_arm * math.cos(turned), y + self.main_arm * math.sin(turned))
        return math.dist(elbow, self.anchor)

    @cached_property
    def forearm(self) -> float:
        """The forearm's setting [m]: what the preload asks for, held within its range."""
        # Outside its range the arms are still worked out, so that a template's fault can be told
        # in figures.
        return min(max(self.forearm_wanted, self.forearm_from), self.forearm_to)


@dataclass(frozen=True, slots=True)
class ArmsPosition:
    """The linkage at one opening angle [°]: pinion, elbow and anchor [m].

    ratio: moment at the leaf over moment at the pinion; positive closes. turned: how far the
    pinion has been turned by opening since closed [°]. clearance: nearest approach of an arm's
    centre line to what it may strike [m]; struck: `leaf` or `frame`, whichever is nearest.
    """

    angle: float
    pinion: XY
    elbow: XY
    anchor: XY
    ratio: float
    turned: float
    clearance: float
    struck: str


def turn(point: XY, degrees: float) -> XY:
    """A point turned anticlockwise about the hinge pin by an angle [°]."""
    cosine, sine = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return point[0] * cosine - point[1] * sine, point[0] * sine + point[1] * cosine


@lru_cache(maxsize=8192)
def position(arms: Arms, angle: float) -> ArmsPosition | None:
    """The linkage at an opening angle [°], or None where the arms cannot meet.

    By virtual work the moment ratio is the distance from hinge to the forearm's line over the
    distance from pinion to that line: the forearm carries only a push or pull along its line.
    """
    pinion = turn(arms.pinion, angle) if arms.body_on_leaf else arms.pinion
    anchor = arms.anchor if arms.body_on_leaf else turn(arms.anchor, angle)
    elbow = _elbow(pinion, anchor, arms)
    if elbow is None:
        return None
    along = (anchor[0] - elbow[0], anchor[1] - elbow[1])
    at_pinion = _cross((elbow[0] - pinion[0], elbow[1] - pinion[1]), along)
    # Forearm and main arm in one line: the forearm pushes through the pinion and the ratio has no
    # bound.
    if abs(at_pinion) < 1e-12:
        return None
    clearance, struck = _clearance(arms, angle, pinion, elbow, anchor)
    return ArmsPosition(
        angle=angle,
        pinion=pinion,
        elbow=elbow,
        anchor=anchor,
        ratio=_cross(elbow, along) / at_pinion,
        turned=_turned(arms, angle, pinion, elbow),
        clearance=clearance,
        struck=struck,
    )


def _elbow(pinion: XY, anchor: XY, arms: Arms) -> XY | None:
    """Where main arm and forearm meet, on the side to which the mount folds them."""
    dx, dy = anchor[0] - pinion[0], anchor[1] - pinion[1]
    apart = math.hypot(dx, dy)
    first, second = arms.main_arm, arms.forearm
    # The triangle's inequality: too far apart the arms do not reach, too near they do not fold.
    if not abs(first - second) < apart < first + second:
        return None
    along = (apart * apart + first * first - second * second) / (2 * apart)
    # Two circles meet in two points; the winding picks the elbow's side, which never changes over
    # the swing. The root's argument may fall under nothing by a float's last bit.
    across = arms.winding * math.sqrt(max(0.0, first * first - along * along))
    return (
        pinion[0] + (along * dx + across * dy) / apart,
        pinion[1] + (along * dy - across * dx) / apart,
    )


def _turned(arms: Arms, angle: float, pinion: XY, elbow: XY) -> float:
    """Turn of the main arm against its body since the leaf was closed [°], above -60."""
    closed = _elbow(arms.pinion, arms.anchor, arms)
    if closed is None:
        return 0.0
    before = _direction(arms.pinion, closed)
    # A body on the leaf turns with it; only the turn of the arm against the body winds the spring.
    now = _direction(pinion, elbow) - (angle if arms.body_on_leaf else 0.0)
    # An angle is known only up to full turns. Opening turns the pinion one way, and back by little
    # if at all: it is read between −60 and 300.
    return (arms.winding * (now - before) + 60) % 360 - 60


def _direction(start: XY, end: XY) -> float:
    return math.degrees(math.atan2(end[1] - start[1], end[0] - start[0]))


def _cross(first: XY, second: XY) -> float:
    return first[0] * second[1] - first[1] * second[0]


# Boxes without an end on one side: farther than any arm reaches.
FAR = 10.0
Box: TypeAlias = tuple[float, float, float, float]


def _clearance(arms: Arms, angle: float, pinion: XY, elbow: XY, anchor: XY) -> tuple[float, str]:
    """Nearest approach to leaf or frame [m], and which.

    A regular arm passes over the leaf; it must stay before the plane of frame and wall. On the
    push side the arms pass under the head, beside the leaf, and must clear the leaf's push face
    and the hinge jamb with its stop.
    """
    if arms.mount is Mount.REGULAR:
        return min(elbow[1], pinion[1]) + arms.hinge_offset, "frame"
    leaf: Box = (arms.edge_gap, FAR, arms.push_face, -arms.hinge_offset)
    stop: Box = (-FAR, arms.stop, arms.push_face - arms.reveal, arms.push_face)
    rabbet: Box = (-FAR, 0.0, arms.push_face, -arms.hinge_offset)
    # The arm that ends on the leaf stands proud of it at both ends; only the other can cross it.
    start, end = (elbow, anchor) if arms.body_on_leaf else (pinion, elbow)
    to_leaf = _segment_to_box(turn(start, -angle), turn(end, -angle), leaf)
    to_frame = min(
        _segment_to_box(joint, next_joint, box)
        for joint, next_joint in ((pinion, elbow), (elbow, anchor))
        for box in (stop, rabbet)
    )
    return (to_leaf, "leaf") if to_leaf <= to_frame else (to_frame, "frame")


def _segment_to_box(start: XY, end: XY, box: Box) -> float:
    """Distance of a segment to a box whose sides lie along the axes; 0 where they meet."""
    if _meets(start, end, box):
        return 0.0
    left, right, low, high = box
    corners = ((left, low), (left, high), (right, low), (right, high))
    return min(
        _point_to_box(start, box),
        _point_to_box(end, box),
        min(_point_to_segment(corner, start, end) for corner in corners),
    )


def _meets(start: XY, end: XY, box: Box) -> bool:
    """Whether a segment passes through a box: its parts within both slabs overlap."""
    entered, left = 0.0, 1.0
    for axis in (0, 1):
        step = end[axis] - start[axis]
        low, high = box[2 * axis], box[2 * axis + 1]
        # Alongside the slab's faces: it is in the slab all the way, or never.
        if abs(step) < 1e-15:
            if not low <= start[axis] <= high:
                return False
            continue
        near, far = sorted(((low - start[axis]) / step, (high - start[axis]) / step))
        entered, left = max(entered, near), min(left, far)
    return entered <= left


def _point_to_box(point: XY, box: Box) -> float:
    x = max(box[0] - point[0], 0.0, point[0] - box[1])
    y = max(box[2] - point[1], 0.0, point[1] - box[3])
    return math.hypot(x, y)


def _point_to_segment(point: XY, start: XY, end: XY) -> float:
    dx, dy = end[0] - start[0], end[1] - start[1]
    part = ((point[0] - start[0]) * dx + (point[1] - start[1]) * dy) / (dx * dx + dy * dy)
    part = min(max(part, 0.0), 1.0)
    return math.hypot(point[0] - start[0] - part * dx, point[1] - start[1] - part * dy)
