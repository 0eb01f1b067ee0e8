"""Accounts: how somebody proves to be who they say, and for how long that holds.

A house without accounts takes names on trust; once there is one, nothing is done or read by
anybody who has not signed in.
"""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

from wholekit.domain.errors import CallError

# NIST SP 800-63B-4, 3.1.1.2 asks for fifteen where the password stands alone; from memory.
SHORTEST_PASSWORD = 15
# Hashing takes time that grows with the length: nobody may make the house work for nothing.
LONGEST_PASSWORD = 256
LEAST_SIGNS = 5
# A shift and its overtime; whoever goes away for half a day signs in again. Common practice.
LONGEST_SEAT = timedelta(hours=14)
IDLE_SEAT = timedelta(hours=4)
# Written anew at most so often: a page is read, and nothing more.
SEEN_EVERY = timedelta(minutes=5)
LONGEST_TOKEN = timedelta(days=366)
# Wrong tries within a quarter of an hour before the door stays shut, by name and by address.
TRY_WINDOW = timedelta(minutes=15)
MOST_BY_NAME, MOST_BY_ADDRESS = 6, 40
_LABEL = re.compile(r"[\w .,()/-]{1,60}")


@dataclass(frozen=True, slots=True)
class PersonAccount:
    """What proves that somebody is a person of the house.

    password: its hash. secret: of the one-time codes [base32], empty without. step: of the last
    one-time code that was taken [count of 30 s]. must_change: the password was given by an owner.
    version: counts changes, from 1.
    """

    name: str
    password: str
    secret: str = ""
    step: int = 0
    must_change: bool = False
    version: int = 1


@dataclass(frozen=True, slots=True)
class Seat:
    """A place somebody has taken: at a browser, or by a token at a machine.

    digest: of the token that shows it; form_key: what a form of this browser must bring; label:
    what a token is for, empty at a browser.
    """

    digest: str
    name: str
    form_key: str
    opened_at: datetime
    seen_at: datetime
    ends_at: datetime
    label: str = ""

    def holds(self, at: datetime) -> bool:
        """Whether it still counts."""
        if at >= self.ends_at:
            return False
        return bool(self.label) or at - self.seen_at < IDLE_SEAT

    def is_due(self, at: datetime) -> bool:
        """Whether it is time to write down that it was seen."""
        return at - self.seen_at >= SEEN_EVERY


@dataclass(frozen=True, slots=True)
class SignInTry:
    """Somebody tried to sign in from an address; good: and could."""

    name: str
    address: str
    at: datetime
    good: bool


def need_password(password: str, name: str) -> str:
    """The password, if it may be one. Raises CallError."""
    if len(password) < SHORTEST_PASSWORD:
        raise CallError("password-short", least=SHORTEST_PASSWORD)
    if len(password) > LONGEST_PASSWORD:
        raise CallError("password-long", most=LONGEST_PASSWORD)
    own = password.casefold().replace(name.casefold(), "") if name else password.casefold()
    # Neither one sign over and over nor one's own name is a secret.
    if len(set(own)) < LEAST_SIGNS:
        raise CallError("password-plain")
    return password


def need_label(label: str) -> str:
    """What a token is for. Raises CallError."""
    said = " ".join(label.split())
    if not _LABEL.fullmatch(said):
        raise CallError("token-label-wrong", given=label)
    return said
