"""The domain of every rule: what a house file may set it to. A test proves the table complete.

A new rule takes one entry here, by its id. `stricter` tells which way is the safe one: a stop that
is about fire or latching, and a limit of force, may be made stricter by a house, never looser.
Ranges are where nonsense begins, not what is wise; common practice, no source.
"""

from collections.abc import Collection, Iterator, Mapping
from enum import StrEnum

from wholekit.domain.catalog import Duty, FastenerKind, Role
from wholekit.domain.openings import (
    BodySide,
    Core,
    Door,
    Frame,
    LeafDanger,
    Location,
    Mount,
    OpeningType,
    Stop,
    Swing,
    Traffic,
)
from wholekit.domain.openings.notes import BESIDE
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook
from wholekit.domain.working_days import WEEKDAYS
from wholekit.intake import cells
from wholekit.intake.rule_shapes import (
    DOWN,
    UP,
    All,
    Columns,
    Entries,
    Fixed,
    Flag,
    Listed,
    Misfit,
    Named,
    Number,
    OneOf,
    Rows,
    Shape,
    Text,
    Until,
    lengths,
)

# EN 1154's sizes; a US chart has no more.
SIZE = Number(1, 7, whole=True)
SIZE_OR_MORE = Number(1, 7, whole=True, stricter=UP)
_YES_NO = Flag()


def _codes(book: RuleBook) -> Collection[str]:
    rows = (*book.rows("finish-codes"), *book.rows("finish-codes-painted"))
    return [str(row.get("code")) for row in rows]


def _looks(book: RuleBook) -> Collection[str]:
    rows = (*book.rows("finish-codes"), *book.rows("finish-codes-painted"))
    return {str(row.get("look")) for row in rows}


def _profiles(book: RuleBook) -> Collection[str]:
    return book.mapping("force-profiles").keys()


def _rules(book: RuleBook) -> Collection[str]:
    return book.rules.keys()


def _limits(book: RuleBook) -> Collection[str]:
    return [name for name in book.rules if name.startswith("limit-")]


class _ProfileOfName:
    """A profile whose limits are at least those of the profile the name means as published.

    Else `california = "us"` would take a state's limits off every opening that names it.
    """

    def faults(self, value: object, published: object, book: RuleBook) -> Iterator[Misfit]:
        """A profile that does not exist, or that lacks a limit of the published one."""
        profiles = book.mapping("force-profiles")
        if not isinstance(value, str) or value not in profiles:
            yield Misfit("", value, f"a profile, as {', '.join(sorted(profiles)[:8])}")
            return
        lost = _listed(profiles.get(str(published))) - _listed(profiles[value])
        if lost:
            yield Misfit("", value, f"{published}, or a profile that holds {min(lost)} too")


class _Chart:
    """A chart of sizes by width that asks for no smaller size than the published one anywhere."""

    def faults(self, value: object, published: object, _: RuleBook) -> Iterator[Misfit]:
        """The widths at which it asks for less, or for a size where none is published."""
        own, theirs = _steps(value), _steps(published)
        for width in sorted({to for to, _ in (*own, *theirs)}):
            asked, least = _size_at(width, own), _size_at(width, theirs)
            if asked is not None and (least is None or asked < least):
                right = "no size there" if least is None else f"size {least} or larger there"
                yield Misfit(f"{width:g} in", f"size {asked}", f"{right}, as published")


class _Apart:
    """A joint whose two ends go into different hosts."""

    def faults(self, value: object, _: object, __: RuleBook) -> Iterator[Misfit]:
        """Both ends on the door, or both on the frame."""
        if isinstance(value, Mapping) and value["body"] == value["foot"]:
            yield Misfit("foot", value["foot"], "door and frame, one each for body and foot")


def _steps(rows: object) -> list[tuple[float, int]]:
    found = rows if isinstance(rows, list) else []
    return [(float(row["to"]), int(row["size"])) for row in found]


def _size_at(width: float, steps: list[tuple[float, int]]) -> int | None:
    return next((size for to, size in steps if width <= to), None)


def _listed(value: object) -> set[str]:
    return {str(entry) for entry in value} if isinstance(value, list) else set()


def _limit(least: float, most: float) -> Shape:
    """A limit of force: lower is stricter; whom it is for and where it is read stay."""
    names = ("scope", "location", "fire_doors", "phase", "at", "unit")
    return Columns(
        {
            **dict.fromkeys(names, Fixed()),
            "limit": Number(least, most, stricter=DOWN),
            "until": Until(),
        },
        optional=("until",),
    )


def _words(kind: type[StrEnum]) -> OneOf:
    return OneOf([member.value for member in kind])


def _chart() -> Shape:
    row = Columns({"to": Number(12, 120), "size": SIZE})
    return All((Rows(row, rising=("to", "size")), _Chart()))


_FINISH = Rows(
    Columns(
        {
            "code": Text(r"[0-9]{3}[A-Z]?", "a BHMA code, as 689"),
            "us": Text(r"US[0-9A-Z]{1,5}", "a US number, as US26D, or nothing", may_be_empty=True),
            "base": Text(may_be_empty=True),
            "look": Text(r"[a-z]+(-[a-z]+)*", "a look in small letters, as dark-bronze"),
            "name": Text(),
        }
    ),
    key=("code",),
)
_LBF = _limit(1.0, 60.0)
_NEWTONS = _limit(5.0, 300.0)

DEFAULTS: Mapping[str, Shape] = {
    "default-door": Entries(_words(Door)),
    "default-frame": Entries(_words(Frame)),
    "default-core": _words(Core),
    "default-door-reinforced": Entries(_YES_NO),
    "default-frame-reinforced": Entries(_YES_NO),
    "default-location": _words(Location),
    "default-swing-exterior": _words(Swing),
    "default-body-side": _words(BodySide),
    "default-fire-minutes": OneOf(cells.FIRE_MINUTES),
    "default-accessible": _YES_NO,
    "default-opening-degrees": Number(1, 180),
    "default-traffic": _words(Traffic),
    "default-thickness": lengths("thickness", cells.THICKNESS),
    "default-top-rail": lengths("top rail", cells.FACE),
    "default-head-face": Entries(lengths("head face", cells.FACE)),
    "default-reveal": lengths("reveal", cells.DEPTH),
    "default-stop": Entries(_words(Stop)),
    "default-finish": Named(_codes, "a code of the finishes"),
    "default-jurisdiction": Named(_profiles, "a profile"),
}

_HOSTS = [f"door {door}" for door in Door] + [f"frame {frame}" for frame in Frame]
_THREAD = Text(r"(M\d{1,2}|\d{1,2}(/\d{1,2})?(-\d{1,2})?)", "a thread as 1/4-20 or M6")
_DRILL = Text(r"(No\. \d{1,2}|[A-Z]|\d{1,2}/\d{1,2})", "a drill as No. 7, F or 9/32")
_ACROSS = Number(1, 25)
FASTENERS: Mapping[str, Shape] = {
    "fasteners-by-host": Rows(
        Columns(
            {
                "host": OneOf(_HOSTS),
                "reinforced": _YES_NO,
                "kinds": Listed(_words(FastenerKind)),
                "sleeved": _YES_NO,
            },
            optional=("sleeved",),
        ),
        key=("host", "reinforced"),
        all_keys=True,
    ),
    "holes-tolerance": lengths("hole tolerance", (Length.mm(0.1), Length.mm(5))),
    "holes-price-most": Number(0, 10),
    "wood-screw-diameter": Columns({"first": Number(0.01, 0.5), "step": Number(0.001, 0.1)}),
    "tap-drills-inch": Rows(
        Columns({"thread": _THREAD, "drill": _DRILL, "inches": Number(0.03, 1), "mm": _ACROSS}),
        key=("thread",),
    ),
    "tap-drills-metric": Rows(Columns({"thread": _THREAD, "mm": _ACROSS}), key=("thread",)),
    "clearance-holes": Rows(
        Columns(
            {"thread": _THREAD, "drill": _DRILL, "inches": Number(0.03, 1), "mm": _ACROSS},
            optional=("drill", "inches"),
        ),
        key=("thread",),
    ),
    "wood-screw-roots": Columns(dict.fromkeys(("8", "10", "12", "14"), Number(0.01, 0.5))),
    "wood-screw-holes": Columns({"soft": Number(0.5, 1), "hard": Number(0.5, 1)}),
    "twist-drills": Rows(Columns({"drill": _DRILL, "inches": Number(0.03, 1)}), key=("drill",)),
    "hole-edge-distance": Columns(
        {
            "diameters": Number(1, 10, stricter=UP),
            "rivet_nut": Number(1, 3),
            "screw": Number(0.05, 1),
        }
    ),
}
FINISHES: Mapping[str, Shape] = {
    "finish-codes": _FINISH,
    "finish-codes-painted": _FINISH,
    "finish-names": Entries(Named(_codes, "a code of the finishes")),
    "finish-looks-near": Rows(
        Columns(
            {
                "look": Named(_looks, "a look of the finishes"),
                "near": Listed(Named(_looks, "a look of the finishes"), may_be_empty=True),
            }
        ),
        key=("look",),
    ),
}
_JOINT = Columns(
    {
        "body": OneOf(("door", "frame")),
        "foot": OneOf(("door", "frame")),
        "foot_role": OneOf((Role.SHOE.value, Role.SOFFIT_BRACKET.value)),
    }
)
FIRE: Mapping[str, Shape] = {
    "fire-release-delay": Number(1, 60, whole=True, stricter=DOWN),
    "labels-usual": Entries(
        All((OneOf(cells.FIRE_MINUTES), Number(0, 240, whole=True, stricter=DOWN)))
    ),
    "citations-en": Entries(Named(_rules, "a rule")),
    "pull-side-mounts": Listed(_words(Mount)),
    "push-side-mounts": Listed(_words(Mount)),
    "joints-by-mount": Entries(All((_JOINT, _Apart()))),
}
_PLACE = {"location": _words(Location), "traffic": _words(Traffic)}
DUTY: Mapping[str, Shape] = {
    "duty-by-place": Rows(
        Columns(
            {
                **_PLACE,
                "duty": _words(Duty),
                "grade": Number(1, 3, whole=True),
                "backcheck": _YES_NO,
            }
        ),
        key=tuple(_PLACE),
        all_keys=True,
    ),
    "corrosion-by-place": Entries(Number(0, 5, whole=True)),
    "egress-setting": OneOf(("limit", "size")),
    "finish-dearer": Number(0, 10),
}
FORCES: Mapping[str, Shape] = {
    # A limit taken out of a profile would no longer be told at all.
    "force-profiles": Entries(Listed(Named(_limits, "a limit"), keeps=True)),
    "force-profile-names": Entries(_ProfileOfName()),
    "force-profile-adopted": Entries(_YES_NO),
    "limit-ada-interior": _LBF,
    "limit-ibc-interior": _LBF,
    "limit-ibc-motion": _LBF,
    "limit-ibc-swing": _LBF,
    "limit-ibc2021-interior": _LBF,
    "limit-ibc2021-motion": _LBF,
    "limit-ibc2021-swing": _LBF,
    "limit-ca-exterior": _LBF,
    "limit-ca-exterior-powered": _LBF,
    "limit-ca-fire": _LBF,
    "limit-or-exterior": _LBF,
    "limit-wa-exterior": _LBF,
    "limit-ma-exterior": _LBF,
    "limit-fl-exterior": _LBF,
    "limit-uk-to-30": _NEWTONS,
    "limit-uk-to-60": _NEWTONS,
    "limit-en-opening": Fixed(),
    # Less of a pressure counted is less latching asked of the closer.
    "force-k": Entries(Number(0.5, 20, stricter=UP)),
    "wind-pressure": Number(0.001, 0.02, stricter=UP),
    "wind-pressure-si": Number(0.2, 5, stricter=UP),
    "seal-force-usual": Entries(Number(0, 200)),
    # What a mount leaves is what latching is reckoned with: more of it asks for a smaller size.
    "mount-share": Entries(Number(0.3, 1.0, stricter=DOWN)),
    # From the least of size 1 to the most of size 7 (EN 1154 table 1).
    "fire-moment-least": Number(9, 140, stricter=UP),
    # Nearer to the edge the same closer is felt lighter.
    "default-handle": Number(1, 12, stricter=UP),
    # A better closer than there is would say that a limit and latching go together.
    "efficiency-best": Number(30, 100, whole=True, stricter=DOWN),
    "closing-speed-closer": Number(1, 60, stricter=UP),
    "force-gauge-point": Number(12, 48),
    "sweep-valve-range": Columns({"from": Number(11, 180), "to": Number(1, 45)}),
    "delayed-action-range": Columns({"from": Number(20, 180), "to": Number(10, 170)}),
    # The plane model was checked with these; with others its angles and shares are untried.
    "linkage-spring-set": Fixed(),
    "linkage-arm-half-width": Fixed(),
    "linkage-edge-gap": Fixed(),
    "stop-height": Number(0.25, 2),
}
SIZING: Mapping[str, Shape] = {
    "us-width-interior": _chart(),
    "us-width-exterior": _chart(),
    "en1154-table-1": Rows(
        Columns(
            {
                "size": Fixed(),
                "width_mm": Number(500, 2500, stricter=DOWN),
                "mass_kg": Number(10, 400, stricter=DOWN),
                # The closing moments are what a size means; with others it would be another size.
                "moment_from": Fixed(),
                "moment_to": Fixed(),
            }
        ),
        key=("size",),
        rising=("size", "width_mm", "mass_kg"),
        all_keys=True,
    ),
    "en1154-table-1-remembered": Rows(
        Columns(
            {
                "size": Fixed(),
                "opening_most": Number(10, 400, stricter=DOWN),
                # A closer of less efficiency is heavier to open for what it closes with.
                "efficiency": Number(20, 100, stricter=DOWN),
            }
        ),
        key=("size",),
        rising=("size",),
        all_keys=True,
    ),
    "tall-leaf": Number(1500, 4500, stricter=DOWN),
    "parallel-adds": Number(0, 3, whole=True, stricter=UP),
    "parallel-adds-outside": Flag(stricter=True),
    "fixed-size-next": Number(0, 3, whole=True),
    "accessible-size-most": Number(1, 7, whole=True, stricter=DOWN),
    "fire-size-least": SIZE_OR_MORE,
    "fire-size-advised-least": SIZE_OR_MORE,
    "fire-size-advised": Columns(
        {
            "exterior": SIZE_OR_MORE,
            "interior": SIZE_OR_MORE,
            "wide_exterior": Number(20, 98, stricter=DOWN),
            "wide_interior": Number(20, 98, stricter=DOWN),
            "one_more": Number(0, 3, whole=True, stricter=UP),
            "combination_more": Number(0, 4, whole=True, stricter=UP),
        }
    ),
    "en-basis-jurisdictions": Listed(Named(_profiles, "a profile"), keeps=True),
    "leaf-weights": Entries(Number(1, 30)),
    "leaf-weight-base-thickness": Number(0.75, 4),
    "face-sheets-alone": Number(1, 10),
}
_PHRASE = Text(
    r"[a-z0-9/#]+( [a-z0-9/#°]+)*",
    "words in small letters, without accents or hyphens; # is any number",
)
NOTES: Mapping[str, Shape] = {
    "note-words": Rows(
        Columns(
            {
                "column": OneOf(
                    (
                        *OpeningType.__dataclass_fields__,
                        "corrosion",
                        "quantity",
                        "active",
                        "wish",
                        "none",
                    )
                ),
                "says": Listed(
                    Text(
                        r"[a-z0-9-]+|#( [a-z]+)?",
                        "a value as a schedule spells it, rated, or # for the number",
                    ),
                    # What no column can say: nothing stated agrees.
                    may_be_empty=True,
                ),
                "words": Listed(_PHRASE),
            },
            optional=("says",),
        ),
        key=("column", "says"),
    ),
    "note-pieces": Rows(
        Columns({"piece": OneOf((*BESIDE, "none")), "words": Listed(_PHRASE)}), key=("piece",)
    ),
    "leaf-dangers": Rows(
        Columns({"danger": OneOf(tuple(LeafDanger)), "words": Listed(_PHRASE)}), key=("danger",)
    ),
    "note-negations": Listed(Text(r"[a-z0-9]+", "a word in small letters, without accents")),
    "note-around": Columns(
        {name: Listed(_PHRASE) for name in ("between", "before", "after", "unwanted")}
    ),
}
_WEIGHT = Number(1, 1_000, whole=True)
TRADING: Mapping[str, Shape] = {
    "working-week": Listed(OneOf(WEEKDAYS)),
    "promise-weights": Rows(
        Columns({"days": Number(0, 400, whole=True), "weight": _WEIGHT}),
        key=("days",),
        rising=("days",),
    ),
    "promise-weight-later": _WEIGHT,
    "priority-times": Columns(
        {
            "times": Number(1, 4, whole=True),
            "least": Number(-3, 0, whole=True),
            "most": Number(0, 3, whole=True),
        }
    ),
    "slow-stock": Columns(dict.fromkeys(("period", "cover", "idle"), Number(1, 3_660, whole=True))),
}

ASKING: Mapping[str, Shape] = {
    "asked-answers": Rows(
        Columns(
            {
                "field": OneOf(
                    (
                        "door",
                        "core",
                        "door_reinforced",
                        "weight",
                        "thickness",
                        "frame",
                        "frame_reinforced",
                        "location",
                        "swing",
                        "hand",
                        "fire_minutes",
                        "accessible",
                        "opening_degrees",
                        "top_rail",
                        "head_face",
                        "reveal",
                        "stop",
                        "finish",
                        "jurisdiction",
                        "egress",
                        "traffic",
                    )
                ),
                "answers": Listed(Text(r"[A-Za-z0-9./ -]+", "a value as a schedule spells it")),
            }
        ),
        key=("field",),
    ),
}
DOMAINS: Mapping[str, Shape] = {
    **ASKING,
    **DEFAULTS,
    **FASTENERS,
    **FINISHES,
    **FIRE,
    **DUTY,
    **FORCES,
    **SIZING,
    **NOTES,
    **TRADING,
}
