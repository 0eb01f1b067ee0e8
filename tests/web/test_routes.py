"""Every route against every role: nothing answers, and nothing is told, that may not be."""

from email import message_from_bytes
from io import BytesIO
from zipfile import ZipFile

import pytest
from fastapi.routing import APIRoute
from pypdf import PdfReader
from tests.support.accounts import PEOPLE, proven
from tests.support.jobs import plain

from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.bag_id import BagId
from wholekit.domain.quotes.roles import RIGHTS
from wholekit.domain.tax import LineKind
from wholekit.services import job_lines, job_openings, jobs, quotes
from wholekit.web.app import ROOMS
from wholekit.web.guards import HEADERS
from wholekit.web.seats import actions_of, posted
from wholekit.web.workbooks import XLSX

# What answers nobody in particular.
OPEN = {"/health", "/metrics", "/sign-in"}
ROUTES = [route for room in ROOMS for route in room.room.routes if isinstance(route, APIRoute)]
KNOWN = {"number": "1", "quote": "Q-1", "revision": "1", "name": "pick-list", "wave": "1",
         "mark": "101", "code": "saltmarsh", "place": "port", "form": "eml",
         "catalog": "tarrowby", "sku:path": "TG-B1", "paper": "1",
         "bag": str(BagId(1, 1, 1, 1)), "shipment": "1", "purchase": "1",
         "kind": "csv"}  # fmt: skip
# A cost that no page of anybody but an owner may hold, in any form.
COST = "4711.0815"


@pytest.fixture
def desk(desk):
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), job.label, [plain("101", 2)])
    van = job_lines.NewExtra(
        LineKind.OTHER, "Van", 1, Money(10_000, "USD"), Cost(47_110_815, "USD")
    )
    job_lines.add_extra(desk, proven(), job.label, van)
    quotes.issue_quote(desk, proven("odo"), job.label)
    return desk


def methods_of(route):
    return route.methods or set()


def actions(route):
    """What a route asks a right for."""
    found = (seating.action for seating in actions_of(route.dependant))
    return {action for action in found if action is not None}


def text_of(answer):
    kind = answer.headers["content-type"]
    if kind == XLSX:
        with ZipFile(BytesIO(answer.content)) as book:
            return "".join(book.read(name).decode() for name in book.namelist())
    if kind == "message/rfc822":
        mail = message_from_bytes(answer.content)
        parts = [part.get_payload(decode=True) for part in mail.walk()]
        whole = [part for part in parts if isinstance(part, bytes)]
        return "".join(_printed(part) if part[:4] == b"%PDF" else part.decode() for part in whole)
    if kind != "application/pdf":
        return answer.text
    return _printed(answer.content)


def _printed(content):
    pages = PdfReader(BytesIO(content)).pages
    return "".join(page.extract_text() for page in pages)


def path_of(route):
    path = route.path
    for name, value in KNOWN.items():
        path = path.replace("{" + name + "}", value)
    assert "{" not in path, f"give {path} something to be asked about"
    return path


def test_every_route_asks_who_sits_there_but_those_that_are_open():
    for route in ROUTES:
        assert bool(actions_of(route.dependant)) != (route.path in OPEN), route.path


def test_every_form_is_known_by_its_key():
    for route in ROUTES:
        if "POST" in methods_of(route):
            assert any(inner.call is posted for inner in route.dependant.dependencies), route.path


@pytest.mark.parametrize("name", sorted(PEOPLE))
def test_no_page_answers_a_role_that_may_not_or_fails(at, name):
    browser = at(name)
    for route in ROUTES:
        if route.path in OPEN or "GET" not in methods_of(route):
            continue
        answer = browser.paper(path_of(route))
        wanted = actions(route)
        if all(PEOPLE[name] in RIGHTS[action] for action in wanted):
            assert answer.status_code in (200, 404), (route.path, answer.status_code)
        else:
            assert answer.status_code == 403, (route.path, answer.status_code)
        if name != "odo":
            assert "4711" not in text_of(answer), route.path


@pytest.mark.parametrize("name", sorted(PEOPLE))
def test_no_form_is_taken_from_a_role_that_may_not(at, desk, name):
    browser = at(name)
    key = browser.key("/password")
    for route in ROUTES:
        if "POST" not in methods_of(route) or route.path in OPEN | {"/sign-out"}:
            continue
        wanted = actions(route)
        with desk.store.reading() as uow:
            before = uow.state
        answer = browser.client.post(path_of(route), data={"form_key": key})
        assert answer.status_code < 500, route.path
        if not all(PEOPLE[name] in RIGHTS[action] for action in wanted):
            assert answer.status_code == 403, (route.path, answer.status_code)
            with desk.store.reading() as uow:
                assert uow.state == before


def test_every_answer_bears_the_headers_that_keep_strangers_out(at):
    for name in ("", "ines"):
        for path in ("/", "/sign-in", "/jobs", "/no-such-page", "/static/house.css", "/health"):
            headers = at(name).get(path).headers
            assert all(headers[known] == value for known, value in HEADERS.items()), path


def test_pages_bring_no_script_or_style_of_their_own_and_nothing_from_elsewhere(at):
    browser = at("odo")
    for route in ROUTES:
        if "GET" in methods_of(route) and route.path not in ("/health", "/metrics"):
            answer = browser.get(path_of(route))
            if not answer.headers["content-type"].startswith("text/html"):
                continue
            text = answer.text
            assert "://" not in text, route.path
            assert "<style" not in text, route.path
            assert " style=" not in text, route.path
            assert " onclick" not in text, route.path
            assert text.count("<script") == text.count('<script src="/static/'), route.path


def test_what_is_too_large_is_refused(at):
    ines = at("ines")
    kind = {"content-type": "application/x-www-form-urlencoded"}
    answer = ines.client.post("/jobs/new", content=b"x" * (26 * 1024 * 1024), headers=kind)
    assert answer.status_code == 413


def test_what_is_too_large_and_does_not_say_so_is_refused_as_well(at):
    """Sent piece by piece, without a length."""
    pieces = (b"lines=" + b"x" * 1_000_000 for _ in range(27))
    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert at("ines").client.post("/jobs/new", content=pieces, headers=kind).status_code == 413


def test_measures_are_told_to_this_machine_alone(at):
    ines = at("ines")
    ines.get("/jobs")
    assert 'wholekit_answers_total{method="GET",status="200"}' in ines.get("/metrics").text
