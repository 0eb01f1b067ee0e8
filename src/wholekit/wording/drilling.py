"""What is drilled, in words: holes and where they lie, screws and their drills.

Drills are the rule book's (`drills.toml`); the maker's template governs.
"""

import re

from wholekit.domain.catalog import HolesRow
from wholekit.domain.catalog.drills import Bore, Drill, HoleMade
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import HolePattern, Length, parse_length
from wholekit.wording.speech import figure, tr
from wholekit.wording.units import by, is_metric, measure

NO_DRILLING = {
    "on-plate": "A plate carries the body: drill by the plate's template, and make no holes for "
    "the body in {host}. The body is screwed to the plate.",
    "row-not-stated": "No drilling dimension is given here: the catalog does not say which row "
    "of holes its vertical dimension locates. Take every position from the maker's template in "
    "the box.",
    "off-host": "No drilling dimension is given here: by the catalog's figures holes would "
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
# What is said of a hole by what becomes of it; a bore: its drill, or those of thread and shank.
DRILLED = {
    HoleMade.TAPPED: "drill Ø {drill}, tap {thread}",
    HoleMade.LEAD: "drill Ø {drill} for the thread, Ø {shank} for the shank; in hard wood "
    "Ø {hard} for the thread, Ø {hard_shank} for the shank",
    HoleMade.PASSED: "drill Ø {drill} for the bolt; for its barrel or sleeve by the maker's sheet",
    HoleMade.OWN_HOLE: "drill nothing: they drill their own holes",
    HoleMade.RIVET_NUT: "drill Ø by the rivet nut's own sheet (no standard)",
    HoleMade.IN_PLATE: "drill nothing: they go into the plate",
    HoleMade.UNKNOWN: "drill Ø not known, since its thread is not stated: by the maker's template",
}
DRILLS_FROM = (
    "Ø from tables, some from memory (taps: public tables, ISO 2306; bolts: ISO 273, ASME B18.2.8; "
    "wood: AWC NDS); the maker's template governs."
)
SPACER_SCREWS = (
    "stop spacer: no screws of its own in this kit. If by the maker's sheet the bracket's do not "
    "go through it, or are too short, ask the office."
)
# Height of what the holes lie in: as it is known, and what is left under or over the holes.
RAIL_STATED = "Top rail: {height}, as stated."
RAIL_ASSUMED = "Top rail: not stated, measure it. The kit was chosen for {height}."
HEAD_STATED = "Head's face: {height}, as stated."
HEAD_ASSUMED = "Head's face: not stated, measure it. The kit was chosen for {height}."
AT_LEAST = "The holes need {least} or more."
NO_SHEET_FOR_OLD_HOLES = (
    "The old holes are used again, as its setting card says: no new ones are drilled for the body."
)
_SKETCHES = (
    "height and holes by the maker's template. Outlines are sketches: only dimensioned "
    "figures hold; never scale off a drawing."
)
SKETCHES = {"shoe": f"Shoe: {_SKETCHES}", "bracket": f"Bracket: {_SKETCHES}"}


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
        return figure(size)
    return f"{found[1]}{measure(parse_length(found[2]), metric)} ({figure(found[2])})"


def sketches_text(mount: Mount) -> str:
    """What the drawings do not give, of the mount's shoe or bracket too."""
    return tr(SKETCHES["bracket" if mount is Mount.PARALLEL else "shoe"])


def pattern_text(pattern: HolePattern | None, metric: bool) -> str:
    """The spacing of holes in the customer's units; empty for none."""
    sides = () if pattern is None else (pattern.along, pattern.across)
    return by([measure(side, metric) for side in sides])


def on_drawing(length: Length, metric: bool) -> str:
    """As `measure`, short: `3-1/4"`, `82.5`."""
    figures = measure(length, metric).rpartition(" ")[0]
    return figures if metric else f'{figures}"'


def drill_text(drilled: Bore, metric: bool) -> str:
    """What is drilled for a screw, in the customer's units, or that no drill can be named.

    >>> drill_text(Bore(HoleMade.TAPPED, (Drill(5.1, 0.201, "No. 7"),), "1/4-20"), False)
    'drill Ø No. 7 (.201 in), tap 1/4-20'
    >>> drill_text(Bore(HoleMade.TAPPED, (Drill(5.1, 0.201, "No. 7"),), "1/4-20"), True)
    'drill Ø 5.1 mm, tap 1/4-20'
    """
    said = dict(
        zip(
            ("drill", "shank", "hard", "hard_shank"),
            (_drill(drill, metric) for drill in drilled.drills),
            strict=False,
        )
    )
    return tr(DRILLED[drilled.made]).format(thread=drilled.thread, **said)


def _drill(drill: Drill, metric: bool) -> str:
    if metric or drill.inches is None:
        return figure(f"{drill.mm:.1f} mm")
    # A fraction of an inch is its own figure.
    if "/" in drill.name:
        return figure(f"{drill.name} in")
    size = figure(f"{f'{drill.inches:.3f}'.lstrip('0')} in")
    if drill.name.startswith("No. "):
        number = drill.name.removeprefix("No. ")
        return tr("No. {number} ({size})").format(number=number, size=size)
    return f"{drill.name} ({size})"
