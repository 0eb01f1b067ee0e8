"""A folder that several files are made for: all of them come to stand in it, or none."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from wholekit.domain.errors import CallError

_PDF = b"%PDF-"


@contextmanager
def all_or_nothing(out: Path, names: tuple[str, ...]) -> Iterator[Path]:
    """A folder to make the named files in; at the end they are moved to `out`, together.

    Where anything fails, or the caller is stopped, nothing of `out` is changed, and what was made
    of the path to it is taken away. Raises CallError where `out` cannot be made or written, and
    for a name in it that something else than a PDF has.
    """
    made = _make(out)
    done = False
    try:
        for name in names:
            _refuse_other(out / name)
        with tempfile.TemporaryDirectory(
            prefix=".making-", dir=out, ignore_cleanup_errors=True
        ) as stage:
            yield Path(stage)
            # One folder on one disk: each of these is done at once.
            for name in names:
                (Path(stage) / name).replace(out / name)
        done = True
    except OSError as error:
        raise CallError("out-unwritable", folder=str(out), error=error.strerror) from None
    finally:
        if not done:
            # The innermost first, as a folder can be taken away only when it is empty.
            for folder in reversed(made):
                # Somebody may have put something there meanwhile.
                with suppress(OSError):
                    folder.rmdir()


def _make(out: Path) -> list[Path]:
    """Makes the folder; those that were not there, outermost first."""
    missing: list[Path] = []
    try:
        at = out.absolute()
        # A link that leads nowhere is something that is there, and is not taken away.
        while not os.path.lexists(at):
            missing.insert(0, at)
            at = at.parent
        out.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise CallError("out-unwritable", folder=str(out), error=error.strerror) from None
    return missing


def _refuse_other(path: Path) -> None:
    """A folder mistyped must not cost what somebody keeps under such a name."""
    if not os.path.lexists(path):
        return
    start = b""
    if path.is_file():
        with path.open("rb") as file:
            start = file.read(len(_PDF))
    if not path.is_file() or start not in (b"", _PDF):
        raise CallError("paper-in-place-of-other", path=str(path))
