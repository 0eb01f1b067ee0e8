"""Roles a piece can have in a kit, kinds of fastener, and what a body is made for."""

import re
from collections.abc import Iterable
from enum import StrEnum
from functools import cache


class Role(StrEnum):
    """What a piece does in a kit. The order is the order of a kit's lines."""

    BODY = "body"
    MAIN_ARM = "main-arm"
    FOREARM = "forearm"
    SHOE = "shoe"
    HOLD_OPEN_ARM = "hold-open-arm"
    SOFFIT_BRACKET = "soffit-bracket"
    PLATE = "plate"
    SPACER = "spacer"
    PLATE_FASTENER = "plate-fastener"
    BODY_FASTENER = "body-fastener"
    SHOE_FASTENER = "shoe-fastener"
    BRACKET_FASTENER = "bracket-fastener"
    BRACKET_ARM_SCREW = "bracket-arm-screw"
    PINION_SCREW = "pinion-screw"
    PINION_CAP = "pinion-cap"
    COVER = "cover"


FASTENER_ROLES = frozenset(
    {Role.PLATE_FASTENER, Role.BODY_FASTENER, Role.SHOE_FASTENER, Role.BRACKET_FASTENER}
)


class FastenerKind(StrEnum):
    """What a fastener is, which decides the hosts it holds in."""

    WOOD_SCREW = "wood-screw"
    MACHINE_SCREW = "machine-screw"
    SELF_DRILLING_SCREW = "self-drilling-screw"
    THROUGH_BOLT = "through-bolt"
    RIVET_NUT_SCREW = "rivet-nut-screw"


# What holds in the threads of a plate, which is thinner than a wood screw is long.
PLATE_KINDS = (
    FastenerKind.MACHINE_SCREW,
    FastenerKind.SELF_DRILLING_SCREW,
    FastenerKind.RIVET_NUT_SCREW,
)


class Duty(StrEnum):
    """Where a body may go, the lightest first."""

    LIGHT = "light"  # interior doors of light use
    STANDARD = "standard"
    HEAVY = "heavy"  # exterior doors and heavy traffic


class HolesRow(StrEnum):
    """Which row of a pattern of holes a vertical dimension locates."""

    UPPER = "upper"
    LOWER = "lower"
    CENTRE = "centre"  # the line midway between the two rows


def claims(standards: Iterable[str], word: str) -> bool:
    """Whether one of the standards named holds the word as a word of its own.

    >>> claims(["ANSI/BHMA A156.4"], "BHMA"), claims(["EN 1154:1996+A1"], "EN 1154")
    (True, True)
    >>> claims(["EN 11540"], "EN 1154")
    False
    """
    found = _as_a_word(word)
    return any(found.search(standard) for standard in standards)


# Few words are ever asked for, and each of them for every body of a shelf.
@cache
def _as_a_word(word: str) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w){re.escape(word)}(?!\w)", re.IGNORECASE)
