"""Keys that cost little, and people who can sign in."""

from argon2 import PasswordHasher
from tests.support.jobs import by

from wholekit.domain.quotes import Person, PersonRole
from wholekit.keys.house_keys import HouseKeys
from wholekit.services.accounts import give_account
from wholekit.services.customers import set_person
from wholekit.services.desk import Deed, Desk

# The least that the library takes: what is tested is not how long guessing takes.
KEYS = HouseKeys(PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
PASSWORD = "harbour lantern mosaic"  # noqa: S105  # of the house in tests alone
PEOPLE = {
    "ines": PersonRole.COUNTER,
    "sam": PersonRole.SALES,
    "pia": PersonRole.PICKER,
    "odo": PersonRole.OWNER,
}


def proven(who: str = "ines", days: int = 0) -> Deed:
    """A deed of somebody who has signed in."""
    at = by(who, days).at
    return Deed(who, at, proven=True)


def with_accounts(desk: Desk) -> Desk:
    """The house, everybody of it with an account."""
    for name, role in PEOPLE.items():
        set_person(desk, by("odo"), Person(name, role))
    for name in PEOPLE:
        give_account(desk, proven("odo"), KEYS, name, PASSWORD)
    return desk
