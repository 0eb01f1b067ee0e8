"""A store on each engine."""

import pytest
from tests.support.databases import ENGINES, copied_store
from tests.support.deeds import desk_on
from tests.support.jobs import a_job, by, furnished

from wholekit.services.quotes import issue_quote


@pytest.fixture(params=sorted(ENGINES))
def engine(request) -> str:
    """The engine's name."""
    return request.param


@pytest.fixture
def store(engine, tmp_path):
    """A new store on the engine."""
    opened = ENGINES[engine](tmp_path)
    yield opened
    opened.close()


def with_an_issued_quote(store) -> None:
    """The house, and a job of two openings that is issued."""
    furnished(store)
    desk = desk_on(store)
    assert issue_quote(desk, by(), a_job(desk, "101", "102").label).revision is not None


@pytest.fixture
def filled(engine, tmp_path):
    """A store with an issued quote of two openings."""
    opened = copied_store(engine, tmp_path, with_an_issued_quote)
    yield opened
    opened.close()
