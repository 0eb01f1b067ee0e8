"""Why an opening gets its kit, as data."""

from dataclasses import dataclass

from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.domain.rules import RuleBook
from wholekit.wording.reasons import ReasonLine, say_tree


@dataclass(frozen=True, slots=True)
class TreeAnswer:
    """The trees of one opening: what each is about, and its lines."""

    mark: str
    trees: tuple[tuple[ReasonLine, ...], ...]
    lines: tuple[tuple[str, tuple[ReasonLine, ...]], ...]


def tree_answer(opening: WorkedOpening, rules: RuleBook) -> TreeAnswer:
    """The trees as data."""
    return TreeAnswer(
        opening.entry.mark,
        tuple(tuple(say_tree(reason, rules)) for reason in opening.kit.why),
        tuple(
            (
                line.item.sku,
                tuple(said for reason in line.because for said in say_tree(reason, rules)),
            )
            for line in opening.kit.lines
        ),
    )
