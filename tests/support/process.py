"""The command line in a process of its own: closed streams, signals and pipes are real there."""

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

LONGEST = 120  # seconds until a call that hangs is given up


def call(*arguments: str, home: Path | None = None, **options: object) -> subprocess.Popen[bytes]:
    """`wholekit ARGUMENTS` begun; options as for Popen."""
    environment = dict(os.environ)
    if home is not None:
        environment["WHOLEKIT_HOME"] = str(home)
    environment.pop("WHOLEKIT_DATABASE_URL", None)
    given = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, "env": environment, **options}
    return subprocess.Popen([sys.executable, "-m", "wholekit", *arguments], **given)  # type: ignore[call-overload]  # whatever the test needs


def ended(process: subprocess.Popen[bytes]) -> tuple[int, str, str]:
    """Status, standard output and standard error at the end."""
    out, err = process.communicate(timeout=LONGEST)
    return process.returncode, (out or b"").decode(), (err or b"").decode()


def stopped_when(
    process: subprocess.Popen[bytes], ready: Callable[[], bool], number: signal.Signals
) -> tuple[int, str, str]:
    """The end of a process that is sent a signal as soon as something is so."""
    last = time.monotonic() + LONGEST
    while not ready():
        assert process.poll() is None, ended(process)
        assert time.monotonic() < last
        time.sleep(0.01)
    process.send_signal(number)
    return ended(process)
