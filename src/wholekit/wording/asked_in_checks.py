"""What the checks of a quote ask a contractor, each as a question with boxes or a blank.

A check may ask what the quote's own questions ask already; then it points there. Whatever else it
asks becomes a question behind them. So nothing is asked without a place for the answer, and nothing
twice. What is stated by now is asked no more. Last come cells of a sheet that say nothing known.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain, repeat

from wholekit.domain.findings import Severity
from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.openings import marks_named, stated_text
from wholekit.domain.openings.notes import ACTIVE_UNKNOWN, APART, ASKED, SWING_UNKNOWN
from wholekit.domain.quotes.offer import Offer, OfferFinding, OfferOpening, OfferWords
from wholekit.wording.answers import SETTLES, SETTLES_SOME
from wholekit.wording.asked_cells import (
    Unread,
    asked_figure,
    blank_in_units,
    figures_said,
    noted_text,
    said_by_column,
    unread_cells,
    unused_of,
)
from wholekit.wording.asked_code import FIELD, code_question, elsewhere_text
from wholekit.wording.asked_finishes import DEARER, SWAPPED, finish_questions
from wholekit.wording.asked_holding import HELD, held_answers, held_text, hold_open_questions
from wholekit.wording.front_question import FrontQuestion
from wholekit.wording.mark_groups import MarkGroups, group_names, where_asked
from wholekit.wording.questions import (
    BOX,
    FIGURES,
    QUESTIONS,
    ranges_text,
    stated_value,
    unmoved_text,
    unpriced_text,
)
from wholekit.wording.speech import tr
from wholekit.wording.to_customers import (
    asking_of,
    asking_template,
    figures_asked,
    for_customers,
    said_to_customers,
)
from wholekit.wording.words import BESIDE

NOTE_SAYS_MORE, ANSWER_NEEDED = "note-says-more", "answer-needed"
# Whether a width is of one leaf or of a pair, which also tells how many leaves there are.
PAIR_WIDTH = "ask-pair-width"
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
# Of these one question is put to all openings, also to those whose kit no answer changes.
SHARED = frozenset({"egress", "accessible", "traffic"})
# To what has other answers than yes and no, by the code that asks: boxes, and what a blank is for.
ALTERNATIVES: dict[str, tuple[tuple[str, ...], str]] = {
    "ask-maker": (("ask the maker", "a floor closer", "a power operator"), "another:"),
    PAIR_WIDTH: (("a pair of two {leaf} leaves", "one leaf of {whole}"), "another:"),
    "ask-standard": (("the specification accepts it", "a series of the usual standard"), ""),
    "choose-series": (("left to us",), "series:"),
    "confirm-assumed": (("as assumed",), "otherwise:"),
    "finish-unavailable": (("that finish will do",), "another:"),
    "mount-or-side": (("the closer on the {needs}",), "another mount:"),
    "no-delayed-action": (
        ("leave out delayed action", "leave out the release hold-open"), "",
    ),
    "wider-series": (("{series} in the size needed", "another mount", "less will do"), ""),
}  # fmt: skip
WHAT_STOPS = "ask-stop"
PIECE = "A note asks for a piece that is in no kit: {piece}. Are we to quote it?"
ACTIVE = "Which leaf of the pair is active, seen from the outside?"
STOPPED_BY = "What stops the leaf?"
NOTED_AT = "Your note says {words} ({marks})."
IS_IT_SO = "Is it so?"
PAIR_OR_LEAF = "Is it a pair?"
TOO_LOW = "At the height that this quote takes, holes come too near its edge (see the checks)."
AS_STATED, ANOTHER_MOUNT = "it is as stated, and is accepted so", "another mount"
ANOTHER_HEIGHT = "another height:"
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
        # What is open has no price that an answer could leave as it is.
        self._priced = frozenset(
            each.place for each in offer.openings if each.alternate or offer.is_firm(each)
        )
        self._groups = MarkGroups(words.groups, self._every, offer.not_quoted)
        # In quotes of before a question may have groups of its own.
        self._apart = any(len(marks) > 1 for _, marks in words.questions)
        held = hold_open_questions(offer, self._groups) if offer.checks_ask else ()
        self._first = [
            *((OF_FINISH, *asked) for asked in finish_questions(offer, self._groups)),
            *((frozenset({HELD}), *asked) for asked in held),
        ]
        self._own = [self._asked_at(*asked) for asked in words.questions]
        self._asks: dict[str, _Ask] = {}
        # Places that a question of the offer's own is put to beside those that it was found for.
        self._joined: dict[int, dict[str, None]] = {}
        # What their notes say in figures, by the places of these questions.
        self._noted: dict[int, dict[str, list[str]]] = {}
        for opening in openings if offer.checks_ask else ():
            for finding, said in findings_told(offer, words, opening):
                text, answers = self._question(opening, finding, said)
                if not text:
                    continue
                at = self._elsewhere(opening, finding, said)
                if at is None:
                    ask = self._asks.setdefault(text, _Ask(answers))
                    ask.places[opening.place] = None
                    continue
                own = at - len(self._first)
                if opening.place not in self._places(at):
                    self._joined.setdefault(own, {})[opening.place] = None
                if finding.code == NOTE_SAYS_MORE and (figures := figures_said(said[0])):
                    self._noted.setdefault(own, {}).setdefault(figures, []).append(opening.place)
        self._in_own, self._cells = self._parted(
            [*unread_cells(offer, openings)] if offer.checks_ask else []
        )
        self._openings = openings
        # Where a question of the offer's own asks for the limits, that is the one.
        own = any(name == FIELD for name, _ in self._own)
        self._code = code_question(offer) if offer.checks_ask and not own else None
        self._found = [self._shown(question) for question in self._in_turn()]
        freeing = self._freeing()
        order = sorted(range(len(self._found)), key=lambda at: at not in freeing)
        self._all = tuple(replace(self._found[at], frees=at in freeing) for at in order)
        self._numbers = {at: number for number, at in enumerate(order, 1)}

    def all(self) -> tuple[FrontQuestion, ...]:
        """The questions, in the order of their numbers: first those that free what is open."""
        return self._all

    @property
    def names(self) -> MarkGroups:
        """How the front names openings."""
        return self._groups

    def groups(self, beside: Sequence[str] = ()) -> tuple[tuple[str, str], ...]:
        """The groups that the questions name, and the texts beside them, each with its marks."""
        asked = (
            (question.text, question.where, *chain(*question.answers), *question.refusals)
            for question in self._all
        )
        # In quotes of before a letter is of its question.
        return () if self._apart else self._groups.used((*chain(*asked), *beside))

    def _in_turn(self) -> Iterator[FrontQuestion]:
        """As they were found: of finishes and hold-opens, the offer's own, of checks, of cells."""
        yield from (question for _, question, _ in self._first)
        # Quotes of before have questions without answers.
        answers = chain(self._words.answers, repeat(()))
        refusals = chain(self._words.refusals, repeat(()))
        for at, ((text, marks), choices, refused) in enumerate(
            zip(self._words.questions, answers, refusals, strict=False)
        ):
            for cell in self._in_own.get(at, ()):
                where = self._ranges(cell.places)
                text = f"{text} {cell.beside(where)}"
            for figures, places in self._noted.get(at, {}).items():
                said = tr(NOTED_AT).format(words=figures, marks=self._ranges(places))
                text = f"{text} {said}"
            if self._own[at][0] == FIELD and (elsewhere := elsewhere_text(self._offer)):
                text = f"{text} {elsewhere}"
            if at in self._joined:
                joined = [*self._joined[at]]
                marks = self._with(marks, joined)
                priced = [place for place in joined if place in self._priced]
                others = [place for place in joined if place not in self._priced]
                for told, places in ((unmoved_text, priced), (unpriced_text, others)):
                    where = self._groups.named(places)
                    if self._apart and places == joined:
                        # They are a group of their own, whose name is theirs alone.
                        where = group_names(marks)[-2]
                    text = f"{text} {told(where)}" if places else text
            yield FrontQuestion(text, marks, choices, refused)
        for text, ask in self._asks.items():
            yield FrontQuestion(text, (self._ranges([*ask.places]),), ask.answers)
        for cell in self._cells:
            yield FrontQuestion(cell.text, (self._ranges(cell.places),), cell.answers)
        if self._code is not None:
            yield self._code

    def _shown(self, question: FrontQuestion) -> FrontQuestion:
        """A question with its openings as they are named: those not asked about, where fewer."""
        asked = self._meant(question.marks)
        question = replace(question, alone=len(asked) == 1)
        if not self._apart:
            return replace(question, where=self._groups.where(asked) if question.marks else "")
        rest = [place for place in self._every if place not in asked]
        where = where_asked(question.marks, self._ranges(rest) if rest else "")
        return replace(question, where=where)

    def _with(self, marks: Sequence[str], joined: Sequence[str]) -> tuple[str, ...]:
        """The openings of a question with those that it is put to beside them."""
        if not self._apart:
            every = {*self._meant(marks), *joined}
            return (self._ranges([place for place in self._every if place in every]),)
        *named, last = marks
        return (*named, self._ranges(joined), last)

    def _freeing(self) -> frozenset[int]:
        """Which of the questions found an open opening waits for: its stops point to them, or an
        answer settles one."""
        settling = (tr(SETTLES), tr(SETTLES_SOME))
        found = {
            at
            for at, question in enumerate(self._found)
            if any(said in effect for _, effect in question.answers for said in settling)
        }
        for opening in self._openings:
            kit, words = self._offer.kit_of(opening), self._words.kits[opening.kit]
            for stop in () if opening.alternate else self._offer.open_stops(opening):
                at = self._asking(opening, kit.findings[stop], words.findings[stop])
                found |= set() if at is None else {at}
        return frozenset(found)

    def unused(self) -> tuple[str, ...]:
        """What of the customer's sheet is neither in a kit nor asked about."""
        return unused_of(self._offer, self._openings)

    def asks(self, name: str, opening: OfferOpening) -> bool:
        """Whether a question of the offer's own asks for a field of an opening: what is assumed
        stands there, as what was quoted."""
        return self._offer.checks_ask and any(
            field == name
            and opening.place in {*self._places(len(self._first) + at), *self._joined.get(at, ())}
            for at, (field, _) in enumerate(self._own)
        )

    def pointed(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> tuple[str, str, str]:
        """A check as a contractor reads it: what it asks stands in a question, by its number.

        said: sentence, hint and source as issued.
        """
        text, hint, source = said_to_customers(finding.code, said)
        if not self._offer.checks_ask or not asking_of(finding.code, said[1]):
            return text, hint, source
        number = self.number(opening, finding, said)
        asked = tr("Asked in question {number}.").format(number=number) if number else ""
        return text, asked, source

    def number(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> int:
        """Which question asks what a check asks [from 1]; 0 for none. said: as of `pointed`."""
        at = self._asking(opening, finding, said)
        return 0 if at is None else self._numbers[at]

    def _asking(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> int | None:
        """Which of the questions as they were found asks what a check asks; None for none."""
        if not self._offer.checks_ask or not asking_of(finding.code, said[1]):
            return None
        at = self._elsewhere(opening, finding, said)
        if at is not None:
            return at
        asked, _ = self._question(opening, finding, said)
        if not asked:
            return None
        return len(self._first) + len(self._own) + [*self._asks].index(asked)

    def says_whole(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> bool:
        """Whether a question of its own says all that is found of a note, so that no check need."""
        if not self._offer.checks_ask:
            return False
        text, _ = self._question(opening, finding, said)
        return bool(text) and self._elsewhere(opening, finding, said) is None

    def _ranges(self, places: Sequence[str]) -> str:
        return ranges_text(places, self._every, self._offer.not_quoted)

    def _places(self, at: int) -> frozenset[str]:
        """The places of one of the questions before those of the checks."""
        if at < len(self._first):
            return self._first[at][2]
        return self._own[at - len(self._first)][1]

    def _parted(self, cells: Sequence[Unread]) -> tuple[dict[int, list[Unread]], list[Unread]]:
        """Cells that a question of the offer's own asks about, by its place; and all others."""
        within: dict[int, list[Unread]] = {}
        rest = []
        for cell in cells:
            at = next(
                (
                    at
                    for at, (name, places) in enumerate(self._own)
                    if name and name == cell.field and {*cell.places} <= places
                ),
                None,
            )
            if at is None or cell.bare:
                rest.append(cell)
            else:
                within.setdefault(at, []).append(cell)
        return within, rest

    def _asked_at(self, text: str, marks: Sequence[str]) -> tuple[str, frozenset[str]]:
        """The field of one of the offer's own questions, empty for none known, and its places."""
        named = next((name for name, said in QUESTIONS.items() if text.startswith(tr(said))), "")
        return named, self._meant(marks)

    def _meant(self, marks: Sequence[str]) -> frozenset[str]:
        """The places of a question's groups."""
        if not marks:
            return frozenset(self._every)
        return frozenset(marks_named(", ".join(marks).split(", "), self._every)[0])

    def _elsewhere(
        self, opening: OfferOpening, finding: OfferFinding, said: tuple[str, str, str]
    ) -> int | None:
        """Which of the questions before those of the checks asks the same of an opening, from 0."""
        for at, (codes, _, places) in enumerate(self._first):
            if finding.code in codes and opening.place in places:
                return at
        name = _field_of(finding, asking_of(finding.code, said[1]))
        alike = [at for at, (asked, _) in enumerate(self._own) if name and asked == name]
        for at in alike:
            if opening.place in self._own[at][1]:
                return len(self._first) + at
        # Any answer to these may be given of any opening.
        if alike and name in SHARED and getattr(self._offer.kit_of(opening).type, name) is None:
            return len(self._first) + alike[0]
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
            stated = finding.fields["assumed"] != str(True)
            ticks = BOX.join(map(tr, (AS_STATED, ANOTHER_MOUNT) if stated else (ANOTHER_MOUNT,)))
            asked = f"{tr(QUESTIONS[finding.fields['host']])} {tr(TOO_LOW)}"
            return asked, ((ticks, ""), _blank(ANOTHER_HEIGHT))
        name = _field_of(finding, asking)
        text, hint, _ = said_to_customers(finding.code, said)
        kind = self._offer.kit_of(opening).type
        if finding.code == NOTE_SAYS_MORE:
            text = said_by_column(text, opening.note, self._offer.not_used)
            if name == "hold_open":
                return f"{text} {held_text(kind)}", held_answers(kind)
            if name in FIGURES:
                return asked_figure(name, text, kind)
            quoted = self._quoted(opening, name)
            if quoted:
                text = noted_text(text, quoted)
        if name in TICKED:
            values = BOX.join(stated_value(name, value) for value in TICKED[name])
            asked = tr(QUESTIONS[name])
            if finding.code == NOTE_SAYS_MORE:
                asked = f"{asked} {text}"
            return asked, ((values, ""),)
        if name in QUESTIONS and finding.code == NOTE_SAYS_MORE:
            blank = blank_in_units(name, kind)
            return f"{tr(QUESTIONS[name])} {text}", (blank,) if blank[1] else ()
        if name == "leaves":
            return self._pair_width(opening) or (
                f"{text} {tr(PAIR_OR_LEAF)}",
                ((f"{tr('a pair of two leaves')}{BOX}{tr('one leaf')}", ""),),
            )
        if finding.code == NOTE_SAYS_MORE:
            return f"{text} {tr(IS_IT_SO)}", ((f"{tr('yes')}{BOX}{tr('no')}", ""),)
        plain = asking_template(finding.code, asking)
        # Why an opening is stopped stands on the front with what is open.
        if finding.severity is not Severity.STOP or opening.alternate:
            hint = f"{text} {hint}"
        if asking in ALTERNATIVES:
            told, other = ALTERNATIVES[asking]
            figures = figures_asked(said[1])
            boxes = ((BOX.join(tr(way).format_map(figures) for way in told), ""),)
            return hint, (*boxes, _blank(other)) if other else boxes
        if not plain.startswith(WHETHER) or EITHER in plain:
            return hint, ()
        boxes = ((f"{tr('yes')}{BOX}{tr('no')}", ""),)
        return hint, (*boxes, _blank()) if OTHER in plain else boxes

    def _quoted(self, opening: OfferOpening, name: str) -> str:
        """What an opening is quoted with for a field, empty where nothing stands in."""
        kit = self._offer.kit_of(opening)
        stated = getattr(kit.type, name, None)
        if stated is not None:
            return stated_value(name, stated_text(stated))
        assumed = (each.text for each in kit.assumed if each.field == name)
        return next((stated_value(name, text) for text in assumed), "")

    def _pair_width(self, opening: OfferOpening) -> tuple[str, tuple[tuple[str, str], ...]] | None:
        """The question about the width of an opening's leaf, where one is put."""
        for finding, said in findings_told(self._offer, self._words, opening):
            if asking_of(finding.code, said[1]) == PAIR_WIDTH:
                return self._question(opening, finding, said)
        return None

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


def _blank(what: str = "another:") -> tuple[str, str]:
    return "", f"{BOX.strip()} {tr(what)}"
