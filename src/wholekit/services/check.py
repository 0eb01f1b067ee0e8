"""A job's hand-made kits held against its openings."""

from collections.abc import Mapping, Sequence

from wholekit.domain.kits import Shelf
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.openings import Opening, note_findings
from wholekit.domain.pricing import LIST, price_kit
from wholekit.domain.rules import RuleBook
from wholekit.services.expand import KittedJob, KittedOpening


def check_job(
    openings: Sequence[Opening],
    lines: Mapping[str, Sequence[HandLine]],
    shelf: Shelf,
    rules: RuleBook,
) -> KittedJob:
    """Each opening's hand-made kit, checked; an opening without lines lacks everything."""
    return KittedJob(
        tuple(
            KittedOpening(
                opening,
                price_kit(check_kit(opening.type, lines.get(opening.mark, ()), shelf, rules), LIST),
                note_findings(opening, rules),
            )
            for opening in openings
        ),
        shelf.currency,
        LIST,
    )
