"""The setting card in words: the steps of the work, and what a gauge is to read.

Order of layout, the effect of the horizontal dimension and the way valves turn are common
practice, no source; the card says that the maker's sheet comes first.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wholekit.domain.openings import Mount
from wholekit.domain.rules import RuleBook
from wholekit.wording.closing import closing_time, delayed_text, latch_text, sweep_text
from wholekit.wording.fitting_steps import STEPS
from wholekit.wording.speech import tr

FIRE = (
    "It must close from any angle and latch by itself. Use only the fasteners of its listing. "
    "No wedge, no plain hold-open."
)
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
LATCH_IN_DOUBT = (
    "By calculation this closer may not latch against what was stated of wind and pressure. Check "
    "it on the hung leaf; if it does not latch, tell the office."
)
DOES_NOT_LATCH = (
    "By calculation this closer does not latch against what was stated. Check it on the hung leaf; "
    "if it does not latch, tell the office."
)
LIMITED_NO_LATCH = (
    "A force limit holds this closer's setting: by calculation it does not latch. If it does not "
    "on the hung leaf, tell the office; do not tighten the spring past the limit."
)
MAY_NOT_LATCH = (
    "A force limit holds this closer's setting: it may not latch reliably, least of all against "
    "draft or seals. If it does not, tell the office; do not tighten the spring past the limit."
)
HOSTS = {"leaf": "the leaf", "head": "the frame head"}
FEET = {"shoe": "the shoe", "bracket": "the soffit bracket"}
BODY, BODY_AND_FOOT = "the body", "the body and {foot}"
PRACTICE = (
    "What is said of valves, order of layout, dust, glass, eyes and footing is common practice, no "
    "source; the maker's sheet and local codes come first."
)


def force_reading(unit: str, at: str, phase: str) -> str:
    """What a gauge is to read of the force to open, in that unit.

    at, phase: of the limit that asks for it, empty for none.
    """
    return tr(PHASES.get((at, phase), ANY_PHASE)[0]).format(unit=unit)


def limit_text(limit: str, at: str, phase: str) -> str:
    """A force limit within a sentence: `22.5 N from 30° to 60°`."""
    return tr(PHASES.get((at, phase), ANY_PHASE)[1]).format(limit=limit)


@dataclass(frozen=True, slots=True)
class Fitting:
    """What decides the steps. vertical, horizontal: dimensions in words, empty where not given.

    Each with its letter on the card and from where it is measured, as the lines of shoe or bracket:
    anchor, along the leaf; from_face, a bracket's from the leaf; pinion, where it alone places a
    plate. push_side: hinges are out of sight there. opens_to: the greatest opening [°].

    no_drilling: a code of `NO_DRILLING`, or empty. on_plate: a plate carries the body; foot_plate:
    the shoe or bracket. through: bolts go through the leaf. limit: greatest force in
    words. timed: the place asks for a closing time; elsewhere: the United States', taken only
    because nobody stated another, while the customer is elsewhere.
    size_to_set [class]: None for a fixed body. stop_at: where a door stop must hold the leaf, in
    words; windy: it needs one for the wind. coordinator: a fire pair that may need one. old_holes:
    a code of `OLD_HOLES`, empty where there are none; holes: their spacing in words.
    """

    mount: Mount
    vertical: str
    horizontal: str
    anchor: str = ""
    from_face: str = ""
    pinion: str = ""
    push_side: bool = False
    opens_to: int = 0
    no_drilling: str = ""
    on_plate: bool = False
    foot_plate: bool = False
    spacer: bool = False
    through: bool = False
    size_to_set: int | None = None
    limit: str = ""
    timed: bool = False
    elsewhere: bool = False
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
    def foot_host(self) -> str:
        """What a shoe sits on, in the language in use."""
        return tr(HOSTS["leaf" if self.mount is Mount.TOP_JAMB else "head"])

    @property
    def foot(self) -> str:
        """What the forearm ends on, in the language in use."""
        return tr(FEET["bracket" if self.mount is Mount.PARALLEL else "shoe"])

    @property
    def drilled(self) -> str:
        """What holes are made for by no step of a plate, in the language in use; empty for none."""
        if self.on_plate:
            return "" if self.foot_plate else self.foot
        if self.foot_plate:
            return tr(BODY)
        return tr(BODY_AND_FOOT).format(foot=self.foot)


# A step in words: its lead, empty for none, and the rest.
Worded = tuple[str, str]


def steps_of(fitting: Fitting, rules: RuleBook) -> tuple[tuple[Worded, ...], tuple[Worded, ...]]:
    """The work in its order: up to the fixing, and what follows. Raises RuleError."""
    values = {
        "vertical": fitting.vertical,
        "horizontal": fitting.horizontal,
        "host": fitting.host,
        "foot": fitting.foot,
        "drilled": fitting.drilled,
        "foot_host": fitting.foot_host,
        "anchor": fitting.anchor,
        "from_face": fitting.from_face,
        "pinion": fitting.pinion,
        "opens_to": f"{fitting.opens_to}°",
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
    reused = fitting.old_holes == REUSED
    if fitting.push_side and fitting.anchor:
        yield "hinge-line"
    if fitting.old_holes in (COVERED, DIFFER):
        yield "new-holes" if fitting.old_holes == DIFFER else "cover-holes"
    if reused:
        if fitting.through:
            yield "reuse-holes-through" if drilled else "reuse-through-by-template"
        else:
            yield "reuse-holes" if drilled else "reuse-by-template"
    elif drilled:
        yield "vertical"
        yield "horizontal"
    if fitting.pinion and not reused:
        yield "plate-line"
    if fitting.anchor:
        yield "bracket-lines" if fitting.mount is Mount.PARALLEL else "shoe-line"
    # Its place is that of the bracket, whose lines are drawn by now.
    if fitting.spacer:
        yield "spacer" if fitting.anchor else "spacer-by-template"
    if fitting.on_plate and reused:
        yield "plate-on-holes"
    elif fitting.on_plate:
        yield "plate-as-shown" if drilled else "plate-by-template"
    if fitting.foot_plate:
        yield "foot-plate"
    if fitting.through:
        yield "old-holes-through" if reused else "through-bolts"
    yield from _fixing(fitting)


def _fixing(fitting: Fitting) -> Iterator[str]:
    # A step of its own has said what is drilled for a plate, and for bolts through the leaf.
    reused = fitting.old_holes == REUSED and not fitting.on_plate
    if reused:
        if not fitting.through and not fitting.foot_plate:
            yield "drill-foot"
    elif fitting.drilled:
        by_template = fitting.no_drilling or fitting.on_plate
        yield "drill-by-template" if by_template else "drill"
    # A plate's step has put the body on it.
    yield "fix-foot" if fitting.on_plate else "fix"
    yield "arms"


def _setting(fitting: Fitting) -> Iterator[str]:
    if fitting.size_to_set is not None:
        yield "spring-within" if fitting.limit else "spring"
    if fitting.stop_at:
        yield "door-stop"
    elif fitting.windy:
        yield "stop-in-wind"
    else:
        yield "stop-apart"
    yield "valves"
    yield "sweep"
    if fitting.delayed_action:
        yield "delayed"
    yield "latch" if fitting.timed else "latch-untimed"
    if fitting.timed:
        yield "closing-time-elsewhere" if fitting.elsewhere else "closing-time"
    if fitting.backcheck:
        yield "backcheck"
