"""Geometry of body and arms: moment over the swing, greatest opening angle, what they strike."""

from wholekit.domain.linkage.arms import Arms, ArmsPosition, position, turn
from wholekit.domain.linkage.swing import (
    ArmsSwing,
    closing_moment_most,
    door_moment,
    greatest_moment,
    moment_factor,
    power_share,
    swing,
)
from wholekit.domain.linkage.template import (
    STANDARD_LEAF,
    Shares,
    arms_of,
    best_arms,
    can_be_set,
    check_template,
    nominal_share,
    reference_arms,
    share_of,
    shares_of,
)

__all__ = [
    "STANDARD_LEAF",
    "Arms",
    "ArmsPosition",
    "ArmsSwing",
    "Shares",
    "arms_of",
    "best_arms",
    "can_be_set",
    "check_template",
    "closing_moment_most",
    "door_moment",
    "greatest_moment",
    "moment_factor",
    "nominal_share",
    "position",
    "power_share",
    "reference_arms",
    "share_of",
    "shares_of",
    "swing",
    "turn",
]
