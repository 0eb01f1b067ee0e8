"""Which leaf of a pair a note calls the active one, in English, French or Spanish.

The words are common practice, no source. A note that names both sides says nothing.
"""

import re
import unicodedata

_SIDES = {
    "left": "left", "right": "right", "gauche": "left", "droit": "right", "droite": "right",
    "izquierda": "left", "derecha": "right",
}  # fmt: skip
_SIDE = rf"\b({'|'.join(_SIDES)})\b"
_LEAF = r"(?:[ -]hand)?(?: leaf| door| vantail| hoja)?"
_ACTIVE = r"\b(?:active|activa|actif)\b"
_INACTIVE = r"\b(?:inactive|inactiva|inactif|passive|pasiva|passif)\b"
_BETWEEN = r"(?: leaf| vantail| hoja)?(?: is| est| es)?(?: the| le| la)?(?:[ :,-]+)?"
_FOUND = tuple(
    (re.compile(pattern), other)
    for word, other in ((_ACTIVE, False), (_INACTIVE, True))
    for pattern in (
        rf"{_SIDE}{_LEAF}(?: is| est| es)?(?: the)? {word}",
        rf"{word}{_BETWEEN} ?{_SIDE}",
    )
)
_OTHER = {"left": "right", "right": "left"}


def active_leaf(note: str) -> str:
    """`left` or `right` as the note has it; empty where it names neither, or both.

    >>> active_leaf("Library, right leaf active"), active_leaf("vantail gauche actif")
    ('right', 'left')
    >>> active_leaf("left leaf inactive"), active_leaf("active leaf: left; right leaf active")
    ('right', '')
    """
    plain = "".join(
        sign for sign in unicodedata.normalize("NFKD", note.lower()) if sign.isprintable()
    )
    told = set()
    for pattern, other in _FOUND:
        for found in pattern.finditer(plain):
            side = _SIDES[found[1]]
            told.add(_OTHER[side] if other else side)
    return told.pop() if len(told) == 1 else ""
