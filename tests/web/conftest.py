"""The screens over a store in memory, and somebody at a browser."""

import gc
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from datetime import datetime, timedelta
from html import unescape
from pathlib import Path
from re import search
from types import SimpleNamespace
from typing import Any

import pytest
from starlette.testclient import TestClient
from tests.support.accounts import KEYS, PASSWORD, with_accounts
from tests.support.fake_store import FakeStore
from tests.support.jobs import START, furnished

from wholekit.domain.house_style import HouseStyle
from wholekit.services.desk import Desk
from wholekit.web import app
from wholekit.web.app import app_of
from wholekit.web.paper_worker import PaperWorker
from wholekit.web.place import WebPlace
from wholekit.web.screens import looks, statics

LOOKS = looks()


class Clock:
    """A clock that a test sets."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now

    def passes(self, time: timedelta) -> None:
        self.now += time


class Browser:
    """Somebody's browser: forms are sent with the key of the page they stand on."""

    def __init__(self, client: TestClient, worker: PaperWorker) -> None:
        self.client = client
        self.worker = worker

    def get(self, path: str, **more: Any) -> Any:
        return self.client.get(path, **more)

    def paper(self, path: str) -> Any:
        """A paper, once it is made: where the page that waits for it leads on to."""
        if (answer := self.get(path)).status_code == 202:
            while self.worker.make_next():
                pass
            leads = search('data-then="([^"]+)"', answer.text)
            assert leads is not None
            assert f'href="{leads[1]}"' in answer.text, "without script too"
            answer = self.get(unescape(leads[1]))
        return answer

    def key(self, path: str) -> str:
        found = search(r'name="form_key" value="([^"]+)"', self.get(path).text)
        return found[1] if found else ""

    def post(self, path: str, on: str = "/password", **fields: object) -> Any:
        """Send a form from the page `on`."""
        return self.client.post(path, data={"form_key": self.key(on), **fields})

    def sign_in(self, name: str, password: str = PASSWORD) -> Any:
        self.client.cookies.clear()
        return self.post("/sign-in", on="/sign-in", name=name, password=password)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def desk() -> Desk:
    return with_accounts(furnished(FakeStore()))


@pytest.fixture
def style() -> HouseStyle:
    """The house's looks and its walk."""
    return HouseStyle()


@pytest.fixture(autouse=True)
def _collector_as_it_is(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A server collects once before it answers; here that would be before each browser.

    Two workers in one process, which two servers stand for here, may leave it all but switched off:
    each puts back what it found, and the second found what the first had set.
    """
    monkeypatch.setattr(app, "gc", SimpleNamespace(collect=lambda: 0, freeze=lambda: None))
    before = gc.get_threshold()
    yield
    gc.set_threshold(*before)


@pytest.fixture
def at(
    desk: Desk, clock: Clock, tmp_path: Path, style: HouseStyle
) -> Iterator[Callable[[str], Browser]]:
    """A browser of somebody who has signed in; of nobody for an empty name."""
    with ExitStack() as stack:
        place = WebPlace(desk, KEYS, LOOKS, statics(), lambda: style, tmp_path, clock=clock)

        def browser(name: str) -> Browser:
            client = TestClient(app_of(place), follow_redirects=False, client=("127.0.0.1", 50_000))
            made = Browser(stack.enter_context(client), PaperWorker(place))
            if name:
                assert made.sign_in(name).status_code == 303
            return made

        yield browser
