"""The kit made by hand: mark, SKU, quantity, as careful as a schedule."""

import io

import pytest
from tests.openings.files import faults, xlsx

from wholekit.intake.kit_file import KitRow, read_kit_file


def read(data):
    raw = data.encode() if isinstance(data, str) else data
    return read_kit_file(None, stdin=io.BytesIO(raw))


ROWS = [KitRow("101", "QH-3-689", 1, 2), KitRow("101", "7001", 4, 4)]


def test_rows_are_read_with_their_place():
    assert read("mark,sku,quantity\n101,QH-3-689,1\n\n101, 7001 ,4\n") == ROWS
    assert read("Quantity;SKU;Mark\n1;QH-3-689;101\n;;\n4;7001;101\n") == ROWS


def test_a_workbook_gives_the_same_rows():
    data = xlsx(("mark", "sku", "quantity"), (101, "QH-3-689", 1), (), (101, 7001, 4.0))
    assert read(data) == ROWS


def test_a_sku_may_stand_twice_for_a_mark_as_on_an_invoice():
    assert len(read("mark,sku,quantity\n101,S,1\n101,S,2\n")) == 2


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        ("", [("file-empty", None, "")]),
        ("mark,sku,quantity\n", [("table-without-rows-below", 1, "")]),
        ("mark,item,qty\n1,a,1\n", [
            ("column-unknown", 1, "item"), ("column-unknown", 1, "qty"),
            ("column-missing", 1, "sku"), ("column-missing", 1, "quantity"),
        ]),
        ("mark,sku,quantity\n,S,1\n1,,1\n1,S,\n", [
            ("mark-needed-in-row", 2, "mark"), ("sku-needed", 3, "sku"),
            ("quantity-needed", 4, "quantity"),
        ]),
        ("mark,sku,quantity\n1,S,0\n1,S,1.5\n1,S,1O\n1,=S,1\n", [
            ("whole-number", 2, "quantity"), ("whole-number", 3, "quantity"),
            ("letter-for-digit", 4, "quantity"), ("cell-formula", 5, "sku"),
        ]),
        ("mark,sku,quantity\n1,S\n", [("row-ragged", 2, "")]),
    ],
)  # fmt: skip
def test_every_fault_is_told_with_row_and_column(data, expected):
    assert faults(data, read) == expected
