"""A supplier's price sheet as it comes: headings, amounts, titles between, faults in place."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from io import BytesIO
from zipfile import ZIP_DEFLATED, ZipFile

import pytest
from openpyxl import Workbook
from tests.support.house import RULES, sample

from wholekit.domain.catalog.changes import catalog_changes
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.price_sheet import PriceSheet
from wholekit.domain.catalog.rises import PriceRise, raised
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.quantities import Cost, Money
from wholekit.intake import catalog_zip
from wholekit.intake.catalog_zip import load_zipped
from wholekit.intake.item_cells import item_cells
from wholekit.intake.price_amounts import plain_amount
from wholekit.intake.price_book import read_item_rows
from wholekit.intake.price_headings import meant_by
from wholekit.intake.price_sheet import read_price_sheet
from wholekit.settings import bundled
from wholekit.wording.problems import say_problem

FINISHES = frozenset(FinishBook(RULES).codes)
DAY = date(2027, 1, 1)
MESSY = """Tarrowby Closer Company;;;
Prices from 1 January;;;
;;;
Réf.;Désignation;Prix public (USD);Poids
SERIES GRANITE;;;
TG-B1;;"$ 198,22";4
LK-1;Serrure;10.00;2
TG-B2;Granite body, size 2;1 198.00;4
"""


def read(text, told=None):
    return read_price_sheet(
        text.encode(), "new.csv", sample("tarrowby"), DAY, FINISHES, PriceSheet(), told
    )


def said(found):
    return [say_problem(problem) for problem in found]


def test_a_messy_sheet_is_put_over_the_book_by_its_own_headings():
    found = read(MESSY)
    assert found.problems == ()
    assert [(each.heading, each.ours) for each in found.columns] == [
        ("Réf.", "sku"), ("Désignation", "description"), ("Prix public (USD)", "list"),
        ("Poids", ""),
    ]  # fmt: skip
    assert (found.header_row, found.rows, found.aside) == (4, 2, (5,))
    assert found.foreign == ((7, "LK-1"),)
    assert found.unnamed == len(sample("tarrowby").items) - 2
    changes = catalog_changes(sample("tarrowby"), found.catalog)
    assert [each.after.list_price.minor for each in changes.changed] == [19_822, 119_800]
    # An empty cell leaves the description that is there.
    assert [each.others for each in changes.changed] == [(), ()]
    assert (changes.new, changes.gone, found.catalog.edition) == ((), (), DAY)


def test_every_fault_has_its_row_and_the_sheets_own_heading():
    faulty = MESSY.replace("1 198.00", "1,198").replace('"$ 198,22"', "on request")
    again = faulty + "TG-B1;x;200.00;1\n"
    first, second, third = said(read(again).problems)
    right = "is not an amount; right would be plain digits, such as 412.50"
    assert first == f"new.csv, row 6, column Prix public (USD): on request {right}"
    assert second == f"new.csv, row 8, column Prix public (USD): 1,198 {right}"
    assert third.startswith("new.csv, row 9, column Réf.: the SKU TG-B1 is in row 6 already")


def test_a_price_that_is_not_there_is_told_and_a_cost_above_list_too():
    sheet = "sku,list,cost\nTG-B1,,10\nTG-B2,50.00,60.00\n"
    first, second = said(read(sheet).problems)
    assert first.startswith("new.csv, row 2, column list:")
    assert second.startswith("new.csv, row 3, column cost:")


def test_columns_are_as_told_and_what_cannot_be_so_is_refused():
    told = {"Réf.": "sku", "Désignation": "", "Prix public (USD)": "cost", "Poids": "cost"}
    assert (
        "told to be in this column and in Prix public (USD)"
        in said(read(MESSY, PriceSheet("", told)).problems)[0]
    )
    for wrong, words in (
        ({**told, "Réf.": ""}, "by which items are known"),
        ({**told, "Prix public (USD)": "", "Poids": ""}, "beside the SKU"),
        ({**told, "Poids": "weight"}, "weight is no column of ours"),
    ):
        found = read(MESSY, PriceSheet("", wrong))
        assert any(words in text for text in said(found.problems)), words
        assert found.catalog is None
    strange = read("sku,list\nAA-1,3.00\n")
    assert "no row is of an item that catalogue tarrowby has" in said(strange.problems)[0]


def test_what_a_whole_book_does_not_name_is_gone_and_new_items_need_what_they_supply():
    whole = sample("tarrowby")
    rows = ["sku,description,list,cost,supplies,lead days"]
    for item in whole.items[1:]:
        cells = item_cells(item, 0)
        rows.append(f'{item.sku},"{item.description}",{cells[2]},{cells[3]},"{cells[4]}",3')
    rows.append("TG-B1X,Granite body,187.00,90.00,granite-1,3")
    found = read("\n".join(rows), PriceSheet("", {}, whole=True))
    assert found.problems == ()
    changes = catalog_changes(whole, found.catalog)
    assert [item.sku for item in changes.gone] == ["TG-B1"]
    assert [item.sku for item in changes.new] == ["TG-B1X"]
    rows[-1] = "TG-B1X,Granite body,187.00,90.00,,3"
    assert "column supplies" in said(read("\n".join(rows), PriceSheet("", {}, True)).problems)[0]


@pytest.mark.parametrize("name", ["tarrowby", "quillmere", "averlund"])
def test_an_item_written_as_cells_reads_back_as_the_same(name):
    book = sample(name)
    problems: list[Problem] = []
    cells = ((item.row, item_cells(item, book.counts.get(item.sku, 0))) for item in book.items)
    items, counts = read_item_rows(cells, "x", book.supplier, book.currency, problems)
    assert (tuple(items), counts, problems) == (book.items, dict(book.counts), [])


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("412.50", "412.50"), ("$412.50", "412.50"), ("USD 1,412.50", "1412.50"),
        ("1.412,50 €", "1412.50"), ("1 412,50", "1412.50"), ("412,5", "412.5"),
        ("1,234,567", "1234567"), ("0,1234", "0.1234"),
        # Which of the two it is nobody can say: it is left for the reader to refuse.
        ("1,234", "1,234"), ("n/a", "n/a"), ("-5", "-5"),
    ],
)  # fmt: skip
def test_amounts_are_made_plain_where_they_are_clear(text, plain):
    assert plain_amount(text) == plain


def test_headings_are_known_in_three_languages_and_a_bare_price_is_not_guessed():
    assert [meant_by(each) for each in ("Item #", "RÉFÉRENCE", "Código de artículo")] == ["sku"] * 3
    assert [meant_by(each) for each in ("Precio neto", "Prix d'achat", "Your Cost")] == ["cost"] * 3
    assert [meant_by(each) for each in ("Price", "Unit price", "Remarks")] == [""] * 3


def test_a_rise_moves_price_cost_and_breaks_each_rounded_by_itself():
    """By hand: 187.00 × 1.0625 = 198.6875, half up 198.69; 95.37 × 1.0625 = 101.330625."""
    book = sample("tarrowby")
    after = raised(book, PriceRise(Fraction(625, 10_000), DAY, "granite"))
    first = after.items[0]
    assert (first.list_price, first.cost) == (Money(19_869, "USD"), Cost(1_013_306, "USD"))
    pebble = next(n for n, item in enumerate(book.items) if item.sku == "TP-B2.689")
    assert after.items[pebble] == book.items[pebble]
    with_breaks = [n for n, item in enumerate(book.items) if item.terms.price_breaks]
    whole = raised(book, PriceRise(Fraction(1, 10), DAY))
    for n in with_breaks:
        was, now = book.items[n].terms.price_breaks, whole.items[n].terms.price_breaks
        assert [each.cost.units * 10 for each in now] == [each.cost.units * 11 for each in was]
    assert with_breaks
    assert whole.edition == DAY


def zipped(files, fold="tarrowby/"):
    made = BytesIO()
    with ZipFile(made, "w", ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(fold + name, data)
    return made.getvalue()


def folder_files(name="tarrowby"):
    top = bundled("catalog_samples") / name
    return {
        str(path.relative_to(top)): path.read_bytes() for path in top.rglob("*") if path.is_file()
    }


@pytest.mark.parametrize("fold", ["", "tarrowby/"])
def test_a_folder_packed_as_zip_is_the_same_catalogue(fold):
    data = zipped({**folder_files(), ".DS_Store": b"x"}, fold)
    found = load_zipped(data, "t.zip")
    assert replace(found, folder="") == replace(sample("tarrowby"), folder="")


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"../evil.toml": b"x"}, "which is no file of a catalogue"),
        ({"series/../../evil.toml": b"x"}, "which is no file of a catalogue"),
        ({"/etc/passwd": b"x"}, "which is no file of a catalogue"),
        ({"series/.hidden.toml": b"x"}, "which is no file of a catalogue"),
        ({"notes.txt": b"x"}, "which is no file of a catalogue"),
        ({"a/catalog.toml": b"x"}, "which is no file of a catalogue"),
        ({"series/big.toml": b"#" * 2_000_001}, "larger than 2000000 bytes unpacked"),
        ({"catalog.toml": b"id = 3"}, "stands twice"),
        ({f"series/s{n}.toml": b"x" for n in range(501)}, "a catalogue has 500 at most"),
    ],
)
def test_an_archive_with_anything_else_in_it_is_refused(more, words, tmp_path, monkeypatch):
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "made"))
    (tmp_path / "made").mkdir()
    made = BytesIO(zipped(folder_files()))
    with ZipFile(made, "a", ZIP_DEFLATED) as archive, pytest.MonkeyPatch.context() as quiet:
        quiet.setattr("warnings.warn", lambda *_given, **_named: None)
        for name, data in more.items():
            archive.writestr(f"tarrowby/{name}", data)
    with pytest.raises(InputError) as caught:
        load_zipped(made.getvalue(), "t.zip")
    assert words in say_problem(caught.value.problems[0])
    assert [path.name for path in tmp_path.rglob("*")] == ["made"], "nothing is left, or elsewhere"


def test_a_fault_in_an_archive_has_its_place_there(monkeypatch):
    files = folder_files()
    files["prices.csv"] = files["prices.csv"].replace(b"187.00", b"many", 1)
    with pytest.raises(InputError) as caught:
        load_zipped(zipped(files), "t.zip")
    (fault,) = said(caught.value.problems)
    assert fault.startswith("t.zip/prices.csv, row 2, column list: many is not an amount")
    for broken in (b"", b"PK\x03\x04 no", zipped(folder_files())[:900]):
        with pytest.raises(InputError):
            load_zipped(broken, "t.zip")
    monkeypatch.setattr(catalog_zip, "LARGEST_UNPACKED", 10_000)
    with pytest.raises(InputError) as large:
        load_zipped(zipped(folder_files()), "t.zip")
    assert large.value.problems[0].code == "zip-too-large"


def test_an_archive_of_two_folders_or_without_its_head_is_refused():
    files = folder_files()
    two = BytesIO(zipped(files))
    with ZipFile(two, "a", ZIP_DEFLATED) as archive:
        archive.writestr("other/series/x.toml", b"x")
    headless = {name: data for name, data in files.items() if name != "catalog.toml"}
    for data, code in ((two.getvalue(), "zip-of-two"), (zipped(headless), "zip-without-catalog")):
        with pytest.raises(InputError) as caught:
            load_zipped(data, "t.zip")
        assert code in [each.code for each in caught.value.problems]


def test_a_sheet_that_the_workbook_has_not_is_told_with_those_it_has():
    book = Workbook()
    book.active.title = "2027"
    book.active.append(["sku", "list"])
    made = BytesIO()
    book.save(made)
    told = PriceSheet("2026", {})
    try:
        found = read_price_sheet(
            made.getvalue(), "new.xlsx", sample("tarrowby"), DAY, FINISHES, PriceSheet(), told
        ).problems
    except InputError as error:
        found = tuple(error.problems)
    (problem,) = found
    assert problem.code == "price-sheet-unknown"
    assert "2027" in say_problem(problem)
