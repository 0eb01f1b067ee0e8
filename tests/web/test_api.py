"""Machines: a token each, the same services, no cost in any answer."""

import json

import pytest
from starlette.testclient import TestClient
from tests.support.accounts import KEYS, PEOPLE, proven, with_accounts
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import START, furnished, set_stock

from wholekit.domain.quotes import State
from wholekit.services import orders, quotes
from wholekit.services.accounts import ToldSignIn, end_seats, give_account, give_token, sign_in
from wholekit.web.app import app_of
from wholekit.web.place import WebPlace
from wholekit.web.screens import looks, statics

LINE = "101 3070 hollow-metal/steel interior in LH accessible 689 x2"


@pytest.fixture
def house():
    made = with_accounts(furnished(FakeStore()))
    set_stock(made.store, sample("tarrowby"), 9)
    return made


@pytest.fixture
def door(house, clock, tmp_path):
    place = WebPlace(house, KEYS, looks(), statics(), papers=tmp_path, clock=clock)
    with TestClient(app_of(place)) as client:
        yield client


def bearer(house, name="ines"):
    taken = give_token(house, proven("odo"), KEYS, name, "till 2", 9)
    return {"authorization": f"Bearer {taken.token}"}


def test_without_a_token_nothing_is_told(door):
    for path in ("/api/jobs", "/api/orders", "/api/jobs/1"):
        answer = door.get(path)
        assert (answer.status_code, answer.json()["code"]) == (401, "token-asked")
    assert door.get("/api/jobs", headers={"authorization": "Bearer x"}).status_code == 401


def test_a_token_that_was_ended_no_longer_holds(door, house):
    head = bearer(house)
    assert door.get("/api/jobs", headers=head).status_code == 200
    end_seats(house, proven("odo"), "ines", "till 2")
    assert door.get("/api/jobs", headers=head).status_code == 401


def test_whoever_has_a_password_to_change_is_answered_nothing(door, house):
    told = give_account(house, proven("odo"), KEYS, "ines")
    taken = sign_in(house.store, KEYS, START, ToldSignIn("ines", told))
    head = {"authorization": f"Bearer {taken.token}"}
    assert door.get("/api/jobs", headers=head).status_code == 401


def test_from_a_job_to_a_picked_bag_by_machine(door, house):
    head = bearer(house)
    made = door.post("/api/jobs", json={"name": "Tern", "customer": "saltmarsh"}, headers=head)
    assert (made.status_code, made.json()["job"]) == (201, "J-00001")
    (seen,) = door.post("/api/jobs/1/preview", json={"lines": [LINE]}, headers=head).json()
    job = door.post("/api/jobs/1/openings", json={"lines": [LINE]}, headers=head).json()
    (opening,) = job["openings"]
    assert opening["price"] == seen["price"]
    issued = door.post("/api/jobs/1/issue", json={}, headers=head)
    assert issued.json()["revision"]["quote"] == "Q-00001/1"
    quote = door.get("/api/quotes/Q-1/1", headers=head).json()
    assert quote["totals"]["hardware"] == seen["price"]
    quotes.close_quote(house, proven("odo"), "Q-1", State.ACCEPTED)
    orders.release_order(house, proven("odo"), "Q-1", orders.ToldRelease())
    picker = bearer(house, "pia")
    wave = door.post("/api/waves", headers=picker).json()
    bag = wave["bags"][0]["bag"]
    at = f"/api/waves/{wave['wave']}/scans"
    said = door.post(at, json={"scan": bag}, headers=picker).json()
    assert (said["right"], said["into"]) == (True, bag)
    sku = wave["walk"][0]["sku"]
    scan = {"scan": sku, "into": bag, "scan_id": "s1"}
    assert door.post(at, json=scan, headers=picker).json()["right"]
    again = door.post(at, json=scan, headers=picker).json()
    assert "Counted before" in again["said"][0]
    wrong = door.post(at, json={"scan": "NOT-OURS", "into": bag}, headers=picker).json()
    assert (wrong["right"], wrong["into"]) == (False, bag)
    assert door.get("/api/orders/Q-1/1", headers=picker).json()["order"] == "Q-00001/1"


def test_each_role_is_answered_as_the_table_of_rights_has_it(door, house):
    for name in PEOPLE:
        head = bearer(house, name)
        sells = name != "pia"
        assert door.get("/api/jobs", headers=head).status_code == (200 if sells else 403)
        picks = name in ("pia", "odo")
        assert door.post("/api/waves", headers=head).status_code == (422 if picks else 403)


@pytest.mark.parametrize(
    ("path", "body", "status"),
    [
        ("/api/jobs", {}, 422),
        ("/api/jobs", {"name": "x", "customer": "nobody"}, 404),
        ("/api/jobs/77/openings", {"lines": [LINE]}, 404),
        ("/api/jobs/77/preview", {"lines": ["101 3070 gold-plated"]}, 422),
        ("/api/jobs/77/issue", {}, 404),
        ("/api/no-such-thing", {}, 404),
    ],
)
def test_what_is_wrong_is_told_in_one_shape(door, house, path, body, status):
    answer = door.post(path, json=body, headers=bearer(house, "odo"))
    assert answer.status_code == status
    assert set(answer.json()) == {"code", "said"}


def test_what_it_answers_is_described_and_holds_no_cost(door):
    described = door.get("/api/openapi.json").json()
    assert "/jobs/{job}/preview" in described["paths"]
    names = json.dumps(described["components"]["schemas"])
    for word in ('"cost"', "margin_share", "markup", "earned"):
        assert word not in names
