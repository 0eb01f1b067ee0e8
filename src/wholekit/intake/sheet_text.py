"""The rows of a file as sent: a workbook's sheets, or text in a spreadsheet's encodings."""

import re
from collections import Counter
from collections.abc import Sequence
from itertools import islice

from wholekit.intake.faults import Faults
from wholekit.intake.tables import (
    MOST_ROWS,
    QUOTED,
    SEPARATORS,
    UTF_16,
    Grid,
    Row,
    csv_rows,
    is_workbook,
)

RIGHT = ("mark", "size")
# Lines looked at for the separator: title rows have none, and a page of rows tells it.
_LINES = 200
_SEPARATOR_NAMES = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
# Bytes that cp1252 leaves out or gives to signs no schedule has; they tell another encoding.
_UNLIKELY = re.compile(r"[\x00-\x08\x0e-\x1f\x81\x8d\x8f\x90\x9d]")


def read_all(data: bytes, faults: Faults, right: Sequence[str] = RIGHT) -> list[Grid]:
    """Every sheet of a workbook, or the one of a text, as rows. right: columns that it should have.

    Text may be UTF-8, UTF-16 with its mark or plainly such, or cp1252. Raises InputError: nothing
    in it, no text and no workbook, more than 100,000 rows beside the header.
    """
    if is_workbook(data, faults, right):
        # Late: most files are CSV.
        from wholekit.intake.workbook import read_grids

        grids = read_grids(data, faults)
        if not grids:
            raise faults.refuse("file-empty", right=", ".join(right))
        return grids
    text, encoding = decode(data, faults)
    separator = commonest_separator(text)
    # The header and titles beside the rows that are taken.
    most = MOST_ROWS + 1000
    filled = ((row, cells) for row, cells in csv_rows(text, separator, faults) if cells)
    # As tuples: the collector lets go of tuples of text, and would walk through lists again and
    # again while the rest is read, which took a third of the time.
    rows: list[Row] = [(row, tuple(cells)) for row, cells in islice(filled, most + 1)]
    if len(rows) > most:
        raise faults.refuse("rows-over-limit", rows[-1][0], most=MOST_ROWS)
    return [Grid("", rows, (), f"{encoding}, {_SEPARATOR_NAMES[separator]}")]


def decode(data: bytes, faults: Faults) -> tuple[str, str]:
    """The text and the name of its encoding. Raises InputError where none is clear.

    >>> decode("Épaisseur".encode("cp1252"), Faults("x"))
    ('Épaisseur', 'cp1252')
    >>> decode("mark;size".encode("utf-16-le"), Faults("x"))
    ('mark;size', 'UTF-16')
    """
    wide = data.startswith(UTF_16)
    encoding = "utf-16" if wide else _wide_without_mark(data)
    if encoding:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            raise faults.refuse("text-utf-16-broken") from None
        if "\0" in text:
            raise faults.refuse("text-nul", text.count("\n", 0, text.index("\0")) + 1)
        return text, "UTF-16"
    nul = data.find(b"\0")
    if nul >= 0:
        raise faults.refuse("text-nul", data.count(b"\n", 0, nul) + 1)
    try:
        return data.decode("utf-8-sig"), "UTF-8"
    except UnicodeDecodeError as error:
        read = error.object
        row = read.count(b"\n", 0, error.start) + 1
        byte = f"{read[error.start]:02x}"
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        raise faults.refuse("text-not-utf-8", row, byte=byte) from None
    if _UNLIKELY.search(text) or not _is_western(text):
        raise faults.refuse("text-not-utf-8", row, byte=byte)
    return text, "cp1252"


def commonest_separator(text: str) -> str:
    """What parts the columns of most lines: comma, semicolon, tab or bar; a comma by default.

    Each sign counts by the lines that have it in the same number, so that decimal commas and a
    remark's semicolons part nothing.

    >>> commonest_separator("Tarrowby clinic, doors\\nmark;width\\n1;914,4\\n2;813\\n")
    ';'
    """
    lines = [QUOTED.sub("", line) for line in text[:200_000].splitlines()[:_LINES] if line.strip()]
    best, most = ",", (0, 0)
    for sign in SEPARATORS:
        counts = Counter(line.count(sign) for line in lines if sign in line)
        if counts:
            number, often = max(counts.items(), key=lambda entry: (entry[0] * entry[1], entry[0]))
            if (often * number, often) > most:
                best, most = sign, (often * number, often)
    return best


def _wide_without_mark(data: bytes) -> str:
    """UTF-16 that does not say so, where every second byte of the beginning is zero."""
    head = data[:400]
    if len(head) >= 8 and len(data) % 2 == 0:
        if not any(head[1::2]) and all(head[0::2]):
            return "utf-16-le"
        if not any(head[0::2]) and all(head[1::2]):
            return "utf-16-be"
    return ""


def _is_western(text: str) -> bool:
    """Whether the letters beyond ASCII are such as western schedules have, and few."""
    foreign = [letter for letter in text if letter > "\x7f"]
    usual = sum(letter.isalpha() or letter in "°º½¼¾×–—‘’“”•…«»·´²³ªÂ" for letter in foreign)
    return usual >= 0.9 * len(foreign) and len(foreign) <= 0.2 * len(text)
