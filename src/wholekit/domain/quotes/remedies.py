"""Ways out of what stops an opening, or of what its note says more: each worked up before it is
told, so that no way is told that does not lead out.

What may be tried comes from what is there: answers to open questions, the hints of the findings,
what the schedule asks of the closer and might leave open, what a hand has set, and the kits that
are offered beside. A way counts where it takes a finding away and brings no stop.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from wholekit.domain.errors import InputError
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.openings import Hand, Mount, Opening, OpeningType, stated_text
from wholekit.domain.openings.handing import swing_of_hand
from wholekit.domain.openings.notes import RATED, mentions
from wholekit.domain.quantities import Length, Money, QuantityError
from wholekit.domain.quotes.asking import Asking
from wholekit.domain.quotes.choices import Choices, choice_set
from wholekit.domain.quotes.job import JobOpening, Override, OverrideKind, finding_about
from wholekit.domain.quotes.worked import WorkBench, WorkedOpening, standing
from wholekit.domain.rules import RuleBook

# So many keys there are to take one by.
MOST = 9
# What is asked of the closer and is no fact of door, frame or place: it may be left open.
LEFT_OPEN = (
    "mount", "body_side", "series", "finish", "spring_size", "grade", "hold_open",
    "delayed_action", "backcheck", "existing_holes",
)  # fmt: skip
# Hints that name a value: our column, and the field of the hint that holds it.
_NAMED = {
    "accept-finish": ("finish", "nearest"),
    "larger-size": ("spring_size", "larger_size"),
    "offer-size": ("spring_size", "size"),
    "one-finish": ("finish", "finish"),
    "one-series": ("series", "series"),
    "size-as-required": ("spring_size", "required"),
    "state-quantity": ("quantity", "count"),
}
# What a column and a text in the words of a schedule make of an opening. Raises InputError.
State = Callable[[str, str], Callable[[Opening], Opening]]


class WayOut(StrEnum):
    """answer: to an open question; state: something else in a column, or nothing; take-back: what
    a hand has set; kit: another one that is offered."""

    ANSWER = "answer"
    STATE = "state"
    TAKE_BACK = "take-back"
    KIT = "kit"


@dataclass(frozen=True, slots=True)
class Remedy:
    """A way out of findings of one opening.

    column, text: what is stated, an empty text leaves it open; of take-back what was set, and the
    item. word: of the kit. settles: findings it takes away; left: stops that are open after it
    [count]; difference: for all of the mark [Money]; mount, size [class]: as they are after it.
    """

    way: WayOut
    settles: tuple[Finding, ...]
    left: int
    difference: Money
    mount: Mount
    size: int | None
    column: str = ""
    text: str = ""
    word: str = ""

    @property
    def name(self) -> str:
        """What tells it from the others of its opening, whatever else changed."""
        return ":".join((self.way.value, self.word or self.column, self.text))


@dataclass(frozen=True, slots=True)
class _Try:
    """loose: it asks for less or for something else, which a stop is worth and a warning is not."""

    way: WayOut
    entry: JobOpening
    column: str = ""
    text: str = ""
    word: str = ""
    loose: bool = True


def open_findings(opening: WorkedOpening) -> tuple[Finding, ...]:
    """What a way out is looked for: stops that nobody has released, what a note says more, and
    warnings that name a value."""
    named = (
        finding
        for finding in opening.kit.findings
        if finding.severity is Severity.WARN
        and finding.hint is not None
        and finding.hint.code in _NAMED
    )
    return (*opening.open_stops(), *opening.of_note, *named)


def remedies_of(
    opening: WorkedOpening, asking: Asking, choices: Choices, bench: WorkBench, state: State
) -> tuple[Remedy, ...]:
    """The ways out of an opening's findings: those that leave the fewest stops first, then those
    that move the price least. Raises RuleError."""
    targets = open_findings(opening)
    if not targets:
        return ()
    found: dict[object, Remedy] = {}
    for tried in _tries(opening, targets, asking, choices, bench.rules, state):
        try:
            worked = bench.work(tried.entry)
        except InputError:
            # What a hand has set does not go with it.
            continue
        remedy = _held(tried, opening, targets, worked)
        if remedy is not None:
            # What comes to the same is one way, the first that was thought of.
            found.setdefault(_outcome(tried, worked), remedy)
    order = {way: place for place, way in enumerate(WayOut)}
    ways = sorted(
        found.values(), key=lambda each: (each.left, abs(each.difference.minor), order[each.way])
    )
    return tuple(ways[:MOST])


def _held(
    tried: _Try, before: WorkedOpening, targets: Sequence[Finding], worked: WorkedOpening
) -> Remedy | None:
    """A try held against the opening as it stands; None where it is no way out."""
    after = open_findings(worked)
    said = {_about(finding) for finding in after}
    fewer = Counter(finding.code for finding in targets)
    fewer.subtract(finding.code for finding in after)
    # One that says something else of the same matter by then was not taken away.
    settles = tuple(
        finding
        for finding in targets
        if _about(finding) not in said
        and fewer[finding.code] > 0
        and (finding.severity is Severity.STOP or not tried.loose)
    )
    codes = {finding.code for finding in before.open_stops()}
    brought = [finding for finding in worked.open_stops() if finding.code not in codes]
    missing = len(worked.kit.missing) > len(before.kit.missing)
    if not settles or brought or missing:
        return None
    return Remedy(
        tried.way,
        settles,
        len(worked.open_stops()),
        worked.price - before.price,
        worked.kit.mount,
        worked.kit.spring_size,
        tried.column,
        tried.text,
        tried.word,
    )


def _outcome(tried: _Try, worked: WorkedOpening) -> object:
    if not tried.loose:
        return tried.entry.opening
    kit = worked.kit
    skus = tuple((line.item.sku, line.quantity) for line in kit.lines)
    return kit.mount, kit.spring_size, skus


def _about(finding: Finding) -> tuple[str, object]:
    # What a note says is told by its column: its words stay, whatever is stated.
    if finding.code == "note-says-more":
        return finding.code, finding.fields["column"]
    return finding.code, finding_about(finding)


def _tries(
    opening: WorkedOpening,
    targets: Sequence[Finding],
    asking: Asking,
    choices: Choices,
    rules: RuleBook,
    state: State,
) -> Iterator[_Try]:
    entry = opening.entry
    stated = [
        *((WayOut.ANSWER, False, *each) for each in _answers(asking)),
        *((WayOut.STATE, False, *each) for each in _of_hints(opening, targets, rules)),
    ]
    if opening.open_stops():
        stated += [(WayOut.STATE, True, *each) for each in _asked_otherwise(entry.opening)]
    for way, loose, column, text in stated:
        try:
            changed = replace(entry, opening=state(column, text)(entry.opening))
        except (InputError, QuantityError):
            continue
        if changed != entry:
            yield _Try(way, changed, column, text, loose=loose)
    if not opening.open_stops():
        return
    for override in standing(entry.overrides):
        if override.kind in (OverrideKind.SIZE, OverrideKind.ITEM):
            kept = tuple(each for each in entry.overrides if each.about != override.about)
            without = replace(entry, overrides=kept)
            yield _Try(WayOut.TAKE_BACK, without, override.kind.value, override.sku)
    yield from _kits(entry, choices)


def _answers(asking: Asking) -> Iterator[tuple[str, str]]:
    for question in asking.questions:
        for answer in question.answers:
            if answer.settled:
                yield question.field, answer.text


def _of_hints(
    opening: WorkedOpening, targets: Sequence[Finding], rules: RuleBook
) -> Iterator[tuple[str, str]]:
    said = {mention.column: mention.says for mention in mentions(opening.entry.opening.note, rules)}
    for finding in targets:
        hint = finding.hint
        if finding.code == "angle-not-reached":
            yield "opening_degrees", stated_text(finding.fields["reached"])
        if finding.code == "size-out-of-range" and opening.entry.opening.type.leaves == 2:
            # As the opening's width was told in place of one leaf's.
            width = opening.entry.opening.type.width
            yield "width", stated_text(Length(width.nm // 2, width.unit))
        if hint is None:
            continue
        if hint.code == "use-parallel":
            yield "mount", Mount.PARALLEL.value
        elif hint.code == "hand-or-swing":
            yield from _hand_or_swing(opening.entry.opening.type)
        elif hint.code in _NAMED:
            column, field = _NAMED[hint.code]
            if hint.fields.get(field) is not None:
                yield column, stated_text(hint.fields[field])
        elif hint.code == "fill-column":
            column = str(hint.fields["column"])
            for text in said.get(column) or ():
                if text != RATED:
                    yield column, text


def _hand_or_swing(kind: OpeningType) -> Iterator[tuple[str, str]]:
    """One of the two corrected by the other."""
    if kind.hand is not None:
        yield "swing", swing_of_hand(kind.hand).value
    for hand in Hand:
        if swing_of_hand(hand) is kind.swing:
            yield "hand", hand.value


def _asked_otherwise(opening: Opening) -> Iterator[tuple[str, str]]:
    """The closer asked for less narrowly, or on another mount."""
    for column in LEFT_OPEN:
        if getattr(opening.type, column) is not None:
            yield column, ""
    for mount in Mount:
        if mount is not opening.type.mount:
            yield "mount", mount.value


def _kits(entry: JobOpening, choices: Choices) -> Iterator[_Try]:
    chosen = choice_set(entry)
    for choice in choices.offered:
        word, wish = next(iter(choice.wishes.items()))
        if wish != chosen:
            kept: tuple[Override, ...] = choice.opening.entry.overrides
            yield _Try(WayOut.KIT, replace(entry, overrides=kept), word=word)
