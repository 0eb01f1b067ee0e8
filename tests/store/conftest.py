"""A store on each engine."""

import pytest
from tests.support.databases import ENGINES


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
