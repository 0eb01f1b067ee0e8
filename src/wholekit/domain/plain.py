"""Domain objects as plain data (text, whole numbers, lists, named values) and back, exactly.

What a frozen quote, an audit entry or a stored opening holds is written by `to_plain` and read by
`from_plain`. Money, costs, lengths and fractions stay whole numbers; nothing passes through a
float but what is one. A field that is None, or sparse and empty, is left out; one that is missing
is read as its default, so that what an older program froze can still be read.
"""

import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields, is_dataclass
from datetime import date, datetime
from enum import Enum
from fractions import Fraction
from functools import cache
from typing import Any, TypeVar, Union, get_args, get_origin, get_type_hints

Value = TypeVar("Value")
Decode = Callable[[Any], Any]
SPARSE = "sparse"


def to_plain(value: object) -> Any:  # noqa: ANN401  # whatever JSON can hold
    """The value as plain data. Raises TypeError for what has no plain form.

    >>> from wholekit.domain.quantities import Money
    >>> to_plain(Money(41250, "USD"))
    {'minor': 41250, 'currency': 'USD'}
    """
    if isinstance(value, Enum):
        return value.value
    if value is None or isinstance(value, str | bool | int | float):
        return value
    if isinstance(value, tuple | list):
        return [to_plain(part) for part in value]
    if is_dataclass(value) and not isinstance(value, type):
        found = {}
        for name in _names(type(value)):
            member = getattr(value, name)
            if member is not None and (member or name not in _sparse(type(value))):
                # A whole number in a float's place is read back as a float: written as one, the
                # text stays the same.
                whole = type(member) is int and name in _floats(type(value))
                found[name] = float(member) if whole else to_plain(member)
        return found
    if isinstance(value, Fraction):
        return f"{value.numerator}/{value.denominator}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, frozenset | set):
        return sorted(to_plain(part) for part in value)
    if isinstance(value, Mapping):
        return {str(name): to_plain(part) for name, part in value.items()}
    raise TypeError(type(value).__name__)


def from_plain(kind: type[Value], data: Any) -> Value:  # noqa: ANN401  # read from JSON
    """The object of a dataclass that plain data describe. Raises ValueError, TypeError, KeyError.

    >>> from wholekit.domain.quantities import Money
    >>> from_plain(Money, {"minor": 41250, "currency": "USD"}).decimal_text
    '412.50'
    """
    read: Decode = _decoder(kind)  # type: ignore[arg-type]  # classes are hashable
    value: Value = read(data)
    return value


@cache
def _names(kind: type) -> tuple[str, ...]:
    return tuple(field.name for field in fields(kind))


@cache
def _sparse(kind: type) -> frozenset[str]:
    """Fields that joined later and are mostly empty: left out then, as older programs did."""
    return frozenset(field.name for field in fields(kind) if field.metadata.get(SPARSE))


@cache
def _floats(kind: type) -> frozenset[str]:
    return frozenset(
        name
        for name, hint in get_type_hints(kind).items()
        if hint is float or float in get_args(hint)
    )


@cache
def _decoder(kind: Any) -> Decode:  # noqa: ANN401  # any annotation
    origin, arguments = get_origin(kind), get_args(kind)
    if origin in (Union, types.UnionType):
        inner = [argument for argument in arguments if argument is not type(None)]
        if len(inner) != 1:
            raise TypeError(f"no plain form for {kind}")
        decode = _decoder(inner[0])
        return lambda data: None if data is None else decode(data)
    if origin is tuple:
        if len(arguments) == 2 and arguments[1] is Ellipsis:
            decode = _decoder(arguments[0])
            return lambda data: tuple(decode(part) for part in data)
        decoders = tuple(_decoder(argument) for argument in arguments)
        return lambda data: tuple(decode(part) for decode, part in zip(decoders, data, strict=True))
    if origin is frozenset:
        decode = _decoder(arguments[0])
        return lambda data: frozenset(decode(part) for part in data)
    if origin is not None and issubclass(origin, Mapping):
        return dict
    if kind is Fraction or (isinstance(kind, type) and issubclass(kind, Enum)):
        return lambda data: kind(data)
    if kind is datetime or kind is date:
        return lambda data: kind.fromisoformat(data)
    if kind in (str, bool, int, float):
        return lambda data: _checked(kind, data)
    if is_dataclass(kind):
        return _dataclass_decoder(kind)  # type: ignore[arg-type]  # a type, by its annotation
    if kind is object or kind is Any:
        return lambda data: data
    raise TypeError(f"no plain form for {kind}")


def _checked(kind: type, data: object) -> object:
    if kind is float and isinstance(data, int) and not isinstance(data, bool):
        return float(data)
    if not isinstance(data, kind) or (kind is int and isinstance(data, bool)):
        raise ValueError(f"{data!r} is not {kind.__name__}")
    return data


def _dataclass_decoder(kind: type) -> Decode:
    hints = get_type_hints(kind)
    readers: dict[str, Decode] = {}
    needed = []
    for field in fields(kind):
        readers[field.name] = _decoder(hints[field.name])
        optional = type(None) in get_args(hints[field.name])
        if field.default is MISSING and field.default_factory is MISSING:
            needed.append((field.name, optional))

    def decode(data: Mapping[str, Any]) -> object:
        values = {name: read(data[name]) for name, read in readers.items() if name in data}
        for name, optional in needed:
            if name not in values:
                if not optional:
                    raise KeyError(f"{kind.__name__}.{name}")
                values[name] = None
        return kind(**values)

    return decode
