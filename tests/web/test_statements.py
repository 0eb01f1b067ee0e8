"""How often each page asks the store: a fixed number, however much there is to show."""

from collections.abc import Iterator
from contextlib import contextmanager
from fractions import Fraction

from sqlalchemy import event
from starlette.testclient import TestClient
from tests.support.accounts import KEYS, proven, with_accounts
from tests.support.databases import ENGINES
from tests.support.house import sample
from tests.support.jobs import furnished, plain, set_stock
from tests.support.pick_room import pack
from tests.web.conftest import LOOKS, Browser
from tests.web.test_routes import KNOWN, ROUTES, methods_of

from wholekit.domain.buying import Shortage
from wholekit.domain.catalog import item_key
from wholekit.domain.customers import Customer
from wholekit.domain.house_style import HouseStyle
from wholekit.domain.quotes import Person, PersonRole, State
from wholekit.domain.tax import ShipTo
from wholekit.services import (
    buying,
    job_openings,
    jobs,
    orders,
    paper_queue,
    quotes,
    shipping,
    waves,
)
from wholekit.services.customers import add_customer, set_person, set_ship_to
from wholekit.web.app import app_of
from wholekit.web.paper_worker import PaperWorker
from wholekit.web.place import WebPlace
from wholekit.web.screens import statics

FEW, MANY = (2, 5), (5, 50)
# The parts of addresses: the job of many openings, its quote, the first wave, the first paper.
AT = {**KNOWN, "form": "xlsx"}
MOST = 60
LABELS = "/picking/waves/1/labels.pdf?order=Q-1/1"


def filled(desk, count, openings):
    """So many of everything, and the first job with so many openings."""
    odo = proven("odo")
    set_ship_to(desk, odo, ShipTo("port", "Port Aldren"))
    bodies = [item for item in sample("tarrowby").items if not item.discontinued]
    for number in range(count):
        job = jobs.create_job(desk, proven(), jobs.NewJob(f"House {number}", "saltmarsh"))
        marks = [plain(f"{101 + each}") for each in range(2 if number else openings)]
        job_openings.add_openings(desk, proven(), job.label, marks)
        set_person(desk, odo, Person(f"carl-{number}", PersonRole.COUNTER))
        add_customer(desk, odo, Customer(f"quay-{number}", f"Quay {number}"))
        quotes.issue_quote(desk, odo, job.label)
        label = f"Q-{number + 1}"
        wanted = [
            Shortage(item_key(item), Fraction(400), None, label, f"bag {number}")
            for item in bodies[: openings + number]
        ]
        (bought,) = buying.place_orders(desk, odo, shortages=wanted)
        buying.send_order(desk, odo, bought.label)
        paper_queue.ask_papers(desk, odo, f"{label}/1", ["quote", "pick-list"], "en", "")
        quotes.close_quote(desk, odo, label, State.ACCEPTED)
        orders.release_order(desk, odo, label, orders.ToldRelease())
        wave = waves.open_wave(desk, odo, most=count + 2)
        # One closed bag leaves, another waits at the door.
        for row, _ in wave.bags[:2]:
            pack(desk, odo, wave.number, row.id)
        first, _bag = wave.bags[0]
        shipping.ship_bags(desk, odo, wave.orders[first.order].label, [first.id])
        # One that is still open, with a newer revision, and one that waits for the owner.
        open_job = jobs.create_job(desk, proven(), jobs.NewJob(f"Open {number}", "saltmarsh"))
        job_openings.add_openings(desk, proven(), open_job.label, [plain("1")])
        quotes.issue_quote(desk, odo, open_job.label)
        job_openings.add_openings(desk, proven(), open_job.label, [plain("2")])
        quotes.issue_quote(desk, odo, open_job.label)
        asked = jobs.create_job(desk, proven(), jobs.NewJob(f"Low {number}", "saltmarsh"))
        job_openings.add_openings(desk, proven(), asked.label, [plain("1")])
        jobs.set_discount(desk, proven(), asked.label, Fraction(30, 100), "large job")
        quotes.issue_quote(desk, proven(), asked.label)


@contextmanager
def statements(store) -> Iterator[list[str]]:
    told: list[str] = []

    def tell(_connection, _cursor, statement, *_more):
        # What SQLite is told of how to open is no question.
        if not statement.startswith(("PRAGMA", "BEGIN")):
            told.append(" ".join(statement.split()))

    event.listen(store.place.engine, "before_cursor_execute", tell)
    try:
        yield told
    finally:
        event.remove(store.place.engine, "before_cursor_execute", tell)


def paths():
    for route in ROUTES:
        if "GET" in methods_of(route):
            path = route.path
            for name, value in AT.items():
                path = path.replace("{" + name + "}", value)
            if path not in ("/metrics", "/sign-in", LABELS.partition("?")[0]):
                yield path
    yield LABELS
    yield "/shipping/1/1?gone=S-00001"
    yield "/margins?by=kit"
    yield "/rises?supplier=tarrowby&share=20%25"
    yield "/picking/waves/2"


def counted(folder, size):
    """What each page asks a store with so much in it, once everything was loaded."""
    folder.mkdir()
    store = ENGINES["sqlite"](folder)
    desk = with_accounts(furnished(store))
    set_stock(store, sample("tarrowby"), 300)
    filled(desk, *size)
    style = HouseStyle()
    clock = lambda: proven().at  # noqa: E731
    place = WebPlace(desk, KEYS, LOOKS, statics(), lambda: style, folder, clock=clock)
    found = {}
    with TestClient(app_of(place), follow_redirects=False) as client:
        browser = Browser(client, PaperWorker(place))
        browser.sign_in("odo")
        for path in paths():
            assert browser.get(path).status_code in (200, 202), path
            with statements(store) as told:
                browser.get(path)
            found[path] = list(told)
    store.close()
    return found


def test_each_page_asks_as_often_however_much_there_is(tmp_path):
    few, many = counted(tmp_path / "few", FEW), counted(tmp_path / "many", MANY)
    grown = {
        path: [len(few[path]), len(many[path])]
        for path in few
        if len(few[path]) != len(many[path]) or len(few[path]) > MOST
    }
    assert grown == {}
