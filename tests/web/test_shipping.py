"""At the door, through the browser: closed bags leave once, their papers tell just them."""

import re
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction

import pytest
from tests.support.accounts import proven
from tests.support.house import sample
from tests.support.jobs import plain, set_stock
from tests.support.pick_room import pack
from tests.web.test_routes import text_of

from wholekit.domain.errors import CallError
from wholekit.domain.orders import BagState
from wholekit.domain.quotes import State
from wholekit.domain.quotes.roles import Action
from wholekit.services import job_openings, jobs, orders, quotes, shipping, waves
from wholekit.services.order_port import BagFilter
from wholekit.services.paper_port import PaperState
from wholekit.wording.accounts import ERRORS as ACCOUNT_ERRORS
from wholekit.wording.errors import ERRORS
from wholekit.wording.job_sentences import ERRORS as JOB_ERRORS
from wholekit.wording.page_problems import CALLS_ON_PAGE, say_error_on_page, without_commands
from wholekit.wording.pick_room import ERRORS as PICK_ROOM_ERRORS
from wholekit.wording.purchases import ERRORS as PURCHASE_ERRORS
from wholekit.wording.stock import ERRORS as STOCK_ERRORS

AT = "/shipping/Q-00001/1"


@pytest.fixture
def bags(desk):
    """Three bags of one order: two closed, one in the wave."""
    set_stock(desk.store, sample("tarrowby"), 9)
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    marks = [plain(mark) for mark in ("101", "102", "103")]
    job_openings.add_openings(desk, proven(), job.label, marks)
    quotes.issue_quote(desk, proven("odo"), job.label)
    quotes.close_quote(desk, proven("odo"), "Q-1", State.ACCEPTED)
    orders.release_order(desk, proven("odo"), "Q-1", orders.ToldRelease())
    wave = waves.open_wave(desk, proven("pia"))
    found = [row.id for row, _ in wave.bags]
    for bag in found[:2]:
        pack(desk, proven("pia"), wave.number, bag)
    return found


def leave(pia, **fields):
    """Bags leave: shown first, then by one press on what was shown."""
    shown = pia.post(AT, on=AT, **fields)
    if shown.status_code != 200:
        return shown
    asked = re.findall(r'type="hidden" name="(bag|way|reference|received_by)" value="([^"]*)"',
                       shown.text)  # fmt: skip
    told = {name: value for name, value in asked if name != "bag"}
    bags = [value for name, value in asked if name == "bag"]
    return pia.post(AT, on=AT, deed="leave", bag=bags, **told)


def chosen(page):
    return re.findall(r'name="bag" value="([^"]+)" checked', page)


def test_a_scanned_bag_leaves_alone_and_the_rest_by_one_press(at, bags, desk):
    pia = at("pia")
    assert AT in pia.get("/shipping").text
    there = pia.post("/shipping", on="/shipping", scan=bags[1].lower()).headers["location"]
    assert chosen(pia.get(there).text) == [bags[1]]
    fields = {"bag": bags[1], "way": "will-call", "received_by": "Ada Ferris"}
    # Nothing leaves before the list of what leaves was seen.
    shown = pia.post(AT, on=AT, deed="ship", **fields)
    assert (shown.status_code, bags[1] in shown.text, bags[0] in shown.text) == (200, True, False)
    assert "Ada Ferris" in shown.text
    back = pia.post(AT, on=AT, deed="back", **fields).text
    assert (chosen(back), 'value="Ada Ferris"' in back) == ([bags[1]], True)
    assert shipping.list_shipments(desk, proven("odo"), "Q-1")[1] == ()
    nobody = pia.post(AT, on=AT, deed="ship", bag=bags[1], way="will-call", received_by=" ")
    assert (nobody.status_code, "Say who took them" in nobody.text) == (422, True)
    unseen = pia.post(AT, on=AT, deed="leave", bag=bags[1], way="will-call")
    assert unseen.status_code == 422
    answer = leave(pia, deed="ship", **fields)
    gone = pia.get(answer.headers["location"]).text
    assert "S-00001" in gone
    assert "called for, Ada Ferris" in gone
    # Pressed twice, it is told and nothing leaves twice.
    assert pia.post(AT, on=AT, deed="leave", **fields).status_code == 422
    assert pia.post(AT, on=AT, deed="ship", **fields).status_code == 422
    assert leave(pia, deed="all", every=bags[0]).status_code == 303
    shipped = [[bag.id for bag in each] for _, each in
               shipping.list_shipments(desk, proven("odo"), "Q-1")[1]]  # fmt: skip
    assert shipped == [[bags[1]], [bags[0]]]


def test_a_scan_beside_the_list_checks_a_bag_off_and_ships_nothing(at, bags, desk):
    """Whoever scans there presses Enter: the form's first button is what that presses."""
    pia = at("pia")
    shown = pia.post(AT, on=AT, deed="ship", bag=bags[1]).text
    form = found(r'<form method="post" action="/shipping/.*?</form>', shown)
    assert re.findall(r"<button[^>]*", form)[0].startswith('<button name="deed" value="check"')
    assert re.findall(r"<(\w+)[^>]*\bautofocus", shown) == ["input"]

    def scanned(code, deed="check", **more):
        return pia.post(AT, on=AT, deed=deed, bag=bags[1], scan=code, **more).text

    right = scanned(bags[1].lower())
    assert 'data-answer="right"' in right
    assert "1 of 1 checked off" in right
    assert f'name="checked" value="{bags[1]}"' in right
    other = scanned(bags[0], checked=bags[1])
    assert 'data-answer="wrong"' in other
    assert "Bag 101 is of this order, but not of this list" in other
    assert "1 of 1 checked off" in other, "what was checked stays so"
    assert "only a closed bag is shipped" in scanned(bags[2])
    for code in ("NOT-OURS", "", bags[0], bags[1]):
        deed = "leave" if code else "check"
        assert "about to leave" in scanned(code, deed), "a code in the field: nothing leaves"
    assert shipping.list_shipments(desk, proven("odo"), "Q-1")[1] == ()


def test_a_slip_is_of_exactly_its_shipment_and_without_money(at, bags):
    pia = at("pia")
    leave(pia, deed="ship", bag=bags[1])
    leave(pia, deed="ship", bag=bags[0])
    slips = [text_of(pia.paper(f"/shipments/{number}/slip.pdf")) for number in ("S-00001", "2")]
    assert (bags[1] in slips[0], bags[0] in slips[0]) == (True, False)
    assert (bags[1] in slips[1], bags[0] in slips[1]) == (False, True)
    assert "USD" not in "".join(slips)
    assert pia.get("/shipments/9/slip.pdf").status_code == 404


def test_a_bag_that_is_not_closed_or_none_is_refused_in_words(at, bags):
    pia = at("pia")
    assert "only a closed bag is shipped" in pia.post("/shipping", scan=bags[2]).text
    assert pia.post("/shipping", scan="junk").status_code == 404
    none = pia.post(AT, deed="ship")
    assert (none.status_code, "No bag was chosen" in none.text) == (422, True)
    kept = pia.post(AT, deed="choose", bag=bags[0], scan=bags[2], reference="W 7")
    assert chosen(kept.text) == [bags[0]]
    assert 'value="W 7"' in kept.text


def test_a_bag_tells_its_record_and_how_it_left(at, bags):
    pia = at("pia")
    leave(pia, deed="ship", bag=bags[0], reference="W 7")
    page = at("ines").get(f"/bags/{bags[0]}").text
    assert re.search(r"counted: 1 × \S+", page)
    assert re.search(r"shipped .* with S-00001, W 7", page)
    assert "/shipments/S-00001/slip.pdf" in page
    assert "USD" not in page
    assert "Ship" not in at("ines").get("/").text
    assert at("ines").get("/shipping").status_code == 403


def test_labels_of_a_wave_are_of_its_bags_alone_on_the_stock_chosen(at, bags):
    pia = at("pia")
    label = pia.paper(f"/bags/{bags[0]}/label.pdf?stock=2x1in")
    wave = pia.paper("/picking/waves/1/labels.pdf?order=Q-1/1&stock=a6")
    printed = text_of(wave)
    assert all(bag in printed for bag in bags)
    assert (bags[0] in text_of(label), bags[1] in text_of(label)) == (True, False)
    assert pia.get("/picking/waves/1/labels.pdf?order=Q-1/1&stock=b9").status_code == 422
    leave(pia, deed="all", every=bags[0])
    later = text_of(pia.paper("/picking/waves/1/labels.pdf?order=Q-1/1"))
    assert (bags[0] in later, bags[2] in later) == (False, True)


def test_what_is_stuck_names_each_thing_with_days_and_a_way(at, bags, desk, clock):
    odo = at("odo")
    job = jobs.create_job(desk, proven(), jobs.NewJob("Long Reach", "saltmarsh"))
    job_openings.add_openings(desk, proven(), job.label, [plain("1", 9)])
    quotes.issue_quote(desk, proven("odo"), job.label)
    quotes.close_quote(desk, proven("odo"), "Q-2", State.ACCEPTED)
    low = jobs.create_job(desk, proven(), jobs.NewJob("Low Farm", "saltmarsh"))
    job_openings.add_openings(desk, proven(), low.label, [plain("1")])
    jobs.set_discount(desk, proven(), low.label, Fraction(30, 100), "large job")
    quotes.issue_quote(desk, proven(), low.label)
    page = odo.get("/stuck").text
    assert all(f'href="{at}"' in page for at in ("/quotes/Q-00002/1", "/jobs/3/review"))
    # A wave of today is under way; one of the day before lies.
    assert "/picking/waves/1" not in page
    orders.release_order(desk, proven("odo"), "Q-2", orders.ToldRelease())
    at("pia").get("/bags/Q1R1P1B1V/label.pdf")
    with desk.store.writing() as uow:
        asked = uow.papers.take("a server", proven().at, proven().at)
        uow.papers.end(replace(asked, state=PaperState.FAILED, fault="No room."), "a server")
        uow.commit()
    clock.passes(timedelta(days=2))
    odo.sign_in("odo")
    page = odo.get("/stuck").text
    assert "/quotes/Q-00002/1" not in page
    rows = [" ".join(re.sub("<[^>]+>", " ", row).split()) for row in page.split("<tr>")]
    assert any(row.startswith("J-00003") and "2 days" in row for row in rows)
    with desk.store.reading() as uow:
        lacking = uow.orders.bags(BagFilter(states=frozenset({BagState.WAITING})))
    count = f"{len(lacking)} bag{'s' if len(lacking) > 1 else ''}, 1"
    (short,) = (row for row in rows if row.startswith("J-00002 Q-00002/1"))
    assert f"Long Reach: {count}" in short, "bags of one mark each count"
    assert "if ordered today" in short or "nobody knows until when" in short
    assert 'href="/buying"' in page[page.index("Bags that lack goods") :]
    assert any(row.startswith("Wave 1 pia, 1 bag 2 days") for row in rows)
    assert any("No room." in row for row in rows)
    assert re.search(r'href="(/bags/Q2R1P1B\w+|/shipping/Q-00002/1)"', page)
    assert at("ines").get("/stuck").status_code == 403


def test_labels_of_bins_and_of_one_item_are_of_the_shelves(at):
    pia = at("pia")
    bins = text_of(pia.paper("/catalogs/tarrowby/labels.pdf?of=bins"))
    one = text_of(pia.paper("/catalogs/tarrowby/labels.pdf?sku=TG-B1&stock=2x1in"))
    place = re.search(r"Bin</th><td>([^<–]+)<", pia.get("/catalogs/tarrowby/items/TG-B1").text)
    assert place is not None
    assert place[1] in bins
    assert "TG-B1" in one
    assert "TG-B2" not in one
    assert "USD" not in bins + one
    # An item that there is not is told on the paper's page.
    assert pia.paper("/catalogs/tarrowby/labels.pdf?sku=NONE").status_code == 409


def test_the_place_begins_with_a_name_and_nobody_is_told_an_option(at, bags):
    pia = at("pia")
    place = found(r'<address class="to">.*?</address>', pia.get(AT).text)
    assert re.search(r"Goes to</span> *<span>Saltmarsh", place)
    refused = pia.get("/jobs/1")
    assert refused.status_code == 403
    assert "pia may not" in refused.text
    assert "--by" not in refused.text
    for code in CALLS_ON_PAGE:
        said = say_error_on_page(CallError(code, **FIELDS))
        assert "--" not in said
        assert "wholekit " not in said
    none = CallError("draft-none", job="J-1")
    assert say_error_on_page(none) == "J-1 has no draft."
    # What nobody at a screen can be told: they choose between options.
    of_calls = {"mark-without-supplier", "count-where", "return-where"}
    for code, said in ERRORS.items():
        if code in CALLS_ON_PAGE or code in of_calls or code not in said_on_pages():
            continue
        left = without_commands(said)
        assert "wholekit " not in left, code
        assert "--" not in left, code
        assert left[-1] in ".?!", code
        assert len(left) > 8, code


def said_on_pages():
    return {
        *JOB_ERRORS, *ACCOUNT_ERRORS, *PICK_ROOM_ERRORS, *PURCHASE_ERRORS, *STOCK_ERRORS,
    }  # fmt: skip


FIELDS = {"who": "pia", "what": Action.SEE_JOBS, "deed": "approval", "name": "Ada", "label": "Q-1",
          "having": ["owner"], "given": "odo"}  # fmt: skip


def found(pattern, text):
    match = re.search(pattern, text, re.DOTALL)
    assert match is not None, pattern
    return match[0]
