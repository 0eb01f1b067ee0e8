"""One opening in a line of trade terms, in any order: `101 3070 hollow-metal/steel exterior x2`."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.nearest_words import what_is_right
from wholekit.domain.openings import Opening, OpeningType, plain_mark
from wholekit.domain.quantities import QuantityError, parse_size
from wholekit.intake import cells
from wholekit.intake.dialect import translate
from wholekit.intake.faults import Faults
from wholekit.intake.kinds import SIZES, read_kind
from wholekit.intake.schedule import COLUMNS
from wholekit.intake.shorthand_words import LEADS, PHRASES, SHORT_LEAVES, Said
from wholekit.intake.tables import column_name
from wholekit.intake.unclear import as_written
from wholekit.intake.vocabulary import DOORS, FRAMES, MEANT, UNKNOWNS, plain

# Runs of words are tried against every reader, so the time grows with the length of the line.
LONGEST = 500
# Said of a column that what it holds is not known, as an empty cell says it.
NOT_KNOWN = "not-known"
LONGEST_PHRASE = 9
# A word this near to a word of the trade is a slip of the pen, not a mark.
NEAR_ENOUGH = 0.8
# A quoted value may hold blanks; the quote must end the word, as `36"` is 36 inches.
_TOKEN = re.compile(r"""[\w-]+=(?:"[^"]*"(?=\s|$)|'[^']*'(?=\s|$)|\S*)|\S+""")
_KEYED = re.compile(r"([A-Za-z][\w-]*)=(.*)$")
_MARKED = re.compile(r"(?:#|mark:)(.+)$", re.IGNORECASE)
_TIMES = re.compile(r"[x×]\s?(\d+)$", re.IGNORECASE)
_TIMES_GLUED = re.compile(r"[x×]\d+$", re.IGNORECASE)
_SIZE_TIMES = re.compile(r"\d{4}\s*[x×]\s*\d{1,3}$", re.IGNORECASE)
_JOINED = re.compile(r"[x×]|\bby\b", re.IGNORECASE)
_NUMBER = re.compile(r"[\d.,]+$")
_BARE_CODE = re.compile(r"\d+[a-d]?$", re.IGNORECASE)
# Columns told by the unit alone, and what the text must end in.
_BY_UNIT = (
    ("fire_minutes", re.compile(r"\d{1,4}\s*-?min(?:s|utes?)?\.?$", re.IGNORECASE)),
    ("fire_minutes", re.compile(r"[\d.]\S*(?:\s\d/\d)?\s*-?h(?:rs?|ours?)?\.?$", re.IGNORECASE)),
    ("opening_degrees", re.compile(r"[\d.]+\s*(?:deg|degrees|°)$", re.IGNORECASE)),
    ("weight", re.compile(r"[\d.]+\s*[a-z.]+$", re.IGNORECASE)),
    ("pressure", re.compile(r"[\d.]+\s*[a-z].*$", re.IGNORECASE)),
    ("wind", re.compile(r"[\d.]+\s*[a-z/]+$", re.IGNORECASE)),
)


@dataclass(frozen=True, slots=True)
class _Word:
    """One or more words that were understood together, or one that was not (nothing said)."""

    place: int
    text: str
    said: Said = ()


def read_shorthand(
    text: str,
    ordinal: int,
    *,
    finishes: FinishBook,
    jurisdictions: Mapping[str, str] | None = None,
) -> Opening:
    """The opening a line describes; `opening-N` is its mark where it names none.

    The longest run of words that means something is taken together. ordinal: which `--opening`
    of the call this is, from 1. Raises InputError with every word that is not understood, is said
    twice with unlike values, or is outside its limits. docs/schedule-format.md has the words.
    """
    faults = Faults(f"--opening {ordinal}")
    if not text.strip():
        raise faults.refuse("shorthand-empty")
    if len(text) > LONGEST:
        raise faults.refuse("shorthand-too-long", most=LONGEST)
    line = _Line(finishes, jurisdictions, faults)
    return line.opening(line.words(text), f"opening-{ordinal}")


def read_words(
    text: str, *, finishes: FinishBook, jurisdictions: Mapping[str, str] | None = None
) -> dict[str, object]:
    """What words of a line say of an opening that is there: columns with their values.

    Raises InputError with every word that is not understood, or is said twice with unlike values.
    """
    faults = Faults("change")
    if len(text) > LONGEST:
        raise faults.refuse("shorthand-too-long", most=LONGEST)
    line = _Line(finishes, jurisdictions, faults)
    values, _, _ = line.values(line.words(text), sized=True)
    faults.raise_if_any()
    return values


class _Line:
    """One line: its words understood, then held against each other."""

    def __init__(
        self, finishes: FinishBook, jurisdictions: Mapping[str, str] | None, faults: Faults
    ) -> None:
        self._finishes = finishes
        self._faults = faults
        self._readers: dict[str, cells.Read] = {
            **cells.readers(finishes, jurisdictions),
            "mark": lambda text: plain_mark(cells.clean(text, cells.LONGEST_MARK)),
            "quantity": cells.quantity,
            "note": lambda text: text,
            "room": lambda text: cells.clean(text, cells.LONGEST_ROOM),
        }

    def words(self, text: str) -> list[_Word]:
        """The line as words, each with what it says."""
        tokens = [token.rstrip(",;") or token for token in _TOKEN.findall(text)]
        found: list[_Word] = []
        at = 0
        while at < len(tokens):
            word, taken = self._longest(tokens, at)
            found.append(word)
            at += taken
        return found

    def opening(self, words: list[_Word], without_mark: str) -> Opening:
        """The opening the words describe. Raises InputError."""
        words = self._with_mark(words)
        sized = any(column in SIZES for word in words for column, _ in word.said)
        values, texts, firsts = self.values(words, sized=sized)
        mark = str(values.get("mark") or without_mark)
        quantity = int(str(values.get("quantity", 1)))
        note, room = str(values.get("note", "")), str(values.get("room", ""))
        # A size that could not be read was said all the same.
        self._faults.raise_if_any()
        kinds = ((name, text) for name, text in texts.items() if name not in _NO_KIND)
        kind = read_kind(kinds, self._readers)
        if isinstance(kind, OpeningType):
            return Opening(mark, as_written(kind, firsts), quantity, note, room)
        for fault in kind[1:]:
            self._faults.put(fault.code, None, fault.column, **fault.fields)
        code = "shorthand-size-needed" if kind[0].code == "size-needed" else kind[0].code
        raise self._faults.refuse(code, None, kind[0].column, **kind[0].fields)

    def values(
        self, words: list[_Word], *, sized: bool
    ) -> tuple[dict[str, object], dict[str, str], dict[str, str]]:
        """By column: the values the words give, their texts, and the words that gave them first.

        sized: a size is known, so a bare number can be none.
        """
        texts: dict[str, str] = {}
        firsts: dict[str, str] = {}
        values: dict[str, object] = {}
        for word in words:
            if not word.said:
                self._put_unknown(word.text, sized=sized)
            for column, text in word.said:
                if column == NOT_KNOWN:
                    continue
                value = self._value(column, text, word.text)
                if value is None:
                    continue
                if values.setdefault(column, value) != value:
                    given = cells.shown(word.text)
                    self._faults.put("said-twice", None, given, given=given, first=firsts[column])
                    continue
                texts.setdefault(column, text)
                firsts.setdefault(column, cells.shown(word.text))
        return values, texts, firsts

    def _longest(self, tokens: list[str], at: int) -> tuple[_Word, int]:
        for taken in range(min(LONGEST_PHRASE, len(tokens) - at), 0, -1):
            part = tokens[at : at + taken]
            said = self._said(part)
            if said:
                return _Word(at, " ".join(part), said), taken
        led = self._led_wrongly(tokens[at : at + 3])
        if led:
            return _Word(at, " ".join(tokens[at : at + led[1]]), led[0]), led[1]
        return _Word(at, tokens[at], self._wrong_pair(tokens[at])), 1

    def _said(self, part: list[str]) -> Said:
        """What a run of words says; nothing if it is not one thing."""
        text = " ".join(part)
        return (
            # From what names its column to what only looks like a value: the first to claim the
            # words has them, and a bare number could be several things.
            self._keyed(part, text)
            or PHRASES.get(plain(text), ())
            or self._marked(part)
            or self._size(part, text)
            or self._times(text)
            or self._led(part)
            or self._pair(text)
            or self._measured(text)
            or self._finish(part, text)
        )

    def _keyed(self, part: list[str], text: str) -> Said:
        match = _KEYED.match(text)
        if not match or column_name(match[1]) not in COLUMNS:
            return ()
        column, value = column_name(match[1]), match[2]
        loose = self._loosely(column, value.strip("'\""))
        if loose:
            return loose
        if value[:1] in ("'", '"') and value[-1:] == value[:1] and len(value) > 1:
            value = value[1:-1]
        if not value or (len(part) > 1 and (column in _TEXTS or not self._reads(column, value))):
            return ()
        return ((column, value),)

    def _loosely(self, column: str | None, text: str) -> Said:
        """What a value says that is written as schedules write it: `fire B`, `hand=RHRA`."""
        if column is None or column in SIZES or column in _NO_KIND or self._reads(column, text):
            return ()
        reading = translate(column, text)
        if reading is None or not reading.cells.get(column):
            return ()
        said = tuple((name, told) for name, told in reading.cells.items() if told)
        return said if all(self._reads(name, told) for name, told in said) else ()

    def _marked(self, part: list[str]) -> Said:
        match = _MARKED.match(part[0]) if len(part) == 1 else None
        return (("mark", match[1]),) if match else ()

    def _size(self, part: list[str], text: str) -> Said:
        # `3070 x2` is two openings of 3070, not a leaf of 3070 by 2.
        if any(_TIMES_GLUED.match(word) for word in part) or _SIZE_TIMES.match(text):
            return ()
        # Two numbers that nothing joins may be a mark and a size.
        if len(part) > 1 and not _JOINED.search(text):
            return ()
        try:
            parse_size(text)
        except QuantityError:
            return ()
        return (("size", text),)

    def _times(self, text: str) -> Said:
        match = _TIMES.match(text)
        return (("quantity", match[1]),) if match else ()

    def _led(self, part: list[str]) -> Said:
        """A word or two that name the column, and a text that reads as its value."""
        for lead in (2, 1):
            column = LEADS.get(plain(" ".join(part[:lead])))
            value = " ".join(part[lead:])
            loose = self._loosely(column, value)
            if column and loose:
                return loose
            if column and column not in _TEXTS and value and plain(value) in UNKNOWNS:
                return ((NOT_KNOWN, value),)
            # A mark, a note or a series may be any text: each takes one word, or it would take the
            # line.
            if column and value and (column not in _TEXTS or len(part) == lead + 1):
                if self._reads(column, value):
                    return ((column, value),)
                if column == "spring_size" and self._is_size(value):
                    return (("size", value),)
        if len(part) > 1 and plain(part[-1]) == "thick":
            value = " ".join(part[:-1])
            return (("thickness", value),) if self._reads("thickness", value) else ()
        return ()

    def _led_wrongly(self, part: list[str]) -> tuple[Said, int] | None:
        """A word that names a column, and a number behind it that is none of its values."""
        for lead in (2, 1):
            column = LEADS.get(plain(" ".join(part[:lead])))
            if column and len(part) > lead and re.match(r"[-+\d.]", part[lead]):
                value = " ".join(part[lead : lead + 2])
                if len(part) > lead + 1 and self._reads_or_exceeds(column, value):
                    return ((column, value),), lead + 2
                return ((column, part[lead]),), lead + 1
        return None

    def _pair(self, text: str) -> Said:
        """Leaf and frame: `hollow-metal/steel`."""
        door, slash, frame = (plain(part) for part in text.partition("/"))
        leaf = door.removesuffix("-door")
        leaf = SHORT_LEAVES.get(leaf, leaf)
        if not slash or leaf not in DOORS:
            return ()
        if frame in FRAMES:
            return (("door", leaf), ("frame", frame))
        behind = PHRASES.get(frame, ())
        return (("door", leaf), *behind) if behind and behind[0][0] == "frame" else ()

    def _wrong_pair(self, token: str) -> Said:
        door, slash, frame = token.partition("/")
        if slash and (plain(door) in DOORS or plain(frame) in FRAMES):
            return (("door", door), ("frame", frame))
        return ()

    def _right_for(self, column: str) -> object:
        """What would be right in a column, empty where nothing says."""
        read = self._readers.get(column)
        try:
            if read is not None:
                read("?!")
        except QuantityError as error:
            return error.fields.get("right", "")
        return ""

    def _measured(self, text: str) -> Said:
        for column, pattern in _BY_UNIT:
            if pattern.match(text) and self._reads_or_exceeds(column, text):
                return ((column, text),)
        return ()

    def _finish(self, part: list[str], text: str) -> Said:
        # `US26D steel` could be a base metal or the frame: only `US26D on steel` is the finish.
        if len(part) > 1 and re.search(r"\d", text) and "on" not in part:
            return ()
        return (("finish", text),) if self._finishes.read(text) else ()

    def _reads(self, column: str, text: str) -> bool:
        try:
            self._readers[column](text)
        except QuantityError:
            return False
        return True

    def _is_size(self, text: str) -> bool:
        """Whether it is a leaf size, be it one that can be read in two ways: that is told."""
        try:
            self._readers["size"](text)
        except QuantityError as error:
            return error.code == "size-two-readings"
        return True

    def _reads_or_exceeds(self, column: str, text: str) -> bool:
        """Whether it is such a value at all, be it out of range: that is told with its limits."""
        try:
            self._readers[column](text)
        except QuantityError as error:
            return error.code in _BEYOND or (error.code == "fire-label" and "min" in text.lower())
        return True

    def _value(self, column: str, text: str, token: str) -> object | None:
        try:
            cleaned = cells.clean(text, cells.LONGEST_NOTE)
            return cells.read_cell(cleaned, self._readers[column])
        except QuantityError as error:
            fields = {"given": error.given, **error.fields}
            self._faults.put(error.code, None, cells.shown(token), **fields)
            return None

    def _with_mark(self, words: list[_Word]) -> list[_Word]:
        """The words with the mark found among them: named, else first, else one with a digit.

        A first word that could also be a size or a finish is the mark where the line has another
        size or finish; where it has not, a finish is told to be ambiguous. So is a first word such
        as X1, which is a quantity where the line has a mark.
        """
        if any(column == "mark" for word in words for column, _ in word.said):
            return words
        for number, word in enumerate(words):
            if not word.said and self._may_be_mark(word):
                return _replaced(words, number)
        first = words[0]
        column = first.said[0][0] if len(first.said) == 1 else ""
        if _TIMES_GLUED.match(first.text):
            count = first.said[0][1]
            self._faults.put("mark-or-quantity", None, first.text, given=first.text, count=count)
        if column not in ("size", "finish") or not _BARE_CODE.match(first.text):
            return words
        if any(field == column for word in words[1:] for field, _ in word.said):
            return _replaced(words, 0)
        if column == "finish":
            self._faults.put("mark-or-finish", None, first.text, given=first.text)
        return words

    def _may_be_mark(self, word: _Word) -> bool:
        # One or two digits in the middle of a line are sooner a count or a size than a mark.
        if "=" in word.text or (_NUMBER.match(word.text) and word.place > 0 and len(word.text) < 3):
            return False
        if re.search(r"\d", word.text):
            return True
        near = get_close_matches(plain(word.text), [*PHRASES, *LEADS], 1, NEAR_ENOUGH)
        return word.place == 0 and not near

    def _put_unknown(self, token: str, *, sized: bool) -> None:
        given = cells.shown(token)
        match = _KEYED.match(token)
        if match and column_name(match[1]) in COLUMNS:
            self._faults.put("value-needed", None, given, given=match[1])
        elif match:
            name = column_name(match[1])
            right = MEANT.get(name) or what_is_right(name[:60], COLUMNS)
            self._faults.put("column-unknown", None, given, given=match[1], right=right)
        elif not sized and re.match(r"\d{5,6}$", token):
            self._faults.put("size-run-together", None, given, given=given)
        elif _NUMBER.match(token):
            # Of 698 the finish 689 may be meant.
            near = tuple(self._finishes.slips_of(given))
            self._faults.put("number-alone", None, given, given=given, near=near)
        elif plain(given) in LEADS and (meant := self._right_for(LEADS[plain(given)])):
            self._faults.put("word-needs-value", None, given, given=given, right=meant)
        else:
            near = tuple(get_close_matches(plain(given), [*PHRASES, *LEADS], 3, 0.6))
            self._faults.put("word-not-understood", None, given, given=given, near=near)


_NO_KIND = ("mark", "quantity", "note", "room")
_TEXTS = ("mark", "note", "room", "series")
# A value of the right kind, but beyond its limits.
_BEYOND = (
    "size-not-sensible", "size-two-readings", "weight-out-of-range", "physical-out-of-range",
    "angle-out-of-range",
)  # fmt: skip


def _replaced(words: list[_Word], number: int) -> list[_Word]:
    """The words, with one of them taken for the mark."""
    word = words[number]
    mark = _Word(word.place, word.text, (("mark", word.text),))
    return [*words[:number], mark, *words[number + 1 :]]
