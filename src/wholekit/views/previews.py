"""What openings would come to, in short. No cost appears here."""

from collections.abc import Sequence
from dataclasses import dataclass

from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.domain.rules import RuleBook
from wholekit.services.job_previews import Preview
from wholekit.services.reviews import OpenStop
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.views.reviews import StopAnswer, WarningAnswer, stop_answer, warnings_of
from wholekit.wording.openings import leaf_text, summary
from wholekit.wording.words import MOUNTS


@dataclass(frozen=True, slots=True)
class PreviewAnswer:
    """An opening as it would be. price: for all of its mark; taken: the job has its mark."""

    mark: str
    taken: bool
    quantity: int
    size: str
    summary: str
    mount: str
    spring_size: int | None
    complete: bool
    items: tuple[str, ...]
    price_each: PriceAnswer
    price: PriceAnswer
    stops: tuple[StopAnswer, ...]
    warnings: tuple[WarningAnswer, ...]


def preview_answers(preview: Preview, rules: RuleBook) -> Sequence[PreviewAnswer]:
    """Openings as they would be, in their order."""
    return [preview_answer(each, rules, preview.taken) for each in preview.workup.job.openings]


def preview_answer(
    opening: WorkedOpening, rules: RuleBook, taken: Sequence[str] = ()
) -> PreviewAnswer:
    """One opening as it would be. taken: marks that its job has already."""
    entry, kit = opening.entry, opening.kit
    return PreviewAnswer(
        entry.mark,
        entry.mark in taken,
        entry.opening.quantity,
        leaf_text(entry.opening.type),
        summary(entry.opening.type, arm_by_hand=bool(kit.idle_arms)),
        MOUNTS[kit.mount],
        kit.spring_size,
        kit.complete,
        tuple(f"{line.quantity} × {line.item.sku}" for line in kit.lines),
        price_answer(opening.worked.price),
        price_answer(opening.price),
        tuple(
            stop_answer(OpenStop(entry.mark, entry.alternate, finding, kit.type.width), rules)
            for finding in opening.open_stops()
        ),
        warnings_of([opening]),
    )
