"""The facts of an opening as fields: each with its text as a schedule spells it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from wholekit.domain.openings import Opening, kind_of, stated_text
from wholekit.wording.facts import group_name, label_of
from wholekit.wording.speech import tr
from wholekit.wording.words import value_text

# What an opening has beside its kind, then the kind's fields by what they are of.
GROUPS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("opening", ("mark", "quantity", "width", "height", "leaves", "room", "note")),
    ("door and frame",
     ("door", "core", "door_reinforced", "weight", "thickness", "top_rail", "frame",
      "frame_reinforced", "head_face", "stop", "reveal", "ceiling_clearance", "existing_holes")),
    ("place and use",
     ("location", "swing", "hand", "fire_minutes", "accessible", "egress", "opening_degrees",
      "traffic", "pressure", "wind", "seals", "latch", "jurisdiction")),
    ("closer asked for",
     ("mount", "body_side", "finish", "series", "spring_size", "grade", "hold_open",
      "delayed_action", "backcheck")),
)  # fmt: skip
COLUMNS = tuple(column for _, columns in GROUPS for column in columns)
_LEAVES = ("1", "2")


@dataclass(frozen=True, slots=True)
class FactAnswer:
    """A fact. text: as a schedule spells it, empty where it is unknown; options: what it may be,
    with the words for it, none where anything may be written; unclear: as the customer wrote it,
    where that may mean several things."""

    column: str
    label: str
    text: str
    options: tuple[tuple[str, str], ...]
    unclear: str


def fact_texts(opening: Opening) -> dict[str, str]:
    """Every fact by its column, as a schedule spells it; read again it is the same value."""
    kind = opening.type
    unclear = {each.field: " or ".join(each.candidates) for each in kind.unclear}
    found = {
        "mark": opening.mark,
        "quantity": str(opening.quantity),
        "room": opening.room,
        "note": opening.note,
    }
    for column in COLUMNS:
        if column not in found:
            value = getattr(kind, column)
            found[column] = unclear.get(column) or ("" if value is None else stated_text(value))
    return found


def fact_groups(
    opening: Opening, typed: Mapping[str, str]
) -> list[tuple[str, tuple[FactAnswer, ...]]]:
    """The facts under their headings. typed: what somebody wrote into fields, in their place."""
    texts = {**fact_texts(opening), **typed}
    written = {each.field: each.written for each in opening.type.unclear}
    return [
        (
            group_name(name),
            tuple(
                FactAnswer(
                    column,
                    label_of(column),
                    texts[column],
                    tuple(_options(column, texts[column])),
                    written.get(column, ""),
                )
                for column in columns
            ),
        )
        for name, columns in GROUPS
    ]


def _options(column: str, text: str) -> Iterator[tuple[str, str]]:
    kind = kind_of(column)
    if column == "leaves":
        found = [(each, each) for each in _LEAVES]
    elif kind is bool:
        found = [("", ""), ("yes", tr("yes")), ("no", tr("no"))]
    elif issubclass(kind, StrEnum):
        found = [("", ""), *((each.value, value_text(column, each)) for each in kind)]
    else:
        return
    yield from found
    if text not in dict(found):
        # Several that may be meant, or what was typed and cannot be read.
        yield text, text
