"""At the cart, through the browser: right and wrong by word, each scan counted once."""

import re

import pytest
from tests.support.accounts import proven
from tests.support.house import sample
from tests.support.jobs import plain, set_stock
from tests.support.pick_room import pack
from tests.web.test_routes import text_of

from wholekit.domain.house_style import HouseStyle
from wholekit.domain.quotes import State
from wholekit.domain.stock import Kind
from wholekit.domain.walk import Stretch, Walk
from wholekit.services import job_openings, jobs, orders, quotes, stock
from wholekit.services.paging import Page
from wholekit.services.stock import ToldItem, ToldPlace


@pytest.fixture
def style():
    """A house that is walked from its last zone."""
    return HouseStyle(walk=Walk((Stretch("ZZ"),)))


def released(desk, openings, packs=9):
    set_stock(desk.store, sample("tarrowby"), packs)
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), job.label, openings)
    quotes.issue_quote(desk, proven("odo"), job.label)
    quotes.close_quote(desk, proven("odo"), "Q-1", State.ACCEPTED)
    orders.release_order(desk, proven("odo"), "Q-1", orders.ToldRelease())


@pytest.fixture
def pia(at, desk):
    released(desk, [plain("101"), plain("102")])
    return at("pia")


def begun(pia):
    answer = pia.post("/picking/waves")
    assert answer.status_code == 303
    return answer.headers["location"]


def found(pattern, text):
    match = re.search(pattern, text, re.DOTALL)
    assert match is not None, pattern
    return match


class Cart:
    """A cart's form as the page has it, sent again with something in it."""

    def __init__(self, pia):
        self.pia, self.at, self.number = pia, begun(pia), 0
        self.page = pia.get(self.at).text

    def send(self, **fields):
        into = found(r'name="into" value="([^"]*)"', self.page)[1]
        self.number += 1
        sent = {"into": into, "scan_id": f"s{self.number}", **fields}
        self.page = self.pia.post(self.at, **sent).text
        return self.verdict

    @property
    def verdict(self):
        return found(r'data-answer="(\w*)"', self.page)[1]

    @property
    def wanted(self):
        lines = found(r'<ul class="needs">(.*?)</ul>', self.page)[1].split("<li")[1:]
        return [found(r"<strong>([^<]+)", each)[1] for each in lines if 'class="done"' not in each]

    @property
    def bags(self):
        return re.findall(r'name="scan" value="([^"]+)"', self.page)


def test_a_bag_is_picked_by_scan_and_closes_only_when_it_is_whole(pia):
    cart = Cart(pia)
    assert cart.send(scan=cart.bags[0]) == "right"
    assert cart.send(deed="close") == "wrong"
    assert cart.send(scan="NOT-OURS") == "wrong"
    for _ in range(40):
        if not cart.wanted:
            break
        assert cart.send(scan=cart.wanted[0]) == "right"
    assert "Take back: 1 × " in cart.page
    bag = cart.bags[0]
    assert cart.send(deed="close") == "right"
    assert "closed" in cart.page
    # A second tab presses it again: nothing is to do, and no piece is to be put back.
    assert cart.send(deed="close", into=bag) == "right"
    assert "Already closed, nothing to do." in cart.page
    assert "Put the piece back" not in cart.page


def test_the_same_scan_sent_twice_counts_once(pia):
    cart = Cart(pia)
    cart.send(scan=cart.bags[0])
    sku = cart.wanted[0]
    cart.send(scan=sku, scan_id="one")
    once = cart.page
    assert cart.send(scan=sku, scan_id="one") == "right"
    assert "Counted before" in cart.page
    needs = r'<ul class="needs">.*?</ul>'
    assert found(needs, cart.page)[0] == found(needs, once)[0]


@pytest.mark.parametrize("junk", ["", "x" * 10_000, "\x00\x1f", "]C1", "<b>bold</b>", "4*"])
def test_junk_is_refused_in_words_and_changes_nothing(pia, junk):
    cart = Cart(pia)
    cart.send(scan=cart.bags[0])
    wanted = cart.wanted
    assert cart.send(scan=junk) == "wrong"
    assert cart.wanted == wanted
    assert "<b>bold" not in cart.page


def test_a_deed_without_an_open_bag_says_that_none_is_open(pia):
    cart = Cart(pia)
    assert cart.send(deed="undo") == "wrong"
    assert "No bag is open" in cart.page


def test_the_last_scan_is_taken_back_and_the_wave_is_listed(pia):
    cart = Cart(pia)
    cart.send(scan=cart.bags[0])
    wanted = cart.wanted
    cart.send(scan=wanted[0])
    assert cart.send(deed="undo") == "right"
    assert cart.wanted == wanted
    assert f'href="{cart.at}"' in pia.get("/picking").text


def test_no_money_is_on_any_page_of_the_pick_room(pia):
    cart = Cart(pia)
    cart.send(scan=cart.bags[0])
    for page in (cart.page, pia.get("/picking").text, pia.get("/").text):
        assert "USD" not in page


def test_packs_are_taken_from_the_bin_that_the_page_sends_to(pia, desk):
    """Several bins hold it: the books are to name the one of the walk, not the first by name."""
    cart = Cart(pia)
    cart.send(scan=cart.bags[0])
    sku = cart.wanted[0]
    odo = proven("odo")
    for name in ("AA-00", "ZZ-99"):
        stock.receive_stock(desk, odo, ToldItem(sku), 40, ToldPlace(bin=name), "")
    row = rf'<th scope="row" class="n">([^<]+)</th><td class="r"><b>\d+</b></td><td><strong>{sku}<'
    shown = found(row, pia.get(cart.at).text)[1]
    assert cart.send(scan=sku) == "right"
    moves, _ = stock.stock_history(desk, odo, ToldItem(sku), Page())
    assert moves[0].kind is Kind.PICK
    assert (shown, moves[0].source.place.bin) == ("ZZ-99", "ZZ-99")


def test_what_is_not_there_is_told_and_taken_back(pia, at):
    cart = Cart(pia)
    cart.send(scan=cart.bags[0])
    sku = cart.wanted[0]
    assert cart.send(deed="short", sku=sku, packs="1") == "right"
    # Neither right nor wrong: a word and a frame of its own.
    assert re.search(r'class="answer lacking".*?<b>TOLD</b>', cart.page, re.DOTALL)
    assert f"Short: 1 × {sku}" in cart.page
    assert "Out of the books" in cart.page
    assert f"Take back: the short of {sku}</button>" in cart.page
    assert cart.send(deed="undo") == "right"
    assert "Not short after all" in cart.page
    # Where the bin is known the page asks how many lie there.
    # Never answered for the picker: one tap must not tell a bin empty.
    assert re.search(
        r'<input name="lying"(?![^>]*value)[^>]*required> <small>9 in the books', cart.page
    )
    assert cart.send(deed="short", sku=sku, packs="1", lying="") == "wrong"
    assert f"Say how many packs of {sku} lie there" in cart.page
    assert cart.send(deed="short", sku=sku, packs="1", lying="few") == "wrong"
    assert "few is no number of packs" in cart.page
    assert cart.send(deed="short", sku=sku, packs="1", lying="900000") == "wrong"
    assert "Nothing is short in that bin" in cart.page
    assert cart.send(deed="short", sku=sku, packs="1", lying="1") == "right"
    assert f"The books are put right: {sku}" in cart.page
    # It is in the house's log as a correction, by whom, and in the bag's record in place of none.
    log = " ".join(re.sub("<[^>]+>", " ", at("odo").get("/log?who=pia").text).split())
    assert re.search(
        rf"pia \S+ books put right by a short: {cart.bags[0]} bin \S+: {sku} 9 → 1", log
    )
    assert re.search(rf"books as before: {cart.bags[0]} bin \S+: {sku} 0 → 9", log)
    record = pia.get(f"/bags/{cart.bags[0]}").text
    assert re.search(rf"out of the books at bin \S+: 8 × {sku}", record)
    assert "0 × " not in record
    assert cart.send(scan=sku) == "right"


def test_a_bag_put_aside_is_gone_on_with_by_its_label(pia):
    cart = Cart(pia)
    bag = cart.bags[0]
    cart.send(scan=bag)
    cart.send(scan=cart.wanted[0])
    assert cart.send(deed="leave") == "right"
    assert cart.send(scan=bag) == "right"
    assert f'name="into" value="{bag}"' in cart.page


def needs_of(page):
    """What the open bag still asks for, line by line."""
    found_needs = found(r'<ul class="needs">(.*?)</ul>', page)[1].split("<li")[1:]
    return [" ".join(re.sub(r"<[^>]+>", " ", each).split()) for each in found_needs]


def test_a_bag_put_aside_has_a_door_on_the_room_s_page_and_on_its_own(pia):
    cart = Cart(pia)
    bag = cart.bags[0]
    cart.send(scan=bag)
    cart.send(scan=cart.wanted[0])
    cart.send(deed="leave")
    aside = found(r"<h2>Put aside</h2>(.*?)<h2>", pia.get("/picking").text)[1]
    assert f'name="bag" value="{bag}"' in aside
    # The wave it left leads to the bag's own page, which has the same way on.
    away = pia.get(f"{cart.at}?into={bag}")
    assert away.headers["location"] == f"/bags/{bag}"
    assert f'name="bag" value="{bag}"' in pia.get(f"/bags/{bag}").text
    answer = pia.post("/picking/waves", bag=bag)
    assert answer.status_code == 303
    cart.at = answer.headers["location"]
    cart.page = pia.get(cart.at).text
    assert f'name="into" value="{bag}"' in cart.page
    cart.at = cart.at.partition("?")[0]
    assert cart.send(scan=cart.wanted[0]) == "right"
    assert f'href="{cart.at}?into={bag}"' in pia.get(f"/bags/{bag}").text
    assert "Put aside" not in pia.get("/picking").text
    assert pia.post("/picking/waves", bag=bag).status_code == 422, "in a wave already"


def test_two_bags_of_one_mark_are_told_apart_wherever_they_stand(at, desk):
    released(desk, [plain("T2", 2), plain("T3")])
    pia = at("pia")
    cart = Cart(pia)
    first, second = ("T2 (1 of 2)", "T2 (2 of 2)")
    listed = re.findall(r'name="scan" value="[^"]+"><b>([^<]+)</b>', cart.page)
    assert listed == [first, second, "T3"]
    cart.send(scan=cart.bags[1])
    assert f'<h1 class="bagmark">{second}</h1>' in cart.page
    assert f"Now into bag {second}" in cart.page
    assert f"{first}, {second}, T3" in pia.get("/picking").text
    cart.send(scan=cart.wanted[0])
    cart.send(deed="leave")
    assert f"<b>{second}</b>" in pia.get("/picking").text
    pack(desk, proven("pia"), 1, cart.bags[0])
    assert f"Closed: {first}" in pia.get("/shipping").text
    assert f"<b>{first}</b>" in pia.get("/shipping/Q-1/1").text


def test_the_open_bag_says_the_bin_of_each_piece_and_what_was_told_of_it(pia):
    cart = Cart(pia)
    cart.send(scan=cart.bags[0])
    sku = cart.wanted[0]
    row = rf'<th scope="row" class="n">([^<]+)</th><td class="r"><b>\d+</b></td><td><strong>{sku}<'
    place = found(row, cart.page)[1]
    line = next(each for each in needs_of(cart.page) if sku in each)
    assert f"Bin {place} {sku}" in line
    assert line.endswith("Fewer there")
    cart.send(deed="short", sku=sku, packs="1")
    line = next(each for each in needs_of(pia.get(f"{cart.at}?into={cart.bags[0]}").text)
                if sku in each)  # fmt: skip
    assert "told: 1 not there, " in line
    assert re.search(
        r"not ordered yet; \d{4}-\d\d-\d\d if ordered today$|nobody knows until when$", line
    )
    cart.send(deed="undo")
    line = next(each for each in needs_of(cart.page) if sku in each)
    assert "told" not in line


def test_a_short_that_is_taken_back_tells_which_bag_is_whole_again_by_it(at, desk):
    """Two bags share the last packs: one tells a short, the other is put aside by it."""
    released(desk, [plain("T2", 2)], packs=2)
    pia = at("pia")
    cart = Cart(pia)
    first, second = cart.bags
    cart.send(scan=second)
    cart.send(deed="leave")
    cart.send(scan=first)
    sku = next(each for each in cart.wanted if each.startswith("T"))
    cart.send(deed="short", sku=sku, packs="1")
    assert "These wait by it too: T2 (2 of 2)" in cart.page
    # Whoever has it in hand is told what it lacks, wherever they look.
    lacks = rf"lacks 1 × {sku}: not ordered yet; (\d{{4}}-\d\d-\d\d if ordered today|nobody)"
    for where in ("/picking", "/shipping/Q-1/1", f"/bags/{second}"):
        shown = pia.get(where).text
        assert re.search(lacks, shown), where
        assert "T2 (2 of 2)" in shown or where.startswith("/bags")
        assert where.startswith("/bags") or f'href="/bags/{second}"' in shown
    assert re.search(lacks, pia.post("/shipping", scan=second).text)
    assert 'href="/shipping/Q-00001/1"' in pia.get("/picking").text
    cart.send(deed="undo")
    assert "Bag T2 (2 of 2) lacks nothing any more." in cart.page


def test_one_file_holds_the_labels_of_a_cart_of_several_orders(at, desk):
    released(desk, [plain("101"), plain("102")])
    job = jobs.create_job(desk, proven(), jobs.NewJob("Long Reach", "saltmarsh"))
    job_openings.add_openings(desk, proven(), job.label, [plain("7")])
    quotes.issue_quote(desk, proven("odo"), job.label)
    quotes.close_quote(desk, proven("odo"), "Q-2", State.ACCEPTED)
    orders.release_order(desk, proven("odo"), "Q-2", orders.ToldRelease())
    pia = at("pia")
    cart = Cart(pia)
    assert len(cart.bags) == 3
    assert "Labels of the whole cart" in cart.page
    printed = text_of(pia.paper(f"{cart.at}/labels.pdf?stock=2x1in"))
    assert all(bag in printed for bag in cart.bags)
    one = text_of(pia.paper(f"{cart.at}/labels.pdf?stock=2x1in&order=Q-2/1"))
    assert [bag in one for bag in cart.bags] == [False, False, True]


def filled(cart):
    while cart.wanted:
        assert cart.send(scan=cart.wanted[0]) == "right"
    assert cart.send(deed="close") == "right"


def test_a_wave_that_is_ended_says_so_and_leads_on(at, desk):
    pia = at("pia")
    assert "No order was released to the pick room yet" in pia.get("/picking").text
    released(desk, [plain("101"), plain("102")])
    cart = Cart(pia)
    ended = pia.post(cart.at, deed="end").headers["location"]
    told = pia.get(ended).text
    assert "Wave 1 is ended." in told
    assert "2 bags are back among those to be picked." in told
    assert pia.get("/picking?ended=x&back=1").status_code == 200
    page = pia.get(cart.at).text
    assert "Wave 1 is ended." in page
    assert 'href="/picking"' in found(r"<main.*</main>", page)[0]
    assert "data-scan hidden" in page
    # One begun: it stays, the other goes back.
    cart = Cart(pia)
    first, second = cart.bags
    cart.send(scan=first)
    told = pia.get(pia.post(cart.at, deed="end").headers["location"]).text
    assert "Wave 2 goes on: 1 bag that was begun stays in it." in told
    assert "1 bag is back among those to be picked." in told
    filled(cart)
    assert 'href="/shipping"' in found(r"<main.*|<section.*", cart.page)[0], "all of it is closed"
    cart = Cart(pia)
    cart.number = 100  # of its own scans
    cart.send(scan=second)
    filled(cart)
    bags = [first, second]
    left = pia.post("/shipping/Q-1/1", on="/shipping", deed="leave", bag=bags)
    assert left.status_code == 303
    page = pia.get("/picking").text
    assert "No order was released" not in page
    assert "all that was released has left" in page
    assert 'href="/shipping/Q-00001/1"' in page, "to be found again"
