"""The trade's words for an opening, as a schedule spells them."""

from enum import StrEnum


class Door(StrEnum):
    """What the leaf is made of."""

    HOLLOW_METAL = "hollow-metal"
    WOOD = "wood"
    ALUMINUM = "aluminum"
    COMPOSITE = "composite"


class Core(StrEnum):
    """The core of a wood leaf."""

    PARTICLE = "particle"
    STAVE = "stave"
    MINERAL = "mineral"
    SCL = "scl"


class Frame(StrEnum):
    """What the frame is made of."""

    STEEL = "steel"
    WOOD = "wood"
    ALUMINUM = "aluminum"


class Location(StrEnum):
    """Where the opening stands."""

    INTERIOR = "interior"
    EXTERIOR = "exterior"


class Swing(StrEnum):
    """Which way the leaf swings, seen from the outside (secure, key or corridor side)."""

    IN = "in"
    OUT = "out"


class Hand(StrEnum):
    """Hand, read from the outside."""

    LH = "LH"
    RH = "RH"
    LHR = "LHR"
    RHR = "RHR"


class HingeSide(StrEnum):
    """The side on which the hinges show, seen from the pull side; ANY: not handed."""

    LEFT = "left"
    RIGHT = "right"
    ANY = "any"

    @property
    def other(self) -> "HingeSide":
        """The other side; ANY has none."""
        return {HingeSide.LEFT: HingeSide.RIGHT, HingeSide.RIGHT: HingeSide.LEFT}[self]


class BodySide(StrEnum):
    """The face of the leaf on which the closer works."""

    PULL = "pull"
    PUSH = "push"


class Mount(StrEnum):
    """How body and arms are placed."""

    REGULAR = "regular"
    PARALLEL = "parallel"
    TOP_JAMB = "top-jamb"


class HoldOpen(StrEnum):
    """What keeps the leaf open."""

    NONE = "none"
    ARM = "arm"
    RELEASE = "release"


class Stop(StrEnum):
    """The kind of stop under the frame head."""

    RABBET = "rabbet"
    BLADE = "blade"


class Traffic(StrEnum):
    """How much a leaf is used."""

    LIGHT = "light"
    USUAL = "usual"
    HEAVY = "heavy"
