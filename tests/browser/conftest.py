"""A real server over a store of its own, and a real browser that reaches no other host."""

import os
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, Route, sync_playwright
from tests.support.accounts import PASSWORD, PEOPLE, proven
from tests.support.deeds import desk_on
from tests.support.house import sample
from tests.support.jobs import furnished, plain, set_stock

from wholekit.bootstrap import house_keys, open_store
from wholekit.domain.buying import Shortage
from wholekit.domain.catalog import item_key
from wholekit.domain.quotes import Person, State
from wholekit.domain.tax import ShipTo
from wholekit.services import buying, job_openings, jobs, orders, quotes
from wholekit.services.accounts import give_account
from wholekit.services.customers import set_person, set_ship_to
from wholekit.services.desk import Deed, Desk
from wholekit.settings import Settings

PATIENCE = 20
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
# A machine that does much else besides.
STARTS_IN = 60


def now(who: str) -> Deed:
    """A deed of today: the server's clock is the machine's."""
    return Deed(who, datetime.now().astimezone(), proven=True)


@dataclass
class Shop:
    """The server: where it is, and how it is killed and started again."""

    home: Path
    port: int
    process: subprocess.Popen[bytes] | None = None
    url: str = ""

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        at = {"WHOLEKIT_DATABASE_URL": self.url} if self.url else {}
        self.process = subprocess.Popen(
            [sys.executable, "-m", "wholekit", "serve", "--port", str(self.port)],
            env={**os.environ, "WHOLEKIT_HOME": str(self.home), **at},
            stdin=subprocess.DEVNULL,
            # Tests that run in the background have Ctrl-C ignored, which a child inherits.
            preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
        )
        until = time.monotonic() + STARTS_IN
        while time.monotonic() < until:
            try:
                with urlopen(f"{self.address}/health") as answer:  # noqa: S310  # our own server
                    assert answer.read() == b"well\n"
                return
            except (URLError, ConnectionError):
                time.sleep(0.1)
        raise TimeoutError(self.address)

    def power_cut(self) -> None:
        """Killed in the middle of whatever it does, and started again."""
        self.kill()
        self.start()

    def kill(self) -> None:
        """As a power cut would."""
        assert self.process is not None
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()

    def stop(self) -> int:
        """As Ctrl-C does; the status."""
        assert self.process is not None
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(PATIENCE)


def free_port() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
    return port


@pytest.fixture(scope="session")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    home = tmp_path_factory.mktemp("shop")
    with closing(open_store(Settings(home))) as store:
        desk = furnished(store)
        for name, role in PEOPLE.items():
            set_person(desk, Deed("odo", proven().at), Person(name, role))
        for name in PEOPLE:
            give_account(desk, now("odo"), house_keys(), name, PASSWORD)
        set_ship_to(desk, now("odo"), ShipTo("port", "Port Aldren"))
        set_stock(store, sample("tarrowby"), 30)
        job = jobs.create_job(desk, now("ines"), jobs.NewJob("Heron Quay School", "saltmarsh"))
        job_openings.add_openings(desk, now("ines"), job.label, [plain("101", 2), plain("102")])
        quotes.issue_quote(desk, now("odo"), job.label)
        quotes.close_quote(desk, now("odo"), "Q-1", State.ACCEPTED)
        orders.release_order(desk, now("odo"), "Q-1", orders.ToldRelease())
        item = item_key(sample("tarrowby").items[0])
        wanted = Shortage(item, Fraction(90), None, "Q-00001/1", "a bag")
        (bought,) = buying.place_orders(desk, now("odo"), shortages=[wanted])
        buying.send_order(desk, now("odo"), bought.label)
    made = Shop(home, free_port())
    made.start()
    yield made
    made.stop()


@pytest.fixture
def house(shop: Shop) -> Iterator[Desk]:
    """The store of the server, looked into and added to from beside."""
    with closing(open_store(Settings(shop.home))) as store:
        yield desk_on(store)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as play:
        browser = play.chromium.launch(
            executable_path=os.environ["CHROMIUM"], args=["--no-sandbox"]
        )
        yield browser
        browser.close()


@pytest.fixture
def enter(shop: Shop, chromium: Browser) -> Iterator[Callable[..., Page]]:
    """Somebody's browser, signed in; what it is told on its console must be nothing bad."""
    contexts: list[BrowserContext] = []
    told: list[str] = []

    def only_ours(route: Route) -> None:
        # The pages of the browser itself, which show a PDF, come from the browser.
        if not route.request.url.startswith((shop.address, "chrome:", "chrome-extension:")):
            told.append(f"asked {route.request.url}")
            route.abort()
        else:
            route.continue_()

    def browser(name: str, width: int = 1280, **options: object) -> Page:
        context = chromium.new_context(
            viewport={"width": width, "height": 900},
            **options,  # type: ignore[arg-type]  # the library's own options, as they are
        )
        contexts.append(context)
        context.route("**/*", only_ours)
        page = context.new_page()
        page.set_default_timeout(PATIENCE * 1000)
        page.on("pageerror", lambda error: told.append(str(error)))
        page.goto(f"{shop.address}/sign-in")
        page.fill("[name=name]", name)
        page.fill("[name=password]", PASSWORD)
        page.click("button.main")
        return page

    yield browser
    for context in contexts:
        context.close()
    assert told == []


def accessible(page: Page) -> None:
    """No violation of WCAG 2.2 A and AA that axe-core knows of, and nothing wider than the page."""
    # A press goes on before the style of the next page is there.
    page.wait_for_load_state("load")
    found = Axe().run(page, options={"runOnly": RULES, "resultTypes": ["violations"]})
    said = [
        f"{each['id']}: {node['html'][:160]}"
        for each in found.response["violations"]
        for node in each["nodes"]
    ]
    assert said == [], (page.url, said)
    fits(page)


def fits(page: Page) -> None:
    """Nothing is wider than the page."""
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    assert wide <= 0, (page.url, wide)
