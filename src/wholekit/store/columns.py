"""What the columns of all tables are made of: their kinds, their rules, their one register."""

from collections.abc import Iterable
from enum import StrEnum
from typing import Any

from sqlalchemy import (
    BigInteger,
    CheckConstraint,
    Column,
    ForeignKey,
    Integer,
    MetaData,
    Text,
)
from sqlmodel import Field, SQLModel

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


class Row(SQLModel):
    """What all tables share: their own register, and names for every constraint."""

    metadata = METADATA


def rule(name: str, sql: str) -> CheckConstraint:
    """What every row must hold to."""
    return CheckConstraint(sql, name=name)


def one_of(column: str, values: Iterable[StrEnum]) -> CheckConstraint:
    """A column holds nothing but these values."""
    listed = ", ".join(f"'{value.value}'" for value in values)
    return CheckConstraint(f"{column} IN ({listed})", name=column)


def counted_key() -> Any:  # noqa: ANN401
    """A key that the database counts up."""
    return Field(default=None, sa_column=Column(WHOLE, primary_key=True, autoincrement=True))


def whole(*, empty: bool = False, key: bool = False, to: str = "") -> Any:  # noqa: ANN401
    """A whole number: a count, minor units, ten-thousandths, nanometres, or 0 and 1.

    to: `table.column` it refers to.
    """
    foreign = [ForeignKey(to)] if to else []
    column = Column(WHOLE, *foreign, nullable=empty, primary_key=key, autoincrement=False)
    return Field(sa_column=column)


def words(*, empty: bool = False, key: bool = False, to: str = "", unique: bool = False) -> Any:  # noqa: ANN401
    """A text, a date, a moment, a fraction or JSON."""
    foreign = [ForeignKey(to)] if to else []
    column = Column(WORDS, *foreign, nullable=empty, primary_key=key, unique=unique or None)
    return Field(sa_column=column)


STRICT = {"sqlite_strict": True}
KEYED = {"sqlite_strict": True, "sqlite_with_rowid": False}
COUNTED = {"sqlite_strict": True, "sqlite_autoincrement": True}
