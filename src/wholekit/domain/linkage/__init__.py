"""Geometry of body and arms: moment over the swing, greatest opening angle, what they strike."""

from wholekit.domain.linkage.arms import Arms, Position, position, turn
from wholekit.domain.linkage.swing import (
    Swing,
    door_moment,
    greatest_moment,
    moment_factor,
    power_share,
    swing,
)
from wholekit.domain.linkage.template import (
    STANDARD_LEAF,
    arms_of,
    best_arms,
    can_be_set,
    check_template,
    reference_arms,
    share_of,
)

__all__ = [
    "STANDARD_LEAF",
    "Arms",
    "Position",
    "Swing",
    "arms_of",
    "best_arms",
    "can_be_set",
    "check_template",
    "door_moment",
    "greatest_moment",
    "moment_factor",
    "position",
    "power_share",
    "reference_arms",
    "share_of",
    "swing",
    "turn",
]
