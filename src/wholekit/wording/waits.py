"""What a bag waits for, and until when: what is ordered, and what nobody has ordered yet."""

from collections.abc import Iterable
from datetime import date

from wholekit.domain.orders import Expected, ShortItem
from wholekit.wording.speech import tr


def say_due(day: date | str | None, ordered: bool) -> str:
    """When goods can be here. ordered: they are on their way; else the day is what their lead days
    come to if they are ordered on the day asked.

    >>> say_due(date(2026, 12, 8), True)
    'ordered, due 2026-12-08'
    >>> say_due("2026-12-08", False)
    'not ordered yet; 2026-12-08 if ordered today'
    >>> say_due(None, False)
    'not ordered yet; nobody knows until when'
    """
    if ordered:
        return tr("ordered, due {day}").format(day=day) if day else tr("ordered; no day is known")
    if day:
        return tr("not ordered yet; {day} if ordered today").format(day=day)
    return tr("not ordered yet; nobody knows until when")


def say_short(short: ShortItem) -> str:
    """An item that a bag lacks, and when it can be here."""
    said = tr("lacks {packs} × {sku}").format(packs=short.packs, sku=short.item[1])
    return f"{said}: {say_due(short.day, short.ordered)}"


def say_waits(waits: Expected | None) -> tuple[str, ...]:
    """All that a bag lacks, item by item; of one whose goods are free again, that they are."""
    if waits is None:
        return ()
    if not waits.short:
        return (tr("what it lacks is free on the shelf, and not given to it yet"),)
    return tuple(map(say_short, waits.short))


def say_last(day: date | None, waits: Iterable[Expected]) -> str:
    """When the last of several bags can be whole. day: None where nobody knows."""
    short = [one for each in waits for one in each.short]
    if not short:
        return tr("what it lacks is free on the shelf, and not given to it yet")
    return say_due(day, all(one.ordered for one in short))
