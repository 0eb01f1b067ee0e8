"""What happens to a bag: events that are only ever added, each with an id, who and when.

The id is given by whoever sends it (a scanner's line, a click), so that one sent twice is one.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import TypeAlias

from wholekit.domain.catalog import ItemKey
from wholekit.domain.picking.demand import NeededPiece
from wholekit.domain.picking.ware import Ware


@dataclass(frozen=True, slots=True)
class EventStamp:
    """An event's own id, who did it and when; order is that of the events, never of clocks."""

    id: str
    who: str
    when: datetime


@dataclass(frozen=True, slots=True)
class BagOpened:
    """Somebody picks into it; again after it was left."""

    stamp: EventStamp


@dataclass(frozen=True, slots=True)
class PacksScanned:
    """So many packs of an item went in [count]."""

    stamp: EventStamp
    item: ItemKey
    packs: int


@dataclass(frozen=True, slots=True)
class EventUndone:
    """The scan, substitution or short of that id is undone; both stay written."""

    stamp: EventStamp
    event: str


@dataclass(frozen=True, slots=True)
class ItemSubstituted:
    """Packs of an item are taken no more; so many of another come in their place [count].

    settled: what of the demand the other meets without holding the same pieces, since the supplier
    calls it a substitute. dropped: packs of further items that it makes needless.
    """

    stamp: EventStamp
    item: ItemKey
    packs: int
    ware: Ware
    by_packs: int
    reason: str
    settled: tuple[NeededPiece, ...] = ()
    dropped: tuple[tuple[ItemKey, int], ...] = ()


@dataclass(frozen=True, slots=True)
class ShortReported:
    """So many packs of an item are not where they should be [count]; note: what was seen; gone: by
    bin, the packs that were taken out of the books by it."""

    stamp: EventStamp
    item: ItemKey
    packs: int
    note: str = ""
    gone: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class BagLeft:
    """The bag waits with what is in it, until it is opened again."""

    stamp: EventStamp
    reason: str = ""


@dataclass(frozen=True, slots=True)
class LoosePacks:
    """Pieces that a bag left over, back on the shelf as packs of an item that holds them [count];
    bin: where they were put."""

    item: ItemKey
    packs: int
    bin: str = ""


@dataclass(frozen=True, slots=True)
class BagClosed:
    """All that its opening demands is in; nothing changes any more. loose: what of the rest went
    back to the shelf."""

    stamp: EventStamp
    loose: tuple[LoosePacks, ...] = ()


BagEvent: TypeAlias = (
    BagOpened | PacksScanned | EventUndone | ItemSubstituted | ShortReported | BagLeft | BagClosed
)
# By the word under which a table keeps them.
EVENT_KINDS: Mapping[str, type[BagEvent]] = {
    "opened": BagOpened,
    "scanned": PacksScanned,
    "undone": EventUndone,
    "substituted": ItemSubstituted,
    "short": ShortReported,
    "left": BagLeft,
    "closed": BagClosed,
}


@dataclass(frozen=True, slots=True)
class ScanNotCounted:
    """A scan at a bag that counted nothing: why, as a code, and what its sentence needs. It is kept
    for a claim; nothing of the bag follows from it."""

    stamp: EventStamp
    code: str
    fields: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class BagUnpacked:
    """All that was in the bag was put back; what comes after begins anew."""

    stamp: EventStamp
    reason: str


# All that is kept of a bag, from its release on.
BagRecord: TypeAlias = BagEvent | ScanNotCounted | BagUnpacked
RECORD_KINDS: Mapping[str, type[BagRecord]] = {
    **EVENT_KINDS,
    "refused": ScanNotCounted,
    "unpacked": BagUnpacked,
}
