"""Every finding explained: meaning, severity, source and remedy; the reference is made from it."""

from dataclasses import dataclass

from wholekit.domain.rules import RuleBook
from wholekit.wording.sources import rule_source


@dataclass(frozen=True, slots=True)
class Entry:
    """One finding code. severities as they may occur; rule: the rule book id behind it, or none."""

    meaning: str
    severities: tuple[str, ...]
    rule: str
    remedy: str


_CATALOG = "Buy the piece elsewhere, or add an item that supplies it to the price book."
_ASK = "Ask the customer; state it in the schedule."
GUIDE: dict[str, Entry] = {
    "accessible-may-not-latch": Entry(
        "The closer is set light for an accessible route.",
        ("note",),
        "accessible-may-not-latch",
        "Try latching and opening force with a gauge once fitted.",
    ),
    "angle-not-reached": Entry(
        "No template of the chosen body lets the leaf open as far as asked.",
        ("stop",),
        "",
        "Ask for a series that reaches nearer, try another mount, or settle for less.",
    ),
    "answer-needed": Entry(
        "Fire label, accessibility or egress is written, but could mean several things (`B`, `X`, "
        "`TBD`; two columns that differ). The opening is worked under the harshest of them, stands "
        "in no firm total, and its label and card say HOLD.",
        ("stop",),
        "",
        "Ask, then state the value (`job edit … fire_minutes=90`); it cannot be released.",
    ),
    "assumed": Entry(
        "House defaults stood in for what the schedule leaves open; all are listed.",
        ("note",),
        "",
        _ASK,
    ),
    "body-too-light": Entry(
        "The body is not made for its place: duty, BHMA grade (US), corrosion grade (EN) or "
        "backcheck. A stop where the schedule states grade or traffic.",
        ("stop", "warn"),
        "duty-by-place",
        "Choose a series made for the place.",
    ),
    "bracket-missing": Entry(
        "A parallel arm without a soffit bracket that fits.", ("stop",), "joints-by-mount", _CATALOG
    ),
    "ceiling-too-low": Entry(
        "The mount needs more clear height than the ceiling leaves.",
        ("stop",),
        "",
        "Try another mount.",
    ),
    "corrosion-coast": Entry(
        "Fit for outside, but not for the coast or a pool, where EN 1154 is the basis.",
        ("note",),
        "corrosion-by-place",
        "Ask whether the door stands on the coast or by a pool.",
    ),
    "cover-missing": Entry(
        "The body is made to be covered and no cover fits in the finish.", ("stop",), "", _CATALOG
    ),
    "delayed-action-on-fire-door": Entry(
        "Delayed action on a fire door; with a release hold-open it is not allowed.",
        ("stop", "warn"),
        "fire-delayed-action",
        "Leave it out, or ask the authority having jurisdiction.",
    ),
    "discontinued": Entry(
        "An item of the kit is no longer made; it is taken from what is on hand.",
        ("warn",),
        "",
        "Use its replacement where one is named.",
    ),
    "egress-force-limit": Entry(
        "Opening would take more than the limit for an egress door; nothing says it is one. What a "
        "body that can be turned down costs beside the kit is told.",
        ("warn",),
        "limit-ibc-interior",
        "Ask whether the door is on a means of egress.",
    ),
    "fastener-missing": Entry(
        "No fastener is sold that holds in this leaf or frame.",
        ("stop",),
        "fasteners-by-host",
        _CATALOG,
    ),
    "fastener-wrong-host": Entry(
        "A hand-made kit brings screws that do not hold in this leaf or frame. A warning where "
        "they come in one set with others that do.",
        ("stop", "warn"),
        "fasteners-by-host",
        "Replace them by the kind named.",
    ),
    "feature-missing": Entry(
        "The body of a hand-made kit lacks a feature the schedule asks for.",
        ("stop",),
        "",
        "Exchange the body for one that has it.",
    ),
    "feature-unavailable": Entry(
        "No body that would serve has the feature asked for; the kit is shown without.",
        ("stop",),
        "",
        "Choose another series, or do without.",
    ),
    "finish-dearer": Entry(
        "The finish asked for is plated and much dearer than its painted match.",
        ("note",),
        "finish-dearer",
        "Ask whether the painted match will do.",
    ),
    "finish-mixed": Entry(
        "What shows of a hand-made kit is in more than one finish.",
        ("stop",),
        "",
        "Take all of it in one finish.",
    ),
    "finish-unavailable": Entry(
        "The kit is not to be had whole in the finish; it is shown in the nearest. A warning where "
        "the look is the same.",
        ("stop", "warn"),
        "",
        "Agree the nearest finish, or order the one asked for.",
    ),
    "fire-size-recommended": Entry(
        "A larger size is recommended for this fire door in the US; told with its price.",
        ("warn",),
        "fire-size-advised",
        "Offer the size recommended; the maker's advice prevails.",
    ),
    "finish-wrong": Entry(
        "What shows of a hand-made kit is in another finish than asked.",
        ("stop",),
        "",
        "Exchange it.",
    ),
    "fire-door-least-force": Entry(
        "An accessible fire door: no figure limits the force, the authority does.",
        ("note",),
        "limit-fire-least",
        "Ask the authority having jurisdiction.",
    ),
    "fire-door-needs-latching": Entry(
        "A fire door: the closer alone does not complete it.",
        ("warn",),
        "fire-self-closing-latching",
        "Check latch, frame, hinges, seals and label against the listing.",
    ),
    "fire-moment-short": Entry(
        "A fire door's closer gives less than size 3's least moment on the fitted door; a stop "
        "where its size cannot give it at all in this mount.",
        ("stop", "warn"),
        "fire-moment-least",
        "The size named, or the maker's own figure for the mount.",
    ),
    "fixed-size-accessible": Entry(
        "A body of fixed size on an accessible US fire door, whose force the authority sets.",
        ("warn",),
        "limit-fire-least",
        "Offer an adjustable body; its price is told.",
    ),
    "force-not-known": Entry(
        "A force limit that holds, and no moment to hold against it.",
        ("note",),
        "limit-uk-to-60",
        "Ask the maker for the moment from 30° to 60°, or measure it.",
    ),
    "force-over-limit": Entry(
        "Opening takes more force than a limit allows, or the body cannot be set within it.",
        ("stop", "warn", "note"),
        "limit-ada-interior",
        "Choose an adjustable body or a more efficient one, less pressure, or an operator.",
    ),
    "force-unchecked": Entry(
        "A force held against an accessible limit contains neither seals nor latch.",
        ("note",),
        "seal-force-usual",
        "State the forces of seals and latch, and measure on the hung door.",
    ),
    "hand-conflict": Entry(
        "Hand and swing of the schedule contradict each other.",
        ("stop",),
        "",
        "Correct the one or the other.",
    ),
    "hand-wrong": Entry(
        "A hand-made kit brings a body of the other hand.", ("stop",), "", "Exchange it."
    ),
    "grade-not-counted": Entry(
        "A BHMA grade is stated where EN 1154 is the basis; it decides nothing there.",
        ("note",),
        "en-basis-jurisdictions",
        "State the traffic instead, or the place whose standard counts.",
    ),
    "hand-unknown": Entry(
        "A handed piece is needed and the hand is not known.", ("stop",), "", _ASK
    ),
    "head-face-short": Entry(
        "The frame head is lower than the template needs, and no plate makes up for it.",
        ("stop",),
        "",
        "Try another mount, or ask the maker for a plate.",
    ),
    "hold-open-on-fire-door": Entry(
        "A hold-open arm on a fire door: asked for and left out of the kit, or put in by hand.",
        ("stop",),
        "fire-no-hold-open",
        "Use a device that releases on smoke detection or loss of power.",
    ),
    "holes-covered": Entry(
        "No body on the old holes would do as well; a plate carries the body and hides them.",
        ("note",),
        "holes-tolerance",
        "Fill the old holes as the listing of door and frame allows.",
    ),
    "holes-differ": Entry(
        "The old holes (`existing_holes`) do not fit the kit, and nothing on them would do as "
        "well: new holes are drilled. The nearest patterns are told, and how far each spacing is "
        "off.",
        ("warn",),
        "holes-tolerance",
        "Fill the old holes as the listing of door and frame allows, or choose a body that has "
        "them (`wholekit catalog holes`).",
    ),
    "holes-reused": Entry(
        "The body, or a plate that carries it, fits the old holes. A warning where it does so only "
        "with length and height exchanged.",
        ("note", "warn"),
        "holes-tolerance",
        "Measure on site that they lie where the template puts them, and still hold a screw.",
    ),
    "label-unusual": Entry(
        "A fire label longer than is usual for the leaf's construction; no verdict.",
        ("warn",),
        "labels-usual",
        "Ask for the listing.",
    ),
    "latch-power-short": Entry(
        "The closer may not latch: set light for access, or too weak against the pressure.",
        ("stop", "warn"),
        "en1154-table-1",
        "A larger size, less pressure, or an operator; try it with a gauge.",
    ),
    "leaf-tall": Entry(
        "An unusually tall leaf in US practice, whose chart goes by width alone.",
        ("note",),
        "tall-leaf",
        "Ask for the leaf's weight.",
    ),
    "leaf-too-heavy": Entry(
        "The leaf's mass is beyond the largest size.",
        ("stop",),
        "en1154-table-1",
        "Ask the maker, or have another closing device designed.",
    ),
    "limit-excludes-latching": Entry(
        "The force limit leaves less power than latching against the pressure takes.",
        ("stop",),
        "limit-ada-interior",
        "Less pressure, a vestibule, or an operator for the architect to decide.",
    ),
    "limit-on-condition": Entry(
        "A higher limit would be kept, on a condition that only the customer can tell.",
        ("note",),
        "limit-ca-exterior-powered",
        "Ask whether one of every eight leaves at that place is powered.",
    ),
    "limit-unread-for-fire": Entry(
        "A limit of accessible exterior doors; whether it covers fire doors has not been read. The "
        "closer of a fire door is set no lighter for it.",
        ("warn", "note"),
        "limit-or-exterior",
        "Ask the authority having jurisdiction.",
    ),
    "mount-conflict": Entry(
        "The mount asked for works on the other side than the one asked for.",
        ("stop",),
        "joints-by-mount",
        "Change the mount or the side.",
    ),
    "holes-near-edge": Entry(
        "By the template's rows and the rail or head as stated, or as assumed, holes of body or "
        "plate come nearer its edge than is sound. The row at the leaf's top, or the head's foot, "
        "is the maker's and not judged.",
        ("warn",),
        "hole-edge-distance",
        "Ask for the height; choose another mount or series, or ask the maker for a plate.",
    ),
    "mount-in-doubt": Entry(
        "A hand-made kit whose opening states no mount might be meant for another than it is "
        "taken for: there it is complete, or lacks one item. A note where the kit lacks nothing "
        "as taken.",
        ("warn", "note"),
        "",
        "State the mount in the schedule.",
    ),
    "no-body-for-mount": Entry(
        "No body in the catalogues, or in the series asked for, is made for the mount.",
        ("stop",),
        "",
        "Try another mount or series.",
    ),
    "not-fire-listed": Entry(
        "No closer listed for fire doors is left, or a hand-made kit brings closer or pieces that "
        "are not listed: one finding names them all.",
        ("stop",),
        "fire-listed-closer",
        "Choose a listed series, or exchange the set.",
    ),
    "mark-several": Entry(
        "A mark such as `124-126` or `C10 thru C14` that reads like several openings, where as "
        "many are not asked for. It may as well be one name.",
        ("warn",),
        "",
        "State the quantity, write a row for each, or leave it if it is one opening's name.",
    ),
    "note-asks-piece": Entry(
        "A note names a piece that is put into no kit: a door stop, a holder, a threshold, hinges, "
        "a lock. Nothing is priced for it, and the quote's front says so.",
        ("warn",),
        "note-pieces",
        "Ask whether it is to be quoted, as an extra line; leave it if the note only describes.",
    ),
    "note-piece-apart": Entry(
        "A note says that a door stop is there or comes from others. It is not quoted, and what "
        "stops the leaf is not asked.",
        ("note",),
        "note-pieces",
        "",
    ),
    "note-wish": Entry(
        "A part of a note is about the closer and says nothing that a column holds: `heavy duty "
        "arm`. So are cells of a sheet's columns that were set aside.",
        ("warn",),
        "note-words",
        "Ask what is wanted, set it by its column or by hand, and take it out of the note.",
    ),
    "pair-active-unknown": Entry(
        "Nothing says which leaf of a pair is active.",
        ("note",),
        "",
        "Ask; state the hand, which is the active leaf's, or say in the note `right leaf active`.",
    ),
    "pair-swing-unknown": Entry(
        "Nothing says which way the leaves of a pair swing.",
        ("warn",),
        "",
        "Ask; state the swing, or the hand of the active leaf.",
    ),
    "note-says-more": Entry(
        "A note mentions what a column should say, and the column is empty or says otherwise. "
        "Nothing is read from a note; each opening is told for itself.",
        ("warn",),
        "note-words",
        "Fill the column, or leave it and go on if the note means something else.",
    ),
    "pair-needs-coordinator": Entry(
        "A fire-rated pair whose leaves must close in order.",
        ("warn",),
        "pair-coordinator",
        "Check the meeting edge; add a coordinator where an astragal overlaps.",
    ),
    "parallel-arm-loses": Entry(
        "An exterior parallel arm: the leaf gets about a size less; the next size is offered.",
        ("note",),
        "",
        "Offer the next size.",
    ),
    "piece-missing": Entry("A piece of the kit is not sold.", ("stop",), "", _CATALOG),
    "piece-surplus": Entry(
        "A hand-made kit holds more than the opening needs.", ("warn",), "", "Take it out."
    ),
    "piece-wrong": Entry(
        "A hand-made kit holds a piece that does not go with its body and mount.",
        ("stop",),
        "",
        "Exchange it.",
    ),
    "release-device-apart": Entry(
        "Held open by a release device, which is not part of the kit.",
        ("warn", "note"),
        "fire-hold-open",
        "Add a listed release device.",
    ),
    "reveal-too-deep": Entry(
        "The reveal is deeper than the longest arm serves.",
        ("stop",),
        "",
        "Use a parallel arm, which a deep reveal does not hinder.",
    ),
    "series-wrong": Entry(
        "A hand-made kit brings a body of another series than asked.", ("stop",), "", "Exchange it."
    ),
    "series-unknown": Entry(
        "The catalogues have no such series.", ("stop",), "", "Choose one of those named."
    ),
    "short-stock": Entry(
        "The shelf lacks some of an item the job takes.",
        ("warn",),
        "",
        "Order it, or choose a kit from stock.",
    ),
    "size-held-for-exit": Entry(
        "A larger size would latch, but passes a limit of exits that no closer of it could keep, "
        "and the schedule does not say whether the opening is one.",
        ("warn",),
        "limit-ibc-swing",
        "State egress.",
    ),
    "size-held-to-limit": Entry(
        "The size asked for is over the force limit; the closer is set to what the limit allows.",
        ("warn",),
        "",
        "Leave the size open, or ask whether the limit holds.",
    ),
    "size-next-used": Entry(
        "A fixed body one size above the required one is used.", ("note",), "fixed-size-next", ""
    ),
    "size-out-of-range": Entry(
        "The leaf is wider than the tables go.",
        ("stop",),
        "us-width-interior",
        "Ask the maker.",
    ),
    "size-too-large": Entry(
        "A hand-made kit's body, or the size asked for, is more than the rule book allows above "
        "the required size.",
        ("stop", "warn"),
        "fixed-size-next",
        "Take the size required.",
    ),
    "size-too-small": Entry(
        "The size asked for, brought or sold is less than the required one.",
        ("stop",),
        "size-combination",
        "Take the size required.",
    ),
    "standard-differs": Entry(
        "The kit is of a series that does not claim the standard usual at the place.",
        ("note",),
        "",
        "Ask whether the specification accepts it.",
    ),
    "standard-not-claimed": Entry(
        "No series claims EN 1154, by which doors are sized at the place.",
        ("stop",),
        "en-basis-jurisdictions",
        "Add a catalogue of such a series.",
    ),
    "stop-needed": Entry(
        "The arm lets the leaf open further than asked.",
        ("note",),
        "",
        "Add a door stop.",
    ),
    "through-bolt-length": Entry(
        "No through-bolt is sold for the leaf's thickness, or none with sleeves.",
        ("stop",),
        "through-bolt-sleeves",
        "Order through-bolts of the length.",
    ),
    "top-rail-short": Entry(
        "The top rail is lower than the template needs, and no plate makes up for it.",
        ("stop",),
        "",
        "Try another mount, or ask the maker for a plate.",
    ),
    "weather-side-body": Entry(
        "The closer would hang on the weather side of an exterior door.",
        ("warn",),
        "room-side",
        "Mount it on the room side.",
    ),
    "weight-estimated": Entry(
        "The leaf's weight is not given and was estimated.", ("note",), "leaf-weights", _ASK
    ),
    "weight-may-raise": Entry(
        "An estimated weight would be a larger size by EN 1154's mass column; it raises nothing.",
        ("note",),
        "us-mass-measure",
        _ASK,
    ),
    "wind-needs-stop": Entry(
        "An exterior leaf that swings out in wind.",
        ("warn",),
        "wind-needs-stop",
        "Add a door stop or a stop arm.",
    ),
    "weight-implausible": Entry(
        "A hollow metal leaf said to weigh less than its face sheets alone.",
        ("warn",),
        "face-sheets-alone",
        _ASK,
    ),
}


def guide_page(rules: RuleBook) -> str:
    """The reference of all findings as Markdown."""
    lines = [
        "# Findings",
        "",
        "What `wholekit kit`, `check-kit` and the papers may say of an opening. `stop`: somebody",
        "must decide before the kit goes out (status 1); `warn`: check; `note`: know.",
        "",
        "<!-- generated: python -m wholekit.cli.reference -->",
    ]
    for code, entry in GUIDE.items():
        source = rule_source(rules, entry.rule) if entry.rule else "the catalogue or the schedule"
        rule = f" (rule `{entry.rule}`)" if entry.rule else ""
        lines += [
            "",
            f"## `{code}`",
            "",
            f"{entry.meaning} Severity: {' or '.join(entry.severities)}.",
            "",
            f"Source: {source}{rule}.",
        ]
        if entry.remedy:
            lines += ["", f"Remedy: {entry.remedy}"]
    return "\n".join(lines) + "\n"
