"""Whatever a browser or a machine sends: a page in words, never a fault of the program."""

import io

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.support.accounts import KEYS, proven, with_accounts
from tests.support.databases import ENGINES
from tests.support.jobs import furnished
from tests.web.test_routes import ROUTES, methods_of, path_of

from wholekit.services import jobs
from wholekit.services.accounts import give_token
from wholekit.web.guards import HEADERS

HUGE = str(10**30)
ODD = ["", "0", "-1", HUGE, "é", "J-1", "Q-1/1", "1" * 400, "%00", "..", "x" * 3_000, "\u202e"]


@pytest.fixture
def desk(tmp_path):
    """On a store that is kept, whose numbers have an end."""
    store = ENGINES["sqlite"](tmp_path)
    yield with_accounts(furnished(store))
    store.close()


@pytest.fixture
def odo(at, desk):
    jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    return at("odo")


@pytest.mark.parametrize("odd", ODD)
def test_an_odd_address_is_answered_by_a_page(odo, odd):
    for path in ("/jobs/{}", "/jobs/{}/review", "/jobs/{}/questions", "/jobs/1/openings/{}",
                 "/quotes/{}/1", "/quotes/Q-1/{}", "/papers/Q-1/{}/pick-list.pdf",
                 "/picking/waves/{}", "/jobs?text={}", "/jobs?number={}", "/margins?by={}",
                 "/margins?since={}", "/margins?currency={}", "/rises?share={}",
                 "/discounts?currency={}", "/customers?text={}", "/customers?number={}",
                 "/customers/{}", "/ship-tos/{}", "/log?who={}", "/log?day={}", "/log?job={}",
                 "/log?number={}", "/house/rules?text={}", "/slow-stock?branch={}",
                 "/slow-stock?number={}",
                 "/stock-value?on={}", "/catalogs/{}", "/catalogs/tarrowby?text={}",
                 "/catalogs/tarrowby?number={}", "/catalogs/tarrowby?series={}",
                 "/catalogs/tarrowby/items/{}", "/catalogs/{}/load", "/catalogs-by-holes?holes={}",
                 "/picking/waves/1?into={}"):  # fmt: skip
        answer = odo.get(path.format(odd))
        assert answer.status_code < 500, path
        # Where the address itself cannot be one, what is asked is another page.
        if answer.status_code != 307:
            assert "<html" in answer.text or answer.status_code == 303, (path, answer.status_code)


@pytest.mark.parametrize("odd", ODD)
def test_an_odd_call_of_a_machine_is_answered_in_one_shape(odo, desk, odd):
    token = give_token(desk, proven("odo"), KEYS, "odo", "till", 9).token
    head = {"authorization": f"Bearer {token}"}
    for path in ("/api/jobs/{}", "/api/quotes/Q-1/{}", "/api/orders/{}/1", "/api/waves/{}",
                 "/api/jobs?skip={}"):  # fmt: skip
        answer = odo.client.get(path.format(odd), headers=head)
        assert answer.status_code < 500, path
        if answer.status_code >= 400:
            assert set(answer.json()) == {"code", "said"}, path
    for number in (HUGE, "1"):
        body = {"scan": odd, "into": odd, "scan_id": odd[:80]}
        answer = odo.client.post(f"/api/waves/{number}/scans", json=body, headers=head)
        assert answer.status_code < 500


WORDS = st.text(max_size=30) | st.sampled_from([*ODD[:8], "accept", "choose", "line", "short"])
NAMES = st.sampled_from(
    ["deed", "name", "customer", "due", "lines", "mark", "words", "field", "answer", "data",
     "scan", "into", "sku", "packs", "by", "reason", "word", "code", "share", "line", "price",
     "quantity", "role", "old", "new", "again", "order", "most", "then", "values", "left_out",
     "column", "page", "language", "alternate", "day", "because"]
)  # fmt: skip


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.dictionaries(NAMES, WORDS, max_size=6))
def test_whatever_a_form_holds_it_is_answered(odo, fields):
    key = odo.key("/password")
    for route in ROUTES:
        if "POST" in methods_of(route) and route.path not in ("/sign-out", "/sign-in", "/password"):
            answer = odo.client.post(path_of(route), data={"form_key": key, **fields})
            assert answer.status_code < 500, (route.path, fields)


def test_a_long_sheet_goes_through_the_browser_and_back(odo, desk):
    rows = [f"{number},3070,1,HM,HM,INT,,{'note ' * 400}" for number in range(101, 601)]
    sheet = "\n".join(["Door No,Size,Qty,Mat'l,Frame,Int/Ext,Fire Rating,Remarks", *rows]).encode()
    assert len(sheet) > 1_000_000
    key = odo.key("/password")
    read = odo.client.post(
        "/jobs/1/sheet", data={"form_key": key}, files={"sheet": ("long.csv", io.BytesIO(sheet))}
    )
    assert "500 openings read" in read.text
    data = read.text.split('name="data" value="')[1].partition('"')[0]
    sent = {"form_key": (None, key), "data": (None, data), "name": (None, "long.csv")}
    assert odo.client.post("/jobs/1/sheet/take", files=sent).status_code == 303
    assert len(jobs.job_contents(desk, proven(), "1").openings) == 500


def test_a_fault_of_the_program_is_a_page_with_its_guards_and_no_inside(odo, monkeypatch):
    def broken(*_given, **_named):
        raise RuntimeError("secret inside")

    monkeypatch.setattr("wholekit.web.rooms.jobs.list_jobs", broken)
    odo.client._transport.raise_server_exceptions = False
    answer = odo.get("/jobs")
    assert answer.status_code == 500
    assert "a fault of its own" in answer.text
    assert "secret" not in answer.text
    assert all(answer.headers[name] == value for name, value in HEADERS.items())
