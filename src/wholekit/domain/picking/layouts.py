"""Codes as they come when scanner and computer disagree about the keyboard.

A scanner sends keys, not signs: set for the keyboard of the United States and read by a computer
set for another, it types other signs. The layouts are from memory, not read.
"""

from collections.abc import Iterator

# What the computer writes for the key on which the scanner's layout has the sign below it.
_FRENCH = (
    "aqwzAQWZ,?&é\"'(-è_çà)1234567890",
    "qazwQAZWmM1234567890-!@#$%^&*()",
)
_GERMAN = ("yzYZß", "zyZY-")
_TABLES = tuple(str.maketrans(*pair) for pair in (_FRENCH, _GERMAN))


def other_layouts(code: str) -> Iterator[str]:
    """What the scanner may have meant; none of them where the layouts agree on every sign.

    >>> list(other_layouts("TG)B\\""))
    ['TG-B3']
    """
    for table in _TABLES:
        meant = code.translate(table)
        if meant != code:
            yield meant
