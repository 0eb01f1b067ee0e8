"""The whole store as a file: it holds every cost, and in its place goes every record."""

from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed
from wholekit.services.ports import Store
from wholekit.services.rights import needs


@needs(Action.COPY_STORE)
def allow_copy(store: Store, deed: Deed) -> None:
    """Returns for who may back up the store, or put a backup in its place. Raises CallError."""
