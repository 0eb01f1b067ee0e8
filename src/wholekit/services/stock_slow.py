"""What lies on the shelves longer than it should. No money is in it."""

from dataclasses import dataclass
from datetime import timedelta
from fractions import Fraction

from wholekit.domain.quotes.roles import Action
from wholekit.domain.stock import Pace, ShelfMoves, SlowLimits
from wholekit.services.desk import Deed, Desk
from wholekit.services.rights import needs
from wholekit.services.stock import branch_of


@dataclass(frozen=True, slots=True)
class SlowItem:
    """An item at a branch that is slow or dead. idle: days since something left; cover: days that
    it lasts, None where nothing left in the period [d]."""

    moves: ShelfMoves
    pace: Pace
    idle: int
    cover: Fraction | None


@needs(Action.SEE_STOCK)
def slow_stock(
    desk: Desk, deed: Deed, limits: SlowLimits, branch: str = ""
) -> tuple[SlowItem, ...]:
    """What is slow or dead on the day of the deed: dead first, then what lies longest.

    branch: empty = at each. Raises CallError.
    """
    since = deed.day - timedelta(days=limits.period - 1)
    with desk.store.reading() as uow:
        if branch:
            branch = branch_of(uow, branch)
        found = uow.stock.moved_over(since, branch)
    slow = [
        SlowItem(each, pace, each.idle(deed.day), each.cover(deed.day, limits.period))
        for each in found
        if (pace := each.pace(deed.day, limits)) is not Pace.MOVING
    ]
    # What nothing left of lasts for ever.
    return tuple(
        sorted(
            slow,
            key=lambda one: (
                one.pace is not Pace.DEAD,
                -one.idle if one.pace is Pace.DEAD or one.cover is None else 0,
                -one.cover if one.cover is not None else float("-inf"),
                one.moves.item[::-1],
                one.moves.branch,
            ),
        )
    )
