"""The store as the services know it: units of work over one transaction each."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from functools import cached_property

from sqlalchemy import Connection

from wholekit.domain.picking import BagEvent
from wholekit.domain.stock import Movement
from wholekit.store.accounts import SqlAccounts
from wholekit.store.audit import SqlAudit
from wholekit.store.catalogs import SqlCatalogs
from wholekit.store.engine import Place
from wholekit.store.jobs import SqlJobs
from wholekit.store.migrate import require_current
from wholekit.store.numbers import SqlNumbers
from wholekit.store.order_rows import event_values
from wholekit.store.orders import SqlOrders
from wholekit.store.papers import SqlPapers
from wholekit.store.parties import SqlCustomers, SqlPeople, SqlPolicy, SqlSheets, SqlShipTos
from wholekit.store.price_sheets import SqlPlannedRises, SqlPriceSheets
from wholekit.store.purchases import SqlPurchases
from wholekit.store.revisions import SqlRevisions
from wholekit.store.stock import SqlStock
from wholekit.store.wares import SqlWares


class SqlUnitOfWork:
    """All repositories over one transaction."""

    def __init__(self, connection: Connection) -> None:
        self._connection = connection

    @cached_property
    def jobs(self) -> SqlJobs:
        """Jobs."""
        return SqlJobs(self._connection)

    @cached_property
    def revisions(self) -> SqlRevisions:
        """Revisions."""
        return SqlRevisions(self._connection)

    @cached_property
    def customers(self) -> SqlCustomers:
        """Customers."""
        return SqlCustomers(self._connection)

    @cached_property
    def sheets(self) -> SqlSheets:
        """What was chosen of customers' sheets."""
        return SqlSheets(self._connection)

    @cached_property
    def ship_tos(self) -> SqlShipTos:
        """Ship-to places."""
        return SqlShipTos(self._connection)

    @cached_property
    def people(self) -> SqlPeople:
        """People."""
        return SqlPeople(self._connection)

    @cached_property
    def policy(self) -> SqlPolicy:
        """The owner's settings."""
        return SqlPolicy(self._connection)

    @cached_property
    def catalogs(self) -> SqlCatalogs:
        """Catalogues."""
        return SqlCatalogs(self._connection)

    @cached_property
    def price_sheets(self) -> SqlPriceSheets:
        """What was told of suppliers' price sheets."""
        return SqlPriceSheets(self._connection)

    @cached_property
    def planned_rises(self) -> SqlPlannedRises:
        """Rises not loaded yet."""
        return SqlPlannedRises(self._connection)

    @cached_property
    def stock(self) -> SqlStock:
        """Stock."""
        return SqlStock(self._connection)

    @cached_property
    def wares(self) -> SqlWares:
        """Items as the pick room knows them."""
        return SqlWares(self._connection)

    @cached_property
    def orders(self) -> SqlOrders:
        """Orders of the pick room."""
        return SqlOrders(self._connection)

    @cached_property
    def purchases(self) -> SqlPurchases:
        """Purchase orders."""
        return SqlPurchases(self._connection)

    @cached_property
    def accounts(self) -> SqlAccounts:
        """Accounts, seats and tries."""
        return SqlAccounts(self._connection)

    @cached_property
    def papers(self) -> SqlPapers:
        """Papers that were asked for."""
        return SqlPapers(self._connection)

    @cached_property
    def audit(self) -> SqlAudit:
        """The audit log."""
        return SqlAudit(self._connection)

    @cached_property
    def numbers(self) -> SqlNumbers:
        """Running numbers."""
        return SqlNumbers(self._connection)

    def count_scan(self, bag_id: str, event: BagEvent, movements: Sequence[Movement]) -> None:
        """What happened to a bag, with the movements that it is, none of it there before."""
        self.stock.move(movements, {"events": [event_values(bag_id, event)]})

    def commit(self) -> None:
        """Make everything of this unit of work last; it is then at its end."""
        self._connection.commit()


class SqlStore:
    """Where units of work come from: a place that was found fit for use."""

    def __init__(self, place: Place) -> None:
        """Makes the tables where there are none. Raises StoreError for an older, newer or foreign
        store, which is left as it is."""
        require_current(place)
        self.place = place

    @contextmanager
    def reading(self) -> Iterator[SqlUnitOfWork]:
        """A unit of work over one consistent view; nothing can be changed in it."""
        with self.place.reading() as connection:
            yield SqlUnitOfWork(connection)

    @contextmanager
    def writing(self) -> Iterator[SqlUnitOfWork]:
        """A unit of work that may change things; left without commit, nothing has happened."""
        with self.place.changing() as connection:
            yield SqlUnitOfWork(connection)

    def close(self) -> None:
        """Let go of every connection."""
        self.place.close()
