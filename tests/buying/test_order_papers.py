"""The purchase order on paper and as CSV: all of one supplier's lines, and what they come to."""

import csv
import io
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from pypdf import PdfReader
from tests.buying.orders import DAY, HOUSE, an_order, orders
from tests.documents.test_papers import TEMPLATES

from wholekit.documents.dress import dressed
from wholekit.documents.exchange.purchase_order import HEADINGS, purchase_order_csv
from wholekit.documents.fill_order import purchase_order_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.render import render_paper
from wholekit.domain.buying import OrderLine, PurchaseOrder
from wholekit.domain.house_style import HouseStyle, PageSize
from wholekit.domain.quantities import Cost, Money
from wholekit.wording.amounts import say_cost, say_money


def test_an_order_is_made_of_one_suppliers_part_of_the_buy_list():
    order = an_order()
    assert [(line.sku, line.packs, line.unit.decimal_text) for line in order.lines] == [
        ("T-BS-MS-P10", 10, "18.0000"),
        ("T-PS-P25", 2, "9.5550"),
        ("TG-BA", 5, "124.4600"),
        ("TG-SH.689", 3, "5.3900"),
    ]
    assert order.total == Money(18_000 + 1_911 + 62_230 + 1_617, "USD")
    assert (order.branch, order.wanted_by, order.lines[2].expected) == (
        "main", date(2026, 12, 8), date(2026, 12, 2),
    )  # fmt: skip


@pytest.mark.parametrize(("locale", "title", "size"), [
    ("en_US", "Purchase order", PageSize.LETTER), ("fr_CA", "Bon de commande", PageSize.LETTER),
    ("es_ES", "Orden de compra", PageSize.A4),
])  # fmt: skip
def test_the_paper_shows_every_line_in_the_suppliers_language(locale, title, size, tmp_path):
    order = replace(an_order(), note="Leave at dock 2", supplier_address=("4 Mill Lane",))
    paper = purchase_order_paper(order, HOUSE, locale=locale, language=locale[:2])
    assert paper.head.page_size is size
    out = tmp_path / "order.pdf"
    render_paper(paper, out, TEMPLATES)
    pages = PdfReader(out).pages
    text = " ".join(" ".join(page.extract_text().split()) for page in pages)
    plain = text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")
    wanted = [f"{title} PO-7", "4 Mill Lane", "Leave at dock 2", *order.ship_to, "Odo Marsh"]
    wanted += [say_money(order.total, locale), "GTIN 400000000602"]
    for line in order.lines:
        wanted += [line.sku, say_cost(line.unit, locale), say_money(line.amount, locale)]
    for said in wanted:
        said = said.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")
        assert said in plain, said


def test_a_long_order_is_dressed_as_the_house_and_its_headings_repeat(tmp_path):
    order = an_order()
    lines = tuple(replace(order.lines[0], sku=f"T-{number}") for number in range(80))
    style = HouseStyle(accent="#2f5d50", paper=PageSize.A4)
    paper = dressed(purchase_order_paper(replace(order, lines=lines), HOUSE), style)
    assert "#2f5d50" in make_flow(paper, TEMPLATES).css
    render_paper(paper, tmp_path / "order.pdf", TEMPLATES)
    pages = [page.extract_text() for page in PdfReader(tmp_path / "order.pdf").pages]
    assert len(pages) > 2
    assert all("Description" in page for page in pages)
    assert sum(page.count("T-") for page in pages) == 80


@settings(max_examples=25)
@given(order=orders())
def test_the_csv_comes_to_the_order(order):
    rows = [*csv.reader(io.StringIO(purchase_order_csv(order).decode(), newline=""))]
    assert rows[0] == [*HEADINGS]
    read = [dict(zip(HEADINGS, row, strict=True)) for row in rows[1:]]
    assert sum(Decimal(row["amount"]) for row in read) == order.total.decimal
    assert [int(row["packs"]) for row in read] == [line.packs for line in order.lines]


def test_no_cell_of_the_csv_is_taken_for_a_formula():
    order = an_order()
    odd = replace(order.lines[0], description="=1+1", finish="@x", sku="+A")
    rows = purchase_order_csv(replace(order, lines=(odd,), branch="-b")).decode()
    (row,) = csv.DictReader(io.StringIO(rows, newline=""))
    assert [row[name] for name in ("description", "finish", "sku", "ship_to")] == [
        "'=1+1", "'@x", "'+A", "'-b",
    ]  # fmt: skip


def test_an_order_without_lines_or_of_two_currencies_is_a_mistake_of_the_caller():
    line = OrderLine("A", "A", "", "", 1, 1, Cost(1, "USD"))
    for lines in ((), (replace(line, packs=0),), (line, replace(line, unit=Cost(1, "EUR")))):
        with pytest.raises(ValueError, match="order PO-1"):
            PurchaseOrder("PO-1", "Maker", "USD", DAY, "main", lines)


def test_an_amount_is_rounded_once_for_the_whole_line():
    """Three of 0.0050: 0.015 is 0.02, where each rounded would make 0.03."""
    line = OrderLine("A", "A", "", "", 1, 3, Cost(50, "USD"))
    assert line.amount == Money(2, "USD")
