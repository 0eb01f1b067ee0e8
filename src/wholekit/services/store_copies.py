"""The whole store as a file: it holds every cost, and in its place goes every record."""

from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed
from wholekit.services.ports import UnitOfWork
from wholekit.services.rights import need_right


def allow_copy(uow: UnitOfWork, deed: Deed) -> None:
    """Returns for who may back up the store, or put a backup in its place. Raises CallError."""
    need_right(uow, deed, Action.COPY_STORE)
