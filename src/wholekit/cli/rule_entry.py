"""A rule as the TOML of a house file: what `wholekit rules ID` prints to be copied."""

import json
import re
from collections.abc import Iterator
from datetime import date

from wholekit.domain.citations import Mark
from wholekit.domain.rules import Rule

_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
WHOSE = "our house"


def entry_lines(rule: Rule) -> Iterator[str]:
    """The lines of an entry that sets a rule to the value it has; nobody may set a statement."""
    yield "[[rule]]"
    for key, value in (
        ("id", rule.id),
        ("title", rule.title),
        ("unit", rule.unit),
        ("valid_from", rule.valid_from),
    ):
        yield f"{key} = {_toml(value)}"
    if isinstance(rule.value, list) and rule.value and isinstance(rule.value[0], dict):
        yield "value = ["
        yield from (f"  {_toml(row)}," for row in rule.value)
        yield "]"
    else:
        yield f"value = {_toml(rule.value)}"
    source = {
        "body": WHOSE,
        "edition": "",
        "clause": "",
        "mark": Mark.HOUSE.value,
        "last_checked": rule.source.last_checked,
    }
    yield f"source = {_toml(source)}"


def _toml(value: object) -> str:
    """A value on one line of TOML.

    >>> print(_toml({"to": 36.0, "size": 3, "for": ["a b", True]}))
    {to = 36.0, size = 3, for = ["a b", true]}
    """
    match value:
        case bool():
            return "true" if value else "false"
        case dict():
            return (
                "{" + ", ".join(f"{_key(key)} = {_toml(each)}" for key, each in value.items()) + "}"
            )
        case list():
            return "[" + ", ".join(map(_toml, value)) + "]"
        case date():
            return value.isoformat()
        case str():
            # A basic string of TOML escapes as JSON does.
            return json.dumps(value, ensure_ascii=False)
        case _:
            return repr(value)


def _key(key: object) -> str:
    text = str(key)
    return text if _BARE_KEY.fullmatch(text) else json.dumps(text, ensure_ascii=False)
