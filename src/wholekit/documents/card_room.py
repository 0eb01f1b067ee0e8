"""How much of a page a setting card takes, so that it is set in the largest type that keeps it on
one page, and else parted where it reads best: the work first, each opening's setting after it.

Heights are estimated from the style sheet's own measures and the drawings' true size; a test holds
them against rendered pages.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from wholekit.documents.lettering import HEAVY, POINT, REGULAR, lines_of, room
from wholekit.documents.setting_card import APART, Said, Setting, SettingCard
from wholekit.domain.house_style import PageSize

# Height and width between the margins [mm].
PAGES = {PageSize.LETTER: (260.4, 183.9), PageSize.A4: (278.0, 178.0)}
# Parts of that width: the drawing's column, the plan's, the cautions' text; of a pair the column
# beside the plan, less its distance from it [mm].
LEFT, RIGHT, RIGHT_LESS, BESIDE, BESIDE_LESS = 0.57, 0.4, 9.0, 0.47, 5.0
# Columns of the table of positions, with its maker's figures and without.
WITH_MAKER, WITHOUT = (0.32, 0.21, 0.21, 0.26), (0.34, 0.29, 0.37)
CELL = 2.0
# Kept empty, since all is estimated; of a pair less, whose estimate is always too high [mm].
SPARE, SPARE_OF_PAIR = 1.5, -2.5
# Of the table of readings, the column of marks: of one leaf, or of the leaves of a pair.
MARKS, LEAVES = 0.15, 0.19
_HIGH = re.compile(r'<svg[^>]* height="([0-9.]+)mm"')


class CardType(StrEnum):
    """The size of a card's type: 8.5, 8 and 7.5 points."""

    USUAL = "usual"
    CROWDED = "crowded"
    TIGHT = "tight"


@dataclass(frozen=True, slots=True)
class _Type:
    """A size of type by the style sheet: points and leading; then margins about things [mm]."""

    points: float
    leading: float
    title_points: float
    heading: float
    letterhead: float
    drawing: float
    after: float
    item: float
    loud: float
    row: float
    reading: float
    setting: float

    @property
    def line(self) -> float:
        return self.points * self.leading * POINT

    def lines(self, text: str, width: float, weight: int = REGULAR) -> int:
        """Lines of a text in a column so wide [mm]."""
        return lines_of(text, width, self.points, weight)

    def paragraph(self, text: str, width: float) -> float:
        return self.lines(text, width) * self.line + self.after if text else 0.0


TYPES = {
    CardType.USUAL: _Type(8.5, 1.2, 15.0, 6.5, 11.9, 1.5, 0.5, 0.15, 4.8, 0.6, 2.1, 1.9),
    CardType.CROWDED: _Type(8.0, 1.16, 13.0, 6.3, 11.7, 1.5, 0.5, 0.15, 4.8, 0.6, 2.1, 1.9),
    CardType.TIGHT: _Type(7.5, 1.12, 12.0, 5.3, 9.2, 0.8, 0.3, 0.0, 3.4, 0.3, 1.5, 1.6),
}


def laid_out(card: SettingCard, page_size: PageSize) -> SettingCard:
    """The card with its cautions beside the table where that alone keeps it on one page."""
    if card.cautions_beside or not fit_of(card, page_size)[1]:
        return card
    beside = replace(card, beside=True)
    return card if fit_of(beside, page_size)[1] else beside


def fit_of(card: SettingCard, page_size: PageSize) -> tuple[CardType, bool]:
    """The type a card is set in on that paper, and whether it is parted in two."""
    high, wide = PAGES[page_size]
    measured = {fit: _Measured(card, wide, kind) for fit, kind in TYPES.items()}
    spare = SPARE_OF_PAIR if card.common.wide else SPARE
    for parted in (False, True):
        for fit, each in measured.items():
            if (each.working_page() if parted else each.all()) <= high - spare:
                return fit, parted
    return CardType.TIGHT, True


def cautions_go_over(card: SettingCard, page_size: PageSize) -> bool:
    """Whether a parted card's cautions stand with its settings, since the work fills its page."""
    high, wide = PAGES[page_size]
    return _Measured(card, wide, TYPES[CardType.TIGHT]).working_page() > high - SPARE


def height_of(card: SettingCard, page_size: PageSize, fit: CardType) -> float:
    """About how high all of a card is in that type [mm]."""
    return _Measured(card, PAGES[page_size][1], TYPES[fit]).all()


@dataclass(frozen=True, slots=True)
class _Measured:
    card: SettingCard
    width: float
    type: _Type

    def work(self) -> float:
        """What comes before the settings of the openings."""
        common = self.card.common
        height = self.type.letterhead + self._head() + self._drawings()
        if common.sketches and (common.elevation or common.plan):
            height += self.type.paragraph(common.sketches, self.width)
        if not common.wide:
            height += self._screws(self.width)
        return height + self._steps()

    def working_page(self) -> float:
        """The work with its cautions, which a fitter reads before he drills."""
        if self.card.cautions_beside:
            return self.work()
        return self.work() + self._cautions(self.width - CELL * 2.5)

    def all(self) -> float:
        """The whole card."""
        card = self.card
        height = self.working_page() + self._openings()
        height += sum(self.type.paragraph(said.text, self.width) + 1.2 for said in card.gauges)
        return height + self.type.paragraph(card.common.practice, self.width)

    def _head(self) -> float:
        card, kind = self.card, self.type
        # Led by its number, and heavy.
        title = lines_of(f"Card 99 · {card.title}", self.width, kind.title_points, HEAVY)
        told = f"{card.places} {card.common.template} {card.common.sides}" + room(60)
        height = title * kind.title_points * 1.1 * POINT + 1.1 + kind.paragraph(told, self.width)
        for said in (*card.fire, *card.alarms):
            # They are heavy, in part or all.
            height += kind.loud + kind.lines(_text(said), self.width - 6, HEAVY) * kind.line
        for said in card.warnings:
            height += 0.8 + kind.paragraph(_text(said), self.width - 3)
        if card.questions:
            asked = "; ".join(map(_text, card.questions)) + room(24)
            height += 0.8 + kind.paragraph(asked, self.width - 4)
        if card.hosts:
            height += 0.6 + kind.paragraph(" ".join(map(_text, card.hosts)), self.width)
        if card.common.no_positions:
            height += kind.loud + (
                kind.lines(card.common.no_positions, self.width - 6, HEAVY) * kind.line
            )
        return height

    def _drawings(self) -> float:
        common, kind = self.card.common, self.type
        elevation, plan = _high(common.elevation), _high(common.plan)
        if common.wide:
            beside = self.width * BESIDE - BESIDE_LESS
            table = self._positions(beside) + self._screws(beside)
            under = self._cautions(self.width * (1 - BESIDE) - BESIDE_LESS)
            return elevation + 2 * kind.drawing + max(plan + under, table)
        right = plan
        if self.card.cautions_beside:
            right += self._cautions(self.width * RIGHT - RIGHT_LESS)
        return kind.drawing + max(elevation + self._positions(self.width * LEFT), right)

    def _positions(self, width: float) -> float:
        positions, kind = self.card.common.positions, self.type
        if not positions:
            return 0.0
        converted = any(place.maker for place in positions)
        columns = WITH_MAKER if converted else WITHOUT
        height = kind.heading + kind.line + 1.4
        for place in positions:
            cells = [f"a. {place.what}", place.distance, place.measured_from]
            if converted:
                cells.insert(2, place.maker)
            deepest = max(
                kind.lines(cell, width * share - CELL)
                for cell, share in zip(cells, columns, strict=True)
            )
            height += deepest * kind.line + kind.row
        return height

    def _screws(self, width: float) -> float:
        screws, kind = self.card.screws, self.type
        if not screws:
            return 0.0
        items = sum(
            kind.lines(_text(said), width - 5, HEAVY) * kind.line + kind.item for said in screws
        )
        return kind.heading + items + kind.paragraph(self.card.common.drills_from, width)

    def _cautions(self, width: float) -> float:
        return self.type.heading + self._list(map(_text, self.card.cautions), width)

    def _steps(self) -> float:
        placing = (f"{step.lead} {step.text}" for step in self.card.common.placing)
        told = (*placing, *map(_text, self.card.steps))
        return self.type.heading + self._list(told, self.width - 5)

    def _list(self, texts: Iterable[str], width: float) -> float:
        kind = self.type
        return sum(kind.lines(text, width) * kind.line + kind.item for text in texts)

    def _openings(self) -> float:
        card, kind = self.card, self.type
        share = LEAVES if card.common.leaves else MARKS
        asked = self.width * (1 - share) / max(1, len(card.readings)) - CELL
        heads = max((kind.lines(what, asked) for what in card.readings), default=1)
        height = kind.heading + heads * kind.line + 1.4 + 0.5
        for setting in card.settings:
            height += kind.setting + self._setting(setting) * kind.line
            for mark, count in zip(setting.marks, setting.quantities, strict=True):
                names = [
                    kind.lines(f"{mark} {leaf}" + room(8), self.width * share - CELL)
                    for leaf in setting.leaves or ("",)
                ]
                height += (count if count <= APART else 1) * sum(
                    lines * kind.line + kind.reading for lines in names
                )
        return height

    def _setting(self, setting: Setting) -> int:
        """Lines of what stands over an opening's readings."""
        head = f"{setting.places} {setting.title} {setting.summary}" + room(18)
        parts = " ".join(f"{part.sku} {part.what};" for part in setting.parts)
        about = ". ".join(
            f"{mark}: {text}"
            for mark, text in zip(setting.marks, setting.about, strict=False)
            if text
        )
        told = "; ".join(f"{label} {value}" for label, value in setting.calculated)
        texts = [head, parts, about, told and told + room(32)]
        return sum(self.type.lines(text, self.width) for text in texts if text)


def _text(said: Said) -> str:
    return f"{said.places} {said.lead} {said.text}".strip() + (room(6) if said.places else "")


def _high(drawing: str) -> float:
    found = _HIGH.search(drawing)
    return float(found[1]) if found else 0.0
