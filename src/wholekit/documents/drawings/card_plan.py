"""The plan on a setting card: closed leaf, frame, body and arms as fitted, the open leaf dashed.

Seen from above, the fitter standing at the foot of the paper, so that it lies under the elevation
as it does on site. In true size on paper; calculated from the template.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.documents.drawings.canvas import XY
from wholekit.documents.drawings.placing import DrawnLeaf, Placing, hinges
from wholekit.documents.drawings.sheet import (
    FINE,
    FRAME,
    GREY,
    INK,
    LEAF,
    MIDDLE,
    TEXT,
    UPRIGHT,
    WHITE,
    Sheet,
    View,
    head_width,
    scale_for,
    width_of,
)
from wholekit.domain.linkage import Arms, ArmsPosition, position, turn
from wholekit.domain.openings import Mount
from wholekit.wording.speech import figure, tr
from wholekit.wording.words import MOUNTS

JAMB = 0.05
SHOWN_DEPTH = 0.05
BODY_DEPTH = 0.026
LEVEL = 4.2
BETWEEN = 8.0  # the halves of a pair [mm]
# The least of a half, so that dimensions written beyond their lines stay on it [mm].
HALF = 42.0
ABOVE = 8.5
BELOW = 5.4
LINE = 3.3
ASIDE = 2.0  # an upright dimension beyond the leaf [mm]
OPEN = 90.0
DASHES = "1.2 1"


def draw_card_plan(placing: Placing, angle: float, paper_width: float, paper_height: float) -> str:
    """An SVG no wider and higher than the paper [mm]; empty where no arms are known.

    angle: the template's greatest [°]; the open leaf is drawn at a right angle, or there if less.
    Raises ValueError where the arms do not meet with the leaf closed.
    """
    arms = placing.arms
    if arms is None:
        return ""
    closed = position(arms, 0.0)
    if closed is None:
        raise ValueError("no position of the arms to draw")
    shown = min(OPEN, angle)
    opened = position(arms, shown)
    half = _Half(placing, arms, closed, opened, shown)
    end = half.far + 0.04
    points = half.points(end)
    # Down the paper is toward the fitter: the pull side for a regular arm, else the push side.
    down = 1 if placing.pull_side else -1
    low, high = min(-down * y for _, y in points), max(-down * y for _, y in points)
    span = JAMB + end
    levels = int(bool(placing.words.pinion)) + int(bool(placing.words.anchor))
    count = len(placing.leaves)
    aside = _aside(placing)
    # A pair's leaves are named each on its side, under the line that holds for both.
    extra = ABOVE + BELOW + LINE * (count - 1) + LEVEL * levels + 1
    paper = (paper_width - BETWEEN * (count - 1)) / count
    scale = scale_for(span, high - low, paper - aside, paper_height - extra)
    over = levels if placing.pull_side else 0
    under = _under(placing)
    named = max(HALF, *(width_of(leaf.drawn_name) for leaf in placing.leaves))
    title = tr("Plan")
    said = tr("from above, scale 1:{scale}; dashed: open {angle}°").format(
        scale=scale, angle=figure(f"{shown:g}")
    )
    across = span * 1000 / scale + aside
    halves = (max(across, named) + BETWEEN) * count - BETWEEN if count > 1 else 0.0
    width = max(head_width(title, said), width_of(under), across, halves)
    height = extra + (high - low) * 1000 / scale
    base = ABOVE + LEVEL * over + high * 1000 / scale
    sheet = Sheet(width, height, title, _description(placing, shown))
    sheet.head(title, said)
    for leaf in placing.leaves:
        jamb = JAMB * 1000 / scale
        hinge = width - jamb if leaf.hinge_right else jamb
        view = View(scale, hinge, base, leaf.hinge_right, -down)
        half.draw(sheet, view, leaf, end, (low, high))
    return sheet.svg()


@dataclass(frozen=True, slots=True)
class _Half:
    """One leaf with its frame and arms, in the linkage's own coordinates [m]."""

    placing: Placing
    arms: Arms
    closed: ArmsPosition
    opened: ArmsPosition | None
    angle: float

    @property
    def far(self) -> float:
        """The farthest of body and arms from the hinge, leaf closed [m]."""
        return max(
            self.placing.body_span[1],
            self.closed.elbow[0],
            self.closed.anchor[0],
            self.closed.pinion[0],
        )

    def points(self, end: float) -> list[XY]:
        """All that must find room on the paper, as far as the level dimensions go."""
        found = [*self._leaf(end), *self._case(), self.closed.elbow, self.closed.anchor]
        found += [turn(point, self.angle) for point in self._leaf(self._cut(end))]
        found += self._jamb()
        if self.opened is not None:
            found += [self.opened.elbow, self.opened.anchor]
        return found

    def draw(
        self, sheet: Sheet, view: View, leaf: DrawnLeaf, end: float, span: tuple[float, float]
    ) -> None:
        """Frame, closed leaf and arms heavy; the open ones thin and dashed."""
        sheet.area([view.at(point) for point in self._jamb()], FRAME, INK, "", FINE)
        opened = [turn(point, self.angle) for point in self._leaf(self._cut(end))]
        sheet.line([view.at(point) for point in (*opened, opened[0])], GREY, FINE, DASHES)
        self._open_arms(sheet, view)
        shape = [view.at(point) for point in self._leaf(end)]
        sheet.area(shape, LEAF)
        sheet.line([shape[1], shape[0], shape[3], shape[2]], INK, MIDDLE)
        sheet.line([shape[1], shape[2]], GREY, FINE, DASHES)
        # A body whose holes are not given is only a sketch, and looks it.
        drawn_solid = self.placing.columns is not None
        case = [view.at(point) for point in self._case()]
        sheet.area(case, WHITE, INK, "" if drawn_solid else DASHES, MIDDLE)
        self._words(sheet, view)
        self._from_face(sheet, view, leaf, end)
        self._closed_arms(sheet, view)
        sheet.dot(view.at((0.0, 0.0)), 0.9, INK, INK, FINE)
        self._dimensions(sheet, view, span)
        self._name(sheet, view, leaf, span)

    def _words(self, sheet: Sheet, view: View) -> None:
        """`body` and `leaf`, each in its outline where that is deep enough."""
        arms, (start, stop) = self.arms, self.placing.body_span
        middle = (start + stop) / 2
        along = (start + self.closed.pinion[0]) / 2 - 0.01
        if self.closed.pinion[0] < middle and arms.mount is not Mount.PARALLEL:
            along = (self.closed.pinion[0] + stop) / 2 + 0.01
        if 2 * min(BODY_DEPTH, arms.pinion_proud) * 1000 / view.scale > 1.3 * TEXT:
            x, y = view.at((along, arms.pinion[1]))
            sheet.note((x, y + 0.9), tr("body"), "middle")
        if arms.leaf * 1000 / view.scale > 1.1 * TEXT:
            x, y = view.at((0.06, -arms.hinge_offset - arms.leaf / 2))
            sheet.note((x, y + 0.9), tr("leaf"), "middle", LEAF)

    def _from_face(self, sheet: Sheet, view: View, leaf: DrawnLeaf, end: float) -> None:
        """A bracket's distance from the push face, beyond the leaf as it is broken off."""
        words = self.placing.words.from_face
        if not words:
            return
        x = view.x(end) + view.toward_latch * ASIDE
        marks = [view.y(self.arms.push_face), view.y(self.closed.anchor[1])]
        right = not leaf.hinge_right
        starts = [view.x(end), view.x(self.closed.anchor[0])]
        sheet.upright(x, marks, [words], starts, right)

    def _closed_arms(self, sheet: Sheet, view: View) -> None:
        """The main arm is one thick bar, the forearm a hollow one."""
        pinion, elbow, anchor = (
            view.at(point) for point in (self.closed.pinion, self.closed.elbow, self.closed.anchor)
        )
        sheet.line([elbow, anchor], INK, 1.3)
        sheet.line([elbow, anchor], WHITE, 0.7)
        sheet.line([pinion, elbow], INK, 1.3)
        sheet.dot(pinion, 1.1, WHITE, INK, MIDDLE)
        sheet.dot(elbow, 0.7, WHITE, INK, MIDDLE)
        sheet.dot(anchor, 0.9, INK, INK, FINE)

    def _open_arms(self, sheet: Sheet, view: View) -> None:
        if self.opened is None:
            return
        points = (self.opened.pinion, self.opened.elbow, self.opened.anchor)
        sheet.line([view.at(point) for point in points], GREY, MIDDLE, DASHES)

    def _dimensions(self, sheet: Sheet, view: View, span: tuple[float, float]) -> None:
        """On the side away from the open leaf: over the frame, or under the arms."""
        words, placing = self.placing.words, self.placing
        up = placing.pull_side
        y = view.base - span[1] * 1000 / view.scale - 1 if up else 0.0
        y = y if up else view.base - span[0] * 1000 / view.scale + LEVEL
        step = -LEVEL if up else LEVEL
        origin = view.x(0.0)
        labels = [
            (self.closed.anchor, words.anchor, placing.foot),
            (self.closed.pinion, words.pinion, tr("pinion")),
        ]
        placed = sorted(
            ((point, f"{name} {text}") for point, text, name in labels if text),
            key=lambda entry: entry[0][0],
        )
        # The longest is the outermost, and is drawn first: numbers stand over its lines out.
        for level, (point, text) in reversed(list(enumerate(placed))):
            x, feature = view.at(point)
            ends = (view.y(0.0), feature)
            sheet.across(origin, x, y + step * level, text, ends, "stop")

    def _name(self, sheet: Sheet, view: View, leaf: DrawnLeaf, span: tuple[float, float]) -> None:
        levels = (
            0
            if self.placing.pull_side
            else sum(map(bool, (self.placing.words.pinion, self.placing.words.anchor)))
        )
        y = view.base - span[0] * 1000 / view.scale + LEVEL * levels + BELOW - 1.2
        anchor = "end" if leaf.hinge_right else "start"
        if len(self.placing.leaves) == 1:
            sheet.note((view.x(-JAMB), y), _under(self.placing), anchor)
            return
        name = leaf.drawn_name.lstrip("; ")
        sheet.say((view.x(-JAMB), y + LINE), name, anchor, bold=True)
        if leaf is self.placing.leaves[0]:
            sheet.note((sheet.width / 2, y), _under(self.placing), "middle")

    def _leaf(self, end: float) -> list[XY]:
        arms = self.arms
        pull, push, edge = -arms.hinge_offset, arms.push_face, arms.edge_gap
        return [(edge, pull), (end, pull), (end, push), (edge, push)]

    def _cut(self, end: float) -> float:
        """Where the open leaf is broken off: past the body, which turns with it or not."""
        if not self.arms.body_on_leaf:
            return min(end, self.placing.anchor + 0.03)
        return min(end, self.placing.body_span[1] + 0.03)

    def _jamb(self) -> list[XY]:
        arms = self.arms
        pull, push = -arms.hinge_offset, arms.push_face
        deep = push - (min(arms.reveal, 2.0) if arms.mount is not Mount.REGULAR else SHOWN_DEPTH)
        if math.isclose(deep, push):
            deep = push - 0.004
        return [
            (-JAMB, pull), (0.0, pull), (0.0, push), (arms.stop, push), (arms.stop, deep),
            (-JAMB, deep),
        ]  # fmt: skip

    def _case(self) -> Sequence[XY]:
        """The body's case, as deep as its pinion stands proud."""
        start, stop = self.placing.body_span
        y = self.arms.pinion[1]
        deep = min(BODY_DEPTH, self.arms.pinion_proud)
        return [(start, y - deep), (stop, y - deep), (stop, y + deep), (start, y + deep)]


def _aside(placing: Placing) -> float:
    """Paper beyond the broken leaf for a bracket's distance from its push face [mm]."""
    words = placing.words.from_face
    return ASIDE + UPRIGHT + width_of(words) if words else 0.0


def _under(placing: Placing) -> str:
    """What stands at the foot of the paper: the side the fitter is on, and a single leaf's name."""
    said = (
        tr("pull side here, where you stand{leaf}")
        if placing.pull_side
        else tr("push side here, where you stand{leaf}")
    )
    return said.format(leaf=placing.leaves[0].name if len(placing.leaves) == 1 else "")


def _description(placing: Placing, angle: float) -> str:
    return tr(
        "Plan of the mount “{mount}”, {hinges}, the {side} at the foot; leaf closed, and dashed "
        "open {angle}°. Calculated in the plane."
    ).format(
        mount=tr(MOUNTS[placing.mount]),
        hinges=hinges(placing.leaves),
        side=placing.side,
        angle=figure(f"{angle:g}"),
    )
