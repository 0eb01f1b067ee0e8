"""The setting card in words: measures in the customer's units, hands, and the steps of the work.

Order of layout, the effect of the horizontal dimension and the way valves turn are common
practice, no source; the card says that the maker's sheet comes first.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length
from wholekit.domain.quantities.length import NM_PER_INCH
from wholekit.domain.rules import RuleBook
from wholekit.wording.closing import TURN_LITTLE, delayed_text, latch_text, sweep_text

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
    "upper": "upper row of holes",
    "lower": "lower row of holes",
    "centre": "middle of the rows",
}
HAND_UNKNOWN = (
    "HAND NOT STATED: drawn with the hinges at the left. For hinges at the right, mirror the "
    "drawings; every distance from the hinge centre line stays as it is."
)
MAY_NOT_LATCH = (
    "A closer set to the accessible limit may not latch reliably. If it does not, tell the "
    "office; do not tighten the spring past the limit."
)
PRACTICE = (
    "The way valves turn, their ranges, the order of layout and the effect of the horizontal "
    "dimension are common practice, no source; the maker's sheet and local codes come first."
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


def measured(length: Length, metric: bool) -> str:
    """As `measure`, with the maker's own figure beside it where the two differ in unit.

    >>> measured(Length.inches(3, 1, 4), True), measured(Length.inches(8), False)
    ('82.5 mm (maker: 3-1/4 in)', '8 in')
    """
    text = measure(length, metric)
    return text if _is_metric(length) is metric else f"{text} (maker: {length})"


def on_drawing(length: Length, metric: bool) -> str:
    """As `measure`, short: `3-1/4"`, `82.5`."""
    text = measure(length, metric)
    return text.removesuffix(" mm") if metric else text.replace(" in", '"')


def _is_metric(length: Length) -> bool:
    return length.unit not in ("in", "ft")


def _millimetres(nanometres: int) -> str:
    return (
        f"{Fraction(nanometres, NM_PER_MM):.4f}".rstrip("0").rstrip(".")
        if (nanometres % NM_PER_MM)
        else str(nanometres // NM_PER_MM)
    )


@dataclass(frozen=True, slots=True)
class Fitting:
    """What decides the steps. vertical, horizontal: dimensions in words, empty where not given.

    no_drilling: a code of `NO_DRILLING`, or empty. limit: greatest force in words. timed: the
    place asks for a closing time. reached: the template's greatest angle [°]. stop_at: where a
    door stop must hold the leaf [°]. coordinator: a fire pair that may need one.
    """

    mount: Mount
    vertical: str
    horizontal: str
    no_drilling: str = ""
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
    fire: bool = False

    @property
    def host(self) -> str:
        """What the body sits on."""
        return "frame head" if self.mount is Mount.TOP_JAMB else "leaf"

    @property
    def foot(self) -> str:
        """What the forearm ends on."""
        return "soffit bracket" if self.mount is Mount.PARALLEL else "shoe"


def steps_of(fitting: Fitting, rules: RuleBook) -> tuple[tuple[str, str], ...]:
    """The work in its order: a lead, empty for none, and the rest of the sentence."""
    return (*_placing_steps(fitting), *_setting_steps(fitting, rules), *_last_steps(fitting))


def _placing_steps(one: Fitting) -> Iterator[tuple[str, str]]:
    if one.no_drilling in ("", "on-plate"):
        yield (
            "",
            (
                "Hold these figures against the template in the maker's box. Where they differ, the "
                "template in the box holds."
            ),
        )
    else:
        yield "Take the maker's template", "out of the box: every position comes from it."
    yield (
        "",
        (
            "Swing the leaf by hand through its whole travel before a closer is fitted. It must hang "
            "free, and the latch must engage when the leaf is pushed gently."
        ),
    )
    if one.spacer:
        yield (
            "Stop spacer first:",
            "fix it under the head where the soffit bracket goes; it levels the blade stop.",
        )
    if one.no_drilling == "on-plate":
        yield (
            "Plate:",
            (
                f"drill the {one.host} by the plate's template and fix the plate. Make no holes for "
                "the body; screw the body to the plate with the screws that belong to it."
            ),
        )
    elif not one.no_drilling:
        yield (
            "Lay out the vertical dimension first",
            f"({one.vertical}). If it is wrong, the arm strikes.",
        )
        yield (
            "Then the horizontal one",
            f"({one.horizontal}). It sets the greatest opening: nearer the hinge opens wider.",
        )
    if one.foot_plate:
        yield (
            f"Plate for the {one.foot}:",
            f"drill by the plate's template; the {one.foot} is screwed to the plate.",
        )
    drilled = "Drill, then fix body" if not one.no_drilling else "Fix body"
    yield (
        "",
        f"{drilled}, {one.foot} and arms. Support the leaf; keep fingers clear of the arms.",
    )


def _setting_steps(one: Fitting, rules: RuleBook) -> Iterator[tuple[str, str]]:
    if one.size_to_set is not None:
        limit = f" Go no further than the gauge allows: {one.limit}." if one.limit else ""
        yield (
            "Spring:",
            f"set it to size {one.size_to_set} as the maker's sheet shows.{limit}",
        )
    if one.stop_at:
        yield (
            "Door stop:",
            f"fit one that holds the leaf at {one.stop_at}; the closer must not be what stops it.",
        )
    yield (
        "Valves:",
        f"the maker's sheet shows which is which; turn none before you know it. {TURN_LITTLE}",
    )
    yield "Sweep valve:", sweep_text(rules, one.timed)
    if one.delayed_action:
        yield (
            "Delayed action valve:",
            (
                f"{delayed_text(rules)} Set it after the sweep; the leaf must still close and latch "
                "by itself."
            ),
        )
    yield "Latch valve:", f"{latch_text(rules)} The leaf must latch without a slam."
    if one.backcheck:
        yield (
            "Backcheck valve:",
            (
                "it cushions the opening; where it begins, see the maker's sheet. Clockwise firmer, "
                "anticlockwise softer. It does not take the place of a stop."
            ),
        )


def _last_steps(one: Fitting) -> Iterator[tuple[str, str]]:
    if one.pair:
        order = (
            "the leaf whose edge or astragal overlaps closes last, and both must latch. Set the "
            "other leaf's closer so that it is shut first."
        )
        yield "Closing order of the pair:", order
    if one.coordinator:
        yield (
            "Coordinator:",
            (
                "where an astragal overlaps, fit one that holds the overlapping leaf open until the "
                "other is shut. It is not in this kit."
            ),
        )
    if one.release:
        latching = "close and latch by itself" if one.fire else "close by itself"
        yield (
            "Release test:",
            (
                "open the leaf until the device holds it; set off the detector, then, apart from "
                f"that, cut the power. Each time the leaf must let go at once and {latching}. The "
                "device is not in this kit."
            ),
        )


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
