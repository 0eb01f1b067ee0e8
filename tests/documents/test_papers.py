"""What papers show, and what they must not."""

import re
from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest
from pypdf import PdfReader
from tests.documents.paper_factory import (
    Style,
    make_figures,
    make_labels,
    make_pick_list,
    make_quote,
    make_setting_cards,
    make_sheet,
)

from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.packing_slip import PackingSlipPaper
from wholekit.documents.papers import (
    KitLabelsPaper,
    PickListPaper,
    QuoteAlternate,
    QuoteItem,
    QuotePaper,
    SettingCardPaper,
)
from wholekit.documents.quote_form import QuoteForm
from wholekit.documents.render import render_paper
from wholekit.domain.house_style import PageSize
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.offer import OfferExtra, Totals
from wholekit.domain.tax import LineKind
from wholekit.wording.amounts import say_money

TEMPLATES = Path(__file__).parents[2] / "templates"
MAKERS: dict[str, Callable[[int], AnyPaper]] = {
    "quote": make_quote,
    "pick list": make_pick_list,
    "labels": make_labels,
    "internal sheet": make_sheet,
    "setting cards": make_setting_cards,
}
ITEMS_OF_ALL = (QuoteItem("TRL-K7", "A body of all kits", "689", 40, Money(59_400, "USD")),)
NASTY = '<script>alert(1)</script> <img src="file:///etc/passwd"> {{7*7}} &amp; </p></body>'


def read(paper: AnyPaper, folder: Path) -> list[str]:
    """The paper's text, page by page, spaces made one."""
    out = folder / "paper.pdf"
    render_paper(paper, out, TEMPLATES)
    return [" ".join(page.extract_text().split()) for page in PdfReader(out).pages]


@pytest.fixture(scope="module", params=[1, 16])
def quote(request, tmp_path_factory):
    paper = make_quote(request.param)
    return paper, read(paper, tmp_path_factory.mktemp("quote"))


def types_within(kind: type) -> set[Any]:
    """Every type a dataclass may hold, at any depth."""
    found: set[Any] = set()
    waiting: list[Any] = [kind]
    while waiting:
        one = waiting.pop()
        waiting += get_args(one)
        if one not in found and not get_args(one):
            found.add(one)
            if is_dataclass(one):
                waiting += [get_type_hints(one)[field.name] for field in fields(one)]
    return found


def test_a_quote_shows_every_mark_item_and_price(quote):
    paper, pages = quote
    text = " ".join(pages)
    for kit in (*paper.kits, *paper.open_kits):
        assert all(mark.mark in text and mark.size in text for mark in kit.marks)
        assert f"one kit {say_money(kit.each, 'en_US')}" in text
        assert all(f"{line.sku} {line.description}" in text for line in kit.lines)
        assert all(say_money(line.net, "en_US") in text for line in kit.lines)
    assert say_money(paper.totals.gross, "en_US") in text


def test_what_is_open_stands_on_the_front_with_its_reason_and_apart_from_what_is_firm(quote):
    paper, pages = quote
    text = " ".join(pages)
    assert text.count("MISSING: this kit is not complete.") == len(paper.open_kits)
    assert ("in no firm total" in pages[0]) == bool(paper.open)
    for one in paper.open:
        assert one.reasons[0] in pages[0]
    count = len(paper.kits) and paper.openings
    said = f"{count} opening"
    if paper.open:
        said = f"{count} of {count + paper.open_count} openings firm; {paper.open_count} open"
    assert f"Firm total {said}" in pages[0]
    if paper.open:
        firm, loose = text.split("Open, as far as it is worked out; in no total")
        for kit in paper.open_kits:
            assert f"{kit.places} " in loose
        assert "MISSING" not in firm


def test_a_quote_gives_questions_assumptions_cautions_validity_and_terms(quote):
    paper, pages = quote
    text = " ".join(pages)
    for said in (*paper.assumptions, *paper.cautions, *paper.terms, paper.questions[1].text):
        assert said in text
    assert "Valid until December 25, 2026" in text
    assert "Calculated; check with a gauge" in text
    assert "Boxed but not used" in text


def test_a_customers_paper_cannot_hold_a_cost():
    for kind in (QuotePaper, PickListPaper, KitLabelsPaper, SettingCardPaper):
        within = types_within(kind)
        names = {field.name for one in within if is_dataclass(one) for field in fields(one)}
        assert Cost not in within
        assert not [name for name in names if "cost" in name or "margin" in name]


def test_the_pick_rooms_papers_cannot_hold_money():
    for kind in (PickListPaper, KitLabelsPaper, PackingSlipPaper, SettingCardPaper):
        assert Money not in types_within(kind)
    assert Money in types_within(QuotePaper)


def test_a_planted_cost_is_on_the_margin_sheet_and_not_in_the_quote(quote, tmp_path):
    paper, pages = quote
    sheet = make_sheet(paper.openings)
    planted = replace(sheet.openings[0], figures=make_figures(9000000, 7654321))
    owners = " ".join(read(replace(sheet, openings=(planted, *sheet.openings[1:])), tmp_path))
    assert "$76,543.21" in owners
    assert "For the owner. Not for customers." in owners
    costs = {say_money(row.figures.cost, "en_US") for row in sheet.openings}
    prices = {
        say_money(amount, "en_US")
        for kit in (*paper.kits, *paper.open_kits)
        for amount in (kit.each, kit.price, *(line.net for line in kit.lines))
    }
    shown = set(re.findall(r"\$[\d,.]*\d", " ".join(pages)))
    assert not shown & (costs - prices)
    assert not {"$76,543.21", "cost", "margin"} & set(" ".join(pages).lower().split())


@pytest.mark.parametrize("kind", ["pick list", "labels", "setting cards"])
def test_no_money_is_printed_for_the_pick_room_or_the_installer(kind, tmp_path):
    text = " ".join(read(MAKERS[kind](6), tmp_path))
    assert not re.search(r"[$€¥£]|USD|\d\.\d\d(?!\.)", text.replace("404.2.8.1", ""))


def test_labels_are_one_for_every_bag(tmp_path):
    paper = make_labels(6)
    pages = read(paper, tmp_path)
    assert len(pages) == -(-len(paper.labels) // 10)
    text = " ".join(pages)
    assert len(re.findall(r"Bag \d+ of \d+", text)) == len(paper.labels)
    assert text.count("FIRE DOOR, 90 MINUTES") == sum(bool(label.alerts) for label in paper.labels)


def test_the_sheet_flags_what_lies_under_the_floor(tmp_path):
    paper = make_sheet(25)
    text = " ".join(read(paper, tmp_path))
    low = [row for row in paper.openings if row.figures.below_floor]
    assert low
    assert len(re.findall(r"% LOW(?!:)", text)) >= len(low)
    assert "LOW: under the floor" in text
    assert "All kits that wait for back orders, each counted once 3 $143.75" in text


def test_a_setting_card_is_one_page_in_the_order_a_fitter_works(tmp_path):
    index, *pages = read(make_setting_cards(4), tmp_path)
    assert "Index of setting cards" in index
    assert len(pages) == 4
    for page in pages:
        steps = ["vertical dimension first", "horizontal one", "Sweep valve", "Latch valve"]
        places = [page.index(step) for step in steps]
        assert places == sorted(places)
        assert "check with a gauge, and write it down" in page


@pytest.mark.parametrize("kind", MAKERS)
@pytest.mark.parametrize("count", [1, 7])
def test_every_page_has_its_number_and_the_number_of_pages(kind, count, tmp_path):
    pages = read(MAKERS[kind](count), tmp_path)
    for number, page in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in page
        assert "0123456789" not in page


def test_quote_number_and_customer_stand_on_every_page(quote):
    paper, pages = quote
    for page in pages:
        assert paper.head.number in page
        assert paper.head.customer in page


def test_text_from_a_schedule_is_shown_and_never_run(tmp_path):
    paper = make_quote(1, Style(note=NASTY))
    (kit,) = paper.kits
    lines = (replace(kit.lines[0], description=NASTY, sku="<b>SKU</b>"), *kit.lines[1:])
    marks = (replace(kit.marks[0], mark="<u>1</u>"),)
    nasty = replace(
        paper,
        head=replace(paper.head, customer=NASTY, job=NASTY),
        kits=(replace(kit, places="<i>-1</i>", marks=marks, lines=lines),),
    )
    pages = read(nasty, tmp_path)
    text = " ".join(pages)
    for shown in (
        "<script>alert(1)</script>",
        "{{7*7}}",
        "&amp;",
        "<b>SKU</b>",
        "<u>1</u>",
        "<i>-1</i>",
    ):
        assert shown in text
    assert "49" not in re.sub(r"[^ ]*49[^ ]*\.", "", text).split()
    assert "root:" not in text
    reader = PdfReader(tmp_path / "paper.pdf")
    assert not [page for page in reader.pages if list(page.images)]


def test_a_page_number_written_by_a_schedule_is_left_alone(tmp_path):
    placeholder = "Page 0123456789 of 0123456789"
    pages = read(make_quote(1, Style(note=placeholder)), tmp_path)
    assert placeholder in " ".join(pages)
    assert f"Page 1 of {len(pages)}" in pages[0]


def test_a_long_kit_repeats_its_heading_and_loses_nothing(tmp_path):
    paper = make_quote(2)
    kit, other = paper.kits
    sku = "X" * 30 + "-" + "Y" * 29
    lines = tuple(
        replace(kit.lines[0], sku=sku, description=f"Piece number {number:03d}")
        for number in range(90)
    )
    note = " ".join(f"word{number:03d}" for number in range(62))
    marks = tuple(
        replace(kit.marks[0], mark=f"LONG-{number:03d}", note=note) for number in range(40)
    )
    long = replace(kit, places="LONG-000–039", lines=lines, marks=marks)
    pages = read(replace(paper, kits=(long, other)), tmp_path)
    with_lines = [page for page in pages if "Piece number" in page or "LONG-0" in page]
    assert len(with_lines) > 4
    for page in with_lines:
        assert "LONG-000–039" in page
    text = " ".join(pages)
    assert all(f"Piece number {number:03d}" in text for number in range(90))
    assert text.replace(" ", "").count(sku) == 90
    assert all(f"LONG-{number:03d}" in text for number in range(40))
    assert text.count(note) == 40
    outline = [str(entry) for entry in PdfReader(tmp_path / "paper.pdf").outline]
    assert re.findall(r"LONG-\d+", " ".join(outline)) == [one.mark for one in marks]


def test_the_heading_of_a_kit_is_never_alone_at_the_foot_of_a_page(quote):
    paper, pages = quote
    for kit in (*paper.kits, *paper.open_kits):
        heading = f"one kit {say_money(kit.each, 'en_US')} {kit.lines[0].sku}"
        page = next(page for page in pages if heading in page)
        assert kit.marks[-1].size in page.partition(heading)[2]


@pytest.mark.parametrize("form", QuoteForm)
def test_acceptance_never_stands_alone_and_says_what_it_accepts(form, tmp_path):
    for count in (1, 11):
        paper = replace(make_quote(count), form=form)
        pages = read(paper, tmp_path)
        (page,) = [page for page in pages if "Acceptance of quote" in page]
        assert "Firm total, before freight and taxes" in page
        assert paper.head.number in page.partition("Acceptance of quote")[2]
        total = say_money(paper.totals.gross, "en_US")
        assert f"Signing accepts the firm openings only, at {total}." in page
        for said in ("Your order number", "Signature", "Date"):
            assert said in page
        for one in paper.open:
            assert one.places in page.partition("not accepted, since open:")[2]


@pytest.mark.parametrize("alternates", [0, 4, 60])
@pytest.mark.parametrize("extras", [0, 1, *range(8, 60, 8)])
def test_the_front_names_the_page_that_bears_the_signature(extras, alternates, tmp_path):
    """However far extra lines push it, and however many alternates stand above it to be ticked."""
    some = Money(1_250, "USD")
    nothing = Money.zero("USD")
    line = OfferExtra(LineKind.OTHER, "Hoisting", 1, some, some)
    option = QuoteAlternate(
        "ALT", "More", "", "", (), (), Totals(some, nothing, nothing, some, (), some)
    )
    paper = replace(
        make_quote(3),
        extras=tuple(replace(line, description=f"Hoisting {at}") for at in range(extras)),
        alternates=tuple(replace(option, code=f"ALT-{at}") for at in range(alternates)),
    )
    pages = read(paper, tmp_path)
    (named,) = re.findall(r"sign on page (\d+)", " ".join(pages))
    assert [at for at, page in enumerate(pages, 1) if "Your order number" in page] == [int(named)]


def test_where_nothing_can_be_accepted_no_page_to_sign_is_named(tmp_path):
    whole = make_quote(3)
    nothing = Money.zero("USD")
    paper = replace(
        whole, kits=(), totals=Totals(nothing, nothing, nothing, nothing, (), nothing), firm=nothing
    )
    text = " ".join(read(paper, tmp_path))
    assert "Nothing can be accepted yet" in text
    assert "sign on page" not in text


def test_the_short_form_holds_each_opening_item_price_caution_and_safety_assumption(tmp_path):
    paper = replace(make_quote(16), form=QuoteForm.SHORT, items=ITEMS_OF_ALL)
    pages = read(paper, tmp_path)
    text = " ".join(pages)
    for kit in (*paper.kits, *paper.open_kits):
        assert kit.places in text
        assert f"{say_money(kit.each, 'en_US')} {say_money(kit.price, 'en_US')}" in text
        assert all(line.sku in text for line in kit.lines)
    for said in (*paper.cautions, *paper.assumptions, *paper.terms, ITEMS_OF_ALL[0].description):
        assert said in text
    for gone in ("Boxed but not used", "Appendix", "Calculated; check"):
        assert gone not in text
    assert "may not latch" in text, "what asks for a check stays"
    assert "is estimated from its construction" not in text


@pytest.mark.parametrize(
    ("currency", "locale", "written"),
    [
        ("CAD", "fr_CA", "148,50 $"),
        ("EUR", "de_DE", "148,50 €"),
        ("JPY", "en_US", "¥14,850"),
        ("KWD", "en_US", "KWD 14.850"),
    ],
)
def test_amounts_follow_the_papers_locale(currency, locale, written, tmp_path):
    text = " ".join(read(make_quote(1, Style(currency, locale)), tmp_path))
    assert written in text


def test_the_sheet_is_the_papers_own(tmp_path):
    for size, width in ((PageSize.LETTER, 612), (PageSize.A4, 595)):
        read(make_quote(1, Style(page_size=size)), tmp_path)
        page = PdfReader(tmp_path / "paper.pdf").pages[0]
        assert int(page.mediabox.width) == width


def test_a_small_paper_tells_a_screen_reader_its_table_headings(tmp_path):
    read(make_quote(1), tmp_path)
    reader = PdfReader(tmp_path / "paper.pdf")
    assert "/StructTreeRoot" in reader.root_object
    assert str(reader.root_object["/Lang"]) == "en"
    assert b"/TH" in (tmp_path / "paper.pdf").read_bytes()
