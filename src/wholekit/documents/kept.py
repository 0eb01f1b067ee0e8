"""What costs much to make and is the same on every run: kept on disk for the next process.

Only what can be made anew at any time; without a folder that can be written to, it is.
"""

import os
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from tempfile import NamedTemporaryFile

from wholekit.settings import cache_folder

DIGEST = 32  # bytes before the content, by which a torn or changed file is told
MOST_FILES = 200


def kept(kind: str, key: bytes, make: Callable[[], bytes]) -> bytes:
    """What `make` gives, from disk where an earlier process kept it under its kind and key.

    key: all that the content depends on, the versions of the tools that make it among it.
    """
    content = find(kind, key)
    if content is None:
        content = make()
        keep(kind, key, content)
    return content


def find(kind: str, key: bytes) -> bytes | None:
    """What was kept; None where nothing was, or a file is no more what was written."""
    file = _file(kind, key)
    if file is None:
        return None
    try:
        written = file.read_bytes()
    except OSError:
        return None
    content = written[DIGEST:]
    return content if written[:DIGEST] == sha256(content).digest() else None


def keep(kind: str, key: bytes, content: bytes) -> None:
    """Keep it, whole or not at all; the oldest give way where there are too many."""
    file = _file(kind, key)
    if file is None:
        return
    with suppress(OSError):
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with NamedTemporaryFile(dir=file.parent, prefix=".", delete=False) as there:
            there.write(sha256(content).digest() + content)
        Path(there.name).replace(file)
        files = sorted(file.parent.iterdir(), key=lambda one: one.stat().st_mtime)
        for old in files[:-MOST_FILES]:
            old.unlink(missing_ok=True)


def _file(kind: str, key: bytes) -> Path | None:
    folder = cache_folder(os.environ)
    return None if folder is None else folder / f"{kind}-{sha256(key).hexdigest()[:32]}"
