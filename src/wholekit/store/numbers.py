"""Running numbers without gaps or repeats."""

from sqlalchemy import Connection, select
from sqlalchemy.dialects import postgresql, sqlite

from wholekit.store.tables import METADATA

NUMBER = METADATA.tables["running_number"]


class SqlNumbers:
    """The running numbers of one unit of work."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def take(self, series: str) -> int:
        """The next number of a series, from 1; without commit it is not taken.

        The row stays locked until the unit of work ends, so the next taker waits for it.
        """
        # No sequence of the database: those count on even where the transaction is undone, and a
        # gap in the numbers of quotes asks for an explanation. One statement, so that of two takers
        # at once the second waits and does not read the same number.
        make = postgresql.insert if self._connection.dialect.name == "postgresql" else sqlite.insert
        added = make(NUMBER).values(series=series, last=1)
        taken = added.on_conflict_do_update(
            index_elements=[NUMBER.c.series], set_={"last": NUMBER.c.last + 1}
        ).returning(NUMBER.c.last)
        return int(self._connection.execute(taken).scalar_one())

    def latest(self, series: str) -> int:
        """The number of a series that was taken last, 0 for none."""
        found = self._connection.execute(select(NUMBER.c.last).where(NUMBER.c.series == series))
        return int(found.scalar_one_or_none() or 0)
