"""The packing slip: every bag that goes is on it once, what does not go is said, and no price."""

import re
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from html import unescape

import pikepdf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from tests.documents.test_papers import TEMPLATES
from tests.support.house import opening, shelf
from tests.support.offers import offered

from wholekit.cli.parcels import consignment
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_slip import Consignment, packing_slip_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.packing_slip import PackingSlipPaper
from wholekit.documents.render import render_paper
from wholekit.domain.errors import CallError
from wholekit.domain.openings import HoldOpen, Mount, Opening, marks_named
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.draws import draws_of
from wholekit.domain.quotes.offer import OfferExtra
from wholekit.domain.tax import LineKind
from wholekit.wording.speech import speaking, tr

REGULAR = opening("3070", mount=Mount.REGULAR, weight="100 lb")
NARROW = opening("2868", mount=Mount.REGULAR, weight="100 lb")
PARALLEL = opening("3070", mount=Mount.PARALLEL, weight="100 lb")
PAIR = opening("3070", leaves=2)
STOPPED = opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM)
ROWS = [
    Opening("101", REGULAR, 2, "Nurse"),
    Opening("102", PARALLEL, 1, "Stair A"),
    Opening("103", REGULAR, 3),
    Opening("104", STOPPED),
    Opening("105", PAIR, 1, "Gymnasium"),
    Opening("106", NARROW, 1),
    Opening("107", STOPPED, 2),
]


@pytest.fixture(scope="module")
def offer() -> Offer:
    return offered(ROWS, shelf(), Fraction(62, 100)).offer


def sent_of(paper: PackingSlipPaper) -> dict[str, int]:
    return {mark.mark: mark.bags for kit in paper.kits for mark in kit.marks}


def test_every_bag_that_may_go_is_on_it_once_with_all_that_is_drawn_for_it(offer):
    paper = packing_slip_paper(offer)
    firm = [one for one in offer.openings if offer.is_firm(one)]
    assert sent_of(paper) == {one.place: one.quantity for one in firm}
    assert sum(len(kit.marks) for kit in paper.kits) == len(firm)
    packed: Counter[str] = Counter()
    for kit in paper.kits:
        assert kit.bags == sum(mark.bags for mark in kit.marks)
        for line in kit.lines:
            assert line.quantity == line.each * kit.bags
            packed[line.sku] += line.quantity
    assert packed == {draw.item.sku: draw.quantity for draw in draws_of(offer, firm)}
    assert (paper.bags, paper.ordered) == (sum(sent_of(paper).values()), packed.total())
    # What the shelf has not is in no bag, and in no count of what is in them.
    lacks = sum(draw.short for draw in draws_of(offer, firm))
    assert lacks > 0
    assert paper.packs == paper.ordered - lacks
    assert paper.packs == sum(line.here for kit in paper.kits for line in kit.lines)


@pytest.mark.parametrize("more", [0, 1, 3])
def test_what_the_shelf_has_not_is_told_at_the_bags_that_the_pick_list_leaves_short(offer, more):
    kits = tuple(
        replace(kit, lines=tuple(replace(line, on_hand=at + more) for line in kit.lines))
        for at, kit in enumerate(offer.kits)
    )
    scarce = replace(offer, kits=kits)
    slip, picked = packing_slip_paper(scarce), pick_list_paper(scarce)
    told = {mark.mark: dict(mark.short) for kit in slip.kits for mark in kit.marks}
    left: dict[str, dict[str, int]] = {one.mark: {} for one in picked.openings}
    for one in picked.openings:
        left[one.mark] |= {line.sku: line.short for line in one.lines if line.short}
    waits = Counter({one.mark: one.bags for one in picked.openings if one.waits})
    assert +Counter({m.mark: m.waits for kit in slip.kits for m in kit.marks}) == waits
    assert slip.waiting == picked.waiting == waits.total()
    assert any(left.values())
    assert told == left
    html = "".join(block.html for block in make_flow(slip, TEMPLATES).blocks)
    assert html.count(">SHORT") == 1 + sum(map(bool, left.values()))
    assert html.count("<b>WAITS</b>") == len(waits)
    # Each bag has its box, by the number of its label; which of them wait is said.
    said = " ".join(unescape(re.sub("<[^>]+>", " ", html)).split())
    parts = [one for kit in slip.kits for one in kit.marks if 0 < one.waits < one.bags]
    assert bool(parts) == (more > 0)
    for mark in parts:
        numbers = [*map(str, range(1, mark.bags + 1))]
        whole = numbers[: mark.bags - mark.waits]
        named = rf"{mark.mark} × {mark.bags} (?:(?! · bag).)* · bags? {' '.join(whole)} · bags? "
        assert re.search(named + " ".join(numbers[len(whole) :]) + r" WAITS · SHORT", said)
    assert f"{slip.bags - slip.waiting} bag" in html
    assert "no bag that still waits" in html
    assert "SHORT" not in "".join(b.html for b in make_flow(plenty(slip), TEMPLATES).blocks)


def plenty(slip: PackingSlipPaper) -> PackingSlipPaper:
    kits = tuple(
        replace(kit, marks=tuple(replace(mark, short=()) for mark in kit.marks))
        for kit in slip.kits
    )
    return replace(slip, kits=kits, asked=None)


def test_bags_of_equal_contents_stand_together_under_the_range_of_their_marks(offer):
    by_marks = {kit.places: kit for kit in packing_slip_paper(offer).kits}
    assert "101, 103, 106" in by_marks
    rows = {mark.mark: mark for mark in by_marks["101, 103, 106"].marks}
    assert rows["101"].note == "Nurse"
    assert rows["101"].about != rows["106"].about, "the sizes are told apart"
    (pair,) = by_marks["105"].marks
    assert pair.about.startswith("pair, each leaf")


def test_what_is_held_is_said_apart_with_why_and_never_sent(offer):
    paper = packing_slip_paper(offer)
    (held,) = paper.held
    assert (held.places, held.bags) == ("104, 107", 3)
    assert all(held.reasons)
    html = make_flow(paper, TEMPLATES).blocks
    assert "NOT SENT, on hold:</b> 104, 107." in html[0].html
    assert held.reasons[0] in html[-1].html
    with pytest.raises(CallError) as refused:
        packing_slip_paper(offer, of=Consignment(("103-105",)))
    assert (refused.value.code, refused.value.fields["given"]) == ("slip-marks-held", "104")


@given(st.sets(st.sampled_from(["101", "102", "103", "105", "106"]), min_size=1))
def test_a_part_and_the_rest_are_the_whole(offer, chosen):
    part = packing_slip_paper(offer, of=Consignment(tuple(chosen)))
    whole = packing_slip_paper(offer)
    assert set(sent_of(part)) == chosen
    later = {mark for apart in part.later for mark in named(apart.places, offer)}
    assert later | chosen == set(sent_of(whole))
    assert not later & chosen
    assert part.bags + sum(apart.bags for apart in part.later) == whole.bags
    assert part.held == whole.held
    assert (part.part, whole.part, whole.later) == (True, False, ())


def named(places: str, offer: Offer) -> list[str]:
    """The marks that ranges on a slip mean, read as a call's would be."""
    words = places.replace("–", "-").replace(",", " ").split()
    found, unknown = marks_named(words, [one.place for one in offer.openings])
    assert not unknown
    return found


@pytest.mark.parametrize("names", [("999",), ("101", "A-3")])
def test_marks_that_are_none_are_named_with_those_there_are(offer, names):
    with pytest.raises(CallError) as refused:
        packing_slip_paper(offer, of=Consignment(names))
    assert refused.value.code == "slip-marks-unknown"
    assert refused.value.fields["known"] == "101–107"


def test_a_pack_of_several_pieces_says_once_what_it_holds(offer):
    paper = packing_slip_paper(offer)
    skus = [sku for box in paper.boxes for sku in box.skus]
    assert len(skus) == len(set(skus))
    lines = {line.sku for kit in paper.kits for line in kit.lines}
    assert set(skus) <= lines
    # As many as the price book says that one pack supplies, used here or not.
    items = {item.sku: item for book in shelf().catalogs for item in book.items}
    for box in paper.boxes:
        said = sum(int((re.match("[0-9]+", piece) or "1")[0]) for piece in box.pieces.split(", "))
        for sku in box.skus:
            assert said == sum(supply.quantity for supply in items[sku].supplies), sku


def test_goods_go_to_the_place_of_delivery_else_the_site_else_the_customer(offer):
    party = replace(offer.customer, name="Buyer", address=("1 Quay Rd",))
    plain = replace(offer, customer=party)
    site = replace(plain, site="Xarn site", site_address=("2 Mole",))
    place = replace(site, ship_to="Port", ship_to_address=("3 Pier",))
    assert packing_slip_paper(plain).ship_to == ("Buyer", "1 Quay Rd")
    assert packing_slip_paper(site).ship_to == ("Xarn site", "2 Mole")
    assert packing_slip_paper(place).ship_to == ("Port", "3 Pier")


def test_no_price_is_in_any_byte_of_it(offer, tmp_path):
    """Every stream of the file is unpacked, and its text read glyph by glyph."""
    planted = Money(7_654_321, "USD")
    kits = tuple(
        replace(
            kit,
            price=planted,
            lines=tuple(replace(line, unit=planted, total=planted) for line in kit.lines),
        )
        for kit in offer.kits
    )
    openings = tuple(replace(one, price=planted) for one in offer.openings)
    totals = replace(offer.totals, hardware=planted, net=planted, gross=planted)
    dear = replace(offer, kits=kits, openings=openings, totals=totals)
    out = tmp_path / "slip.pdf"
    of = Consignment(("101-103",), (2, 3), "PO 5512")
    render_paper(packing_slip_paper(dear, of=of), out, TEMPLATES)
    pages = " ".join(page.extract_text() for page in PdfReader(out).pages)
    with pikepdf.open(out) as pdf:
        assert not pdf.attachments
        raw = b"".join(
            each.read_bytes() for each in pdf.objects if isinstance(each, pikepdf.Stream)
        )
        said = " ".join((pages, str(pdf.docinfo), raw.decode("latin-1")))
    assert not [one for one in ("7654321", "76543.21", "76,543.21", "USD") if one in said]
    assert not re.search(r"[$€£]|76.?543|price|cost|margin", pages)
    for part in ("Parcel 2 of 3", "PO 5512", "Received by, name and signature", "Bags received"):
        assert part in pages


@pytest.mark.parametrize("held", [2, 37])
def test_who_received_the_goods_never_signs_on_a_page_alone(offer, held, tmp_path):
    """The end is pushed down until it no longer fits; what to look at on receipt goes with it."""
    paper = packing_slip_paper(offer)
    out = tmp_path / "slip.pdf"
    render_paper(replace(paper, held=paper.held * held), out, TEMPLATES)
    pages = [page.extract_text() for page in PdfReader(out).pages]
    (signed,) = (page for page in pages if "Received by, name and signature" in page)
    assert all(text[:60] in signed.replace("\n", " ") for text in paper.cautions)
    assert "Packed by, date" in signed


def test_bags_have_a_box_for_each_mark_and_say_how_many_are_alike(offer):
    html = "".join(block.html for block in make_flow(packing_slip_paper(offer), TEMPLATES).blocks)
    kits = html.partition("What is in the bags")[2].partition("What comes in the packs")[0]
    said = " ".join(unescape(re.sub("<[^>]+>", " ", kits)).split())
    firm = [one for one in offer.openings if offer.is_firm(one)]
    assert kits.count('class="tick"') == sum(one.quantity for one in firm)
    assert "101, 103, 106 · 6 bags In each Ordered In the bag" in said
    assert "101 × 2 3'-0\" × 7'-0\", regular arm · bags 1 2 · Nurse" in said
    assert "102 · 1 bag · 3'-0\" × 7'-0\", parallel arm · Stair A Qty" in said


def test_a_name_of_the_schedule_is_text_and_no_markup(offer):
    evil = replace(offer.openings[0], note="<b>x</b>\u202e")
    paper = packing_slip_paper(replace(offer, openings=(evil, *offer.openings[1:])))
    html = "".join(block.html for block in make_flow(paper, TEMPLATES).blocks)
    assert "&lt;b&gt;x&lt;/b&gt;<" in html


@pytest.mark.parametrize("text", ["0/3", "4/3", "2 of 3", "-1/2", "2/", "/", "1/99999"])
def test_a_parcel_is_which_of_how_many(text):
    with pytest.raises(CallError) as refused:
        consignment((), text)
    assert refused.value.code == "parcel-unreadable"


@pytest.mark.parametrize("marks", [(), ("101",)], ids=["all", "some"])
@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_goods_that_are_in_no_bag_are_not_said_to_be_in_one(marks, locale):
    offer = offered(ROWS, shelf(), locale=locale).offer
    hinge = OfferExtra(LineKind.HARDWARE, "hinges", 3, Money(100, "USD"), Money(300, "USD"))
    paper = packing_slip_paper(replace(offer, extras=(hinge,)), of=Consignment(marks))
    (html,) = (b.html for b in make_flow(paper, TEMPLATES).blocks if ">hinges<" in b.html)
    table = html[: html.index("</table>")].rpartition("<table")[2]
    with speaking(locale):
        assert f">{tr('Sent')}<" in table
        assert tr("In the bag") not in table
