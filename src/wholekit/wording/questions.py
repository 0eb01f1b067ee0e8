"""What only the customer can say: a question for each field that an offer had to assume."""

from wholekit.domain.quotes import Offer
from wholekit.wording.speech import tr
from wholekit.wording.words import listed, value_text

# Fields without a house default are asked for where a finding turns on them.
ASKED_BY = {"weight-estimated": "weight", "egress-force-limit": "egress"}
QUESTIONS: dict[str, str] = {
    "door": "What is the leaf made of?",
    "core": "What core has the wood leaf?",
    "door_reinforced": "Is the leaf reinforced, or has it blocking, where the closer goes?",
    "weight": "What does the leaf weigh?",
    "thickness": "How thick is the leaf?",
    "frame": "What is the frame made of?",
    "frame_reinforced": "Is the frame reinforced where the closer goes?",
    "location": "Is the opening interior or exterior?",
    "hand": "Which hand is the leaf, read from the outside: LH, RH, LHR or RHR?",
    "swing": "Does the leaf swing in or out?",
    "body_side": "On which side is the room the closer is to be in?",
    "fire_minutes": "Has the opening a fire label, and of how many minutes?",
    "accessible": "Is the opening on an accessible route?",
    "egress": "Is the opening an exit, on a means of egress?",
    "traffic": "Is the traffic through the opening light, usual or heavy?",
    "opening_degrees": "To what angle is the leaf to open?",
    "top_rail": "How high is the top rail of the leaf?",
    "head_face": "How high is the face of the frame head?",
    "reveal": "How deep is the reveal on the push side?",
    "stop": "Is the stop under the head a rabbet or a blade?",
    "finish": "Which finish is wanted?",
    "jurisdiction": "Which code's force limits apply?",
}


def questions_of(offer: Offer) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Each question with what is quoted meanwhile, and the marks it concerns; none: all of them.

    Where it is for nearly all, the others are named in the question.
    """
    marks: dict[str, list[str]] = {}
    values: dict[str, set[object]] = {}
    for opening in offer.openings:
        kit = offer.kit_of(opening)
        for assumed in kit.assumed:
            marks.setdefault(assumed.field, []).append(opening.mark)
            values.setdefault(assumed.field, set()).add(assumed.value)
        # The setting card's drawings turn on it; a pair has both hands.
        if kit.type.hand is None and kit.type.leaves == 1:
            marks.setdefault("hand", []).append(opening.mark)
        codes = {finding.code for finding in kit.findings}
        for code, field in ASKED_BY.items():
            if code in codes:
                marks.setdefault(field, []).append(opening.mark)
    every = list(dict.fromkeys(opening.mark for opening in offer.openings))
    return tuple(
        _question(field, list(dict.fromkeys(marks[field])), values.get(field, set()), every)
        for field in QUESTIONS
        if field in marks
    )


def _question(
    field: str, marks: list[str], values: set[object], every: list[str]
) -> tuple[str, tuple[str, ...]]:
    text = tr(QUESTIONS[field])
    if len(values) == 1:
        said = tr("{question} Quoted as: {value}.")
        text = said.format(question=text, value=value_text(field, next(iter(values))))
    concerned = set(marks)
    others = [mark for mark in every if mark not in concerned]
    if not others:
        return text, ()
    if len(others) < len(marks):
        said = tr("{question} All openings but {marks}.")
        return said.format(question=text, marks=listed(others)), ()
    return text, tuple(marks)
