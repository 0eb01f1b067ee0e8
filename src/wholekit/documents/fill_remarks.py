"""What a quote says of its openings beside the kits: notes, assumptions and the appendix, each
once, with the marks it holds for as ranges."""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from typing import TypeAlias, TypeVar

from wholekit.documents.papers import (
    RELEASED,
    FindingNote,
    Forces,
    ForceTable,
    QuoteAppendix,
    QuoteNote,
    Told,
)
from wholekit.domain.findings import Severity
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferFinding, OfferKit, OfferOpening, OfferWords
from wholekit.wording.asked_finishes import DEARER, asks_finish
from wholekit.wording.asked_in_checks import FrontQuestions
from wholekit.wording.mark_groups import fewest_text
from wholekit.wording.openings import egress_unstated, lacking_text, sentence
from wholekit.wording.questions import marks_text
from wholekit.wording.speech import tr
from wholekit.wording.to_customers import for_customers, source_for_customers

Said = TypeVar("Said", bound=Hashable)
Saying: TypeAlias = Callable[[str, Mapping[str, str]], str]
# Sentence, hint and source of a finding, as issued; and both.
Words: TypeAlias = tuple[str, str, str]
_Found: TypeAlias = tuple[OfferFinding, Words]
NOTE = Severity.NOTE.value
# Assumed on the front of every quote, by marks, and so not in the appendix again.
OF_SAFETY = frozenset(
    {"fire_minutes", "accessible", "egress", "door_reinforced", "frame_reinforced"}
)


class Checks:
    """The findings of an offer's openings, each numbered once however many it concerns.

    An open stop of the base bid is none of them: it stands with what is open. brief: of the short
    form, which prints what asks for a check and no more.
    """

    def __init__(
        self, offer: Offer, words: OfferWords, front: FrontQuestions, *, brief: bool = False
    ) -> None:
        self._offer = offer
        self._words = words
        self._front = front
        self._places: dict[FindingNote, list[str]] = {}
        self._of: dict[str, dict[_Found, FindingNote]] = {}
        for opening in offer.openings:
            said = self._of[opening.place] = dict(self._said(opening))
            for note in dict.fromkeys(said.values()):
                self._places.setdefault(note, []).append(opening.place)
        printed = (note for note in self._places if not brief or note.severity != NOTE)
        self._numbers = {note: number for number, note in enumerate(printed, 1)}

    @property
    def notes(self) -> tuple[QuoteNote, ...]:
        """All of them that are printed, by their number."""
        every = [opening.place for opening in self._offer.openings]
        return tuple(
            QuoteNote(note, marks_text(self._places[note], every, self._offer.not_quoted))
            for note in self._numbers
        )

    def of(self, opening: OfferOpening) -> tuple[int, ...]:
        """The numbers of those that concern an opening."""
        notes = {*self._of[opening.place].values()}
        return tuple(sorted(self._numbers[note] for note in notes if note in self._numbers))

    def told(self, said: Saying, of_kit: Callable[[OfferKit], str]) -> tuple[Told, ...]:
        """As `told_of`, with the question or the note that tells more of it."""
        found: dict[str, dict[str, dict[str, None]]] = {}
        for opening in _firm(self._offer):
            for finding, words in (*self._of_kit(opening), *self._of_note(opening)):
                if text := said(finding.code, finding.fields):
                    stands = self._stands(opening, finding, words)
                    found.setdefault(text, {}).setdefault(opening.place, {})[stands] = None
            if text := of_kit(self._offer.kit_of(opening)):
                found.setdefault(text, {}).setdefault(opening.place, {})[""] = None
        return tuple(self._told(text, places) for text, places in found.items())

    def _told(self, text: str, places: Mapping[str, Mapping[str, None]]) -> Told:
        alike: dict[str, list[str]] = {}
        for place, stands in places.items():
            alike.setdefault(", ".join(filter(None, stands)), []).append(place)
        said = tr("{marks}: {effect}")
        named = self._front.names.named
        whole = (
            said.format(marks=marks, effect=stands) if stands else marks
            for stands, marks in ((one, named(of)) for one, of in alike.items())
        )
        return Told(text, _named(self._offer, [*places]), "; ".join(whole))

    def _stands(self, opening: OfferOpening, finding: OfferFinding, words: Words) -> str:
        """Where a finding is told: in a question, else in a note; empty where in none."""
        if number := self._front.number(opening, finding, words):
            return tr("question {number}").format(number=number)
        note = self._of[opening.place].get((finding, words))
        number = 0 if note is None else self._numbers.get(note, 0)
        return tr("note {number}").format(number=number) if number else ""

    def _of_kit(self, opening: OfferOpening) -> Iterator[_Found]:
        """The findings of its kit, with what is said of each."""
        kit, words = self._offer.kit_of(opening), self._words.kits[opening.kit]
        return zip(kit.findings, words.findings, strict=True)

    def _of_note(self, opening: OfferOpening) -> Iterator[_Found]:
        """Those of its note, so too."""
        return zip(opening.of_note, self._words.of_note(opening), strict=True)

    def _said(self, opening: OfferOpening) -> Iterator[tuple[_Found, FindingNote]]:
        for finding, said in self._of_kit(opening):
            if not for_customers(finding):
                continue
            if finding.code == DEARER and asks_finish(self._offer, opening):
                # Told once, with the question.
                continue
            if (finding.code, finding.about) in opening.released:
                released = FindingNote(RELEASED, said[0], "", source_for_customers(said[2]))
                yield (finding, said), released
            elif finding.severity is not Severity.STOP or opening.alternate:
                yield (finding, said), self._pointed(opening, finding, said)
        for finding, said in self._of_note(opening):
            if not self._front.says_whole(opening, finding, said):
                yield (finding, said), self._pointed(opening, finding, said)

    def _pointed(self, opening: OfferOpening, finding: OfferFinding, said: Words) -> FindingNote:
        return FindingNote(finding.severity.value, *self._front.pointed(opening, finding, said))


def told_of(
    offer: Offer, said: Saying, of_kit: Callable[[OfferKit], str] = lambda _kit: ""
) -> tuple[Told, ...]:
    """What findings of the firm openings of the base bid come to, each once with its marks.

    said: what a finding comes to, by its code and fields; empty for nothing. of_kit: what a kit
    comes to, so too.
    """
    found: dict[str, dict[str, None]] = {}
    for opening in _firm(offer):
        kit = offer.kit_of(opening)
        told = (said(each.code, each.fields) for each in (*kit.findings, *opening.of_note))
        for text in filter(None, (*told, of_kit(kit))):
            found.setdefault(text, {})[opening.place] = None
    return tuple(Told(text, _named(offer, [*places])) for text, places in found.items())


def _firm(offer: Offer) -> list[OfferOpening]:
    return [each for each in offer.chosen().openings if offer.is_firm(each)]


def _named(offer: Offer, places: Sequence[str]) -> str:
    """Marks as ranges; beside a mark that nobody has they are never all: each is named."""
    every = (*(opening.place for opening in offer.openings), "")
    return marks_text(places, every, offer.not_quoted)


def reasons_of(
    offer: Offer, opening: OfferOpening, words: OfferWords, front: FrontQuestions
) -> tuple[str, ...]:
    """Why an opening is not firm, and what would settle it: its open stops and what it lacks."""
    kit, said = offer.kit_of(opening), words.kits[opening.kit]
    reasons = []
    for at in offer.open_stops(opening):
        text, hint, _ = front.pointed(opening, kit.findings[at], said.findings[at])
        reasons.append(f"{text} {hint}".strip())
    for missing, (piece, because) in zip(kit.missing, said.missing, strict=True):
        lacks, because = lacking_text(missing.quantity, piece, because)
        lacks = tr("missing: {piece}").format(piece=lacks)
        reasons.append(sentence(f"{lacks}{tr(': ')}{because}" if because else lacks))
    return tuple(dict.fromkeys(reasons))


def safety_of(offer: Offer, words: OfferWords, front: FrontQuestions) -> Iterator[str]:
    """What is assumed about fire, exits, access and reinforcement, whatever it changes, and no
    question tells: each field once, with the marks of each value."""
    found: dict[str, list[str]] = {}
    for told in _assumed(offer, words, of_safety=True, front=front):
        name, _, value = told.text.partition(tr(": "))
        said = tr("{effect} ({marks})").format(effect=value, marks=told.places)
        found.setdefault(name, []).append(said if told.places else value)
    for name, values in found.items():
        yield f"{name}{tr(': ')}{'; '.join(values)}"


def appendix_of(offer: Offer, words: OfferWords) -> QuoteAppendix:
    """All that a contractor may want to know and does not sign by."""
    said = words.kits
    reckoned = tr("reckoned")

    def of_kits(texts: Sequence[Said]) -> Sequence[tuple[Said, str]]:
        return _gathered(offer, ((texts[each.kit], each) for each in offer.openings))

    def told(texts: Sequence[str]) -> tuple[Told, ...]:
        return tuple(Told(text, places) for text, places in of_kits(texts) if text)

    tables: dict[tuple[str, ...], list[Forces]] = {}
    figures = [
        tuple((what, text) for what, text in kit.estimates if what != reckoned) for kit in said
    ]
    uncalculated = None
    for each, places in of_kits(figures):
        if each:
            headings, row = zip(*each, strict=True)
            tables.setdefault(headings, []).append(Forces(places, row))
        else:
            uncalculated = places
    return QuoteAppendix(
        told([kit.why_mount for kit in said]) + told([kit.why_size for kit in said]),
        tuple(_assumed(offer, words, of_safety=False)),
        tuple(_boxes(offer, words)),
        tuple(
            ForceTable(headings, tuple(rows))
            for headings, rows in sorted(tables.items(), key=lambda each: len(each[0]))
        ),
        told([dict(kit.estimates).get(reckoned, "") for kit in said]),
        uncalculated,
    )


def _assumed(
    offer: Offer,
    words: OfferWords,
    *,
    of_safety: bool,
    front: FrontQuestions | None = None,
) -> Iterator[Told]:
    def asked(name: str, opening: OfferOpening) -> bool:
        return front is not None and front.asks(name, opening)

    def said(opening: OfferOpening) -> Iterator[str]:
        kit, texts = offer.kit_of(opening), words.kits[opening.kit]
        for assumption, (text, _) in zip(kit.assumed, texts.assumed, strict=True):
            of_it = (assumption.field in OF_SAFETY) is of_safety
            if of_it and not asked(assumption.field, opening):
                yield text
        if of_safety and kit.type.egress is None and not asked("egress", opening):
            # Nothing of its kit is worked out as an exit's.
            yield egress_unstated()

    found = ((text, opening) for opening in offer.openings for text in said(opening))
    named = None if front is None else front.names.fewest
    return (Told(text, places) for text, places in _gathered(offer, found, named))


def _boxes(offer: Offer, words: OfferWords) -> Iterator[Told]:
    """What comes in boxes and is not used: so many of each piece, those of the same openings
    together."""
    found: dict[str, dict[int, list[OfferOpening]]] = {}
    for opening in offer.openings:
        pieces = Counter[str]()
        unused = offer.kit_of(opening).unused
        for piece, text in zip(unused, words.kits[opening.kit].unused, strict=True):
            pieces[text] += piece.quantity
        for text, count in pieces.items():
            found.setdefault(text, {}).setdefault(count, []).append(opening)
    told = (
        (f"{count} × {text}", opening)
        for text, counts in found.items()
        for count in sorted(counts)
        for opening in counts[count]
    )
    alike: dict[str, list[str]] = {}
    for text, places in _gathered(offer, told):
        alike.setdefault(places, []).append(text)
    return (Told(", ".join(texts), places) for places, texts in alike.items())


def _gathered(
    offer: Offer,
    told: Iterable[tuple[Said, OfferOpening]],
    named: Callable[[Sequence[str]], str] | None = None,
) -> Sequence[tuple[Said, str]]:
    """What is said, each once, with the openings it is said of as ranges (empty: all).

    named: names them otherwise.
    """
    every = [opening.place for opening in offer.openings]
    found: dict[Said, list[str]] = {}
    for said, opening in told:
        found.setdefault(said, []).append(opening.place)
    naming = named or (lambda places: fewest_text(places, every, offer.not_quoted))
    return [(said, naming(places)) for said, places in found.items()]
