"""The hold-open of a door as a question: on a fire door an arm that holds it open is never an
answer, whatever a remark asks for."""

from collections.abc import Iterator

from wholekit.domain.openings import HoldOpen, OpeningType
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.asking import Change, JobQuestion
from wholekit.domain.quotes.offer import OfferOpening
from wholekit.wording.answers import LINE, answer_lines, any_of_these
from wholekit.wording.front_question import FrontQuestion
from wholekit.wording.mark_groups import MarkGroups
from wholekit.wording.questions import BOX, ranges_text
from wholekit.wording.speech import tr
from wholekit.wording.words import value_text

HELD = "hold-open-on-fire-door"
NEVER_AN_ARM = (
    "A hold-open arm is not allowed on a fire door ({minutes} min); only a listed hold-open that "
    "the fire alarm releases may hold it open. Which is wanted?"
)
HOW = "Is the leaf to be held open, and how?"
NONE, RELEASED = "no hold-open", "hold-open released by the fire alarm, by others"
ARM = "hold-open arm, never on a fire door"


def held_text(kind: OpeningType) -> str:
    """What is asked where a remark names a hold-open that nothing states."""
    if kind.fire_minutes:
        return _as_held(tr(NEVER_AN_ARM).format(minutes=kind.fire_minutes), kind.hold_open)
    return _as_held(tr(HOW), kind.hold_open)


def _as_held(text: str, held: HoldOpen | None) -> str:
    """The question with what is quoted meanwhile."""
    value = value_text("hold_open", held or HoldOpen.NONE)
    return tr("{question} Quoted as: {value}.").format(question=text, value=value)


def held_answers(kind: OpeningType) -> tuple[tuple[str, str], ...]:
    """What may be ticked there."""
    arm = () if kind.fire_minutes else (ARM,)
    # With delayed action a released one is refused.
    ways = (NONE, *arm, *(() if kind.delayed_action else (RELEASED,)))
    return ((BOX.join(map(tr, ways)), ""),)


def hold_open_questions(
    offer: Offer, named: MarkGroups
) -> Iterator[tuple[FrontQuestion, frozenset[str]]]:
    """One question for the fire doors of each label that a hold-open arm was asked for, with its
    places: their kits hold none, so that either answer takes them as they are.

    named: names openings.
    """
    every = tuple(each.place for each in offer.openings)
    found: dict[int, list[OfferOpening]] = {}
    for opening in offer.openings:
        if _held(offer, opening):
            minutes = offer.kit_of(opening).type.fire_minutes or 0
            found.setdefault(minutes, []).append(opening)
    for minutes, openings in found.items():
        marks = tuple(each.place for each in openings)
        count = sum(each.quantity for each in openings)
        question = JobQuestion("hold_open", (), marks, count, ())
        # With delayed action a released hold-open is refused.
        delayed = any(offer.kit_of(each).type.delayed_action for each in openings)
        changes = [_as_quoted(offer, opening) for opening in openings]
        comes = LINE.join(answer_lines(question, "none", changes, named.of(marks)))
        yield (
            FrontQuestion(
                _as_held(tr(NEVER_AN_ARM).format(minutes=minutes), None),
                (ranges_text(marks, every, offer.not_quoted),),
                ((tr(NONE), comes),)
                if delayed
                else ((BOX.join((tr(NONE), tr(RELEASED))), any_of_these(comes)),),
            ),
            frozenset(marks),
        )


def _held(offer: Offer, opening: OfferOpening) -> bool:
    """Whether an arm is asked for that its kit does not hold, and nobody let it go."""
    return any(
        finding.code == HELD
        and "skus" not in finding.fields
        and (finding.code, finding.about) not in opening.released
        for finding in offer.kit_of(opening).findings
    )


def _as_quoted(offer: Offer, opening: OfferOpening) -> Change:
    kit = offer.kit_of(opening)
    stops = {kit.findings[at].code for at in offer.open_stops(opening)}
    return Change(
        (opening.place,),
        opening.quantity,
        Money.zero(kit.price.currency),
        settled=(HELD,),
        alternate=opening.alternate,
        firm=offer.is_firm(opening),
        firm_then=not kit.missing and stops <= {HELD},
        price=kit.price,
    )
