"""Papers that were asked for, in memory."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from wholekit.services.paper_port import AskedPaper, PaperState


@dataclass
class FakePapers:
    asked: dict[int, AskedPaper] = field(default_factory=dict)
    held: dict[int, tuple[str, datetime]] = field(default_factory=dict)
    last: int = 0

    def copied(self) -> "FakePapers":
        return FakePapers(dict(self.asked), dict(self.held), self.last)

    def add(self, asked: AskedPaper) -> AskedPaper:
        there = self.of_key(asked.key)
        if there is not None:
            return there
        self.last += 1
        self.asked[self.last] = kept = replace(asked, id=self.last)
        return kept

    def get(self, paper_id: int) -> AskedPaper | None:
        return self.asked.get(paper_id)

    def of_key(self, key: str) -> AskedPaper | None:
        return next((each for each in self.asked.values() if each.key == key), None)

    def waiting(self, reference: str, paper: str) -> AskedPaper | None:
        for each in self.asked.values():
            if (each.reference, each.paper, each.state) == (reference, paper, PaperState.WAITING):
                return each
        return None

    def latest(self, papers: Collection[str], most: int) -> Sequence[AskedPaper]:
        found = [each for each in reversed(self.asked.values()) if each.paper in papers]
        return tuple(found[:most])

    def is_due(self, at: datetime) -> bool:
        return any(self._due(each, at) for each in self.asked.values())

    def take(self, holder: str, at: datetime, until: datetime) -> AskedPaper | None:
        for each in self.asked.values():
            if self._due(each, at):
                self.held[each.id] = (holder, until)
                taken = replace(
                    each, state=PaperState.MAKING, tries=each.tries + 1, done=0, parts=0
                )
                self.asked[each.id] = taken
                return taken
        return None

    def hold(self, asked: AskedPaper, holder: str, until: datetime) -> bool:
        if not self._is_held(asked, holder):
            return False
        self.held[asked.id] = (holder, until)
        there = self.asked[asked.id]
        self.asked[asked.id] = replace(there, done=asked.done, parts=asked.parts)
        return True

    def end(self, asked: AskedPaper, holder: str) -> bool:
        if not self._is_held(asked, holder):
            return False
        self.asked[asked.id] = asked
        return True

    def again(self, paper_id: int) -> None:
        there = self.asked[paper_id]
        self.asked[paper_id] = replace(
            there, state=PaperState.WAITING, done=0, parts=0, tries=0, fault=""
        )

    def clear(self, before: datetime) -> Sequence[AskedPaper]:
        over = [
            each
            for each in self.asked.values()
            if each.asked_at < before and each.state is not PaperState.MAKING
        ]
        for each in over:
            del self.asked[each.id]
        return tuple(over)

    def _is_held(self, asked: AskedPaper, holder: str) -> bool:
        there = self.asked.get(asked.id)
        making = there is not None and there.state is PaperState.MAKING
        return making and self.held.get(asked.id, ("",))[0] == holder

    def _due(self, each: AskedPaper, at: datetime) -> bool:
        if each.state is PaperState.MAKING:
            return self.held[each.id][1] < at
        return each.state is PaperState.WAITING
