"""Ways a rule's value can be a little wrong: each figure, word and row, one at a time."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from enum import StrEnum

from tests.rules.cases import CaseFile

from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.openings import (
    BodySide,
    Core,
    Door,
    Frame,
    Location,
    Mount,
    Stop,
    Swing,
    Traffic,
)
from wholekit.domain.quantities import Length, QuantityError, parse_length
from wholekit.domain.rules import RuleBook, RuleValue

WORDS: tuple[type[StrEnum], ...] = (
    Door, Frame, Core, Location, Swing, BodySide, Stop, Mount, Traffic, FastenerKind, Role,
)  # fmt: skip
# Words of a column that mean something, and another that it takes as well.
OTHER = {
    "scope": {
        "accessible": "all",
        "asked": "accessible",
        "egress": "accessible",
        "egress-other": "all",
        "all": "accessible",
    },
    "fire_doors": {"yes": "only", "only": "no", "no": "yes", "unread": "yes"},
    "location": {"any": "exterior", "interior": "exterior", "exterior": "interior"},
    "phase": {"whole": "swing", "motion": "swing", "swing": "motion", "beyond-30": "motion"},
    "at": {"handle": "edge", "edge": "handle"},
    "unit": {"lbf": "N", "N": "lbf"},
    "body": {"door": "frame", "frame": "door"},
    "foot": {"door": "frame", "frame": "door"},
}
SIXTEENTH = Length.inches(0, 1, 16)
NO_WORD = "no-such-word"


def mutated(rules: RuleBook, rule_id: str, value: RuleValue) -> RuleBook:
    """The rule book with one rule's value changed."""
    changed = replace(rules.rules[rule_id], value=value)
    return RuleBook({**rules.rules, rule_id: changed}, f"{rules.version} with {rule_id} changed")


def mutants(value: RuleValue, told: CaseFile, key: str = "") -> Iterator[tuple[str, RuleValue]]:
    """(what was changed, the value with that one change); nothing that the file calls unread."""
    if isinstance(value, Mapping):
        for name, part in value.items():
            if name not in told.unread:
                for what, each in mutants(part, told, name):
                    yield f"{name}: {what}", {**value, name: each}
    elif isinstance(value, list | tuple):
        for place, part in enumerate(value):
            if _unread(part, told):
                continue
            yield f"{place} dropped", [*value[:place], *value[place + 1 :]]
            for what, each in mutants(part, told, key):
                yield f"{place}: {what}", [*value[:place], each, *value[place + 1 :]]
    else:
        for scalar in _scalars(value, key, told.step):
            yield f"{value} -> {scalar}", scalar


def _unread(row: RuleValue, told: CaseFile) -> bool:
    return isinstance(row, Mapping) and any(
        all(row.get(key) == value for key, value in unread.items()) for unread in told.unread_rows
    )


def _scalars(value: RuleValue, key: str, step: float | None) -> Iterator[RuleValue]:
    if isinstance(value, bool):
        yield not value
    elif isinstance(value, int):
        by = 1 if step is None else int(step)
        yield value + by
        yield value - by
    elif isinstance(value, float):
        by_part = value * 0.02 if step is None else step
        yield value + by_part
        yield value - by_part
    elif isinstance(value, date):
        yield value + timedelta(days=1)
        yield value - timedelta(days=1)
    elif isinstance(value, str):
        yield from _words(value, key)


def _words(value: str, key: str) -> Iterator[str]:
    if key in OTHER and value in OTHER[key]:
        yield OTHER[key][value]
        return
    try:
        length = parse_length(value) if value.endswith(" in") else None
    except QuantityError:
        length = None
    if length is not None:
        yield f"{(length.nm + SIXTEENTH.nm) / 1_000_000} mm"
        yield f"{(length.nm - SIXTEENTH.nm) / 1_000_000} mm"
        return
    known = next((words for words in WORDS if value in list(words)), None)
    if known is None:
        yield NO_WORD
        return
    members = [str(word) for word in known]
    yield members[(members.index(value) + 1) % len(members)]
