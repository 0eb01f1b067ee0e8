"""An opening: its mark and number, and all that decides its kit."""

from dataclasses import dataclass, field

from wholekit.domain.openings.unclear import Unclear
from wholekit.domain.openings.words import (
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
from wholekit.domain.plain import SPARSE
from wholekit.domain.quantities import HolePattern, Length, Mass, Physical


@dataclass(frozen=True, slots=True)
class OpeningType:
    """Everything about an opening that decides its kit; None is unknown.

    Openings alike in all of this share one OpeningType, so each kind is worked out once.
    width, height: one leaf's [Length]; fire_minutes [min]; opening_degrees [°];
    pressure [Pa]; wind [m/s]; seals, latch: force at the latch edge [N]; grade: of BHMA, 1 is the
    strongest; top_rail, head_face, ceiling_clearance, reveal, thickness [Length];
    existing_holes: the holes that an old closer's body left.
    unclear: fields whose value stands only until somebody says which of several was meant.
    """

    width: Length
    height: Length
    leaves: int = 1
    door: Door | None = None
    core: Core | None = None
    door_reinforced: bool | None = None
    weight: Mass | None = None
    thickness: Length | None = None
    frame: Frame | None = None
    frame_reinforced: bool | None = None
    location: Location | None = None
    swing: Swing | None = None
    hand: Hand | None = None
    body_side: BodySide | None = None
    mount: Mount | None = None
    fire_minutes: int | None = None
    accessible: bool | None = None
    opening_degrees: float | None = None
    hold_open: HoldOpen | None = None
    delayed_action: bool | None = None
    backcheck: bool | None = None
    top_rail: Length | None = None
    head_face: Length | None = None
    ceiling_clearance: Length | None = None
    reveal: Length | None = None
    stop: Stop | None = None
    pressure: Physical | None = None
    wind: Physical | None = None
    finish: str | None = None
    series: str | None = None
    spring_size: int | None = None
    jurisdiction: str | None = None
    egress: bool | None = None
    seals: Physical | None = None
    latch: Physical | None = None
    grade: int | None = None
    traffic: Traffic | None = None
    existing_holes: HolePattern | None = None
    unclear: tuple[Unclear, ...] = field(default=(), metadata={SPARSE: True})


@dataclass(frozen=True, slots=True)
class Opening:
    """One row of a schedule: mark, how many alike, and the type they share. room: where it is.

    finish_written: the sheet's own word for its finish where that is another than the code.
    """

    mark: str
    type: OpeningType
    quantity: int = 1
    note: str = ""
    room: str = field(default="", metadata={SPARSE: True})
    finish_written: str = field(default="", metadata={SPARSE: True})
