"""Cells of a customer's sheet that say nothing known, each asked about by what stands there.

Such a cell goes among the remarks under its heading (`Weight: 140`), as the wishes of columns do
that no column of ours holds.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from wholekit.domain.openings import OpeningType
from wholekit.domain.quotes.offer import Offer, OfferOpening
from wholekit.wording.findings import NOTE_ALONE
from wholekit.wording.questions import BOX, FIGURES, UNITS
from wholekit.wording.speech import tr
from wholekit.wording.units import is_metric
from wholekit.wording.words import listed

# A question and its answers.
Asked: TypeAlias = tuple[str, tuple[tuple[str, str], ...]]
# What headings call a field by, in small letters (common practice, no source).
HEADED: dict[str, tuple[str, ...]] = {
    "weight": ("weight", "wt", "mass", "poids", "masse", "peso"),
    "thickness": ("thickness", "thk", "epaisseur", "épaisseur", "espesor", "grosor"),
    "finish": ("finish", "fini", "finition", "acabado"),
    "wind": ("wind", "vent", "viento"),
    "pressure": ("pressure", "pression", "presión", "presion"),
    "top_rail": ("rail", "traverse", "peinazo"),
    "reveal": ("reveal",),
    "ceiling_clearance": ("ceiling", "plafond", "techo"),
    "traffic": ("traffic", "passage", "tránsito", "transito", "tráfico"),
    "swing": ("swing", "ouverture", "apertura"),
    "hand": ("hand", "handing", "main", "mano"),
}
SAYS = "The note says {words}, but {field} is {stated}."
COLUMN_SAYS = "Your sheet's column {column} says {words}, but {field} is {stated}."
COLUMN_ALONE = "Your sheet's column {column} says {words}, but no other column states {field}."
NO_UNIT = "Your sheet says “{cell}”, and no unit stands with it. What is meant?"
NOT_UNDERSTOOD = "Your sheet says “{cell}”, and we do not know what it means here. What is meant?"
QUOTED_AND_NOTED = "Quoted as: {value}; your note says {words}."
BLOWS = "{wind}: does it blow against this door? No wind is reckoned with yet."
BESIDE_MARKS = "Your sheet says “{cell}” ({marks})."
_APART = re.compile(r"\s*[;|\n]\s*")
_FIGURE = re.compile(r"[\d.,/ -]+")
_OF_WIND = re.compile(r"\d\s*(m/s|km/h|mph)\b")
# Words of a note between the marks of any language in use.
_WORDS_SAID = re.compile(r"“.+?”|«.+?»")
_MARKS = "“”«»\u00a0\u202f "
_WORD = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True)
class Unread:
    """A cell under its heading, and the openings whose remarks hold it. field: which one the
    heading means, empty for none known. bare: a figure without the unit that it needs."""

    cell: str
    field: str
    places: tuple[str, ...]
    bare: bool
    answers: tuple[tuple[str, str], ...] = ()

    @property
    def text(self) -> str:
        """It as a question of its own."""
        return tr(NO_UNIT if self.bare else NOT_UNDERSTOOD).format(cell=self.cell)

    def beside(self, marks: str) -> str:
        """What is said of it beside the question about its field."""
        return tr(BESIDE_MARKS).format(cell=self.cell, marks=marks)


def unread_cells(offer: Offer, openings: Sequence[OfferOpening]) -> Iterator[Unread]:
    """The cells of the sheet that were not understood and stand in a remark of these openings."""
    for cell in offer.not_used:
        heading, apart, value = cell.partition(": ")
        holding = [each for each in openings if apart and cell in _parts(each.note)]
        if not holding:
            continue
        name = _field_of(heading)
        bare = name in UNITS and _FIGURE.fullmatch(value) is not None
        yield Unread(cell, name, tuple(each.place for each in holding), bare)


def unused_of(offer: Offer, openings: Sequence[OfferOpening]) -> tuple[str, ...]:
    """What of the sheet is neither in a kit nor among the remarks that questions are drawn from."""
    parts = {part for opening in openings for part in _parts(opening.note)}
    headings = {part.partition(": ")[0] for part in parts if ": " in part}
    return tuple(one for one in offer.not_used if one not in parts and one not in headings)


def said_by_column(text: str, note: str, not_used: Sequence[str]) -> str:
    """What a note says, told as the sheet's column that it comes from, where all comes from one.

    text: as the finding says it, in the language spoken; not_used: headings set aside.
    """
    for note_says, column_says in ((SAYS, COLUMN_SAYS), (NOTE_ALONE, COLUMN_ALONE)):
        plain = re.escape(tr(note_says))
        found = re.fullmatch(re.sub(r"\\{(\w+)\\}", r"(?P<\1>.+?)", plain), text)
        if found is not None:
            return _of_column(found, tr(column_says), note, not_used) or text
    return text


def _of_column(found: re.Match[str], column_says: str, note: str, not_used: Sequence[str]) -> str:
    words = [words.strip(_MARKS) for words in _WORDS_SAID.findall(found["words"])]
    for heading in not_used:
        cells = [part for part in _parts(note) if part.startswith(f"{heading}: ")]
        if words and all(any(word in cell for cell in cells) for word in words):
            return column_says.format(column=heading, **found.groupdict())
    return ""


def noted_text(text: str, quoted: str) -> str:
    """What a note says beside what an opening is quoted with.

    text: as the finding says it, in the language spoken.

    >>> noted_text("The note says “narrow rail 2 in”, but height of the top rail is …", "4 in")
    'Quoted as: 4 in; your note says “narrow rail 2 in”.'
    """
    words = _WORDS_SAID.findall(text)
    return tr(QUOTED_AND_NOTED).format(value=quoted, words=listed(words)) if words else text


def figures_said(text: str) -> str:
    """What a note says in figures, empty for none. text: as `noted_text`.

    >>> figures_said("The note says “12 mph” and “windy”, but …")
    '“12 mph”'
    """
    said = _WORDS_SAID.findall(text)
    return listed([words for words in said if any(map(str.isdigit, words))])


def asked_figure(name: str, text: str, kind: OpeningType) -> Asked:
    """A question that only a figure answers, with its boxes; where the note itself has a figure of
    the wind, whether that one holds.

    text: what the note says, as `noted_text`.
    """
    blank = blank_in_units(name, kind)
    figures = figures_said(text)
    if name != "wind" or not figures:
        return f"{text} {tr(FIGURES[name])}", (blank,)
    boxes = f"{tr('yes')}{BOX}{tr('no')}"
    # As the note has it: who wrote metres a second reads them off the same gauge.
    units = {*_OF_WIND.findall(figures.lower())}
    unit = f"({units.pop()})" if len(units) == 1 else blank[1]
    other = f"{BOX.strip()} {tr('yes, at another speed:')} {unit}"
    return tr(BLOWS).format(wind=figures), ((boxes, ""), ("", other))


def blank_in_units(name: str, kind: OpeningType) -> tuple[str, str]:
    """A blank for a figure with the unit that it is asked in; without one where it has none."""
    unit = UNITS.get(name)
    return "", f"({unit[is_metric(kind.width)]})" if unit else ""


def _parts(note: str) -> list[str]:
    """A note's parts, as a sheet's cells are joined in it."""
    return _APART.split(note.strip()) if note else []


def _field_of(heading: str) -> str:
    words = {word.lower() for word in _WORD.findall(heading)}
    return next((name for name, said in HEADED.items() if words & {*said}), "")
