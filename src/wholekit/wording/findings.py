"""Findings and hints in sentences."""

from collections.abc import Mapping
from dataclasses import dataclass

from wholekit.domain.findings import Finding, Hint
from wholekit.domain.openings import BodySide, read_stated
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook
from wholekit.wording import hole_edges, old_holes
from wholekit.wording.force_sentences import (
    BEATEN,
    EXCLUDES_STILL,
    LATCH_SHORT_ALONE,
    LATCH_SHORT_STILL,
    WITHOUT,
)
from wholekit.wording.force_sentences import FINDINGS as FORCE_FINDINGS
from wholekit.wording.force_sentences import HINTS as FORCE_HINTS
from wholekit.wording.makers import BESIDE_SERIES, series_title, series_titles
from wholekit.wording.offered import offered_text
from wholekit.wording.openings import feet_inches
from wholekit.wording.sources import rule_source
from wholekit.wording.speech import figure, quoted, spoken_locale, tr
from wholekit.wording.units import in_customary, in_newtons, metric_in_use
from wholekit.wording.words import BESIDE, HOSTS, KINDS, ROLES, field_name, listed, value_text

FINDINGS: dict[str, str] = {
    "accessible-may-not-latch": "Set to size {size} for an accessible route; a closer set this "
    "light may not latch reliably.",
    "answer-needed": "The schedule says “{written}” for {question}, which may mean {several}. "
    "Worked as {worked_as} until somebody answers; another answer may change kit, price and stops. "
    "Not for order.",
    "angle-not-reached": "The leaf is to open to {wanted}; the nearest template of any "
    "series for this mount reaches {reached}{of_series}.",
    "assumed": "Assumed where the schedule is silent: {fields}.",
    "body-too-light": "Series {series} is not made for this place ({location}): it lacks {lacks}.",
    "bracket-missing": "Missing: the soffit bracket; without it a parallel arm cannot be mounted.",
    "ceiling-too-low": "The mount needs {needed} of clear height; the ceiling leaves {clearance}.",
    "corrosion-coast": "Corrosion grade {grade} does outside; on the coast or by a pool it should "
    "be {wanted_grade} (EN 1670).",
    "cover-missing": "Missing: a cover that fits this body in the finish.",
    "delayed-action-on-fire-door": "Delayed action on a fire door: allowed only where the door "
    "is self-closing, never with a release hold-open.",
    "discontinued": "{sku} is discontinued; {on_hand} on hand.",
    "egress-force-limit": "If this is an exit: at most {allowed} {unit}; opening takes {force} "
    "{unit} as set{with_pressure}.{offered}",
    "fastener-missing": "Missing: {quantity} × {role} that holds here ({kinds}).",
    "fastener-wrong-host": "{sku} brings {kind} for {part}, which takes {kinds}.",
    "feature-missing": "This kit's body lacks what the schedule asks for: {feature}.",
    "feature-unavailable": "No body that would serve has {feature}; the kit is shown without it.",
    "finish-dearer": "In finish {finish} the kit costs much more than in the painted match, "
    "{match}.{offered}",
    "finish-mixed": "What shows is in more than one finish: {finishes}.",
    "finish-unavailable": "No complete kit is made in finish {finish}; the one listed is in finish "
    "{nearest}{near_as}{same_look}.",
    "fire-door-needs-latching": "Fire door, {minutes} min: it must close by itself and latch "
    "positively{both}. This kit is the closer only; its fasteners must be those of the door's "
    "listing.",
    "fire-size-recommended": "For this fire door size {advised} is recommended; the kit is of size "
    "{size}.{offered}",
    "finish-wrong": "What shows is in finish {shown}; the opening asks for {finish}.",
    "fixed-size-accessible": "The body is of fixed size {size}: the least force the authority "
    "allows cannot be set on it.{offered}",
    "force-over-limit": "Size {size} is over the force limit of {limited_door}; it would have to "
    "be set to size {most} or less.",
    "hand-conflict": "Hand {hand} means a leaf that {implied}; the schedule says it {swing}.",
    "hand-wrong": "{sku} brings a body for hinges at the {brought}, seen from the pull side; this "
    "opening needs one for the {needed}.",
    "grade-not-counted": "BHMA grade {grade} is stated, but {standard} is the basis here: the "
    "grade does not count.",
    "hand-unknown": "The body or arm is handed and the hand is not known; the kit is shown for "
    "hinges at the left, seen from the pull side.",
    "head-face-short": "The head's face is {room} high; the template needs {takes}, and no plate "
    "makes up for it.",
    "hold-open-on-fire-door": "A hold-open arm must not be on a fire door ({minutes} min): a "
    "fire door must close by itself.",
    "label-unusual": "A label of {minutes} min is unusual for this leaf ({construction}); {usual}.",
    "latch-power-short": "Size {required} is needed; set to size {size} to stay within the force "
    "limit, it may not latch.",
    "leaf-tall": "The leaf is taller than {limit}; US practice sizes by width alone, EN 1154 would "
    "take a larger size.",
    "leaf-too-heavy": "A leaf of {weight} is beyond the largest size of the tables.",
    "mount-in-doubt": "Taken as a kit for {mount}; for {other} it is complete.",
    "mount-conflict": "A {mount} mount works on the {needs}; the schedule puts the closer on the "
    "{side}.",
    "no-body-for-mount": "No body in the catalogs or the series asked for is made for {mount}.",
    "not-fire-listed": "No closer listed for fire doors is left ({minutes} min label).",
    "pair-needs-coordinator": "A fire-rated pair: with an overlapping astragal it needs a "
    "coordinator so that the leaves close in order.",
    "parallel-arm-loses": "On a parallel arm the leaf gets about {share} % of the closer's moment, "
    "about a size less.{offered}",
    "piece-missing": "Missing: {quantity} × {role} that fits.",
    "piece-surplus": "{sku}: {quantity} more than the opening needs.",
    "piece-wrong": "{sku} brings a {role} that does not go with this body and mount.",
    "release-device-apart": "Held open by a release device, which is not part of this kit"
    "{closing_within}.",
    "reveal-too-deep": "The frame's reveal is {reveal} deep; the arms of this closer "
    "reach over {most} at most.",
    "series-wrong": "The schedule asks for series {series}; the kit brings a body of {brought}.",
    "series-unknown": "No series {series} in the catalogs; they have {known}.",
    "short-stock": "{sku}: {needed} needed, {on_hand} on hand; {lead_days} working days to "
    "get more.",
    "size-held-for-exit": "Size {latching} would latch; it is held to {size}, since no closer of "
    "that size could keep the limits of an exit, and nobody has said that the opening is none.",
    "size-held-to-limit": "Size {asked} is asked for; the force limit holds it to {size}.",
    "size-next-used": "Size {required} is required; a body of the next size, {size}, is used.",
    "size-out-of-range": "No size is given for a leaf {width} wide ({location}); it is beyond the "
    "tables.",
    "size-too-large": "Size {wanted} is required; this body gives {smallest} at least, more than "
    "the rule book allows above it.",
    "size-too-small": "Size {wanted} is required; no more than {largest} is asked for, brought or "
    "sold.",
    "standard-differs": "Series {series} does not claim {standard}, the standard usual here.",
    "standard-not-claimed": "No series left claims {standard}, by which doors are sized here.",
    "stop-needed": "The leaf is to open to {wanted}; the arm lets it go to {reached}.",
    "through-bolt-length": "No through-bolt is sold for a leaf {thickness} thick{sleeve}.",
    "top-rail-short": "The top rail is {room} high; the template needs {takes}, and no plate makes "
    "up for it.",
    "weather-side-body": "The closer would be on the weather side ({side}) of an exterior door "
    "that {swing}.",
    "weight-estimated": "Leaf weight not given; estimated at {weight} from size and material "
    "({door}).",
    "weight-may-raise": "The estimate of {weight} would be size {by_mass} by EN 1154's mass "
    "column; size {size} stands, since an estimate never raises it.",
    "mark-several": "The mark {mark} reads like {count} openings, and the quantity is {quantity}.",
    "note-asks-piece": "The note names a piece that is in no kit and in no price here: {beside} "
    "({words}).",
    "note-piece-apart": "By the note this is there or comes from others, and is not quoted: "
    "{beside} ({words}).",
    "note-wish": "A remark is about the closer, and the kit does not take it into account: "
    "{words}.",
    "pair-active-unknown": "Nothing says which leaf of the pair is active.",
    "pair-swing-unknown": "Nothing says which way the leaves of the pair swing; the closers are "
    "worked out all the same, and may be for the wrong side.",
    "note-says-more": "The note says {words}, but {field} is {stated}.",
    "wind-needs-stop": "An exterior leaf that swings out in wind needs a door stop or a stop arm "
    "beside the closer.",
    "weight-implausible": "A weight of {given} is less than the face sheets alone weigh ({least}).",
    **hole_edges.FINDINGS,
    **old_holes.FINDINGS,
}
HINTS: dict[str, str] = {
    "accept-finish": "Agree finish {nearest} with the customer, or order the finish asked for.",
    "add-door-stop": "Add a door stop that holds the leaf at {wanted}.",
    "add-piece": "Add {quantity}: {role}.",
    "add-to-catalog": "Buy it elsewhere, or add an item that supplies a {role} to the price book.",
    "adjustable-body": "Choose an adjustable body that can be set to size {most} or less.",
    "any-one-finish": "Take all that shows in one finish.",
    "ask-active": "Ask, then state the hand of the pair, which is its active leaf's.",
    "ask-swing": "Ask, then state the swing, or the hand of the active leaf.",
    "state-wish": "Ask what is wanted, set it by its column or by hand, and take it out of the "
    "note.",
    "ask-authority": "Ask the authority having jurisdiction and the listing of the door.",
    "ask-egress": "Ask whether it is on a means of egress; it would then have to be set lighter, "
    "and might not latch.",
    "ask-hand": "Ask for the hand (LH, RH, LHR or RHR, read from the outside).",
    "ask-listing": "Ask for the listing of the door with this label.",
    "ask-pair-width": "Ask which it is: a pair of two {leaf} leaves, or one leaf {whole} wide.",
    "ask-maker": "Ask the maker, or have a floor closer or power operator designed.",
    "ask-standard": "Ask whether the specification accepts it, or have a series of the usual "
    "standard added.",
    "ask-stop": "Ask what stops the leaf: a floor or wall stop, or a stop arm of the series.",
    "ask-weight": "Ask for the leaf's weight.",
    "check-latching": "Check latch, frame, hinges, seals and label; the listing and the authority "
    "having jurisdiction decide.",
    "check-latching-gauge": "Check latching and opening force with a gauge once fitted; less "
    "draft, a free latch or a power operator are the ways out.",
    "choose-series": "Choose another series, or leave the series open.",
    "answer-field": "Ask the customer, then state {column}: {answer}.",
    "confirm-assumed": "Confirm with the customer before ordering.",
    "ask-scope": "Ask whether a closer is wanted here at all; take the opening out if not.",
    "state-quantity": "If it means several, state the quantity {count}, or write a row for each.",
    "ask-corrosion": "No column holds it: ask how the place corrodes, and take a body, arms and "
    "screws made for it.",
    "coordinator": "Check the meeting edge; add a coordinator where an astragal overlaps.",
    "fill-column": "State it in column {column} if it is so; nothing is read from a note.",
    "quote-piece": "Ask whether it is to be quoted; it would be an extra line.",
    "state-traffic": "State the traffic, which decides the duty here.",
    "hand-or-swing": "Correct the hand or the swing in the schedule.",
    "exchange-body": "Exchange the body for one that has it.",
    "exchange-listed": "Exchange it for one that is listed for fire doors.",
    "exchange-hand": "Exchange it for the body for hinges at the {needed}.",
    "heavier-body": "Choose a series made for the place, or add one to the catalogs.",
    "match-host": "Replace by {kinds}.",
    "mount-or-side": "Ask for the {needs}, or for another mount than {mount}.",
    "no-delayed-action": "Leave out delayed action, or the release hold-open.",
    "offer-size": "Offer size {size}; the maker's advice prevails.",
    "one-finish": "Take all that shows in one finish; the opening asks for {finish}.",
    "one-series": "Exchange it for a body of series {series}.",
    "order-or-swap": "Order {short}, or choose a kit from stock.",
    "order-through-bolts": "Order through-bolts for a leaf {thickness} thick.",
    "other-mount": "Try another mount, or ask the maker for a template.",
    "release": "Add a listed release device that lets go on smoke detection or loss of power.",
    "remove-piece": "Take it out of the kit.",
    "replace-item": "Use {replaced_by} instead.",
    "say-egress": "State egress: if it is no exit, size {size} is taken.",
    "size-as-required": "Use size {required}.",
    "state-mount": "State the mount in the schedule.",
    "use-parallel": "Use a parallel arm, which a deep reveal does not hinder.",
    "use-release": "Use a release device that lets go on smoke detection or loss of power.",
    "use-room-side": "Mount it on the {side} side.",
    "wider-series": "Ask for {series} in the size needed, try another mount, or settle for less.",
    **hole_edges.HINTS,
    **old_holes.HINTS,
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
        _source(finding, rules),
        "" if finding.hint is None else say_hint(finding.hint),
    )


def _source(finding: Finding, rules: RuleBook) -> str:
    """The source of a finding's rule, and of the one that stands beside it where one does."""
    beside = finding.fields.get("beside")
    cited = [finding.rule, beside if beside != finding.rule else None]
    return "; ".join(tr(rule_source(rules, str(rule))) for rule in cited if rule is not None)


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
    # Tried by filling in: the two bring other fields, and nothing else tells them apart.
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
    "pair is one leaf's: is each leaf {leaf} wide?"
)
SWING_OF_LABELED = (
    "Nothing says which way the leaves of this pair swing, and it bears a label of {minutes} min: "
    "holes on the wrong side of a labeled leaf can void its label. Not for drilling until it is "
    "known."
)
DOUBT_LACKING = "Taken as a kit for {mount}; for {other} it would lack: {roles}."
# Of a column that says nothing: `but … is not stated` gainsays the note, which states it.
NOTE_ALONE = "The note says {words}, but no column of the schedule states {field}."
NO_REPLACEMENT = "Choose another item; none is named as its replacement."
OF_SERIES = " ({series}), that of this kit {own}"
NOT_NEAR = ", which looks different"
UNLISTED = "Not listed for fire doors ({minutes} min label): {skus}."
SERIES_UNLISTED = "Series {series} is not listed for fire doors ({minutes} min label): {skus}."
RAIL_LEAST = (
    "The top rail is {room} high; the template that needs least takes {takes}{of_series}, and no "
    "plate makes up for it."
)
HEAD_LEAST = (
    "The head's face is {room} high; the template that needs least takes {takes}{of_series}, and "
    "no plate makes up for it."
)
ARM_BY_HAND = (
    "The kit has a hold-open arm ({skus}), which must not be on a fire door ({minutes} min): a "
    "fire door must close by itself."
)
# By the part of the swing that a limit of exits is for.
OF_EXITS = {
    "motion": "If this is an exit: at most {allowed} {unit} to set in motion; that takes {force} "
    "{unit} as set{with_pressure}.",
    "swing": "If this is an exit: at most {allowed} {unit} to swing fully open; that takes {force} "
    "{unit} as set.",
}
PUSH_OR_PULL = {"push": "push", "pull": "pull"}
LIGHTEST_OVER = (
    "Size {required} is needed; size {size} is the lightest this body may be set to, and still "
    "over the force limit by calculation; it may not latch."
)
HELD_BESIDE = (
    "Size {asked} is asked for, and the leaf needs {required}; the force limit holds it to {size}."
)
ACTIVE_NOTED = (
    "A note names a leaf of the pair as active, and no hand in the schedule bears it out."
)
LEAST_ROOM = {"top-rail-short": RAIL_LEAST, "head-face-short": HEAD_LEAST}
LEAD_UNKNOWN = "{sku}: {needed} needed, {on_hand} on hand; nobody states when more can be here."
LEAD_OF_A_DAY = "{sku}: {needed} needed, {on_hand} on hand; 1 working day to get more."
NO_PRESSURE = "{limit}: {allowed} {unit}. Opening takes {force} {unit}{unchecked}."


def _variant(code: str, fields: Mapping[str, object]) -> str | None:
    if code == "note-says-more" and fields.get("stated") is None:
        return NOTE_ALONE
    if code == "size-out-of-range" and fields.get("interior") is not None:
        return PARALLEL_BEYOND
    if code == "size-out-of-range" and fields.get("leaves") == 2:
        return BEYOND_PAIR
    if code == "pair-swing-unknown" and fields.get("minutes"):
        return SWING_OF_LABELED
    if code == "short-stock" and fields["lead_days"] in (0, 1):
        return LEAD_OF_A_DAY if fields["lead_days"] else LEAD_UNKNOWN
    if code == "mount-in-doubt" and not fields["complete"]:
        return DOUBT_LACKING
    if code == "egress-force-limit" and fields.get("phase") in OF_EXITS:
        return OF_EXITS[str(fields["phase"])]
    if code == "latch-power-short" and fields.get("still_over"):
        return LIGHTEST_OVER
    if code == "size-held-to-limit" and "required" in fields:
        return HELD_BESIDE
    if code == "pair-active-unknown" and fields.get("noted"):
        return ACTIVE_NOTED
    if code in LEAST_ROOM and "own" in fields:
        return LEAST_ROOM[code]
    if code == "not-fire-listed" and "skus" in fields:
        return SERIES_UNLISTED if "series" in fields else UNLISTED
    if code == "hold-open-on-fire-door" and "skus" in fields:
        return ARM_BY_HAND
    # Figures come as text, rounded already.
    if fields.get("beaten") and fields.get("pressure_pa") == "0.0":
        return LATCH_SHORT_STILL if code == "latch-power-short" else EXCLUDES_STILL
    if fields.get("beaten") and fields.get("pressure_most_pa") == "0.0":
        return LATCH_SHORT_ALONE
    if code == "force-over-limit" and fields.get("pressure_force") == "0.0":
        return NO_PRESSURE
    return old_holes.variant(code, fields)


def _fill(sentence: str, fields: Mapping[str, object]) -> str:
    message, fields = in_newtons(tr(sentence), fields)
    words = {name: _word(name, value) for name, value in fields.items()}
    if "series" in fields:
        words |= {name: series_titles(fields[name]) for name in BESIDE_SERIES if name in fields}
    width = fields.get("width")
    if fields.get("leaves") == 2 and isinstance(width, Length):
        words["leaf"] = _word("width", Length(width.nm // 2, width.unit))
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
    beaten = fields.get("beaten")
    words["against"] = tr(BEATEN[beaten]) if isinstance(beaten, tuple) and beaten else ""
    words["same_look"] = tr(", the same look on another base metal") if fields.get("alike") else ""
    words["near_as"] = tr(", the nearest to it") if fields.get("near") else tr(NOT_NEAR)
    words["offered"] = offered_text(fields)
    words |= _noted(fields)
    words |= _unclear(fields) | old_holes.words_of(fields) | hole_edges.words_of(fields)
    if "column" in fields and spoken_locale() is not None:
        # The schedule's own names of columns are English.
        words["column"] = field_name(str(fields["column"]))
    words["of_series"] = tr(OF_SERIES).format_map(words) if "own" in fields else ""
    words["limited_door"] = tr(EXIT_DOOR) if fields.get("exit") else tr(ACCESSIBLE_DOOR)
    seconds = fields.get("seconds")
    words["closing_within"] = (
        ""
        if seconds is None
        else tr("; it must start to close within {seconds} s").format_map(words)
    )
    words |= _construction(fields)
    words["sleeve"] = tr(" with spacer sleeves") if fields.get("sleeved") else ""
    return in_customary(message, fields).format_map(words)


def _noted(fields: Mapping[str, object]) -> dict[str, str]:
    """What a note says and what its column says."""
    said = fields.get("words")
    if not isinstance(said, tuple):
        return {}
    words = {"words": listed([quoted(word) for word in said])}
    if "piece" in fields:
        return {**words, "beside": tr(BESIDE[str(fields["piece"])])}
    if "column" not in fields:
        return words
    column = str(fields["column"])
    stated = value_text(column, fields["stated"])
    return {**words, "field": field_name(column), "stated": stated}


def _unclear(fields: Mapping[str, object]) -> dict[str, str]:
    """What is asked, what it may mean, and what it is worked as until somebody answers."""
    candidates = fields.get("candidates")
    if not isinstance(candidates, tuple | list):
        return {}
    column = str(fields["column"])
    said = [value_text(column, read_stated(column, str(text))) for text in candidates]
    return {
        "question": field_name(column),
        "several": listed(said, "or"),
        "worked_as": value_text(column, read_stated(column, str(fields["worked"]))),
    }


def without_text(unchecked: object) -> str:
    """`without seals or latch`: what a force or a margin does not contain, empty if it has all."""
    said = tuple(unchecked) if isinstance(unchecked, tuple | list) else ()
    return tr(WITHOUT[said]) if said else ""


EXIT_DOOR = "an exit"
ACCESSIBLE_DOOR = "an accessible door"
UNUSUAL_AT_ALL = "such leaves usually carry none"
USUAL_TO = "usual is {most} min at most"
LACKS = {
    "duty": "the duty",
    "grade": "BHMA grade {grade}",
    "backcheck": "backcheck",
    "corrosion": "corrosion grade {corrosion} of EN 1670",
}


def _construction(fields: Mapping[str, object]) -> dict[str, str]:
    """How a leaf with an unusual label is made, and what is usual for it; what a body lacks."""
    words: dict[str, str] = {}
    if "most" in fields and "door" in fields:
        core = fields.get("core")
        door = value_text("door", fields["door"])
        words["construction"] = door if core is None else f"{door}, {value_text('core', core)}"
        words["usual"] = (
            tr(USUAL_TO).format(most=fields["most"]) if fields["most"] else tr(UNUSUAL_AT_ALL)
        )
    lacks = fields.get("lacks")
    if isinstance(lacks, tuple):
        words["lacks"] = listed([tr(LACKS[str(lack)]).format_map(dict(fields)) for lack in lacks])
    return words


def _word(name: str, value: object) -> str:
    if name in ("wanted", "reached", "own") and isinstance(value, float):
        return figure(f"{value:g}°")
    if name == "role":
        return tr(ROLES[value]) if value in ROLES else str(value)  # type: ignore[index]
    if name == "roles" and isinstance(value, tuple):
        return listed([_word("role", role) for role in value])
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
    if name == "series" and isinstance(value, str):
        return series_title(value)
    if isinstance(value, tuple | list):
        return listed([str(part) for part in value])
    if name in ("leaf", "whole") and isinstance(value, Length) and not metric_in_use(value):
        return feet_inches(value)
    return value_text(name, value)
