"""Waves and bags as lines of text, each bag by the name that its label bears."""

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Protocol

from wholekit.cli.console import say, table
from wholekit.domain.orders import BagState, ReleasedBag
from wholekit.services import lacks, waves
from wholekit.services.desk import Deed, Desk
from wholekit.services.waves import PICKABLE, WaveView
from wholekit.views.pick_room import BagAnswer, bag_answer, wave_answer
from wholekit.wording.pick_answers import bag_name
from wholekit.wording.questions import ranges_text

MOST_NAMED = 8


class _Numbered(Protocol):
    @property
    def mark(self) -> str: ...

    @property
    def number(self) -> int: ...


_UNDONE = PICKABLE | {BagState.WAITING}


def names_of(view: WaveView) -> dict[str, str]:
    """By id what the bags of a wave are called."""
    return {row.id: bag_name(row.mark, row.number, view.equal[row.id]) for row, _ in view.bags}


def bag_names(place: Desk, asks: Deed, bags: Collection[ReleasedBag]) -> Mapping[str, str]:
    """By id what bags are called."""
    equal = waves.equal_bags_of(place, asks, bags)
    return {bag.id: bag_name(bag.mark, bag.number, equal[bag.id]) for bag in bags}


def bags_told(bags: Sequence[_Numbered], equal: Mapping[str, int], every: Sequence[str]) -> str:
    """Bags by their openings' marks, in ranges; of an opening of which not all are among them each
    bag by its name. equal: how many bags a mark has; every: the marks there are, in order."""
    counts = Counter(bag.mark for bag in bags)
    whole = [mark for mark in counts if counts[mark] >= equal.get(mark, 0)]
    parts = [ranges_text(whole, list(every))] if whole else []
    parts += [
        bag_name(bag.mark, bag.number, equal[bag.mark]) for bag in bags if bag.mark not in whole
    ]
    return ", ".join(parts)


def equal_of(place: Desk, asks: Deed, bags: Sequence[ReleasedBag]) -> Mapping[str, int]:
    """By mark how many bags its opening has, of bags of one order."""
    equal = waves.equal_bags_of(place, asks, bags)
    return {bag.mark: equal[bag.id] for bag in bags}


def waits_of_bags(place: Desk, asks: Deed, bags: Collection[str]) -> Iterator[BagAnswer]:
    """Of some bags by id those that are not done and in no wave, with what they wait for."""
    rows = [row for bag_id in bags for row in waves.find_bag(place, asks, bag_id)]
    idle = [row for row in rows if row.state in _UNDONE and not row.wave]
    every = lacks.waiting_bags(place, asks) if idle else ()
    waits = {bag.id: expected for bag, _, expected in every}
    for row in idle:
        yield bag_answer(row, waits.get(row.id))


def wave_line(view: WaveView) -> str:
    """A wave with what is open in it, and how to go on."""
    names = names_of(view)
    todo = [row for row, _ in view.bags if row.state in PICKABLE]
    said = ", ".join(f"{names[row.id]} {row.state}" for row in todo[:MOST_NAMED])
    more = f", {len(todo) - MOST_NAMED} more" if len(todo) > MOST_NAMED else ""
    return (
        f"Wave {view.number}, {view.picker}: {said}{more}. "
        f"Go on with: wholekit pick --wave {view.number}"
    )


def print_wave(view: WaveView, *, begun: bool = True) -> None:
    """A wave as text: its bags, then what to take from where. begun: it has its number for good."""
    answer = wave_answer(view)
    names = names_of(view)
    if not view.bags:
        say(f"Wave {answer.wave}: no bag is in it. Scan the label of one that was put aside.")
        return
    say(f"Wave {answer.wave}, {answer.picker}" if begun else "A wave that may be begun")
    rows = [
        (names[row.id], row.id, view.orders[row.order].label, _stands(row, whole=bag.whole))
        for row, bag in view.bags
    ]
    for line in table(rows, ("bag", "label", "order", ""), frozenset(), 3):
        say(f"  {line}")
    if answer.walk:
        _print_walk(view, names)
    for row, bag in view.bags:
        for each in view.walk.short:
            if each.bag == bag.id:
                say(f"No bin holds {each.packs} × {each.item[1]} for {names[row.id]}.")
    if not answer.walk and not view.walk.short and not _unclosed(view):
        say("Nothing is left to do in this wave.")


def _print_walk(view: WaveView, names: Mapping[str, str]) -> None:
    rows = [
        (each.bin or "no bin", str(each.packs), each.sku, each.description,
         ", ".join(f"{packs} into {names[bag]}" for bag, packs in each.bags))
        for each in wave_answer(view).walk
    ]  # fmt: skip
    for line in table(rows, ("bin", "take", "item", "", "for bag"), frozenset({1}), (3, 4)):
        say(line)


def _unclosed(view: WaveView) -> list[str]:
    names = names_of(view)
    return [names[row.id] for row, bag in view.bags if bag.takes and bag.whole]


def _stands(row: ReleasedBag, *, whole: bool) -> str:
    if row.state is BagState.OPEN and whole:
        return "open, has all: close it"
    return row.state.value
