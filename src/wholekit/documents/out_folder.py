"""A folder that several files are made for: all of them come to stand in it, or none."""

import os
import shutil
import tempfile
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path

from wholekit.domain.errors import CallError
from wholekit.stopping import Allowed, PutOff

_PDF = b"%PDF-"


def all_or_nothing(out: Path, names: tuple[str, ...], make: Callable[[Path], None]) -> None:
    """Let `make` put the named files into a folder apart, and move them to `out` together.

    Where anything fails, or the caller is stopped, nothing of `out` is changed, and what was made
    of the path to it is taken away. Raises CallError where `out` cannot be made or written, and
    for a name in it that something else than a PDF has.
    """
    made: list[Path] = []
    stage = None
    done = False
    # No context manager of its own: a signal can come between a body and what ends it.
    with PutOff():
        try:
            _make(out, made)
            for name in names:
                _refuse_other(out / name)
            stage = Path(tempfile.mkdtemp(prefix=".making-", dir=out))
            with Allowed():
                make(stage)
            # One folder on one disk: each of these is done at once.
            for name in names:
                (stage / name).replace(out / name)
            done = True
        except OSError as error:
            said = error.strerror or type(error).__name__
            raise CallError("out-unwritable", folder=str(out), error=said) from None
        finally:
            _tidy(stage, () if done else made)


def _tidy(stage: Path | None, made: Sequence[Path]) -> None:
    """Take the folder apart away, and those that were made for nothing."""
    if stage is not None:
        shutil.rmtree(stage, ignore_errors=True)
    # The innermost first, as a folder can be taken away only when it is empty.
    for folder in reversed(made):
        # Somebody may have put something there meanwhile.
        with suppress(OSError):
            folder.rmdir()


def _make(out: Path, made: list[Path]) -> None:
    """Makes the folder, and tells those that were not there, outermost first."""
    at = out.absolute()
    # A link that leads nowhere is something that is there, and is not taken away.
    while not os.path.lexists(at):
        made.insert(0, at)
        at = at.parent
    out.mkdir(parents=True, exist_ok=True)


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
