"""What the days of a quote are called in a calendar."""

from wholekit.wording.speech import tr, trn


def last_day(quote: str) -> str:
    """The last day on which a quote holds.

    >>> last_day("Q-00012/3 School")
    'Q-00012/3 School: last day it holds'
    """
    return tr("{quote}: last day it holds").format(quote=quote)


def kits_ready(quote: str, kits: int) -> str:
    """A day on which so many of its kits can be ready.

    >>> kits_ready("Q-00012/3 School", 1)
    'Q-00012/3 School: 1 kit can be ready'
    """
    said = trn("{quote}: {count} kit can be ready", "{quote}: {count} kits can be ready", kits)
    return said.format(quote=quote, count=kits)
