"""What a note or room tells of a leaf that drilling may make dangerous: lead in it, or old age."""

import re
from collections.abc import Iterable, Iterator
from enum import StrEnum
from functools import lru_cache

from wholekit.domain.openings.notes import NEGATIONS, small_letters
from wholekit.domain.rules import RuleBook

WORDS = "leaf-dangers"
# A part of a note ends with a token of its own, which no phrase runs over.
_TOKEN = re.compile(r"[a-z0-9]+|[;.|\n]")


class LeafDanger(StrEnum):
    """What a drill may set free: lead of a lining, or what an old leaf's paint or core holds."""

    LEAD = "lead"
    OLD = "old"


def leaf_dangers(texts: Iterable[str], rules: RuleBook) -> tuple[LeafDanger, ...]:
    """The dangers that an opening's note and room tell of; nothing is read from them.

    Raises RuleError.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> leaf_dangers(["Kitchen, lead-lined leaf", "", "vieux vantail"], load_rulebook())
    (<LeafDanger.LEAD: 'lead'>, <LeafDanger.OLD: 'old'>)
    >>> leaf_dangers(["not lead lined", "lead time 3 weeks"], load_rulebook())
    ()
    """
    phrases = tuple(_phrases(rules))
    negations = frozenset(rules.words(NEGATIONS))
    found = {danger for text in texts for danger in _told(text, phrases, negations)}
    return tuple(danger for danger in LeafDanger if danger in found)


def _phrases(rules: RuleBook) -> Iterator[tuple[str, tuple[str, ...]]]:
    for row in rules.rows(WORDS):
        words = row["words"]
        for phrase in words if isinstance(words, list | tuple) else ():
            yield str(row["danger"]), tuple(str(phrase).split())


@lru_cache(maxsize=4096)
def _told(
    text: str, phrases: tuple[tuple[str, tuple[str, ...]], ...], negations: frozenset[str]
) -> frozenset[str]:
    tokens = _TOKEN.findall(small_letters(text))
    return frozenset(
        danger
        for danger, words in phrases
        for at in range(len(tokens) - len(words) + 1)
        if tuple(tokens[at : at + len(words)]) == words
        and (at == 0 or tokens[at - 1] not in negations)
    )
