"""The order in which one walks along the bins of a warehouse."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

Part = tuple[int, int, str]
_WORD = 1
_LAST = (2, 0, "")
_BEHIND = (3, 0, "")


def walk_order(place: str) -> tuple[Part, ...]:
    """Where a bin comes on the walk: numbers in it count as numbers; no bin comes last.

    >>> sorted(["A-10-1", "B-1", "", "a-2-3", "A-2-10"], key=walk_order)
    ['a-2-3', 'A-2-10', 'A-10-1', 'B-1', '']
    """
    parts = re.findall(r"\d+|[^\W\d_]+", place.casefold())
    if not parts:
        return (_LAST,)
    return tuple((0, int(part), "") if part.isdecimal() else (_WORD, 0, part) for part in parts)


@dataclass(frozen=True, slots=True)
class Stretch:
    """Bins whose name begins with `zone` (`A`, `A-3`), walked from the far end where `back`."""

    zone: str
    back: bool = False


@dataclass(frozen=True, slots=True)
class Walk:
    """The stretches of a house's warehouse in the order of its walk.

    A bin belongs to the longest stretch that its name begins with, part by part, so that `A-1`
    is no part of `A-12`. Bins of no stretch come after, by name and number; no bin comes last.

    >>> walk = Walk((Stretch("B"), Stretch("A-2", back=True), Stretch("A")))
    >>> walk.sorted(["A-1-1", "A-2-1", "A-2-9", "C-1", "B-4", ""])
    ['B-4', 'A-2-9', 'A-2-1', 'A-1-1', 'C-1', '']
    """

    stretches: tuple[Stretch, ...] = ()

    def place_of(self, bin_name: str) -> tuple[int, tuple[Part, ...]]:
        """What bins are sorted by: where the bin's stretch comes, then where in it."""
        parts = walk_order(bin_name)
        at, longest = len(self.stretches), 0
        for number, stretch in enumerate(self.stretches):
            zone = walk_order(stretch.zone)
            if len(zone) > longest and parts[: len(zone)] == zone:
                at, longest = number, len(zone)
        if at == len(self.stretches):
            return at + (parts == (_LAST,)), parts
        inner = parts[longest:]
        if self.stretches[at].back:
            inner = (*map(_far_first, inner), _BEHIND)
        return at, inner

    def sorted(self, bins: Sequence[str]) -> list[str]:
        """Bins in the order of the walk; those whose name has equal parts by name."""
        return sorted(bins, key=lambda name: (self.place_of(name), name))


AS_NAMED = Walk()


def _far_first(part: Part) -> Part:
    kind, number, word = part
    # The sign behind all others ends it: turned round, a word comes before what it begins.
    return (-kind, -number, "".join(chr(0x10FFFF - ord(sign)) for sign in word) + "\U0010ffff")
