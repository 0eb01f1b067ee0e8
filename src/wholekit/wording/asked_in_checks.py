"""What the checks of a quote ask a contractor, each as a question with boxes or a blank.

A check may ask what the quote's own questions ask already; then it points there. Whatever else it
asks becomes a question behind them. So nothing is asked without a place for the answer, and nothing
twice. What is stated by now is asked no more.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import chain, repeat

from wholekit.domain.findings import Severity
from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.openings import marks_named
from wholekit.domain.openings.notes import ACTIVE_UNKNOWN, APART, ASKED, SWING_UNKNOWN
from wholekit.domain.quotes.offer import Offer, OfferFinding, OfferOpening, OfferWords
from wholekit.wording.answers import BOX
from wholekit.wording.asked_finishes import DEARER, SWAPPED, finish_questions
from wholekit.wording.front_question import FrontQuestion
from wholekit.wording.questions import QUESTIONS, ranges_text, stated_value
from wholekit.wording.speech import tr
from wholekit.wording.to_customers import (
    asking_of,
    asking_template,
    for_customers,
    said_to_customers,
)
from wholekit.wording.words import BESIDE

NOTE_SAYS_MORE, ANSWER_NEEDED = "note-says-more", "answer-needed"
OF_FINISH = frozenset({SWAPPED, DEARER})
# The field that a check asks for, by the code of the finding or of its hint.
OF_FIELD = {
    "ask-egress": "egress", "ask-weight": "weight", "egress-force-limit": "egress",
    "hand-unknown": "hand", "order-through-bolts": "thickness", SWING_UNKNOWN: "swing",
    "say-egress": "egress", "state-traffic": "traffic",
}  # fmt: skip
# It is what was stated that is doubted: it is asked all the same.
DOUBTED = frozenset({"ask-weight", "order-through-bolts", ANSWER_NEEDED, NOTE_SAYS_MORE})
# What may be ticked for a field, as schedules spell it; of others a blank is left.
TICKED = {
    "egress": ("yes", "no"),
    "accessible": ("yes", "no"),
    "hand": ("LH", "RH", "LHR", "RHR"),
    "swing": ("in", "out"),
    "traffic": ("light", "usual", "heavy"),
}
WHAT_STOPS = "ask-stop"
PIECE = "A note asks for a piece that is in no kit: {piece}. Are we to quote it?"
ACTIVE = "Which leaf of the pair is active, seen from the outside?"
STOPPED_BY = "What stops the leaf?"
IS_IT_SO = "Is it so?"
TOO_LOW = (
    "At the height that this quote takes, holes come too near its edge (see the checks); or will "
    "another mount do?"
)
# To what begins so yes or no may be answered, unless it asks which of two.
WHETHER = "Please tell us whether"
EITHER, OTHER = ", or whether", ", or "


@dataclass(slots=True)
class _Ask:
    """One question while its openings are gathered."""

    answers: tuple[tuple[str, str], ...]
    places: dict[str, None] = field(default_factory=dict)


class FrontQuestions:
    """All that the front of a quote asks: which finish, what its own questions ask, what its checks
    ask beside; and which of them each check points to."""

    def __init__(self, offer: Offer, words: OfferWords) -> None:
        self._offer, self._words = offer, words
        openings = (*offer.openings, *(offer.left_out or ()))
        self._every = [opening.place for opening in openings]
        self._finishes = [*finish_questions(offer)]
        self._own = [self._asked_at(*asked) for asked in words.questions]
        self._asks: dict[str, _Ask] = {}
        for opening in openings:
            for finding, said in findings_told(offer, words, opening):
                text, answers = self._question(opening, finding, said)
                if text and self._elsewhere(opening, finding, said) is None:
                    ask = self._asks.setdefault(text, _Ask(answers))
                    ask.places[opening.place] = None

    def all(self) -> Iterator[FrontQuestion]:
        """The questions, in the order of their numbers."""
        yield from (question for question, _ in self._finishes)
        # Quotes of before have questions without answers.
        answers = chain(self._words.answers, repeat(()))
        refusals = chain(self._words.refusals, repeat(()))
        for (text, marks), choices, refused in zip(
            self._words.questions, answers, refusals, strict=False
        ):
            yield FrontQuestion(text, marks, choices, refused)
        for text, ask in self._asks.items():
            where = ranges_text([*ask.places], self._every, self._offer.not_quoted)
            yield FrontQuestion(text, (where,), ask.answers)

    def pointed(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> tuple[str, str, str]:
        """A check as a contractor reads it: what it asks stands in a question, by its number.

        said: sentence, hint and source as issued.
        """
        text, hint, source = said_to_customers(finding.code, said)
        asking = asking_of(finding.code, said[1])
        if not asking:
            return text, hint, source
        number = self._elsewhere(opening, finding, said)
        if number is None:
            asked, _ = self._question(opening, finding, said)
            if not asked:
                return text, "", source
            number = len(self._finishes) + len(self._own) + [*self._asks].index(asked)
        return text, tr("Asked in question {number}.").format(number=number + 1), source

    def says_whole(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> bool:
        """Whether a question of its own says all that is found of a note, so that no check need."""
        text, _ = self._question(opening, finding, said)
        return bool(text) and self._elsewhere(opening, finding, said) is None

    def _asked_at(self, text: str, marks: Sequence[str]) -> tuple[str, frozenset[str]]:
        """The field of one of the offer's own questions, empty for none known, and its places."""
        named = next((name for name, said in QUESTIONS.items() if text.startswith(tr(said))), "")
        if not marks:
            return named, frozenset(self._every)
        found, _ = marks_named(", ".join(marks).split(", "), self._every)
        return named, frozenset(found)

    def _elsewhere(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> int | None:
        """Which of the questions before those of the checks asks the same of an opening, from 0."""
        if finding.code in OF_FINISH:
            for at, (_, places) in enumerate(self._finishes):
                if opening.place in places:
                    return at
        name = _field_of(finding, asking_of(finding.code, said[1]))
        for at, (asked, places) in enumerate(self._own):
            if name and asked == name and opening.place in places:
                return len(self._finishes) + at
        return None

    def _question(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> tuple[str, tuple[tuple[str, str], ...]]:
        """A question and its answers; an empty one where a check asks nothing, or no more."""
        asking = asking_of(finding.code, said[1])
        if not asking or self._answered(opening, finding, asking):
            return "", ()
        if finding.code == ASKED:
            piece = tr(BESIDE[finding.fields["piece"]])
            return tr(PIECE).format(piece=piece), ((f"{tr('yes')}{BOX}{tr('no')}", ""),)
        if finding.code == ACTIVE_UNKNOWN:
            return tr(ACTIVE), ((f"{tr('the left')}{BOX}{tr('the right')}", ""),)
        if asking == WHAT_STOPS:
            ways = (tr("floor or wall stop"), tr("overhead stop"), tr("stop arm, to be quoted"))
            return tr(STOPPED_BY), ((BOX.join(ways), ""), _blank())
        if finding.code == NEAR_EDGE:
            return f"{tr(QUESTIONS[finding.fields['host']])} {tr(TOO_LOW)}", (_blank(),)
        name = _field_of(finding, asking)
        text, hint, _ = said_to_customers(finding.code, said)
        if name in TICKED:
            values = BOX.join(stated_value(name, value) for value in TICKED[name])
            asked = tr(QUESTIONS[name])
            if finding.code == NOTE_SAYS_MORE:
                asked = f"{asked} {text}"
            return asked, ((values, ""),)
        if name in QUESTIONS and finding.code == NOTE_SAYS_MORE:
            return f"{tr(QUESTIONS[name])} {text}", ()
        if finding.code == NOTE_SAYS_MORE:
            return f"{text} {tr(IS_IT_SO)}", ((f"{tr('yes')}{BOX}{tr('no')}", ""),)
        plain = asking_template(finding.code, asking)
        # Why an opening is stopped stands on the front with what is open.
        if finding.severity is not Severity.STOP or opening.alternate:
            hint = f"{text} {hint}"
        if not plain.startswith(WHETHER) or EITHER in plain:
            return hint, ()
        boxes = ((f"{tr('yes')}{BOX}{tr('no')}", ""),)
        return hint, (*boxes, _blank()) if OTHER in plain else boxes

    def _answered(self, opening: OfferOpening, finding: OfferFinding, asking: str) -> bool:
        """Whether the job states by now what a check would ask."""
        if asking == WHAT_STOPS:
            said = {(each.code, each.fields.get("piece")) for each in opening.of_note}
            return bool(said & {(APART, "door-stop"), (ASKED, "door-stop")})
        name = _field_of(finding, asking)
        if not name or {finding.code, asking} & DOUBTED:
            return False
        kind = self._offer.kit_of(opening).type
        unclear = {each.field for each in kind.unclear}
        return getattr(kind, name, None) is not None and name not in unclear


def findings_told(
    offer: Offer, words: OfferWords, opening: OfferOpening
) -> Iterator[tuple[OfferFinding, tuple[str, str, str]]]:
    """What customers are told of an opening, each with its sentence, hint and source as issued;
    what was released by name is settled and none of it."""
    kit = offer.kit_of(opening)
    for finding, said in zip(kit.findings, words.kits[opening.kit].findings, strict=True):
        if for_customers(finding) and (finding.code, finding.about) not in opening.released:
            yield finding, said
    yield from zip(opening.of_note, words.of_note(opening), strict=False)


def _field_of(finding: OfferFinding, asking: str) -> str:
    """The field that a check asks for; empty where it asks for none."""
    if finding.code in (NOTE_SAYS_MORE, ANSWER_NEEDED):
        return finding.fields.get("column", "")
    if finding.code == NEAR_EDGE:
        # What was stated is doubted, and asked anew.
        return finding.fields["host"] if finding.fields["assumed"] == str(True) else ""
    return OF_FIELD.get(finding.code, OF_FIELD.get(asking, ""))


def _blank() -> tuple[str, str]:
    return "", f"{BOX.strip()} {tr('another:')}"
