"""A large paper, laid out in processes of its own: `python -m wholekit.documents.worker FOLDER`.

Reads its task from standard input and leaves the finished PDF in FOLDER. The process loads what
layout needs once and then forks: a process for each run, and under it one for each group, which
ends without tidying up its many boxes. Where the system does not fork, one run is laid out in
this process.
Standard output tells of the blocks done, a number a line.
"""

import gc
import json
import multiprocessing
import sys
from collections.abc import Callable
from dataclasses import asdict
from functools import partial
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, Generic, TypeVar

from wholekit.documents import binding
from wholekit.documents.flow import Block, Flow
from wholekit.documents.layout import LaidOut, calm_collector, lay_out, lay_out_group
from wholekit.documents.merge import Bound, merge
from wholekit.documents.press import Press, load_libraries

PDF_FILE = "paper.pdf"
# Elsewhere than on Linux a fork may break the system's own font service.
CAN_FORK = sys.platform == "linux"

Result = TypeVar("Result")


def write_task(flow: Flow, processes: int) -> str:
    """A task as `read_task` reads it: a flow, and how many runs may be laid out at once [count]."""
    return json.dumps({"flow": asdict(flow), "processes": processes})


def read_task(text: str) -> tuple[Flow, int]:
    """The flow and the number of runs."""
    task = json.loads(text)
    values: dict[str, Any] = task["flow"]
    found = (Block(*block) for block in values.pop("blocks"))
    blocks = tuple(block._replace(marks=tuple(block.marks)) for block in found)
    return Flow(**values, blocks=blocks), task["processes"]


def main(folder: Path) -> None:
    """Lay out and join the flow that comes on standard input."""
    load_libraries()  # while the task is still being written
    work(*read_task(sys.stdin.read()), folder)


def work(flow: Flow, processes: int, folder: Path) -> None:
    """Lay out and join a flow; the PDF is left in the folder."""
    press = Press(flow, folder)
    middle = binding.split(flow) if CAN_FORK and processes > 1 else 0
    if middle:
        bound = _two_runs(press, middle, folder)
    else:
        bound = binding.bind(_run(press, 0, len(flow.blocks), folder))
    merge(bound, flow, folder / PDF_FILE)


def _two_runs(press: Press, middle: int, folder: Path) -> Bound:
    end = len(press.flow.blocks)
    # Both are under way before either is waited for.
    runs = [
        _Child(_run, press, 0, middle + binding.OVERLAP, folder),
        _Child(_run, press, middle, end, folder),
    ]
    first, second = (run.result() for run in runs)
    bound = binding.join(first, second, middle)
    if bound:
        return bound
    kept, at = binding.keep_before(first, middle)
    # Parts are named by the block they begin with, and those of the first run are still there.
    again = folder / "again"
    again.mkdir()
    return binding.bind(kept + _Child(_run, press, at, middle, again).result() + second)


def _run(press: Press, first: int, until: int, folder: Path) -> list[LaidOut]:
    tell: Callable[[int], None] = partial(print, flush=True)
    if CAN_FORK:
        return lay_out(press, first, until, folder, do_group=_group_in_child, progress=tell)
    with calm_collector():
        return lay_out(press, first, until, folder, do_group=_group_here, progress=tell)


def _group_here(press: Press, at: int, stop: int, until: int, file: Path) -> LaidOut:
    part = lay_out_group(press, at, stop, until, file)
    gc.collect()
    return part


def _group_in_child(press: Press, at: int, stop: int, until: int, file: Path) -> LaidOut:
    return _Child(lay_out_group, press, at, stop, until, file).result()


class _Child(Generic[Result]):
    """A forked process that does one thing and ends. Its collector is off: it ends soon."""

    def __init__(self, function: Callable[..., Result], *arguments: object) -> None:
        fork = multiprocessing.get_context("fork")
        self._answers, answer = fork.Pipe(duplex=False)
        self._process = fork.Process(target=self._work, args=(answer, function, arguments))
        gc.freeze()  # so that the child shares the parent's memory instead of copying it
        self._process.start()
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


if __name__ == "__main__":
    main(Path(sys.argv[1]))
