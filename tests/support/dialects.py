"""One set of openings, written as dozens of offices would write it.

A dialect is drawn at random: language, headings, how sizes and each kind of value are spelled,
units, separator, encoding, and what an unknown looks like. Every spelling here means one thing
only, so that the same openings must come back.
"""

import csv
import io
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.openings import Door, Frame, Hand, Location, Mount, Opening, OpeningType, Swing
from wholekit.domain.quantities import Length

ENGLISH, FRENCH, SPANISH = "en", "fr", "es"
HEADINGS = {
    "mark": {ENGLISH: ["Mark", "Door No.", "Door Number"], FRENCH: ["Repère", "Porte N°"],
             SPANISH: ["Marca", "Puerta no."]},
    "quantity": {ENGLISH: ["Qty", "Quantity"], FRENCH: ["Quantité"], SPANISH: ["Cantidad"]},
    "size": {ENGLISH: ["Door Size", "Size"], FRENCH: ["Dimensions"], SPANISH: ["Medidas"]},
    "width": {ENGLISH: ["Width"], FRENCH: ["Largeur"], SPANISH: ["Ancho"]},
    "height": {ENGLISH: ["Height"], FRENCH: ["Hauteur"], SPANISH: ["Alto"]},
    "thickness": {ENGLISH: ["Thickness", "Thk"], FRENCH: ["Épaisseur"], SPANISH: ["Espesor"]},
    "door": {ENGLISH: ["Door Matl", "Door Material"], FRENCH: ["Matériau porte"],
             SPANISH: ["Material puerta"]},
    "frame": {ENGLISH: ["Frame", "Frame Matl"], FRENCH: ["Huisserie"], SPANISH: ["Marco"]},
    "location": {ENGLISH: ["Int/Ext", "Location"], FRENCH: ["Int/Ext"], SPANISH: ["Int/Ext"]},
    "hand": {ENGLISH: ["Handing", "Hand"], FRENCH: ["Main"], SPANISH: ["Mano"]},
    "swing": {ENGLISH: ["Swing"], FRENCH: ["Sens d'ouverture"], SPANISH: ["Apertura"]},
    "fire_minutes": {ENGLISH: ["Fire Rating", "Rating", "Label"], FRENCH: ["Coupe-feu"],
                     SPANISH: ["Cortafuego"]},
    "accessible": {ENGLISH: ["ADA"], FRENCH: ["PMR"], SPANISH: ["Accesible"]},
    "mount": {ENGLISH: ["mount"], FRENCH: ["mount"], SPANISH: ["mount"]},
    "finish": {ENGLISH: ["Finish"], FRENCH: ["Finition"], SPANISH: ["Acabado"]},
}  # fmt: skip
WORDS: dict[str, dict[object, dict[str, list[str]]]] = {
    "door": {
        Door.HOLLOW_METAL: {ENGLISH: ["HM", "HMD", "hollow metal", "STL"], FRENCH: ["acier"],
                            SPANISH: ["acero", "metálica"]},
        Door.WOOD: {ENGLISH: ["WD", "SCWD", "wood"], FRENCH: ["bois", "âme pleine"],
                    SPANISH: ["madera"]},
        Door.ALUMINUM: {ENGLISH: ["AL", "ALUM"], FRENCH: ["alu"], SPANISH: ["aluminio"]},
        Door.COMPOSITE: {ENGLISH: ["FRP", "composite"], FRENCH: ["fibre de verre"],
                         SPANISH: ["fibra de vidrio"]},
    },
    "frame": {
        Frame.STEEL: {ENGLISH: ["HM", "HMF", "steel", "KD"], FRENCH: ["acier"], SPANISH: ["acero"]},
        Frame.WOOD: {ENGLISH: ["WD", "wood"], FRENCH: ["bois"], SPANISH: ["madera"]},
        Frame.ALUMINUM: {ENGLISH: ["AL", "ALUM"], FRENCH: ["alu"], SPANISH: ["aluminio"]},
    },
    "location": {
        Location.INTERIOR: {ENGLISH: ["INT", "interior"], FRENCH: ["intérieur", "int."],
                            SPANISH: ["interior"]},
        Location.EXTERIOR: {ENGLISH: ["EXT", "exterior"], FRENCH: ["extérieur", "ext."],
                            SPANISH: ["exterior"]},
    },
    "swing": {
        Swing.IN: {ENGLISH: ["in", "inswing"], FRENCH: ["vers l'intérieur"],
                   SPANISH: ["hacia adentro"]},
        Swing.OUT: {ENGLISH: ["out", "outswing"], FRENCH: ["vers l'extérieur"],
                    SPANISH: ["hacia afuera"]},
    },
    "hand": {
        Hand.LH: {ENGLISH: ["LH"], FRENCH: ["LH"], SPANISH: ["LH"]},
        Hand.RH: {ENGLISH: ["RH"], FRENCH: ["RH"], SPANISH: ["RH"]},
        Hand.LHR: {ENGLISH: ["LHR", "LHRB"], FRENCH: ["LHR"], SPANISH: ["mano izquierda inversa"]},
        Hand.RHR: {ENGLISH: ["RHR", "RHRB", "RH reverse"], FRENCH: ["RHR"],
                   SPANISH: ["mano derecha inversa"]},
    },
    "fire_minutes": {
        0: {ENGLISH: ["NR", "-", "N/A", "none"], FRENCH: ["aucun", "-"], SPANISH: ["ninguno", "-"]},
        20: {ENGLISH: ["20M", "20 MIN", "20"], FRENCH: ["20 min"], SPANISH: ["20 min"]},
        30: {ENGLISH: ["FD30", "30 MIN"], FRENCH: ["CF 1/2 h", "EI 30"], SPANISH: ["EI 30"]},
        45: {ENGLISH: ["3/4 HR", "C", "C (3/4 HR)", "45 MIN"], FRENCH: ["45 min"],
             SPANISH: ["45 min"]},
        60: {ENGLISH: ["1 HR", "B (1 HR)", "60 MIN", "FD60S"], FRENCH: ["CF 1 h"],
             SPANISH: ["RF-60"]},
        90: {ENGLISH: ["1-1/2 HR", "90 MIN", "B (1-1/2 HR)", "D", "1.5 HR"], FRENCH: ["1,5 h"],
             SPANISH: ["90 min"]},
        180: {ENGLISH: ["A", "3 HR", "180"], FRENCH: ["3 h"], SPANISH: ["3 h"]},
    },
    "accessible": {
        True: {ENGLISH: ["Y", "X", "yes", "✓"], FRENCH: ["oui"], SPANISH: ["sí"]},
        False: {ENGLISH: ["N", "no"], FRENCH: ["non"], SPANISH: ["no"]},
    },
    "mount": {
        Mount.REGULAR: {ENGLISH: ["REG", "regular arm"], FRENCH: ["bras normal"],
                        SPANISH: ["brazo regular"]},
        Mount.PARALLEL: {ENGLISH: ["PA", "parallel"], FRENCH: ["bras parallèle"],
                         SPANISH: ["brazo paralelo"]},
        Mount.TOP_JAMB: {ENGLISH: ["TJ", "top jamb"], FRENCH: ["TJ"], SPANISH: ["TJ"]},
    },
    "finish": {
        "689": {ENGLISH: ["689", "ALUM", "aluminum"], FRENCH: ["aluminium"], SPANISH: ["aluminio"]},
        "690": {ENGLISH: ["690", "DKB", "dark bronze"], FRENCH: ["bronze foncé"],
                SPANISH: ["bronce oscuro"]},
        "626": {ENGLISH: ["626", "26D", "US26D", "satin chrome"], FRENCH: ["chrome satiné"],
                SPANISH: ["cromo satinado"]},
        "628": {ENGLISH: ["628", "28", "SAA"], FRENCH: ["628"], SPANISH: ["628"]},
        "693": {ENGLISH: ["693", "BLK", "black"], FRENCH: ["noir"], SPANISH: ["negro"]},
    },
}  # fmt: skip
# What nobody knows, as written; a column of marks or labels would not say so with a dash.
UNKNOWN = ["", "TBD", "?"]
CLEAR_UNKNOWN = ["fire_minutes", "accessible"]
INCHES = [(30, 80), (32, 80), (33, 84), (36, 84), (36, 80), (42, 84), (48, 96)]
THICKNESS = ["1-3/4", "1-3/8"]


@dataclass(frozen=True)
class Written:
    """A schedule as somebody sent it."""

    data: bytes
    text: str


def random_openings(draw: random.Random, count: int) -> list[Opening]:
    """So many openings, each fact stated or not; leaf sizes in whole inches."""
    return [
        Opening(f"{101 + number}", _kind(draw), draw.choice([1, 1, 2, 12]))
        for number in range(count)
    ]


def write(openings: Sequence[Opening], draw: random.Random) -> Written:
    """The openings in a dialect drawn at random."""
    language = draw.choice([ENGLISH, ENGLISH, FRENCH, SPANISH])
    stated = [
        name for name in WORDS if any(getattr(one.type, name) is not None for one in openings)
    ]
    sized, size_columns = draw.choice(_SIZES)(draw, language)
    columns: list[tuple[str, Callable[[Opening], str]]] = [
        (_heading("mark", language, draw), lambda one: one.mark),
        (_heading("quantity", language, draw), lambda one: _count(one.quantity, draw)),
    ]
    columns += [(heading, sized[name]) for name, heading in size_columns]
    columns += [(_heading(name, language, draw), _worded(name, language, draw)) for name in stated]
    head, *rest = columns
    draw.shuffle(rest)
    rows = [[heading for heading, _ in (head, *rest)]]
    rows += [[write_cell(one) for _, write_cell in (head, *rest)] for one in openings]
    separator = draw.choice(",;\t")
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator=draw.choice(["\n", "\r\n"])).writerows(rows)
    text = out.getvalue()
    return Written(_encoded(text, draw), text)


def _kind(draw: random.Random) -> OpeningType:
    wide, high = draw.choice(INCHES)
    facts: dict[str, object] = {
        name: draw.choice(list(words)) for name, words in WORDS.items() if draw.random() < 0.6
    }
    if draw.random() < 0.5:
        facts["thickness"] = Length.inches(1, *map(int, draw.choice(THICKNESS)[2:].split("/")))
    leaves = draw.choice([1, 1, 2])
    return OpeningType(Length.inches(wide), Length.inches(high), leaves, **facts)  # type: ignore[arg-type]


def _heading(name: str, language: str, draw: random.Random) -> str:
    heading = draw.choice(HEADINGS[name][language])
    return draw.choice([heading, heading.upper()])


def _count(count: int, draw: random.Random) -> str:
    return draw.choice([str(count), f"({count})", f"{count} EA"])


def _worded(name: str, language: str, draw: random.Random) -> Callable[[Opening], str]:
    unknown = [""] if name in CLEAR_UNKNOWN else UNKNOWN

    def cell(one: Opening) -> str:
        value = getattr(one.type, name)
        if value is None:
            return draw.choice(unknown)
        return draw.choice(WORDS[name][value][language])

    return cell


Sized = tuple[dict[str, Callable[[Opening], str]], list[tuple[str, str]]]


def _in_one_cell(draw: random.Random, language: str) -> Sized:
    """Feet and inches in one column, thickness and leaves in it as well."""
    form = draw.choice(["quoted", "hyphens", "spaced", "digits", "inches"])
    pair = draw.choice(["PR {}", "{} PR", "(2) {}", "PAIR {}"])

    def cell(one: Opening) -> str:
        wide, high = (_feet(side) for side in (one.type.width, one.type.height))
        thick = "" if one.type.thickness is None else str(one.type.thickness).removesuffix(" in")
        text = {
            "quoted": f"{wide[0]}'-{wide[1]}\" x {high[0]}'-{high[1]}\"",
            "hyphens": f"{wide[0]}-{wide[1]} x {high[0]}-{high[1]}",
            "spaced": f"{wide[0]}-{wide[1]} {high[0]}-{high[1]}",
            "digits": f"{wide[0]}{wide[1]}{high[0]}{high[1]}",
            "inches": f"{one.type.width} x {one.type.height}",
        }[form]
        if thick:
            text += f' x {thick}"'
        return pair.format(text) if one.type.leaves == 2 else text

    return {"size": cell}, [("size", _heading("size", language, draw))]


def _in_columns(draw: random.Random, language: str) -> Sized:
    """Width and height apart, in one unit told by the heading or by each cell; leaves apart."""
    unit = draw.choice(["mm", "cm", "m", "in"])
    in_heading = draw.random() < 0.5
    comma = unit != "in" and draw.random() < 0.5

    def length(value: Length | None) -> str:
        if value is None:
            return ""
        number = {"mm": value.in_millimetres, "cm": value.in_millimetres / 10,
                  "m": value.in_metres, "in": value.in_inches}[unit]  # fmt: skip
        text = f"{number:.6f}".rstrip("0").rstrip(".")
        text = text.replace(".", ",") if comma else text
        return text if in_heading else f"{text} {unit}"

    heads = {
        name: _heading(name, language, draw) + (f" ({unit})" if in_heading else "")
        for name in ("width", "height", "thickness")
    }
    cells: dict[str, Callable[[Opening], str]] = {name: _side(name, length) for name in heads}
    cells["leaves"] = lambda one: draw.choice(["PR", "2"] if one.type.leaves == 2 else ["SGL", "1"])
    return cells, [*heads.items(), ("leaves", "leaves")]


_SIZES = (_in_one_cell, _in_columns)


def _side(name: str, length: Callable[[Length | None], str]) -> Callable[[Opening], str]:
    return lambda one: length(getattr(one.type, name))


def _feet(side: Length) -> tuple[int, int]:
    return divmod(int(Fraction(side.nm, 25_400_000)), 12)


def _encoded(text: str, draw: random.Random) -> bytes:
    """In UTF-8 with or without its mark, UTF-16 or, where that has every sign, cp1252."""
    encodings = ["utf-8", "utf-8-sig", "utf-16"]
    try:
        text.encode("cp1252")
        encodings.append("cp1252")
    except UnicodeEncodeError:
        pass
    return text.encode(draw.choice(encodings))
