"""Values of a call taken as they stand, where the framework would do no more with them.

It builds a validator for every parameter, given or not, and imports its validating library for
that: a third of the time of a short command. Texts, paths, plain numbers and what is not given
need none; all others go to the framework as ever, and so does every value that is wrong.
"""

from enum import Enum
from pathlib import Path
from typing import Any, get_args

# Where one of these is set, the framework looks at a path itself.
_LOOKED_AT = ("exists", "resolve_path", "writable", "parser")
_LONGEST_NUMBER = 9


def take_plainly(command: Any) -> None:  # noqa: ANN401  # the framework's own
    """Read a command's values plainly first, and those of the commands below it."""
    given = command.get_params

    command.get_params = lambda ctx: plainly(given(ctx))
    for below in getattr(command, "commands", {}).values():
        take_plainly(below)


def plainly(parameters: list[Any]) -> list[Any]:
    """The parameters, each with a plain reading before the framework's own."""
    for parameter in parameters:
        # Another release of the framework may keep its reading elsewhere: then it is left alone.
        if getattr(parameter, "_runtime_param", parameter) is None:
            parameter._runtime_param = _Plainly(parameter.type_descriptor)  # noqa: SLF001
    return parameters


class _Plainly:
    """Reads plain values; hands all others to the reading that the framework builds."""

    def __init__(self, described: Any) -> None:  # noqa: ANN401  # as above
        self._info = described.parameter_info
        self._kind = next(iter(get_args(described.annotation)), described.annotation)

    def coerce(self, value: Any, param: Any, ctx: Any) -> Any:  # noqa: ANN401  # as above
        """The value as the command gets it."""
        several = param.multiple or param.nargs == -1
        if value is None:
            return () if several else None
        values = value if several and isinstance(value, list | tuple) else [value]
        plain = [self._plain(one) for one in values]
        if None not in plain and several == isinstance(value, list | tuple):
            return plain if several else plain[0]
        param._runtime_param = None  # noqa: SLF001  # as above
        return param.get_runtime_param().coerce(value, param=param, ctx=ctx)

    def _plain(self, value: object) -> object | None:
        """One value, or None where it takes more than a look."""
        kind, info = self._kind, self._info
        if any(getattr(info, name, None) for name in _LOOKED_AT) or not isinstance(kind, type):
            return None
        # A path's class is the system's own below Path.
        if type(value) is kind or (kind is Path and isinstance(value, Path)):
            return value
        if not isinstance(value, str):
            return None
        if kind is Path:
            return None if "\0" in value else Path(value)
        if kind is int and value.isascii() and value.isdecimal() and len(value) < _LONGEST_NUMBER:
            number = int(value)
            low, high = info.min, info.max
            fits = (low is None or number >= low) and (high is None or number <= high)
            return number if fits else None
        if issubclass(kind, Enum):
            return next((one for one in kind if one.value == value), None)
        return None
