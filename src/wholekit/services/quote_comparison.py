"""Two revisions of a quote held against each other, or the last against the job as it stands."""

from dataclasses import dataclass, replace

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Offer, State
from wholekit.domain.quotes.changes import Comparison
from wholekit.domain.quotes.compare import compare
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk
from wholekit.services.ports import snapshot_of
from wholekit.services.quote_papers import as_it_stands
from wholekit.services.quote_reading import issued_revision, quote_revisions
from wholekit.services.rights import needs
from wholekit.wording.question_numbers import numbered_anew


@dataclass(frozen=True, slots=True)
class Compared:
    """A comparison, and the later of what was compared, from which its paper takes its head."""

    comparison: Comparison
    later: Offer


@needs(Action.SEE_QUOTES)
def compare_quotes(desk: Desk, deed: Deed, first: str, second: str) -> Compared:
    """Two issued revisions of one job held against each other. Raises CallError."""
    before, after = issued_revision(desk, deed, first), issued_revision(desk, deed, second)
    old, new = snapshot_of(before).offer, snapshot_of(after).offer
    if before.job_id != after.job_id:
        raise CallError(
            "compare-jobs",
            first=before.label,
            first_job=old.job,
            second=after.label,
            second_job=new.job,
        )
    if old.currency != new.currency:
        raise CallError("compare-currencies", first=old.currency, second=new.currency)
    found = replace(compare(old, new), numbered_anew=numbered_anew(old, new))
    return Compared(found, new)


@needs(Action.SEE_QUOTES)
def compare_draft(desk: Desk, deed: Deed, reference: str) -> Compared:
    """The last issued revision of a job (`J-…`) or quote (`Q-…`) held against the job as it
    stands. Raises CallError, InputError."""
    issued = [
        revision
        for revision in quote_revisions(desk, deed, reference)
        if revision.state is not State.DRAFT
    ]
    if not issued:
        raise CallError("quote-none-issued", job=reference)
    old = snapshot_of(issued_revision(desk, deed, issued[-1].label)).offer
    new = as_it_stands(desk, deed, old.job).snapshot.offer
    return Compared(compare(old, new, draft=True), new)
