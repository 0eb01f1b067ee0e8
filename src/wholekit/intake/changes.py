"""Changes to an opening as `column=value`, in the words of a schedule."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.nearest_words import what_is_right
from wholekit.domain.openings import Opening
from wholekit.domain.quantities import QuantityError
from wholekit.intake import cells
from wholekit.intake.dialect import translate
from wholekit.intake.faults import Faults
from wholekit.intake.kinds import bare_sides
from wholekit.intake.schedule import COLUMNS
from wholekit.intake.tables import column_name
from wholekit.intake.unclear import settle
from wholekit.intake.vocabulary import MEANT

# What an opening has of its own, beside its type.
OWN = ("mark", "quantity", "note", "room")
# A lone figure is no leaf, and what a closer is called by.
_SPRING_SIZES = frozenset("1234567")
_NEVER_EMPTY = ("size", "width", "height", "leaves")


def read_changes(
    texts: Sequence[str],
    *,
    finishes: FinishBook,
    jurisdictions: Mapping[str, str] | None = None,
) -> dict[str, Any]:
    """Columns with their new values; an empty value makes a column unknown again.

    Raises InputError with every change that cannot be read.
    """
    faults = Faults("change")
    readers: dict[str, cells.Read] = {
        **cells.readers(finishes, jurisdictions),
        "mark": lambda text: cells.clean(text, cells.LONGEST_MARK),
        "quantity": cells.quantity,
        "note": lambda text: cells.clean(text, cells.LONGEST_NOTE),
        "room": lambda text: cells.clean(text, cells.LONGEST_ROOM),
    }
    changes: dict[str, Any] = {}
    sides: dict[str, str] = {}
    for text in texts:
        given, sign, value = text.partition("=")
        name = column_name(given)
        if not sign:
            faults.put("change-unreadable", None, "", given=cells.shown(text))
        elif name not in readers:
            right = MEANT.get(name) or what_is_right(name[:60], COLUMNS)
            faults.put("column-unknown", None, name, given=given, right=right)
        else:
            _read(changes, name, value, readers, faults)
            sides[name] = value.strip()
    for fault in [] if "size" in changes else bare_sides(sides):
        faults.put(fault.code, None, fault.column, **fault.fields)
    faults.raise_if_any()
    return changes


def changed(opening: Opening, changes: Mapping[str, Any]) -> Opening:
    """The opening with its changes.

    >>> from wholekit.domain.openings import OpeningType
    >>> from wholekit.domain.quantities import Length
    >>> door = Opening("101", OpeningType(Length.inches(36), Length.inches(84)))
    >>> changed(door, {"quantity": 3, "finish": "690"}).type.finish
    '690'
    """
    own = {name: value for name, value in changes.items() if name in OWN}
    kind = {name: value for name, value in changes.items() if name not in own}
    size = kind.pop("size", None)
    if size is not None:
        kind = {"width": size[0], "height": size[1], **kind}
    settled = settle(kind, opening.type.unclear)
    if kind.get("finish", opening.type.finish) != opening.type.finish:
        # The sheet's word was for another.
        own["finish_written"] = ""
    return replace(opening, **own, type=replace(opening.type, **settled))


def _value(name: str, text: str, readers: Mapping[str, cells.Read]) -> dict[str, Any]:
    """The value of a column, as schedules write it too: `hand=RHRA` is a pair. Raises
    QuantityError."""
    try:
        return {name: cells.read_cell(text, readers[name])}
    except QuantityError:
        meant = translate(name, text)
        if meant is None or not meant.cells.get(name):
            raise
        return {column: readers[column](said) for column, said in meant.cells.items() if said}


def _read(
    changes: dict[str, Any],
    name: str,
    value: str,
    readers: Mapping[str, cells.Read],
    faults: Faults,
) -> None:
    try:
        text = cells.clean(value, cells.LONGEST_NOTE)
        if text:
            changes |= _value(name, text, readers)
        elif name in _NEVER_EMPTY:
            faults.put("size-needed", None, name)
        elif name == "mark":
            faults.put("mark-needed-in-row", None, name)
        else:
            # What these are where nobody says; every other column is then unknown.
            changes[name] = {"quantity": 1, "note": "", "room": ""}.get(name)
    except QuantityError as error:
        if name == "size" and value.strip() in _SPRING_SIZES:
            faults.put("size-of-spring", None, name, given=value.strip())
        else:
            faults.put(error.code, None, name, given=error.given, **error.fields)
