"""Files of outside text: read whole, in UTF-8, or refused with the reason and the row."""

import errno
import re
import stat
from pathlib import Path

from wholekit.domain.errors import Problem

LONGEST_LINE = 200
_NOT_PRINTED = re.compile(r"[\x00-\x1f\x7f-\x9f\u2028\u2029]")
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")


def read_text(path: Path, where: str, most: int, problems: list[Problem]) -> str | None:
    """The text of a file, with or without a byte order mark; None, with the fault put down.

    Refused: no such file, more than `most` [bytes], UTF-16, a NUL byte, anything but UTF-8. The
    row told is the file's line, counted from 1.
    """
    try:
        require_plain(path)
        if path.stat().st_size > most:
            problems.append(Problem("file-too-large", {"most": most}, where))
            return None
        data = path.read_bytes()
    except FileNotFoundError:
        problems.append(Problem("file-missing", {}, where))
        return None
    except OSError as error:
        problems.append(Problem("file-not-read", {"error": error.strerror or "?"}, where))
        return None
    if data.startswith(_UTF_16):
        problems.append(Problem("utf-16", {}, where))
        return None
    nul = data.find(b"\0")
    if nul >= 0:
        problems.append(Problem("nul-byte", {}, where, _line(data, nul)))
        return None
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # The decoder counts from behind the byte order mark, and hands over what it counted in.
        row = _line(error.object, error.start)
        given = f"{error.object[error.start]:02x}"
        problems.append(Problem("not-utf-8", {"byte": given}, where, row))
        return None


def require_plain(path: Path) -> None:
    """Raises OSError where there is nothing, or a pipe or device: one may never begin or end."""
    mode = path.stat().st_mode
    if not stat.S_ISREG(mode) and not stat.S_ISDIR(mode):
        raise OSError(errno.EINVAL, "Not a plain file")


def is_line(text: str) -> bool:
    """Whether a text is one line that can be printed, not blank and at most 200 characters.

    >>> is_line("Cover, 689"), is_line("two\\nlines"), is_line("  ")
    (True, False, False)
    """
    return bool(text.strip()) and len(text) <= LONGEST_LINE and not _NOT_PRINTED.search(text)


def _line(data: bytes, place: int) -> int:
    return data.count(b"\n", 0, place) + 1
