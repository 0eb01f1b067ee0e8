"""A quote of the store on paper: what the customer is sent, and what only the owner reads."""

import json
import re
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from pypdf import PdfReader
from tests.documents.test_papers import NASTY, TEMPLATES, read, types_within
from tests.support.command import run
from tests.support.customer_words import words_of
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, opening, sample
from tests.support.jobs import a_job, by, frozen, furnished, plain, put_catalog

from wholekit.bootstrap import open_store
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_sheet import sheet_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.papers import QuotePaper
from wholekit.documents.render import render_paper
from wholekit.domain.catalog import Role
from wholekit.domain.errors import CallError
from wholekit.domain.findings import Severity
from wholekit.domain.openings import Opening
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import Alternate, Offer, Override, OverrideKind, Person, PersonRole
from wholekit.domain.quotes.offer import OfferFinding, OfferPiece
from wholekit.domain.quotes.own import (
    snapshot_from,
    snapshot_text,
)
from wholekit.domain.tax import FreightRate, LineKind, ShipTo, TaxRate
from wholekit.services.approvals import approve_draft, review_job
from wholekit.services.customers import edit_customer, set_person, set_ship_to
from wholekit.services.desk import Desk
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import (
    add_openings,
    copy_opening,
    edit_opening,
    override_opening,
    release_stop,
)
from wholekit.services.jobs import edit_job, reprice_job, set_alternate, set_discount
from wholekit.services.quote_drafts import discard_draft, draft_quote
from wholekit.services.quote_papers import revision_shown, sheet_shown
from wholekit.services.quote_reading import quote_revisions
from wholekit.services.quotes import issue_quote
from wholekit.wording.amounts import say_money
from wholekit.wording.units import MINUS

FLOOR = Fraction(25, 100)
PORT = ShipTo(
    "port", "Port Aldren",
    taxes=(TaxRate("state", Fraction(625, 10_000), frozenset({LineKind.HARDWARE})),
           TaxRate("city", Fraction(15, 1000))),
    freights=(FreightRate("freight", Money(4_500, "USD"), Fraction(2, 100)),),
)  # fmt: skip
HAND = Override(OverrideKind.PRICE, "matched a rival bid", "", by().at, price=Money(39_900, "USD"))


def usd(amount):
    return say_money(amount, "en_US").replace("-", MINUS)


def words(paper):
    return words_of(make_flow(paper, TEMPLATES))


@pytest.fixture
def desk():
    house = furnished(FakeStore())
    set_person(house, by("odo"), Person("petra", PersonRole.OWNER, "Petra Voss"))
    set_ship_to(house, by(), PORT)
    return house


@pytest.fixture
def job(desk):
    """Openings with a stop, a price by hand and a discount; extra lines; adds and deducts."""
    job = a_job(desk)
    label = job.label
    edit_job(desk, by(), label, {"ship_to": "port", "site": "New wing", "salesperson": "ines"})
    add_openings(desk, by(), label, [plain("101", 2), plain("102"), plain("103")])
    add_openings(desk, by(), label, [Opening("104", opening("3070", finish="699"))])
    set_discount(desk, by(), label, Fraction(5, 100), "a large job")
    override_opening(desk, by("ines"), label, "103", HAND)
    for new in (
        NewExtra(LineKind.HARDWARE, "Hinges, pair", 3, Money(2_250, "USD"), Cost(137_799, "USD")),
        NewExtra(LineKind.LABOUR, "Fitting on site", 4, Money(6_500, "USD")),
        NewExtra(LineKind.OTHER, "Delivery to the rear gate only"),
        NewExtra(LineKind.OTHER, "Keying chart", 1, Money(4_000, "USD"), alternate="alt-1"),
    ):
        if new.alternate:
            set_alternate(desk, by(), label, Alternate("alt-1", "Four of 102", ("102",)))
        add_extra(desk, by(), label, new)
    copy_opening(desk, by(), label, "102", ["102"], to_alternate="alt-1")
    edit_opening(
        desk, by(), label, "102", lambda before: replace(before, quantity=4), alternate="alt-1"
    )
    set_alternate(desk, by(), label, Alternate("alt-2", "Without 103", ("103",)))
    for stop in review_job(desk, by(), label).stops:
        release_stop(
            desk, by("petra"), label, stop.mark, stop.finding.code, "customer supplies it",
            stop.alternate,
        )  # fmt: skip
    return job


@pytest.fixture
def issued(desk, job):
    draft_quote(desk, by(), job.label, cover_note="As talked over on Monday.")
    approve_draft(desk, by("petra"), job.label, "good customer")
    return frozen(issue_quote(desk, by("petra"), job.label).revision)


def test_an_issued_quote_prints_the_same_after_prices_and_rules_changed(
    desk, job, issued, tmp_path
):
    label = "Q-00001/1"
    render_paper(quote_paper(issued.offer), tmp_path / "before.pdf", TEMPLATES)
    catalog = sample("tarrowby")
    dearer = tuple(
        replace(item, list_price=item.list_price.times(2), cost=item.cost.times(3))
        for item in catalog.items
    )
    put_catalog(desk.store, replace(catalog, items=dearer, edition=date(2026, 11, 26)))
    edit_customer(
        desk, by("odo"), "saltmarsh", lambda old: replace(old, name="Saltmarsh & Daughter")
    )
    later = Desk(desk.store, desk.ids, replace(RULES, version="changed"), desk.words)
    shown = revision_shown(later, by(days=400), "Q-1")
    assert (shown.label, shown.draft) == (label, False)
    render_paper(quote_paper(shown.snapshot.offer), tmp_path / "after.pdf", TEMPLATES)
    files = [(tmp_path / name).read_bytes() for name in ("before.pdf", "after.pdf")]
    assert files[0] == files[1]
    reprice_job(later, by(days=1), job.label)
    anew = revision_shown(later, by(days=1), job.label).snapshot
    assert anew.offer.rules_version == "changed"
    assert anew.offer.openings[0].price.minor > issued.offer.openings[0].price.minor, (
        "it did change"
    )
    assert "Saltmarsh & Daughter" in words(quote_paper(anew.offer))


def test_a_snapshot_that_was_written_and_read_prints_the_same(issued):
    again = snapshot_from(json.loads(snapshot_text(issued)))
    assert quote_paper(again.offer) == quote_paper(issued.offer)
    assert sheet_paper(again, FLOOR) == sheet_paper(issued, FLOOR)


def test_the_quote_shows_the_totals_that_were_frozen(issued):
    text = words(quote_paper(issued.offer))
    for totals in (
        issued.offer.totals,
        *(alternate.totals for alternate in issued.offer.alternates),
    ):
        assert len(totals.taxes) == 2
        for tax in totals.taxes:
            assert f"{tax.name}, " in text
            assert usd(tax.tax) in text
        for amount in (totals.hardware, totals.freight, totals.net, totals.gross):
            assert usd(amount) in text
    assert f"state, 6.25% of {usd(issued.offer.totals.taxes[0].base)}" in text
    # The amounts printed add up by themselves.
    totals = issued.offer.totals
    assert totals.hardware + totals.extras + totals.freight == totals.net
    assert totals.net + totals.taxes[0].tax + totals.taxes[1].tax == totals.gross
    kits = quote_paper(issued.offer).kits
    assert sum(kit.price.minor for kit in kits) == totals.hardware.minor


def test_alternates_stand_apart_with_what_they_add_or_deduct(issued, tmp_path):
    paper = quote_paper(issued.offer)
    pages = read(paper, tmp_path)
    add, deduct = issued.offer.alternates
    assert add.totals.gross.minor > 0 > deduct.totals.gross.minor
    assert f"alt-1 Four of 102 102 ADD {usd(add.totals.gross)}" in pages[0]
    assert f"alt-2 Without 103 103 DEDUCT {usd(deduct.totals.gross.times(-1))}" in pages[0]
    text = " ".join(pages)
    assert "Adds 4 × 102; takes 102 out of the base bid." in text
    assert "Takes 103 out of the base bid." in text
    assert "Keying chart" in text
    marks = [mark.mark for kit in paper.kits for mark in kit.marks]
    assert sorted(marks) == ["101", "102", "103", "104"]
    for one in (add, deduct):
        assert f"☐ {one.code} {one.title}" in pages[-2] + pages[-1], "to tick where it is signed"


def test_extra_lines_site_cover_note_validity_and_terms_are_on_the_quote(issued):
    text = words(quote_paper(issued.offer))
    for said in (
        "Hinges, pair 3 $22.50 $67.50", "Fitting on site 4 $65.00 $260.00",
        "Delivery to the rear gate only", "New wing", "As talked over on Monday.",
        "Valid until December 25, 2026", *issued.offer.words.terms, *issued.offer.words.cautions,
        "Payment: net 30 days.",
    ):  # fmt: skip
        assert said in text


def test_the_customer_sees_the_discount_and_not_the_price_set_by_hand(issued):
    paper = quote_paper(issued.offer)
    text = words(paper)
    # 103 stands at the price agreed for it; the other openings carry the discount, item by item.
    saved = sum(
        (each.quantity * (issued.own_kit(each).tier_price - kit.price).minor)
        for each in issued.offer.openings
        if not each.alternate and each.mark != "103"
        for kit in (issued.offer.kit_of(each),)
    )
    assert paper.saved.minor == saved > 0
    why = "Kit prices are after the discount, rounded item by item."
    assert f"Discount 5%. {why} −{usd(paper.saved)}" in text
    assert text.count(why) == 2, "on the front and with the total"
    shown = sum(kit.price.minor for kit in (*paper.kits, *paper.open_kits))
    assert shown == sum(each.price.minor for each in issued.offer.chosen().openings)
    before = issued.offer.totals.hardware + paper.saved
    assert f"Hardware before discount {usd(before)}" in text
    for said in ("rival", "petra approved", "large job", "good customer"):
        assert said not in text
    assert "Price agreed for the opening" in text


def test_no_cost_can_be_held_by_or_read_from_a_quote(issued):
    assert Cost not in types_within(QuotePaper)
    assert Cost not in types_within(Offer)
    dear = Cost(76_543_2100, "USD")
    own = issued.own
    planted = replace(
        issued,
        own=replace(
            own,
            kits=tuple(
                replace(kit, cost=dear, lines=tuple(replace(line, cost=dear) for line in kit.lines))
                for kit in own.kits
            ),
            extras=tuple(dear for _ in own.extras),
            cost=dear,
        ),
    )
    text = words(quote_paper(planted.offer))
    assert "76,543" not in text
    assert not {"cost", "costs", "margin"} & set(re.findall(r"[a-z]+", text.lower()))
    assert "$76,543.21" in words(sheet_paper(planted, FLOOR))


def test_a_stop_released_by_name_is_a_deviation_on_the_quote_and_signed_on_the_sheet(issued):
    signs = [sign for each in issued.own.openings for sign in each if sign.what == "release"]
    assert signs
    quote = words(quote_paper(issued.offer))
    sheet = words(sheet_paper(issued, FLOOR))
    for sign in signs:
        assert re.search(rf"Deviation accepted[^a-z]*{re.escape(sign.text)}", quote)
        assert "".join(sign.text.split()) in "".join(sheet.split())
    for said in ("customer supplies it", "petra"):
        assert said in sheet
    assert "customer supplies it" not in quote
    assert "STOP" not in quote


def test_a_piece_that_lacks_is_told_even_where_its_stop_was_released(issued, tmp_path):
    said = "No soffit bracket is to be had."
    offer = issued.offer
    stop = OfferFinding("bracket-missing", Severity.STOP, "finish=689")
    piece = OfferPiece(Role.SOFFIT_BRACKET, 1)
    first, *others = offer.kits
    told, *rest = offer.words.kits
    bare = replace(first, findings=(stop,), missing=(piece,))
    spoken = replace(told, findings=((said, "", ""),), missing=(("soffit bracket", ""),))
    openings = tuple(
        replace(each, released=((stop.code, stop.about),)) if each.kit == 0 else each
        for each in offer.openings
    )
    lacking = replace(
        issued,
        offer=replace(
            offer,
            kits=(bare, *others),
            openings=openings,
            words=replace(offer.words, kits=(spoken, *rest)),
        ),
    )
    pages = read(quote_paper(lacking.offer), tmp_path)
    # Not whole, so not firm, whatever was let go; its firm total was not kept.
    assert "101, 102 (3) 3'-0\" × 7'-0\" Missing: 1 × soffit bracket" in pages[0]
    assert f"Firm of the hardware: {usd(lacking.offer.firm)}, without these openings." in pages[0]
    text = " ".join(pages)
    assert text.count("MISSING: this kit is not complete. 1 × soffit bracket") == 2
    assert re.search(rf"Deviation accepted[^a-z]*102 .alt-1.: {said}", text)
    assert "MISSING: 1 × soffit bracket" in words(sheet_paper(lacking, FLOOR))


def test_words_typed_into_a_job_are_shown_and_never_run(issued):
    typed = replace(
        issued, offer=replace(issued.offer, cover_note=NASTY, site=NASTY, job_name=NASTY)
    )
    for paper in (quote_paper(typed.offer), sheet_paper(typed, FLOOR)):
        assert "<script>alert(1)</script>" in words(paper)


def test_the_sheet_tells_costs_margins_and_every_hand(issued, tmp_path):
    paper = sheet_paper(issued, FLOOR)
    pages = read(paper, tmp_path)
    text = " ".join(pages)
    assert "Not for customers." in pages[0]
    for said in ("matched a rival bid", "price of the whole opening set to 399.00 USD",
                 "good customer", "Stops released by name", "Set by hand"):  # fmt: skip
        assert said in text
    assert usd(paper.total.cost) in text
    # Hinges: 3 × 13.7799 = 41.3397, rounded once; the fitting has no known cost.
    assert "Hinges, pair 3 $67.50 $41.34 $26.16 38.8%" in text
    assert "Fitting on site 4 $260.00 not known" in text
    assert paper.uncosted == Money(26_000, "USD")
    base = [figures for figures in paper.openings if "[" not in figures.mark]
    kits = sum(opening_figures.figures.price.minor for opening_figures in base)
    assert paper.total.price.minor == kits + 6_750
    assert kits == issued.offer.totals.hardware.minor
    costs = (
        sum(
            issued.own_kit(each).cost.units * each.quantity
            for each in issued.offer.openings
            if not each.alternate
        )
        + 3 * 137_799
    )
    assert paper.total.cost == Cost(costs, "USD").as_money
    change = paper.alternates[1].change
    assert change.price == Money(-39_900, "USD")
    assert paper.alternates[1].with_it.price == paper.total.price - Money(39_900, "USD")


def test_a_sheet_of_prices_that_contain_the_tax_is_on_the_net(desk):
    vat = replace(PORT, taxes=(TaxRate("VAT", Fraction(25, 100)),), inclusive=True, freights=())
    set_ship_to(desk, by(), vat, expected=1)
    job = a_job(desk, "101")
    edit_job(desk, by(), job.label, {"ship_to": "port"})
    snapshot = frozen(issue_quote(desk, by("petra"), job.label).revision)
    (kit,) = sheet_paper(snapshot, FLOOR).kits
    assert kit.figures.price == snapshot.offer.kits[0].price.scaled(Fraction(4, 5))


def test_a_draft_is_marked_on_every_page_and_has_no_line_to_sign(desk, job, tmp_path):
    shown = sheet_shown(desk, by("odo"), job.label)
    assert (shown.label, shown.draft, shown.digest) == ("J-00001", True, "")
    pages = read(quote_paper(shown.snapshot.offer, draft=True), tmp_path)
    assert len(pages) > 2
    assert all("DRAFT" in page for page in pages)
    assert "Signature" not in " ".join(pages)
    sheet = sheet_paper(shown.snapshot, FLOOR, draft=True)
    assert all("DRAFT" in page for page in read(sheet, tmp_path))


def test_an_issued_quote_is_no_draft(issued, tmp_path):
    pages = read(quote_paper(issued.offer), tmp_path)
    assert not any("DRAFT" in page.upper() for page in pages)
    assert "Signature" in " ".join(pages)


def test_an_open_stop_of_a_draft_stands_loudly_on_both_papers(desk):
    job = a_job(desk)
    add_openings(desk, by(), job.label, [Opening("104", opening("3070", finish="699"))])
    shown = sheet_shown(desk, by("odo"), job.label)
    quote = words(quote_paper(shown.snapshot.offer, draft=True))
    sheet = words(sheet_paper(shown.snapshot, FLOOR, draft=True))
    assert "Open: not accepted by signing, and in no firm total" in quote
    assert "STOP, not released." in sheet


def test_each_reference_means_one_revision(desk, job, issued):
    draft_quote(desk, by(), job.label)
    set_discount(desk, by(), job.label, Fraction(6, 100), "asked again")
    for reference, number, said, draft in (
        ("Q-1", None, "Q-00001/1", False),
        ("Q-00001/1", None, "Q-00001/1", False),
        ("Q-1", 1, "Q-00001/1", False),
        ("Q-1", 2, "Q-00001/2", True),
        ("Q-1/2", None, "Q-00001/2", True),
        (job.label, None, "Q-00001/2", True),
        (job.label, 1, "Q-00001/1", False),
    ):
        shown = revision_shown(desk, by(), reference, number)
        assert (shown.label, shown.draft) == (said, draft)
        assert shown.snapshot.offer.discount == Fraction(6 if draft else 5, 100)
    discard_draft(desk, by(), job.label)
    assert revision_shown(desk, by(), job.label).label == "Q-00001/2", "what would come next"
    assert len(quote_revisions(desk, by(), "Q-1")) == 1, "a paper writes nothing"


@pytest.mark.parametrize(
    ("reference", "number", "code"),
    [
        ("Q-1", 7, "quote-unknown"),
        ("Q-1/1", 2, "quote-reference-wrong"),
        ("Q-9", None, "quote-unknown"),
        ("J-9", None, "job-unknown"),
        ("Q-x", None, "quote-reference-wrong"),
    ],
)
def test_a_revision_that_is_not_there_is_said(desk, issued, reference, number, code):
    with pytest.raises(CallError) as caught:
        revision_shown(desk, by(), reference, number)
    assert caught.value.code == code


def test_from_the_command_line_to_both_papers(monkeypatch, tmp_path):
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    monkeypatch.setenv("WHOLEKIT_USER", "ines")
    put_catalog(open_store(), sample("tarrowby"))
    for arguments in (
        ("customer", "add", "saltmarsh", "Saltmarsh Builders", "--multiplier", "70%"),
        ("job", "new", "Heron Quay School", "--customer", "saltmarsh"),
        ("job", "add", "1", "--opening", "101 3070 hollow-metal/steel interior 689 x2"),
        ("quote", "issue", "J-1"),
    ):
        assert run(*arguments).status == 0
    out = tmp_path / "paper.pdf"
    written = run("quote", "paper", "Q-1", "--revision", "1", "--out", str(out), "--json").json
    assert (written["quote"], written["draft"], len(written["digest"])) == ("Q-00001/1", False, 64)
    assert "Quote Q-00001/1" in PdfReader(out).pages[0].extract_text()
    kept = run("quote", "papers", "Q-1", "--only", "quote", "--archive", "--out", str(out))
    assert kept.status == 0
    (data,) = PdfReader(out).attachments["quote.json"]
    shown = run("quote", "show", "Q-1", "--json").json
    inside = {"job", "catalogs", "rules_version", "digest"}
    assert json.loads(data) == {name: shown[name] for name in shown if name not in inside}
    refused = run("quote", "papers", "Q-1", "--only", "pick-list", "--archive", "--out", str(out))
    assert (refused.status, "--only pick-list" in refused.err) == (2, True)
    sheet = run("quote", "sheet", "J-1", "--out", str(tmp_path / "sheet.pdf"))
    assert (sheet.status, "DRAFT" in sheet.out) == (0, True)
    assert "Not for customers." in PdfReader(tmp_path / "sheet.pdf").pages[0].extract_text()
    before = out.read_bytes()
    nowhere = run("quote", "paper", "Q-1", "--out", str(tmp_path / "no" / "paper.pdf"))
    assert nowhere.status == 2
    assert "paper-not-written" in nowhere.err or "paper.pdf" in nowhere.err
    wrong = run("quote", "paper", "Q-1", "--revision", "9", "--out", str(out))
    assert (wrong.status, out.read_bytes()) == (2, before)
    assert "Q-1/9" in wrong.err
