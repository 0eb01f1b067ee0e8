"""Roles a piece can have in a kit, and kinds of fastener."""

from enum import StrEnum


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
    BODY_FASTENER = "body-fastener"
    SHOE_FASTENER = "shoe-fastener"
    BRACKET_FASTENER = "bracket-fastener"
    BRACKET_ARM_SCREW = "bracket-arm-screw"
    PINION_SCREW = "pinion-screw"
    PINION_CAP = "pinion-cap"
    COVER = "cover"


FASTENER_ROLES = frozenset({Role.BODY_FASTENER, Role.SHOE_FASTENER, Role.BRACKET_FASTENER})


class FastenerKind(StrEnum):
    """What a fastener is, which decides the hosts it holds in."""

    WOOD_SCREW = "wood-screw"
    MACHINE_SCREW = "machine-screw"
    SELF_DRILLING_SCREW = "self-drilling-screw"
    THROUGH_BOLT = "through-bolt"
    RIVET_NUT_SCREW = "rivet-nut-screw"
