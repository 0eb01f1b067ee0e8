"""Findings and hints in sentences."""

from collections.abc import Mapping
from dataclasses import dataclass

from wholekit.domain.findings import Finding, Hint
from wholekit.domain.openings import BodySide
from wholekit.domain.rules import RuleBook
from wholekit.wording.force_sentences import FINDINGS as FORCE_FINDINGS
from wholekit.wording.force_sentences import HINTS as FORCE_HINTS
from wholekit.wording.force_sentences import WITHOUT
from wholekit.wording.speech import figure, tr
from wholekit.wording.words import HOSTS, KINDS, ROLES, field_name, listed, value_text

FINDINGS: dict[str, str] = {
    "accessible-may-not-latch": "Set to size {size} for an accessible route; a closer set this "
    "light may not latch reliably.",
    "angle-not-reached": "The leaf is to open to {wanted}; the widest template reaches {reached}.",
    "assumed": "Assumed where the schedule is silent: {fields}.",
    "bracket-missing": "Missing: the soffit bracket; without it a parallel arm cannot be mounted.",
    "ceiling-too-low": "The mount needs {needed} of clear height; the ceiling leaves {clearance}.",
    "cover-missing": "Missing: a cover that fits this body in the finish.",
    "delayed-action-on-fire-door": "Delayed action on a fire door: allowed only where the door "
    "is self-closing, never with a release hold-open.",
    "discontinued": "{sku} is discontinued; {on_hand} on hand.",
    "egress-force-limit": "If this is an egress door: {limit}, {allowed} {unit}; opening takes "
    "{force} {unit} as set{with_pressure}.",
    "fastener-missing": "Missing: {quantity} × {role} that holds here ({kinds}).",
    "fastener-wrong-host": "{sku} brings {kind} for {part}, which takes {kinds}.",
    "feature-unavailable": "No body that would serve has {feature}; the kit is shown without it.",
    "finish-mixed": "What shows is in more than one finish: {finishes}.",
    "finish-unavailable": "Not to be had complete in finish {finish}; shown in {near_as}{nearest}"
    "{same_look}.",
    "fire-door-needs-latching": "Fire door, {minutes} min: it must close by itself and latch "
    "positively{both}. This kit is the closer only; its fasteners must be those of the door's "
    "listing.",
    "finish-wrong": "What shows is in finish {shown}; the opening asks for {finish}.",
    "force-over-limit": "Size {size} is over the force limit of an accessible interior door; it "
    "would have to be set to size {most} or less.",
    "hand-conflict": "Hand {hand} means a leaf that {implied}; the schedule says it {swing}.",
    "hand-wrong": "{sku} brings a body for hinges at the {brought}, seen from the pull side; this "
    "opening needs one for the {needed}.",
    "hand-unknown": "The body or arm is handed and the hand is not known; the kit is shown for "
    "hinges at the left, seen from the pull side.",
    "head-face-short": "The head's face is {room} high; the template needs {takes}, and no plate "
    "makes up for it.",
    "hold-open-on-fire-door": "A hold-open arm must not be on a fire door ({minutes} min).",
    "latch-power-short": "Size {required} is required or asked for; set to size {size} to stay "
    "within the accessible limit, it may not latch. The two needs exclude each other here.",
    "leaf-too-heavy": "A leaf of {weight} is beyond the largest size of the tables.",
    "mount-conflict": "A {mount} mount works on the {needs}; the schedule puts the closer on the "
    "{side}.",
    "no-body-for-mount": "No body in the catalogues or the series asked for is made for {mount}.",
    "not-fire-listed": "No closer listed for fire doors is left ({minutes} min label).",
    "pair-needs-coordinator": "A fire-rated pair: with an overlapping astragal it needs a "
    "coordinator so that the leaves close in order.",
    "piece-missing": "Missing: {quantity} × {role} that fits.",
    "piece-surplus": "{sku}: {quantity} more than the opening needs.",
    "piece-wrong": "{sku} brings a {role} that does not go with this body and mount.",
    "release-device-apart": "Held open by a release device, which is not part of this kit.",
    "reveal-too-deep": "The reveal is {reveal} deep; the arms of this series serve {most}.",
    "series-wrong": "The schedule asks for series {series}; the kit brings a body of {brought}.",
    "series-unknown": "No series {series} in the catalogues; they have {known}.",
    "short-stock": "{sku}: {needed} needed, {on_hand} on hand; {lead_days} days to get more.",
    "size-next-used": "Size {required} is required; the fixed body of the next size, {size}, is "
    "used.",
    "size-out-of-range": "No size is given for a leaf {width} wide ({location}); it is beyond the "
    "tables.",
    "size-too-large": "Size {wanted} is required; this body gives {smallest} at least, more than "
    "the rule book allows above it.",
    "size-too-small": "Size {wanted} is required; no more than {largest} is asked for, brought or "
    "sold.",
    "stop-needed": "The leaf is to open to {wanted}; the arm lets it go to {reached}.",
    "through-bolt-length": "No through-bolt is sold for a leaf {thickness} thick{sleeve}.",
    "top-rail-short": "The top rail is {room} high; the template needs {takes}, and no plate makes "
    "up for it.",
    "weather-side-body": "The closer would be on the weather side ({side}) of an exterior door "
    "that {swing}.",
    "weight-estimated": "Leaf weight not given; estimated at {weight} from size and material "
    "({door}).",
    "weight-implausible": "A weight of {given} is less than the face sheets alone weigh ({least}).",
}
HINTS: dict[str, str] = {
    "accept-finish": "Agree finish {nearest} with the customer, or order the finish asked for.",
    "add-door-stop": "Add a door stop that holds the leaf at {wanted}.",
    "add-piece": "Add {quantity}: {role}.",
    "add-to-catalog": "Buy it elsewhere, or add an item that supplies a {role} to the price book.",
    "adjustable-body": "Choose an adjustable body that can be set to size {most} or less.",
    "ask-authority": "Ask the authority having jurisdiction and the listing of the door.",
    "ask-egress": "Ask whether it is on a means of egress; it would then have to be set lighter, "
    "and might not latch.",
    "ask-hand": "Ask for the hand (LH, RH, LHR or RHR, read from the outside).",
    "ask-maker": "Ask the maker, or have a floor closer or power operator designed.",
    "ask-weight": "Ask for the leaf's weight.",
    "check-latching": "Check latch, frame, hinges, seals and label; the listing and the authority "
    "having jurisdiction decide.",
    "check-latching-gauge": "Check latching and opening force with a gauge once fitted; less "
    "draught, a free latch or a power operator are the ways out.",
    "choose-series": "Choose another series, or leave the series open.",
    "confirm-assumed": "Confirm with the customer before ordering.",
    "coordinator": "Check the meeting edge; add a coordinator where an astragal overlaps.",
    "hand-or-swing": "Correct the hand or the swing in the schedule.",
    "exchange-hand": "Exchange it for the body for hinges at the {needed}.",
    "match-host": "Replace by {kinds}.",
    "mount-or-side": "Ask for the {needs}, or for another mount than {mount}.",
    "no-delayed-action": "Leave out delayed action, or the release hold-open.",
    "one-finish": "Take all that shows in one finish; the opening asks for {finish}.",
    "one-series": "Exchange it for a body of series {series}.",
    "order-or-swap": "Order {short}, or choose a kit from stock.",
    "order-through-bolts": "Order through-bolts for a leaf {thickness} thick.",
    "other-mount": "Try another mount, or ask the maker for a template.",
    "release": "Add a listed release device that lets go on smoke detection or loss of power.",
    "remove-piece": "Take it out of the kit.",
    "replace-item": "Use {replaced_by} instead.",
    "size-as-required": "Use size {required}.",
    "use-parallel": "Use a parallel arm, which a deep reveal does not hinder.",
    "use-release": "Use a release device that lets go on smoke detection or loss of power.",
    "use-room-side": "Mount it on the {side} side.",
}


@dataclass(frozen=True, slots=True)
class FindingText:
    """A finding as a person reads it: sentence, source line and way out (empty if none)."""

    code: str
    severity: str
    text: str
    source: str
    hint: str


def say_finding(finding: Finding, rules: RuleBook) -> FindingText:
    """A finding in words, with the source of its rule."""
    return FindingText(
        finding.code,
        finding.severity.value,
        _fill(_sentence(finding.code, FORCE_FINDINGS, FINDINGS, finding.fields), finding.fields),
        "" if finding.rule is None else tr(rules.source(finding.rule)),
        "" if finding.hint is None else say_hint(finding.hint),
    )


def say_hint(hint: Hint) -> str:
    """A way out, in words."""
    if hint.code == "replace-item" and not hint.fields.get("replaced_by"):
        return tr(NO_REPLACEMENT)
    return _fill(_sentence(hint.code, FORCE_HINTS, HINTS, hint.fields), hint.fields)


def _sentence(
    code: str,
    force: Mapping[str, str],
    plain: Mapping[str, str],
    fields: Mapping[str, object],
) -> str:
    """The sentence of a code; a few codes are said one way by the tables, another by forces."""
    variant = _variant(code, fields)
    if variant is not None:
        return variant
    if code in plain and code in force:
        return plain[code] if _fits(plain[code], fields) else force[code]
    return plain[code] if code in plain else force[code]


def _fits(sentence: str, fields: Mapping[str, object]) -> bool:
    try:
        _fill(sentence, fields)
    except KeyError:
        return False
    return True


# Said another way where a field of the finding makes the plain sentence untrue or clumsy.
PARALLEL_BEYOND = (
    "A parallel arm asks one size more than {interior} by the table, and there is none; regular "
    "arm or top jamb would do with {interior}."
)
BEYOND_PAIR = (
    "No size is given for a leaf {width} wide ({location}); it is beyond the tables. The size of a "
    "pair is one leaf's."
)
NO_REPLACEMENT = "Choose another item; none is named as its replacement."
NOT_NEAR = "another, none being near: "
PUSH_OR_PULL = {"push": "push", "pull": "pull"}
NO_PRESSURE = "{limit}: {allowed} {unit}. Opening takes {force} {unit}{unchecked}."


def _variant(code: str, fields: Mapping[str, object]) -> str | None:
    if code == "size-out-of-range" and fields.get("interior") is not None:
        return PARALLEL_BEYOND
    if code == "size-out-of-range" and fields.get("leaves") == 2:
        return BEYOND_PAIR
    if code == "force-over-limit" and fields.get("pressure_force") == "0.0":
        return NO_PRESSURE
    return None


def _fill(sentence: str, fields: Mapping[str, object]) -> str:
    words = {name: _word(name, value) for name, value in fields.items()}
    words["both"] = tr(", both leaves") if fields.get("leaves") == 2 else ""
    pressure = fields.get("pressure_force", "0.0")
    words["with_pressure"] = (
        ""
        if pressure == "0.0"
        else tr(", {pressure} of it from the pressure if it holds the leaf shut").format(
            pressure=figure(str(pressure))
        )
    )
    without = fields.get("without")
    words["unchecked"] = f", {without_text(without)}" if without else ""
    words["same_look"] = tr(", the same look on another base metal") if fields.get("alike") else ""
    words["near_as"] = tr("the nearest, ") if fields.get("near") else tr(NOT_NEAR)
    words["sleeve"] = tr(" with spacer sleeves") if fields.get("sleeved") else ""
    return tr(sentence).format_map(words)


def without_text(unchecked: object) -> str:
    """`without seals or latch`: what a force or a margin does not contain, empty if it has all."""
    said = tuple(unchecked) if isinstance(unchecked, tuple | list) else ()
    return tr(WITHOUT[said]) if said else ""


def _word(name: str, value: object) -> str:
    if name in ("wanted", "reached") and isinstance(value, float):
        return figure(f"{value:g}°")
    if name == "role":
        return tr(ROLES[value]) if value in ROLES else str(value)  # type: ignore[index]
    if name == "kind":
        return tr(KINDS[value]) if value in KINDS else str(value)  # type: ignore[index]
    if name == "kinds" and isinstance(value, tuple | list):
        named = listed([tr(KINDS.get(kind, str(kind))) for kind in value], "or")
        return named or tr("none known")
    if name == "fields" and isinstance(value, tuple):
        return listed([field_name(str(field)) for field in value])
    if name == "feature":
        return field_name(str(value))
    if name == "part" and value in HOSTS:
        return tr(HOSTS[str(value)])
    if name == "side" and not isinstance(value, BodySide):
        return tr(PUSH_OR_PULL[str(value)])
    if name == "without":
        return without_text(value)
    if name == "limit":
        return tr(str(value))
    if isinstance(value, tuple | list):
        return listed([str(part) for part in value])
    return value_text(name, value)
