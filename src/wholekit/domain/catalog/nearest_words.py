"""What would have been right: the known words nearest to one that is not known."""

from collections.abc import Iterable
from difflib import get_close_matches
from functools import cached_property

MOST_LISTED = 12
MOST_SEARCHES = 50


class NearWords:
    """The known words, asked again and again for those near to a wrong one.

    Looking through thousands of words takes a hundredth of a second or more, and one slip of a
    spreadsheet can put as many wrong words into a file. So the first fifty wrong words are looked
    up; the answer to any more is the plain list.
    """

    def __init__(self, known: Iterable[str]) -> None:
        self._known = known
        self._answers: dict[str, str] = {}

    @cached_property
    def _words(self) -> dict[str, str]:
        # Sorting thousands of words is for when one is wrong.
        return {word.lower(): word for word in sorted(set(self._known))}

    def right_for(self, given: str) -> str:
        """The words nearest to the given one; where none is near, all of them (at most a dozen)."""
        if given not in self._answers:
            if len(self._answers) == MOST_SEARCHES:
                return listed(self._words.values())
            near = get_close_matches(given.strip().lower(), self._words, n=3, cutoff=0.6)
            self._answers[given] = listed(
                [self._words[word] for word in near] or self._words.values()
            )
        return self._answers[given]


def what_is_right(given: str, known: Iterable[str]) -> str:
    """The known words nearest to the given one; where none is near, all of them (at most a dozen).

    >>> what_is_right("paralel", ["regular", "parallel", "top-jamb"])
    'parallel'
    >>> what_is_right("xyz", ["regular", "parallel"])
    'parallel, regular'
    """
    return NearWords(known).right_for(given)


def nearest_first(given: str, known: Iterable[str]) -> list[str]:
    """The known words, those nearest to the given one first, the others by the alphabet.

    >>> nearest_first("tarowby", ["averlund", "quillmere", "tarrowby"])
    ['tarrowby', 'averlund', 'quillmere']
    """
    words = sorted(set(known))
    near = get_close_matches(given.strip().lower(), words, n=3, cutoff=0.6)
    return [*near, *(word for word in words if word not in near)]


def listed(words: Iterable[str]) -> str:
    """The words in one text, at most a dozen; an ellipsis stands for the rest.

    >>> listed(str(number) for number in range(14))
    '0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, …'
    """
    every = list(words)
    return ", ".join(every[:MOST_LISTED] + ["…"] * (len(every) > MOST_LISTED))
