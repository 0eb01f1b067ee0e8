"""Headings as schedules have them, and the columns of ours that they mean (`headings.toml`)."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache, lru_cache
from pathlib import Path
from unicodedata import combining, normalize

from wholekit.domain.openings.sheet import ASIDE
from wholekit.intake.schedule import COLUMNS
from wholekit.intake.toml_table import parse_toml
from wholekit.intake.vocabulary import MEANT

LONGEST_HEADING = 60
# Below it DOOR and FLOOR would be one word; so short a text is no slip of another either.
NEAR = 0.86
SHORTEST_NEAR = 5
# A heading's unit, as the clean cells take it.
UNITS: Mapping[str, str] = {
    "mm": "mm", "millimeters": "mm", "millimetres": "mm", "cm": "cm", "m": "m", "meters": "m",
    "metres": "m", "in": "in", "ins": "in", "inch": "in", "inches": "in", '"': "in", "po": "in",
    "pouces": "in", "pulg": "in", "pulgadas": "in", "ft": "ft", "feet": "ft", "'": "ft",
    "lb": "lb", "lbs": "lb", "kg": "kg", "min": "min", "mins": "min", "minutes": "min", "mn": "min",
    "minutos": "min", "h": "h", "hr": "h", "hrs": "h", "hours": "h", "heures": "h", "horas": "h",
    "deg": "deg", "degrees": "deg", "°": "deg", "pa": "Pa", "mph": "mph", "n": "N", "lbf": "lbf",
}  # fmt: skip
MEASURED = frozenset(
    {
        "size", "width", "height", "thickness", "weight", "top_rail", "head_face", "reveal",
        "ceiling_clearance", "existing_holes",
        "fire_minutes", "opening_degrees", "pressure", "wind", "seals", "latch",
    }
)  # fmt: skip
_BRACKETS = re.compile(r"^(.*?)[(\[{]([^)\]}]*)[)\]}](.*)$")
_TAIL = re.compile(r"^(.+?)[\s,/:-]+([A-Za-z\"'°]{1,12})\.?$")
# Before a dash: what the column is of. Only these of its columns are then the door's for certain.
_OF_DOOR = re.compile(
    r"(?:doors?|leaf|opening|porte|vantail|puerta|hoja)\s*[-–—:|]+\s*(.+)$", re.IGNORECASE
)
_DOORS_OWN = frozenset(
    {
        "mark", "quantity", "size", "width", "height", "thickness", "leaves", "door", "core",
        "weight", "location", "swing", "hand", "fire_minutes", "accessible", "egress", "note",
    }
)  # fmt: skip
# Leaf and frame in one cell (`HM/HM`). The slash decides: `Door - Frame` is a frame's column. That
# it may as well hold their types (`F/1`) is told by the cells.
_BOTH = re.compile(
    r"\W*(?:mat(?:'?l|erials?)?\W+)?(?:doors?|dr|leaf)\s*[/&+]\s*(?:frames?|fr)\s*"
    r"(?:mat(?:'?l|erials?)?)?\W*$",
    re.IGNORECASE,
)
_SIGNS = str.maketrans({"°": "o", "º": "o", "#": " no ", "'": "", "’": "", "&": " "})
_REST = re.compile(r"[^0-9a-z]+")


@dataclass(frozen=True, slots=True)
class Heading:
    """What a heading means: our columns, the likeliest first, or what it is that is set aside."""

    columns: tuple[str, ...]
    aside: str = ""
    language: str = "en"
    mark: str = "ours"


@dataclass(frozen=True, slots=True)
class Meant:
    """A heading that was recognised: what it means, how, and the unit it names."""

    heading: Heading
    how: str
    unit: str = ""


@lru_cache(maxsize=8192)
def key(text: str) -> str:
    """A heading without case, accents, points and signs.

    >>> key("Door N°"), key("HW-Set #"), key("Épaisseur"), key("Mat'l.")
    ('door no', 'hw set no', 'epaisseur', 'matl')
    """
    parts = normalize("NFKD", text.translate(_SIGNS)).casefold()
    bare = "".join(letter for letter in parts if not combining(letter))
    return _REST.sub(" ", bare).strip()


@cache
def known_headings() -> Mapping[str, Heading]:
    """Every heading of the data by its key, our own column names and words among them."""
    found: dict[str, Heading] = {}
    text = Path(__file__).with_name("headings.toml").read_text("utf-8")
    for entry in parse_toml(text)["heading"]:  # type: ignore[attr-defined]  # a list of tables
        heading = Heading(
            tuple(entry["columns"]), entry.get("aside", ""), entry["language"], entry["mark"]
        )
        for word in entry["words"]:
            # Where two languages share a word, it means what either may mean by it.
            there = found.get(key(word), heading)
            both = tuple(dict.fromkeys((*there.columns, *heading.columns)))
            found[key(word)] = Heading(both, there.aside, there.language, there.mark)
    for column in COLUMNS:
        found.setdefault(key(column), Heading((column,)))
    for word, column in MEANT.items():
        if column in COLUMNS:
            found.setdefault(key(word), Heading((column,)))
    return found


@lru_cache(maxsize=8192)
def meant(text: str) -> Meant | None:
    """What a heading surely means: by its very words, with or without its unit and brackets.

    >>> meant("Width (mm)").heading.columns, meant("Width (mm)").unit, meant("wall of text")
    (('width',), 'mm', None)
    >>> meant("Height in").unit, meant("Door Size (W x H)").heading.columns
    ('in', ('size',))
    >>> meant("Door - Fire Rating (min)").heading.columns, meant("Door - Lock")
    (('fire_minutes',), None)
    """
    if _BOTH.match(text):
        return Meant(Heading(("aside", "door"), mark="practice"), "heading")
    found = _meant(text)
    of_door = _OF_DOOR.match(text) if found is None else None
    if of_door is not None:
        found = _meant(of_door[1])
        if found is not None and not _DOORS_OWN.issuperset(found.heading.columns[:1] or ("",)):
            found = None
    return found


def _meant(text: str) -> Meant | None:
    if not text or len(text) > LONGEST_HEADING:
        return None
    known = known_headings()
    brackets = _BRACKETS.match(text)
    if brackets:
        unit = unit_word(brackets[2])
        base = key(f"{brackets[1]} {brackets[3]}")
        if unit and base in known and set(known[base].columns) & MEASURED:
            return Meant(known[base], "heading", unit)
        for whole in (key(text), base):
            if whole in known:
                return Meant(known[whole], "heading")
        return None
    if key(text) in known:
        return Meant(known[key(text)], "heading")
    tail = _TAIL.match(text.strip())
    if tail and unit_word(tail[2]) and key(tail[1]) in known:
        heading = known[key(tail[1])]
        if set(heading.columns) & MEASURED:
            return Meant(heading, "heading", unit_word(tail[2]))
    return None


def unit_word(text: str) -> str:
    """The unit that a text is, alone or in brackets; empty if it is none.

    >>> unit_word("(mm)"), unit_word("Pouces"), unit_word("W x H")
    ('mm', 'in', '')
    """
    return UNITS.get(text.strip(" .()[]").casefold(), "")


@lru_cache(maxsize=1024)
def near(text: str) -> Meant | None:
    """What a heading means by near spelling; None where two that are as near mean different things.

    >>> near("Fire Ratng").heading.columns, near("Widht (mm)").unit, near("Blue")
    (('fire_minutes',), 'mm', None)
    """
    brackets = _BRACKETS.match(text)
    given = key(f"{brackets[1]} {brackets[3]}" if brackets else text)
    if not SHORTEST_NEAR <= len(given) <= LONGEST_HEADING:
        return None
    known = known_headings()
    # Sorted letters too: a slip that swaps two is nearer than its ratio tells.
    found = get_close_matches(given, known, n=3, cutoff=NEAR) or [
        word
        for word in get_close_matches(given, known, n=3, cutoff=0.8)
        if sorted(word) == sorted(given)
    ]
    headings = [known[word] for word in found]
    if not headings or any(other.columns != headings[0].columns for other in headings[1:]):
        return None
    unit = unit_word(brackets[2]) if brackets else ""
    return Meant(headings[0], "near", unit)


def near_columns(column: str, headings: list[str], most: int = 3) -> list[str]:
    """Of the headings those likeliest to be a column of ours, best first.

    >>> near_columns("mark", ["Dor Numbr", "Elev", "Blue"])[0]
    'Dor Numbr'
    """
    words = [word for word, heading in known_headings().items() if column in heading.columns]
    ranked: list[tuple[float, str]] = []
    for heading in headings[:100]:
        given = key(heading[:LONGEST_HEADING])
        shared = [
            len(set(_pairs(given)) & set(_pairs(word))) / max(1, len(set(_pairs(word))))
            for word in words
        ]
        ranked.append((max(shared, default=0), heading))
    best = sorted(ranked, key=lambda entry: -entry[0])
    return [heading for _, heading in best[:most]]


def is_column(text: str) -> bool:
    """Whether a text names a column of ours or says that a heading is to be set aside."""
    return text in COLUMNS or text == ASIDE


def _pairs(text: str) -> list[str]:
    return [text[place : place + 2] for place in range(len(text) - 1)]
