"""One suite, every store: the fake in memory and those that are kept."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import pytest
from tests.support.databases import ENGINES, copied_store
from tests.support.fake_store import CountedIds, FakeStore
from tests.support.jobs import desk_on, furnished

from wholekit.services.desk import Desk
from wholekit.services.ports import Store
from wholekit.store.unit_of_work import SqlStore

# Each makes an empty store with its files, if it has any, in the folder given.
STORES: dict[str, Callable[[Path], Store]] = {"fake": lambda folder: FakeStore(), **ENGINES}


@dataclass(frozen=True)
class Prepared:
    """The house after some work on a kind of store: done once, and copied for each test."""

    kind: str
    work: Callable[[Desk], Any]

    def __call__(self, store: Store) -> None:
        desk = furnished(store)
        _DONE[self] = desk, self.work(desk)

    def copied(self, folder: Path) -> tuple[Desk, Any]:
        """A desk over a store of its own, and what the work gave."""
        if self.kind == "fake":
            if self not in _DONE:
                self(FakeStore())
            kept = _DONE[self][0].store
            assert isinstance(kept, FakeStore)
            store: Store = kept.copied()
        else:
            store = copied_store(self.kind, folder, self)
        desk, given = _DONE[self]
        assert isinstance(desk.ids, CountedIds)
        return replace(desk_on(store), ids=desk.ids.copied()), given


_DONE: dict[Prepared, tuple[Desk, Any]] = {}


def no_work(_desk: Desk) -> None:
    """The house alone."""


@pytest.fixture(params=sorted(STORES))
def kind(request: pytest.FixtureRequest) -> str:
    """The store's name."""
    name: str = request.param
    return name


@pytest.fixture
def prepared(kind: str, tmp_path: Path) -> Iterator[Callable[[Callable[[Desk], Any]], Any]]:
    """Desks over copies of the house after some work, each with what the work gave."""
    made: list[Desk] = []

    def after(work: Callable[[Desk], Any]) -> tuple[Desk, Any]:
        desk, given = Prepared(kind, work).copied(tmp_path)
        made.append(desk)
        return desk, given

    yield after
    for desk in made:
        if isinstance(desk.store, SqlStore):
            desk.store.close()


@pytest.fixture
def desk(prepared: Callable[[Callable[[Desk], Any]], Any]) -> Desk:
    made: Desk = prepared(no_work)[0]
    return made


@pytest.fixture
def empty_store(kind: str, tmp_path: Path) -> Iterator[Store]:
    made = STORES[kind](tmp_path)
    yield made
    if isinstance(made, SqlStore):
        made.close()


@pytest.fixture
def store(request: pytest.FixtureRequest, kind: str) -> Store:  # for its parameters
    """The desk's, or an empty one for a test without a desk."""
    found: Store
    if "desk" in request.fixturenames:
        found = request.getfixturevalue("desk").store
    else:
        found = request.getfixturevalue("empty_store")
    return found
