"""What may be said in a line of openings: for each column its words, or an example of it."""

from collections.abc import Iterator
from dataclasses import dataclass

from wholekit.intake.shorthand_words import PHRASES
from wholekit.intake.vocabulary import WORDS
from wholekit.views.facts import GROUPS
from wholekit.wording.facts import group_name, label_of

# Where any figure may be given: how one is said. Words of the trade, the same in every language.
EXAMPLES = {
    "mark": "101",
    "quantity": "x2",
    "size": "3070",
    "room": "room=stair",
    "note": 'note="by others"',
    "weight": "weight 120 lb",
    "thickness": "thickness 1-3/4 in",
    "top_rail": "rail 5 in",
    "head_face": "head 2 in",
    "reveal": "reveal 4 in",
    "ceiling_clearance": "ceiling 12 in",
    "fire_minutes": "fire 90",
    "opening_degrees": "110 deg",
    "finish": "finish 689",
    "spring_size": "size 4",
    "grade": "grade 1",
}
# Said in the size, or with a unit of their own under the opening's facts.
_WITH_SIZE = ("width", "height")


@dataclass(frozen=True, slots=True)
class SaidColumn:
    """A column. label: as forms call it; column: as `column=value` has it; words: that may stand in
    a line; none where it is said as `column=value` alone."""

    label: str
    column: str
    words: tuple[str, ...]


def sayable() -> list[tuple[str, tuple[SaidColumn, ...]]]:
    """Every column under its heading, in the language in use."""
    return [
        (
            group_name(name),
            tuple(
                SaidColumn(label_of(column), column, _WORDS.get(column, ()))
                for column in _sized(columns)
            ),
        )
        for name, columns in GROUPS
    ]


def _sized(columns: tuple[str, ...]) -> Iterator[str]:
    for column in columns:
        if column == _WITH_SIZE[0]:
            yield "size"
        elif column not in _WITH_SIZE:
            yield column


def _words() -> dict[str, tuple[str, ...]]:
    """For each value of a column the first word that says it and nothing else."""
    found: dict[str, dict[object, str]] = {}
    for phrase, said in PHRASES.items():
        if len(said) == 1:
            ((column, text),) = said
            value = WORDS.get(column, {}).get(text, text)
            found.setdefault(column, {}).setdefault(value, phrase)
    # With a figure of its own it has more to say than that there is no label.
    words = {column: tuple(each.values()) for column, each in found.items()}
    return words | {
        column: (example, *words.get(column, ())) if column == "fire_minutes" else (example,)
        for column, example in EXAMPLES.items()
    }


_WORDS = _words()
