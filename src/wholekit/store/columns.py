"""What the columns of all tables are made of: their kinds, their rules, their one register."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Any, ClassVar

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    Connection,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    event,
    text,
)

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s",
    "pk": "pk_%(table_name)s",
}
METADATA = MetaData(naming_convention=NAMES)
WHOLE = BigInteger().with_variant(Integer(), "sqlite")
# Both engines order and compare texts by code point.
WORDS = Text().with_variant(Text(collation="C"), "postgresql")


class Row:
    """What a row of a table holds, column by column; to declare one puts its table on the register.

    The annotations say what a row that was read holds. No object is made of these classes: an ORM
    would take longer to import and to declare than most commands take to answer.
    """

    __tablename__: ClassVar[str]
    # Constraints and indexes, then the options of the table.
    __table_args__: ClassVar[tuple[Any, ...]]

    def __init_subclass__(cls) -> None:
        """Make the table."""
        columns = [value for value in vars(cls).values() if isinstance(value, Column)]
        for name, value in vars(cls).items():
            if isinstance(value, Column):
                value.name = value.key = name
        *rules, options = cls.__table_args__
        Table(cls.__tablename__, METADATA, *columns, *rules, **options)


def index_where(name: str, *columns: str, where: str) -> Index:
    """An index over some rows only, none of them twice."""
    return Index(name, *columns, unique=True, sqlite_where=text(where), info={"where": where})


@event.listens_for(METADATA, "before_create")
def _say_where(metadata: MetaData, connection: Connection, **_: object) -> None:
    """Tell PostgreSQL which rows an index is over.

    Not where it is declared: that would import every driver's dialect for a store on SQLite.
    """
    if connection.dialect.name == "postgresql":
        for table in metadata.tables.values():
            for index in table.indexes:
                if "where" in index.info:
                    options = index.dialect_options["postgresql"]
                    options["where"] = text(index.info["where"])


def rule(name: str, sql: str) -> CheckConstraint:
    """What every row must hold to."""
    return CheckConstraint(sql, name=name)


def one_of(column: str, values: Iterable[StrEnum]) -> CheckConstraint:
    """A column holds nothing but these values."""
    listed = ", ".join(f"'{value.value}'" for value in values)
    return CheckConstraint(f"{column} IN ({listed})", name=column)


def counted_key() -> Any:  # noqa: ANN401
    """A key that the database counts up."""
    return Column(WHOLE, primary_key=True, autoincrement=True)


def whole(*, empty: bool = False, key: bool = False, to: str = "", unique: bool = False) -> Any:  # noqa: ANN401
    """A whole number: a count, minor units, ten-thousandths, nanometres, or 0 and 1.

    to: `table.column` it refers to.
    """
    foreign = [ForeignKey(to)] if to else []
    return Column(
        WHOLE,
        *foreign,
        nullable=empty,
        primary_key=key,
        unique=unique or None,
        autoincrement=False,
    )


def words(*, empty: bool = False, key: bool = False, to: str = "", unique: bool = False) -> Any:  # noqa: ANN401
    """A text, a date, a moment, a fraction or JSON."""
    foreign = [ForeignKey(to)] if to else []
    return Column(WORDS, *foreign, nullable=empty, primary_key=key, unique=unique or None)


STRICT = {"sqlite_strict": True}
KEYED = {"sqlite_strict": True, "sqlite_with_rowid": False}
COUNTED = {"sqlite_strict": True, "sqlite_autoincrement": True}
