"""Drilling sheets: the holes of each setting card in true size, to lay on the leaf or frame."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from wholekit.documents.card_placing import Drilled, drilled_of, is_metric, leaves_of
from wholekit.documents.card_sharing import places_of, said_with_marks
from wholekit.documents.drawings import DrawnLeaf, Trued
from wholekit.documents.drilling_sheet import (
    DrilledFor,
    DrilledHole,
    DrillingPaper,
    DrillingSheet,
    Undrawn,
)
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_drills import stated_host
from wholekit.documents.setting_card import HoldPage, Position, Said, Setting, SettingCard, Step
from wholekit.domain.catalog import FastenerKind, Role, Template
from wholekit.domain.catalog.drills import MM_PER_INCH, screw_diameter
from wholekit.domain.openings import BodySide, Mount
from wholekit.domain.quantities import Length
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferKit
from wholekit.domain.rules import RuleBook
from wholekit.wording import drilling as words
from wholekit.wording import hands as hand_words
from wholekit.wording.fitting import REUSED
from wholekit.wording.speech import figure, speaking, tr
from wholekit.wording.units import measure

# Diameter of the circle about a hole whose screws have no one size [mm].
CENTRE_MARK = 4.0
# How far past its holes the edge of rail or head is still drawn [mm].
FAR_EDGE = 40.0


class _Drawn(NamedTuple):
    """What must be equal for openings to share a sheet: all that is drawn and tabled on it."""

    title: str
    template: str
    seen: str
    trued: Trued
    holes: tuple[DrilledHole, ...]
    measures: tuple[Position, ...]
    ring: str


class _Use(NamedTuple):
    """A card that a sheet is for, and which leaf or hand of its openings."""

    card: SettingCard
    hand: str
    unknown: bool


def drilling_paper(offer: Offer, rules: RuleBook, notice: str = "") -> DrillingPaper:
    """A sheet for each drilling and side of hinges of the setting cards; 1:1.

    Leaves and hands that come to the same holes share one. In the job's language. What is held, or
    is drilled by the maker's template alone, is named with its reason and has none. Raises
    RuleError.
    """
    cards = cards_paper(offer, rules, notice)
    kits = {opening.place: offer.kit_of(opening) for opening in offer.openings}
    uses: dict[_Drawn, list[_Use]] = {}
    undrawn: dict[str, list[str]] = {}
    every = tuple(kits)
    with speaking(cards.head.words_of):
        for page in cards.cards:
            if isinstance(page, HoldPage):
                undrawn.setdefault(tr("HOLD: do not drill yet."), []).extend(page.marks)
            elif page.common.no_positions:
                undrawn.setdefault(page.common.no_positions, []).extend(page.marks)
            elif all(_reused(kits[mark]) for mark in page.marks):
                undrawn.setdefault(tr(words.NO_SHEET_FOR_OLD_HOLES), []).extend(page.marks)
            else:
                for drawn, use in _drawn(page, [kits[mark] for mark in page.marks], rules):
                    uses.setdefault(drawn, []).append(use)
        # A card alone has no number.
        several = len(cards.cards) > 1
        numbers = {id(card): number for number, card in enumerate(cards.cards, 1)}
        sheets = tuple(
            replace(
                _sheet(drawn, used, every),
                cards=tuple(sorted({numbers[id(use.card)] for use in used})) if several else (),
            )
            for drawn, used in uses.items()
        )
        without = tuple(Undrawn(places_of(marks, every), why) for why, marks in undrawn.items())
    return DrillingPaper(cards.head, sheets, without)


def _drawn(
    card: SettingCard, kits: Sequence[OfferKit], rules: RuleBook
) -> Iterator[tuple[_Drawn, _Use]]:
    """One for each leaf of a pair; for a hand that is not stated one for either side."""
    kit = kits[0]
    on_plate, drilled, _ = drilled_of(kit)
    template = kit.template
    if drilled is None or template is None:
        raise ValueError("a card with positions and without holes")
    leaves, hands = leaves_of(kit)
    unknown = len(leaves) == 1 and not hands
    if unknown:
        leaves = (leaves[0], replace(leaves[0], hinge_right=True))
    metric = is_metric(kit)
    ring, ring_text = _ring(kits, rules, on_plate=on_plate, metric=metric)
    mount = card.common.mount
    for leaf in leaves:
        drawn = _Drawn(
            title=f"{mount[:1].upper()}{mount[1:]}{tr(': ')}"
            + (tr("holes of the plate") if on_plate else tr("holes of the body")),
            template=card.common.template,
            seen=_seen(kit.body_side is BodySide.PULL, leaf.hinge_right),
            trued=_trued(kits, template, drilled, leaf, ring),
            holes=tuple(_holes(drilled, metric)),
            measures=tuple(_measures(kit, template, metric)),
            ring=ring_text,
        )
        yield drawn, _Use(card, leaf.full_name, unknown)


def _reused(kit: OfferKit) -> bool:
    """Whether the body goes on holes that are there: new ones must not be drilled beside them."""
    return any(finding.code == REUSED for finding in kit.findings)


def _sheet(drawn: _Drawn, uses: Sequence[_Use], every: tuple[str, ...]) -> DrillingSheet:
    hands = dict.fromkeys(use.hand for use in uses)
    unknown = [mark for use in uses if use.unknown for mark in use.card.marks]
    cards = list({id(use.card): use.card for use in uses}.values())
    settings = [setting for card in cards for setting in card.settings]
    notes = said_with_marks(
        settings, every, lambda each: [Step("", text) for text in each.edges_in_brief]
    )
    cautioned = said_with_marks(settings, every, lambda each: list(_warnings(each)))
    if unknown:
        some = not all(use.unknown for use in uses)
        either = Said(tr(hand_words.EITHER_HAND), "", places_of(unknown, every) if some else "")
        notes = (either, *notes)
    # First: what may be drilled in a listed leaf at all goes before where.
    notes = (*said_with_marks(settings, every, _fire), *notes)
    return DrillingSheet(
        title=drawn.title,
        drilled_for=tuple(
            DrilledFor(
                places_of(
                    [mark for use in uses if use.hand == hand for mark in use.card.marks], every
                ),
                hand,
            )
            for hand in hands
        ),
        quantity=sum(card.quantity for card in cards),
        template=drawn.template,
        seen=drawn.seen,
        trued=drawn.trued,
        holes=drawn.holes,
        measures=drawn.measures,
        screws=said_with_marks(settings, every, lambda each: [Step("", _screws(each))]),
        hosts=said_with_marks(
            settings, every, lambda each: [Step("", text) for text in each.hosts]
        ),
        ring=drawn.ring,
        notes=notes,
        warnings=cautioned,
        questions=said_with_marks(
            settings, every, lambda each: [Step("", text) for text in each.questions]
        ),
    )


def _warnings(setting: Setting) -> Iterator[Step]:
    """What the card frames, or asks the office about; of a hand that nobody stated the sheet has a
    word of its own."""
    for text in setting.alarms:
        if text != tr(hand_words.HAND_UNKNOWN):
            yield Step("", text)
    for text in setting.before_drilling:
        yield Step("", text)


def _fire(setting: Setting) -> list[Step]:
    return [Step("", f"{tr('FIRE DOOR.')} {setting.fire}")] if setting.fire else []


def _screws(setting: Setting) -> str:
    """What fixes it; of a pair, whose leaves have a sheet each, what is for one of them."""
    drawn = [screws for screws in setting.fasteners if screws.drawn]
    if not setting.leaves:
        return "; ".join(screws.said for screws in drawn)
    if all(screws.each for screws in drawn):
        said = "; ".join(screws.said_of_leaf for screws in drawn)
        return tr("on this leaf: {screws}").format(screws=said)
    said = "; ".join(screws.said for screws in drawn)
    return tr("both leaves together: {screws}").format(screws=said)


def _seen(pull: bool, hinge_right: bool) -> str:
    seen = tr(hand_words.SHEET_SEEN[hinge_right, pull])
    return seen if pull else f"{seen} {tr(hand_words.HINGES_HIDDEN)}"


def _trued(
    kits: Sequence[OfferKit], template: Template, drilled: Drilled, leaf: DrawnLeaf, ring: float
) -> Trued:
    columns, rows, mount = drilled.columns, drilled.rows, kits[0].mount
    pivot = tr("bracket's pivot") if mount is Mount.PARALLEL else tr("shoe's pivot")
    top_jamb = mount is Mount.TOP_JAMB
    return Trued(
        holes=tuple(
            (column.in_millimetres, row.in_millimetres) for row in rows for column in columns
        ),
        ring=ring,
        uprights=(
            (template.pinion_from_hinge.in_millimetres, tr("pinion")),
            (template.anchor_from_hinge.in_millimetres, pivot),
        ),
        far=_far_edge(kits, drilled),
        hinge=tr("hinge center line"),
        edge=tr("lower edge of head") if top_jamb else tr("top of leaf"),
        hinge_right=leaf.hinge_right,
        up=top_jamb,
    )


def _far_edge(kits: Sequence[OfferKit], drilled: Drilled) -> tuple[tuple[float, str], ...]:
    """The other edge of rail or head, where all kits have it stated alike and it is near."""
    stated = {stated_host(kit) for kit in kits}
    height = stated.pop() if len(stated) == 1 else None
    if height is None or (height - drilled.rows[1]).in_millimetres > FAR_EDGE:
        return ()
    top_jamb = kits[0].mount is Mount.TOP_JAMB
    said = tr("upper edge of head, as stated") if top_jamb else tr("lower edge of rail, as stated")
    return ((height.in_millimetres, said),)


def _holes(drilled: Drilled, metric: bool) -> Iterator[DrilledHole]:
    """In the order they are drawn: the row nearest the edge first, each from the hinge."""
    places = [(column, row) for row in drilled.rows for column in drilled.columns]
    for number, (column, row) in enumerate(places, 1):
        yield DrilledHole(number, _both(column, metric), _both(row, metric))


def _measures(kit: OfferKit, template: Template, metric: bool) -> Iterator[Position]:
    hinge_line = tr("hinge center line")
    parallel = kit.mount is Mount.PARALLEL
    pivot = tr("bracket's pivot") if parallel else tr("shoe's pivot")
    yield Position(tr("pinion"), _both(template.pinion_from_hinge, metric), hinge_line)
    yield Position(pivot, _both(template.anchor_from_hinge, metric), hinge_line)
    if parallel:
        face = tr("push face of the leaf")
        yield Position(pivot, _both(template.anchor_from_face, metric), face)


def _both(length: Length, metric: bool) -> str:
    """A length in the schedule's units, and the maker's own where it is in the other."""
    makers = words.makers_figure(length, metric)
    said = measure(length, metric)
    return f"{said} ({makers})" if makers else said


def _ring(
    kits: Sequence[OfferKit], rules: RuleBook, *, on_plate: bool, metric: bool
) -> tuple[float, str]:
    """The circle about each hole [mm], and what it shows: the screw, where all have one size."""
    role = Role.PLATE_FASTENER if on_plate else Role.BODY_FASTENER
    # A rivet nut's hole is wider than its screw: a circle of the screw would mislead.
    sizes = {
        None
        if use.kind is FastenerKind.RIVET_NUT_SCREW
        else screw_diameter(use.kind, use.screw_number, use.size, rules)
        for kit in kits
        for line in kit.lines
        for use in line.uses
        if use.role is role
    }
    across = sizes.pop() if len(sizes) == 1 else None
    if across is None:
        return CENTRE_MARK, tr("Circles mark centers only, not the drill.")
    size = (
        f"{round(across, 2):g} mm" if metric else f"{f'{across / MM_PER_INCH:.3f}'.lstrip('0')} in"
    )
    said = tr("Circles are as wide as the screw ({size}), not the drill.")
    return across, said.format(size=figure(size))
