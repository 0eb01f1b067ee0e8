"""Papers laid out in processes of their own: `python -m wholekit.documents.worker PROCESSES`.

Reads tasks from standard input, one a line, and leaves each paper as a PDF in its folder. The
process loads what layout needs once and then forks: a process for each task, under it one for each
run of pages, and under that one for each group, which ends without tidying up its many boxes. So
many runs as it was told are at work at once. Where the system does not fork, one task after the
other is done in this process.
Standard output tells of each task, by its number from 0, a line each: `0 done 40`, blocks;
`0 ended 0`, the status of its process.
"""

import gc
import json
import multiprocessing
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import asdict
from functools import partial
from multiprocessing.connection import Connection
from multiprocessing.context import ForkProcess
from pathlib import Path
from typing import Any, Generic, TypeVar

from wholekit.documents import binding
from wholekit.documents.flow import Block, Flow
from wholekit.documents.layout import LaidOut, LayOutGroup, calm_collector, lay_out, lay_out_group
from wholekit.documents.merge import Bound, merge
from wholekit.documents.press import Press, keep_font, load_libraries

PDF_FILE = "paper.pdf"
ERRORS_FILE = "errors"
DONE, ENDED = "done", "ended"
# Elsewhere than on Linux a fork may break the system's own font service.
CAN_FORK = sys.platform == "linux"

Result = TypeVar("Result")


def write_task(flow: Flow, processes: int, folder: Path) -> str:
    """A task as `read_task` reads it, on one line: a flow, how many runs may be laid out at once
    [count], and the folder for its PDF."""
    return json.dumps({"flow": asdict(flow), "processes": processes, "folder": str(folder)})


def read_task(text: str) -> tuple[Flow, int, Path]:
    """The flow, the number of runs and the folder."""
    task = json.loads(text)
    values: dict[str, Any] = task["flow"]
    found = (Block(*block) for block in values.pop("blocks"))
    blocks = tuple(
        block._replace(marks=tuple(block.marks), names=tuple(block.names)) for block in found
    )
    return Flow(**values, blocks=blocks), task["processes"], Path(task["folder"])


def main(processes: int) -> None:
    """Lay out and join the flows that come on standard input."""
    load_libraries()  # while the first task is still being written
    places = Places(processes)
    children = []
    for number, line in enumerate(sys.stdin):
        flow, at_once, folder = read_task(line)
        if not CAN_FORK:
            work(flow, 1, folder, number=number)
            _tell(number, ENDED, 0)
            continue
        keep_font(flow)  # here, so that tasks share it
        task = partial(_apart, flow, at_once, folder, number, places)
        children.append(_forked(task))
    for number, child in enumerate(children):
        child.join()
        _tell(number, ENDED, child.exitcode or 0)


def _apart(flow: Flow, processes: int, folder: Path, number: int, places: "Places") -> None:
    """A task, in a process of its own; what it says of a failure lies beside its paper."""
    log = os.open(folder / ERRORS_FILE, os.O_WRONLY | os.O_CREAT)
    os.dup2(log, sys.stderr.fileno())
    work(flow, processes, folder, number=number, places=places)


def _tell(number: int, what: str, count: int) -> None:
    sys.stdout.write(f"{number} {what} {count}\n")
    sys.stdout.flush()


class Places:
    """So many runs may be at work at once; one more waits until a place is free."""

    def __init__(self, count: int) -> None:
        self._free, self._left = os.pipe()
        os.write(self._left, bytes(count))

    @contextmanager
    def taken(self) -> Iterator[None]:
        """One place, as long as the context lasts."""
        os.read(self._free, 1)
        try:
            yield
        finally:
            os.write(self._left, bytes(1))


def work(
    flow: Flow, processes: int, folder: Path, *, number: int = 0, places: Places | None = None
) -> None:
    """Lay out and join a flow; the PDF is left in the folder. number: the task's; places: what the
    flow's runs wait for, as many as its processes unless given."""
    press = Press(flow, folder)
    runs = _Runs(press, partial(_tell, number, DONE), places or Places(processes))
    middle = binding.split(flow) if CAN_FORK and processes > 1 else 0
    if middle:
        bound = _two_runs(runs, middle, folder)
    else:
        bound = binding.bind(runs.run(0, len(flow.blocks), folder))
    merge(bound, flow, folder / PDF_FILE)


class _Runs:
    """Lays out runs of a flow's blocks, each in a place of those there are."""

    def __init__(self, press: Press, tell: Callable[[int], None], places: Places) -> None:
        self.press = press
        self._tell = tell
        self._places = places

    def run(self, first: int, until: int, folder: Path) -> list[LaidOut]:
        """The pages of blocks first to until (not included)."""
        do_group = _group_in_child if CAN_FORK else _group_here
        with self._places.taken():
            if CAN_FORK:
                return self._laid_out(first, until, folder, do_group)
            with calm_collector():
                return self._laid_out(first, until, folder, do_group)

    def _laid_out(
        self, first: int, until: int, folder: Path, do_group: LayOutGroup
    ) -> list[LaidOut]:
        return lay_out(self.press, first, until, folder, do_group=do_group, progress=self._tell)


def _two_runs(runs: _Runs, middle: int, folder: Path) -> Bound:
    flow = runs.press.flow
    # Both are under way before either is waited for.
    children = [
        _Child(runs.run, 0, middle + binding.overlap(flow), folder),
        _Child(runs.run, middle, len(flow.blocks), folder),
    ]
    first, second = (child.result() for child in children)
    if flow.apart:
        return binding.bind(first + second)
    bound = binding.join(first, second, middle)
    if bound:
        return bound
    # Parts are named by the block they begin with, and those of the first run are still there.
    again = folder / "again"
    again.mkdir()
    kept, at = binding.keep_before(first, middle)
    further = min(middle + binding.FURTHER, len(flow.blocks))
    first = kept + _Child(runs.run, at, further, again).result()
    bound = binding.join(first, second, middle)
    if bound:
        return bound
    last = folder / "last"
    last.mkdir()
    kept, at = binding.keep_before(first, middle)
    return binding.bind(kept + _Child(runs.run, at, middle, last).result() + second)


def _group_here(press: Press, at: int, stop: int, until: int, file: Path) -> LaidOut:
    part = lay_out_group(press, at, stop, until, file)
    gc.collect()
    return part


def _group_in_child(press: Press, at: int, stop: int, until: int, file: Path) -> LaidOut:
    return _Child(lay_out_group, press, at, stop, until, file).result()


class _Child(Generic[Result]):
    """A forked process that does one thing and ends. Its collector is off: it ends soon."""

    def __init__(self, function: Callable[..., Result], *arguments: object) -> None:
        self._answers, answer = multiprocessing.get_context("fork").Pipe(duplex=False)
        self._process = _forked(partial(self._work, answer, function, arguments))
        # Else this process would hold the pipe open itself, and never see that the child has gone.
        answer.close()

    @staticmethod
    def _work(
        answer: "Connection", function: Callable[..., Result], arguments: tuple[object, ...]
    ) -> None:
        gc.disable()
        answer.send(function(*arguments))

    def result(self) -> Result:
        """What the function returned. Raises ChildProcessError if it did not end well."""
        try:
            # Before waiting for its end: a child cannot end until a long answer is taken from it.
            result: Result = self._answers.recv()
        except EOFError:
            self._process.join()
            raise ChildProcessError(f"layout ended with {self._process.exitcode}") from None
        self._process.join()
        return result


def _forked(function: Callable[[], None]) -> ForkProcess:
    """A process that has begun with the function."""
    process = multiprocessing.get_context("fork").Process(target=function)
    gc.freeze()  # so that the child shares the parent's memory instead of copying it
    process.start()
    return process


if __name__ == "__main__":
    main(int(sys.argv[1]))
