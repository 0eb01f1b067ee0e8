"""Openings of every kind, drawn at random: each field stated or left open."""

import random
from collections.abc import Sequence

from hypothesis import strategies as st
from tests.support.house import RULES, opening

from wholekit.domain.openings import (
    BodySide,
    Core,
    Door,
    Frame,
    Hand,
    HoldOpen,
    Location,
    Mount,
    OpeningType,
    Stop,
    Swing,
)
from wholekit.domain.quantities import parse_pressure, parse_speed

_SIZES = ("2068", "2668", "2868", "3068", "3070", "3080", "3670", "4070", "4080", "5080")
_YES_NO = (True, False)

# What a schedule may say, field by field; often it says nothing, so None is put before each.
_STATED: dict[str, Sequence[object]] = {
    "leaves": (2,),
    "door": tuple(Door),
    "core": tuple(Core),
    "door_reinforced": _YES_NO,
    "weight": ("60 lb", "100 lb", "180 lb", "260 lb"),
    "thickness": ("1-3/8 in", "1-3/4 in", "2-1/4 in"),
    "frame": tuple(Frame),
    "frame_reinforced": _YES_NO,
    "location": tuple(Location),
    "swing": tuple(Swing),
    "hand": tuple(Hand),
    "body_side": tuple(BodySide),
    "mount": tuple(Mount),
    "fire_minutes": (0, 20, 90),
    "accessible": _YES_NO,
    "opening_degrees": (90.0, 100.0, 120.0, 150.0, 175.0),
    "hold_open": tuple(HoldOpen),
    "delayed_action": _YES_NO,
    "backcheck": _YES_NO,
    "top_rail": ("1 in", "2 in", "2-1/4 in", "4 in", "6 in"),
    "head_face": ("1 in", "1-1/2 in", "2 in", "4 in"),
    "ceiling_clearance": ("1/2 in", "2 in", "4 in"),
    "reveal": ("1 in", "3 in", "6-1/2 in", "8 in", "12 in"),
    "stop": tuple(Stop),
    "pressure": tuple(map(parse_pressure, ("10 Pa", "25 Pa", "60 Pa"))),
    "wind": tuple(map(parse_speed, ("10 mph", "22 mph", "8 m/s"))),
    "finish": ("689", "690", "695", "696", "600", "626"),
    "spring_size": (1, 2, 3, 4, 5, 6),
    "jurisdiction": tuple(RULES.mapping("force-profiles")),
}
# How often a field is stated, in a hundred: fields that refuse many kits are stated seldom.
_SELDOM = {"spring_size": 10, "finish": 25, "ceiling_clearance": 10, "head_face": 20, "mount": 30}


def random_opening(draw: random.Random, series: Sequence[str] = ()) -> OpeningType:
    """One opening, field by field; series: those it may ask for by name."""
    stated = {
        name: draw.choice(values)
        for name, values in _STATED.items()
        if draw.randrange(100) < _SELDOM.get(name, 35)
    }
    if series and draw.randrange(100) < 15:
        stated["series"] = draw.choice(series)
    return opening(draw.choice(_SIZES), **stated)


def openings() -> st.SearchStrategy[OpeningType]:
    """Openings for a property; what fails is told by its seed."""
    return st.randoms(use_true_random=False).map(random_opening)
