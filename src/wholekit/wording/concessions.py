"""The ways something is given off list, in words."""

from wholekit.domain.concessions import GivenBy
from wholekit.wording.speech import tr

WAYS: dict[GivenBy, str] = {
    GivenBy.TERMS: "customer's multipliers",
    GivenBy.DISCOUNT: "discount of a job",
    GivenBy.HAND: "price by hand",
}


def say_way(way: GivenBy) -> str:
    """A way, in the language in use.

    >>> say_way(GivenBy.HAND)
    'price by hand'
    """
    return tr(WAYS[way])
