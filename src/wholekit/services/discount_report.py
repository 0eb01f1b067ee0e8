"""What was given off list, by person and reason: discounts, multipliers and prices by hand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from wholekit.domain.concessions import Concessions, conceded, given_by
from wholekit.domain.earnings import left_out
from wholekit.domain.quantities import Money, currency_digits
from wholekit.domain.quotes import AuditEntry, Revision
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk
from wholekit.services.margin_reports import COUNTED, check_wanted, counted, in_states
from wholekit.services.ports import RevisionFilter, snapshot_of
from wholekit.services.rights import needs

DISCOUNT_SET = "discount-set"


@dataclass(frozen=True, slots=True)
class DiscountReport:
    """What was given by person, way and reason. off: all together [Money]; quotes: looked at
    [count]; left_out: (currency, count) of those in other currencies."""

    currency: str
    given: tuple[Concessions, ...]
    off: Money
    quotes: int
    left_out: tuple[tuple[str, int], ...]


@needs(Action.SEE_COST)
def discount_report(
    desk: Desk, deed: Deed, wanted: RevisionFilter, currency: str
) -> DiscountReport:
    """What open and accepted quotes give off list; a quote counts once, as in margins.

    Raises CallError and QuantityError as `margin_report`.
    """
    currency_digits(currency)
    with desk.store.reading() as uow:
        check_wanted(uow, wanted)
        revisions = counted(in_states(uow, wanted, wanted.states or COUNTED, deed.day))
        # Who set it is asked for where there is one.
        jobs = {each.job_id for each in revisions if snapshot_of(each).offer.discount}
        entries = uow.audit.of_subject("job", *sorted(jobs))
    setters = _setters(entries)
    found = [
        concession
        for revision in revisions
        for concession in conceded(
            snapshot_of(revision), revision.accepted, _setter(setters, revision)
        )
    ]
    given = given_by(found, currency)
    currencies = [snapshot_of(revision).offer.currency for revision in revisions]
    return DiscountReport(
        currency,
        given,
        Money(sum(each.off.minor for each in given), currency),
        currencies.count(currency),
        left_out(currencies, currency),
    )


def _setters(entries: Sequence[AuditEntry]) -> Mapping[str, Sequence[tuple[datetime, str]]]:
    """When the discount of each job was set, and by whom, first to last."""
    found: dict[str, list[tuple[datetime, str]]] = {}
    for entry in entries:
        if entry.action == DISCOUNT_SET:
            found.setdefault(entry.subject_id, []).append((entry.at, entry.who))
    return found


def _setter(setters: Mapping[str, Sequence[tuple[datetime, str]]], revision: Revision) -> str:
    """Who had set the discount a revision was issued with; empty where nobody is known."""
    issued = revision.issued_at
    known = setters.get(revision.job_id, ())
    before = [who for at, who in known if issued is None or at <= issued]
    return before[-1] if before else ""
