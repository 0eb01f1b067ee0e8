"""Accounts, seats and tries to sign in."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Row, and_, bindparam, func, or_, select

from wholekit.domain.accounts import PersonAccount, Seat, SignInTry
from wholekit.domain.errors import ConflictError
from wholekit.domain.quotes import Person
from wholekit.store import rows
from wholekit.store.mapping import person_of
from wholekit.store.tables import METADATA

ACCOUNT = METADATA.tables["account"]
SEAT = METADATA.tables["account_seat"]
TRY = METADATA.tables["sign_in_try"]
PERSON = METADATA.tables["person"]
# Asked with every page: put together once.
_SITTING = (
    select(SEAT, PERSON.c.role, PERSON.c.full_name, PERSON.c.version, ACCOUNT.c.must_change)
    .select_from(
        SEAT.join(PERSON, PERSON.c.name == SEAT.c.name).join(ACCOUNT, ACCOUNT.c.name == SEAT.c.name)
    )
    .where(SEAT.c.digest == bindparam("digest"))
)


class SqlAccounts:
    """Accounts by name."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def any(self) -> bool:
        """Whether anybody has an account."""
        return self._connection.execute(select(ACCOUNT.c.name).limit(1)).first() is not None

    def names(self) -> Sequence[str]:
        """Whoever has an account."""
        found = self._connection.execute(select(ACCOUNT.c.name).order_by(ACCOUNT.c.name))
        return tuple(found.scalars())

    def with_codes(self) -> Sequence[str]:
        """Whoever is asked for a one-time code."""
        asked = select(ACCOUNT.c.name).where(ACCOUNT.c.secret != "").order_by(ACCOUNT.c.name)
        return tuple(self._connection.execute(asked).scalars())

    def get(self, name: str) -> PersonAccount | None:
        """The account, or None."""
        row = self._connection.execute(select(ACCOUNT).where(ACCOUNT.c.name == name)).first()
        if row is None:
            return None
        return PersonAccount(
            row.name, row.password, row.secret, row.step, bool(row.must_change), row.version
        )

    def add(self, account: PersonAccount) -> None:
        """A new account. Raises ConflictError (`account-taken`)."""
        if not rows.add_unless_taken(self._connection, ACCOUNT, _values(account)):
            raise ConflictError("account-taken", who=account.name)

    def save(self, account: PersonAccount, expected: int) -> None:
        """An account anew. Raises ConflictError."""
        values = _values(account)
        rows.save(self._connection, ACCOUNT, ACCOUNT.c.name, values, expected, "account")

    def remove(self, name: str) -> None:
        """An account is no more; its seats are given up before."""
        self._connection.execute(ACCOUNT.delete().where(ACCOUNT.c.name == name))

    def seat(self, digest: str) -> Seat | None:
        """The seat that a token's digest shows, or None."""
        row = self._connection.execute(select(SEAT).where(SEAT.c.digest == digest)).first()
        return None if row is None else _seat(row)

    def sitting(self, digest: str) -> tuple[Seat, Person, bool] | None:
        """The same with its person, and whether a password is to be chosen first."""
        row = self._connection.execute(_SITTING, {"digest": digest}).first()
        return None if row is None else (_seat(row), person_of(row), bool(row.must_change))

    def seats(self, name: str) -> Sequence[Seat]:
        """All seats of a person, the latest first."""
        found = select(SEAT).where(SEAT.c.name == name)
        seats = map(_seat, self._connection.execute(found))
        return tuple(sorted(seats, key=lambda seat: (seat.opened_at, seat.digest), reverse=True))

    def sit(self, seat: Seat) -> None:
        """A new seat."""
        self._connection.execute(
            SEAT.insert().values(
                digest=seat.digest,
                name=seat.name,
                form_key=seat.form_key,
                opened_at=seat.opened_at.isoformat(),
                seen_at=seat.seen_at.isoformat(),
                ends_at=seat.ends_at.isoformat(),
                label=seat.label,
            )
        )

    def seen(self, digest: str, at: datetime) -> None:
        """A seat was used."""
        seen = SEAT.update().where(SEAT.c.digest == digest).values(seen_at=at.isoformat())
        self._connection.execute(seen)

    def stand(self, digests: Sequence[str]) -> None:
        """These seats are given up."""
        if digests:
            self._connection.execute(SEAT.delete().where(SEAT.c.digest.in_(digests)))

    def clear(self, before: datetime) -> None:
        """Seats that ended before, and tries made before, are forgotten."""
        over = [
            row.digest
            for row in self._connection.execute(select(SEAT.c.digest, SEAT.c.ends_at))
            if datetime.fromisoformat(row.ends_at) < before
        ]
        self.stand(over)
        self._connection.execute(TRY.delete().where(TRY.c.at < _seconds(before)))

    def tried(self, attempt: SignInTry) -> None:
        """Somebody tried to sign in."""
        self._connection.execute(
            TRY.insert().values(
                name=attempt.name,
                address=attempt.address,
                at=_seconds(attempt.at),
                good=int(attempt.good),
            )
        )

    def failures(self, name: str, address: str, since: datetime) -> tuple[int, int]:
        """Wrong tries since then: by the name after its last good one, and from the address."""
        last_good = (
            select(func.coalesce(func.max(TRY.c.id), 0))
            .where(TRY.c.name == name, TRY.c.good == 1)
            .scalar_subquery()
        )
        by_name = and_(TRY.c.name == name, TRY.c.id > last_good)
        by_address = TRY.c.address == address
        row = self._connection.execute(
            select(
                func.count().filter(by_name).label("by_name"),
                func.count().filter(by_address).label("by_address"),
            ).where(
                TRY.c.good == 0,
                TRY.c.at >= _seconds(since),
                or_(TRY.c.name == name, TRY.c.address == address),
            )
        ).one()
        return row.by_name, row.by_address


class NoAccounts(SqlAccounts):
    """Those of a store from before there were any."""

    def any(self) -> bool:
        """Nobody has one."""
        return False


def _seconds(at: datetime) -> int:
    return int(at.timestamp())


def _values(account: PersonAccount) -> dict[str, object]:
    return {
        "name": account.name,
        "password": account.password,
        "secret": account.secret,
        "step": account.step,
        "must_change": int(account.must_change),
        "version": account.version,
    }


def _seat(row: Row[Any]) -> Seat:
    return Seat(
        row.digest,
        row.name,
        row.form_key,
        datetime.fromisoformat(row.opened_at),
        datetime.fromisoformat(row.seen_at),
        datetime.fromisoformat(row.ends_at),
        row.label,
    )
