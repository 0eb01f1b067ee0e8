"""Text of scripts written from right to left among other text (Unicode Standard Annex 9).

A name or note keeps its own order and turns nothing beside it, and a code in it keeps its own:
`101-A` after a Hebrew word would otherwise be shown as `A-101`.
"""

import re
from collections.abc import Iterable

# Hebrew, Arabic and their neighbours; their presentation forms; the right-to-left planes.
_RIGHT = "\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufefc\U00010800-\U00010fff\U0001e800-\U0001efff"
_APART = r"\s,;:()«»“”·<>"
_WORD = rf"[^{_APART}]*[{_RIGHT}][^{_APART}]*"
# Words of it that follow one another, with codes between them.
RIGHT_TO_LEFT = re.compile(rf"{_WORD}(?:[^,;:()«»“”·<>]*\s{_WORD})?")
_LETTER = re.compile(rf"[{_RIGHT}]")
_OTHER_LETTER = re.compile(rf"[^\W\d_{_RIGHT}]")
# A hyphen between a code and a word belongs to neither.
_IN_CODE = rf"[^{_APART}{_RIGHT}\u2066-\u2069]"
_CODE_END = rf"[^{_APART}{_RIGHT}\u2066-\u2069\u2010\u2011-]"
_CODE = re.compile(rf"{_CODE_END}(?:{_IN_CODE}*{_CODE_END})?")
_LEFT, _RIGHT_BASE, _END = "\u2066", "\u2067", "\u2069"


def in_order(text: str) -> str:
    """The text with its right-to-left parts set apart; most texts have none.

    >>> ascii(in_order("A-1, \u05d0-2, B"))
    "'A-1, \\\\u2067\\\\u05d0-\\\\u20662\\\\u2069\\\\u2069, B'"
    >>> ascii(in_order("\\u05d0, 7"))
    "'\\\\u2067\\\\u05d0\\\\u2069, 7'"
    """
    if text.isascii() or not _LETTER.search(text):
        return text
    if is_right_to_left(text) and not _is_list(text):
        return apart(text)
    return RIGHT_TO_LEFT.sub(lambda found: apart(found[0]), text)


def marks_in_order(marks: Iterable[str]) -> str:
    """Marks beside one another, none of which turns another."""
    return ", ".join(map(in_order, marks))


def _is_list(text: str) -> bool:
    """Whether it is marks beside one another and no sentence: they stand in the paper's order,
    whatever each of them says. A mark of such a script is most often of one word."""
    parts = re.split("[,;] ", text)
    turned = [part for part in parts if _LETTER.search(part)]
    of_words = any(re.search(r"\s", part) for part in turned)
    return len(parts) > 1 and (not of_words or len(turned) <= len(parts) - len(turned))


def is_right_to_left(text: str) -> bool:
    """Whether more of its letters are of such scripts than of others."""
    return len(_LETTER.findall(text)) > len(_OTHER_LETTER.findall(text))


def apart(text: str) -> str:
    """A text read from right to left, its codes from left to right."""
    return f"{_RIGHT_BASE}{_CODE.sub(lambda found: f'{_LEFT}{found[0]}{_END}', text)}{_END}"
