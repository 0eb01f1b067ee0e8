"""Stock: movements with two sides, and what they add up to on shelves, in promises and in bags."""

from wholekit.domain.stock.movement import SIDES, Account, Kind, Movement, Side
from wholekit.domain.stock.place import LONGEST_CODE, MAIN, StockPlace
from wholekit.domain.stock.slips import Slips
from wholekit.domain.stock.slow import Pace, ShelfMoves, SlowLimits, slow_limits
from wholekit.domain.stock.sums import (
    Balance,
    Deltas,
    InBag,
    Sums,
    deltas_of,
    given_back,
    require_sound,
    sums_of,
)

__all__ = [
    "LONGEST_CODE",
    "MAIN",
    "SIDES",
    "Account",
    "Balance",
    "Deltas",
    "InBag",
    "Kind",
    "Movement",
    "Pace",
    "ShelfMoves",
    "Side",
    "Slips",
    "SlowLimits",
    "StockPlace",
    "Sums",
    "deltas_of",
    "given_back",
    "require_sound",
    "slow_limits",
    "sums_of",
]
