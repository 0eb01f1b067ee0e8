"""Papers laid out side by side by a process of their own, which loads what layout needs once.

The caller fills one paper after the other and waits for all at the end. Interruption ends the
process and all it forked.
"""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO

from wholekit.documents import worker
from wholekit.documents.archive import Archive, archive
from wholekit.documents.flow import Flow
from wholekit.domain.errors import CallError
from wholekit.stopping import Allowed, PutOff

WORKER = worker.__name__
# Blocks from which one of several papers is laid out in two runs. Where they meet some blocks are
# laid out twice, which pays only while a processor would be idle.
LONG = 200
_PDF = b"%PDF-"


@dataclass(slots=True)
class _Task:
    """A paper under way. status: the process's that made it, None while it is not done."""

    out: Path
    folder: Path
    kept: Archive | None
    progress: Callable[[int, int], None] | None
    blocks: int = 0
    done: int = 0
    status: int | None = None

    @property
    def pdf(self) -> Path:
        return self.folder / worker.PDF_FILE


class PressRoom:
    """Where papers are being laid out. several: more than one is to come.

    processes: how many runs of pages may be laid out at once [count]; as many as this process has
    processors unless given.
    """

    def __init__(self, processes: int | None = None, *, several: bool = False) -> None:
        self.processes = processes or _processors()
        self._least = LONG if several else 0
        self._tasks: list[_Task] = []
        self._log = Path(tempfile.mkdtemp(prefix="wholekit-")) / "errors"
        self._command = [sys.executable, "-m", WORKER, str(self.processes)]
        # A file and no pipe: one that nobody reads meanwhile would fill, and the worker would stop.
        with self._log.open("w", encoding="utf-8") as errors:
            self._process = subprocess.Popen(  # noqa: S603  # this program
                self._command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=errors,
                encoding="utf-8",
                # So that the worker and all it forks can be ended as one group.
                start_new_session=True,
            )

    def take(
        self,
        make: Callable[[], Flow],
        out: Path,
        *,
        kept: Archive | None = None,
        progress: Callable[[int, int], None] | None = None,
    ) -> None:
        """Have the flow that `make` gives laid out. Raises CallError as `render_paper` does."""
        with written_to(out), PutOff():
            refuse_other(out)
            folder = Path(tempfile.mkdtemp(prefix=f".{out.name}-", dir=out.parent.absolute()))
            task = _Task(out, folder, kept, progress)
            self._tasks.append(task)
        flow = make()
        task.blocks = len(flow.blocks)
        processes = self.processes if task.blocks >= self._least else 1
        # A worker that failed while loading reads nothing; what it said of that is told later.
        with suppress(BrokenPipeError):
            self._pipe.write(worker.write_task(flow, processes, folder) + "\n")
            self._pipe.flush()

    @property
    def _pipe(self) -> IO[str]:
        assert self._process.stdin is not None  # noqa: S101  # it was asked for
        return self._process.stdin

    def wait(self) -> None:
        """Until all papers are laid out. Raises CallError for the first that is not."""
        if not self._tasks:
            return
        with suppress(BrokenPipeError):
            self._pipe.close()
        self._hear(self._process.stdout or ())
        self._process.wait()
        for task in self._tasks:
            with written_to(task.out):
                if task.status != 0:
                    raise self._failure(task)
                if task.kept is not None:
                    archive(task.pdf, task.kept)

    def place(self) -> None:
        """Put each to its name. Raises CallError."""
        for task in self._tasks:
            with written_to(task.out):
                # From the same disk, so in one step: whoever looks finds the old or the new one.
                task.pdf.replace(task.out)

    def close(self) -> None:
        """End what is still at work, and take away what it worked with."""
        if self._process.poll() is None:
            self._end()
        for stream in (self._process.stdin, self._process.stdout):
            if stream is not None:
                with suppress(BrokenPipeError):
                    stream.close()
        for task in self._tasks:
            shutil.rmtree(task.folder, ignore_errors=True)
        shutil.rmtree(self._log.parent, ignore_errors=True)

    def _end(self) -> None:
        if hasattr(os, "killpg"):
            with suppress(ProcessLookupError):
                os.killpg(self._process.pid, signal.SIGKILL)
        else:
            self._process.kill()
        self._process.wait()

    def _hear(self, lines: Iterable[str]) -> None:
        for line in lines:
            number, what, count = line.split()
            task = self._tasks[int(number)]
            if what == worker.ENDED:
                task.status = int(count)
                continue
            task.done = min(task.done + int(count), task.blocks)
            if task.progress:
                task.progress(task.done, task.blocks)

    def _failure(self, task: _Task) -> subprocess.CalledProcessError:
        logs = (task.folder / worker.ERRORS_FILE, self._log)
        said = next((log.read_text("utf-8") for log in logs if log.is_file()), "")
        status = self._process.returncode if task.status is None else task.status
        return subprocess.CalledProcessError(status, self._command, stderr=said)


def in_press_room(
    fill: Callable[[PressRoom], None], processes: int | None = None, *, several: bool = False
) -> None:
    """Let `fill` have papers laid out in a room; all are in their places when this returns.

    Where anything fails, or the caller is stopped, none is. Raises CallError.
    """
    room = None
    # No context manager of its own: a signal can come between a body and what ends it.
    with PutOff():
        try:
            room = PressRoom(processes, several=several)
            with Allowed():
                fill(room)
                room.wait()
            room.place()
        finally:
            if room is not None:
                room.close()


def refuse_other(out: Path) -> None:
    """A name mistyped must not cost a schedule or a price book. Raises CallError."""
    if out.is_file():
        with out.open("rb") as file:
            start = file.read(len(_PDF))
        if start and start != _PDF:
            raise CallError("paper-in-place-of-other", path=str(out))


@contextmanager
def written_to(out: Path) -> Iterator[None]:
    """Tells what hinders a paper as `paper-not-written`, with its path."""
    try:
        yield
    except (OSError, subprocess.CalledProcessError) as error:
        raise CallError("paper-not-written", path=str(out), because=_say(error)) from error


def _processors() -> int:
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def _say(error: OSError | subprocess.CalledProcessError) -> str:
    if isinstance(error, OSError):
        return error.strerror or type(error).__name__
    lines = (error.stderr or "").strip().splitlines()
    # The last line of a traceback is what went wrong.
    return lines[-1] if lines else str(error)
