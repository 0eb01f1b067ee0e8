"""What a bag weighs where not all can go out whole: how near its promise is, times its priority.

Common practice, no source; a house sets the figures (`promise-weights`, `promise-weight-later`,
`priority-times`).
"""

from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook

BY_DAYS, LATER, BY_PRIORITY = "promise-weights", "promise-weight-later", "priority-times"


def weight_of(rules: RuleBook, priority: int, days: int | None) -> int:
    """The weight of a bag of an order's priority whose promise is due in so many working days
    [d]; less than 0 where it has passed, None where none was given.

    A priority beyond those that count is the nearest that does. Raises RuleError.
    """
    return _by_day(rules, days) * _times(rules, priority)


def why_weight(rules: RuleBook, priority: int, days: int | None) -> Reason:
    """The same as a reason: the weight, and the two figures it is made of."""
    code = "weight-open" if days is None else "weight-promised" if days >= 0 else "weight-overdue"
    fields = {
        "weight": weight_of(rules, priority, days),
        "by_day": _by_day(rules, days),
        "times": _times(rules, priority),
        "priority": priority,
        "days": None if days is None else abs(days),
    }
    by_day = LATER if _promised(rules, days) is None else BY_DAYS
    return Reason(code, fields, (by_day, BY_PRIORITY))


def _by_day(rules: RuleBook, days: int | None) -> int:
    weight = _promised(rules, days)
    return rules.whole(LATER) if weight is None else weight


def _promised(rules: RuleBook, days: int | None) -> int | None:
    """By the table, None where the promise is later than its last row, or there is none."""
    if days is None:
        return None
    table = rules.once(("allocation", BY_DAYS), lambda: _table(rules))
    return next((weight for most, weight in table if days <= most), None)


def _times(rules: RuleBook, priority: int) -> int:
    steps = {name: int(str(figure)) for name, figure in rules.mapping(BY_PRIORITY).items()}
    counts = min(max(priority, steps["least"]), steps["most"])
    factor: int = steps["times"] ** (counts - steps["least"])
    return factor


def _table(rules: RuleBook) -> list[tuple[int, int]]:
    """The table's rows as (working days [d], weight), by the days."""
    return sorted((int(str(row["days"])), int(str(row["weight"]))) for row in rules.rows(BY_DAYS))
