"""The command line as a user calls it, in this process: status, stdout, stderr."""

import io
import json
import sys
from contextlib import redirect_stderr, redirect_stdout
from dataclasses import dataclass
from typing import Any
from unittest.mock import patch

from wholekit.cli.app import FAULT, main


@dataclass(frozen=True)
class Result:
    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)


def run(*arguments: str, stdin: bytes = b"") -> Result:
    """Run `wholekit ARGUMENTS`; a fault of the program itself fails the test."""
    out, err = io.StringIO(), io.StringIO()
    fed = io.TextIOWrapper(io.BytesIO(stdin), encoding="utf-8")
    status = 0
    with (
        patch.object(sys, "argv", ["wholekit", *arguments]),
        patch.object(sys, "stdin", fed),
        redirect_stdout(out),
        redirect_stderr(err),
    ):
        try:
            main()
        except SystemExit as end:
            status = end.code if isinstance(end.code, int) else int(end.code is not None)
    assert status != FAULT, err.getvalue()
    return Result(status, out.getvalue(), err.getvalue())


def done(*arguments: str) -> Result:
    """Run a command that must go well and have nothing to tell."""
    result = run(*arguments)
    assert (result.status, result.err) == (0, ""), (arguments, result.err)
    return result


def add_openings(*texts: str, job: str = "1") -> Result:
    """Put openings in shorthand into a job."""
    return done("job", "add", job, *(part for text in texts for part in ("--opening", text)))


# Words of a call that an owner alone, or not everybody, may make.
OWNERS = {"margin", "sheet", "settings", "--internal", "--multiplier", "tier", "end-tier"}


def run_named(*arguments: str) -> Result:
    """Run a command, an owner's by the owner odo, unless it says by whom."""
    said = {"odo", "ines"} & set(arguments[-1:])
    return run(*arguments, *(("--by", "odo") if OWNERS & set(arguments) and not said else ()))


def done_named(*arguments: str) -> Result:
    """The same, of one that must go well and have nothing to tell."""
    result = run_named(*arguments)
    assert (result.status, result.err) == (0, ""), (arguments, result.err)
    return result
