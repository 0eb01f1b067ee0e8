"""The words a person reads for the codes of the domain: one term for one thing."""

import re
from collections.abc import Iterable

from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.openings import (
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
from wholekit.domain.quantities import HolePattern, Length, Mass
from wholekit.wording.speech import figure, spoken_locale, tr, trn
from wholekit.wording.units import by, measured

ROLES = {
    Role.BODY: "closer body",
    Role.MAIN_ARM: "main arm",
    Role.FOREARM: "forearm",
    Role.SHOE: "shoe",
    Role.HOLD_OPEN_ARM: "hold-open arm",
    Role.SOFFIT_BRACKET: "soffit bracket",
    Role.PLATE: "plate",
    Role.SPACER: "stop spacer",
    Role.PLATE_FASTENER: "fastener for the plate",
    Role.BODY_FASTENER: "fastener for the body",
    Role.SHOE_FASTENER: "fastener for the shoe",
    Role.BRACKET_FASTENER: "fastener for the bracket",
    Role.BRACKET_ARM_SCREW: "screw for arm to bracket",
    Role.PINION_SCREW: "pinion screw",
    Role.PINION_CAP: "pinion cap",
    Role.COVER: "cover",
}
KINDS = {
    FastenerKind.WOOD_SCREW: "wood screw",
    FastenerKind.MACHINE_SCREW: "machine screw",
    FastenerKind.SELF_DRILLING_SCREW: "self-drilling screw",
    FastenerKind.THROUGH_BOLT: "through-bolt",
    FastenerKind.RIVET_NUT_SCREW: "rivet nut with machine screw",
}
# Fasteners of a kind, by what they are for.
FASTENERS_FOR = {
    Role.PLATE_FASTENER: "{pieces} for the plate",
    Role.BODY_FASTENER: "{pieces} for the body",
    Role.SHOE_FASTENER: "{pieces} for the shoe",
    Role.BRACKET_FASTENER: "{pieces} for the bracket",
}
MOUNTS = {
    Mount.REGULAR: "regular arm",
    Mount.PARALLEL: "parallel arm",
    Mount.TOP_JAMB: "top jamb",
}
SIDES = {BodySide.PULL: "pull side", BodySide.PUSH: "push side"}
MATERIALS = {
    Door.HOLLOW_METAL: "hollow metal",
    Door.WOOD: "wood",
    Door.ALUMINUM: "aluminum",
    Door.COMPOSITE: "composite",
    Frame.STEEL: "steel",
}
FIELDS = {
    "mark": "mark",
    "size": "size",
    "width": "width",
    "height": "height",
    "leaves": "number of leaves",
    "door": "leaf material",
    "core": "leaf core",
    "door_reinforced": "leaf reinforced or blocked for the closer",
    "weight": "leaf weight",
    "thickness": "leaf thickness",
    "frame": "frame material",
    "frame_reinforced": "frame reinforced for the closer",
    "location": "interior or exterior",
    "swing": "swing",
    "hand": "hand",
    "body_side": "side the closer works on",
    "mount": "mount",
    "fire_minutes": "fire label",
    "accessible": "accessible route",
    "opening_degrees": "opening angle",
    "hold_open": "hold-open",
    "delayed_action": "delayed action",
    "backcheck": "backcheck",
    "top_rail": "height of the top rail",
    "head_face": "face height of the head",
    "ceiling_clearance": "clearance under the ceiling",
    "reveal": "reveal",
    "stop": "kind of stop",
    "pressure": "pressure difference",
    "wind": "wind speed",
    "finish": "finish",
    "series": "series",
    "spring_size": "spring size",
    "jurisdiction": "force limits that apply",
    "egress": "means of egress",
    "seals": "force of the seals",
    "latch": "force of the latch",
    "grade": "BHMA grade",
    "traffic": "traffic",
    "corrosion": "corrosion at the place",
    "existing_holes": "existing holes",
}
SWINGS = {"in": "swings in", "out": "swings out"}
# What a fastener goes into.
HOSTS = {"door": "the door", "frame": "the frame", "plate": "the plate"}
HANDS = {"left": "left", "right": "right"}
# Read from the outside, as the codes are.
HANDS_OF_LEAVES: dict[Hand, str] = {
    Hand.LH: "left hand",
    Hand.RH: "right hand",
    Hand.LHR: "left hand reverse",
    Hand.RHR: "right hand reverse",
}
_CODED = {"swing": SWINGS, "host": HOSTS, "brought": HANDS, "needed": HANDS}
# Only text that is a number gets another decimal sign; a finish's code or a name does not.
_NUMBER = re.compile(r"-?\d+\.\d+")
# What a note may ask for and no kit holds.
BESIDE: dict[str, str] = {
    "door-stop": "door stop",
    "door-holder": "door holder",
    "threshold": "threshold",
    "hinges": "hinges",
    "lock": "lock",
    "kick-plate": "kick plate",
    "pull": "pull or push plate",
    "astragal": "astragal",
    "coordinator": "coordinator",
    "operator": "power operator",
}


# Whose force limits the rule book has; of others, which a house adds, the letters stand.
JURISDICTIONS = {
    "us": "United States",
    "us-ca": "California",
    "us-fl": "Florida",
    "us-ma": "Massachusetts",
    "us-or": "Oregon",
    "us-wa": "Washington State",
    "uk": "United Kingdom",
}


def field_name(field: str) -> str:
    """The plain name of a schedule field."""
    return tr(FIELDS[field]) if field in FIELDS else field.replace("_", " ")


def value_text(field: str, value: object) -> str:
    """A field's value in plain words."""
    match value:
        case None:
            return tr("not stated")
        case bool():
            return tr("yes") if value else tr("no")
        case Mount():
            return tr(MOUNTS[value])
        case BodySide():
            return tr(SIDES[value])
        case Door() | Frame():
            return tr(MATERIALS.get(value, value.value))
        case Length() | Mass():
            return measured(value)
        case HolePattern():
            return by([measured(value.along), measured(value.across)])
        case Swing():
            return tr(SWINGS[value])
        case Core.SCL:
            # Structural composite lumber, as the trade writes it.
            return "SCL"
        case HoldOpen() | Location() | Stop() | Core() | Traffic():
            return tr(value.value)
        case str() if field in _CODED:
            return tr(_CODED[field].get(value, value))
    if field == "fire_minutes":
        return f"{value} min" if value else tr("none")
    if field == "opening_degrees":
        return figure(f"{value:g}°") if isinstance(value, int | float) else f"{value}"
    if field == "jurisdiction":
        said = JURISDICTIONS.get(str(value))
        return tr(said) if said else str(value).upper()
    if isinstance(value, str) and not _NUMBER.fullmatch(value):
        return str(value)
    return figure(str(value))


def listed(parts: Iterable[str], last: str = "and") -> str:
    """Words in a row: `a`, `a and b`, `a, b and c`.

    >>> listed(["wood screws", "machine screws"], "or")
    'wood screws or machine screws'
    """
    words = list(parts)
    if len(words) < 2:
        return "".join(words)
    locale = spoken_locale()
    if locale is not None:
        from babel.lists import format_list

        return format_list(words, "or" if last == "or" else "standard", locale)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"


def plural(count: int, word: str) -> str:
    """A count with its noun.

    >>> plural(1, "wood screw"), plural(2, "closer body"), plural(2, "screw for arm to bracket")
    ('1 wood screw', '2 closer bodies', '2 screws for arm to bracket')
    """
    return f"{count} {trn(word, many(word), count)}"


def many(word: str) -> str:
    """An English noun's plural."""
    head, sep, tail = word.partition(" for ")
    if not sep:
        head, sep, tail = word.partition(" with ")
    if head == "leaf":
        head, ending = "lea", "ves"
    elif head.endswith("dy"):
        head, ending = head[:-1], "ies"
    else:
        ending = "es" if head.endswith(("s", "x", "ch")) else "s"
    return f"{head}{ending}{sep}{tail}"
