"""Domain values as the JSON text of a column, and back; texts seen before are read once."""

import json
from functools import lru_cache
from typing import Any, TypeVar

from wholekit.domain.plain import from_plain, to_plain

Value = TypeVar("Value")


def to_text(value: object) -> str:
    """A value as one line of JSON, the same for the same value."""
    return json.dumps(to_plain(value), ensure_ascii=False, separators=(",", ":"), allow_nan=False)


def from_text(kind: Any, text: str) -> Any:  # noqa: ANN401  # a type as annotated: tuple[str, ...]
    """The value of a type that a column's text describes."""
    return from_plain(kind, json.loads(text))


# Sound only because domain values are frozen: nobody can change what another holds too.
@lru_cache(maxsize=4096)
def shared(kind: Any, text: str) -> Any:  # noqa: ANN401  # as above
    """The same, one object for all equal texts: openings that are alike share their kind."""
    return from_text(kind, text)


def read_object(text: str | None) -> dict[str, object] | None:
    """Plain data of an audit entry."""
    if text is None:
        return None
    found: dict[str, object] = json.loads(text)
    return found
