"""Whether a house's own value can be worked with: words that exist, lengths, tables in order."""

from collections.abc import Callable, Iterator, Mapping
from itertools import pairwise

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
from wholekit.domain.quantities import QuantityError, parse_length
from wholekit.domain.rules import Rule

# What each text of a rule's value must be readable as.
_WORDS: Mapping[str, Callable[[str], object]] = {
    "default-door": Door,
    "default-frame": Frame,
    "default-core": Core,
    "default-location": Location,
    "default-swing-exterior": Swing,
    "default-body-side": BodySide,
    "default-stop": Stop,
    "default-traffic": Traffic,
    "default-thickness": parse_length,
    "default-top-rail": parse_length,
    "default-head-face": parse_length,
    "default-reveal": parse_length,
    "pull-side-mounts": Mount,
    "push-side-mounts": Mount,
}
# Tables read from the top: each of these columns must rise from row to row.
_RISING: Mapping[str, tuple[str, ...]] = {
    "us-width-interior": ("to", "size"),
    "us-width-exterior": ("to", "size"),
    "en1154-table-1": ("size", "width_mm", "mass_kg", "moment_from", "moment_to"),
    "en1154-table-1-remembered": ("size",),
}


def unfit(rule: Rule) -> Iterator[dict[str, object]]:
    """The fields of a fault for each part of the value the program could not work with."""
    read = _WORDS.get(rule.id)
    if read is not None:
        for text in _texts(rule.value):
            try:
                read(text)
            except (ValueError, QuantityError):
                yield {"given": text, "right": _known(read)}
    for column in _RISING.get(rule.id, ()):
        rows = rule.value if isinstance(rule.value, list) else []
        values = [float(str(row.get(column, "nan"))) for row in rows if isinstance(row, dict)]
        if any(not low < high for low, high in pairwise(values)):
            yield {"given": column, "right": "numbers that rise from row to row"}


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, dict):
        for one in value.values():
            yield from _texts(one)
    elif isinstance(value, list):
        for one in value:
            yield from _texts(one)
    else:
        yield str(value)


def _known(read: Callable[[str], object]) -> str:
    if isinstance(read, type):
        return ", ".join(str(getattr(word, "value", word)) for word in read)  # type: ignore[attr-defined]  # an enumeration
    return "a length, as 1-3/4 in"
