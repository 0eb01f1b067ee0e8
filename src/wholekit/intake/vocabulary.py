"""The trade's plain words for each value of a schedule, in the spellings people use.

Keys are in plain form: small letters, hyphens between words, no points (see `plain`).
"""

import re
from collections.abc import Mapping
from enum import StrEnum

from wholekit.domain.openings import (
    BodySide,
    Core,
    Door,
    Frame,
    Hand,
    HoldOpen,
    Location,
    Mount,
    Stop,
    Swing,
    Traffic,
)

YES_NO = {
    "yes": True, "y": True, "true": True, "1": True,
    "no": False, "n": False, "false": False, "0": False,
}  # fmt: skip
LEAVES = {"1": 1, "single": 1, "one": 1, "2": 2, "pair": 2, "double": 2, "two": 2}
DOORS = {
    "hollow-metal": Door.HOLLOW_METAL,
    "hm": Door.HOLLOW_METAL,
    "hmd": Door.HOLLOW_METAL,
    # A leaf of steel is called hollow metal in the trade.
    "steel": Door.HOLLOW_METAL,
    "wood": Door.WOOD,
    "timber": Door.WOOD,
    "aluminum": Door.ALUMINUM,
    "aluminium": Door.ALUMINUM,
    "composite": Door.COMPOSITE,
    "frp": Door.COMPOSITE,
    "fiberglass": Door.COMPOSITE,
    "fibreglass": Door.COMPOSITE,
}
CORES = {
    "particle": Core.PARTICLE,
    "particle-board": Core.PARTICLE,
    "particleboard": Core.PARTICLE,
    "stave": Core.STAVE,
    "stave-lumber": Core.STAVE,
    "mineral": Core.MINERAL,
    "scl": Core.SCL,
    "structural-composite-lumber": Core.SCL,
}
FRAMES = {
    "steel": Frame.STEEL,
    "hollow-metal": Frame.STEEL,
    "hm": Frame.STEEL,
    "hmf": Frame.STEEL,
    "pressed-steel": Frame.STEEL,
    "wood": Frame.WOOD,
    "timber": Frame.WOOD,
    "aluminum": Frame.ALUMINUM,
    "aluminium": Frame.ALUMINUM,
}
LOCATIONS = {
    "interior": Location.INTERIOR,
    "internal": Location.INTERIOR,
    "int": Location.INTERIOR,
    "exterior": Location.EXTERIOR,
    "external": Location.EXTERIOR,
    "ext": Location.EXTERIOR,
}
SWINGS = {
    "in": Swing.IN,
    "inswing": Swing.IN,
    "in-swing": Swing.IN,
    "swings-in": Swing.IN,
    "inward": Swing.IN,
    "out": Swing.OUT,
    "outswing": Swing.OUT,
    "out-swing": Swing.OUT,
    "swings-out": Swing.OUT,
    "outward": Swing.OUT,
}
HANDS = {
    "lh": Hand.LH,
    "left-hand": Hand.LH,
    "rh": Hand.RH,
    "right-hand": Hand.RH,
    "lhr": Hand.LHR,
    "lhrb": Hand.LHR,
    "left-hand-reverse": Hand.LHR,
    "rhr": Hand.RHR,
    "rhrb": Hand.RHR,
    "right-hand-reverse": Hand.RHR,
}
SIDES = {
    "pull": BodySide.PULL,
    "pull-side": BodySide.PULL,
    "push": BodySide.PUSH,
    "push-side": BodySide.PUSH,
}
MOUNTS = {
    "regular": Mount.REGULAR,
    "regular-arm": Mount.REGULAR,
    "parallel": Mount.PARALLEL,
    "parallel-arm": Mount.PARALLEL,
    "top-jamb": Mount.TOP_JAMB,
    "topjamb": Mount.TOP_JAMB,
}
HOLD_OPENS = {
    "none": HoldOpen.NONE,
    "no": HoldOpen.NONE,
    "arm": HoldOpen.ARM,
    "hold-open-arm": HoldOpen.ARM,
    "release": HoldOpen.RELEASE,
    "hold-open-release": HoldOpen.RELEASE,
    "magnetic-release": HoldOpen.RELEASE,
    "smoke-release": HoldOpen.RELEASE,
}
STOPS = {
    "rabbet": Stop.RABBET,
    "rabbeted": Stop.RABBET,
    "rebate": Stop.RABBET,
    "rebated": Stop.RABBET,
    "blade": Stop.BLADE,
    "blade-stop": Stop.BLADE,
}
TRAFFICS = {
    "light": Traffic.LIGHT,
    "low": Traffic.LIGHT,
    "usual": Traffic.USUAL,
    "normal": Traffic.USUAL,
    "medium": Traffic.USUAL,
    "heavy": Traffic.HEAVY,
    "high": Traffic.HEAVY,
}
NOT_RATED = {"none", "no", "non-rated", "nonrated", "not-rated", "unrated"}

WORDS: Mapping[str, Mapping[str, StrEnum]] = {
    "door": DOORS,
    "core": CORES,
    "frame": FRAMES,
    "location": LOCATIONS,
    "swing": SWINGS,
    "hand": HANDS,
    "body_side": SIDES,
    "mount": MOUNTS,
    "hold_open": HOLD_OPENS,
    "stop": STOPS,
    "traffic": TRAFFICS,
}
# What schedules write where something is not known. An empty cell says it here.
UNKNOWNS = {"", "-", "?", "??", "???", "n/a", "na", "tbd", "tba", "unknown", "not-known"}
# Column names that schedules carry for what has another name here.
MEANT = {
    "color": "finish",
    "colour": "finish",
    "qty": "quantity",
    "count": "quantity",
    "number": "mark or quantity",
    "door_no": "mark",
    "door_number": "mark",
    "opening": "mark",
    "opening_no": "mark",
    "handing": "hand",
    "rating": "fire_minutes",
    "label": "fire_minutes",
    "fire": "fire_minutes",
    "fire_rating": "fire_minutes",
    "fire_label": "fire_minutes",
    "ada": "accessible",
    "degrees": "opening_degrees",
    "angle": "opening_degrees",
    "door_material": "door",
    "frame_material": "frame",
    "pair": "leaves",
    "room-name": "room",
    "notes": "note",
    "remarks": "note",
    "comment": "note",
    "comments": "note",
    "side": "body_side",
    "arm": "mount",
    "rail": "top_rail",
    "closer_size": "spring_size",
    "interior_exterior": "location",
    "exit": "egress",
    "exit_door": "egress",
    "means_of_egress": "egress",
    "seal": "seals",
    "seal_force": "seals",
    "latch_force": "latch",
    "bhma_grade": "grade",
    "closer_grade": "grade",
    "usage": "traffic",
    "holes": "existing_holes",
    "old_holes": "existing_holes",
    "hole_pattern": "existing_holes",
}

_GAPS = re.compile(r"[\s_-]+")


def plain(text: str) -> str:
    """A word or words in the form the tables above use.

    >>> plain(" Hollow  Metal"), plain("top_jamb"), plain("L.H.R."), plain("-")
    ('hollow-metal', 'top-jamb', 'lhr', '-')
    """
    return _GAPS.sub("-", text.strip().lower().replace(".", ""))
