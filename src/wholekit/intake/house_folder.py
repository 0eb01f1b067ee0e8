"""A house folder: `style.toml`, a logo, `walk.toml`, and templates of its own in `papers`."""

import re
from collections.abc import Mapping, Sequence
from enum import StrEnum
from pathlib import Path

from wholekit.domain.contrast import LEAST_CONTRAST, contrast_on_white, is_colour, legible
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.house_style import HouseCard, HouseStyle, HouseTexts, PageSize
from wholekit.domain.walk import Stretch, Walk, walk_order
from wholekit.intake.house_papers import check_papers
from wholekit.intake.logo import read_logo
from wholekit.intake.text_file import is_line
from wholekit.intake.toml_table import Table, read_toml

STYLE, WALK, PAPERS = "style.toml", "walk.toml", "papers"
LONGEST, LONGEST_FOOTER = 120, 160
MOST_LINES, MOST_TERMS, LONGEST_TERM = 6, 20, 600
MOST_STRETCHES = 500
_EMAIL = re.compile(r"[^\s@<>\"']+@[^\s@<>\"']+\.[^\s@<>\"'.]+")
_TURNING = re.compile("[\u200e\u200f\u202a-\u202e\u2066-\u2069]")


class SheetWord(StrEnum):
    """The sheets of paper as a house names them."""

    LETTER = "letter"
    A4 = "a4"


def read_house_folder(
    folder: Path, templates: Path, languages: Sequence[str]
) -> tuple[HouseStyle, tuple[Problem, ...]]:
    """What a house folder says, and what of it was taken otherwise than it stands there.

    templates: those of the program, which the house's replace by name. languages: those there are
    words in beside English [CLDR codes]. Raises InputError with every fault of every file at once.
    """
    problems: list[Problem] = []
    notes: list[Problem] = []
    style = folder / STYLE
    if not any((folder / name).exists() for name in (STYLE, WALK, PAPERS)):
        raise InputError([Problem("house-folder-missing", {"style": STYLE}, str(folder))])
    found = HouseStyle()
    document = read_toml(style, str(style), problems) if style.exists() else None
    if document is not None:
        found = _style(document, folder, languages, problems, notes)
    own = folder / PAPERS
    return (
        _finished(
            HouseStyle(
                found.card,
                found.paper,
                found.accent,
                found.logo,
                _read_walk(folder / WALK, problems),
                str(folder.absolute()) if check_papers(own, templates / PAPERS, problems) else "",
                found.language,
            ),
            problems,
        ),
        tuple(notes),
    )


def _finished(style: HouseStyle, problems: list[Problem]) -> HouseStyle:
    if problems:
        raise InputError(problems)
    return style


def _style(
    document: Mapping[str, object],
    folder: Path,
    languages: Sequence[str],
    problems: list[Problem],
    notes: list[Problem],
) -> HouseStyle:
    where = str(folder / STYLE)
    table = Table(document, where, "", problems)
    email = _line(table, "email")
    if email and not _EMAIL.fullmatch(email):
        table.fault("house-email-wrong", "email", given=email)
    sends = table.words("languages")
    for language in sends:
        if language not in ("en", *languages):
            table.fault(
                "house-language-unknown", "languages", given=language, known=("en", *languages)
            )
    stays = table.text("house_language", "en")
    if stays not in ("en", *languages):
        table.fault(
            "house-language-unknown", "house_language", given=stays, known=("en", *languages)
        )
    texts = [("", _texts(table))]
    for language in ("en", *languages):
        own = table.table(language)
        if own is not None:
            texts.append((language, _texts(own)))
            own.finish()
    sheet = table.choice_if_given("paper", SheetWord)
    accent = _accent(table, where, notes)
    logo = None
    name = table.text("logo", "")
    named = table.flag("logo_has_name")
    if name and _plain_name(table, name):
        logo = read_logo(folder / name, problems, named=named)
    style = HouseStyle(
        HouseCard(
            _line(table, "name"),
            _lines(table, "address", MOST_LINES, LONGEST),
            _line(table, "telephone"),
            email,
            tuple(texts),
            sends if table.has("languages") else None,
        ),
        None if sheet is None else PageSize.A4 if sheet is SheetWord.A4 else PageSize.LETTER,
        accent,
        logo,
        language=stays,
    )
    table.finish()
    return style


def _texts(table: Table) -> HouseTexts:
    return HouseTexts(
        _lines(table, "terms", MOST_TERMS, LONGEST_TERM),
        _lines(table, "registration", MOST_LINES, LONGEST),
        _line(table, "footer", LONGEST_FOOTER),
    )


def _line(table: Table, key: str, most: int = LONGEST) -> str:
    text = table.text(key, "")
    # What is no line at all was told already.
    if text and is_line(text) and not _fits(text, most):
        table.fault("house-text-unfit", key, most=most)
    return text


def _lines(table: Table, key: str, most: int, longest: int) -> tuple[str, ...]:
    texts = table.words(key)
    if len(texts) > most:
        table.fault("house-lines-too-many", key, given=len(texts), most=most)
    if not all(_fits(text, longest) for text in texts):
        table.fault("house-text-unfit", key, most=longest)
    return texts


def _fits(text: str, most: int) -> bool:
    """Whether a text is printed in a line or paragraph of at most so many characters."""
    # Cut into pieces since a term may be longer than a line of a catalogue.
    pieces = (text[at : at + 150] for at in range(0, len(text), 150))
    return (
        bool(text.strip())
        and len(text) <= most
        and not _TURNING.search(text)
        and all(is_line(f"{piece}.") for piece in pieces)
    )


def _accent(table: Table, where: str, notes: list[Problem]) -> str:
    given = table.text("accent", "")
    if not is_colour(given):
        if given:
            table.fault("house-colour-wrong", "accent", given=given)
        return ""
    taken = legible(given)
    if taken != given.lower():
        fields = {
            "given": given,
            "ratio": f"{contrast_on_white(given):.1f}",
            "least": f"{LEAST_CONTRAST}",
            "taken": taken,
        }
        notes.append(Problem("house-colour-light", fields, where, column="accent"))
    return taken


def _plain_name(table: Table, name: str) -> bool:
    """Whether a logo's file is one in the folder itself, and no path or address."""
    if name in (".", "..") or re.search(r"[/\\:]", name):
        table.fault("house-logo-elsewhere", "logo", given=name)
        return False
    return True


def _read_walk(path: Path, problems: list[Problem]) -> Walk:
    if not path.exists():
        return Walk()
    document = read_toml(path, str(path), problems)
    if document is None:
        return Walk()
    table = Table(document, str(path), "", problems)
    entries = table.tables("stretch")
    table.finish()
    if len(entries) > MOST_STRETCHES:
        table.fault("house-lines-too-many", "stretch", given=len(entries), most=MOST_STRETCHES)
    stretches: dict[object, Stretch] = {}
    for number, entry in enumerate(entries[:MOST_STRETCHES], 1):
        each = Table(entry, str(path), f"stretch[{number}]", problems)
        zone, back = each.text("zone"), each.flag("back")
        parts = walk_order(zone)
        if zone and parts == walk_order(""):
            each.fault("walk-zone-wrong", "zone", given=zone)
        elif zone and parts in stretches:
            each.fault("walk-zone-twice", "zone", given=zone, first=stretches[parts].zone)
        elif zone:
            stretches[parts] = Stretch(zone, back)
        each.finish()
    return Walk(tuple(stretches.values()))
