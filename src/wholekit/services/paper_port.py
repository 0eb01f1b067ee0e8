"""Papers that were asked for and are made one after the other, and what keeps them in a row."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Protocol


class PaperState(StrEnum):
    """How far a paper is."""

    WAITING = "waiting"
    MAKING = "making"
    DONE = "done"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class AskedPaper:
    """A paper that somebody asked for.

    id: counts up as they are asked for, 0 before it is kept. key: what all that stands on it is
    known by, so that nobody makes the same one twice; also the name of its file. reference: the
    revision, or the job as it stands. paper: which of its papers. language: that a fault is told
    in. done, parts: of what is laid out [count], 0 of 0 while that is not known. tries: how often
    somebody began [count]. fault: in words, empty without.
    """

    key: str
    reference: str
    paper: str
    asked_by: str
    asked_at: datetime
    language: str
    id: int = 0
    state: PaperState = PaperState.WAITING
    done: int = 0
    parts: int = 0
    tries: int = 0
    fault: str = ""

    @property
    def pending(self) -> bool:
        """Whether it is still to come."""
        return self.state in (PaperState.WAITING, PaperState.MAKING)

    @property
    def file(self) -> str:
        """The name of its file."""
        return f"{self.key}.pdf"


class PaperQueue(Protocol):
    """Papers by the order they were asked for in. Whoever makes one holds it for a while, and says
    again and again that it still does: what a server held that is gone falls to the next."""

    def add(self, asked: AskedPaper) -> AskedPaper:
        """The paper kept, or the one of that key that was asked for before."""

    def get(self, paper_id: int) -> AskedPaper | None:
        """The paper, or None."""

    def of_key(self, key: str) -> AskedPaper | None:
        """The paper of a key, or None."""

    def waiting(self, reference: str, paper: str) -> AskedPaper | None:
        """One of these that nobody has begun, or None."""

    def latest(self, papers: Collection[str], most: int) -> Sequence[AskedPaper]:
        """Those of these papers that were asked for last, the latest first."""

    def is_due(self, at: datetime) -> bool:
        """Whether any is to be begun, or was left by whoever held it."""

    def take(self, holder: str, at: datetime, until: datetime) -> AskedPaper | None:
        """The next paper, held by this holder until then; None where there is none to make.

        Of several that ask at once each is given another.
        """

    def hold(self, asked: AskedPaper, holder: str, until: datetime) -> bool:
        """It is still being made, so far. False where it is no longer this holder's."""

    def end(self, asked: AskedPaper, holder: str) -> bool:
        """It is done or failed, as it says. False, and nothing done, where it is no longer this
        holder's."""

    def again(self, paper_id: int) -> None:
        """It is made anew: it failed, or its file is gone."""

    def clear(self, before: datetime) -> Sequence[AskedPaper]:
        """Those asked for before, which nobody is making, are forgotten; which they were."""
