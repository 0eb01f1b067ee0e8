"""What stands between a draft and its issue, and what an issue and a request come to."""

from dataclasses import dataclass

from wholekit.domain.findings import Finding
from wholekit.domain.limits import Breach, Standing
from wholekit.domain.quantities import Length, Money
from wholekit.domain.quotes import Approval, Job, Request, Revision
from wholekit.domain.quotes.worked import WorkedOpening
from wholekit.services.workup import Workup


@dataclass(frozen=True, slots=True)
class OpenStop:
    """A stop finding that nobody has released. size: of its leaf, whose units it is told in."""

    mark: str
    alternate: str
    finding: Finding
    size: Length


@dataclass(frozen=True, slots=True)
class Review:
    """What stands between a draft and its issue: open stops, and limits passed and not approved.

    standing: of the base bid, as limits and margin look at it; net: the base bid's as the quote
    shows it, freight and all extra lines in it. left_out: openings that the quote would leave out
    since they are stopped or not whole; all other figures are of what is left then. of_counter:
    limits that it passes for the counter, where an owner looks, who has none.
    """

    job: Job
    workup: Workup
    standing: Standing
    net: Money
    stops: tuple[OpenStop, ...]
    breaches: tuple[Breach, ...]
    approval: Approval | None
    request: Request | None = None
    left_out: tuple[WorkedOpening, ...] = ()
    of_counter: tuple[Breach, ...] = ()

    @property
    def needs_owner(self) -> bool:
        """Whether a limit is passed that no owner has approved."""
        return bool(self.breaches) and self.approval is None

    @property
    def empty(self) -> bool:
        """Whether there is nothing to quote: extra lines alone are a quote, but not where all the
        openings were left out of it."""
        contents = self.workup.job.contents
        return not contents.openings and bool(self.left_out or not contents.extras)

    @property
    def clear(self) -> bool:
        """Whether the draft may be issued."""
        return not self.stops and not self.needs_owner


@dataclass(frozen=True, slots=True)
class Issue:
    """The outcome of issuing: the issued revision, or None where the review is not clear.

    drafted: there was no draft, it was made on the way.
    """

    review: Review
    revision: Revision | None
    drafted: bool = False


@dataclass(frozen=True, slots=True)
class Waiting:
    """A draft that waits for an owner's word; review: of today, None where the job cannot be
    worked up."""

    job: Job
    draft: Revision
    request: Request
    review: Review | None
