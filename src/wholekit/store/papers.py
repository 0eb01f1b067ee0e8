"""Papers that were asked for, on both engines."""

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, Row, and_, or_, select, update

from wholekit.services.paper_port import AskedPaper, PaperState
from wholekit.store import rows
from wholekit.store.tables import METADATA

ASKED = METADATA.tables["asked_paper"]


class SqlPapers:
    """Papers by the order they were asked for in."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def add(self, asked: AskedPaper) -> AskedPaper:
        """The paper kept, or the one of that key that was asked for before."""
        values = {
            "key": asked.key,
            "reference": asked.reference,
            "paper": asked.paper,
            "asked_by": asked.asked_by,
            "asked_at": _seconds(asked.asked_at),
            "language": asked.language,
            "state": asked.state.value,
            "done": asked.done,
            "parts": asked.parts,
            "tries": asked.tries,
            "taken_by": "",
            "held_until": 0,
            "fault": asked.fault,
        }
        rows.add_unless_taken(self._connection, ASKED, values)
        found = self.of_key(asked.key)
        if found is None:
            raise LookupError(asked.key)
        return found

    def get(self, paper_id: int) -> AskedPaper | None:
        """The paper, or None."""
        return self._one(ASKED.c.id == paper_id)

    def of_key(self, key: str) -> AskedPaper | None:
        """The paper of a key, or None."""
        return self._one(ASKED.c.key == key)

    def waiting(self, reference: str, paper: str) -> AskedPaper | None:
        """One of these that nobody has begun, or None."""
        waits = ASKED.c.state == PaperState.WAITING.value
        return self._one(and_(waits, ASKED.c.reference == reference, ASKED.c.paper == paper))

    def latest(self, papers: Collection[str], most: int) -> Sequence[AskedPaper]:
        """Those of these papers that were asked for last, the latest first."""
        found = select(ASKED).where(ASKED.c.paper.in_(papers)).order_by(ASKED.c.id.desc())
        return tuple(map(_asked, self._connection.execute(found.limit(most))))

    def is_due(self, at: datetime) -> bool:
        """Whether any is to be begun, or was left by whoever held it."""
        due = select(ASKED.c.id).where(_due(at)).limit(1)
        return self._connection.execute(due).first() is not None

    def take(self, holder: str, at: datetime, until: datetime) -> AskedPaper | None:
        """The next paper, held by this holder until then; None where there is none to make."""
        # On PostgreSQL one that somebody else is taking is passed over; on SQLite one writes at a
        # time, and nothing of this is said to it.
        next_one = (
            select(ASKED.c.id)
            .where(_due(at))
            .order_by(ASKED.c.id)
            .limit(1)
            .with_for_update(skip_locked=True)
        )
        chosen = self._connection.execute(next_one).scalar()
        if chosen is None:
            return None
        taken = (
            update(ASKED)
            .where(ASKED.c.id == chosen)
            .values(
                state=PaperState.MAKING.value,
                tries=ASKED.c.tries + 1,
                taken_by=holder,
                held_until=_seconds(until),
                done=0,
                parts=0,
            )
        )
        self._connection.execute(taken)
        return self.get(chosen)

    def hold(self, asked: AskedPaper, holder: str, until: datetime) -> bool:
        """It is still being made, so far. False where it is no longer this holder's."""
        return self._change(
            asked, holder, done=asked.done, parts=asked.parts, held_until=_seconds(until)
        )

    def end(self, asked: AskedPaper, holder: str) -> bool:
        """It is done or failed, as it says. False where it is no longer this holder's."""
        return self._change(
            asked,
            holder,
            state=asked.state.value,
            done=asked.done,
            parts=asked.parts,
            tries=asked.tries,
            fault=asked.fault,
        )

    def again(self, paper_id: int) -> None:
        """It is made anew: it failed, or its file is gone."""
        anew = {"state": PaperState.WAITING.value, "done": 0, "parts": 0, "tries": 0, "fault": ""}
        self._connection.execute(update(ASKED).where(ASKED.c.id == paper_id).values(**anew))

    def clear(self, before: datetime) -> Sequence[AskedPaper]:
        """Those asked for before, which nobody is making, are forgotten; which they were."""
        over = and_(ASKED.c.asked_at < _seconds(before), ASKED.c.state != PaperState.MAKING.value)
        return tuple(
            map(_asked, self._connection.execute(ASKED.delete().where(over).returning(ASKED)))
        )

    def _one(self, condition: ColumnElement[bool]) -> AskedPaper | None:
        found = select(ASKED).where(condition).order_by(ASKED.c.id).limit(1)
        row = self._connection.execute(found).first()
        return None if row is None else _asked(row)

    def _change(self, asked: AskedPaper, holder: str, **values: object) -> bool:
        held = and_(
            ASKED.c.id == asked.id,
            ASKED.c.taken_by == holder,
            ASKED.c.state == PaperState.MAKING.value,
        )
        return self._connection.execute(update(ASKED).where(held).values(**values)).rowcount == 1


def _due(at: datetime) -> ColumnElement[bool]:
    left = and_(ASKED.c.state == PaperState.MAKING.value, ASKED.c.held_until < _seconds(at))
    return or_(ASKED.c.state == PaperState.WAITING.value, left)


def _seconds(at: datetime) -> int:
    return int(at.timestamp())


def _asked(row: Row[Any]) -> AskedPaper:
    return AskedPaper(
        row.key,
        row.reference,
        row.paper,
        row.asked_by,
        datetime.fromtimestamp(row.asked_at).astimezone(),
        row.language,
        row.id,
        PaperState(row.state),
        row.done,
        row.parts,
        row.tries,
        row.fault,
    )
