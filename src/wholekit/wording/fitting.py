"""The setting card in words: measures in the customer's units, hands, and the steps of the work.

Order of layout, the effect of the horizontal dimension and the way valves turn are common
practice, no source; the card says that the maker's sheet comes first.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.catalog import HolesRow
from wholekit.domain.forces import ForceVerdict
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import HolePattern, Length
from wholekit.domain.quantities.length import NM_PER_INCH
from wholekit.domain.rules import RuleBook
from wholekit.wording.closing import delayed_text, latch_text, sweep_text

NM_PER_MM = 1_000_000
# What a fitter's rule shows: half a millimetre, a thirty-second of an inch.
METRIC_STEP, INCH_STEP = NM_PER_MM // 2, NM_PER_INCH // 32

FIRE = (
    "It must close from any angle and latch by itself. Use only the fasteners of its listing. "
    "No wedge, no plain hold-open."
)
NO_DRILLING = {
    "on-plate": "A plate carries the body: drill by the plate's template, and make no holes for "
    "the body in the {host}. The body is screwed to the plate.",
    "row-not-stated": "No drilling dimension is given here: the catalogue does not say which row "
    "of holes its vertical dimension locates. Take every position from the maker's template in "
    "the box.",
    "off-host": "No drilling dimension is given here: by the catalogue's figures holes would "
    "fall over the edge of the {host}. Take every position from the maker's template in the box.",
    "not-four-holes": "No drilling dimension is given here: this body has not four holes. Take "
    "every position from the maker's template in the box.",
}
ROWS = {
    HolesRow.UPPER: "upper {part} holes",
    HolesRow.LOWER: "lower {part} holes",
    HolesRow.CENTRE: "middle of {part} holes",
}
# What becomes of the holes of an old closer, by the finding that tells it.
OLD_HOLES = ("holes-reused", "holes-covered", "holes-differ")
REUSED, COVERED, DIFFER = OLD_HOLES
HAND_UNKNOWN = (
    "HAND NOT STATED: drawn with the hinges at the left. For hinges at the right, mirror the "
    "drawings; every distance from the hinge centre line stays as it is."
)
MAY_NOT_LATCH = (
    "A force limit holds this closer's setting: it may not latch reliably, least of all against "
    "draught or seals. If it does not, tell the office; do not tighten the spring past the limit."
)
SKETCHES = (
    "{foot}: height and holes by the maker's template. Outlines are sketches: only dimensioned "
    "figures hold; never scale off a drawing."
)
PRACTICE = (
    "The way and range of valves, the order of layout and its effects are common practice, no "
    "source; the maker's sheet and local codes come first."
)


def measure(length: Length, metric: bool) -> str:
    """A length in the customer's units, as a rule can be read: `3-1/4 in`, `82.5 mm`.

    A length written in those units is said exactly; another is rounded to half a millimetre or to
    1/32 in.

    >>> measure(Length.inches(3, 1, 4), True), measure(Length.mm(75), False)
    ('82.5 mm', '2-15/16 in')
    """
    if _is_metric(length) is metric:
        return str(length) if not metric else f"{_millimetres(length.nm)} mm"
    step = METRIC_STEP if metric else INCH_STEP
    rounded = round(Fraction(length.nm, step)) * step
    return f"{_millimetres(rounded)} mm" if metric else str(Length(rounded, "in"))


def force_text(verdict: ForceVerdict, size: Length) -> str:
    """The force to open, in the units of the opening's own size first: `8.8 lbf (39 N)`."""
    pounds, newtons = f"{verdict.opening_lbf:.1f} lbf", f"{verdict.opening_n:.0f} N"
    return f"{newtons} ({pounds})" if _is_metric(size) else f"{pounds} ({newtons})"


def makers_figure(length: Length, metric: bool) -> str:
    """The maker's own figure where it is in the other unit; else empty.

    >>> makers_figure(Length.inches(3, 1, 4), True), makers_figure(Length.inches(8), False)
    ('3-1/4 in', '')
    """
    return "" if _is_metric(length) is metric else str(length)


def screw_size(number: int, inches: float, metric: bool) -> str:
    """A wood screw's number with its diameter in the customer's units.

    >>> screw_size(14, 0.242, False), screw_size(14, 0.242, True)
    ('No. 14 (.242 in)', 'No. 14 (6.1 mm)')
    """
    if metric:
        return f"No. {number} ({inches * 25.4:.1f} mm)"
    return f"No. {number} ({f'{inches:.3f}'.lstrip('0')} in)"


def sketches_text(foot: str) -> str:
    """What the drawings do not give, of a shoe or bracket too."""
    return SKETCHES.format(foot=foot.capitalize())


def by(texts: Sequence[str]) -> str:
    """Measures across one another, their unit said once; empty for none.

    >>> by(["8-1/4 in", "3-1/4 in"]), by(["12 mm"])
    ('8-1/4 × 3-1/4 in', '12 mm')
    """
    if not texts:
        return ""
    unit = texts[-1].rpartition(" ")[2]
    same = unit and all(text.endswith(f" {unit}") for text in texts)
    shown = [text.removesuffix(f" {unit}") if same else text for text in texts[:-1]]
    return " × ".join([*shown, texts[-1]])


def pattern_text(pattern: HolePattern | None, metric: bool) -> str:
    """The spacing of holes in the customer's units; empty for none."""
    sides = () if pattern is None else (pattern.along, pattern.across)
    return by([measure(side, metric) for side in sides])


def on_drawing(length: Length, metric: bool) -> str:
    """As `measure`, short: `3-1/4"`, `82.5`."""
    text = measure(length, metric)
    return text.removesuffix(" mm") if metric else text.replace(" in", '"')


def _is_metric(length: Length) -> bool:
    return length.unit not in ("in", "ft")


def _millimetres(nanometres: int) -> str:
    """Exactly, without noughts at the end."""
    whole, rest = divmod(nanometres, NM_PER_MM)
    return f"{whole}.{rest:06d}".rstrip("0") if rest else str(whole)


# The steps by code: a lead that is printed heavy, empty for none, and the rest of the sentence.
STEPS = {
    "hold-against-template": (
        "",
        (
            "Hold these figures against the template in the maker's box. Where they differ, "
            "the template in the box holds."
        ),
    ),
    "take-template": (
        "Take the maker's template",
        "out of the box: every position comes from it.",
    ),
    "swing-first": (
        "",
        (
            "Before a closer is fitted, swing the leaf by hand: it must hang free, and the "
            "latch must engage when the leaf is pushed gently."
        ),
    ),
    "spacer": (
        "Stop spacer first:",
        "fix it under the head where the soffit bracket goes; it levels the blade stop.",
    ),
    "vertical": (
        "Lay out the vertical dimension first",
        "(1, {vertical}). If it is wrong, the arm strikes.",
    ),
    "horizontal": (
        "Then the horizontal one",
        "(2, {horizontal}). It sets the greatest opening: nearer the hinge opens wider.",
    ),
    "reuse-holes": (
        "Reuse the old holes",
        (
            "({holes}). Measure first: the row must lie at 1 ({vertical}), the nearest holes at 2 "
            "({horizontal}). If they lie elsewhere, or no longer hold a screw, hang nothing on "
            "them and ask the office."
        ),
    ),
    "reuse-by-template": (
        "Reuse the old holes",
        (
            "({holes}) if they lie where the maker's template puts them. If not, or if they no "
            "longer hold a screw, hang nothing on them and ask the office."
        ),
    ),
    "plate-on-holes": (
        "Plate:",
        (
            "fix it on the old holes. Make no holes for the body; screw the body to the plate "
            "with the screws that belong to it."
        ),
    ),
    "reuse-and-fix": (
        "",
        (
            "Drill only for the {foot}, then fix body, {foot} and arms. Support the leaf; keep "
            "fingers clear of the arms."
        ),
    ),
    "cover-holes": (
        "The plate covers the old holes",
        "({holes}). Fill them first, as the listing of the {host} allows.",
    ),
    "new-holes": (
        "New holes:",
        (
            "the old ones ({holes}) do not fit. Fill them as the listing of the {host} allows; "
            "where a new hole would run into an old one, stop and ask the office."
        ),
    ),
    "plate-by-template": (
        "Plate:",
        (
            "drill the {host} by the plate's template and fix the plate. Make no holes for "
            "the body; screw the body to the plate with the screws that belong to it."
        ),
    ),
    "plate-as-shown": (
        "Plate:",
        (
            "drill the {host} for the plate as shown and fix the plate. Make no holes for the "
            "body; screw the body to the plate with the screws that belong to it."
        ),
    ),
    "foot-plate": (
        "Plate under the {foot}:",
        "drill by the plate's template; the {foot} is screwed to the plate.",
    ),
    "drill-and-fix": (
        "",
        (
            "Drill, then fix body, {foot} and arms. Support the leaf; keep fingers clear of "
            "the arms."
        ),
    ),
    "fix": (
        "",
        "Fix body, {foot} and arms. Support the leaf; keep fingers clear of the arms.",
    ),
    "spring": (
        "Spring:",
        "set it to size {size} as the maker's sheet shows.",
    ),
    "spring-within": (
        "Spring:",
        (
            "set it to size {size} as the maker's sheet shows, and no further than the gauge "
            "allows: {limit}."
        ),
    ),
    "door-stop": (
        "Door stop:",
        "fit one that holds the leaf at {stop_at}; the closer must not be what stops it.",
    ),
    "valves": (
        "Valves:",
        (
            "the maker's sheet shows which is which; turn none before you know it. Turn a "
            "little at a time; never take a valve out."
        ),
    ),
    "sweep": (
        "Sweep valve:",
        "{sweep}",
    ),
    "delayed": (
        "Delayed action valve:",
        "{delayed} Set it after the sweep; the leaf must still close and latch by itself.",
    ),
    "latch": (
        "Latch valve:",
        "{latch} The leaf must latch without a slam.",
    ),
    "backcheck": (
        "Backcheck valve:",
        (
            "it cushions the opening; where it begins, see the maker's sheet. Clockwise "
            "firmer, anticlockwise softer. It does not take the place of a stop."
        ),
    ),
    "pair-order": (
        "Closing order of the pair:",
        (
            "the leaf whose edge or astragal overlaps closes last, and both must latch. Set "
            "the other leaf's closer so that it is shut first."
        ),
    ),
    "coordinator": (
        "Coordinator:",
        (
            "where an astragal overlaps, fit one that holds the overlapping leaf open until "
            "the other is shut. It is not in this kit."
        ),
    ),
    "release-test": (
        "Release test:",
        (
            "open the leaf until the device holds it; set off the detector, and another time "
            "cut the power. Each time the leaf must let go at once, close and latch by "
            "itself. The device is not in this kit."
        ),
    ),
}


@dataclass(frozen=True, slots=True)
class Fitting:
    """What decides the steps. vertical, horizontal: dimensions in words, empty where not given.

    no_drilling: a code of `NO_DRILLING`, or empty. on_plate: a plate carries the body; foot_plate:
    the shoe or bracket. limit: greatest force in words. timed: the place asks for a closing time.
    size_to_set [class]: None for a fixed body. stop_at: where a door stop must hold the leaf, in
    words. coordinator: a fire pair that may need one. old_holes: a code of `OLD_HOLES`, empty
    where there are none; holes: their spacing in words.
    """

    mount: Mount
    vertical: str
    horizontal: str
    no_drilling: str = ""
    on_plate: bool = False
    foot_plate: bool = False
    spacer: bool = False
    size_to_set: int | None = None
    limit: str = ""
    timed: bool = False
    stop_at: str = ""
    backcheck: bool = False
    delayed_action: bool = False
    pair: bool = False
    coordinator: bool = False
    release: bool = False
    old_holes: str = ""
    holes: str = ""

    @property
    def host(self) -> str:
        """What the body sits on."""
        return "frame head" if self.mount is Mount.TOP_JAMB else "leaf"

    @property
    def foot(self) -> str:
        """What the forearm ends on."""
        return "soffit bracket" if self.mount is Mount.PARALLEL else "shoe"


def steps_of(fitting: Fitting, rules: RuleBook) -> tuple[tuple[str, str], ...]:
    """The work in its order: a lead, empty for none, and the rest. Raises RuleError."""
    values = {
        "vertical": fitting.vertical,
        "horizontal": fitting.horizontal,
        "host": fitting.host,
        "foot": fitting.foot,
        "size": fitting.size_to_set,
        "limit": fitting.limit,
        "stop_at": fitting.stop_at,
        "holes": fitting.holes,
        "sweep": sweep_text(rules, fitting.timed),
        "delayed": delayed_text(rules),
        "latch": latch_text(rules),
    }
    return tuple(
        (STEPS[code][0].format_map(values), STEPS[code][1].format_map(values))
        for code in step_codes(fitting)
    )


def step_codes(fitting: Fitting) -> Iterator[str]:
    """The steps that an opening needs, in order; codes of `STEPS`."""
    yield from _placing(fitting)
    yield from _setting(fitting)
    if fitting.pair:
        yield "pair-order"
    if fitting.coordinator:
        yield "coordinator"
    if fitting.release:
        yield "release-test"


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
    if fitting.on_plate or not drilled:
        yield "fix"
    else:
        yield "reuse-and-fix" if reused else "drill-and-fix"


def _setting(fitting: Fitting) -> Iterator[str]:
    if fitting.size_to_set is not None:
        yield "spring-within" if fitting.limit else "spring"
    if fitting.stop_at:
        yield "door-stop"
    yield "valves"
    yield "sweep"
    if fitting.delayed_action:
        yield "delayed"
    yield "latch"
    if fitting.backcheck:
        yield "backcheck"


def hand_text(hands: Sequence[str], pull_side: bool, hinge_right: bool) -> str:
    """A leaf's hand for a fitter: `LH, hinges at the right seen from the pull side`."""
    side = "right" if hinge_right else "left"
    seen = "pull side" if pull_side else "push side"
    if len(hands) == 2:
        left, right = hands
        if not left:
            return "pair, hinges left and right; swing not stated"
        return f"pair seen from the {seen}: left leaf {left}, right leaf {right}"
    if not hands:
        return "not stated"
    return f"{hands[0]}, hinges at the {side} seen from the {seen}"
