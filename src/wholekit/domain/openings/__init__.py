"""Openings as a schedule states them, and what follows from their handing."""

from wholekit.domain.openings.answers import ANSWER_NEEDED, unclear_findings, unclear_of
from wholekit.domain.openings.dangers import LeafDanger, leaf_dangers
from wholekit.domain.openings.defaults import Assumption, Facts
from wholekit.domain.openings.handing import (
    hand_of,
    hinge_side_from_pull,
    pull_side,
    swing_of_hand,
)
from wholekit.domain.openings.marks import (
    BUT,
    MarkRun,
    look_alikes,
    mark_runs,
    marks_named,
    passed_over,
    plain_mark,
)
from wholekit.domain.openings.notes import active_leaf, note_findings
from wholekit.domain.openings.opening import Opening, OpeningType
from wholekit.domain.openings.stated import kind_of, read_stated, stated_of, stated_text
from wholekit.domain.openings.unasked import (
    UnaskedDoor,
    WhyUnasked,
    joined_doors,
    without_asked,
)
from wholekit.domain.openings.unclear import Unclear
from wholekit.domain.openings.words import (
    BodySide,
    Core,
    Door,
    Frame,
    Hand,
    HingeSide,
    HoldOpen,
    Location,
    Mount,
    Stop,
    Swing,
    Traffic,
)

__all__ = [
    "ANSWER_NEEDED",
    "BUT",
    "Assumption",
    "BodySide",
    "Core",
    "Door",
    "Facts",
    "Frame",
    "Hand",
    "HingeSide",
    "HoldOpen",
    "LeafDanger",
    "Location",
    "MarkRun",
    "Mount",
    "Opening",
    "OpeningType",
    "Stop",
    "Swing",
    "Traffic",
    "UnaskedDoor",
    "Unclear",
    "WhyUnasked",
    "active_leaf",
    "hand_of",
    "hinge_side_from_pull",
    "joined_doors",
    "kind_of",
    "leaf_dangers",
    "look_alikes",
    "mark_runs",
    "marks_named",
    "note_findings",
    "passed_over",
    "plain_mark",
    "pull_side",
    "read_stated",
    "stated_of",
    "stated_text",
    "swing_of_hand",
    "unclear_findings",
    "unclear_of",
    "without_asked",
]
