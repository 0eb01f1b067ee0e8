"""Sentences about holes that come too near the edge of rail or head."""

from collections.abc import Mapping
from fractions import Fraction
from math import ceil, floor

from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.quantities import Length
from wholekit.wording.speech import tr
from wholekit.wording.units import INCH_STEP, METRIC_STEP, measure, measured, metric_in_use
from wholekit.wording.words import value_text

FINDINGS: dict[str, str] = {
    NEAR_EDGE: "{height_known}: {where}; {least} is the least that is sound, so {needed} high or "
    "more. {reckoned} {other_row}",
}
HINTS: dict[str, str] = {
    "measure-height": "Measure how high it is; else choose another mount, or ask the maker for a "
    "plate or template.",
    "other-height": "Choose another mount or series, or ask the maker for a plate or template.",
}
# By the field that says what the holes lie in.
STATED = {
    "top_rail": "Top rail {height}, as stated",
    "head_face": "Head's face {height}, as stated",
}
ASSUMED = {
    "top_rail": "Top rail not stated, taken as {height}",
    "head_face": "Head's face not stated, taken as {height}",
}
NEAR = {
    "top_rail": "the lower holes' centers are {room} from its edge",
    "head_face": "the upper holes' centers are {room} from its edge",
}
OFF = {
    "top_rail": "the lower holes' centers do not lie on it",
    "head_face": "the upper holes' centers do not lie on it",
}
OTHER_ROW = {
    "top_rail": "The upper row is where the maker's template puts it, not judged.",
    "head_face": "The lower row is where the maker's template puts it, not judged.",
}
RECKONED = {
    "screw": "(Common practice: {diameters} × the screw.)",
    "no-size": "(Common practice: {diameters} × the screw, of unknown size, taken as {screw}.)",
    "rivet-nut": "(Common practice: {diameters} × the rivet nut's hole, not known, taken as "
    "{times} × its screw.)",
    "rivet-nut-no-size": "(Common practice: {diameters} × the rivet nut's hole, not known, taken "
    "as {times} × a screw of {screw}.)",
}
# Before the sentence, where somebody is about to drill.
LEADS = {
    "top_rail": "HOLES TOO NEAR THE RAIL'S EDGE.",
    "head_face": "HOLES TOO NEAR THE HEAD'S EDGE.",
}


def words_of(fields: Mapping[str, object]) -> dict[str, str]:
    """The parts of the sentence, lengths in the units in use; empty for other findings."""
    room, least, needed = (fields.get(name) for name in ("room", "least", "needed"))
    height, field = fields.get("height"), str(fields.get("host"))
    if not (
        isinstance(room, Length)
        and isinstance(least, Length)
        and isinstance(needed, Length)
        and isinstance(height, Length)
    ):
        return {}
    metric = metric_in_use(height)
    known = ASSUMED if fields["assumed"] else STATED
    where = NEAR if room.nm > 0 else OFF
    figures = {
        name: value_text(name, fields[name])
        for name in ("diameters", "times", "screw")
        if name in fields
    }
    return {
        "height_known": tr(known[field]).format(height=measured(height)),
        "where": tr(where[field]).format(room=at_most(room, metric)),
        "least": at_least(least, metric),
        "needed": at_least(needed, metric),
        "reckoned": tr(RECKONED[str(fields["reckoned"])]).format(**figures),
        "other_row": tr(OTHER_ROW[field]),
    }


def lead_of(fields: Mapping[str, str]) -> str:
    """What stands before the sentence on a card, in the language spoken."""
    return tr(LEADS[fields["host"]])


def without_grounds(sentence: str) -> str:
    """The finding's sentence without what is sound and how that is reckoned, for where there is
    little room and the height that is needed is said beside.

    >>> without_grounds("Top rail 2 in, as stated: centers at 1/4 in; 3/8 in is sound. (Practice.)")
    'Top rail 2 in, as stated: centers at 1/4 in.'
    """
    told, cut, _ = sentence.partition("; ")
    return f"{told}." if cut else sentence


def at_least(length: Length, metric: bool) -> str:
    """A length that something must have, rounded up to what a rule shows.

    >>> at_least(Length.mm(67.4), False), at_least(Length.mm(67.4), True)
    ('2-21/32 in', '67.5 mm')
    """
    step = METRIC_STEP if metric else INCH_STEP
    return measure(Length(ceil(Fraction(length.nm) / step) * step, _unit(metric)), metric)


def at_most(length: Length, metric: bool) -> str:
    """A length that is left, rounded down likewise."""
    step = METRIC_STEP if metric else INCH_STEP
    return measure(Length(floor(Fraction(length.nm) / step) * step, _unit(metric)), metric)


def _unit(metric: bool) -> str:
    return "mm" if metric else "in"
