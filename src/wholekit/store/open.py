"""From the settings to the store's place."""

from wholekit.settings import Settings
from wholekit.store.access import require_sqlite
from wholekit.store.engine import Place, postgresql_place, sqlite_place
from wholekit.store.errors import store_faults


def open_place(settings: Settings) -> Place:
    """The place the settings name; its folder is made where there is none. Raises StoreError."""
    if settings.database_url is not None:
        return postgresql_place(settings.database_url)
    # Before anything is made on the disk.
    require_sqlite()
    with store_faults(str(settings.store_file)):
        settings.home.mkdir(parents=True, exist_ok=True)
    return sqlite_place(settings.store_file)
