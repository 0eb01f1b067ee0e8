"""One view of the store for a whole page: its services see one moment, and what several of them ask
is asked once."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import cast

from wholekit.services.asked_once import Gathered, Once
from wholekit.services.desk import Desk
from wholekit.services.ports import Store, UnitOfWork

# Whose answers are values, and stand still as long as the view does.
ONCE = ("jobs", "people", "customers", "ship_tos", "policy", "catalogs")


@contextmanager
def one_view(desk: Desk) -> Iterator[Desk]:
    """The desk over one consistent view of its store, for reading alone. What was changed since it
    was opened is not seen in it, so nobody keeps one from page to page."""
    with desk.store.reading() as uow:
        seen = Gathered(uow, {name: Once(getattr(uow, name)) for name in ONCE})
        yield replace(desk, store=cast("Store", _OneView(cast("UnitOfWork", seen))))


@dataclass(frozen=True, slots=True)
class _OneView:
    """A store that gives the one unit of work that is open; nothing is written through it."""

    uow: UnitOfWork

    @contextmanager
    def reading(self) -> Iterator[UnitOfWork]:
        yield self.uow
