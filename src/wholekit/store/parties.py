"""Customers, ship-to places, people of the house, and the owner's settings."""

from collections.abc import Collection, Mapping, Sequence
from datetime import datetime

from sqlalchemy import Connection, bindparam, func, select

from wholekit.domain.customers import Customer
from wholekit.domain.errors import ConflictError
from wholekit.domain.openings.sheet import KeptChoices, SheetChoices
from wholekit.domain.quotes import HousePolicy, Person
from wholekit.domain.tax import ShipTo
from wholekit.services.ports import Page
from wholekit.store import mapping, rows
from wholekit.store.plain_text import from_text, to_text
from wholekit.store.tables import METADATA

CUSTOMER = METADATA.tables["customer"]
SHEET = METADATA.tables["customer_sheet"]
SHIP_TO = METADATA.tables["ship_to"]
PERSON = METADATA.tables["person"]
POLICY = METADATA.tables["house_policy"]
ACCOUNT = METADATA.tables["account"]
# Made once, since every action and every read begins with it.
_STANDING = select(PERSON, select(ACCOUNT.c.name).exists().label("accounts")).where(
    PERSON.c.name == bindparam("_name")
)
# Shared, so that of two by one name neither waits. On SQLite a writer is alone anyway.
_STANDING_HELD = _STANDING.with_for_update(read=True, of=PERSON)


class SqlCustomers:
    """Customers by code."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def get(self, code: str) -> Customer | None:
        """The customer, or None."""
        row = self._connection.execute(select(CUSTOMER).where(CUSTOMER.c.code == code)).first()
        return None if row is None else mapping.customer_of(row)

    def several(self, codes: Collection[str]) -> Mapping[str, Customer]:
        """Customers by code; those that are not there are left out."""
        found = self._connection.execute(select(CUSTOMER).where(CUSTOMER.c.code.in_(codes)))
        return {row.code: mapping.customer_of(row) for row in found}

    def add(self, customer: Customer) -> None:
        """A new customer. Raises ConflictError (`customer-taken`)."""
        values = mapping.customer_values(customer)
        if not rows.add_unless_taken(self._connection, CUSTOMER, values):
            raise ConflictError("customer-taken", name=customer.code)

    def save(self, customer: Customer, expected: int) -> None:
        """A customer anew. Raises ConflictError."""
        values = mapping.customer_values(customer)
        rows.save(self._connection, CUSTOMER, CUSTOMER.c.code, values, expected, "customer")

    def page(self, text: str, page: Page) -> tuple[Sequence[Customer], int]:
        """Customers by code whose code or name holds the text, and how many there are in all."""
        found = CUSTOMER.c.folded.contains(text.casefold(), autoescape=True)
        count = self._connection.execute(
            select(func.count()).select_from(CUSTOMER).where(found)
        ).scalar_one()
        shown = self._connection.execute(
            select(CUSTOMER)
            .where(found)
            .order_by(CUSTOMER.c.code)
            .limit(page.limit)
            .offset(page.offset)
        )
        return list(map(mapping.customer_of, shown)), count


class SqlSheets:
    """What was chosen of customers' sheets, by the customer's code."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def get(self, customer: str) -> KeptChoices | None:
        """The choices, or None."""
        found = select(SHEET).where(SHEET.c.customer == customer)
        row = self._connection.execute(found).first()
        if row is None:
            return None
        choices: SheetChoices = from_text(SheetChoices, row.choices)
        at = datetime.fromisoformat(row.chosen_at)
        return KeptChoices(row.customer, choices, at, row.chosen_by, row.version)

    def add(self, kept: KeptChoices) -> None:
        """The first choices of a customer. Raises ConflictError (`sheet-taken`)."""
        if not rows.add_unless_taken(self._connection, SHEET, _sheet_values(kept)):
            raise ConflictError("sheet-taken", name=kept.customer)

    def save(self, kept: KeptChoices, expected: int) -> None:
        """Choices anew. Raises ConflictError."""
        values = _sheet_values(kept)
        rows.save(self._connection, SHEET, SHEET.c.customer, values, expected, "sheet")


def _sheet_values(kept: KeptChoices) -> dict[str, object]:
    return {
        "customer": kept.customer,
        "choices": to_text(kept.choices),
        "chosen_at": kept.at.isoformat(),
        "chosen_by": kept.by,
        "version": kept.version,
    }


class SqlShipTos:
    """Ship-to places with their rates, by code."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def get(self, code: str) -> ShipTo | None:
        """The place, or None."""
        row = self._connection.execute(select(SHIP_TO).where(SHIP_TO.c.code == code)).first()
        return None if row is None else mapping.ship_to_of(row)

    def add(self, place: ShipTo) -> None:
        """A new place. Raises ConflictError (`ship-to-taken`)."""
        values = mapping.ship_to_values(place)
        if not rows.add_unless_taken(self._connection, SHIP_TO, values):
            raise ConflictError("ship-to-taken", name=place.code)

    def save(self, place: ShipTo, expected: int) -> None:
        """A place anew. Raises ConflictError."""
        values = mapping.ship_to_values(place)
        rows.save(self._connection, SHIP_TO, SHIP_TO.c.code, values, expected, "ship-to")

    def all(self) -> Sequence[ShipTo]:
        """Every place by code."""
        found = self._connection.execute(select(SHIP_TO).order_by(SHIP_TO.c.code))
        return tuple(map(mapping.ship_to_of, found))


class SqlPeople:
    """People of the house by name."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def get(self, name: str) -> Person | None:
        """The person, or None."""
        row = self._connection.execute(select(PERSON).where(PERSON.c.name == name)).first()
        return None if row is None else mapping.person_of(row)

    def standing(self, name: str, *, held: bool = False) -> tuple[Person, bool] | None:
        """The person, and whether anybody at all has an account, in one question; None for a name
        nobody has. held: nobody changes this person until the unit of work ends."""
        wanted = _STANDING_HELD if held else _STANDING
        row = self._connection.execute(wanted, {"_name": name}).first()
        return None if row is None else (mapping.person_of(row), bool(row.accounts))

    def add(self, person: Person) -> None:
        """A new person. Raises ConflictError (`person-taken`)."""
        if not rows.add_unless_taken(self._connection, PERSON, mapping.person_values(person)):
            raise ConflictError("person-taken", name=person.name)

    def save(self, person: Person, expected: int) -> None:
        """A person anew. Raises ConflictError."""
        values = mapping.person_values(person)
        rows.save(self._connection, PERSON, PERSON.c.name, values, expected, "person")

    def all(self) -> Sequence[Person]:
        """Everybody by name."""
        found = self._connection.execute(select(PERSON).order_by(PERSON.c.name))
        return tuple(map(mapping.person_of, found))


class PeopleOnTrust(SqlPeople):
    """Those of a store from before anybody had an account."""

    def standing(
        self,
        name: str,
        *,
        held: bool = False,  # noqa: ARG002  # as of all people
    ) -> tuple[Person, bool] | None:
        """The person, and that nobody has an account."""
        person = self.get(name)
        return None if person is None else (person, False)


class SqlPolicy:
    """The owner's settings: one row, once they were set."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    def get(self) -> HousePolicy:
        """The settings; the defaults, at version 1, until someone sets them."""
        row = self._connection.execute(select(POLICY)).first()
        if row is None:
            return HousePolicy()
        policy: HousePolicy = from_text(HousePolicy, row.data)
        return policy

    def save(self, policy: HousePolicy, expected: int) -> None:
        """The settings anew. Raises ConflictError."""
        values = {"id": 1, "data": to_text(policy), "version": policy.version}
        # The defaults are version 1 without having a row.
        if expected == HousePolicy().version and rows.add_unless_taken(
            self._connection, POLICY, values
        ):
            return
        rows.save(self._connection, POLICY, POLICY.c.id, values, expected, "policy")
