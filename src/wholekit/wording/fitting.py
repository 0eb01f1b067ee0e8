"""The setting card in words: measures in the customer's units, hands, and the steps of the work.

Order of layout, the effect of the horizontal dimension and the way valves turn are common
practice, no source; the card says that the maker's sheet comes first.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from wholekit.domain.catalog import HolesRow
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import HolePattern, Length, parse_length
from wholekit.domain.rules import RuleBook
from wholekit.wording.closing import closing_time, delayed_text, latch_text, sweep_text
from wholekit.wording.fitting_steps import STEPS
from wholekit.wording.speech import figure, tr
from wholekit.wording.units import by, is_metric, measure

FIRE = (
    "It must close from any angle and latch by itself. Use only the fasteners of its listing. "
    "No wedge, no plain hold-open."
)
NO_DRILLING = {
    "on-plate": "A plate carries the body: drill by the plate's template, and make no holes for "
    "the body in {host}. The body is screwed to the plate.",
    "row-not-stated": "No drilling dimension is given here: the catalogue does not say which row "
    "of holes its vertical dimension locates. Take every position from the maker's template in "
    "the box.",
    "off-host": "No drilling dimension is given here: by the catalogue's figures holes would "
    "fall over the edge of {host}. Take every position from the maker's template in the box.",
    "not-four-holes": "No drilling dimension is given here: this body has not four holes. Take "
    "every position from the maker's template in the box.",
}
ROWS = {
    HolesRow.UPPER: "upper body holes",
    HolesRow.LOWER: "lower body holes",
    HolesRow.CENTRE: "middle of body holes",
}
ROWS_OF_PLATE = {
    HolesRow.UPPER: "upper plate holes",
    HolesRow.LOWER: "lower plate holes",
    HolesRow.CENTRE: "middle of plate holes",
}
# By where and over which part of the swing a force limit holds; those at the edge are the UK's two
# angles. First what is read, then a limit within a sentence.
PHASES = {
    ("edge", "motion"): ("Force to open to 30°, {unit}", "{limit} to 30°"),
    ("edge", "beyond-30"): ("Force to open from 30° to 60°, {unit}", "{limit} from 30° to 60°"),
    ("handle", "motion"): ("Force to set in motion, {unit}", "{limit}, to set in motion"),
    ("handle", "swing"): ("Force to swing fully open, {unit}", "{limit}, to swing fully open"),
}
ANY_PHASE = ("Force to open, {unit}", "{limit}")
# What becomes of the holes of an old closer, by the finding that tells it.
OLD_HOLES = ("holes-reused", "holes-covered", "holes-differ")
REUSED, COVERED, DIFFER = OLD_HOLES
HAND_UNKNOWN = (
    "HAND NOT STATED: drawn with the hinges at the left. For hinges at the right, mirror the "
    "drawings; every distance from the hinge center line stays as it is."
)
# By whether the hinges are at the right, and whether that is seen from the pull side.
HINGES = {
    (False, True): "{hand}, hinges at the left seen from the pull side",
    (False, False): "{hand}, hinges at the left seen from the push side",
    (True, True): "{hand}, hinges at the right seen from the pull side",
    (True, False): "{hand}, hinges at the right seen from the push side",
}
SHEET_SEEN = {
    (False, True): "Hinges at the left. Seen from the pull side: lay it on that side.",
    (False, False): "Hinges at the left. Seen from the push side: lay it on that side.",
    (True, True): "Hinges at the right. Seen from the pull side: lay it on that side.",
    (True, False): "Hinges at the right. Seen from the push side: lay it on that side.",
}
EITHER_HAND = (
    "HAND NOT STATED: there is a sheet for hinges at the left and one for hinges at the right. "
    "Look at the leaf and take the one that fits it; throw the other away."
)
NO_SHEET_FOR_OLD_HOLES = (
    "The old holes are used again, as its setting card says: no new ones are drilled for the body."
)
LATCH_IN_DOUBT = (
    "By calculation this closer may not latch against what was stated of wind and pressure. Check "
    "it on the hung leaf; if it does not latch, tell the office."
)
MAY_NOT_LATCH = (
    "A force limit holds this closer's setting: it may not latch reliably, least of all against "
    "draft or seals. If it does not, tell the office; do not tighten the spring past the limit."
)
_SKETCHES = (
    "height and holes by the maker's template. Outlines are sketches: only dimensioned "
    "figures hold; never scale off a drawing."
)
SKETCHES = {"shoe": f"Shoe: {_SKETCHES}", "bracket": f"Bracket: {_SKETCHES}"}
HOSTS = {"leaf": "the leaf", "head": "the frame head"}
FEET = {"shoe": "the shoe", "bracket": "the soffit bracket"}
PRACTICE = (
    "The way and range of valves, the order of layout and its effects are common practice, no "
    "source; the maker's sheet and local codes come first."
)


def makers_figure(length: Length, metric: bool) -> str:
    """The maker's own figure where it is in the other unit; else empty.

    >>> makers_figure(Length.inches(3, 1, 4), True), makers_figure(Length.inches(8), False)
    ('3-1/4 in', '')
    """
    return "" if is_metric(length) is metric else figure(str(length))


def screw_size(number: int, inches: float, metric: bool) -> str:
    """A wood screw's number with its diameter in the customer's units.

    >>> screw_size(14, 0.242, False), screw_size(14, 0.242, True)
    ('No. 14 (.242 in)', 'No. 14 (6.1 mm)')
    """
    size = f"{inches * 25.4:.1f} mm" if metric else f"{f'{inches:.3f}'.lstrip('0')} in"
    return tr("No. {number} ({size})").format(number=number, size=figure(size))


_INCHES_LONG = re.compile(r"(.+ × )(\d[\d/-]* in)")


def catalogued_size(size: str, metric: bool) -> str:
    """A screw's size as the catalogue has it, its length in the customer's units first.

    >>> catalogued_size("1/4-20 × 5/8 in", True), catalogued_size("1/4-20 × 5/8 in", False)
    ('1/4-20 × 16 mm (5/8 in)', '1/4-20 × 5/8 in')
    """
    found = _INCHES_LONG.fullmatch(size) if metric else None
    if found is None:
        return size
    return f"{found[1]}{measure(parse_length(found[2]), metric)} ({found[2]})"


def sketches_text(mount: Mount) -> str:
    """What the drawings do not give, of the mount's shoe or bracket too."""
    return tr(SKETCHES["bracket" if mount is Mount.PARALLEL else "shoe"])


def no_drilling_text(code: str, fitting: "Fitting") -> str:
    """Why no drilling dimension is given, by a code of `NO_DRILLING`, and what to do."""
    return tr(NO_DRILLING[code]).format(host=fitting.host)


def force_reading(unit: str, at: str, phase: str) -> str:
    """What a gauge is to read of the force to open, in that unit.

    at, phase: of the limit that asks for it, empty for none.
    """
    return tr(PHASES.get((at, phase), ANY_PHASE)[0]).format(unit=unit)


def limit_text(limit: str, at: str, phase: str) -> str:
    """A force limit within a sentence: `22.5 N from 30° to 60°`."""
    return tr(PHASES.get((at, phase), ANY_PHASE)[1]).format(limit=limit)


def pattern_text(pattern: HolePattern | None, metric: bool) -> str:
    """The spacing of holes in the customer's units; empty for none."""
    sides = () if pattern is None else (pattern.along, pattern.across)
    return by([measure(side, metric) for side in sides])


def on_drawing(length: Length, metric: bool) -> str:
    """As `measure`, short: `3-1/4"`, `82.5`."""
    text = measure(length, metric)
    return text.removesuffix(" mm") if metric else text.replace(" in", '"')


@dataclass(frozen=True, slots=True)
class Fitting:
    """What decides the steps. vertical, horizontal: dimensions in words, empty where not given.

    no_drilling: a code of `NO_DRILLING`, or empty. on_plate: a plate carries the body; foot_plate:
    the shoe or bracket. through: bolts go through the leaf. limit: greatest force in
    words. timed: the place asks for a closing time.
    size_to_set [class]: None for a fixed body. stop_at: where a door stop must hold the leaf, in
    words; windy: it needs one for the wind. coordinator: a fire pair that may need one. old_holes:
    a code of `OLD_HOLES`, empty where there are none; holes: their spacing in words.
    """

    mount: Mount
    vertical: str
    horizontal: str
    no_drilling: str = ""
    on_plate: bool = False
    foot_plate: bool = False
    spacer: bool = False
    through: bool = False
    size_to_set: int | None = None
    limit: str = ""
    timed: bool = False
    stop_at: str = ""
    windy: bool = False
    backcheck: bool = False
    delayed_action: bool = False
    pair: bool = False
    coordinator: bool = False
    holds_open: bool = False
    release: bool = False
    old_holes: str = ""
    holes: str = ""

    @property
    def host(self) -> str:
        """What the body sits on, in the language in use."""
        return tr(HOSTS["head" if self.mount is Mount.TOP_JAMB else "leaf"])

    @property
    def foot(self) -> str:
        """What the forearm ends on, in the language in use."""
        return tr(FEET["bracket" if self.mount is Mount.PARALLEL else "shoe"])


# A step in words: its lead, empty for none, and the rest.
Worded = tuple[str, str]


def steps_of(fitting: Fitting, rules: RuleBook) -> tuple[tuple[Worded, ...], tuple[Worded, ...]]:
    """The work in its order: up to the fixing, and what follows. Raises RuleError."""
    values = {
        "vertical": fitting.vertical,
        "horizontal": fitting.horizontal,
        "host": fitting.host,
        "foot": fitting.foot,
        "size": fitting.size_to_set,
        "limit": fitting.limit,
        "stop_at": fitting.stop_at,
        "holes": fitting.holes,
        "sweep": sweep_text(rules),
        "time": closing_time(rules),
        "delayed": delayed_text(rules),
        "latch": latch_text(rules),
    }

    def worded(codes: Iterator[str]) -> tuple[Worded, ...]:
        return tuple(
            (_said(STEPS[code][0], values), _said(STEPS[code][1], values)) for code in codes
        )

    return worded(_placing(fitting)), worded(_following(fitting))


def _said(message: str, values: Mapping[str, object]) -> str:
    return tr(message).format_map(values) if message else ""


def _following(fitting: Fitting) -> Iterator[str]:
    yield from _setting(fitting)
    if fitting.pair:
        yield "pair-order"
    if fitting.coordinator:
        yield "coordinator"
    if fitting.holds_open:
        yield "hold-open-arm"
    if fitting.release:
        yield "release-test"
    yield "close-up"


def _placing(fitting: Fitting) -> Iterator[str]:
    drilled = not fitting.no_drilling
    yield "hold-against-template" if drilled or fitting.on_plate else "take-template"
    yield "swing-first"
    if fitting.spacer:
        yield "spacer"
    reused = fitting.old_holes == REUSED
    if fitting.old_holes in (COVERED, DIFFER):
        yield "new-holes" if fitting.old_holes == DIFFER else "cover-holes"
    if reused:
        yield "reuse-holes" if drilled else "reuse-by-template"
    elif drilled:
        yield "vertical"
        yield "horizontal"
    if fitting.on_plate and reused:
        yield "plate-on-holes"
    elif fitting.on_plate:
        yield "plate-as-shown" if drilled else "plate-by-template"
    if fitting.foot_plate:
        yield "foot-plate"
    if fitting.through:
        yield "through-bolts"
    if fitting.on_plate or not drilled:
        yield "fix"
    else:
        yield "reuse-and-fix" if reused else "drill-and-fix"


def _setting(fitting: Fitting) -> Iterator[str]:
    if fitting.size_to_set is not None:
        yield "spring-within" if fitting.limit else "spring"
    if fitting.stop_at:
        yield "door-stop"
    elif fitting.windy:
        yield "stop-in-wind"
    yield "valves"
    yield "sweep"
    if fitting.delayed_action:
        yield "delayed"
    yield "latch"
    if fitting.timed:
        yield "closing-time"
    if fitting.backcheck:
        yield "backcheck"


REVERSE = ("LHR", "RHR")


def sides_text(hands: Sequence[str], pull_side: bool) -> str:
    """From where left and right of a pair are told on a card; empty where it is no pair.

    >>> sides_text(("RHR", "LHR"), pull_side=False)
    'Left leaf and right leaf here: seen from the inside, from the outside they change places.'
    >>> sides_text(("LH", "RH"), pull_side=False)
    'Left leaf and right leaf here: as seen from the outside.'
    """
    if len(hands) != 2 or not hands[0]:
        return ""
    # The pull side of reverse hands is the outside, from which hands are read.
    if pull_side is (hands[0] in REVERSE):
        return tr("Left leaf and right leaf here: as seen from the outside.")
    return tr(
        "Left leaf and right leaf here: seen from the inside, from the outside they change places."
    )


def hand_text(
    hands: Sequence[str], pull_side: bool, hinge_right: bool, active: Sequence[bool] = ()
) -> str:
    """A leaf's hand for a fitter: `LH, hinges at the right seen from the pull side`.

    active: which leaf of a pair is, where that is known.
    """
    if len(hands) == 2:
        if not hands[0]:
            return tr("pair, hinges left and right; swing not stated")
        said = (
            tr("pair seen from the pull side: left leaf {left}, right leaf {right}")
            if pull_side
            else tr("pair seen from the push side: left leaf {left}, right leaf {right}")
        )
        left, right = (
            tr("{hand} (active)").format(hand=hand) if opened_first else hand
            for hand, opened_first in zip(hands, active or (False, False), strict=True)
        )
        return said.format(left=left, right=right)
    if not hands:
        return tr("hand not stated")
    return tr(HINGES[hinge_right, pull_side]).format(hand=hands[0])
