"""How much of a page a drilling sheet's texts take, so that its drawing keeps to what is left.

Heights are estimated from the style sheet's own measures; a test holds them against rendered pages.
"""

from dataclasses import dataclass, replace

from wholekit.documents.drawings import Tiles, draw_tiles
from wholekit.documents.drawings.tiling import ABOVE_AND_BELOW, PAPER, TEXTS_BELOW, tiling_of
from wholekit.documents.drilling_sheet import DrillingSheet
from wholekit.documents.lettering import HEAVY, lines_of, room
from wholekit.documents.setting_card import Said
from wholekit.domain.house_style import PageSize
from wholekit.wording.speech import tr, trn

# Signs of marks that a line of a drilling sheet has room for, alone and before a note.
LONG, SHORT = 120, 50
# The most that texts may take beyond the usual, so that a row of holes has its room [mm].
BEYOND = 34.0
# Lines of the style sheet [mm]: of its head, texts and the words beside the table; type in points.
HEAD, HEAD_POINTS, LINE, POINTS, WORDS, WORDS_POINTS = 5.05, 13.0, 3.39, 8.0, 2.8, 7.2
# White at the sides; above and below [mm].
SIDES, EDGES = 16.0, 18.0
BOX, AFTER = 4.9, 0.5
# Rules, or the table of four holes [mm]; the words' part of the page's width, less their distance.
TABLE, ASIDE, ASIDE_LESS = 21.0, 0.28, 3.0
# Signs that say how parts join, and those about a sheet's openings, template and cards.
JOINS, LABELS = 190, 70


@dataclass(frozen=True, slots=True)
class SheetTexts:
    """What stands over a sheet's drawing, or where the rest of it stands.

    boxed: loud, with the marks they hold for; look: what was assumed; more: that the card warns of
    more, empty for nothing. screws: empty where only the card has room for them. elsewhere: on
    which of its parts the warnings stand, empty where they stand here.
    """

    places: str
    boxed: tuple[Said, ...]
    look: tuple[Said, ...]
    more: str
    screws: tuple[Said, ...]
    elsewhere: str = ""


def sheet_texts(sheet: DrillingSheet, letter: str, page_size: PageSize) -> SheetTexts:
    """A sheet's texts; warnings that its page has no room for are those of its setting cards."""
    places = tr("{places}; {count} in all.").format(places=sheet.places, count=sheet.quantity)
    front = tr("those of {sheet} on the first pages.").format(sheet=letter)
    boxed = tuple(map(_short, (*sheet.notes, *sheet.warnings)))
    texts = SheetTexts(
        places if len(places) <= LONG else front,
        boxed,
        tuple(map(_short, sheet.questions)),
        "",
        sheet.screws,
    )
    cards = ", ".join(map(str, sheet.cards))
    more = trn(
        "MORE WARNINGS: read setting card {numbers} before drilling.",
        "MORE WARNINGS: read setting cards {numbers} before drilling.",
        len(sheet.cards),
    ).format(numbers=cards)
    if not sheet.cards:
        more = tr("MORE WARNINGS: read the setting card before drilling.")
    # What the card says too gives way first: the screws, what was assumed, then the last of the
    # warnings.
    plain = replace(texts, screws=())
    if _pages(sheet, plain, page_size) < _pages(sheet, texts, page_size):
        texts = plain
    while max(_beyond(sheet, texts, page_size)) > BEYOND and (
        texts.screws or texts.look or len(texts.boxed) > 1
    ):
        if texts.screws:
            texts = replace(texts, screws=())
        elif texts.look:
            texts = replace(texts, look=(), more=more)
        else:
            texts = replace(texts, boxed=texts.boxed[:-1], more=more)
    return texts


def tiles_of(sheet: DrillingSheet, letter: str, page_size: PageSize) -> Tiles:
    """The sheet's drawing on as few pages as leave room for its texts."""
    texts = sheet_texts(sheet, letter, page_size)
    beyond, brief = _beyond(sheet, texts, page_size), _brief(sheet, texts, page_size)
    return draw_tiles(sheet.trued, page_size, letter, beyond, brief)


def texts_of(texts: SheetTexts, tiles: Tiles, page: int) -> SheetTexts:
    """A sheet's texts as they stand on one of its pages, from 0: all, or where they are."""
    if tiles.lead is None or tiles.lead == page:
        return texts
    return _elsewhere(texts, ", ".join(tile.name for tile in tiles.pages[tiles.lead]))


def _elsewhere(texts: SheetTexts, name: str) -> SheetTexts:
    said = tr("READ THE WARNINGS ON {name} BEFORE DRILLING.").format(name=name)
    return replace(texts, boxed=(), look=(), more="", elsewhere=said)


def _pages(sheet: DrillingSheet, texts: SheetTexts, page_size: PageSize) -> int:
    """How many sheets of paper the drawing takes under such texts [count]."""
    beyond, brief = _beyond(sheet, texts, page_size), _brief(sheet, texts, page_size)
    return len(tiling_of(sheet.trued, page_size, beyond, brief).pages)


def _brief(
    sheet: DrillingSheet, texts: SheetTexts, page_size: PageSize
) -> tuple[float, float] | None:
    """As `_beyond` on a part that refers to another for its warnings; None where it has none."""
    if not (texts.boxed or texts.look or texts.more):
        return None
    return _beyond(sheet, _elsewhere(texts, "AA-1"), page_size)


def _short(said: Said) -> Said:
    """Without a list of marks that is too long here; that it is of some alone is said."""
    if len(said.places) <= SHORT:
        return said
    some = tr("Some of them only, see the setting card: {said}")
    return replace(said, places="", text=some.format(said=said.text))


def _beyond(sheet: DrillingSheet, texts: SheetTexts, page_size: PageSize) -> tuple[float, float]:
    """What the texts take beyond the usual, on a turned sheet and on an upright one [mm]."""
    short, long = PAPER[page_size]
    turned = _height(sheet, texts, long - SIDES, turned=True) - ABOVE_AND_BELOW
    upright = _height(sheet, texts, short - SIDES, turned=False) - ABOVE_AND_BELOW - TEXTS_BELOW
    return max(0.0, turned), max(0.0, upright)


def _height(sheet: DrillingSheet, texts: SheetTexts, width: float, *, turned: bool) -> float:
    """All but the drawing, with the page's edges [mm]."""
    head = lines_of(sheet.title + room(60), width, HEAD_POINTS, HEAVY) * HEAD + 1.0
    named = f"{texts.places} {sheet.template} {sheet.seen}" + room(LABELS)
    above = lines_of(named, width, POINTS) * LINE + AFTER
    inner = width - 6.0
    if texts.boxed or texts.more:
        above += BOX
        for said in texts.boxed:
            above += lines_of(_text(said), inner, POINTS, HEAVY) * LINE + AFTER
        if texts.more:
            above += lines_of(texts.more, inner, POINTS, HEAVY) * LINE + AFTER
    if texts.look:
        look = "; ".join(map(_text, texts.look)) + room(30)
        above += 0.8 + lines_of(look, width - 4, POINTS) * LINE + AFTER
    loud = tr("Print at 100 %, no scaling; check both rules before drilling.")
    loud += tr("The maker's template in the box governs.") + room(JOINS) + texts.elsewhere
    above += BOX + lines_of(loud, inner, POINTS) * LINE
    measures = "; ".join(
        f"{place.what} {place.distance} · {place.measured_from}" for place in sheet.measures
    )
    words = [
        f"{measures} {sheet.ring}",
        " ".join(map(_text, sheet.hosts)),
        ". ".join(map(_text, texts.screws)) or tr("Fasteners: on the setting card."),
    ]
    line, points = (WORDS, WORDS_POINTS) if turned else (LINE, POINTS)
    column = width * ASIDE - ASIDE_LESS if turned else width
    below = sum(lines_of(text, column, points) * line + AFTER for text in words if text)
    return EDGES + head + above + (max(TABLE, below) if turned else TABLE + below)


def _text(said: Said) -> str:
    return f"{said.places} {said.text}" + (room(6) if said.places else "")
