"""A server on PostgreSQL by its address: job, sheet, quote and paper; killed while it writes."""

import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import datetime
from threading import Thread

import httpx2 as httpx
import pytest
from sqlalchemy import update
from tests.browser.conftest import PATIENCE, Shop, free_port
from tests.support.accounts import PASSWORD, with_accounts
from tests.support.databases import postgresql_store, url_of
from tests.support.jobs import furnished

from wholekit.services import jobs
from wholekit.services.desk import Deed, Desk
from wholekit.store.check import check_store
from wholekit.store.papers import ASKED

SHEET = b"Door No,Size,Qty,Mat'l,Frame,Int/Ext,Fire Rating\n201,3070,1,HM,HM,INT,90 MIN\n"
LINE = "{mark} 3070 hollow-metal/steel interior in LH accessible 689"
KILLS = 2


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    store = postgresql_store(tmp_path_factory.mktemp("none"))
    with closing(store):
        yield with_accounts(furnished(store))


@pytest.fixture(scope="module")
def server(desk: Desk, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    url = url_of(desk.store.place)  # type: ignore[attr-defined]  # a store that is kept
    made = Shop(tmp_path_factory.mktemp("home"), free_port(), url=url)
    made.start()
    yield made
    made.stop()


class Counter:
    """Somebody at the counter, whose browser has no script."""

    def __init__(self, server: Shop) -> None:
        self.client = httpx.Client(base_url=server.address, timeout=PATIENCE)
        self.key = self._key("/sign-in")
        told = {"name": "ines", "password": PASSWORD}
        assert self.post("/sign-in", **told).status_code == 303
        self.key = self._key("/password")

    def _key(self, path: str) -> str:
        text = self.client.get(path).text
        return text.split('name="form_key" value="')[1].split('"')[0]

    def post(self, path: str, files: object = None, **fields: str) -> httpx.Response:
        sent = {"form_key": self.key, **fields}
        return self.client.post(path, data=sent, files=files)  # type: ignore[arg-type]


@pytest.fixture
def counter() -> Iterator[Callable[[Shop], Counter]]:
    made: list[Counter] = []

    def sits(server: Shop) -> Counter:
        made.append(Counter(server))
        return made[-1]

    yield sits
    for each in made:
        each.client.close()


def held(desk: Desk) -> set[str]:
    deed = Deed("ines", datetime.now().astimezone(), proven=True)
    return {each.mark for each in jobs.job_contents(desk, deed, "1").openings}


def test_from_a_sheet_to_an_issued_quote_and_its_paper(
    server: Shop, desk: Desk, counter: Callable[[Shop], Counter]
):
    ines = counter(server)
    begun = ines.post("/jobs/new", name="Heron Quay School", customer="saltmarsh")
    assert begun.headers["location"] == "/jobs/1"
    read = ines.post("/jobs/1/sheet", files={"sheet": ("doors.csv", SHEET)}).text
    fields = {"column": "", "values": "", "left_out": "", "page": "", "name": "doors.csv"}
    data = read.split('name="data" value="')[1].split('"')[0]
    assert ines.post("/jobs/1/sheet/take", data=data, **fields).status_code == 303
    assert ines.post("/jobs/1/openings", lines=LINE.format(mark="101")).status_code == 303
    issued = ines.post("/jobs/1/issue", without_stopped="1")
    assert issued.headers["location"] == "/quotes/Q-00001/1", issued.text
    # The paper is asked for, and the server killed before or while it is made.
    paper = "/quotes/Q-00001/1/quote.pdf"
    assert ines.client.get(paper).status_code == 202
    server.kill()
    with desk.store.place.engine.begin() as connection:  # type: ignore[attr-defined]
        # What it held is held for a while yet: here that while is over.
        connection.execute(update(ASKED).values(held_until=0))
    server.start()
    until = time.monotonic() + 60
    while (answer := ines.client.get(paper)).status_code == 202:
        assert time.monotonic() < until
        time.sleep(0.3)
    assert answer.content.startswith(b"%PDF")


def test_what_was_confirmed_is_there_however_often_the_server_is_killed(
    server: Shop, desk: Desk, counter: Callable[[Shop], Counter]
):
    ines = counter(server)
    ines.post("/jobs/new", name="Heron Quay School", customer="saltmarsh")
    confirmed: set[str] = set()

    def write(kill: int) -> None:
        for number in range(10_000):
            mark = f"K{kill}-{number}"
            try:
                done = ines.post("/jobs/1/openings", lines=LINE.format(mark=mark))
            except httpx.TransportError:
                return
            if done.status_code == 303:
                confirmed.add(mark)

    for kill in range(KILLS):
        before = len(confirmed)
        writing = Thread(target=write, args=(kill,))
        writing.start()
        until = time.monotonic() + PATIENCE
        while len(confirmed) < before + 5 and time.monotonic() < until:
            time.sleep(0.01)
        server.kill()
        writing.join()
        server.start()
        assert len(confirmed) >= before + 5
        assert confirmed <= held(desk)
    # What was not confirmed is there whole or not at all.
    assert check_store(desk.store.place).faults == ()  # type: ignore[attr-defined]
    assert counter(server).client.get("/jobs/1").status_code == 200
