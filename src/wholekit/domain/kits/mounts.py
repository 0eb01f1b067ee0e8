"""Which side the body works on, and which mounts may be tried, in order."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.openings import BodySide, Facts, Location, Mount, Swing, swing_of_hand
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook

SIDE_OF_MOUNT = {
    Mount.REGULAR: BodySide.PULL,
    Mount.PARALLEL: BodySide.PUSH,
    Mount.TOP_JAMB: BodySide.PUSH,
}


@dataclass(frozen=True, slots=True)
class MountChoice:
    """A mount that may be tried, the side it works on, and why."""

    mount: Mount
    side: BodySide
    reason: Reason


def mounts_to_try(
    facts: Facts, rules: RuleBook, findings: list[Finding]
) -> tuple[MountChoice, ...]:
    """The mounts an opening may have, best first; the schedule's own mount stands alone.

    The body belongs on the room side: an exterior leaf that swings out takes a push-side mount,
    one that swings in regular arm (NAVFAC criteria, rule room-side); an interior one the same by
    its hand or swing where known (rule corridor-side, from memory); where nothing is known the
    pull side, the more efficient (common practice). Adds findings for contradictions.
    """
    _check_hand(facts, findings)
    asked_mount, asked_side = facts.type.mount, facts.type.body_side
    if asked_mount is not None:
        side = SIDE_OF_MOUNT[asked_mount]
        if asked_side is not None and asked_side is not side:
            findings.append(
                Finding(
                    "mount-conflict",
                    Severity.STOP,
                    {"mount": asked_mount, "side": asked_side, "needs": side},
                    "joints-by-mount",
                    Hint("mount-or-side", {"mount": asked_mount, "needs": side}),
                )
            )
        _check_weather_side(facts, side, findings)
        reason = Reason(
            "mount-asked", {"mount": asked_mount}, ("joints-by-mount",), (facts.why("mount"),)
        )
        return (MountChoice(asked_mount, side, reason),)
    side, why_side = _side(facts)
    if asked_side is not None:
        _check_weather_side(facts, asked_side, findings)
    rule = f"{side}-side-mounts"
    names = rules[rule].value
    assert isinstance(names, Sequence)  # noqa: S101  # the loader keeps the value's kind
    return tuple(
        MountChoice(
            Mount(str(name)),
            side,
            Reason("mount-chosen", {"mount": Mount(str(name)), "side": side}, (rule,), (why_side,)),
        )
        for name in names
    )


def _side(facts: Facts) -> tuple[BodySide, Reason]:
    asked = facts.type.body_side
    if asked is not None:
        return asked, facts.why("body_side")
    swing = facts.swing
    if swing is None:
        side = facts.default_body_side()
        return side, facts.why("body_side")
    side = BodySide.PULL if swing is Swing.IN else BodySide.PUSH
    rule = "room-side" if facts.location is Location.EXTERIOR else "corridor-side"
    leaf = facts.why("swing") if facts.type.hand is None else facts.why("hand")
    return side, Reason(
        "side-by-room",
        {"side": side, "swing": swing, "location": facts.location},
        (rule,),
        (leaf, facts.why("location")),
    )


def _check_weather_side(facts: Facts, side: BodySide, findings: list[Finding]) -> None:
    swing = facts.swing
    if facts.location is not Location.EXTERIOR or swing is None:
        return
    weather_side = BodySide.PULL if swing is Swing.OUT else BodySide.PUSH
    if side is weather_side:
        findings.append(
            Finding(
                "weather-side-body",
                Severity.WARN,
                {"side": side, "swing": swing},
                "room-side",
                Hint("use-room-side", {"side": "push" if swing is Swing.OUT else "pull"}),
            )
        )


def _check_hand(facts: Facts, findings: list[Finding]) -> None:
    hand, swing = facts.type.hand, facts.type.swing
    if hand is not None and swing is not None and swing_of_hand(hand) is not swing:
        findings.append(
            Finding(
                "hand-conflict",
                Severity.STOP,
                {"hand": hand, "swing": swing, "implied": swing_of_hand(hand)},
                None,
                Hint("hand-or-swing"),
            )
        )
