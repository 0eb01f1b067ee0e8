"""Which side the body works on, and which mounts may be tried, in order."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.duty import grade_told
from wholekit.domain.openings import BodySide, Facts, Location, Mount, Swing, swing_of_hand
from wholekit.domain.openings.notes import SWING_UNKNOWN
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import cited

# By definition: a regular arm is on the pull side, a parallel arm and a top jamb on the push side.
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
    facts: Facts, rules: RuleBook
) -> tuple[tuple[MountChoice, ...], tuple[Finding, ...]]:
    """The mounts an opening may have, best first, and what must be told of them.

    The schedule's own mount stands alone.

    The body belongs on the room side: an exterior leaf that swings out takes a push-side mount,
    one that swings in regular arm (NAVFAC criteria, rule room-side); an interior one the same by
    its hand or swing where known (rule corridor-side, from memory); where nothing is known the
    pull side, the more efficient (common practice).
    """
    findings = [*_hand_told(facts), *swing_told(facts), *grade_told(facts, rules)]
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
        findings += _weather_side_told(facts, side, rules)
        reason = Reason(
            "mount-asked", {"mount": asked_mount}, ("joints-by-mount",), (facts.why("mount"),)
        )
        # What is asked for stands, even against the weather: it is warned of, and not changed.
        return (MountChoice(asked_mount, side, reason),), tuple(findings)
    side, why_side = _side(facts, rules)
    if asked_side is not None:
        findings += _weather_side_told(facts, asked_side, rules)
    rule = f"{side}-side-mounts"
    names = rules[rule].value
    assert isinstance(names, Sequence)  # noqa: S101  # the loader keeps the value's kind
    choices = tuple(
        MountChoice(
            Mount(str(name)),
            side,
            Reason("mount-chosen", {"mount": Mount(str(name)), "side": side}, (rule,), (why_side,)),
        )
        for name in names
    )
    return choices, tuple(findings)


def _side(facts: Facts, rules: RuleBook) -> tuple[BodySide, Reason]:
    asked = facts.type.body_side
    if asked is not None:
        return asked, facts.why("body_side")
    swing = facts.swing
    if swing is None:
        side = facts.default_body_side()
        return side, facts.why("body_side")
    # So the body is inside: a leaf that swings in has its pull side there, one that swings out its
    # push side.
    side = BodySide.PULL if swing is Swing.IN else BodySide.PUSH
    outside = facts.location is Location.EXTERIOR
    rule = cited("room-side", facts, rules) if outside else "corridor-side"
    # The swing may have been read from the hand, which is then what the reader can check.
    leaf = facts.why("swing") if facts.type.hand is None else facts.why("hand")
    return side, Reason(
        "side-by-room",
        {"side": side, "swing": swing, "location": facts.location},
        (rule,),
        (leaf, facts.why("location")),
    )


def _weather_side_told(facts: Facts, side: BodySide, rules: RuleBook) -> tuple[Finding, ...]:
    swing = facts.swing
    if facts.location is not Location.EXTERIOR or swing is None:
        return ()
    weather_side = BodySide.PULL if swing is Swing.OUT else BodySide.PUSH
    if side is not weather_side:
        return ()
    return (
        Finding(
            "weather-side-body",
            Severity.WARN,
            {"side": side, "swing": swing},
            cited("room-side", facts, rules),
            Hint("use-room-side", {"side": "push" if swing is Swing.OUT else "pull"}),
        ),
    )


def _hand_told(facts: Facts) -> tuple[Finding, ...]:
    hand, swing = facts.type.hand, facts.type.swing
    if hand is None or swing is None or swing_of_hand(hand) is swing:
        return ()
    fields = {"hand": hand, "swing": swing, "implied": swing_of_hand(hand)}
    return (Finding("hand-conflict", Severity.STOP, fields, None, Hint("hand-or-swing")),)


def swing_told(facts: Facts) -> tuple[Finding, ...]:
    """The stop for a labelled pair whose swing nobody stated: of others it is only warned.

    Holes on the wrong side of a labelled leaf can void its label, and no closer covers them.
    """
    kind = facts.type
    stated = kind.leaves != 2 or kind.hand is not None or kind.swing is not None
    if stated or not kind.fire_minutes:
        return ()
    fields = {"minutes": kind.fire_minutes}
    return (Finding(SWING_UNKNOWN, Severity.STOP, fields, None, Hint("ask-swing")),)
