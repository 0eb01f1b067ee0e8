"""Bags of equal contents, which are filled side by side."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wholekit.documents.papers import PickLine, PickOpening
from wholekit.documents.tally import MOST, tally
from wholekit.wording.openings import fire_label_text
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import tr, trn
from wholekit.wording.to_fitters import ASK_FIRST


@dataclass(frozen=True, slots=True)
class BagsAlike:
    """Bags of equal contents [count]. places: their marks in ranges; lines: over all of them;
    about: leaf, mount and spring size, empty where they are not the same for all.

    plain: bags of which there is nothing to say but their mark, several to a line; told: the rest.
    """

    places: str
    bags: int
    about: str
    lines: tuple[PickLine, ...]
    openings: tuple[PickOpening, ...]
    plain: tuple[PickOpening, ...]
    told: tuple[PickOpening, ...]


def bags_alike(openings: Sequence[PickOpening], every: Sequence[str]) -> Iterator[BagsAlike]:
    """Openings with equal contents, and held for the same reasons, as one; in their order.

    every: the marks of the job in its order, for ranges.
    """
    found: dict[tuple[object, ...], list[PickOpening]] = {}
    for opening in openings:
        found.setdefault(_contents(opening), []).append(opening)
    for group in found.values():
        yield _together(group, every)


def about_of(opening: PickOpening) -> str:
    """Leaf, mount, spring size and fire label in a line; and whether its fitter must ask first."""
    size = opening.size_set
    spring = tr("spring size {size}").format(size=size) if size else ""
    fire = fire_label_text(opening.fire_minutes) if opening.fire_minutes else ""
    asked = tr(ASK_FIRST) if opening.asks_office else ""
    return " · ".join(filter(None, (opening.size, opening.mount, spring, fire, asked)))


def which_bags(opening: PickOpening) -> str:
    """`bag 2 of 2`, as its label says, where an opening's other bags are not with these; empty
    where all are."""
    if opening.bags >= opening.of_all:
        return ""
    numbers = opening.numbers or range(opening.first, opening.first + opening.bags)
    told = tally(opening.bags, opening.first) if len(numbers) > MOST else map(str, numbers)
    said = trn("bag {numbers} of {count}", "bags {numbers} of {count}", opening.bags)
    return said.format(numbers=", ".join(told), count=opening.of_all)


def _contents(opening: PickOpening) -> tuple[object, ...]:
    """What two bags must have equal to stand as one."""
    lines = tuple(
        (line.sku, line.description, line.finish, line.bin, line.each) for line in opening.lines
    )
    return lines, opening.stops, opening.missing, opening.waits


def _together(openings: Sequence[PickOpening], every: Sequence[str]) -> BagsAlike:
    told = [_is_told(opening, alone=len(openings) == 1) for opening in openings]
    shared = {about_of(opening) for opening in openings}
    about = shared.pop() if len(shared) == 1 else ""
    return BagsAlike(
        ranges_text([opening.mark for opening in openings], every),
        sum(opening.bags for opening in openings),
        about,
        tuple(_sum_of(same) for same in zip(*(one.lines for one in openings), strict=True)),
        tuple(openings),
        tuple(one for one, says in zip(openings, told, strict=True) if about and not says),
        tuple(one for one, says in zip(openings, told, strict=True) if says or not about),
    )


def _is_told(opening: PickOpening, *, alone: bool) -> bool:
    lacks = not alone and any(line.short for line in opening.lines)
    return bool(lacks or opening.note or opening.room or opening.released)


def _sum_of(lines: Sequence[PickLine]) -> PickLine:
    first = lines[0]
    return PickLine(
        first.sku,
        first.description,
        first.finish,
        first.bin,
        first.each,
        sum(line.quantity for line in lines),
        sum(line.short for line in lines),
    )
