"""`wholekit count`, as a person runs it."""

import csv
import io
import json
from decimal import Decimal

import pytest
from tests.cli.test_stock_commands import SKU, stocked  # noqa: F401  # a fixture
from tests.cli.test_store_commands import run  # noqa: F401  # a fixture


@pytest.fixture
def room(stocked):  # noqa: F811  # the fixture
    """Three of an item in a bin of its own."""
    stocked("stock", "receive", SKU, 3, "--bin", "Z-01", "--by", "pia")
    return stocked


def test_a_sheet_is_made_filled_in_and_entered_once(room, tmp_path):
    plain = room("count", "sheet", "--zone", "Z", "--by", "pia").stdout
    assert SKU in plain
    assert "______" in plain
    made = json.loads(room("count", "sheet", "--bin", "Z-01", "--json").stdout)
    assert set(made) == {"sheet", "branch", "rows"}
    assert [set(row) for row in made["rows"]] == [{"bin", "sku", "supplier", "description"}]
    rows = list(csv.DictReader(io.StringIO(room("count", "sheet", "--zone", "Z", "--csv").stdout)))
    assert [(row["sku"], row["counted"]) for row in rows] == [(SKU, "")]
    room("stock", "receive", SKU, 4, "--bin", "Z-01", "--by", "pia")
    file = tmp_path / "filled.csv"
    with file.open("w", newline="") as out:
        writer = csv.DictWriter(out, rows[0])
        writer.writeheader()
        writer.writerow({**rows[0], "counted": "1"})
    for already in ([], ["Z-01"]):
        told = json.loads(room("count", "enter", "--file", file, "--by", "pia", "--json").stdout)
        assert set(told) == {"sheet", "branch", "lines", "waiting", "already"}
        assert told["already"] == already
        for line in told["lines"]:
            assert set(line) == {
                "bin", "sku", "supplier", "book", "counted", "difference", "moved_since",
            }  # fmt: skip
            assert (line["book"], line["difference"], line["moved_since"]) == (3, -2, 4)
    listed = json.loads(room("stock", "list", "--bin", "Z-01", "--json").stdout)
    assert {"bin": "Z-01", "on_hand": 5} in listed["items"][0]["bins"]
    assert "no fault" in room("db", "check").stdout


def test_what_differences_are_worth_is_the_owners_to_see(room):
    said = room("count", "enter", f"{SKU}=2", "--bin", "Z-01", "--by", "pia")
    assert "-1" in said.stdout
    assert "cost" not in said.stdout
    said = room("count", "enter", f"{SKU}=4", "--bin", "Z-01", "--by", "odo").stdout
    (value,) = [line for line in said.splitlines() if "differences at cost" in line]
    told = room("count", "enter", f"{SKU}=2", "--bin", "Z-01", "--by", "odo", "--json").stdout
    answer = json.loads(told)
    assert set(answer) == {"count", "values", "without_cost"}
    assert answer["values"][0]["amount"] == "-" + value.split()[3]


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("enter", f"{SKU}=two", "--bin", "Z-01"), "write SKU=12"),
        (("enter", f"{SKU}=1"), "either in a file or as SKU=COUNT"),
        (("enter", "--bin", "Z-01"), SKU),
        (("sheet", "--bin", "Z-01", "--zone", "Z"), "Say one of --bin and --zone"),
        (("enter", f"{SKU}=1", "--bin", "Z-01", "--sheet", "9"), "is no sheet of this store"),
    ],
)
def test_what_is_wrong_is_told_with_what_would_be_right(room, arguments, said):
    told = room("count", *arguments, "--by", "pia", status=2)
    assert said in told.stderr
    assert told.stdout == ""


def test_every_fault_of_a_file_is_told_at_once(room, tmp_path):
    file = tmp_path / "filled.csv"
    file.write_text(f"bin,sku,counted\nZ-01,{SKU},two\nZ-01,,1\n")
    told = room("count", "enter", "--file", file, "--by", "pia", status=2).stderr
    assert "2 problems; nothing was taken" in told


def test_the_counter_counts_nothing(room):
    told = room("count", "enter", f"{SKU}=1", "--bin", "Z-01", "--by", "ines", status=2).stderr
    assert "ines may not count stock" in told


def test_what_a_customer_brings_back_goes_to_one_place(room):
    told = ("stock", "return", SKU, 1, "--reason", "not wanted", "--scrap")
    assert "one of --bag" in room(*told, "--by", "pia", status=2).stderr
    assert "is no bag" in room(*told, "--bag", "blue", "--by", "pia", status=2).stderr
    assert "only" in room(*told, "--without-bag", "--by", "pia", status=2).stderr.lower()
    both = room(*told, "--without-bag", "--order", "Q-1", "--by", "odo", status=2)
    assert "do not go together" in both.stderr
    back = (*told[:-1], "--without-bag", "--by", "odo")
    assert "customer → main/Z-01" in room(*back, "--to-bin", "Z-01").stdout
    assert "customer → scrap" in room(*back, "--scrap").stdout
    assert "customer → outside" in room(*back, "--to-supplier").stdout
    assert "where it goes" in room(*back, "--scrap", "--to-supplier", status=2).stderr


def test_what_stock_is_worth_is_told_to_owners_alone(room):
    told = json.loads(room("stock", "value", "--by", "odo", "--json").stdout)
    assert set(told) == {"on", "items", "totals"}
    assert set(told["items"][0]) == {"sku", "supplier", "packs", "cost", "value"}
    total = sum(Decimal(each["value"]) for each in told["items"])
    assert Decimal(told["totals"][0]["amount"]) == total > 0
    assert str(total) in room("stock", "value", "--by", "odo").stdout
    assert room("stock", "value", "--on", "2001-01-01", "--by", "odo").stdout.count("\n") == 2
    assert room("stock", "value", "--by", "pia", status=2).stdout == ""


def test_slow_stock_is_told_to_all_and_what_lies_in_it_to_owners_alone(room):
    told = json.loads(room("stock", "slow", "--idle", "1", "--cover", "1", "--json").stdout)
    assert set(told) == {
        "on", "period", "cover", "idle", "items", "count", "page", "page_size",
    }  # fmt: skip
    # All came today, and is promised to nobody.
    assert (told["items"], told["count"]) == ([], 0)
    assert "slow from 180 days" in room("stock", "slow", "--by", "pia").stdout
    owners = json.loads(room("stock", "slow", "--by", "odo", "--json").stdout)
    assert set(owners) == {"slow", "values", "totals"}
    room("stock", "slow", "--branch", "nowhere", status=2)
