"""What is bought and what comes of it, through the browser: cost for the owner alone."""

import re

import pytest
from tests.support.accounts import proven
from tests.support.house import sample
from tests.support.jobs import plain, set_stock
from tests.web.test_routes import text_of

from wholekit.domain.quotes import State
from wholekit.services import job_openings, jobs, orders, quotes
from wholekit.services.order_port import BagFilter
from wholekit.services.stock import ToldItem, show_stock


@pytest.fixture
def odo(at, desk):
    """A released order that the shelf has nothing of."""
    set_stock(desk.store, sample("tarrowby"), 0)
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), job.label, [plain("101"), plain("102")])
    quotes.issue_quote(desk, proven("odo"), job.label)
    quotes.close_quote(desk, proven("odo"), "Q-1", State.ACCEPTED)
    orders.release_order(desk, proven("odo"), "Q-1", orders.ToldRelease())
    return at("odo")


def placed(odo):
    """An order that the supplier has."""
    assert odo.post("/buying", note="By the back door").status_code == 303
    assert odo.post("/buying/P-00001", deed="send").headers["location"] == "/buying/P-00001"


def lines(page):
    """Code, ordered, came and still to come, by line."""
    rows = re.findall(r'<th scope="row">([^<]+)<small.*?</tr>', page, re.DOTALL)
    cells = re.findall(
        r'<th scope="row">[^<]+<small.*?data-label="Ordered">(\d+)<.*?data-label="Came">(\d+)'
        r'.*?data-label="Still to come">(?:<b>)?(\d+)',
        page,
        re.DOTALL,
    )
    return [(sku, *map(int, each)) for sku, each in zip(rows, cells, strict=True)]


def test_the_buy_list_becomes_an_order_with_its_papers_for_the_owner_alone(at, odo):
    page = odo.get("/buying").text
    assert "Tarrowby Closer Company" in page
    placed(odo)
    again = odo.post("/buying")
    assert (again.status_code, "Nothing is to be bought" in again.text) == (422, True)
    page = odo.get("/buying/P-1").text
    assert "By the back door" in page
    skus = [sku for sku, *_ in lines(page)]
    csv = odo.get("/buying/P-1/as/csv")
    assert csv.headers["content-disposition"] == 'attachment; filename="P-00001.csv"'
    pdf = text_of(odo.paper("/buying/P-1/order.pdf"))
    assert all(sku in csv.text and sku in pdf for sku in skus)
    assert odo.get("/buying/P-1/as/ubl").content.startswith(b"<?xml")
    assert odo.get("/buying/P-1/as/else").status_code == 404
    assert odo.get("/buying/P-9").status_code == 404
    (asked,) = re.findall(r'href="(/papers/asked/\d+)"', odo.get("/papers").text)
    for name in ("ines", "sam", "pia"):
        other = at(name)
        for path in (
            "/buying",
            "/buying/P-1",
            "/buying/P-1/as/csv",
            "/buying/P-1/order.pdf",
            asked,
        ):
            assert other.get(path).status_code in (403, 404), (name, path)
        assert "P-00001" not in other.get("/papers").text


def test_an_order_is_cancelled_for_a_reason_until_something_came(odo):
    assert odo.post("/buying").status_code == 303
    assert odo.get("/receiving/P-1").status_code == 422, "the supplier does not have it yet"
    assert odo.post("/buying/P-1", deed="cancel", reason="twice").status_code == 303
    assert "called off" in odo.get("/buying/P-1").text
    assert odo.post("/buying/P-1", deed="send").status_code == 422


def test_goods_are_taken_in_by_scan_and_by_count_without_money(at, odo, desk):
    placed(odo)
    pia = at("pia")
    assert "/receiving/P-00001" in pia.get("/receiving").text
    at_order = "/receiving/P-00001"
    expected = lines(pia.get(at_order).text)
    sku, ordered = expected[0][0], expected[0][1]
    scanned = pia.post(at_order, deed="scan", scan=sku, scan_id="one")
    assert 'data-answer="right"' in scanned.text
    # Sent twice, it counts once.
    assert "Counted before" in pia.post(at_order, deed="scan", scan=sku, scan_id="one").text
    assert lines(pia.get(at_order).text)[0][2:] == (1, ordered - 1)
    assert 'data-answer="right"' in pia.post(at_order, deed="undo").text
    assert lines(pia.get(at_order).text)[0][2:] == (0, ordered)
    # A label of a bag is refused on the same page.
    with desk.store.reading() as uow:
        bag = uow.orders.bags(BagFilter())[0].id
    label = pia.post(at_order, deed="scan", scan=bag)
    assert (label.status_code, 'data-answer="wrong"' in label.text) == (200, True)
    assert "s label. Scan the goods." in label.text
    wrong = pia.post(at_order, deed="scan", scan="NOT-OURS")
    assert 'data-answer="wrong"' in wrong.text
    assert pia.post(at_order, deed="count", **{f"packs {sku}": "many"}).status_code == 422
    assert pia.post(at_order, deed="count").status_code == 422, "nothing was counted"
    enter = pia.post(at_order, deed="scan", **{f"packs {sku}": "1"})
    assert (enter.status_code, "Nothing was taken in" in enter.text) == (422, True)
    assert f'name="packs {sku}" value="1"' in enter.text, "what was typed stays"
    counted = {f"packs {code}": str(count) for code, count, *_ in expected}
    ended = pia.post(at_order, deed="count", note="DN 7", **counted)
    assert ended.status_code == 303
    told = pia.get(ended.headers["location"]).text
    assert "Bags 101 and 102 lack nothing any more." in told
    assert [left for *_, left in lines(told)] == [0] * len(expected)
    assert "This order is through" in pia.get(at_order).text
    assert "<button" not in found(r"<main.*</main>", pia.get(at_order).text)
    # The same note again writes nothing.
    pia.post(at_order, deed="count", note="DN 7", **counted)
    assert [came for _, _, came, _ in lines(pia.get(at_order).text)] == [
        count for _, count, *_ in expected
    ]
    held = show_stock(desk, proven("odo"), ToldItem(sku))
    assert sum(each.on_hand for each in held.balances.values()) == ordered
    for page in (told, scanned.text, pia.get("/receiving").text):
        assert "USD" not in page
    assert at("ines").get("/receiving").status_code == 403
    assert "DN 7" in at("odo").get("/buying/P-1").text
    log = " ".join(re.sub("<[^>]+>", " ", at("odo").get("/log").text).split())
    assert (
        "purchase order sent to the supplier: P-00001, Tarrowby Closer Company draft → sent" in log
    )
    assert re.search(
        r"goods received: P-00001, Tarrowby Closer Company (sent|part) → closed \d+ packs more", log
    )


def found(pattern, text):
    match = re.search(pattern, text, re.DOTALL)
    assert match is not None, pattern
    return match[0]


def test_a_delivery_that_is_scanned_is_listed_until_it_is_ended(at, odo):
    """Its last scan closes the order; the goods are on the shelf and given to nobody yet."""
    placed(odo)
    pia, at_order = at("pia"), "/receiving/P-00001"
    end = "End the delivery: goods go to bags that wait</button>"
    last = ""
    for sku, ordered, *_ in lines(pia.get(at_order).text):
        last = pia.post(at_order, deed="scan", scan=f"{ordered}*{sku}", scan_id=sku).text
    assert "All that was ordered is scanned. The goods are not given out yet" in last
    assert last.count(end) == 1
    assert last.count(">Delivery note ") == 1
    for page in ("/receiving", "/"):
        shown = pia.get(page).text
        assert (end in shown, at_order in shown) == (True, True), page
        assert "No goods are expected" not in shown
        assert "USD" not in shown
    ended = pia.post(at_order, deed="end").headers["location"]
    assert "Bags 101 and 102 lack nothing any more." in pia.get(ended).text
    assert "No goods are expected" in pia.get("/receiving").text
    assert end not in pia.get("/").text
