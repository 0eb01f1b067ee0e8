"""When the program is told to end: at once, or as soon as nothing is half made.

A signal arrives in the middle of any statement, in the making of a folder and in its taking away
too, and the exception it raises may be swallowed by a library. So it is remembered: where something
must not be left half made it is put off to the end of that, and what was swallowed is raised again.
"""

import signal
from types import FrameType, TracebackType

_NAMES = ("SIGINT", "SIGTERM", "SIGHUP")
_asked = 0
_off = False


def listen() -> None:
    """Let signals end the program by an exception, so that it can tidy up.

    A signal that the caller had ignored (nohup) stays ignored.
    """
    for name in _NAMES:
        number = getattr(signal, name, None)
        usual = (signal.SIG_DFL, signal.default_int_handler)
        if number is not None and signal.getsignal(number) in usual:
            signal.signal(number, _stop)


def status_asked() -> int:
    """The status to end with (128 + signal) if a signal asked for it, or 0; none is heard after.

    From here on a signal ends the process as the system has it, for nothing is left to tidy up.
    """
    for name in _NAMES:
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is _stop:
            signal.signal(number, signal.SIG_DFL)
    return 128 + _asked if _asked else 0


class PutOff:
    """What is done inside is done to its end; a signal that comes meanwhile is raised after it."""

    def __enter__(self) -> None:
        global _off
        _raise_if_asked()
        self._before, _off = _off, True

    def __exit__(self, *_error: object) -> None:
        global _off
        _off = self._before
        _raise_if_asked()


class Allowed:
    """Inside what is put off, a part that a signal may end at once."""

    def __enter__(self) -> None:
        global _off
        _off = False
        _raise_if_asked()

    def __exit__(
        self, kind: type[BaseException] | None, _error: object, _where: TracebackType | None
    ) -> None:
        global _off
        if kind is None:
            _raise_if_asked()
        _off = True


def _stop(number: int, _frame: FrameType | None) -> None:
    global _asked
    _asked = number
    _raise_if_asked()


def _raise_if_asked() -> None:
    if not _asked or _off:
        return
    raise KeyboardInterrupt if _asked == signal.SIGINT else SystemExit(128 + _asked)
