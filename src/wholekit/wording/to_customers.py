"""What a contractor is asked to do about a finding; the way out of the house is not his."""

import re
from collections.abc import Mapping
from functools import lru_cache

from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.openings.notes import ASKED, SAYS_MORE, UNREAD_WISH
from wholekit.domain.quotes.offer import OfferFinding, OfferKit
from wholekit.wording.findings import FINDINGS, HINTS
from wholekit.wording.force_sentences import HINTS as FORCE_HINTS
from wholekit.wording.speech import spoken_locale, tr
from wholekit.wording.words import BESIDE, field_name

EXIT = "egress-force-limit"
FIRE_DOOR = "fire-door-needs-latching"
FIRE_DOORS = (
    "Fire door: it must close by itself and latch positively{both}. This kit is the closer only; "
    "its fasteners must be those of the door's listing."
)
# By the code of the finding; its hint in the house names columns, items and commands.
TOLD = {
    "answer-needed": "Please tell us which it is.",
    "egress-force-limit": "Please tell us whether it is an exit.",
    "finish-unavailable": "Please tell us whether that finish will do, or which other is wanted.",
    "finish-dearer": "Please tell us which of the two is wanted.",
    "holes-near-edge": "Please tell us how high it truly is, or whether another mount will do.",
    "fire-size-recommended": "Please tell us whether you want it in that size.",
    "hand-conflict": "Please tell us the hand and the way the leaf swings.",
    "hand-unknown": "Please tell us the hand (LH, RH, LHR or RHR, read from the outside).",
    "hold-open-on-fire-door": "Please tell us whether it is to have no hold-open, or one that the "
    "fire alarm releases.",
    "mark-several": "Please tell us how many openings it stands for.",
    "mount-in-doubt": "Please tell us the mount.",
    "note-asks-piece": "Please tell us whether we are to quote it.",
    "reveal-too-deep": "Please tell us whether we may quote a parallel arm, which a deep reveal "
    "does not hinder.",
    "note-says-more": "Please tell us which is right; the kit does not take the note into account "
    "yet.",
    "note-wish": "Please tell us what is wanted.",
    "pair-active-unknown": "Please tell us which leaf is active.",
    "pair-swing-unknown": "Please tell us which way the leaves swing.",
}
# By the code of a hint that speaks to the house: what a contractor is asked in its place.
IN_PLACE = {
    "accept-finish": "Please tell us whether finish {nearest} will do.",
    "add-to-catalog": "Please tell us whether you get it elsewhere.",
    "adjustable-body": "Please tell us whether we may quote an adjustable body that can be set to "
    "size {most} or less.",
    "ask-egress": "Please tell us whether it is on a means of egress; it would then have to be set "
    "lighter, and might not latch.",
    "ask-listing": "Please send us the listing of the door with this label.",
    "ask-maker": "Please tell us whether we are to ask the maker, or whether a floor closer or "
    "power operator is designed.",
    "ask-pair-width": "Please tell us which it is: a pair of two {leaf} leaves, or one leaf "
    "{whole} wide.",
    "ask-moment-beyond": "Please tell us whether we are to ask the maker for the moment from 30° "
    "to 60°.",
    "ask-powered-leaf": "Please tell us whether one of every eight leaves at that place is "
    "powered.",
    "ask-scope": "Please tell us whether a closer is wanted here at all.",
    "ask-standard": "Please tell us whether the specification accepts it, or whether a series of "
    "the usual standard is wanted.",
    "ask-stop": "Please tell us what stops the leaf: a floor or wall stop, or a stop arm of the "
    "series.",
    "ask-weight": "Please tell us the leaf's weight.",
    "choose-series": "Please tell us which other series is wanted, or whether it is left to us.",
    "confirm-assumed": "Please tell us whether any of it is otherwise.",
    "heavier-body": "Please tell us whether we may quote another series, made for the place.",
    "measure-with-seals": "Please tell us the forces of seals and latch, and measure on the hung "
    "door.",
    "mount-or-side": "Please tell us whether the {needs} will do, or which mount in place of "
    "{mount}.",
    "no-delayed-action": "Please tell us which to leave out, delayed action or the release "
    "hold-open.",
    "order-or-swap": "Please tell us whether a kit from stock is wanted instead.",
    "order-through-bolts": "Please tell us whether the leaf is {thickness} thick.",
    "other-mount": "Please tell us whether another mount will do; else we ask the maker for a "
    "template.",
    "say-egress": "Please tell us whether it is an exit; if not, size {size} is taken.",
    "size-as-required": "Please tell us whether we may quote size {required}.",
    "state-traffic": "Please tell us the traffic, which decides the duty here.",
    "use-room-side": "Please tell us whether it may go on the {side} side.",
    "wider-series": "Please tell us whether {series} in the size needed, another mount or less "
    "will do.",
}
# By the code of a finding, of an opening that is quoted firm all the same: what a customer must
# have read before he signs.
DOUBTS = {
    "egress-force-limit": "over the force limit, if an exit",
    "force-over-limit": "over the force limit by calculation",
    "latch-power-short": "it may not latch",
    "holes-near-edge": "holes too near the rail's edge",
    "weather-side-body": "the closer would be on the weather side",
    "fire-size-recommended": "a greater size is recommended",
    "size-held-to-limit": "a smaller size than asked for",
    "pair-swing-unknown": "a pair whose swing nobody has stated",
}
# Said instead where a calculation shows it and no doubt is left.
CALCULATED = {"latch-power-short": "by calculation it does not latch"}
# Said instead of holes in the head.
NEAR_HEAD = "holes too near the head's edge"
# What a note may say that no kit reckons with before somebody answers, by its column.
NOTED: dict[str, str] = {
    "wind": "wind that you note is not reckoned with",
    "pressure": "pressure that you note is not reckoned with",
    "seals": "seals or weatherstripping that you note are not reckoned with",
    "top_rail": "the rail that you note is not reckoned with",
    "reveal": "the reveal that you note is not reckoned with",
    "ceiling_clearance": "the ceiling that you note is not reckoned with",
    "weight": "the weight that you note is not reckoned with",
    "opening_degrees": "the opening angle that you note is not reckoned with",
    "hold_open": "hold-open that you note is not in the kit",
    "delayed_action": "delayed action that you note is not in the kit",
}
# So of any other column; and of a wish that no column holds.
NOTED_ELSE = "{field}: the kit does not follow your note"
WISHED = "a remark about the closer is not followed"
# Where all of these are assumed, little is known but the size.
LEAST_STATED = frozenset({"door", "fire_minutes", "location"})
NEXT_TO_NOTHING = "your schedule gives next to nothing"
# What an opening needs beside its closer, by the code that says so.
BY_OTHERS = {
    "wind-needs-stop": "door stop or stop arm",
    "stop-needed": "door stop or stop arm",
    "pair-needs-coordinator": "coordinator, with an overlapping astragal",
    "release-device-apart": "release device of the hold-open",
}
# Said elsewhere on a quote, or the house's own business.
NOT_FOR_CUSTOMERS = frozenset({"assumed", "weight-estimated", "discontinued", "size-next-used"})
# A source that is none tells a contractor nothing.
# Of a table whose headings nobody could read: for who judges the rules, not for a customer.
INFERRED = (
    "trade magazine chart of closer sizes by leaf width, its headings interior and exterior "
    "inferred from its text"
)
NO_SOURCES = ("common practice, no source", "from memory, not read", "house rule", INFERRED)
_NOT_READ = "from memory, not read"
SECOND_HAND = ", read at second hand, edition unchecked"


def asked_with_a_price(code: str, fields: Mapping[str, str]) -> bool:
    """Whether a finding is told by the question it raises, with the kit that would answer it.

    So of an interior door that may be an exit; of others nothing that is sold keeps the limit.

    >>> asked_with_a_price("egress-force-limit", {"offer": "adjustable"})
    True
    >>> asked_with_a_price("egress-force-limit", {"allowed": "30"})
    False
    """
    return code == EXIT and "offer" in fields


def is_calculated(code: str, fields: Mapping[str, str]) -> bool:
    """Whether a finding is of a calculation that leaves no doubt: less is given than is needed.

    >>> is_calculated("latch-power-short", {"needed_nm": "31.0", "given_nm": "26.0"})
    True
    >>> is_calculated("latch-power-short", {"size": "1", "required": "3"})
    False
    """
    return code in CALCULATED and "needed_nm" in fields


def doubt_of(code: str, fields: Mapping[str, str]) -> str:
    """What a finding speaks against its opening, in the language spoken; empty where nothing.

    fields: what it said, by name. A closer that gives less than it takes to latch does not latch;
    one set light for access may still.

    >>> doubt_of("latch-power-short", {"size": "1", "required": "3"})
    'it may not latch'
    >>> doubt_of("latch-power-short", {"needed_nm": "31.0", "given_nm": "26.0"})
    'by calculation it does not latch'
    >>> doubt_of("holes-near-edge", {"host": "head_face"})
    "holes too near the head's edge"
    >>> doubt_of("note-says-more", {"column": "wind"})
    'wind that you note is not reckoned with'
    >>> doubt_of("note-says-more", {"column": "accessible"})
    'accessible route: the kit does not follow your note'
    """
    if asked_with_a_price(code, fields):
        return ""
    if is_calculated(code, fields):
        return tr(CALCULATED[code])
    if code == SAYS_MORE:
        column = fields.get("column", "")
        if column in NOTED:
            return tr(NOTED[column])
        return tr(NOTED_ELSE).format(field=field_name(column)) if column else ""
    if code == UNREAD_WISH:
        return tr(WISHED)
    if fields.get("host") == "head_face":
        return tr(NEAR_HEAD)
    return tr(DOUBTS[code]) if code in DOUBTS else ""


def doubt_of_kit(kit: OfferKit) -> str:
    """What speaks against an opening since hardly anything of it is stated; empty where it is."""
    assumed = {each.field for each in kit.assumed}
    return tr(NEXT_TO_NOTHING) if assumed >= LEAST_STATED else ""


def beside_of(code: str, fields: Mapping[str, str]) -> str:
    """What a finding says an opening needs, or its note asks for, and this quote does not hold.

    >>> beside_of("note-asks-piece", {"piece": "door-stop"}), beside_of("stop-needed", {})
    ('asked for in a note: door stop', 'door stop or stop arm')
    """
    if code == ASKED:
        return tr("asked for in a note: {piece}").format(piece=tr(BESIDE[fields["piece"]]))
    return tr(BY_OTHERS[code]) if code in BY_OTHERS else ""


def source_for_customers(source: str) -> str:
    """A source, or several, without what says that it was not read; nothing where it is none.

    >>> source_for_customers("EN 1154 (from memory, not read); common practice, no source")
    'EN 1154'
    >>> source_for_customers(f"NFPA 80 annex A.6.4.1.4{SECOND_HAND}")
    'NFPA 80 annex A.6.4.1.4'
    >>> source_for_customers(INFERRED)
    ''
    """
    none = [*map(tr, NO_SOURCES)]
    # In each language that begins with the words alone: `(size 7 from memory)` is one of them.
    unread = re.compile(rf" \([^()]*{re.escape(tr(_NOT_READ).partition(',')[0])}[^()]*\)")
    source = source.replace(tr(SECOND_HAND), "").replace(SECOND_HAND, "")
    return "; ".join(unread.sub("", one) for one in source.split("; ") if one not in none)


def for_customers(finding: OfferFinding) -> bool:
    """Whether a finding is told to customers and architects as such, and not elsewhere."""
    return finding.code not in NOT_FOR_CUSTOMERS and not asked_with_a_price(
        finding.code, finding.fields
    )


def asking_of(code: str, hint: str) -> str:
    """What a finding asks a contractor, by the code of its own or of its hint; empty for nothing.

    hint: as issued, in the language spoken.

    >>> asking_of("note-wish", ""), asking_of("wind-needs-stop", "Use size 5.")
    ('note-wish', 'size-as-required')
    >>> asking_of("stop-needed", "Add a door stop that holds the leaf at 95°.")
    ''
    """
    return code if code in TOLD else _matched(hint, spoken_locale())[0]


def asking_template(code: str, asking: str) -> str:
    """The English sentence that asks, before its figures are put in."""
    return TOLD[code] if code in TOLD else IN_PLACE[asking]


def said_to_customers(code: str, texts: tuple[str, str, str]) -> tuple[str, str, str]:
    """Sentence, hint and source of a finding as a contractor reads them, in the language spoken.

    >>> said_to_customers("note-says-more", ("…", "State it in …", "common practice, no source"))
    ('…', 'Please tell us which is right; the kit does not take the note into account yet.', '')
    >>> edge = "Top rail 2 in, as stated: …, so 3 in high or more. (Common practice: 2 × screw.)"
    >>> said_to_customers("holes-near-edge", (edge, "", ""))[0]
    'Top rail 2 in, as stated: …, so 3 in high or more.'
    """
    text, hint, source = texts
    if code == FIRE_DOOR:
        text = _of_any_label(text)
    if code == NEAR_EDGE:
        # On what it is reckoned is for who drills.
        text = f"{text.partition('. (')[0].removesuffix('.')}."
    hint = tr(TOLD[code]) if code in TOLD else hint_to_customers(hint)
    return text, hint, source_for_customers(source)


def _of_any_label(text: str) -> str:
    """What is said of a fire door, without its minutes, which stand with its opening: so it is said
    once of all. As issued where it is another sentence."""
    plain = re.escape(tr(FINDINGS[FIRE_DOOR]))
    found = re.fullmatch(re.sub(r"\\{(\w+)\\}", r"(?P<\1>.*?)", plain), text)
    return tr(FIRE_DOORS).format(both=found["both"]) if found else text


def hint_to_customers(hint: str) -> str:
    """A way out, in the language spoken, as a contractor reads it.

    >>> hint_to_customers("Use size 5.")
    'Please tell us whether we may quote size 5.'
    >>> hint_to_customers("Softer seals, or a latch that takes less to drive home.")
    'Softer seals, or a latch that takes less to drive home.'
    """
    code, found = _matched(hint, spoken_locale())
    return tr(IN_PLACE[code]).format(**dict(found)) if code else hint


def figures_asked(hint: str) -> dict[str, str]:
    """The figures of a hint of the house that a contractor is asked in place of, as it says them.

    >>> figures_asked("Use size 5.")
    {'required': '5'}
    """
    return dict(_matched(hint, spoken_locale())[1])


@lru_cache(maxsize=4096)
def _matched(hint: str, _locale: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The code of a hint of the house that a contractor is asked in place of, with its figures.

    Found by its sentence in the language spoken: what was issued keeps that and not its code.
    """
    for code in IN_PLACE:
        plain = re.escape(tr({**FORCE_HINTS, **HINTS}[code]))
        found = re.fullmatch(re.sub(r"\\{(\w+)\\}", r"(?P<\1>.+?)", plain), hint)
        if found is not None:
            return code, tuple(found.groupdict().items())
    return "", ()
