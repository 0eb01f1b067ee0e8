"""A sound row is read at once, a faulty one cell by cell: both ways say the same."""

import csv
import random
import shutil

import pytest
from tests.support.house import RULES, SAMPLES

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.errors import Problem
from wholekit.domain.quantities import QuantityError
from wholekit.intake import price_book
from wholekit.intake.catalog_folder import catalog_problems
from wholekit.intake.price_book import COLUMNS, OPTIONAL, read_price_book
from wholekit.settings import bundled

# Texts of each column, the sound ones first and as many of the others.
CELLS = {
    "sku": (["A-1", "B/2", "c+3"], ["", " A-1", "A 1", "x" * 41]),
    "description": (["Arm", " Arm, 689 ", "Ä"], ["", "  ", "x" * 201, "two\nlines"]),
    "list": (["1.50", " 2 ", "0"], ["", "1,50", "-1", "1.505", "1e3"]),
    "cost": (["1.5005", "0"], ["", "x", "−1", "0.00005"]),
    "supplies": (
        ["1 arm; 2 forearm", "arm", " 3 arm "],
        ["", "0 arm", "1 arm; arm", "Arm", "arm;"],
    ),
    "finish": (["689", "", " 690 "], []),
    "pack_size": (["", "6", " 10 "], ["0", "-1", "1.5", "1000001", "६"]),
    "on_hand": (["", "0", "1000000"], ["-1", "1000001", "many"]),
    "bin": (["", "A-01", " B "], []),
    "lead_days": (["", "7"], ["-7", "7 days"]),
    "barcode": (["", "2990000000187", " 1 "], []),
    "status": (["", "current", "CURRENT "], ["gone", "discontinued"]),
    "replaced_by": (["", "none", "None ", "B-2"], []),
    "substitutes": (["", "A-2", " A-2  B/3 "], ["A-2 A-2", "A-2;", "A-2, B"]),
    "breakable": (["", "yes", "No "], ["x", "true"]),
    "reorder_at": (["", "0", " 12"], ["-1", "few"]),
    "least_order": (["", "1", "24 "], ["0", "1.5"]),
    "price_breaks": (
        ["", "10: 1.20", " 2:0.5 ; 50 : 0.4501 "],
        ["10", "1: 0.5", "10: 1; 10: 0.9", ": 1", "10: -1", "10: 1;"],
    ),
}


def rows(count: int) -> list[list[str]]:
    """Rows that are sound, have one fault, or several; the same every time."""
    draw = random.Random(5)
    found = []
    for _ in range(count):
        faults = draw.choice((0, 0, 1, 1, 3))
        wrong = set(draw.sample([name for name, (_, bad) in CELLS.items() if bad], faults))
        found.append([draw.choice(CELLS[name][name in wrong]) for name in COLUMNS])
    return found


def written(path, found, columns=COLUMNS):
    with path.open("w", newline="", encoding="utf-8") as file:
        csv.writer(file).writerows([columns, *found])
    return path


def read(path):
    problems: list[Problem] = []
    return read_price_book(path, "prices.csv", "Maker", "USD", problems), problems


def one_by_one(monkeypatch, path):
    """The same with every row read as a faulty one is."""

    def refuse(*_given):
        raise QuantityError("row", "")

    with monkeypatch.context() as patched:
        patched.setattr(price_book._ItemReader, "_sound_item", refuse)
        return read(path)


@pytest.mark.parametrize("name", SAMPLES)
def test_the_samples_are_read_alike(name, monkeypatch):
    path = bundled("catalog_samples") / name / "prices.csv"
    found = read(path)
    assert found[0]
    assert found == one_by_one(monkeypatch, path)


def test_sound_and_faulty_rows_are_read_alike_with_the_same_faults(tmp_path, monkeypatch):
    found = rows(3_000)
    path = written(tmp_path / "prices.csv", found)
    book, problems = read(path)
    assert book is not None
    assert len(book[0]) == 3_000
    assert len({problem.code for problem in problems}) >= 12
    assert (book, problems) == one_by_one(monkeypatch, path)


def test_columns_left_out_or_in_another_order_are_read_alike(tmp_path, monkeypatch):
    for columns in (
        COLUMNS[:5],
        COLUMNS[::-1],
        (*COLUMNS[3::-1], "status", "supplies", "bin"),
        *(tuple(name for name in COLUMNS if name != gone) for gone in OPTIONAL),
    ):
        found = [[row[COLUMNS.index(name)] for name in columns] for row in rows(500)]
        path = written(tmp_path / "prices.csv", found, columns)
        assert read(path) == one_by_one(monkeypatch, path)


def test_a_row_without_a_fault_is_not_read_twice(tmp_path, monkeypatch):
    found = [[CELLS[name][0][0] for name in COLUMNS]] * 5
    path = written(tmp_path / "prices.csv", found)

    def refuse(*_given):
        raise AssertionError("read as a faulty row")

    monkeypatch.setattr(price_book._ItemReader, "_faulty_item", refuse)
    book, problems = read(path)
    assert book is not None
    assert len(book[0]) == 5
    assert problems == []


def test_items_that_supply_the_same_are_judged_each_by_its_own_finish(tmp_path):
    folder = tmp_path / "quillmere"
    shutil.copytree(bundled("catalog_samples") / "quillmere", folder)
    with (folder / "prices.csv").open(newline="", encoding="utf-8") as file:
        heads, *given = list(csv.reader(file))
    sku, finish, barcode = (heads.index(name) for name in ("sku", "finish", "barcode"))
    sound = next(row for row in given if row[finish] == "689")
    (code, *_) = sorted(FinishBook(RULES).codes - {row[finish] for row in given})
    for number, own in enumerate(("", code, "689", "", code)):
        row = list(sound)
        row[sku], row[finish], row[barcode] = f"Z-{number}", own, ""
        given.append(row)
    written(folder / "prices.csv", given, heads)
    first = len(given) - 5 + 2
    found = dict.fromkeys((problem.row, problem.code) for problem in catalog_problems(folder))
    assert list(found) == [
        (first, "finish-missing"), (first + 1, "finish-not-made"),
        (first + 3, "finish-missing"), (first + 4, "finish-not-made"),
    ]  # fmt: skip
