"""A job's hand-made kits held against its openings."""

from collections.abc import Mapping, Sequence

from wholekit.domain.kits import Shelf
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.openings import Opening
from wholekit.domain.pricing import LIST, price_kit
from wholekit.domain.rules import RuleBook
from wholekit.services.expand import KittedJob, KittedOpening


def check_job(
    openings: Sequence[Opening],
    lines: Mapping[str, Sequence[HandLine]],
    shelf: Shelf,
    rules: RuleBook,
) -> KittedJob:
    """The hand-made kits, checked; openings without any line are left out: the caller tells."""
    return KittedJob(
        tuple(
            KittedOpening(
                opening,
                price_kit(check_kit(opening.type, lines[opening.mark], shelf, rules), LIST),
            )
            for opening in openings
            if opening.mark in lines
        ),
        shelf.currency,
        LIST,
    )
