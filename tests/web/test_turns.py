"""Pages are worked out one after another, and none waits long for another."""

import asyncio

import pytest

from wholekit.web import guards
from wholekit.web.guards import Guard, Measures

START = {"type": "http.response.start", "status": 200, "headers": []}


def scope(path, method="GET"):
    return {"type": "http", "method": method, "path": path, "headers": []}


async def nothing():
    return {"type": "http.request"}


async def unheard(_message):
    """Nobody listens."""


class House:
    """Pages that take until they are let go of, or fail."""

    def __init__(self):
        self.guard = Guard(self.page, Measures(), secure=False)
        self.within, self.let_go = [], {}

    async def page(self, asked, _receive, send):
        self.within.append(asked["path"])
        if asked["path"] == "/fails":
            raise RuntimeError
        await self.let_go.setdefault(asked["path"], asyncio.Event()).wait()
        await send(START)
        # Still being fetched, which keeps nobody waiting.
        await self.let_go.setdefault("fetched", asyncio.Event()).wait()

    def ask(self, path, method="GET"):
        return asyncio.ensure_future(self.guard(scope(path, method), nothing, unheard))

    async def over(self, path):
        self.let_go.setdefault(path, asyncio.Event()).set()
        await settled()


async def settled():
    for _ in range(20):
        await asyncio.sleep(0)


def test_a_page_waits_until_the_one_before_is_worked_out_and_what_writes_does_not(monkeypatch):
    monkeypatch.setattr(guards, "LONGEST_WAIT", 600)

    async def day():
        house = House()
        asked = [house.ask("/one"), house.ask("/two"), house.ask("/scan", "POST")]
        await settled()
        assert house.within == ["/one", "/scan"]
        await house.over("/one")
        assert house.within == ["/one", "/scan", "/two"]
        for each in ("/two", "/scan", "fetched"):
            await house.over(each)
        await asyncio.gather(*asked)

    asyncio.run(day())


def test_a_page_that_fails_or_takes_long_keeps_nobody(monkeypatch):
    monkeypatch.setattr(guards, "LONGEST_WAIT", 0)

    async def day():
        house = House()
        with pytest.raises(RuntimeError):
            await house.ask("/fails")
        long = house.ask("/long")
        await settled()
        beside = house.ask("/beside")
        while "/beside" not in house.within:
            await asyncio.sleep(0)
        for each in ("/beside", "/long", "fetched"):
            await house.over(each)
        await asyncio.gather(long, beside)
        # Whoever went beside took no turn, and gave none back.
        monkeypatch.setattr(guards, "LONGEST_WAIT", 600)
        house.let_go.clear()
        asked = [house.ask("/one"), house.ask("/two")]
        await settled()
        assert house.within[-1] == "/one"
        for each in ("/one", "/two", "fetched"):
            await house.over(each)
        await asyncio.gather(*asked)

    asyncio.run(day())
