"""Runs the command line: `python -m wholekit`, and the installed command.

Nothing heavy is imported before a signal or a closed stream can do no harm.
"""

import gc
import os
import sys
from typing import NoReturn

from wholekit import stopping

INTERRUPTED = 130  # 128 + SIGINT, as a shell has it


def main() -> NoReturn:
    """Run the command line with standard streams that are there, and signals that clean up."""
    # Collecting among classes that are all kept takes a fifth of the start.
    gc.disable()
    _open_closed_streams()
    # Without handlers the process ends at once, and half-made folders stay.
    stopping.listen()
    status: object = 0
    try:
        from wholekit.cli.app import main as run

        run()
    except KeyboardInterrupt:
        # Interrupted while the program was still being loaded.
        status = INTERRUPTED
    except SystemExit as end:
        status = end.code
    sys.exit(stopping.status_asked() or status)


def _open_closed_streams() -> None:
    """A stream the caller has closed is none in Python; and the next file opened, a store say,
    would take its place and get what is printed. An answer that nobody can read is a failure as on
    a full disk: its place is one that cannot be written."""
    for name, mode in (("stdin", "r"), ("stdout", "w"), ("stderr", "w")):
        if getattr(sys, name) is None:
            flags = os.O_WRONLY if name == "stderr" else os.O_RDONLY
            place = os.open(os.devnull, flags)
            setattr(sys, name, os.fdopen(place, mode, encoding="utf-8"))


if __name__ == "__main__":
    main()
