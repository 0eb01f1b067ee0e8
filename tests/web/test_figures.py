"""The owner's figures: discounts by person and reason, and every page as a spreadsheet."""

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from io import BytesIO
from xml.etree import ElementTree
from zipfile import ZipFile

import pytest
from python_calamine import CalamineWorkbook
from tests.support.accounts import proven
from tests.support.jobs import frozen, plain

from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Override, OverrideKind, State
from wholekit.services import customers, job_openings, jobs, quotes
from wholekit.services.discount_report import discount_report
from wholekit.services.ports import RevisionFilter
from wholekit.web.workbooks import XLSX

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def by_hand(desk, who, job, mark, money, reason, sku=""):
    deed = proven(who)
    job_openings.override_opening(
        desk,
        deed,
        job,
        mark,
        Override(OverrideKind.PRICE, reason, who, deed.at, sku=sku, price=money),
    )


@pytest.fixture
def desk(desk):
    """A quote with a discount of one person, a line and an opening priced by hand by others."""
    customers.edit_customer(
        desk, proven("odo"), "saltmarsh", lambda old: replace(old, multiplier=Fraction(1, 2))
    )
    job = jobs.create_job(desk, proven(), jobs.NewJob("=1+1 School", "saltmarsh"))
    job_openings.add_openings(
        desk, proven(), job.label, [plain("101", 2), plain("102"), plain("103")]
    )
    jobs.set_discount(desk, proven("sam"), job.label, Fraction(3, 100), "a large job")
    first = quotes.issue_quote(desk, proven("odo"), job.label).revision
    sku = frozen(first).offer.kits[0].lines[0].sku
    by_hand(desk, "ines", job.label, "102", Money(9_00, "USD"), "as last year", sku)
    by_hand(desk, "odo", job.label, "103", Money(500_00, "USD"), "rush")
    quotes.issue_quote(desk, proven("odo"), job.label)
    return desk


def sheet(content, name):
    with ZipFile(BytesIO(content)) as book:
        texts = [book.read(part).decode() for part in book.namelist() if "worksheets/" in part]
    for text in texts:
        root = ElementTree.fromstring(text)  # noqa: S314  # made here
        assert root.find(f".//{MAIN}f") is None, "a formula"
        pane = root.find(f".//{MAIN}pane")
        assert pane is not None
        assert (pane.get("ySplit"), pane.get("state")) == ("1", "frozen")
    return CalamineWorkbook.from_filelike(BytesIO(content)).get_sheet_by_name(name).to_python()


def test_list_less_what_was_given_is_what_was_quoted(desk):
    """An accountant's check: every way together accounts for the whole of list less price."""
    report = discount_report(desk, proven("odo"), RevisionFilter(), "USD")
    with desk.store.reading() as uow:
        (latest,) = [each for each in uow.revisions.matching(RevisionFilter()) if each.number == 2]
    snapshot = frozen(latest)
    listed = quoted = 0
    for opening in snapshot.offer.openings:
        own = snapshot.own_kit(opening)
        kit = snapshot.offer.kit_of(opening)
        listed += opening.quantity * sum(
            mine.list_price.minor * line.quantity
            for line, mine in zip(kit.lines, own.lines, strict=True)
        )
        quoted += opening.price.minor
    assert report.off.minor == listed - quoted
    assert {(each.who, each.way.value, each.reason) for each in report.given} == {
        ("ines", "customer-terms", "saltmarsh"), ("sam", "discount", "a large job"),
        ("ines", "price-by-hand", "as last year"), ("odo", "price-by-hand", "rush")}  # fmt: skip
    (rush,) = [each for each in report.given if each.reason == "rush"]
    assert rush.off.minor < 0, "put up"
    terms = next(each for each in report.given if each.way.value == "customer-terms")
    assert float(terms.share or 0) == pytest.approx(0.5, abs=0.001)


def test_discounts_are_shown_by_person_and_reason_in_the_owners_language(at, desk):
    odo = at("odo")
    page = odo.get("/discounts").text
    for said in ("a large job", "as last year", "rush", "price by hand", "discount of a job"):
        assert said in page
    odo.client.cookies.set("language", "es")
    assert "precio puesto a mano" in odo.get("/discounts").text
    assert "Nothing was given" in at("odo").get("/discounts?until=2020-01-01&since=2019-01-01").text


def test_each_page_of_figures_is_a_spreadsheet_of_numbers_without_a_formula(at, desk):
    quotes.close_quote(
        desk, proven(), "Q-1", State.DECLINED, lost_reason="price", remark="=HYPERLINK(1)"
    )
    odo = at("odo")
    books = {}
    for path in ("/margins.xlsx?by=job", "/discounts.xlsx", "/rises.xlsx", "/stock-value.xlsx",
                 "/slow-stock.xlsx"):  # fmt: skip
        answer = odo.get(path)
        assert answer.headers["content-type"] == XLSX
        assert "attachment" in answer.headers["content-disposition"]
        books[path] = answer.content
    head, *rows = sheet(books["/margins.xlsx?by=job"], "Won and lost")
    assert head[-1] == "Net [USD]"
    assert rows[1][:2] == ["Lost", 1.0]
    assert isinstance(rows[1][2], float)
    (fate,) = sheet(books["/margins.xlsx?by=job"], "Quotes")[1:]
    assert fate[5] == "=HYPERLINK(1)", "as text"
    given = sheet(books["/discounts.xlsx"], "Discounts")[1:]
    total = sum(Decimal(str(row[5])) for row in given)
    # What was lost is no longer counted, as in margins.
    assert (len(given), total) == (0, 0)
    stock = sheet(books["/stock-value.xlsx"], "Value of stock")
    for row in stock[1:]:
        assert row[3] * row[5] == pytest.approx(row[6], abs=0.005)
    assert len(stock) > 1


def test_margins_are_written_as_elsewhere_and_lead_to_job_customer_and_quote(at, desk):
    page = at("odo").get("/margins?by=job").text
    assert '<a href="/jobs/J-00001">' in page
    assert '<a href="/quotes/Q-00001/2">' in page, "the revision that holds"
    assert '<a href="/customers/saltmarsh">' in page
    amounts = re.findall(r'<td class="r n">([\d,.]+) USD</td>', page)
    assert len(amounts) >= 7
    assert all(re.fullmatch(r"[\d,]+\.\d\d", each) for each in amounts)
    assert "No known cost" in page
    assert at("odo").get("/jobs/J-00001").status_code == 200


def test_the_owner_s_first_page_shows_what_waits_for_the_owner_and_nobody_else_s_does(at, desk):
    low = jobs.create_job(desk, proven(), jobs.NewJob("Low Farm", "saltmarsh"))
    job_openings.add_openings(desk, proven(), low.label, [plain("1")])
    jobs.set_discount(desk, proven(), low.label, Fraction(60, 100), "large job")
    quotes.issue_quote(desk, proven(), low.label)
    quotes.close_quote(desk, proven("odo"), "Q-1", State.ACCEPTED)
    page = at("odo").get("/").text
    waits = page.split("<h2>Waiting for you</h2>")[1].split("<h2>")[0]
    assert 'href="/jobs/2/review"' in waits
    assert "asked by ines" in waits
    assert "Accepted, and not released to the pick room" in waits
    for name in ("ines", "pia"):
        assert "Waiting for you" not in at(name).get("/").text
    # A quote that an owner issued under the floor is one of the last month.
    quotes.issue_quote(desk, proven("odo"), low.label)
    waits = at("odo").get("/").text.split("<h2>Waiting for you</h2>")[1].split("<h2>")[0]
    assert "under the floor" in waits
    (address,) = re.findall(r'href="(/margins[^"]+)"', waits)
    address = address.replace("&amp;", "&")
    listed = at("odo").get(address).text
    assert "Low Farm" in listed or "J-00002" in listed
    # Of the quotes those alone that stand under it, each with its margin.
    assert "/quotes/Q-00002/1" in listed
    assert "/quotes/Q-00001/" not in listed
    assert "/quotes/Q-00001/" in at("odo").get(address.replace("under=1", "under=")).text
    row = listed[listed.index("/quotes/Q-00002/1") :].partition("</tr>")[0]
    assert re.search(r'<td class="r">-?[\d.]+% <span class="flag stop">under the floor', row)


def test_a_rise_that_is_tried_counts_those_alone_that_it_brings_under_the_floor(at, desk):
    low = jobs.create_job(desk, proven(), jobs.NewJob("Low Farm", "saltmarsh"))
    job_openings.add_openings(desk, proven(), low.label, [plain("1")])
    jobs.set_discount(desk, proven(), low.label, Fraction(60, 100), "large job")
    quotes.issue_quote(desk, proven("odo"), low.label)
    odo = at("odo")
    now, tried = odo.get("/rises").text, odo.get("/rises?share=100%25").text
    under = re.search(r"(\d+) open quotes? stands? under the floor", now)
    fell = re.search(r"(\d+) open quotes? falls? under the floor by that rise", tried)
    assert under is not None
    assert fell is not None
    marked = tried.count("by the rise</span>")
    assert int(fell[1]) == marked
    row = tried[tried.index('href="/quotes/Q-00002/1"') :].partition("</tr>")[0]
    assert "by the rise" not in row, "under the floor before"
    assert ("After the rise" in tried, "After the rise" in now) == (True, False)
    assert 'href="/jobs/2"' in tried


def test_margins_on_screens_have_one_decimal(at):
    page = at("odo").get("/margins").text
    shares = re.findall(r">(-?[0-9.]+)%<", page)
    assert shares
    assert all(len(share.partition(".")[2]) <= 1 for share in shares)
