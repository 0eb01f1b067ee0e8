"""Reasons in sentences: one line for a paper, or the whole tree with its sources."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wholekit.domain.catalog import FastenerKind
from wholekit.domain.quantities import Length
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.wording.hole_edges import at_least
from wholekit.wording.sources import rule_source
from wholekit.wording.speech import figure, tr, trn
from wholekit.wording.units import in_customary, metric_in_use
from wholekit.wording.words import (
    KINDS,
    MOUNTS,
    SIDES,
    field_name,
    listed,
    plural,
    value_text,
)

SENTENCES: dict[str, str] = {
    "assumed": "{field} assumed: {value}",
    "body-chosen": "{body}: {how}",
    "fact": "{field}: {value}",
    "unclear": "{field} unclear (“{written}”): worked as {value} until answered",
    "host": "the {part} is {material}, {held}, so it takes {kinds}",
    "host-unknown": "no rule says what a {part} of {material} takes",
    "mount-asked": "the schedule asks for {mount}",
    "mount-chosen": "{mount}, the first mount of the {side} that serves",
    "need-body": "a closer body for the {mount}",
    "need-body-fastener": "{count} to fix the body to {host}",
    "need-bracket-arm-screw": "joins the forearm to the bracket",
    "need-bracket-fastener": "{count} to fix the bracket to {host}",
    "need-cover": "the body is made to be covered",
    "need-forearm": "the second arm",
    "need-forearm-reveal": "the second arm, long enough for a reveal of {reveal}",
    "need-hold-open-arm": "the schedule asks for an arm that holds open",
    "need-main-arm": "the arm on the pinion, for {mount}",
    "need-pinion-cap": "dresses the unused end of the pinion",
    "need-pinion-screw": "fixes the arm to the pinion",
    "piece-unlisted": "{sku} brings it, but it is not listed for fire doors",
    "need-plate": "the {part} is {room} high, the template needs {takes}",
    "need-plate-for-edge": "the {part} is {room} high, the body's own holes need {takes}",
    "need-plate-for-holes": "carries the body over the old holes",
    "need-plate-fastener": "{count} to fix the plate to {host}",
    "need-shoe": "fixes the forearm, for {mount}",
    "need-shoe-fastener": "{count} to fix the shoe to {host}",
    "need-soffit-bracket": "takes the forearm under the head; a parallel arm always needs it",
    "need-spacer": "levels the bracket under a blade stop",
    "side-by-room": "{location}, {swing}: the body belongs on the room side, the {side}",
    "size-added-outside": "size {size}: one more than {chart} by the exterior chart, for a "
    "parallel arm (house rule)",
    "size-by-mass": "size {size} for a leaf of {weight}",
    "size-by-width": "size {size} for a leaf {width} wide ({location})",
    "size-for-fire": "size {size} at least for a fire label of {minutes} min",
    "size-for-height": "size {size}: the leaf is taller than {limit}",
    "size-for-parallel": "size {size} for a parallel arm: one more than {interior} for the "
    "leaf alone",
    "size-required": "size {size} is required: the greatest of these",
    "size-asked": "the schedule asks for size {size}",
    "size-by-force": "size {size} so that it latches: {needed} N·m needed in the last degrees",
    "template-chosen": "template {template}: the leaf is to open to {wanted}, it lets it reach "
    "{reached}",
    "weight-estimated": "weight estimated at {weight} from size and material",
    "weight-open": "weighs {weight}: {by_day} without a promise, "
    "times {times} for priority {priority}",
    "weight-overdue": "weighs {weight}: {by_day} for a promise that is {days} late, "
    "times {times} for priority {priority}",
    "weight-promised": "weighs {weight}: {by_day} for a promise due in {days}, "
    "times {times} for priority {priority}",
    "why-holes-covered": "a plate covers the old holes, since no body on them would do as well",
    "why-holes-differ": "new holes: nothing on the old ones would do as well",
    "why-holes-reused": "the old holes serve: {pattern}",
}
# Said another way where they came to no size.
_BEYOND = {
    "size-added-outside",
    "size-by-force",
    "size-by-mass",
    "size-by-width",
    "size-for-parallel",
    "size-required",
}


@dataclass(frozen=True, slots=True)
class ReasonLine:
    """One line of a tree: depth [0 = top], sentence, sources of the rules it rests on."""

    depth: int
    text: str
    sources: tuple[str, ...]
    rules: tuple[str, ...]


def say_reason(reason: Reason) -> str:
    """One reason in words, without what it follows from."""
    if reason.code in _BEYOND and reason.fields.get("size") is None:
        return _beyond(reason)
    words = {name: _word(name, value) for name, value in reason.fields.items()}
    if "needed" in words:
        words["needed"] = figure(str(words["needed"]))
    if reason.code in ("fact", "assumed", "unclear"):
        name = str(reason.fields["field"])
        words |= {"field": field_name(name), "value": value_text(name, reason.fields["value"])}
    if reason.code == "body-chosen":
        words["how"] = _how(reason)
    if reason.code == "need-plate-for-edge":
        words["takes"] = _high_enough(reason.fields["takes"])
    if reason.code == "host":
        reinforced = bool(reason.fields["reinforced"])
        words["held"] = _held(str(reason.fields["material"]), reinforced)
    if reason.code.endswith("-fastener"):
        kinds = reason.fields.get("kinds")
        count = reason.fields["count"]
        if isinstance(kinds, tuple) and isinstance(count, int):
            words["count"] = _fasteners(count, kinds)
    days = reason.fields.get("days")
    if isinstance(days, int):
        words["days"] = trn("{count} working day", "{count} working days", days).format(count=days)
    return in_customary(tr(SENTENCES[reason.code]), reason.fields).format_map(words)


def _fasteners(count: int, kinds: Sequence[FastenerKind]) -> str:
    if len(kinds) == 1:
        return plural(count, KINDS[kinds[0]])
    name = listed([tr(KINDS[kind]) for kind in kinds], "or") or tr("fastener")
    return f"{count} ({name})"


def say_tree(reason: Reason, rules: RuleBook) -> Iterator[ReasonLine]:
    """The whole tree, top first, each line with the sources it rests on."""
    stack = [(0, reason)]
    while stack:
        depth, because = stack.pop()
        yield ReasonLine(
            depth,
            say_reason(because),
            tuple(rule_source(rules, rule) for rule in because.rules),
            because.rules,
        )
        # Reversed, since what is put on last comes off first.
        stack += [(depth + 1, below) for below in reversed(because.because)]


def _beyond(reason: Reason) -> str:
    if reason.code == "size-required":
        if any(cause.code == "size-by-force" for cause in reason.because):
            return tr("no size: none latches here")
        return tr("no size: the leaf is beyond the tables")
    if reason.code == "size-by-force":
        needed = figure(str(reason.fields["needed"]))
        said = tr("no size latches: {needed} N·m needed in the last degrees")
        return in_customary(said, reason.fields).format(needed=needed)
    if reason.code == "size-added-outside":
        return tr("one more than the largest size of the exterior chart")
    what = value_text("", reason.fields.get("weight") or reason.fields.get("width"))
    return tr("{measure} is beyond the table").format(measure=what)


def _high_enough(height: object) -> str:
    """A height from which holes are sound, in the units in use."""
    return at_least(height, metric_in_use(height)) if isinstance(height, Length) else ""


def _how(reason: Reason) -> str:
    low, high = reason.fields["size_from"], reason.fields["size_to"]
    if reason.fields["adjustable"]:
        said = tr("adjustable {low} to {high}, set to {setting}")
        return said.format(low=low, high=high, setting=reason.fields["setting"])
    return tr("fixed size {size}").format(size=low)


def _held(material: str, reinforced: bool) -> str:
    if material == "wood":
        return tr("with blocking") if reinforced else tr("without blocking")
    return tr("reinforced") if reinforced else tr("not reinforced")


def _word(name: str, value: object) -> str:
    if name in ("wanted", "reached") and isinstance(value, int | float):
        return figure(f"{value:g}°")
    if name == "kinds" and isinstance(value, tuple | list):
        return listed([tr(KINDS.get(kind, str(kind))) for kind in value], "or")
    if name == "part":
        return field_name(str(value))
    if name == "mount" and value in MOUNTS:
        return tr(MOUNTS[value])  # type: ignore[index]
    if name == "side" and value in SIDES:
        return tr(SIDES[value])  # type: ignore[index]
    return value_text(name, value)
