"""A file that appears whole under its name, or not at all."""

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from glob import escape
from pathlib import Path
from uuid import uuid4

from wholekit.store import access
from wholekit.store.errors import StoreError

# A part that nobody has written to for so long was left by somebody who was killed [s].
LEFT_BEHIND = 3_600


@contextmanager
def new_file(path: Path, code: str, *, keep: bool = True) -> Iterator[Path]:
    """A part to write to, beside the file it is to be; without keep it goes in the end.

    It has a name that no other process takes. Raises StoreError: `backup-there` where the file has
    come into being meanwhile, the code given where the part cannot be written.
    """
    part = path.with_name(f".{path.name}.{uuid4().hex[:12]}.part")
    try:
        _sweep(path)
        with part.open("xb"):
            pass
        yield part
        if keep:
            # On the disk before it has its name: after a power cut no name may stand for half a
            # file.
            sync(part)
            _name(part, path)
    except FileExistsError as error:
        raise StoreError("backup-there", path=str(path)) from error
    except OSError as error:
        place = {"path": str(path), "place": str(path)}
        raise StoreError(code, error=error.strerror or type(error).__name__, **place) from error
    finally:
        for leftover in (part, *access.beside(part)):
            leftover.unlink(missing_ok=True)


def sync(path: Path) -> None:
    """Wait until a file is on the disk."""
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _name(part: Path, path: Path) -> None:
    """Give a finished part its name. Raises FileExistsError; a file is never replaced."""
    try:
        # A link fails where the name is taken; a rename would replace what is there.
        path.hardlink_to(part)
    except FileExistsError:
        raise
    except (OSError, NotImplementedError):
        # A disk without hard links.
        if path.exists():
            raise FileExistsError(path) from None
        part.rename(path)


def _sweep(path: Path) -> None:
    """Take away what was left of the same work by somebody who was killed."""
    for part in path.parent.glob(f".{escape(path.name)}.*.part"):
        with suppress(FileNotFoundError):
            if time.time() - part.stat().st_mtime > LEFT_BEHIND:
                for leftover in (part, *access.beside(part)):
                    leftover.unlink(missing_ok=True)
