"""The papers of fitter and architect as HTML: setting cards, drilling sheets, submittal."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from wholekit.documents.card_room import cautions_go_over, fit_of, laid_out
from wholekit.documents.drawings import draw_rules
from wholekit.documents.drilling_room import sheet_texts, texts_of, tiles_of
from wholekit.documents.drilling_sheet import DrillingPaper
from wholekit.documents.flow import Block, Flow, Renderer, coded, flow_of
from wholekit.documents.papers import (
    PaperHead,
    SettingCardPaper,
)
from wholekit.documents.setting_card import HoldPage, SettingCard
from wholekit.documents.submittal import SubmittalPaper
from wholekit.wording.drilling import DRILLS_FROM
from wholekit.wording.speech import tr


def setting_cards_flow(paper: SettingCardPaper, render: Renderer) -> Flow:
    """An index where there are several, then a card for each drilling and a page for each hold."""

    def blocks() -> Iterator[Block]:
        # One card needs no index.
        several = len(paper.cards) > 1
        if several:
            yield Block(
                render("card_index", number=0, head=paper.head, cards=paper.cards, running=False),
                tr("Index of setting cards"),
                names=_blocks_of(paper.cards, 1),
            )
        rest_at = tr("the rest stands on the packing slip")
        yield from _cards(paper.cards, int(several), paper.head, render, rest_at, several)

    css = render.css(paper.head, "setting_card")
    return flow_of(tr("Setting card"), paper.head, css, blocks(), apart=True)


def _blocks_of(cards: Sequence[SettingCard | HoldPage], number: int) -> tuple[int, ...]:
    """The block of each card, from the block with that number on: all on HOLD share the last."""
    held = number + sum(not isinstance(card, HoldPage) for card in cards)
    return tuple(
        held if isinstance(card, HoldPage) else number + at for at, card in enumerate(cards)
    )


def _cards(
    cards: Sequence[SettingCard | HoldPage],
    number: int,
    head: PaperHead,
    render: Renderer,
    rest_at: str,
    several: bool = True,
) -> Iterator[Block]:
    """Cards, then all that is on HOLD in one block, numbered from the block with that number on.

    rest_at: where a note stands whole that has no room; several: each has a number.
    """
    held: list[tuple[str, HoldPage]] = []
    for at, card in enumerate(cards):
        # As the index and the labels of bags name it.
        if isinstance(card, HoldPage):
            sheet = tr("HOLD sheet {number}").format(number=at + 1) if several else ""
            held.append((sheet, card))
            continue
        named = tr("Card {number}").format(number=at + 1) if several else ""
        card = laid_out(card, head.page_size)
        fit, parted = fit_of(card, head.page_size)
        drawings = {"elevation": coded(card.common.elevation), "plan": coded(card.common.plan)}
        html = render(
            "setting_card",
            number=number + at,
            head=head,
            card=card,
            named=named,
            rest_at=rest_at,
            fit=fit.value,
            parted=parted,
            cautions_over=parted and cautions_go_over(card, head.page_size),
            **drawings,
        )
        yield Block(html, f"{named}{tr(': ')}{card.places}; {card.title}".removeprefix(tr(": ")))
    if held:
        at = number + len(cards) - len(held)
        places = ", ".join(card.places for _, card in held)
        html = render("hold_page", number=at, head=head, held=held)
        yield Block(html, f"{tr('HOLD:')} {places}")


def submittal_flow(paper: SubmittalPaper, render: Renderer) -> Flow:
    """What the architect reviews, part by part in the outline."""
    shared = {"paper": paper, "head": paper.head}
    contents = (
        (tr("Openings"), tr("every opening with its kit and its setting card")),
        (tr("Kits"), tr("items, finish and what is to be looked at, by kit")),
        (tr("Forces and latching"), tr("calculated, beside the limits that bind")),
        (tr("Assumptions and cautions"), tr("what the schedule left open, by mark")),
        (tr("Setting cards"), tr("drilling, order of work and settings")),
    )

    def parts() -> Iterator[tuple[str, dict[str, object], str, bool]]:
        front: dict[str, object] = {"contents": contents, "facts": paper.facts}
        yield "submittal_front", front, tr("Submittal"), False
        yield "submittal_index", {}, tr("Openings"), False
        for at, kit in enumerate(paper.kits):
            title = tr("Kit {number}").format(number=kit.number)
            values = {"kit": kit, "first": at == 0}
            yield "submittal_kit", values, f"{title}{tr(': ')}{kit.places}", True
        yield "submittal_forces", {}, tr("Forces and latching"), False
        # Before the cards, which take pages of their own: what runs on stays together.
        yield "submittal_end", {}, tr("Assumptions and cautions"), False

    def blocks() -> Iterator[Block]:
        number = -1
        # Cover and index, the kits, forces, assumptions; then the cards with their index.
        kits = len(paper.kits)
        begins = (1, 2, 2 + kits, 3 + kits, 4 + kits)
        for number, (template, values, title, under) in enumerate(parts()):
            html = render(template, number=number, **values, **shared)
            section = tr("Kits") if values.get("first") else ""
            yield Block(html, title, under, section, names=() if number else begins)
        number += 1
        index = render(
            "card_index", number=number, head=paper.head, cards=paper.cards, running=True
        )
        yield Block(index, tr("Setting cards"), names=_blocks_of(paper.cards, number + 1))
        rest_at = tr("the rest stands in the schedule")
        for block in _cards(paper.cards, number + 1, paper.head, render, rest_at):
            number += 1
            yield block._replace(under=True)

    css = render.css(paper.head, "setting_card", "submittal")
    return flow_of(tr("Submittal"), paper.head, css, blocks())


def drilling_flow(paper: DrillingPaper, render: Renderer) -> Flow:
    """The front, then every sheet in its tiles, in true size."""
    letters = [_letters(number) for number in range(len(paper.sheets))]
    drawn = [
        tiles_of(sheet, letter, paper.head.page_size)
        for letter, sheet in zip(letters, paper.sheets, strict=True)
    ]

    def blocks() -> Iterator[Block]:
        shared = {"paper": paper, "head": paper.head, "drawn": drawn}
        yield Block(
            render("drilling_front", number=0, drills_from=tr(DRILLS_FROM), **shared),
            tr("Drilling sheets in true size"),
        )
        rules = coded(draw_rules())
        number = 0
        for letter, sheet, tiles in zip(letters, paper.sheets, drawn, strict=True):
            said = sheet_texts(sheet, letter, paper.head.page_size)
            for place, page in enumerate(tiles.pages):
                number += 1
                values = {
                    "sheet": sheet,
                    "said": texts_of(said, tiles, place),
                    "turned": tiles.turned,
                    "page": page,
                    "drawings": [coded(tile.drawing) for tile in page],
                    "rules": rules,
                    "place": (place + 1, len(tiles.pages)),
                }
                html = render("drilling_tile", number=number, head=paper.head, **values)
                title = f"{letter}{tr(': ')}{sheet.places}; {sheet.title}"
                yield Block(html, "" if place else title)

    css = render.css(paper.head, "setting_card", "drilling")
    css += f"@page turned {{ size: {paper.head.page_size} landscape }}"
    return replace(flow_of(tr("Drilling sheet"), paper.head, css, blocks()), true_size=True)


def _letters(number: int) -> str:
    """A, B … Z, AA, AB …, from 0."""
    name = ""
    while number >= 0:
        name = chr(ord("A") + number % 26) + name
        number = number // 26 - 1
    return name
