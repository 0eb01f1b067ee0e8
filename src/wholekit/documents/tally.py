"""Boxes to tick off bags by, few enough for a line or two however many bags there are."""

from collections.abc import Sequence

MOST = 60


def tally(bags: int, first: int = 1, numbers: Sequence[int] = ()) -> tuple[str, ...]:
    """A box for each bag, by its number; of more than 60 bags a box for each ten, hundred …

    first: the number of the first of them. numbers: of each of them, where they do not follow one
    another.

    >>> tally(3)
    ('1', '2', '3')
    >>> tally(64)
    ('1–10', '11–20', '21–30', '31–40', '41–50', '51–60', '61–64')
    """
    if numbers and len(numbers) <= MOST:
        return tuple(map(str, numbers))
    step = 1
    while bags > MOST * step:
        step *= 10
    starts = range(first, first + bags, step)
    ends = (min(start + step, first + bags) - 1 for start in starts)
    return tuple(
        str(start) if start == end else f"{start}–{end}"
        for start, end in zip(starts, ends, strict=True)
    )
