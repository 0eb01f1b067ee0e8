"""One suite, every store: the fake in memory and those that are kept."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from tests.support.databases import ENGINES
from tests.support.fake_store import FakeStore
from tests.support.jobs import furnished

from wholekit.services.desk import Desk
from wholekit.services.ports import Store
from wholekit.store.unit_of_work import SqlStore

# Each makes an empty store with its files, if it has any, in the folder given.
STORES: dict[str, Callable[[Path], Store]] = {"fake": lambda folder: FakeStore(), **ENGINES}


@pytest.fixture(params=sorted(STORES))
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Store]:
    made = STORES[request.param](tmp_path)
    yield made
    if isinstance(made, SqlStore):
        made.close()


@pytest.fixture
def desk(store: Store) -> Desk:
    return furnished(store)
