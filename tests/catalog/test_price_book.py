"""The price book as a file: encodings, shapes and sizes that suppliers really send."""

from decimal import Decimal

import pytest
from tests.catalog.folders import FINISHES, PRICES, SERIES, sound_copy, told

from wholekit.intake.catalog_folder import load_catalog
from wholekit.intake.price_book import MOST_ROWS


def _written(tmp_path, content: bytes):
    folder = sound_copy(tmp_path)
    (folder / PRICES).write_bytes(content)
    return folder


def _sound(tmp_path) -> bytes:
    return (sound_copy(tmp_path / "read") / PRICES).read_bytes()


def _codes(folder):
    return [(code, row) for code, file, row, _ in told(folder) if file == PRICES]


def test_a_price_book_with_a_byte_order_mark_reads_the_same(tmp_path):
    plain = load_catalog(sound_copy(tmp_path), FINISHES)
    marked = load_catalog(_written(tmp_path / "x", b"\xef\xbb\xbf" + _sound(tmp_path)), FINISHES)
    assert marked == plain


def test_a_price_book_with_windows_line_ends_reads_the_same(tmp_path):
    plain = load_catalog(sound_copy(tmp_path), FINISHES)
    content = _sound(tmp_path).replace(b"\n", b"\r\n")
    assert load_catalog(_written(tmp_path / "x", content), FINISHES) == plain


@pytest.mark.parametrize(
    ("content", "code", "row"),
    [
        (b"", "table-empty", None),
        (b"sku,description\xe9,list,cost,supplies\n", "not-utf-8", 1),
        (b"sku,description,list,cost,supplies\nA,caf\xe9,1,1,x\n", "not-utf-8", 2),
        ("sku,description".encode("utf-16"), "utf-16", None),
        (b"sku,description,list,cost,supplies\n\nA,\0,1,1,x\n", "nul-byte", 3),
        (b"PK\x03\x04\x00\x00 a workbook by the name of a CSV", "nul-byte", 1),
        (b"sku;description;list;cost;supplies\nA;B;1;1;x\n", "not-commas", 1),
        (b"sku\tdescription\tlist\n", "not-commas", 1),
        (b"sku,description,list,cost,supplies\n", "table-without-rows", 2),
        (b'sku,description,list,cost,supplies\nA,"never closed,1,1,x\n', "not-csv", 2),
    ],
)
def test_a_file_that_is_no_price_book_is_told_by_its_one_fault(tmp_path, content, code, row):
    assert _codes(_written(tmp_path, content)) == [(code, row)]


def test_a_price_book_that_could_not_be_read_does_not_make_every_piece_unsold(tmp_path):
    assert [code for code, *_ in told(_written(tmp_path, b""))] == ["table-empty"]


def test_rows_are_counted_as_a_spreadsheet_counts_them(tmp_path):
    """A blank row counts; a cell with a line break in it does not make two rows."""
    content = _sound(tmp_path).replace(b'"Body size 3, first form"', b'"Body size 3,\nfirst form"')
    lines = content.split(b"\n")
    content = b"\n".join([*lines[:1], b"", b",,,,,,,,,,,,,,,,,", *lines[1:]])
    content = content.replace(b"discontinued,none", b"discontinued,")
    assert told(_written(tmp_path, content)) == [
        ("text-unreadable", PRICES, 9 + 1, "description"),
        ("replacement-unstated", PRICES, 10 + 1, "replaced_by"),
    ]


def test_names_of_columns_may_differ_in_case_spaces_and_order(tmp_path):
    plain = load_catalog(sound_copy(tmp_path), FINISHES)
    content = _sound(tmp_path).replace(b"pack_size", b" Pack Size ").replace(b"on_hand", b"ON-HAND")
    assert load_catalog(_written(tmp_path / "x", content), FINISHES) == plain
    rows = [line.split(b",") for line in _sound(tmp_path / "y").split(b"\n") if b'"' not in line]
    turned = b"\n".join(b",".join(reversed(row)) for row in rows[:-1])
    codes = {code for code, *_ in told(_written(tmp_path / "z", turned))}
    assert codes == {"piece-unsold"}, "only the rows left out are missed"


def test_columns_that_may_be_left_out_have_their_defaults(tmp_path):
    content = b"sku,description,list,cost,supplies\nA,All,1.00,0.5,fen-3\n"
    folder = _written(tmp_path, content)
    assert {code for code, *_ in told(folder)} == {"piece-unsold"}
    every_piece = (
        "fen-3; fen-16-left; fen-16-right; fen-arm; fen-forearm; fen-shoe; fen-bracket; fen-plate; "
        "fen-spacer; fen-cap; fen-cover; 4 body-bolt; shoe-screw; bracket-screw; arm-screw; "
        "pinion-screw; fen-hold; body-screw; plate-screw\n"
    )
    content = content.replace(b"fen-3\n", every_piece.encode())
    series = (folder / SERIES).read_text(encoding="utf-8")
    (folder / SERIES).write_text(series.replace("shows = true", ""), encoding="utf-8")
    (folder / PRICES).write_bytes(content)
    catalog = load_catalog(folder, FINISHES)
    (item,) = catalog.items
    assert (
        item.pack_size,
        catalog.counts.get(item.sku, 0),
        item.lead_days,
        item.bin,
        item.barcode,
    ) == (
        1,
        0,
        0,
        "",
        "",
    )
    assert (item.finish, item.discontinued, item.replaced_by, item.row) == (None, False, None, 2)
    assert item.supplies[11].piece == "body-bolt"
    assert item.supplies[11].quantity == 4


def test_a_pack_supplies_its_pieces_as_many_times_over(tmp_path):
    items = load_catalog(sound_copy(tmp_path), FINISHES).items_by_sku
    supplies = {supply.piece: supply.quantity for supply in items["F-SCREWS"].supplies}
    assert items["F-SCREWS"].pack_size == 10
    assert supplies["body-bolt"] == 40
    assert supplies["pinion-screw"] == 10


def test_money_is_read_to_the_cent_and_cost_to_a_hundredth_of_one(tmp_path):
    item = load_catalog(sound_copy(tmp_path), FINISHES).items_by_sku["F-16L"]
    assert item.list_price.minor == 16_800
    assert Decimal(item.cost.decimal_text) == Decimal("72.1025")


def test_a_barcode_keeps_its_leading_zeros(tmp_path):
    content = _sound(tmp_path).replace(b"2000000000107", b"0416000336108")
    items = load_catalog(_written(tmp_path, content), FINISHES).items_by_sku
    assert items["F-3"].barcode == "0416000336108"


def _large(tmp_path, rows: int):
    content = _sound(tmp_path).decode()
    more = (f"X{number},Cap,,2.00,1.00,,0,,,,,,fen-cap,,,,,\n" for number in range(rows - 8))
    return _written(tmp_path, (content + "".join(more)).encode())


def test_a_price_book_of_a_hundred_thousand_rows_is_taken(tmp_path):
    assert len(load_catalog(_large(tmp_path, MOST_ROWS), FINISHES).items) == MOST_ROWS


def test_one_row_more_than_the_limit_is_refused_before_any_is_read(tmp_path):
    assert _codes(_large(tmp_path, MOST_ROWS + 1)) == [("too-many-rows", None)]


def test_a_file_larger_than_the_limit_is_refused_unread(tmp_path):
    folder = sound_copy(tmp_path)
    with (folder / PRICES).open("r+b") as book:
        book.truncate(64_000_001)
    assert _codes(folder) == [("file-too-large", None)]


def test_a_folder_in_place_of_the_file_is_told(tmp_path):
    folder = sound_copy(tmp_path)
    (folder / PRICES).unlink()
    (folder / PRICES).mkdir()
    assert _codes(folder) == [("file-not-read", None)]


def test_a_deeply_nested_series_file_is_told_as_no_toml(tmp_path):
    folder = sound_copy(tmp_path)
    (folder / SERIES).write_text("a = " + "[" * 20_000, encoding="utf-8")
    assert [code for code, *_ in told(folder)] == ["not-toml"]
