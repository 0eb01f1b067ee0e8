"""The command line: commands joined, errors told in sentences, exit status as promised.

Status 0: all well; 1: an opening has a stop or a missing piece; 2: the input or the call was
wrong, and nothing was written.
"""

import contextlib
import io
import os
import sys
from pathlib import Path

import typer

from wholekit import __version__
from wholekit.cli import (
    catalog,
    check_kit,
    customer,
    db,
    demo,
    door_force,
    explain,
    house,
    job,
    kit,
    margin,
    papers,
    quote,
    rules,
    sweep,
)
from wholekit.cli.console import say, tell
from wholekit.domain.errors import CallError, InputError, WholekitError
from wholekit.domain.quantities import QuantityError
from wholekit.wording.errors import say_error
from wholekit.wording.problems import say_problem, say_quantity_error

PROBLEMS_SHOWN = 50
PIPE_CLOSED = 141  # 128 + SIGPIPE, as a shell has it
CATALOG = "--catalog"

app = typer.Typer(
    name="wholekit",
    help="Door openings in; complete, priced closer kits, quotes and pick lists out.",
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    add_completion=False,
)
for command in (kit, check_kit, explain, papers, catalog, rules, door_force, sweep, db, demo):
    command.register(app)
for command in (job, quote, customer, margin, house):
    command.register(app)


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
    found: list[str] = []
    several = False
    for number, argument in enumerate(arguments):
        if several and number > 0 and Path(argument).is_dir() and arguments[number - 1] != CATALOG:
            found.append(CATALOG)
        elif argument != CATALOG and arguments[number - 1 : number] != [CATALOG]:
            several = False
        several = several or argument == CATALOG
        found.append(argument)
    return found


def main() -> None:
    """Run the command line; every foreseen error is a sentence and status 2."""
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show × or ° is no reason to stop.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        status = _run()
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader of a pipe has gone; what was printed is all it wanted.
        status = PIPE_CLOSED
    except OSError as error:
        tell(say_error(CallError("output-not-written", error=error.strerror or str(error))))
        status = 2
    if status in (PIPE_CLOSED, 2):
        # What could not be written must not be tried again on the way out.
        with contextlib.suppress(OSError, ValueError):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(status)


def _run() -> int:
    try:
        app(args=spread(sys.argv[1:]))
    except SystemExit as end:
        return end.code if isinstance(end.code, int) else int(end.code is not None)
    except InputError as error:
        shown = error.problems[:PROBLEMS_SHOWN]
        for problem in shown:
            tell(say_problem(problem))
        if len(error.problems) > len(shown):
            tell(f"… and {len(error.problems) - len(shown)} more")
        count = len(error.problems)
        tell(f"{count} problem{'s' if count != 1 else ''}; nothing was taken.")
        return 2
    except WholekitError as error:
        tell(say_error(error))
        return 2
    except QuantityError as error:
        tell(say_quantity_error(error))
        return 2
    return 0
