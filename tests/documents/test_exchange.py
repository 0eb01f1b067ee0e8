"""Open formats of an issued offer, read back by independent readers.

Source of the amounts: OASIS UBL example Quotation, 197750 DKK net, 25 % VAT, 247187.50 DKK.
"""

import csv
import io
from dataclasses import replace
from email import message_from_bytes
from email.policy import default
from fractions import Fraction

import openpyxl
import pytest
from icalendar import Calendar
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, desk_on, frozen, furnished, plain

from wholekit.cli.console import json_text
from wholekit.documents.comparison import comparison_paper
from wholekit.documents.exchange.books import order_csv
from wholekit.documents.exchange.calendar import calendar_bytes
from wholekit.documents.exchange.comparison_workbook import comparison_workbook
from wholekit.documents.exchange.house_workbooks import margin_workbook, pick_workbook
from wholekit.documents.exchange.mail import mail_address, mail_bytes
from wholekit.documents.exchange.quotation import quotation_xml
from wholekit.documents.exchange.quote_workbook import quote_workbook
from wholekit.documents.exchange.schedule_columns import schedule_columns
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_sheet import sheet_paper
from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError
from wholekit.domain.openings import HoldOpen
from wholekit.domain.quantities import Cost, Money, parse_money
from wholekit.domain.quotes import Acceptance
from wholekit.domain.quotes.compare import compare
from wholekit.domain.tax import LineKind, ShipTo, TaxRate
from wholekit.services.customers import add_customer, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings, edit_opening
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.quotes import issue_quote
from wholekit.views.quotes import sent_answer


@pytest.fixture(scope="module")
def offer():
    desk = desk_on(FakeStore())
    set_ship_to(desk, by(), ShipTo("aarhus", "Aarhus", taxes=(TaxRate("VAT", Fraction(1, 4)),)))
    add_customer(desk, by("odo"), Customer("buyer", "Buyer", currency="DKK", ship_to="aarhus"))
    job = create_job(desk, by(), NewJob("Example", "buyer"))
    for name, amount in (("=1+1", "150500"), ("b", "43750"), ("c", "1750"), ("d", "1750")):
        line = NewExtra(LineKind.HARDWARE, name, 1, parse_money(amount, "DKK"))
        add_extra(desk, by(), job.label, line)
    return frozen(issue_quote(desk, by(), job.label).revision).offer


def test_the_books_hold_every_line_its_tax_and_the_payable_amount(offer):
    rows = list(csv.DictReader(io.StringIO(order_csv(offer, Acceptance()).decode())))
    amounts = {row["row"]: row["amount"] for row in rows}
    assert (amounts["net"], amounts["tax"], amounts["gross"]) == (
        "197750.00", "49437.50", "247187.50",
    )  # fmt: skip
    lines = [row for row in rows if row["row"] == LineKind.HARDWARE.value]
    assert sum(Fraction(row["amount"]) for row in lines) == 197750
    assert lines[0]["name"] == "'=1+1"


def test_a_calendar_says_how_long_the_offer_holds_and_is_the_same_each_time(offer):
    read = Calendar.from_ical(calendar_bytes(offer))
    (event,) = read.walk("VEVENT")
    assert event.decoded("dtstart") == offer.valid_until
    assert str(event["uid"]).startswith(f"{offer.quote}-valid@")
    assert calendar_bytes(offer) == calendar_bytes(offer)


@pytest.fixture(scope="module")
def two_revisions():
    """A quote of three marks, one of them left out, and what followed it."""
    desk = furnished(FakeStore())
    job = a_job(desk, "101")
    named = replace(plain("=HYPERLINK(1)", 3), note="+1 and -2")
    stopped = plain("104", fire_minutes=90, hold_open=HoldOpen.ARM)
    add_openings(desk, by(), job.label, [named, stopped])
    line = NewExtra(LineKind.HARDWARE, "@SUM(A1:A9)", 3, Money(1_299, "USD"), Cost(81_234, "USD"))
    add_extra(desk, by(), job.label, line)
    first = issue_quote(desk, by("odo"), job.label, leave_stopped=True)
    edit_opening(desk, by(), job.label, "101", lambda old: replace(old, quantity=4))
    second = issue_quote(desk, by("odo"), job.label, leave_stopped=True)
    return frozen(first.revision), frozen(second.revision)


def sheets_of(data, day):
    """Each sheet of a workbook as an independent reader finds it, headings and formats checked.

    day: of issue; made on another day, the same workbook says the same.
    """
    book = openpyxl.load_workbook(io.BytesIO(data))
    assert book.properties.created.date() == book.properties.modified.date() == day
    for sheet in book:
        assert sheet.freeze_panes == "A2"
        cells = [cell for row in sheet.iter_rows() for cell in row]
        assert not [cell.coordinate for cell in cells if cell.data_type == "f"]
    return {sheet.title: list(sheet.iter_rows()) for sheet in book}


def test_a_quote_as_a_workbook_has_numbers_as_numbers_and_text_as_text(two_revisions):
    offer = two_revisions[1].offer
    sheets = sheets_of(quote_workbook(offer), offer.issued)
    head, *openings = sheets["Openings"]
    titles = [cell.value for cell in head]
    by_mark = {row[0].value: dict(zip(titles, row, strict=True)) for row in openings}
    assert set(by_mark) == {"101", "=HYPERLINK(1)"}
    row = by_mark["=HYPERLINK(1)"]
    assert (row["Mark"].data_type, row["Mark"].quotePrefix) == ("s", True)
    assert (row["Note"].value, row["Note"].data_type) == ("+1 and -2", "s")
    price = row["Price [USD]"]
    expected = next(each.price for each in offer.openings if each.mark == "=HYPERLINK(1)")
    assert (price.value, price.number_format) == (float(expected.decimal), "#,##0.00")
    assert sum(each["Price [USD]"].value for each in by_mark.values()) == pytest.approx(
        float(offer.totals.hardware.decimal)
    )
    facts = {name.value: value.value for name, value in sheets["Quote"]}
    assert facts["Valid until"].date() == offer.valid_until
    assert facts["Total [USD]"] == float(offer.totals.gross.decimal)
    assert sheets["Extra lines"][1][0].value == "@SUM(A1:A9)"
    assert sheets["Open"][1][0].value == "104"
    assert quote_workbook(offer) == quote_workbook(offer)


@pytest.mark.parametrize("locale", ["fr_CA", "es_MX"])
def test_workbooks_for_customers_come_in_their_language(two_revisions, locale):
    old, new = (
        replace(
            each,
            sent=replace(each.words, language=locale[:2]),
            customer=replace(each.customer, locale=locale),
        )
        for each in (snapshot.offer for snapshot in two_revisions)
    )
    sheets = sheets_of(quote_workbook(new), new.issued)
    english = set(sheets_of(quote_workbook(two_revisions[1].offer), new.issued))
    assert len(sheets) == len(english)
    assert not set(sheets) & english
    changes = comparison_workbook(comparison_paper(compare(old, new), new))
    assert not {"Changes to quote"} & set(sheets_of(changes, new.issued))


def test_the_pick_rooms_workbook_has_no_money_and_the_owners_has_every_margin(two_revisions):
    snapshot = two_revisions[1]
    day = snapshot.offer.issued
    picked = sheets_of(pick_workbook(pick_list_paper(snapshot.offer, "NOT ORDERED")), day)
    for rows in picked.values():
        assert {row[0].value for row in rows} == {"!", "NOT ORDERED"}
        assert not [cell for row in rows for cell in row if cell.number_format != "General"
                    and "." in cell.number_format]  # fmt: skip
    walk = picked["Walk"]
    quantity = [cell.value for cell in walk[0]].index("Quantity")
    taken = sum(row[quantity].value for row in walk[1:])
    assert taken == sum(
        line.quantity * opening.quantity
        for opening in snapshot.offer.openings
        for line in snapshot.offer.kit_of(opening).lines
    )
    sheet = sheet_paper(snapshot, Fraction(1, 4))
    margins = sheets_of(margin_workbook(sheet), day)
    base = margins["Totals"][1]
    assert [cell.value for cell in base[1:4]] == [
        float(amount.decimal)
        for amount in (sheet.total.price, sheet.total.cost, sheet.total.margin)
    ]
    assert base[4].value == pytest.approx(float(sheet.total.rate or 0))
    assert base[4].number_format.endswith("%")
    assert len(margins["Openings"]) == 1 + len(snapshot.offer.openings)


def test_what_changed_as_a_workbook_adds_up_to_what_the_total_moved(two_revisions):
    old, new = (snapshot.offer for snapshot in two_revisions)
    paper = comparison_paper(compare(old, new), new)
    rows = sheets_of(comparison_workbook(paper), new.issued)
    ((_, *body),) = rows.values()
    moved = {row[1].value or row[3].value: row[6].value for row in body}
    assert moved["101"] == moved["Total"] == float((new.totals.gross - old.totals.gross).decimal)


def test_columns_for_the_customers_sheet_price_what_is_firm_once_and_say_what_is_open(
    two_revisions,
):
    offer = two_revisions[1].offer
    placed = [(3, "101"), (4, "104"), (5, "101"), (7, "X9"), (8, "=HYPERLINK(1)")]
    found = schedule_columns(offer, placed)
    kits = dict(zip(found.headings, zip(*found.rows.values(), strict=True), strict=True))
    assert sum(price or 0 for price in kits["Price [USD]"]) == offer.totals.hardware.decimal
    assert [count is None for count in kits["Quantity"]] == [False, True, True, True, False]
    assert [bool(kit) for kit in kits["Kit"]] == [True, False, True, False, True]
    assert [bool(why) for why in kits["Open"]] == [False, True, False, True, False]
    assert (found.unknown, found.missed) == (("X9",), ())
    assert schedule_columns(offer, placed[:1]).missed == ("=HYPERLINK(1)",)
    dated = schedule_columns(replace(offer, ready_shown=True), placed)
    assert [cells[-1] != "" for cells in dated.rows.values()] == [True, False, True, False, True]


@pytest.mark.parametrize("locale", ["en_US", "fr_CA"])
def test_a_mail_brings_the_quote_and_says_what_is_open(two_revisions, locale):
    offer = two_revisions[1].offer
    offer = replace(offer, customer=replace(offer.customer, locale=locale, contact="R. Oake, QS"))
    if locale != "en_US":
        offer = replace(offer, sent=offer.words)
    to = mail_address("buyer@saltmarsh.example", offer.customer.contact)
    data = mail_bytes(offer, b"%PDF-1.7 x", to)
    assert mail_bytes(offer, b"%PDF-1.7 x", to) == data
    mail = message_from_bytes(data, policy=default)
    assert not mail.defects
    assert mail["To"].addresses[0].addr_spec == "buyer@saltmarsh.example"
    assert mail["To"].addresses[0].display_name == "R. Oake, QS"
    assert offer.label in mail["Subject"]
    # What sends it puts them in.
    assert not {"from", "date", "message-id", "x-unsent"} & {name.lower() for name in mail}
    (pdf,) = mail.iter_attachments()
    assert (pdf.get_content_type(), pdf.get_content()) == ("application/pdf", b"%PDF-1.7 x")
    body = mail.get_body(("plain",))
    assert body is not None
    text = body.get_content()
    words = {
        "en_US": ("Firm total: $", "104", "It holds until December 25, 2026."),
        "fr_CA": ("Total ferme\xa0: ", "104", "25 décembre 2026"),
    }[locale]
    assert all(word in text for word in words), text


@pytest.mark.parametrize("address", ["nobody", "a@b, c@d", "a@b\nBcc: x@y", "@b", "é@b.example"])
def test_an_address_that_is_none_is_refused(address):
    with pytest.raises(CallError) as refused:
        mail_address(address)
    assert refused.value.code == "mail-address-wrong"


def test_nothing_that_goes_to_a_customer_tells_whose_books_stand_behind_it(two_revisions):
    """Suppliers, their catalogues and what the house keeps of a revision stay inside."""
    offer = two_revisions[1].offer
    mail = message_from_bytes(mail_bytes(offer, b"%PDF-1.7 x"), policy=default)
    text = mail.get_body()
    assert text is not None
    book = openpyxl.load_workbook(io.BytesIO(quote_workbook(offer)))
    told = {
        "json": json_text(sent_answer(offer)),
        "ubl": quotation_xml(offer).decode(),
        "ics": calendar_bytes(offer).decode(),
        "mail": f"{mail['Subject']} {text.get_content()}",
        "xlsx": " ".join(
            str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row
        ),
    }
    ordered = sent_answer(offer, Acceptance((), "4417")).accepted
    assert ordered is not None
    assert ordered.order_number == "4417"
    inside = {part for book in offer.catalogs for part in (book.supplier, book.catalog_id)}
    inside |= {"from memory", "sha256", "own cost"}
    assert offer.catalogs
    for form, said in told.items():
        for word in inside:
            assert word.lower() not in said.lower(), (form, word)


def test_a_mail_is_from_the_house_where_it_says_who_it_is(offer):
    known = replace(offer, house_name="Fernhollow", house_email="desk@fernhollow.example")
    mail = message_from_bytes(mail_bytes(known, b"%PDF-1.7 x"), policy=default)
    assert str(mail["From"]) == "Fernhollow <desk@fernhollow.example>"
    nameless = replace(offer, house_email="")
    assert message_from_bytes(mail_bytes(nameless, b"%PDF-1.7 x"), policy=default)["From"] is None
