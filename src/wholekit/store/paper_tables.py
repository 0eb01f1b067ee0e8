"""The table of papers that were asked for."""

from sqlalchemy import Index, UniqueConstraint

from wholekit.services.paper_port import PaperState
from wholekit.store.columns import COUNTED, Row, counted_key, one_of, rule, whole, words


class AskedPaperRow(Row, table=True):
    """A paper that is to be made, is being made, or was. asked_at, held_until: seconds since 1970,
    so that zones do not disturb the order. taken_by: who makes it, or made it last."""

    __tablename__ = "asked_paper"
    __table_args__ = (
        UniqueConstraint("key"),
        Index("ix_asked_paper_state", "state"),
        one_of("state", PaperState),
        rule("key", "length(key) = 64"),
        rule("done", "done >= 0 AND done <= parts"),
        rule("tries", "tries >= 0"),
        COUNTED,
    )
    id: int = counted_key()
    key: str = words()
    reference: str = words()
    paper: str = words()
    asked_by: str = words()
    asked_at: int = whole()
    language: str = words()
    state: str = words()
    done: int = whole()
    parts: int = whole()
    tries: int = whole()
    taken_by: str = words()
    held_until: int = whole()
    fault: str = words()
