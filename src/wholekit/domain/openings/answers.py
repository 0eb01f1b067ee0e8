"""What is told of an opening whose schedule could mean several things."""

from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.openings.opening import OpeningType
from wholekit.domain.openings.stated import stated_text
from wholekit.domain.openings.unclear import Unclear

ANSWER_NEEDED = "answer-needed"


def unclear_of(opening_type: OpeningType, field: str) -> Unclear | None:
    """What is unclear about a field; None where it is clear or unknown."""
    return next((unclear for unclear in opening_type.unclear if unclear.field == field), None)


def unclear_findings(opening_type: OpeningType) -> tuple[Finding, ...]:
    """`answer-needed` for each field that is unclear: a stop that only an answer settles."""
    return tuple(
        Finding(
            ANSWER_NEEDED,
            Severity.STOP,
            {
                "column": unclear.field,
                "written": unclear.written,
                "candidates": unclear.candidates,
                "worked": stated_text(getattr(opening_type, unclear.field)),
            },
            None,
            Hint(
                "answer-field",
                {"column": unclear.field, "answer": " or ".join(unclear.candidates)},
            ),
        )
        for unclear in opening_type.unclear
    )
