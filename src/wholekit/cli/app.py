"""The command line: commands joined, errors told in sentences, exit status as promised.

Status 0: all well; 1: an opening has a stop or a missing piece; 2: the input or the call was
wrong, and nothing was written; 3: a fault of the program itself. 130: interrupted from the
keyboard; 141: the reader of the output has gone.
"""

import contextlib
import io
import os
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from shlex import quote
from typing import Any, NoReturn

import typer

from wholekit import __version__
from wholekit.cli.console import say, tell, wrapped
from wholekit.cli.groups import GROUPS
from wholekit.cli.late import LateGroup
from wholekit.cli.plain_values import plainly
from wholekit.domain.errors import CallError, InputError, Problem, WholekitError
from wholekit.domain.quantities import QuantityError

PROBLEMS_SHOWN = 50
ROWS_NAMED = 12
CELLS_NAMED = 3
# What is asked of a whole table stands at its header's row, which is none to leave out.
_OF_HEADERS = frozenset({"tables-asked", "column-asked", "columns-asked",
                         "table-without-rows-below"})  # fmt: skip
# As a shell has them: 128 + SIGINT, 128 + SIGPIPE.
INTERRUPTED, PIPE_CLOSED = 130, 141
FAULT = 3
CATALOG = "--catalog"
# The module that registers each command, in the order of the help.
MODULES = {
    name: "groups" if name in GROUPS else name.replace("-", "_")
    for name in (
        "kit", "schedule", "check-kit", "explain", "papers", "rules", "door-force", "sweep", "demo",
        "release", "allocate", "pick", "bag", "ship",
        "catalog", "stock", "count", "buy", "receive",
        "db", "job", "quote", "customer", "margin", "house", "sign-in", "serve",
    )
}  # fmt: skip


class _PipeClosedError(Exception):
    """The reader of the output has gone; no OSError, which the framework would make status 1."""


@contextlib.contextmanager
def _pipe_told() -> Iterator[None]:
    try:
        yield
    except BrokenPipeError:
        raise _PipeClosedError from None


class _Commands(LateGroup):
    """The commands, with a closed pipe let through to `main`."""

    modules = MODULES

    def make_context(self, *given: Any, **options: Any) -> Any:  # noqa: ANN401  # the framework's
        # Options such as --help and --version print while the context is still being made.
        with _pipe_told():
            return super().make_context(*given, **options)

    def get_params(self, ctx: Any) -> Any:  # noqa: ANN401  # the framework's
        return plainly(super().get_params(ctx))

    def invoke(self, ctx: Any) -> Any:  # noqa: ANN401  # the framework's
        with _pipe_told():
            return super().invoke(ctx)


app = typer.Typer(
    name="wholekit",
    cls=_Commands,
    help="Door openings in; complete, priced closer kits, quotes and pick lists out.",
    no_args_is_help=True,
    # Else what stands in brackets in a help text would be taken for markup.
    rich_markup_mode=None,
    # `main` tells a fault in one sentence; the framework's table of variables may show a password.
    pretty_exceptions_enable=False,
    add_completion=False,
)


def _version(shown: bool) -> None:
    if shown:
        say(f"wholekit {__version__}")
        raise typer.Exit


@app.callback()
def _main(
    _version_asked: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version and stop."
    ),
) -> None:
    """Door openings in; complete, priced closer kits, quotes and pick lists out."""


def spread(arguments: list[str]) -> list[str]:
    """`--catalog A B C` as `--catalog A --catalog B --catalog C`, where B and C are folders.

    >>> spread(["kit", "--catalog", "/", "/", "--json"])
    ['kit', '--catalog', '/', '--catalog', '/', '--json']
    """
    # The framework takes one value for an option; people write several behind it.
    found: list[str] = []
    several = False
    for number, argument in enumerate(arguments):
        if several and number > 0 and _is_folder(argument) and arguments[number - 1] != CATALOG:
            found.append(CATALOG)
        elif argument != CATALOG and arguments[number - 1 : number] != [CATALOG]:
            several = False
        several = several or argument == CATALOG
        found.append(argument)
    return found


def _is_folder(text: str) -> bool:
    try:
        return Path(text).is_dir()
    except (OSError, ValueError):
        # Longer than a name may be, or no name at all.
        return False


def main() -> NoReturn:
    """Run the command line; a foreseen error is a sentence and status 2, any other status 3."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show × or ° is no reason to stop.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        status = _run()
        # Here, where a full disk or a closed pipe can still be told; later it would be a traceback.
        sys.stdout.flush()
    except (BrokenPipeError, _PipeClosedError):
        # What was printed is all that was wanted.
        status = PIPE_CLOSED
    except KeyboardInterrupt:
        status = INTERRUPTED
    except SystemExit as end:
        # A signal while an error was told, or the answer flushed.
        status = _status_of(end)
    except OSError as error:
        from wholekit.wording.errors import say_error

        status = _tell_last(
            2, say_error(CallError("output-not-written", error=error.strerror or str(error)))
        )
    except BaseException as error:  # noqa: BLE001  # a reader in another language panics as no Exception
        from wholekit.wording.errors import say_fault_of_own

        status = _tell_last(FAULT, say_fault_of_own(error))
    if status == INTERRUPTED:
        _tell_last(status, "Interrupted.")
    if status in (PIPE_CLOSED, INTERRUPTED, FAULT, 2):
        # What could not be written must not be tried again on the way out.
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(status)


def _tell_last(status: int, text: str) -> int:
    # Standard error may be closed as well.
    with contextlib.suppress(OSError, ValueError):
        tell(text)
    return status


def _run() -> int:
    try:
        app(args=spread(sys.argv[1:]))
    except SystemExit as end:
        return _status_of(end)
    except InputError as error:
        # Late, here and below: the sentences of errors know the whole house; most calls need none.
        from wholekit.wording.problems import say_problem

        shown = error.problems[:PROBLEMS_SHOWN]
        for problem in shown:
            tell(say_problem(problem))
        if len(error.problems) > len(shown):
            tell(f"… and {len(error.problems) - len(shown)} more")
        count = len(error.problems)
        tell(f"{count} problem{'s' if count != 1 else ''}; nothing was taken.")
        if error.sheet:
            for line in _way_out(error.problems):
                tell(line)
        return 2
    except WholekitError as error:
        from wholekit.wording.errors import say_error

        tell(say_error(error))
        return 2
    except QuantityError as error:
        from wholekit.wording.problems import say_quantity_error

        tell(say_quantity_error(error))
        return 2
    return 0


def _way_out(problems: Sequence[Problem]) -> Iterator[str]:
    """How a contractor's sheet is read all the same: a cell told, or its rows left out."""
    problems = [problem for problem in problems if problem.code not in _OF_HEADERS]
    rows = sorted({problem.row for problem in problems if problem.row is not None})
    if rows:
        listed = ",".join(map(str, rows[:ROWS_NAMED]))
        cells = dict.fromkeys(
            quote(f"{problem.column}:{problem.fields['given']}=…")
            for problem in problems
            if problem.row is not None and problem.column and problem.fields.get("given")
        )
        told = ", ".join(f"--value {cell}" for cell in list(cells)[:CELLS_NAMED])
        yield from wrapped(
            f"Say what a cell means ({told or '--value COLUMN:CELL=CLEAN'}), or leave rows out: "
            f"--leave-out {listed}{',…' if len(rows) > ROWS_NAMED else ''}."
        )


def _status_of(end: SystemExit) -> int:
    # A text instead of a number means 1, and none means 0, as Python has it.
    return end.code if isinstance(end.code, int) else int(end.code is not None)
