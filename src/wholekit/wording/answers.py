"""What comes of an answer to a question: prices, other closers, and what cannot be had so.

What an answer adds to the firm total stands by itself: alternates have sums of their own, and what
is open stands in none.
"""

from collections.abc import Callable, Collection, Hashable, Iterator, Sequence
from typing import TypeAlias, TypeVar

from wholekit.domain.kits.outcome import Doubt
from wholekit.domain.openings import stated_text
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.asking import WEIGHT, Asking, Change, InTotal, JobQuestion
from wholekit.wording.makers import series_title
from wholekit.wording.offered import amount_text
from wholekit.wording.questions import (
    BOX,
    blank_of,
    ranges_text,
    stated_value,
    where_text,
)
from wholekit.wording.speech import tr, trn
from wholekit.wording.to_customers import CALCULATED, NEAR_HEAD
from wholekit.wording.to_customers import DOUBTS as SAID
from wholekit.wording.words import field_name, listed, value_text

AS_QUOTED = "price and kit as quoted"
SETTLES = "settles what stops it"
SETTLES_SOME = "settles a part of what stops it"
DOUBTS: dict[Doubt, str] = {
    Doubt.NO_LATCH: CALCULATED["latch-power-short"],
    Doubt.MAY_NOT_LATCH: SAID["latch-power-short"],
    Doubt.OVER_LIMIT: SAID["force-over-limit"],
    Doubt.OVER_IF_EXIT: SAID["egress-force-limit"],
    Doubt.NEAR_RAIL: SAID["holes-near-edge"],
    Doubt.NEAR_HEAD: NEAR_HEAD,
}
# What an answer makes a part that nobody stated be taken as, by its field.
TAKEN = {
    "door": "the leaf taken as {material} too",
    "frame": "the frame taken as {material} too",
}
# Of these an answer moves a price by the force limits alone; and which answer lifts them.
_OF_LIMITS = ("accessible", "egress")
_NO = stated_text(False)

# Between what an answer comes to for some of its openings and for others.
LINE = "\n"

# Names some openings: by their marks, or by the group that a question makes of them.
Naming: TypeAlias = Callable[[Collection[str]], str]
Effects = TypeVar("Effects", bound=Hashable)
# Alternate, what it does to the firm total, and the other answers it takes.
_Group = tuple[str, InTotal, tuple[tuple[str, str], ...]]


def answers_text(question: JobQuestion, among: Asking) -> tuple[tuple[str, str], ...]:
    """Each answer and what comes of it, answers of the same effect together.

    among: what else is asked, for the ranges of marks; so of all of these.
    """
    told = _alike(question, lambda _, changes: tuple(each for each in changes if not each.nothing))
    return tuple(
        (_values(question, values), effect_text(changes, question, among))
        for values, changes in told
    )


def brief_answers(
    question: JobQuestion, among: Asking, where: Naming | None = None
) -> tuple[tuple[str, str], ...]:
    """As `answers_text`: amounts from the least to the greatest, a line for each of the openings
    that it comes to something else for.

    With them, where there are answers beside those printed, an empty answer and what a blank after
    it is for. No opening is both priced and told as one that cannot be had so. where: names the
    openings, else their marks do.
    """
    told = tuple(
        (boxes, any_of_these(text)) if BOX in boxes and text != tr(AS_QUOTED) else (boxes, text)
        for boxes, (text, _) in _boxed(question, among, where)
    )
    blank = blank_of(question)
    return (*told, ("", blank)) if blank else told


def any_of_these(effect: str) -> str:
    """What comes alike of several answers, each with a box of its own."""
    return tr("any of these: {effect}").format(effect=effect)


def refused_answers(
    question: JobQuestion, among: Asking, where: Naming | None = None
) -> tuple[str, ...]:
    """Of each of `brief_answers`, at which openings it cannot be had so; empty where at none."""
    told = tuple(refused for _, (_, refused) in _boxed(question, among, where))
    return (*told, "") if blank_of(question) else told


def answer_text(
    question: JobQuestion, answer: str, changes: Sequence[Change], among: Asking
) -> str:
    """What comes of one answer, in a line; as quoted where nothing changes."""
    return "; ".join(answer_lines(question, answer, changes, _by_marks(among)))


def answer_lines(
    question: JobQuestion, answer: str, changes: Sequence[Change], where: Naming
) -> tuple[str, ...]:
    """What comes of one answer, a line for each of the openings that it is something else for."""
    moved = [change for change in changes if not change.nothing]
    if not moved:
        return (tr(AS_QUOTED),)
    return _Brief(question, answer, where).lines(moved)


def effect_text(changes: Sequence[Change], question: JobQuestion, among: Asking) -> str:
    """What comes of an answer, opening by opening where they differ: `+145.00 USD each`."""
    told: dict[str, list[str]] = {}
    for change in changes:
        told.setdefault(_change_text(change), []).extend(change.marks)
    texts = []
    for text, marks in told.items():
        # Where it is the same for all that are asked about they are named with the question.
        where = "" if set(marks) >= set(question.marks) else where_text(marks, among)
        texts.append(tr("{effect} ({marks})").format(effect=text, marks=where) if where else text)
    return "; ".join(texts) or tr("as quoted")


def _by_marks(among: Asking) -> Naming:
    """Openings by their marks as ranges."""
    return lambda marks: ranges_text([*marks], among.every, among.beyond)


def _boxed(
    question: JobQuestion, among: Asking, where: Naming | None
) -> tuple[tuple[str, tuple[str, str]], ...]:
    """Answers of one effect by their boxes; what comes of them, and what of it is refused."""
    named = where or _by_marks(among)

    def effect(answer: str, changes: Sequence[Change]) -> tuple[str, str]:
        lines = answer_lines(question, answer, changes, named)
        return LINE.join(lines), _not_at(changes, named)

    return tuple((_boxes(question, values), text) for values, text in _alike(question, effect))


def _alike(
    question: JobQuestion, effect: Callable[[str, Sequence[Change]], Effects]
) -> Sequence[tuple[Sequence[str], Effects]]:
    """Answers of the same effect together, as values; of weights those next to one another."""
    found: list[tuple[list[str], Effects]] = []
    for answer in question.answers:
        came = effect(answer.text, answer.changes)
        value = stated_value(question.field, answer.text)
        among = found[-1:] if question.field == WEIGHT else found
        values = next((values for values, known in among if known == came), None)
        if values is None:
            values = []
            if question.field == WEIGHT and found:
                # From where the weights before it end.
                values.append(found[-1][0][-1])
            found.append((values, came))
        values.append(value)
    return found


def _boxes(question: JobQuestion, values: Sequence[str]) -> str:
    return _values(question, values) if question.field == WEIGHT else BOX.join(values)


def _values(question: JobQuestion, values: Sequence[str]) -> str:
    """Answers of one effect; of weights all up to the last, above what another effect goes to."""
    if question.field != WEIGHT:
        return listed(values, "or")
    first = stated_value(WEIGHT, question.answers[0].text)
    if values[0] == first:
        return tr("up to {most}").format(most=values[-1])
    return tr("over {least}, up to {most}").format(least=values[0], most=values[-1])


class _Brief:
    """One answer in a line: each opening is either priced or one that cannot be had so."""

    def __init__(self, question: JobQuestion, answer: str, where: Naming) -> None:
        self._question = question
        self._answer = answer
        self._where = where

    def lines(self, changes: Sequence[Change]) -> tuple[str, ...]:
        """What comes of it; changes: those that change anything."""
        parts = [
            part
            for group, alike in _groups([each for each in changes if not each.refused])
            for part in self._had(group, alike)
        ]
        refused = self._refused(changes)
        # Where there are several parts each names its openings.
        several = len(parts) + len(refused) > 1
        told = [self._at(text, alike, named=several) for text, alike in (*parts, *refused)]
        return (*told,) or (tr("another setting or size at the same price"),)

    def _had(
        self, group: _Group, alike: Sequence[Change]
    ) -> Iterator[tuple[str, Sequence[Change]]]:
        """What comes of it at openings that it can be had for, and which they are."""
        alternate, counted, given = group
        enters = counted is InTotal.ENTERS
        priced = [each for each in alike if enters or each.difference.minor]
        if priced:
            text = _amounts(priced)
            # What stays open is told again once it is settled.
            if counted is not InTotal.APART:
                text = self._with_changes(text, priced)
            yield _of_alternate(_apart(text, counted), alternate), priced
        settled = [] if enters else [each for each in alike if each.settled]
        if settled:
            yield _of_alternate(_settles(settled[0]), alternate), settled
        same = [each for each in alike if each not in (*priced, *settled) and _told(each)]
        stood = [each for each in same if self._stands(each)]
        rest = [each for each in same if each not in stood]
        for said, of in ((tr("as quoted"), stood), (tr("at the same price"), rest)):
            # Two answers that move no price between them are no news, unless something speaks
            # against them.
            if of and (not given or any(each.doubts for each in of)):
                yield _of_alternate(self._with_changes(said, of), alternate), of

    def _stands(self, change: Change) -> bool:
        """Whether the answer is what stands in there anyway, so that nothing is another."""
        quoted = {
            mark for way in self._question.quoted if way.text == self._answer for mark in way.marks
        }
        return {*change.marks} <= quoted

    def _with_changes(self, text: str, changes: Sequence[Change]) -> str:
        """A price with what else comes with it: the reason for it, and what then speaks against
        the door."""
        told = [self._some(said, of, changes) for said, of in self._changed(changes)]
        if told:
            text = tr("{effect} · with {changes}").format(effect=text, changes=" · ".join(told))
        text = self._with_doubts(self._because(text, changes), changes)
        for finishes in dict.fromkeys(each.finish for each in changes if each.finish is not None):
            of = [each for each in changes if each.finish == finishes]
            against = self._some(_in_finish(*finishes), of, changes)
            text = tr("{effect} · but {doubt}").format(effect=text, doubt=against)
        return text

    def _with_doubts(self, text: str, changes: Sequence[Change], joined: str = "") -> str:
        for doubt, said in DOUBTS.items():
            doubted = [each for each in changes if doubt in each.doubts]
            if doubted:
                against = self._some(tr(said), doubted, changes)
                text = (joined or tr("{effect} · but {doubt}")).format(effect=text, doubt=against)
        return text

    def _changed(self, changes: Sequence[Change]) -> Iterator[tuple[str, Sequence[Change]]]:
        """What is another closer or another way to put it, in few words, each with where."""
        rest = list(changes)
        for said, of in _other_closers(changes):
            yield said, of
            rest = [each for each in rest if each not in of]
        closers = [each for each in rest if each.closer]
        # In another finish it is another by what was asked.
        if closers and self._question.field != "finish":
            yield tr("another closer of the series"), closers
        for taken in dict.fromkeys(each.taken for each in changes if each.taken is not None):
            yield _taken(*taken), [each for each in changes if each.taken == taken]

    def _because(self, text: str, changes: Sequence[Change]) -> str:
        """With why another closer is taken, where nothing but the force limits asks for it."""
        limits = self._question.field in _OF_LIMITS
        if not limits or not any(each.closer or each.size for each in changes):
            return text
        if self._answer == _NO:
            return tr("{effect} · as no force limit then holds it lighter").format(effect=text)
        return tr("{effect} · to open with less force").format(effect=text)

    def _some(self, text: str, of: Sequence[Change], among: Sequence[Change]) -> str:
        """A few words with the openings they are said of, where those are not all of these."""
        rest = [mark for each in among if each not in of for mark in each.marks]
        if not rest:
            return text
        marks = [mark for each in of for mark in each.marks]
        said = tr("{effect} ({marks})")
        if len(rest) * 2 < len(marks):
            marks, said = rest, tr("{effect} (not at {marks})")
        return said.format(effect=text, marks=self._where(marks))

    def _refused(self, changes: Sequence[Change]) -> list[tuple[str, Sequence[Change]]]:
        """At which openings an answer cannot be had so, and why."""
        every = [change for change in changes if change.refused]
        # A stop says more than a limit that is passed, and than holes too near an edge.
        limited = [each for each in every if _by_limit(each)]
        unsound = [each for each in every if _by_edge(each)]
        stopped = [each for each in every if each not in (*limited, *unsound)]
        plain = tr("cannot be furnished so without another decision")
        limit = tr("by calculation over the force limit, another decision is needed")
        why = tr("{effect} · reason: {doubt}")
        return [
            *((plain, alike) for alike in _beside(stopped)),
            # Without a price: a credit for what keeps holes from an edge would be none.
            *((self._with_doubts(plain, alike, why), alike) for alike in _beside(unsound)),
            *((limit, alike) for alike in _beside(limited)),
        ]

    def _at(self, text: str, changes: Sequence[Change], *, named: bool) -> str:
        """What comes of an answer with the other answers it takes, and its openings.

        They stand with the question where it is all of them. named: they are named all the same.
        """
        marks = [mark for change in changes for mark in change.marks]
        asked = self._question.marks
        text = _with_others(text, changes[0])
        if set(marks) < set(asked) or (named and len(asked) > 1):
            where = self._where(marks)
            return tr("{marks}: {effect}").format(effect=text, marks=where) if where else text
        return text


def _groups(changes: Sequence[Change]) -> list[tuple[_Group, list[Change]]]:
    """Changes by what they do to which total; those of the base bid that take no other answer
    first."""
    order = list(InTotal)
    found: dict[_Group, list[Change]] = {}
    for change in changes:
        found.setdefault((change.alternate, change.counted, change.given), []).append(change)
    return sorted(
        found.items(), key=lambda group: (group[0][0], order.index(group[0][1]), bool(group[0][2]))
    )


def _of_alternate(text: str, alternate: str) -> str:
    return (
        tr("alternate {code}: {effect}").format(code=alternate, effect=text) if alternate else text
    )


def _amounts(changes: Sequence[Change]) -> str:
    """From the least to the greatest, and together; of what becomes firm its whole price."""
    moved = [
        change.price if change.counted is InTotal.ENTERS and change.price else change.difference
        for change in changes
    ]
    ends = sorted(set(moved), key=lambda each: each.minor)
    amount = _signed(ends[0])
    if len(ends) > 1:
        amount = tr("from {least} to {most}").format(least=amount, most=_signed(ends[-1]))
    said = tr("{amount} each, {openings}")
    text = said.format(amount=amount, openings=_openings(changes))
    if sum(change.count for change in changes) > 1 and changes[0].counted is not InTotal.APART:
        every = sum(one.minor * change.count for one, change in zip(moved, changes, strict=True))
        whole = _signed(Money(every, ends[0].currency))
        text = tr("{effect}, together {amount}").format(effect=text, amount=whole)
    return text


def _apart(text: str, counted: InTotal) -> str:
    """An amount that moves no firm price, told as what it is."""
    if counted is InTotal.ENTERS:
        return tr("settles what stops it and adds to the firm total: {effect}").format(effect=text)
    if counted is InTotal.APART:
        return tr("open all the same, in no firm total: {effect}").format(effect=text)
    return text


def _settles(change: Change) -> str:
    """That it settles what stops an opening that was in no firm total and is not through it."""
    return tr(SETTLES) if change.firm_then else tr(SETTLES_SOME)


def _told(change: Change) -> bool:
    """Whether it is told though the price stays."""
    another = change.series or change.maker or change.size or change.mount or change.finish
    return bool(another or change.doubts)


def _other_closers(changes: Sequence[Change]) -> Iterator[tuple[str, list[Change]]]:
    """Another mount, series, maker or size, each once with its changes."""
    mounts = list(dict.fromkeys(each.mount for each in changes if each.mount is not None))
    for mount in mounts:
        yield value_text("mount", mount), [each for each in changes if each.mount is mount]
    for new, old in dict.fromkeys(each.series for each in changes if each.series is not None):
        said = tr("series {new} in place of {old}") if new and old else tr("series {new}")
        alike = [each for each in changes if each.series == (new, old)]
        yield said.format(new=series_title(new or old), old=series_title(old)), alike
    if makers := [each for each in changes if each.maker]:
        yield tr("a closer of another maker"), makers
    sizes = sorted({each.size for each in changes if each.size is not None})
    if sizes:
        text = tr("spring size {size}").format(size=sizes[0])
        if len(sizes) > 1:
            said = tr("spring size {least} to {most}")
            text = said.format(least=sizes[0], most=sizes[-1])
        yield text, [each for each in changes if each.size is not None]


def _taken(field: str, value: str) -> str:
    """What a part that nobody stated is then assumed to be made of."""
    return tr(TAKEN[field]).format(material=stated_value(field, value))


def _in_finish(asked: str, finish: str) -> str:
    """That it comes in another finish than the one answered."""
    return tr("in {finish}, as {asked} is not made for these kits").format(
        finish=finish, asked=asked
    )


def _by_limit(change: Change) -> bool:
    """Whether nothing but a force limit that is passed speaks against it."""
    return change.over and not change.stops and (change.firm_then or not change.firm)


def _by_edge(change: Change) -> bool:
    """Whether nothing but holes that come too near an edge speaks against it."""
    lost = change.firm and not change.firm_then
    return change.unsound and not (change.stops or change.over or lost)


def _not_at(changes: Sequence[Change], named: Naming) -> str:
    """Where an answer cannot be had so, in the fewest words; the paper says what they mean."""
    parts = []
    for alike in _beside([change for change in changes if change.refused]):
        marks = [mark for change in alike for mark in change.marks]
        # Where it is none of them they are named all the same.
        where = named(marks) or tr("any of them")
        parts.append(_with_others(tr("not at {marks}").format(marks=where), alike[0]))
    return "; ".join(parts)


def _beside(changes: Sequence[Change]) -> list[list[Change]]:
    """Changes by the answers to other questions that they take; those that take none first."""
    found: dict[tuple[tuple[str, str], ...], list[Change]] = {}
    for change in sorted(changes, key=lambda change: bool(change.given)):
        found.setdefault(change.given, []).append(change)
    return list(found.values())


def _change_text(change: Change) -> str:
    parts = []
    if change.refused and not _by_limit(change):
        parts.append(tr("cannot be furnished so without another decision"))
    elif change.over:
        parts.append(tr("by calculation over the force limit, another decision is needed"))
    # What cannot be had has no price.
    if change.settled and (change.refused or change.counted is not InTotal.ENTERS):
        parts.append(_settles(change))
    if not change.refused:
        enters = change.counted is InTotal.ENTERS
        if change.difference.minor or enters:
            parts.append(_apart(_amounts([change]), change.counted))
    parts += [said for said, _ in _other_closers([change])]
    if change.items and not change.difference.minor and not change.refused:
        parts.append(tr("other items at the same price"))
    if not parts and not change.nothing:
        parts.append(tr("another setting"))
    if not change.refused:
        parts += [] if change.taken is None else [_taken(*change.taken)]
    if not change.refused or _by_edge(change):
        parts += [tr(DOUBTS[doubt]) for doubt in change.doubts]
    if not change.refused:
        parts += [] if change.finish is None else [_in_finish(*change.finish)]
    return _with_others(_of_alternate(", ".join(parts), change.alternate), change)


def _with_others(text: str, change: Change) -> str:
    """What comes of an answer, with the answers to other questions that it takes."""
    if not change.given:
        return text
    said = tr("{field} “{answer}”")
    beside = listed(
        said.format(field=field_name(other), answer=stated_value(other, value))
        for other, value in change.given
    )
    return tr("{effect} · if answered too: {others}").format(others=beside, effect=text)


def _signed(difference: Money) -> str:
    return f"{'−' if difference.minor < 0 else '+'}{amount_text(difference)}"


def _openings(changes: Sequence[Change]) -> str:
    count = sum(change.count for change in changes)
    return trn("{count} opening", "{count} openings", count).format(count=count)
