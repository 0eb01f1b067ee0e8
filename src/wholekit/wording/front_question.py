"""A question as it stands on the front of a quote."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class FrontQuestion:
    """Something only the customer can answer, and the openings it concerns (none: all).

    marks: as ranges, of several groups those of each, the others' last; where: how they are named.
    answers: what may be answered, and what comes of it, a line for each of the openings that it is
    something else for; of an empty one what a blank is for. refusals: of each answer at which
    openings it cannot be had so, or empty. frees: an answer settles what stops an opening. alone:
    it concerns one opening.
    """

    text: str
    marks: tuple[str, ...] = ()
    answers: tuple[tuple[str, str], ...] = ()
    refusals: tuple[str, ...] = ()
    where: str = ""
    frees: bool = False
    alone: bool = False

    def refused(self, at: int) -> str:
        """Where that answer cannot be had so; empty too in what was issued before it was kept."""
        return self.refusals[at] if at < len(self.refusals) else ""

    @property
    def by_mark(self) -> bool:
        """Whether its openings may be answered apart, and no blank of its own is for that."""
        return bool(self.answers) and all(answer for answer, _ in self.answers) and not self.alone
