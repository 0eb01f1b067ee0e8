"""What of the customer's sheet is not in a quote: doors, each reason once with its marks and what
cannot be read with its row, and columns."""

from collections.abc import Sequence

from wholekit.domain.openings import UnaskedDoor, WhyUnasked
from wholekit.wording.questions import ranges_text
from wholekit.wording.speech import tr
from wholekit.wording.words import field_name

# Wide enough to write a size in by hand.
BLANK = "_" * 16

UNASKED: dict[WhyUnasked, str] = {
    WhyUnasked.BY_OTHERS: "by others",
    WhyUnasked.NO_CLOSER: "no closer wanted",
    WhyUnasked.NOT_IN_CONTRACT: "not in contract",
    WhyUnasked.NOT_USED: "mark not used",
    WhyUnasked.LEFT_OUT: "not asked for",
    WhyUnasked.UNREAD: "cannot be read",
}

# Why a cell is refused whatever its column; else what stands there says it.
REFUSED = {
    "cell-formula": "it begins like a formula, which a spreadsheet would work out",
    "cell-control": "it has a character that cannot be printed",
    "cell-too-long": "it is too long",
    "cell-error": "the spreadsheet shows an error there",
    "cell-date": "the spreadsheet has made a date of it",
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

    Without those that cannot be read: see `unread_text`.

    >>> from wholekit.domain.openings import UnaskedDoor, WhyUnasked
    >>> doors = [UnaskedDoor(f"{n}", WhyUnasked.NO_CLOSER) for n in (106, 107, 108, 110)]
    >>> unasked_text([*doors, UnaskedDoor("109", WhyUnasked.BY_OTHERS)], ["111"])
    '106–108, 110 (no closer wanted); 109 (by others)'
    """
    by_reason: dict[WhyUnasked, list[str]] = {}
    for door in doors:
        if door.why is not WhyUnasked.UNREAD:
            by_reason.setdefault(door.why, []).append(door.place)
    every = [door.place for door in doors]
    return "; ".join(
        f"{ranges_text(places, every, beside)} ({unasked_reason(why)})"
        for why, places in by_reason.items()
    )


def unread_text(doors: Sequence[UnaskedDoor], *, answer: bool = False) -> str:
    """Doors that nobody could read, each with its row, what stands there and why that is refused
    where it does not say so itself; empty for none.

    answer: with a blank for what is right. Those with the same in the same column are told of
    together.

    >>> door = UnaskedDoor("112", WhyUnasked.UNREAD, row=13, column="size", given="30??")
    >>> unread_text([door])
    '112 (row 13): size “30??” cannot be read'
    >>> unread_text([door, UnaskedDoor("?14", WhyUnasked.UNREAD, row=14, column="mark")])
    '112 (row 13): size “30??” cannot be read; no mark (row 14)'
    >>> sum_of = UnaskedDoor(
    ...     "=1+1", WhyUnasked.UNREAD, row=9, column="mark", given="=1+1", code="cell-formula"
    ... )
    >>> print(unread_text([sum_of]).partition(": ")[2])
    mark “=1+1” cannot be read (it begins like a formula, which a spreadsheet would work out)
    """
    alike: dict[tuple[str, str, str], list[UnaskedDoor]] = {}
    for door in doors:
        if door.why is WhyUnasked.UNREAD:
            alike.setdefault((door.column, door.given, door.code), []).append(door)
    texts = []
    for (column, given, code), some in alike.items():
        said = (
            tr("{places}: {column} “{given}” cannot be read")
            if given
            else tr("{places}: {column} is not stated")
        )
        places = ", ".join(_in_row(door) for door in some)
        nameless = column == "mark" and not given
        text = places if nameless else said.format(
            places=places, column=field_name(column), given=given
        )  # fmt: skip
        if given and code in REFUSED:
            text = f"{text} ({tr(REFUSED[code])})"
        texts.append(f"{text}. {tr('Correct: {blank}').format(blank=BLANK)}" if answer else text)
    return "; ".join(texts)


def _in_row(door: UnaskedDoor) -> str:
    nameless = door.column == "mark" and not door.given
    mark = tr("no mark") if nameless else door.place
    return tr("{mark} (row {row})").format(mark=mark, row=door.row)
