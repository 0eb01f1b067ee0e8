"""Accounts in memory."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from wholekit.domain.accounts import PersonAccount, Seat, SignInTry
from wholekit.domain.errors import ConflictError
from wholekit.domain.quotes import Person


@dataclass
class FakeAccounts:
    accounts: dict[str, PersonAccount] = field(default_factory=dict)
    taken: dict[str, Seat] = field(default_factory=dict)
    tries: tuple[SignInTry, ...] = ()
    # Those of the same unit of work, which the store lays beside.
    people: dict[str, Person] = field(default_factory=dict)

    def copied(self) -> "FakeAccounts":
        return FakeAccounts(dict(self.accounts), dict(self.taken), self.tries)

    def any(self) -> bool:
        return bool(self.accounts)

    def names(self) -> Sequence[str]:
        return tuple(sorted(self.accounts))

    def with_codes(self) -> Sequence[str]:
        return tuple(sorted(name for name, each in self.accounts.items() if each.secret))

    def get(self, name: str) -> PersonAccount | None:
        return self.accounts.get(name)

    def add(self, account: PersonAccount) -> None:
        if account.name in self.accounts:
            raise ConflictError("account-taken", who=account.name)
        self.accounts[account.name] = account

    def save(self, account: PersonAccount, expected: int) -> None:
        there = self.accounts.get(account.name)
        found = None if there is None else there.version
        if found != expected:
            raise ConflictError(
                "version-stale", what="account", id=account.name, expected=expected, found=found
            )
        self.accounts[account.name] = account

    def remove(self, name: str) -> None:
        self.accounts.pop(name, None)

    def seat(self, digest: str) -> Seat | None:
        return self.taken.get(digest)

    def sitting(self, digest: str) -> tuple[Seat, Person, bool] | None:
        seat = self.taken.get(digest)
        person = None if seat is None else self.people.get(seat.name)
        account = None if seat is None else self.accounts.get(seat.name)
        if seat is None or person is None or account is None:
            return None
        return seat, person, account.must_change

    def seats(self, name: str) -> Sequence[Seat]:
        found = [seat for seat in self.taken.values() if seat.name == name]
        return tuple(sorted(found, key=lambda seat: (seat.opened_at, seat.digest), reverse=True))

    def sit(self, seat: Seat) -> None:
        self.taken[seat.digest] = seat

    def seen(self, digest: str, at: datetime) -> None:
        self.taken[digest] = replace(self.taken[digest], seen_at=at)

    def stand(self, digests: Sequence[str]) -> None:
        for digest in digests:
            self.taken.pop(digest, None)

    def clear(self, before: datetime) -> None:
        self.stand([seat.digest for seat in self.taken.values() if seat.ends_at < before])
        self.tries = tuple(each for each in self.tries if each.at >= before)

    def tried(self, attempt: SignInTry) -> None:
        self.tries = (*self.tries, attempt)

    def failures(self, name: str, address: str, since: datetime) -> tuple[int, int]:
        wrong = [
            (at, each) for at, each in enumerate(self.tries) if not each.good and each.at >= since
        ]
        good = [at for at, each in enumerate(self.tries) if each.name == name and each.good]
        last = max(good, default=-1)
        return (
            sum(each.name == name and at > last for at, each in wrong),
            sum(each.address == address for _, each in wrong),
        )
