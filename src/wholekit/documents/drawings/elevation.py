"""The elevation on a setting card: head and top of the leaf, the body with its holes, dimensioned.

Seen from the side the closer is on, in true size on paper. The body's outline is a sketch; the
holes, pinion, pivot and edges are where they will be.
"""

from dataclasses import dataclass

from wholekit.documents.drawings.canvas import XY
from wholekit.documents.drawings.placing import DrawnLeaf, Placing, hinges
from wholekit.documents.drawings.sheet import (
    ASCENT,
    DESCENT,
    FINE,
    FRAME,
    GREY,
    HEAVY,
    INK,
    LEAF,
    MIDDLE,
    TEXT,
    WHITE,
    Sheet,
    View,
    fits,
    head_width,
    scale_for,
    width_of,
)
from wholekit.domain.openings import Mount
from wholekit.wording.speech import tr

JAMB = 0.05
LEVEL = 4.2
BETWEEN = 4.0  # the halves of a pair [mm]
ABOVE = 8.5  # title and view [mm]
BELOW = 4.6  # the hinge line's name, and the leaf's [mm]
DASHES = "1.4 1"
LINE_OF_CENTRES = "4 0.8 0.8 0.8"
FOOT = (0.03, 0.008)  # half a shoe or bracket as drawn [m]
EDGE = 6.0  # the most that a number takes beside the jamb [mm]
# Where rows are drawn that are not known; under a parallel arm's bracket [m].
SKETCHED, SKETCHED_LOWER = (0.015, 0.06), (0.04, 0.085)
BODY_EDGE = 0.013
BY_TEMPLATE = ("height and holes", "by the template")


def draw_elevation(placing: Placing, paper_width: float, paper_height: float) -> str:
    """An SVG no wider and higher than the paper [mm], at the largest scale that fits.

    Dimensions whose words are empty are left out, and so are holes that are not given.
    """
    # A pair is drawn as two hinge sides, broken off between them.
    count = len(placing.leaves)
    paper = (paper_width - BETWEEN * (count - 1)) / count
    aside = 3.6 + max(width_of(placing.words.vertical), width_of(placing.words.across), 10.0)
    span = JAMB + _far(placing) + 0.03
    high, low = _heights(placing)
    levels_above, levels_below = _levels(placing)
    asides = 1.15 * TEXT if any(leaf.aside for leaf in placing.leaves) else 0.0
    extra = ABOVE + BELOW + asides + LEVEL * (levels_above + levels_below) + 2
    scale = scale_for(span, high - low, paper - aside - EDGE, paper_height - extra)
    edge = _edge(placing, scale)
    half = span * 1000 / scale + aside + edge
    title = tr("Elevation")
    said = (
        tr("seen from the pull side, scale 1:{scale}{unit}")
        if placing.pull_side
        else tr("seen from the push side, scale 1:{scale}{unit}")
    ).format(scale=scale, unit=placing.unit)
    width = max(head_width(title, said), half * count + BETWEEN * (count - 1))
    base = ABOVE + LEVEL * levels_above + high * 1000 / scale
    height = extra + (high - low) * 1000 / scale
    sheet = Sheet(width, height, title, _description(placing))
    sheet.head(title, said)
    jamb = edge + JAMB * 1000 / scale
    for leaf in placing.leaves:
        view = View(scale, width - jamb if leaf.hinge_right else jamb, base, leaf.hinge_right)
        end = (half - jamb) * scale / 1000
        _Drawn(sheet, placing, view, leaf, end).draw(high, low)
    return sheet.svg()


@dataclass(frozen=True, slots=True)
class _Drawn:
    """One leaf's half of the drawing."""

    sheet: Sheet
    placing: Placing
    view: View
    leaf: DrawnLeaf
    end: float

    def draw(self, high: float, low: float) -> None:
        """Frame, leaf, body, foot, and the dimensions about them."""
        self._frame_and_leaf(high, low)
        self._rail()
        self._body()
        self._foot()
        self._holes()
        self._hinge_line(high, low)
        self._upright()
        self._level(high, low)
        # Last, where what is drawn leaves them room.
        self._body_name()
        if self.placing.rail is None or self.placing.mount is Mount.TOP_JAMB:
            self._leaf_name(low)
        if self.placing.words.anchor:
            self._by_template(_foot_height(self.placing))

    def _frame_and_leaf(self, high: float, low: float) -> None:
        """From the push side the stop hides the leaf's top edge, which is dashed."""
        placing, sheet, view = self.placing, self.sheet, self.view
        edge = _head_edge(placing)
        sheet.area(view.box(0.0, low, self.end, 0.0), LEAF)
        sheet.area(view.box(-JAMB, edge, self.end, high - 0.004), FRAME)
        inner = placing.stop - placing.gap if not placing.pull_side else 0.0
        sheet.area(view.box(-JAMB, low, max(0.0, inner), edge + 0.001), FRAME)
        outer = [(-JAMB, low), (-JAMB, high - 0.004), (self.end, high - 0.004)]
        sheet.line([view.at(point) for point in outer], INK, MIDDLE)
        sheet.line(
            [view.at(point) for point in ((self.end, edge), (inner, edge), (inner, low))],
            INK,
            MIDDLE,
        )
        top = [view.at((0.003, 0.0)), view.at((self.end, 0.0))]
        sheet.line(top, INK, MIDDLE, "" if placing.pull_side else DASHES)
        sheet.line([view.at((0.0, low)), view.at((self.end, low))], GREY, FINE, DASHES)
        broken = [view.at((self.end, low)), view.at((self.end, high - 0.004))]
        sheet.line(broken, GREY, FINE, DASHES)
        face = (high - edge) * 1000 / view.scale
        if face > 1.5 * TEXT:
            self._say((0.008, high - 0.004), tr("head"), 3.1, FRAME)

    @property
    def _face(self) -> float:
        """The head over the leaf's top as it is drawn [mm]."""
        high, _ = _heights(self.placing)
        return (high - 0.004) * 1000 / self.view.scale

    def _leaf_name(self, low: float) -> None:
        """The leaf's name, low at its hinge side; else at its other, or beside the body."""
        placing, view = self.placing, self.view
        inner = placing.stop - placing.gap if not placing.pull_side else 0.0
        name = tr("active leaf") if self.leaf.active else tr("leaf")
        near = view.x(0.012 + max(0.0, inner))
        far = view.x(self.end) - view.toward_latch
        bottom, top = view.y(low) - 0.8, view.y(min(0.0, _head_edge(placing))) + TEXT
        level = bottom
        while level > top:
            for at, toward in ((near, view.toward_latch), (far, -view.toward_latch)):
                if self._put((at, level), [name], toward, LEAF):
                    return
            level -= TEXT / 2

    def _put(self, at: XY, texts: list[str], toward: int, ground: str) -> bool:
        """Words under one another from a point to the right (toward 1) or left, if they have room
        on the head or leaf there."""
        wide = max(map(width_of, texts)) * toward
        left, right = sorted((at[0], at[0] + wide))
        sides = sorted((self.view.x(0.0), self.view.x(self.end)))
        last = at[1] + 1.15 * TEXT * (len(texts) - 1)
        box = (left, at[1] - ASCENT * TEXT, right, last + DESCENT * TEXT)
        if left < sides[0] or right > sides[1] or not self.sheet.is_free(box):
            return False
        for number, text in enumerate(texts):
            place = (at[0], at[1] + number * 1.15 * TEXT)
            self.sheet.note(place, text, "start" if toward > 0 else "end", ground)
        return True

    def _body(self) -> None:
        """The outline of body or plate."""
        placing, sheet, view = self.placing, self.sheet, self.view
        rows = placing.rows or _sketched(placing)
        high, low = sorted((_place(placing, rows[0]), _place(placing, rows[1])), reverse=True)
        start, stop = placing.body_span
        sketched = placing.columns is None
        edge = _body_edge(placing, low)
        box = view.box(start, low - edge, stop, high + edge)
        sheet.area(box, WHITE, INK, DASHES if sketched else "", HEAVY)

    def _body_name(self) -> None:
        """What lies there, body or plate, on that half of it where the pinion is not, or where it
        stands on no figure."""
        placing, view = self.placing, self.view
        rows = placing.rows or _sketched(placing)
        low, high = sorted(_place(placing, row) for row in rows[:2])
        start, stop = placing.body_span
        name = tr("plate") if placing.on_plate else tr("body")
        tall = (high - low + 2 * _body_edge(placing, low)) * 1000 / view.scale
        if tall <= 1.3 * TEXT and placing.columns is not None:
            return
        center, level = (start + stop) / 2, view.y((high + low) / 2) + 0.9
        halves = [(center + stop) / 2, (start + center) / 2]
        for along in halves if placing.pinion < center else halves[::-1]:
            x, half = view.x(along), width_of(name) / 2
            box = (x - half, level - ASCENT * TEXT, x + half, level + DESCENT * TEXT)
            if self.sheet.is_clear(box):
                self.sheet.note((x, level), name, "middle")
                return

    def _rail(self) -> None:
        """The top rail's lower edge, which holes must keep off."""
        placing, view = self.placing, self.view
        if placing.rail is None or placing.mount is Mount.TOP_JAMB:
            return
        edge = [view.at((0.003, -placing.rail)), view.at((self.end, -placing.rail))]
        self.sheet.line(edge, INK, MIDDLE)
        inner = placing.stop - placing.gap if not placing.pull_side else 0.0
        said = tr("leaf; edge of its rail: {rail}").format(rail=placing.words.rail)
        self._say((0.012 + max(0.0, inner), -placing.rail), said, 2.8)

    def _holes(self) -> None:
        """Over body and foot, so that a bracket in front hides none."""
        placing, sheet, view = self.placing, self.sheet, self.view
        rows = placing.rows or _sketched(placing)
        high, low = _place(placing, rows[0]), _place(placing, rows[1])
        middle = (high + low) / 2
        if placing.columns is not None:
            for column in placing.columns:
                for row in (high, low):
                    self._hole((column, row))
        if placing.words.pinion:
            # A template places the pinion along the leaf only; up and down it is drawn halfway.
            sheet.dot(view.at((placing.pinion, middle)), 1.1, WHITE, INK, MIDDLE)
            sheet.dot(view.at((placing.pinion, middle)), 0.35, INK, INK, FINE)

    def _by_template(self, y: float) -> None:
        """What of the foot is not to be scaled off, beside it where there is room."""
        placing, view = self.placing, self.view
        bracket = placing.mount is Mount.PARALLEL
        half = 0.0 if bracket else FOOT[0]
        texts = [tr(text) for text in BY_TEMPLATE]
        if bracket and self._face < 0.8 + 2.1 * TEXT:
            # The head as drawn has no room for two lines.
            texts = [" ".join(texts)]
        middle = view.y(y)
        match placing.mount:
            case Mount.REGULAR:
                first = middle - 2.2
            case Mount.PARALLEL:
                # The body lies about the bracket: the words stand on the head over it.
                first = view.y(0.0) - 0.8 - 1.15 * TEXT * (len(texts) - 1)
            case _:
                first = middle + 0.9
        ground = LEAF if placing.mount is Mount.TOP_JAMB else FRAME
        # Toward the latch, else toward the hinges.
        for side in (1, -1):
            toward = side * view.toward_latch
            x = view.x(placing.anchor + side * half) + toward
            if self._put((x, first), texts, toward, ground):
                return

    def _hole(self, at: XY) -> None:
        x, y = self.view.at(at)
        self.sheet.dot((x, y), 0.7, WHITE, INK, MIDDLE)
        self.sheet.line([(x - 1.3, y), (x + 1.3, y)], INK, FINE)
        self.sheet.line([(x, y - 1.3), (x, y + 1.3)], INK, FINE)

    def _foot(self) -> None:
        """Shoe or bracket: a sketch about its pivot, whose place along the leaf is true."""
        placing, view = self.placing, self.view
        y = _foot_height(placing)
        half, thick = FOOT
        box = view.box(placing.anchor - half, y - thick, placing.anchor + half, y + thick)
        # A bracket hangs in front of body or plate: what lies behind it must be seen.
        fill = "none" if placing.mount is Mount.PARALLEL else WHITE
        self.sheet.area(box, fill, INK, "" if placing.words.anchor else DASHES, MIDDLE)
        if placing.words.anchor:
            # Its dimension names it.
            self.sheet.dot(view.at((placing.anchor, y)), 0.5, INK, INK, FINE)
            return
        beyond = view.at((placing.anchor + half + 0.005, y))
        anchor = "end" if self.leaf.hinge_right else "start"
        self.sheet.note((beyond[0], beyond[1] + 0.9), placing.foot, anchor)

    def _hinge_line(self, high: float, low: float) -> None:
        above, below = _levels(self.placing)
        x = self.view.x(0.0)
        top = self.view.y(high) - LEVEL * above
        bottom = self.view.y(low) + LEVEL * below + 1
        self.sheet.line([(x, top), (x, bottom)], INK, FINE, LINE_OF_CENTRES)
        anchor = "end" if self.leaf.hinge_right else "start"
        jamb = self.view.x(-JAMB)
        words = tr("hinge center line{leaf}").format(leaf=self.leaf.drawn_name)
        # Which leaf of a pair it is must not be overlooked.
        pair = len(self.placing.leaves) > 1
        self.sheet.say((jamb, bottom + 2.7), words, anchor, bold=pair)
        if self.leaf.aside:
            aside = self.leaf.aside.lstrip(", ")
            self.sheet.say((jamb, bottom + 2.7 + 1.15 * TEXT), aside, anchor, bold=True)

    def _upright(self) -> None:
        placing, view = self.placing, self.view
        if placing.rows is None or placing.columns is None or not placing.words.vertical:
            return
        stop = placing.body_span[1]
        right = not self.leaf.hinge_right
        side = 1 if right else -1
        edge, near, far = (view.y(_place(placing, row)) for row in (0.0, *placing.rows))
        located = view.y(_place(placing, placing.located))
        x = view.x(stop) + side * 2.4
        if abs(located - near) < 0.01:
            marks, words = [edge, near, far], [placing.words.vertical, placing.words.across]
        else:
            # The row is not the nearest: the pattern's height goes inside the body.
            marks, words = [edge, located], [placing.words.vertical]
            inside = view.x(placing.columns[1]) - side * 2.4
            pattern = sorted((near, far))
            self.sheet.upright(
                inside, pattern, [placing.words.across], [view.x(placing.columns[1])] * 2, not right
            )
        if marks[0] > marks[-1]:
            marks, words = marks[::-1], words[::-1]
        starts = [view.x(stop) - side * 1.0] * len(marks)
        self.sheet.upright(x, marks, words, starts, right, self._edges())

    def _edges(self) -> list[float]:
        """Heights of the edges that run past the body [mm], first that which rows count from."""
        placing, view = self.placing, self.view
        head, leaf = view.y(_head_edge(placing)), view.y(0.0)
        if placing.mount is Mount.TOP_JAMB:
            return [head, leaf, view.y(_heights(placing)[0] - 0.004)]
        rail = [] if placing.rail is None else [view.y(-placing.rail)]
        return [leaf, head, *rail]

    def _level(self, high: float, low: float) -> None:
        """Holes and pinion on the body's side of the joint, the pivot of the foot on the other."""
        placing, view, words = self.placing, self.view, self.placing.words
        above = placing.mount is Mount.TOP_JAMB
        step = -LEVEL if above else LEVEL
        y = view.y(high) - 1.2 if above else view.y(low) + LEVEL - 0.6
        other = view.y(low) + LEVEL - 0.6 if above else view.y(high) - 1.2
        origin = view.x(0.0)
        rows = placing.rows or _sketched(placing)
        outer = view.y(_place(placing, rows[1]))
        pinion_row = view.y((_place(placing, rows[0]) + _place(placing, rows[1])) / 2)
        holes = placing.columns is not None and bool(words.first)
        # The outer level first: the lines out of the next one are drawn over, its numbers are not.
        if words.pinion:
            text, level = f"{tr('pinion')} {words.pinion}", y + step if holes else y
            self.sheet.across(
                origin, view.x(placing.pinion), level, text, (level, pinion_row), "stop"
            )
        if placing.columns is not None and holes:
            first, second = view.x(placing.columns[0]), view.x(placing.columns[1])
            past = [view.x(placing.pinion)] if words.pinion else []
            self.sheet.across(first, second, y, words.along, (outer, outer), clear=past)
            self.sheet.across(origin, first, y, words.first, (y, outer), clear=past)
        if words.anchor:
            text = f"{placing.foot} {words.anchor}"
            foot = view.y(_foot_height(placing))
            self.sheet.across(origin, view.x(placing.anchor), other, text, (other, foot), "stop")

    def _say(self, at: XY, words: str, down: float, ground: str = LEAF) -> None:
        x, y = self.view.at(at)
        anchor = "end" if self.leaf.hinge_right else "start"
        self.sheet.note((x, y + down), words, anchor, ground)


def _head_edge(placing: Placing) -> float:
    """The head's lower edge over the leaf's top [m]: its rabbet, or its stop from the push side."""
    return placing.gap if placing.pull_side else placing.gap - placing.stop


def _place(placing: Placing, row: float) -> float:
    """A row's height [m] over the leaf's top: down from it, or up from the head's edge."""
    if placing.mount is Mount.TOP_JAMB:
        return _head_edge(placing) + row
    return -row


def _sketched(placing: Placing) -> XY:
    return SKETCHED_LOWER if placing.mount is Mount.PARALLEL else SKETCHED


def _body_edge(placing: Placing, low: float) -> float:
    """How far [m] the outline goes past its holes: a plate not over its rail's lower edge."""
    if placing.rail is None or placing.mount is Mount.TOP_JAMB or -placing.rail >= low:
        return BODY_EDGE
    return min(BODY_EDGE, low + placing.rail)


def _foot_height(placing: Placing) -> float:
    match placing.mount:
        case Mount.REGULAR:
            return _head_edge(placing) + 0.016
        case Mount.PARALLEL:
            return _head_edge(placing) - FOOT[1]
        case _:
            return _head_edge(placing) - 0.03


def _heights(placing: Placing) -> XY:
    """The drawing's highest and lowest point [m] over the leaf's top."""
    rows = placing.rows or _sketched(placing)
    places = [_place(placing, row) for row in rows]
    places.append(_foot_height(placing))
    if placing.rail is not None and placing.mount is not Mount.TOP_JAMB:
        places.append(-placing.rail - 0.01)
    face = _head_edge(placing) + placing.head_face
    if placing.mount is not Mount.TOP_JAMB:
        # A high head is of no use here; its upper part is left out.
        face = min(face, _head_edge(placing) + 0.06)
    return max(face, *places) + 0.024, min(places) - 0.034


def _levels(placing: Placing) -> tuple[int, int]:
    """Level dimensions above and below the drawing [count]."""
    body = int(bool(placing.words.first)) + int(bool(placing.words.pinion))
    foot = int(bool(placing.words.anchor))
    return (body, foot) if placing.mount is Mount.TOP_JAMB else (foot, body)


def _edge(placing: Placing, scale: int) -> float:
    """Paper beside the hinge jamb [mm] for a number too long for its place."""
    words = placing.words.first
    if placing.columns is None or fits(words, placing.columns[0] * 1000 / scale):
        return 0.0
    return max(0.0, width_of(words) + 1.5 - JAMB * 1000 / scale)


def _far(placing: Placing) -> float:
    return max(placing.body_span[1], placing.anchor + FOOT[0] + 0.05)


def _description(placing: Placing) -> str:
    return tr(
        "Head and top of the leaf seen from the {side}, {hinges}, with the body, its holes and "
        "their distances from the hinge center line and the edge."
    ).format(side=placing.side, hinges=hinges(placing.leaves))
