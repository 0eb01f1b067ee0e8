"""What stops an opening, each with the ways out of it, as data. No cost appears in any of it."""

from collections.abc import Mapping
from dataclasses import dataclass

from wholekit.domain.findings import Severity
from wholekit.domain.openings import ANSWER_NEEDED
from wholekit.domain.quotes.remedies import Remedy, open_findings
from wholekit.domain.rules import RuleBook
from wholekit.services.remedies import Ways
from wholekit.views.kits import PriceAnswer, price_answer
from wholekit.wording.findings import say_finding
from wholekit.wording.remedies import say_remedy
from wholekit.wording.speech import tr
from wholekit.wording.units import in_units_of
from wholekit.wording.words import MOUNTS


@dataclass(frozen=True, slots=True)
class RemedyAnswer:
    """A way out under the number of its key, from 1. difference: for all of the mark; left: stops
    that are open after it [count]; by_hand: it takes back what a hand has set."""

    key: int
    name: str
    text: str
    difference: PriceAnswer
    mount: str
    spring_size: int | None
    left: int
    by_hand: bool


@dataclass(frozen=True, slots=True)
class HindranceAnswer:
    """A finding with its ways out; one that settles several stands at the first of them.

    settled_by: keys of those that stand at an earlier one. releasable: it may be let go for a
    reason.
    """

    code: str
    stop: bool
    text: str
    hint: str
    releasable: bool
    remedies: tuple[RemedyAnswer, ...]
    settled_by: tuple[int, ...]


def ways_answer(
    ways: Ways, suppliers: Mapping[str, str], rules: RuleBook
) -> tuple[HindranceAnswer, ...]:
    """The findings of an opening for which a way out is looked for, stops first."""
    keyed = list(enumerate(ways.remedies, start=1))
    told: set[int] = set()
    found = []
    for finding in open_findings(ways.opening):
        with in_units_of(ways.opening.kit.type.width):
            said = say_finding(finding, rules)
        mine = [(key, remedy) for key, remedy in keyed if finding in remedy.settles]
        fresh = [(key, remedy) for key, remedy in mine if key not in told]
        told |= {key for key, _ in fresh}
        stop = finding.severity is Severity.STOP
        found.append(
            HindranceAnswer(
                said.code,
                stop,
                said.text,
                said.hint,
                stop and finding.code != ANSWER_NEEDED,
                tuple(_remedy(key, remedy, suppliers) for key, remedy in fresh),
                tuple(key for key, _ in mine if key not in {new for new, _ in fresh}),
            )
        )
    return tuple(found)


def _remedy(key: int, remedy: Remedy, suppliers: Mapping[str, str]) -> RemedyAnswer:
    return RemedyAnswer(
        key,
        remedy.name,
        say_remedy(remedy, suppliers),
        price_answer(remedy.difference),
        tr(MOUNTS[remedy.mount]),
        remedy.size,
        remedy.left,
        remedy.way.value == "take-back",
    )
