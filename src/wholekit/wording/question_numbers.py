"""Whether the questions of a quote have other numbers than in the revision before."""

import re

from wholekit.domain.quotes import Offer
from wholekit.wording.asked_in_checks import FrontQuestions
from wholekit.wording.speech import ENGLISH, speaking

# What a question asks, without what is quoted and where: it changes from revision to revision.
_ASKS = re.compile(r".*?[?.:;](?=\s|$)|.*", re.DOTALL)


def numbered_anew(first: Offer, second: Offer) -> bool:
    """Whether a question that both put has another number in the second."""
    before, after = _numbers(first), _numbers(second)
    return any(before[asks] != after[asks] for asks in before.keys() & after.keys())


def _numbers(offer: Offer) -> dict[str, list[int]]:
    """The numbers of each question by what it asks; of some that ask alike, all."""
    found: dict[str, list[int]] = {}
    # Each offer keeps its words in English, whatever language it was sent in.
    with speaking(ENGLISH):
        for number, question in enumerate(FrontQuestions(offer, offer.words).all(), 1):
            asks = _ASKS.match(question.text)
            found.setdefault(asks[0] if asks else "", []).append(number)
    return found
