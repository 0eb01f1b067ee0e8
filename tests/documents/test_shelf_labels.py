"""Labels of items and bins: their codes are read off the page, and they stay on their labels."""

from dataclasses import replace

import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from tests.documents.paper_factory import make_labels
from tests.documents.test_labels import POINTS_TO_MM, base_is_inside, texts_of
from tests.documents.test_papers import TEMPLATES
from tests.support.command import run
from tests.support.house import sample, shelf
from tests.support.jobs import put_catalog
from tests.support.page_ink import ink_of

from wholekit.bootstrap import open_store
from wholekit.documents.bars import DOT, item_bars, text_bars
from wholekit.documents.label_stock import SHEET_10, STOCKS, stock_named
from wholekit.documents.make_flow import make_flow
from wholekit.documents.render import render_paper
from wholekit.documents.shelf_labels import (
    WIDTHS,
    ShelfLabelsPaper,
    Wanted,
    shelf_labels_paper,
)
from wholekit.domain.catalog.gtin import as_gtin_14, check_digit, retail_gtin
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import PageSize
from wholekit.domain.quantities import Money
from wholekit.settings import bundled

# GS1: the GTIN-13 of its check digit calculation; 036000291452, 96385074: worked examples of UPC-A
# and EAN-8 in common use (from memory, not read).
EAN, UPC, EIGHT = "6291041500213", "036000291452", "96385074"
CASE = "16291041500210"
OF_EACH_FORM = [stock_named(name) for name in ("sheet-10", "4x6in", "2x1in")]


def labels_of(stock: str = "sheet-10", page: PageSize = PageSize.LETTER, **wanted: object):
    given = Wanted(**wanted)  # type: ignore[arg-type]  # tests know the fields
    return shelf_labels_paper([sample("tarrowby")], given, stock_named(stock), page)


def three_items():
    """An item with a GTIN-13, one with a GTIN-12, one with none, in two bins."""
    book = sample("tarrowby")
    first, second, third = book.items[:3]
    items = (
        replace(first, sku="TG-EAN", barcode=EAN, bin="B-2"),
        replace(second, sku="TG-UPC", barcode=UPC, bin="B-10"),
        replace(third, sku="TG-SKU.1/2", barcode="", bin="B-10"),
    )
    return replace(book, items=items)


@pytest.mark.parametrize(
    ("stock", "page"),
    [(SHEET_10, PageSize.A4), *((stock, PageSize.LETTER) for stock in STOCKS)],
    ids=lambda one: one.name,
)
def test_a_reader_finds_every_code_on_the_printed_page(stock, page, tmp_path):
    """By a reader apart from the writer, off the page's dots at 203 dpi."""
    out = tmp_path / "labels.pdf"
    paper = shelf_labels_paper([three_items()], Wanted(), stock, page)
    render_paper(paper, out, TEMPLATES)
    found = {}
    for number in range(-(-3 // stock.to_a_page)):
        for code in zxingcpp.read_barcodes(ink_of(out, number)):
            found[code.text] = code.format
    # The reader gives UPC-A as the EAN-13 that it is.
    assert found == {
        EAN: zxingcpp.BarcodeFormat.EAN13,
        "0" + UPC: zxingcpp.BarcodeFormat.EAN13,
        "TG-SKU.1/2": zxingcpp.BarcodeFormat.Code128,
    }


@pytest.mark.parametrize("stock", OF_EACH_FORM, ids=lambda stock: stock.name)
@pytest.mark.parametrize("of_bins", [False, True])
def test_a_name_of_any_length_and_all_under_it_stay_on_the_label(stock, of_bins, tmp_path):
    first = sample("tarrowby").items[0]
    words = "Arm set, parallel, main arm, forearm, screw arm to bracket, dark bronze (second shade)"
    names = ("1", "A-1-1", "C-01-02B", "W" * 14, "W" * 27, "W" * 40)
    items = tuple(
        replace(first, sku=name, bin=name, barcode=code, description=words, finish="695",
                pack_size=10)
        for name in names for code in ("", EAN)
    )  # fmt: skip
    book = replace(sample("tarrowby"), items=items)
    paper = shelf_labels_paper([book], Wanted(of_bins=of_bins), stock, PageSize.LETTER)
    out = tmp_path / "labels.pdf"
    render_paper(paper, out, TEMPLATES)
    shown = ""
    for text, left, right, down, width in placed_texts(out, stock):
        shown += "".join(text.split())
        assert left >= stock.edges[1] - 0.1, text
        if of_bins and words in text:
            continue  # what lies in a bin is cut at the label's edge
        assert right <= width - stock.edges[1] + 0.2, text
        assert stock.across == 1 or right <= width / 2 or left >= width / 2, text
        assert base_is_inside(down, stock), (text, down)
    for label in paper.labels:
        assert label.name in shown
        assert label.bars is None or label.bars.text in shown


def placed_texts(out, stock):
    """Each text of the labels: where it begins, ends and stands from the first label's top [mm],
    and how wide its page is."""
    for page, read in zip(PdfReader(out).pages, texts_of(out), strict=True):
        wide, high = float(page.mediabox.width), float(page.mediabox.height)
        for text, left, right, base in read:
            if not text.startswith("Page "):
                down = (high - base) / POINTS_TO_MM - stock.edges[0]
                yield text, left / POINTS_TO_MM, right / POINTS_TO_MM, down, wide / POINTS_TO_MM


@pytest.mark.parametrize("stock", OF_EACH_FORM, ids=lambda stock: stock.name)
def test_a_bags_code_is_read_off_the_printed_page_too(stock, tmp_path):
    paper = replace(make_labels(2), stock=stock)
    out = tmp_path / "labels.pdf"
    render_paper(paper, out, TEMPLATES)
    first = zxingcpp.read_barcodes(ink_of(out))
    here = paper.labels[: stock.to_a_page]
    assert {code.text for code in first} == {label.bag_id for label in here}


def test_a_barcode_of_another_length_leaves_the_sku_to_be_scanned():
    assert item_bars("A-1", EIGHT).text == item_bars("A-1", CASE).text == "A-1"


def test_retail_bars_are_95_modules_between_their_quiet_zones():
    """11 and 7 light modules at the ends of EAN-13, 9 and 9 of UPC-A (from memory, not read)."""
    for code, kind, left, right in ((EAN, "ean13", 11, 7), (UPC, "upca", 9, 9)):
        bars = item_bars("A-1", code)
        assert (bars.kind, bars.text) == (kind, code)
        assert len(bars.modules.lstrip("0")) == 95 + right
        assert len(bars.modules) - len(bars.modules.lstrip("0")) == left
        assert len(bars.modules.strip("0")) == 95


@given(st.text("0123456789", min_size=11, max_size=12))
def test_a_gtin_keeps_its_meaning_as_a_bar_code(digits):
    code = digits + str(check_digit(digits))
    for padded in (code, code.rjust(13, "0"), as_gtin_14(code)):
        bars = retail_gtin(padded)
        assert as_gtin_14(bars) == as_gtin_14(code)
        assert len(bars) in (12, 13)
        assert retail_gtin(padded[:-1] + str((int(padded[-1]) + 1) % 10)) == ""


@given(
    st.text("ABCXYZ0189._/+-", min_size=1, max_size=40),
    st.sampled_from(STOCKS),
    st.sampled_from(PageSize),
)
def test_bars_are_whole_dots_with_room_to_spare_at_both_ends_or_there_are_none(text, stock, page):
    bars = text_bars(text)
    assert bars is not None
    assert bars.modules.strip("0").startswith("11")
    assert bars.modules.startswith("0" * 10)
    assert bars.modules.endswith("0" * 10)
    width = stock.width(WIDTHS[page])
    dots = bars.dots_within(width)
    assert dots in (0, 2, 3, 4)
    assert len(bars.modules) * dots * DOT <= width
    if dots < 4:
        assert len(bars.modules) * max(dots + 1, 2) * DOT > width


def test_labels_come_as_one_walks_and_hold_no_price():
    paper = shelf_labels_paper([three_items()], Wanted(), stock_named("a6"), PageSize.A4)
    assert [label.name for label in paper.labels] == ["TG-EAN", "TG-SKU.1/2", "TG-UPC"]
    html = " ".join(block.html for block in make_flow(paper, TEMPLATES).blocks)
    for said in ("Bin B-10", "Tarrowby Closer Company", "Granite body, size 1"):
        assert said in html
    prices = {item.list_price.decimal_text for item in three_items().items}
    assert not [price for price in prices if price in html]
    assert Money.__name__ not in repr(paper)


def test_a_bin_has_one_label_with_what_lies_in_it():
    paper = shelf_labels_paper(
        [three_items()], Wanted(of_bins=True), stock_named("4x6in"), PageSize.LETTER
    )
    assert [label.name for label in paper.labels] == ["B-2", "B-10"]
    assert [sku for sku, _ in paper.labels[1].items] == ["TG-SKU.1/2", "TG-UPC"]
    loose = replace(three_items().items[0], bin="")
    with pytest.raises(CallError) as refused:
        shelf_labels_paper(
            [replace(three_items(), items=(loose,))],
            Wanted(of_bins=True),
            stock_named("4x6in"),
            PageSize.LETTER,
        )
    assert refused.value.code == "label-none"


def test_items_and_bins_are_chosen_in_any_case_and_unknown_ones_named():
    sku = sample("tarrowby").items[0].sku
    assert [label.name for label in labels_of(skus=(sku.lower(),)).labels] == [sku]
    there = {item.sku for item in sample("tarrowby").items if item.bin == "B-01-04"}
    assert {label.name for label in labels_of(bins=("b-01-04",)).labels} == there
    everything = labels_of().labels
    assert len(everything) == len(sample("tarrowby").items)
    for wanted, code in ((Wanted(("NO-1",)), "label-items-unknown"),
                         (Wanted(bins=("Z-9",)), "label-bins-unknown")):  # fmt: skip
        with pytest.raises(CallError) as refused:
            shelf_labels_paper([sample("tarrowby")], wanted, stock_named("a6"), PageSize.A4)
        assert refused.value.code == code


@pytest.mark.parametrize("name", ["Regal Süd", "上段", "a\tb"])
def test_a_name_that_no_code_holds_is_printed_without_one(name):
    book = three_items()
    odd = replace(book, items=tuple(replace(item, bin=name) for item in book.items))
    paper = shelf_labels_paper([odd], Wanted(of_bins=True), stock_named("a6"), PageSize.A4)
    assert [label.bars for label in paper.labels] == [None]


def test_the_command_prints_the_stores_catalogues_and_folders_alike(monkeypatch, tmp_path):
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    kept: list[ShelfLabelsPaper] = []
    monkeypatch.setattr(
        "wholekit.documents.render.render_paper", lambda paper, *_: kept.append(paper)
    )
    out = ("--out", str(tmp_path / "l.pdf"))
    assert run("catalog", "labels", *out).status == 2, "nothing is stored"
    store = open_store()
    for book in ("tarrowby", "averlund"):
        put_catalog(store, sample(book))
    folder = str(bundled("catalog_samples") / "tarrowby")
    for named in (("tarrowby",), (folder,), ("tarrowby", "averlund"), ()):
        told = run("catalog", "labels", *named, "--bins", *out)
        assert told.status == 0, told.err
    one, same, two, every = kept
    assert one.labels == same.labels
    assert set(one.labels) < set(two.labels) == set(every.labels)
    assert run("catalog", "labels", "nobodys", *out).status == 2
    long = run("catalog", "labels", "tarrowby", "--labels", "2x1in", *out)
    (narrow,) = kept[4:]
    plain = [label.name for label in narrow.labels if label.bars is None]
    assert all(name in long.err for name in plain)
    assert bool(plain) == ("Without a bar code" in long.err)
    assert shelf().catalogs, "the samples are what is printed"
