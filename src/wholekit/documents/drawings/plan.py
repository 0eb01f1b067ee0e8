"""The plan drawing of door, frame and arms at one opening angle."""

import math
from collections.abc import Callable, Sequence
from typing import TypeAlias

from wholekit.documents.drawings.canvas import (
    FAINT,
    FIRST,
    FRAME,
    INK,
    LEAF,
    PAPER,
    SECOND,
    XY,
    Canvas,
)
from wholekit.domain.linkage import Arms, ArmsPosition, position, swing, turn
from wholekit.domain.openings import Mount

WIDTH = 760.0
MARGIN = 36.0
HEAD = 64.0
FOOT = 72.0
# As drawn [m]: a jamb's width, and the frame's depth where the arm does not depend on it.
JAMB = 0.075
SHOWN_REVEAL = 0.10
BODY = (0.11, 0.19, 0.026)  # from the pinion toward hinge and latch, and half its depth [m]
Place: TypeAlias = Callable[[XY], XY]


def draw_plan(arms: Arms, angle: float, leaf_width_m: float, title: str, subtitle: str) -> str:
    """An SVG of the opening from above at an angle [°]: leaf, frame, body, arms, elbow's path.

    leaf_width_m: the leaf's width [m]. The closed leaf is dashed. Raises ValueError for an angle
    at which the arms do not meet, or a width that is not positive.
    """
    at = position(arms, angle)
    if at is None or not (math.isfinite(leaf_width_m) and leaf_width_m > 0):
        raise ValueError("no position of the arms to draw")
    path = _path(arms)
    leaf = _leaf(arms, leaf_width_m)
    opened = [turn(point, angle) for point in leaf]
    jambs = _jambs(arms, leaf_width_m)
    body = _body(arms, angle)
    arc = _swept(leaf_width_m, angle)
    everything = [*leaf, *opened, *arc, *body, *path, at.elbow, at.anchor]
    everything += [point for jamb in jambs for point in jamb]
    place, height = _placing(everything)
    canvas = Canvas(WIDTH, height, title, _description(arms, at))
    canvas.text((MARGIN, 30), title, size=17, bold=True)
    canvas.text((MARGIN, 50), subtitle, FAINT)
    for jamb in jambs:
        canvas.area([place(point) for point in jamb], FRAME, INK)
    canvas.area([place(point) for point in leaf], "none", FAINT, "5 5")
    canvas.line([place(point) for point in arc], FAINT, 1, "2 5")
    canvas.area([place(point) for point in opened], LEAF, INK)
    canvas.line([place(point) for point in path], SECOND, 1.2, "1 5")
    canvas.area([place(point) for point in body], PAPER, FIRST)
    _draw_arms(canvas, place, at)
    _names(canvas, place, arms, height)
    return canvas.svg()


def _draw_arms(canvas: Canvas, place: Place, at: ArmsPosition) -> None:
    pinion, elbow, anchor = place(at.pinion), place(at.elbow), place(at.anchor)
    canvas.line([elbow, anchor], SECOND, 5)
    canvas.line([pinion, elbow], FIRST, 7)
    canvas.dot(pinion, 6, FIRST, INK)
    canvas.dot(elbow, 4.5, PAPER, INK)
    canvas.dot(anchor, 5, SECOND, INK)
    canvas.dot(place((0.0, 0.0)), 4, INK, INK)


def _names(canvas: Canvas, place: Place, arms: Arms, height: float) -> None:
    foot = "bracket" if arms.mount is Mount.PARALLEL else "shoe"
    hinge = place((-JAMB / 2, arms.push_face - _depth(arms)))
    canvas.text((hinge[0], hinge[1] + 15), "hinge", INK, "middle", 12)
    y, x, second = height - 42, MARGIN, MARGIN + 350
    canvas.line([(x, y - 4), (x + 24, y - 4)], FIRST, 7)
    canvas.text((x + 34, y), f"main arm {arms.main_arm * 1000:.0f} mm, from the pinion", FIRST)
    canvas.line([(second, y - 4), (second + 24, y - 4)], SECOND, 5)
    words = f"forearm set at {arms.forearm * 1000:.0f} mm, to the {foot}"
    canvas.text((second + 34, y), words, SECOND)
    y += 22
    canvas.line([(x, y - 4), (x + 24, y - 4)], SECOND, 1.2, "1 5")
    canvas.text((x + 34, y), "path of the elbow; leaf closed is dashed", FAINT)
    canvas.text((second + 34, y), "calculated; the maker's template in the box holds", FAINT)


def _description(arms: Arms, at: ArmsPosition) -> str:
    clearance = at.clearance * 1000
    return (
        f"Plan of a {arms.mount.value} mount with the leaf open {at.angle:g} degrees. The arms' "
        f"center lines clear the {at.struck} by {clearance:.0f} mm. Calculated in the plane."
    )


def _leaf(arms: Arms, width: float) -> list[XY]:
    pull, push, edge = -arms.hinge_offset, arms.push_face, arms.edge_gap
    return [(edge, pull), (width, pull), (width, push), (edge, push)]


def _jambs(arms: Arms, width: float) -> list[list[XY]]:
    """Hinge and strike jamb with rabbet and stop, in section."""
    pull, push = -arms.hinge_offset, arms.push_face
    deep = push - _depth(arms)
    far = width + arms.edge_gap
    hinge = [
        (-JAMB, pull), (0.0, pull), (0.0, push), (arms.stop, push), (arms.stop, deep), (-JAMB, deep)
    ]  # fmt: skip
    strike = [
        (far + JAMB, pull), (far, pull), (far, push), (far - arms.stop, push),
        (far - arms.stop, deep), (far + JAMB, deep),
    ]  # fmt: skip
    return [hinge, strike]


def _depth(arms: Arms) -> float:
    """Depth of the frame on the push side [m]; a regular arm does not depend on it."""
    return arms.reveal or SHOWN_REVEAL


def _body(arms: Arms, angle: float) -> list[XY]:
    """The body's case about the pinion, as wide as it stands proud; its ends are only a sketch."""
    toward_hinge, toward_latch, depth = BODY
    x, y = arms.pinion
    depth = min(depth, arms.pinion_proud)
    # A body near the hinge is not drawn past it.
    toward_hinge = min(toward_hinge, max(0.02, x - 0.02))
    corners = [
        (x - toward_hinge, y - depth),
        (x + toward_latch, y - depth),
        (x + toward_latch, y + depth),
        (x - toward_hinge, y + depth),
    ]
    return [turn(corner, angle) for corner in corners] if arms.body_on_leaf else corners


def _path(arms: Arms) -> list[XY]:
    reached = swing(arms).reached
    # A point every four degrees or so makes a smooth line.
    steps = max(2, int(reached / 4))
    found = (position(arms, reached * step / steps) for step in range(steps + 1))
    return [at.elbow for at in found if at is not None]


def _swept(width: float, angle: float) -> list[XY]:
    steps = max(2, int(angle / 4))
    return [turn((width, 0.0), angle * step / steps) for step in range(steps + 1)]


def _placing(points: Sequence[XY]) -> tuple[Place, float]:
    """Metres to the drawing's pixels, y upward, fitted to its width; and the drawing's height."""
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    low, high = min(y for _, y in points), max(y for _, y in points)
    scale = min((WIDTH - 2 * MARGIN) / (right - left), 620 / (high - low))
    aside = (WIDTH - scale * (right - left)) / 2

    def place(point: XY) -> XY:
        return aside + (point[0] - left) * scale, HEAD + (high - point[1]) * scale

    return place, HEAD + (high - low) * scale + FOOT
