"""`wholekit quote compare`: what a customer and the counter read of what changed."""

import re

import openpyxl
import pytest
from pypdf import PdfReader
from tests.support.command import run
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store


@pytest.fixture(autouse=True)
def job(monkeypatch, tmp_path):
    """A job of two openings with an alternate, issued once."""
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    monkeypatch.setenv("WHOLEKIT_USER", "odo")
    (tmp_path / "home").mkdir()
    put_catalog(open_store(), sample("tarrowby"))
    for arguments in (
        ("house", "person", "odo", "--role", "owner"),
        ("customer", "ship-to", "port", "Port Aldren", "--tax", "city=1.5%", "--freight", "45"),
        ("customer", "add", "saltmarsh", "Saltmarsh Builders", "--multiplier", "70%",
         "--ship-to", "port"),
        ("job", "new", "Heron Quay School", "--customer", "saltmarsh"),
        ("job", "add", "1", "--opening", "101 3070 hollow-metal/steel interior 689",
         "--opening", "102 3070 hollow-metal/steel interior 689"),
        ("job", "alternate", "1", "alt-1", "--title", "Dark bronze", "--deduct", "101"),
        ("job", "add", "1", "--alternate", "alt-1", "--opening",
         "101 3070 hollow-metal/steel interior 690"),
        ("quote", "issue", "1"),
    ):  # fmt: skip
        done(*arguments)


def done(*arguments):
    result = run(*arguments)
    assert (result.status, result.err) == (0, "")
    return result


def compared(*arguments):
    return done("quote", "compare", *arguments, "--json").json["comparison"]


def amount(price):
    return round(float(price["amount"]) * 100)


def text_of(paper):
    return " ".join(" ".join(page.extract_text() for page in PdfReader(paper).pages).split())


def test_openings_account_for_the_money_that_moved():
    done("job", "edit", "1", "101", "finish=690", "quantity=3")
    done("job", "remove", "1", "102")
    done("job", "add", "1", "--opening", "103 3068 wood/steel interior 689 x2")
    done("job", "discount", "1", "3%", "--reason", "repeat order")
    done("quote", "issue", "1")
    found = compared("Q-1/1", "Q-1/2")
    kinds = [(opening["alternate"], opening["mark"]) for opening in found["openings"]]
    # That of the alternate is as it was but for the discount.
    assert kinds == [("", "101"), ("", "102"), ("", "103")]
    totals = {
        total["what"]: amount(total["after"]) - amount(total["before"]) for total in found["totals"]
    }
    base = [opening for opening in found["openings"] if not opening["alternate"]]
    (discount, of_alternate) = found["discounts"]
    assert (discount["alternate"], discount["before"], discount["after"]) == ("", "0%", "3%")
    assert of_alternate["alternate"] == "alt-1"
    assert amount(discount["moved"]) == totals["discount"] < 0
    shown = sum(amount(one["moved"]) for one in base)
    assert shown + amount(discount["moved"]) == totals["hardware"] != 0
    assert totals["net"] + totals["tax"] == totals["gross"]
    for one in base:
        after = one["quantity_after"] * amount(one["each_after"]) if one["each_after"] else 0
        before = one["quantity_before"] * amount(one["each_before"]) if one["each_before"] else 0
        assert after - before == amount(one["moved"])
    words = done("quote", "compare", "Q-1/1", "Q-1/2").out
    assert "101  CHANGED" in words
    assert "102  REMOVED" in words
    assert "103  ADDED" in words
    assert "1 → 3 openings" in words
    assert "Discount on 5 openings" in words
    assert "at their prices before the discount" in " ".join(words.split())


def test_a_discount_does_not_bury_what_else_changed():
    done("job", "discount", "1", "3%", "--reason", "repeat order")
    done("job", "edit", "1", "102", "finish=690")
    done("quote", "issue", "1")
    words = done("quote", "compare", "Q-1/1", "Q-1/2").out
    assert "102  CHANGED" in words
    assert "101  CHANGED" not in words
    assert "price alone" not in words
    assert "item, each" not in words
    found = done("quote", "compare", "Q-1/1", "Q-1/2", "--json").json
    (row, of_alternate) = found["words"]["discount"]
    assert (row["about"], row["before"], row["after"]) == (
        "Discount on 2 openings", "0%", "3%",
    )  # fmt: skip
    assert "alt-1" in of_alternate["about"]
    (changed,) = found["comparison"]["openings"]
    assert amount(row["moved"]) < 0
    (told,) = found["words"]["openings"]
    hardware = next(one for one in found["comparison"]["totals"] if one["what"] == "hardware")
    moved = amount(hardware["after"]) - amount(hardware["before"])
    assert amount(row["moved"]) + amount(told["total"]["moved"]) == moved
    assert told["marks"] == [changed["mark"]] == ["102"]


def test_every_door_tells_a_discount_as_one_line_and_openings_before_it(tmp_path):
    done("job", "discount", "1", "3%", "--reason", "repeat order")
    done("job", "edit", "1", "102", "finish=690")
    done("quote", "issue", "1")
    paper, book = tmp_path / "changes.pdf", tmp_path / "changes.xlsx"
    for out in (paper, book):
        assert run("quote", "compare", "Q-1/1", "Q-1/2", "--out", str(out)).status == 0
    (sheet,) = openpyxl.load_workbook(book)
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    (discount,) = (row for row in rows if row[3] == "Discount on 2 openings")
    (told,) = (row for row in rows if row[1] == "102" and row[0] == "Openings")
    totals = {row[3]: row[6] for row in rows if row[0] == "Money"}
    assert round(discount[6] + told[6], 2) == totals["Hardware"]
    words, text = done("quote", "compare", "Q-1/1", "Q-1/2").out, text_of(paper)
    for said in (f"{told[5]:.2f}", f"{discount[6]:.2f}", "at their prices before the discount"):
        assert said in " ".join(words.split())
        assert said.removeprefix("-") in text
    assert any("before the discount" in str(row[3]) for row in rows)


def test_three_percent_over_a_long_job_are_one_line_on_one_page(tmp_path):
    many = [f"{number} 3070 hollow-metal/steel interior 689" for number in range(201, 281)]
    done("job", "add", "1", *(part for each in many for part in ("--opening", each)))
    done("quote", "issue", "1")
    done("job", "discount", "1", "3%", "--reason", "repeat order")
    done("quote", "issue", "1")
    paper = tmp_path / "changes.pdf"
    assert run("quote", "compare", "Q-1/2", "Q-1/3", "--out", str(paper)).status == 0
    assert len(PdfReader(paper).pages) == 1
    text = text_of(paper)
    found = compared("Q-1/2", "Q-1/3")
    before, after = (
        next(one[when] for one in found["totals"] if one["what"] == "hardware")
        for when in ("before", "after")
    )
    moved = (amount(after) - amount(before)) / 100
    assert f"Discount on 82 openings 0% 3% −${-moved:,.2f}" in text
    assert "201" not in text


def test_openings_that_changed_alike_are_told_once_with_their_marks(tmp_path):
    done("job", "add", "1", *(
        part for number in range(201, 206)
        for part in ("--opening", f"{number} 3070 hollow-metal/steel interior 689 x2")
    ))  # fmt: skip
    done("quote", "issue", "1")
    for mark in ("201", "202", "203", "205"):
        done("job", "edit", "1", mark, "finish=690")
    found = done("quote", "compare", "1", "--json").json
    (told,) = found["words"]["openings"]
    assert (told["places"], told["marks"]) == ("201–203, 205", ["201", "202", "203", "205"])
    assert told["total"]["about"] == "8 openings"
    moved = [amount(one["moved"]) for one in found["comparison"]["openings"]]
    assert amount(told["total"]["moved"]) == sum(moved)
    paper = tmp_path / "changes.pdf"
    assert run("quote", "compare", "1", "--out", str(paper)).status == 0
    assert re.search("201–203, 205 ?: 4 alike · changed", text_of(paper))


def test_an_item_that_moved_otherwise_at_one_opening_is_told_with_its_marks():
    sku = done("quote", "show", "1", "--json").json["openings"][0]["lines"][0]["sku"]
    done("job", "override", "1", "101", "--price", f"{sku}=40", "--reason", "agreed by phone")
    done("job", "discount", "1", "3%", "--reason", "repeat order")
    done("quote", "issue", "1")
    said = done("quote", "compare", "Q-1/1", "Q-1/2", "--json").json["words"]
    told = [item["about"] for item in said["items"]]
    assert [one.partition(f"({sku})")[2] for one in told] == [""], "the rest is the discount's"
    assert [one["about"] for one in said["repriced"]] == ["101"]


def test_a_finish_that_changed_is_told_once():
    done("job", "edit", "1", "101", "finish=690")
    done("quote", "issue", "1")
    (opening,) = compared("Q-1/1", "Q-1/2")["openings"]
    assert opening["fields"] == [{"field": "finish", "before": "689", "after": "690", "of": ""}]
    assert {line["description"] for line in opening["lines"] if line["before"] == 0}
    assert all(line["before"] != line["after"] for line in opening["lines"])


def test_a_price_agreed_for_the_opening_is_told_as_one_price():
    before = amount(done("quote", "show", "1", "--json").json["openings"][1]["price"])
    done("job", "override", "1", "102", "--price", "250", "--reason", "agreed by phone")
    done("job", "discount", "1", "3%", "--reason", "repeat order")
    done("quote", "issue", "1")
    (opening,) = compared("Q-1/1", "Q-1/2")["openings"]
    assert opening["mark"] == "102"
    assert opening["lines"] == []
    assert (amount(opening["each_before"]), amount(opening["each_after"])) == (before, 25_000)
    words = done("quote", "compare", "Q-1/1", "Q-1/2").out
    assert "agreed for the opening as a whole" in words
    assert "agreed by phone" not in words


def test_an_alternate_that_only_changed_its_words_is_told():
    done("job", "alternate", "1", "alt-1", "--title", "Dark bronze, gym", "--deduct", "102")
    done("quote", "issue", "1")
    (change,) = compared("Q-1/1", "Q-1/2")["alternates"]
    assert {field["field"]: (field["before"], field["after"]) for field in change["fields"]} == {
        "title": ("Dark bronze", "Dark bronze, gym"),
        "in-place-of": ("101", "102"),
    }


def test_a_cost_alone_is_no_change_for_the_customer():
    done("job", "add-line", "1", "Hinges", "--price", "12.50", "--cost", "8")
    done("quote", "issue", "1")
    done("job", "edit-line", "1", "1", "--cost", "9")
    found = compared("1")
    assert found["extras"] == []
    assert "cost" not in done("quote", "compare", "1").out.lower()


def test_a_job_as_it_stands_has_no_number_and_says_draft(tmp_path):
    done("job", "edit", "1", "102", "quantity=2")
    found = compared("Q-1")
    assert (found["first"], found["second"]) == ("Q-00001/1", "J-00001")
    paper = tmp_path / "changes.pdf"
    assert run("quote", "compare", "1", "--out", str(paper)).status == 0
    text = text_of(paper)
    assert "DRAFT. Not an offer" in text
    assert "Q-00001/2" not in text
    done("quote", "issue", "1")
    assert run("quote", "compare", "Q-1/1", "Q-1/2", "--out", str(paper)).status == 0
    assert "DRAFT" not in text_of(paper)


def test_the_paper_for_the_customer_describes_and_prices_what_changed(tmp_path):
    done("job", "edit", "1", "101", "finish=690")
    done("job", "remove", "1", "102")
    done("customer", "set", "saltmarsh", "--days", "45")
    done("quote", "issue", "1")
    paper = tmp_path / "changes.pdf"
    assert run("quote", "compare", "Q-1/1", "Q-1/2", "--out", str(paper)).status == 0
    text = text_of(paper)
    (changed, removed) = compared("Q-1/1", "Q-1/2")["openings"]
    for line in changed["lines"]:
        assert line["description"] in text
    for opening in (changed, removed):
        assert f"${opening['price_before']['amount']}" in text
    for words in ("Saltmarsh Builders", "102 removed", "net 45 days", "Local codes", "Change"):
        assert words in text
    for words in ("cost", "margin", "revision", "rule book"):
        assert words not in text.lower()


def test_a_paper_takes_the_place_of_a_paper_and_of_nothing_else(tmp_path):
    done("job", "edit", "1", "102", "quantity=2")
    paper, schedule = tmp_path / "changes.pdf", tmp_path / "prices.csv"
    schedule.write_text("mark,size\n", encoding="utf-8")
    assert run("quote", "compare", "1", "--out", str(paper)).status == 0
    assert run("quote", "compare", "1", "--out", str(paper)).status == 0
    for command in (("quote", "compare", "1"), ("quote", "paper", "Q-1"), ("quote", "sheet", "1")):
        refused = run(*command, "--out", str(schedule))
        assert (refused.status, refused.out) == (2, "")
        assert "no PDF" in refused.err
        assert schedule.read_text(encoding="utf-8") == "mark,size\n"
    gone = run("quote", "compare", "1", "--out", str(tmp_path / "no" / "x.pdf"))
    assert (gone.status, gone.out) == (2, "")
