"""Picking: scans read and judged, bags folded from their events, substitution, waves.

Pure: nothing is stored and no clock is read here. A service keeps the events in the order in
which it confirmed them; a bag is always the fold over them.
"""

from wholekit.domain.picking.bag import (
    Bag,
    BagStatus,
    bag_of,
    last_to_undo,
    leave,
    not_there,
    open_bag,
    report_short,
    undo,
)
from wholekit.domain.picking.closing import LeftPiece, PackedBag, PackedLine, close, packed
from wholekit.domain.picking.demand import BagDemand, BagLine, NeededPiece, demand_of
from wholekit.domain.picking.events import (
    EVENT_KINDS,
    RECORD_KINDS,
    BagClosed,
    BagEvent,
    BagLeft,
    BagOpened,
    BagRecord,
    BagUnpacked,
    EventStamp,
    EventUndone,
    ItemSubstituted,
    LoosePacks,
    PacksScanned,
    ScanNotCounted,
    ShortReported,
)
from wholekit.domain.picking.goods import GoodsCounted, judge_goods
from wholekit.domain.picking.judge import BagTurnedTo, ScanCounted, belongs, judge, judge_bag
from wholekit.domain.picking.loose import may_go_back, put_loose
from wholekit.domain.picking.recheck import kit_check
from wholekit.domain.picking.scan import BagScan, CodeScan, Scan, ScanRefused, read_scan
from wholekit.domain.picking.substitution import KitCheck, may_substitute, substitute
from wholekit.domain.picking.ware import CodeBook, Codes, PieceCount, PieceKey, Ware, ware_of
from wholekit.domain.picking.wave import (
    BagTake,
    InBin,
    Wave,
    WaveShort,
    WaveStop,
    divide_wave,
    plan_wave,
)

__all__ = [
    "EVENT_KINDS",
    "RECORD_KINDS",
    "Bag",
    "BagClosed",
    "BagDemand",
    "BagEvent",
    "BagLeft",
    "BagLine",
    "BagOpened",
    "BagRecord",
    "BagScan",
    "BagStatus",
    "BagTake",
    "BagTurnedTo",
    "BagUnpacked",
    "CodeBook",
    "CodeScan",
    "Codes",
    "EventStamp",
    "EventUndone",
    "GoodsCounted",
    "InBin",
    "ItemSubstituted",
    "KitCheck",
    "LeftPiece",
    "LoosePacks",
    "NeededPiece",
    "PackedBag",
    "PackedLine",
    "PacksScanned",
    "PieceCount",
    "PieceKey",
    "Scan",
    "ScanCounted",
    "ScanNotCounted",
    "ScanRefused",
    "ShortReported",
    "Ware",
    "Wave",
    "WaveShort",
    "WaveStop",
    "bag_of",
    "belongs",
    "close",
    "demand_of",
    "divide_wave",
    "judge",
    "judge_bag",
    "judge_goods",
    "kit_check",
    "last_to_undo",
    "leave",
    "may_go_back",
    "may_substitute",
    "not_there",
    "open_bag",
    "packed",
    "plan_wave",
    "put_loose",
    "read_scan",
    "report_short",
    "substitute",
    "undo",
    "ware_of",
]
