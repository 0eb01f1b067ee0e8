"""Who gets what of the shelf: one answer for the days a quote tells and the bags a list fills."""

from collections.abc import Hashable, Mapping, Sequence
from fractions import Fraction
from itertools import groupby
from typing import Generic, NamedTuple, TypeVar

Key = TypeVar("Key", bound=Hashable)


class Wants(NamedTuple, Generic[Key]):
    """What an opening takes. needs: packs of each item for one kit; kits: alike [count].

    turn: of openings whose turn is later none takes from those before, whatever is scarce.
    """

    needs: Mapping[Key, int]
    kits: int
    turn: tuple[object, ...] = ()


def share_out(wants: Sequence[Wants[Key]], on_hand: Mapping[Key, int]) -> list[dict[Key, int]]:
    """What each opening takes off the shelf [packs], in the order given.

    Of each turn whole kits first, those before others that ask least of what is short, so that as
    a rule more of them come of it; what then is left goes to kits that wait, in their order.

    >>> share_out([Wants({"a": 1, "b": 1}, 1), Wants({"a": 1}, 1)], {"a": 1})
    [{'a': 0, 'b': 0}, {'a': 1}]
    """
    left = {key: max(0, on_hand.get(key, 0)) for want in wants for key in want.needs}
    taken = [dict.fromkeys(want.needs, 0) for want in wants]
    in_turn = sorted(range(len(wants)), key=lambda at: wants[at].turn)
    for _, places in groupby(in_turn, key=lambda at: wants[at].turn):
        _share(wants, [*places], left, taken)
    return taken


def whole_of(want: Wants[Key], taken: Mapping[Key, int]) -> int:
    """How many of an opening's kits are whole with what it takes [count]."""
    return min((taken[key] // each for key, each in want.needs.items()), default=0)


def _share(
    wants: Sequence[Wants[Key]],
    places: list[int],
    left: dict[Key, int],
    taken: list[dict[Key, int]],
) -> None:
    asked: dict[Key, int] = {}
    for at in places:
        for key, each in wants[at].needs.items():
            asked[key] = asked.get(key, 0) + each * wants[at].kits
    scarce = {
        key: Fraction(1, max(1, left[key])) for key, packs in asked.items() if packs > left[key]
    }
    # Openings alike share their needs, and sums of fractions take their time.
    known: dict[int, Fraction] = {}

    def asks(at: int) -> Fraction:
        needs = wants[at].needs
        if id(needs) not in known:
            parts = (each * scarce[key] for key, each in needs.items() if key in scarce)
            known[id(needs)] = sum(parts, Fraction(0))
        return known[id(needs)]

    def take(at: int, key: Key, packs: int) -> None:
        taken[at][key] += packs
        left[key] -= packs

    for at in sorted(places, key=asks) if scarce else places:
        needs, kits, _ = wants[at]
        whole = min((left[key] // each for key, each in needs.items()), default=0)
        for key, each in needs.items():
            take(at, key, each * min(whole, kits))
    if scarce:
        for at in places:
            for key, each in wants[at].needs.items():
                take(at, key, min(each * wants[at].kits - taken[at][key], left[key]))
