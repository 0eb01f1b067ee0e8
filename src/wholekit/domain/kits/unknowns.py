"""What a schedule leaves open of an opening, and the answers it may get (rule asked-answers)."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from wholekit.domain.openings import (
    Door,
    Facts,
    Frame,
    OpeningType,
    read_stated,
    stated_text,
    swing_of_hand,
)
from wholekit.domain.quantities import Mass
from wholekit.domain.quantities.mass import UG_PER_UNIT
from wholekit.domain.rules import RuleBook, RuleValue
from wholekit.domain.sizing import en_rows

RULE = "asked-answers"
# What is answered, by field; a field that is not there stays as the schedule has it.
Given: TypeAlias = Mapping[str, object]


@dataclass(frozen=True, slots=True)
class Unknown:
    """A field that is open, with its plausible answers; unclear: it was written, but not plainly.

    quoted_as: what the kit was worked out with meanwhile, as a schedule spells it; empty where
    nothing stands in.
    """

    field: str
    answers: tuple[object, ...]
    quoted_as: str = ""
    unclear: bool = False


def unknowns_of(opening_type: OpeningType, rules: RuleBook) -> tuple[Unknown, ...]:
    """The open fields of an opening, in the order of the rule. Raises RuleError, ValueError.

    A hand implies its swing, so that of a single leaf the hand alone is asked; one that would
    contradict a stated swing is no answer. A core is open in a wood leaf only, a top rail in an
    aluminum one, and a wood frame holds a screw anywhere.
    """
    facts = Facts(opening_type, rules)
    unclear = {each.field: each for each in opening_type.unclear}
    found: list[Unknown] = []
    for row in rules.rows(RULE):
        field = str(row["field"])
        if field in unclear:
            several = tuple(read_stated(field, text) for text in unclear[field].candidates)
            quoted = stated_text(getattr(opening_type, field))
            found.append(Unknown(field, several, quoted, True))
        elif getattr(opening_type, field) is None and _open(field, facts):
            answers = _answers(row, opening_type, rules)
            found.append(Unknown(field, answers, _default(field, facts)))
    return tuple(found)


def answered(opening_type: OpeningType, given: Given) -> OpeningType:
    """The opening with answers in place; what was unclear about their fields is so no more."""
    if not given:
        return opening_type
    unclear = opening_type.unclear
    if unclear:
        unclear = tuple(each for each in unclear if each.field not in given)
    return replace(opening_type, unclear=unclear, **given)  # type: ignore[arg-type]  # own kinds


def _open(field: str, facts: Facts) -> bool:
    kind = facts.type
    match field:
        case "core":
            return facts.door is Door.WOOD
        case "top_rail":
            return facts.door is Door.ALUMINUM
        case "frame_reinforced":
            return facts.frame is not Frame.WOOD
        case "hand":
            return kind.leaves == 1
        case "swing":
            # A pair has a leaf of either hand, and a single leaf is asked for its hand.
            return kind.leaves == 2 and kind.hand is None
    return True


def _answers(
    row: Mapping[str, RuleValue], kind: OpeningType, rules: RuleBook
) -> tuple[object, ...]:
    field, listed = str(row["field"]), row["answers"]
    assert isinstance(listed, Sequence)  # noqa: S101  # the loader keeps the value's kind
    texts = [str(text) for text in listed]
    if field == "weight":
        greatest = {size: limit for limit, size in en_rows("mass_kg", rules)}
        return tuple(_weight(greatest[int(text)], kind) for text in texts)
    read = tuple(read_stated(field, text) for text in texts)
    if field == "hand" and kind.swing is not None:
        return tuple(hand for hand in read if swing_of_hand(hand) is kind.swing)  # type: ignore[arg-type]  # hands
    return read


def _weight(limit: int, kind: OpeningType) -> Mass:
    """The greatest weight [µg] of a size, in whole pounds or kilograms as its leaf is written.

    Sizes change with the mass at these alone, so that an answer holds for all that is less, down
    to the answer before.
    """
    unit = "lb" if kind.width.unit in ("in", "ft") else "kg"
    return Mass(limit // UG_PER_UNIT[unit] * UG_PER_UNIT[unit], unit)


def _default(field: str, facts: Facts) -> str:
    """What stands in for an open field; empty where nothing does."""
    # Of these no default is taken: the kit is worked out without them.
    if field in ("weight", "hand", "egress"):
        return ""
    value = getattr(facts, field)
    return "" if value is None else stated_text(value)
