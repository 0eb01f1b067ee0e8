"""What signing in asks of a store, and of whoever makes and checks secrets."""

from collections.abc import Sequence
from datetime import datetime
from typing import Protocol

from wholekit.domain.accounts import PersonAccount, Seat, SignInTry
from wholekit.domain.quotes import Person


class AccountRepository(Protocol):
    """Accounts by name, the seats that were taken, and who tried to take one."""

    def any(self) -> bool:
        """Whether anybody has an account."""

    def names(self) -> Sequence[str]:
        """Whoever has an account."""

    def with_codes(self) -> Sequence[str]:
        """Whoever is asked for a one-time code."""

    def get(self, name: str) -> PersonAccount | None:
        """The account, or None."""

    def add(self, account: PersonAccount) -> None:
        """A new account. Raises ConflictError (`account-taken`)."""

    def save(self, account: PersonAccount, expected: int) -> None:
        """An account anew. Raises ConflictError."""

    def remove(self, name: str) -> None:
        """An account is no more; its seats are given up before."""

    def seat(self, digest: str) -> Seat | None:
        """The seat that a token's digest shows, or None."""

    def sitting(self, digest: str) -> tuple[Seat, Person, bool] | None:
        """The same with its person, and whether a password is to be chosen first; None where any
        of them is gone. One question."""

    def seats(self, name: str) -> Sequence[Seat]:
        """All seats of a person, the latest first."""

    def sit(self, seat: Seat) -> None:
        """A new seat."""

    def seen(self, digest: str, at: datetime) -> None:
        """A seat was used."""

    def stand(self, digests: Sequence[str]) -> None:
        """These seats are given up."""

    def clear(self, before: datetime) -> None:
        """Seats that ended before, and tries made before, are forgotten."""

    def tried(self, attempt: SignInTry) -> None:
        """Somebody tried to sign in."""

    def failures(self, name: str, address: str, since: datetime) -> tuple[int, int]:
        """Wrong tries since then: by the name after its last good one, and from the address
        [count each]."""


class Keys(Protocol):
    """Secrets made and checked."""

    def hashed(self, password: str) -> str:
        """The hash of a password, with its salt."""

    def fits(self, password: str, hashed: str) -> bool:
        """Whether a password is the one that was hashed."""

    def is_old(self, hashed: str) -> bool:
        """Whether the hash was made in a way that is no longer ours."""

    def token(self) -> str:
        """A token that nobody can guess."""

    def digest(self, token: str) -> str:
        """What is kept of a token."""

    def words(self) -> str:
        """A password to tell somebody at the counter once."""

    def secret(self) -> str:
        """A new secret of one-time codes [base32]."""

    def address(self, secret: str, name: str, house: str) -> str:
        """A secret as an authenticator reads it off a code."""

    def step_of(self, secret: str, code: str, at: datetime) -> int | None:
        """The step [count of 30 s] whose one-time code this is, now or one step off; None where
        it is none."""
