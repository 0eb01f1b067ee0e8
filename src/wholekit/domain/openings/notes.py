"""What a note mentions and its column does not say, or no kit holds.

Nothing is read from a note silently: its words decide no kit. Where they are words of the rule book
(note-words) and their column is empty, or says otherwise, a finding tells which column to fill; a
piece that is put into no kit (note-pieces) is told for itself, since nobody has priced it.
"""

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.openings.handing import swing_of_hand
from wholekit.domain.openings.opening import Opening, OpeningType
from wholekit.domain.rules import RuleBook, RuleValue

WORDS, PIECES, NEGATIONS = "note-words", "note-pieces", "note-negations"
AROUND = "note-around"
ASKED = "note-asks-piece"
SAYS_MORE = "note-says-more"
# What may be asked for beside a closer, and no kit holds.
BESIDE = (
    "door-stop", "door-holder", "threshold", "hinges", "lock", "kick-plate", "pull", "astragal",
    "coordinator", "operator",
)  # fmt: skip
# Of these a note that says where they come from answers what else would be asked.
ANSWERING = ("door-stop",)
APART = "note-piece-apart"
RATED = "rated"
NO_COLUMN, CORROSION, QUANTITY = "none", "corrosion", "quantity"
# A wish about the closer that no column holds; which leaf of a pair is active.
WISH, ACTIVE = "wish", "active"
UNREAD_WISH, ACTIVE_UNKNOWN, SWING_UNKNOWN = (
    "note-wish", "pair-active-unknown", "pair-swing-unknown",
)  # fmt: skip
# What a kit has only where it is asked for: left open, it says no.
NOT_HAD = {"hold_open": "none", "delayed_action": "no"}
# What is said of columns that no opening type has.
HINTS = {CORROSION: "ask-corrosion", QUANTITY: "ask-scope"}
ANY_NUMBER = "#"
# A part of a note ends with a token of its own, which no phrase runs over.
_TOKEN = re.compile(r"\d+[./]\d+|[a-z0-9]+|°|[;|\n]")
# `124-126`, `C10 thru C14`. Of one digit it is none by itself, since `1-3` is as often the third
# door of a first place; unless the note counts as many: `5 rooms`.
_RUN = re.compile(
    r"(?P<name>\D*?)(?P<first>\d{1,6})\s*(?:[-–—]|\.\.|to|thru|through|à|al?)\s*"
    r"(?P<again>\D*?)(?P<last>\d{1,6})",
    re.IGNORECASE,
)
MOST_IN_A_RUN = 50  # more were no run of doors, but a number of two parts
_PARTS = re.compile(r"[;|\n]")
# Words that stand between a piece and what is said of it, at most.
REACH = 5
_APART = re.compile(r"[;.:|!?\n]")
_NUMBER = re.compile(r"\d+(?:\.\d+)?")


@dataclass(frozen=True, slots=True)
class Mention:
    """Words of a note as written, the column that should say so, and its values that agree.

    says None: whatever is stated agrees. column: of a piece that no kit holds its name (BESIDE).
    apart: the note says that the piece is there, or comes from others.
    """

    words: str
    column: str
    says: tuple[str, ...] | None
    apart: bool = False

    def agrees(self, value: object) -> bool:
        """Whether a column's value says the same."""
        if value is None:
            return False
        if self.says is None:
            return True
        if RATED in self.says:
            return isinstance(value, int) and value > 0
        return _plain(value) in self.says

    @property
    def exact(self) -> bool:
        """Whether one value is meant, and not only that something should stand there."""
        return self.says is not None and RATED not in self.says


# The words of a phrase, its column, and the values that agree.
_Entry: TypeAlias = tuple[tuple[str, ...], str, tuple[str, ...] | None]


@dataclass(frozen=True, slots=True)
class _Lexicon:
    """Phrases by their first word, the longest first, each with column and agreeing values.

    between: words that a negation passes over; before, after: phrases before and behind a piece
    that say it comes from elsewhere; unwanted: behind it, that it is not asked for.
    """

    phrases: dict[str, list[_Entry]]
    negations: frozenset[str]
    longest: int
    between: frozenset[str] = frozenset()
    before: tuple[tuple[str, ...], ...] = ()
    after: tuple[tuple[str, ...], ...] = ()
    unwanted: tuple[tuple[str, ...], ...] = ()

    def mentions(self, note: str) -> Iterator[Mention]:
        """What a note mentions, in its order; what a negation turns round is left out."""
        found = list(_TOKEN.finditer(small_letters(note)))
        texts = [match[0] for match in found]
        at = 0
        while at < len(texts):
            entry = self._at(texts, at)
            if entry is None or self._of_next(entry, texts, at):
                at += 1
                continue
            words, column, says = entry
            if says is not None and any(ANY_NUMBER in one for one in says):
                numbers = _NUMBER.findall(" ".join(texts[at : at + len(words)]))
                says = (*(one.replace(ANY_NUMBER, n) for one in says for n in numbers),)
            end = at + len(words)
            said = Mention(note[found[at].start() : found[end - 1].end()], column, says)
            piece, stands = column in BESIDE, None
            first = self._before(note, found, at) if piece else None
            last = self._behind(note, found, end, self.after) if piece else None
            if first is None and last is None and piece:
                stands = self._behind(note, found, end, self.unwanted)
            turned = stands is not None or self._turned(note, found, at)
            if first is not None or last is not None:
                words_there = note[found[at if first is None else first].start() :
                                   found[(last or end) - 1].end()]  # fmt: skip
                yield Mention(words_there, column, None, apart=True)
            elif turned and column == "mount":
                # `no parallel arm` says which not, and not which.
                yield Mention(said.words, WISH, None)
            elif column != NO_COLUMN and not turned:
                yield said
            at = last or stands or end

    def _of_next(self, entry: _Entry, texts: list[str], at: int) -> bool:
        """Whether the last word of a phrase belongs to a piece behind it: `existing door stop`."""
        words, column, _ = entry
        behind = self._at(texts, at + len(words)) if at + len(words) < len(texts) else None
        last = column not in BESIDE and words[-1] in self.between and len(words) > 1
        return last and behind is not None and behind[1] in BESIDE

    def _turned(self, note: str, found: list[re.Match[str]], at: int) -> bool:
        """Whether a negation stands before, no more than such words between: `no floor or wall`."""
        for before in range(at - 1, max(-1, at - 1 - REACH), -1):
            apart = _between(note, found, before, before + 1)
            if _APART.search(apart) or "," in apart:
                return False
            word = small_letters(found[before][0])
            if word in self.negations:
                return True
            if word not in self.between:
                return False
        return False

    def _before(self, note: str, found: list[re.Match[str]], at: int) -> int | None:
        """Where a phrase begins that says a piece comes from elsewhere; None where none stands
        before it in its own part of the note, with no more than such words between."""
        texts = [small_letters(match[0]) for match in found]
        for end in range(at, max(-1, at - 1 - REACH), -1):
            if end < at and texts[end] not in self.between:
                return None
            for words in self.before:
                start = end - len(words)
                if start >= 0 and tuple(texts[start:end]) == words:
                    passed = note[found[start].end() : found[at].start()]
                    return None if "," in passed or _APART.search(passed) else start
        return None

    def _behind(
        self,
        note: str,
        found: list[re.Match[str]],
        end: int,
        phrases: tuple[tuple[str, ...], ...],
    ) -> int | None:
        """Where one of some phrases ends that stands behind a piece; None where none follows.

        Up to the next piece, and no further than its own part of the note.
        """
        texts = [small_letters(match[0]) for match in found]
        for start in range(end, min(end + REACH, len(texts))):
            # A comma may stand before the phrase itself: `door stop at wall, by owner`.
            passed = note[found[end - 1].end() : found[start - 1].end()]
            if "," in passed or _APART.search(_between(note, found, end - 1, start)):
                return None
            entry = self._at(texts, start)
            for words in phrases:
                # `existing door` behind a comma speaks of the door.
                alone = entry is None or len(entry[0]) <= len(words)
                if alone and tuple(texts[start : start + len(words)]) == words:
                    return start + len(words)
            if entry is not None:
                return None
        return None

    def _at(self, texts: list[str], at: int) -> _Entry | None:
        """The longest phrase that begins here, spelt out before one with a number left open."""
        shapes = [_NUMBER.sub(ANY_NUMBER, text) for text in texts[at : at + self.longest]]
        known: list[_Entry] = [*self.phrases.get(texts[at], ())]
        known += self.phrases.get(shapes[0], ()) if shapes[0] != texts[at] else ()
        longest_first: list[_Entry] = sorted(known, key=lambda entry: -len(entry[0]))
        for entry in longest_first:
            words = entry[0]
            if len(words) <= len(shapes) and all(
                word in (texts[at + place], shapes[place]) for place, word in enumerate(words)
            ):
                return entry
        return None


def _between(note: str, found: list[re.Match[str]], first: int, second: int) -> str:
    """What stands in a note between two of its words."""
    return note[found[first].end() : found[second].start()]


_last: tuple[RuleBook, _Lexicon] | None = None


def mentions(note: str, rules: RuleBook) -> tuple[Mention, ...]:
    """What a note mentions of what columns say. Raises RuleError.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> [(one.words, one.column) for one in mentions("ADA route, not rated", load_rulebook())]
    [('ADA', 'accessible'), ('not rated', 'fire_minutes')]
    """
    if not note:
        return ()
    global _last
    if _last is None or _last[0] is not rules:
        _last = (rules, _read(rules))
        _mentions.cache_clear()
    return _mentions(note)


def active_leaf(note: str, rules: RuleBook) -> str:
    """Which leaf of a pair a note calls the active one: `left`, `right`; empty for neither or both.

    Raises RuleError.

    >>> from wholekit.intake.rulebook import load_rulebook
    >>> active_leaf("Library, right leaf active", load_rulebook())
    'right'
    >>> active_leaf("vantail droit inactif", load_rulebook())
    'left'
    """
    found = (one for one in mentions(note, rules) if one.column == ACTIVE)
    told = {side for one in found for side in one.says or ()}
    return told.pop() if len(told) == 1 else ""


def note_findings(opening: Opening, rules: RuleBook) -> tuple[Finding, ...]:
    """`note-says-more` for each column that a note's words are about and that does not say them.

    And `note-asks-piece` for each piece that they name and no kit holds; `mark-several`, where the
    mark itself seems to mean several openings.

    A column that says one of several things the note names is taken as answered: `interior side of
    the exterior door`. Raises RuleError.
    """
    by_column: dict[str, list[Mention]] = {}
    for mention in mentions(opening.note, rules):
        column = mention.column
        if column == ACTIVE and opening.type.leaves != 2:  # a pair
            mention = Mention(mention.words, "leaves", ("2",))
        by_column.setdefault(mention.column, []).append(mention)
    findings: list[Finding] = []
    for column, said in by_column.items():
        if column in BESIDE:
            findings += _of_piece(column, said)
            continue
        if column in (WISH, ACTIVE):
            continue
        value = opening.quantity if column == QUANTITY else _stated(opening.type, column)
        has = NOT_HAD.get(column) if value is None else value
        if any(mention.exact and mention.agrees(has) for mention in said):
            continue
        words = tuple(dict.fromkeys(mention.words for mention in said if not mention.agrees(has)))
        if words:
            more = {"column": column, "words": words, "stated": value}
            findings.append(Finding(SAYS_MORE, Severity.WARN, more, WORDS, _hint(column)))
    findings += _wishes(opening.note, rules) if WISH in by_column else ()
    findings += _of_pair(opening.type, active_leaf(opening.note, rules))
    several = _several(opening)
    return (*findings, several) if several else tuple(findings)


def _of_piece(piece: str, said: list[Mention]) -> Iterator[Finding]:
    for apart in (False, True):
        words = tuple(dict.fromkeys(each.words for each in said if each.apart is apart))
        fields = {"piece": piece, "words": words}
        if words and not apart:
            yield Finding(ASKED, Severity.WARN, fields, PIECES, Hint("quote-piece"))
        elif words and piece in ANSWERING:
            yield Finding(APART, Severity.NOTE, fields, PIECES)


def _wishes(note: str, rules: RuleBook) -> Iterator[Finding]:
    """The parts of a note that are about the closer and say nothing that a column could hold."""
    parts = [" ".join(part.split()) for part in _PARTS.split(note)]
    words = tuple(part for part in parts if {one.column for one in mentions(part, rules)} == {WISH})
    if words:
        fields = {"words": tuple(dict.fromkeys(words))}
        yield Finding(UNREAD_WISH, Severity.WARN, fields, WORDS, Hint("state-wish"))


def _of_pair(kind: OpeningType, noted: str) -> Iterator[Finding]:
    """What nobody has said of a pair: the way it swings, and which leaf is active.

    The hand of a pair is its active leaf's, and tells both; a note that names a leaf and no hand
    does not say from which side it is seen. noted: as `active_leaf`.
    """
    if kind.leaves != 2:  # a pair
        return
    # Of a labelled pair it is a stop of the kit itself.
    if kind.hand is None and kind.swing is None and not kind.fire_minutes:
        yield Finding(SWING_UNKNOWN, Severity.WARN, {}, None, Hint("ask-swing"))
    if kind.hand is None or (noted and kind.hand.value[0] != noted[0].upper()):
        fields = {"noted": noted} if noted else {}
        yield Finding(ACTIVE_UNKNOWN, Severity.NOTE, fields, None, Hint("ask-active"))


def _several(opening: Opening) -> Finding | None:
    """`mark-several`: a mark that reads like a run of marks, where as many are not asked for."""
    run = _RUN.fullmatch(opening.mark.strip())
    if (
        run is None
        or run["again"] not in ("", run["name"])
        or len(run["first"]) != len(run["last"])
    ):
        return None
    count = int(run["last"]) - int(run["first"]) + 1
    # `A1-3` may be one door; `L2-L4` says twice what is counted.
    if (
        not run["again"]
        and len(run["first"]) == 1
        and str(count) not in _NUMBER.findall(opening.note)
    ):
        return None
    if not 1 < count <= MOST_IN_A_RUN or opening.quantity == count:
        return None
    fields = {"mark": opening.mark, "count": count, "quantity": opening.quantity}
    return Finding("mark-several", Severity.WARN, fields, None, Hint("state-quantity", fields))


def _hint(column: str) -> Hint:
    if column in OpeningType.__dataclass_fields__:
        return Hint("fill-column", {"column": column})
    return Hint(HINTS[column], {"column": column})


def _stated(kind: OpeningType, column: str) -> object:
    value = getattr(kind, column, None)
    if column == "swing" and value is None and kind.hand is not None:
        return swing_of_hand(kind.hand)
    return value


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value).lower()


@lru_cache(maxsize=4096)
def _mentions(note: str) -> tuple[Mention, ...]:
    assert _last is not None  # noqa: S101  # set by the one caller
    return tuple(_last[1].mentions(note))


def _read(rules: RuleBook) -> _Lexicon:
    phrases: dict[str, list[_Entry]] = {}
    for row in rules.rows(WORDS):
        says = tuple(_texts(row["says"])) if "says" in row else None
        for phrase in _texts(row["words"]):
            words = tuple(phrase.split())
            phrases.setdefault(words[0], []).append((words, str(row["column"]), says))
    for row in rules.rows(PIECES):
        for phrase in _texts(row["words"]):
            words = tuple(phrase.split())
            phrases.setdefault(words[0], []).append((words, str(row["piece"]), None))
    longest = max((len(entry[0]) for entries in phrases.values() for entry in entries), default=0)
    around = rules.mapping(AROUND)
    return _Lexicon(
        phrases,
        frozenset(_texts(rules[NEGATIONS].value)),
        longest,
        frozenset(_texts(around["between"])),
        *(
            tuple(tuple(phrase.split()) for phrase in _texts(around[name]))
            for name in ("before", "after", "unwanted")
        ),
    )


def _texts(value: RuleValue) -> list[str]:
    return [str(phrase) for phrase in value] if isinstance(value, list) else []


def small_letters(text: str) -> str:
    """Small letters without accents, a character for a character, so that places stay."""
    if text.isascii():
        return text.lower()
    return "".join(_letter(character) for character in text)


@lru_cache(maxsize=4096)
def _letter(character: str) -> str:
    return unicodedata.normalize("NFKD", character)[0].lower()[0]
