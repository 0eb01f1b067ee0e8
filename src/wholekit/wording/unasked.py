"""What of the customer's sheet is not in a quote: doors, each reason once with its marks, and
columns."""

from collections.abc import Sequence

from wholekit.domain.openings import UnaskedDoor, WhyUnasked
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import tr

UNASKED: dict[WhyUnasked, str] = {
    WhyUnasked.BY_OTHERS: "by others",
    WhyUnasked.NO_CLOSER: "no closer wanted",
    WhyUnasked.NOT_IN_CONTRACT: "not in contract",
    WhyUnasked.NOT_USED: "mark not used",
    WhyUnasked.LEFT_OUT: "not asked for",
}


def unasked_reason(why: WhyUnasked) -> str:
    """Why a door is not in a quote."""
    return tr(UNASKED[why])


def not_used_texts(columns: Sequence[str]) -> tuple[str, ...]:
    """What of the customer's sheet no kit is worked out from, in one sentence; none for none.

    >>> not_used_texts(["Keyed with", "Weight: 140"])
    ('Columns and cells of your sheet that this quote does not use: Keyed with; Weight: 140.',)
    """
    if not columns:
        return ()
    said = tr("Columns and cells of your sheet that this quote does not use: {columns}.")
    return (said.format(columns="; ".join(columns)),)


def unasked_text(doors: Sequence[UnaskedDoor], beside: Sequence[str]) -> str:
    """Marks with why, empty for none; their ranges run over none of the marks beside them.

    >>> from wholekit.domain.openings import UnaskedDoor, WhyUnasked
    >>> doors = [UnaskedDoor(f"{n}", WhyUnasked.NO_CLOSER) for n in (106, 107, 108, 110)]
    >>> unasked_text([*doors, UnaskedDoor("109", WhyUnasked.BY_OTHERS)], ["111"])
    '106–108, 110 (no closer wanted); 109 (by others)'
    """
    by_reason: dict[WhyUnasked, list[str]] = {}
    for door in doors:
        by_reason.setdefault(door.why, []).append(door.place)
    every = [door.place for door in doors]
    return "; ".join(
        f"{ranges_text(places, every, beside)} ({unasked_reason(why)})"
        for why, places in by_reason.items()
    )
