"""`wholekit buy` and `wholekit receive`, as a person runs them."""

import json

import pytest
from tests.support import command

SKU = "T-BS-MS-P10"  # the one item at its reorder point in the sample book
MONEY = ("cost", "amount", "20.07", "80.28", "USD")


def done(*arguments):
    """A command that goes well, whatever it tells besides."""
    result = command.run(*map(str, arguments))
    assert result.status == 0, result.err
    return result


@pytest.fixture
def ordered(shop):
    """An order of four, sent."""
    done("house", "person", "pia", "--role", "picker", "--by", "odo")
    done("buy", "order", "--address", "9 Mill Lane", "--supplier", "Tarrowby Closer Company",
         "--by", "odo")  # fmt: skip
    done("buy", "send", "P-1", "--by", "odo")


def data(*arguments):
    return json.loads(done(*arguments, "--json").out)


def test_from_the_buy_list_to_goods_on_the_shelf(ordered, tmp_path):
    found = data("buy", "list", "--by", "odo")
    assert set(found) == {"day", "branch", "suppliers", "late", "not_bought"}
    assert found["suppliers"] == []  # all of it is under way
    assert "nothing is to be bought for main" in done("buy", "list", "--by", "odo").out
    shown = data("buy", "show", "1", "--by", "odo")
    assert set(shown) == {"purchase", "receipts", "events"}
    assert set(shown["purchase"]) == {
        "order", "supplier", "state", "branch", "placed", "placed_by", "sent", "sent_by",
        "currency", "total", "wanted_by", "note", "version", "lines",
    }  # fmt: skip
    (line,) = shown["purchase"]["lines"]
    assert (line["sku"], line["packs"], line["open"], line["amount"]) == (SKU, 4, 4, "80.28")
    for form, said in (("csv", b"80.28"), ("ubl", b"9 Mill Lane")):
        out = tmp_path / form
        done("buy", "paper", "P-1", "--as", form, "--out", out, "--by", "odo")
        assert said in out.read_bytes()
    came = data("receive", "P-1", f"{SKU}=1", "--note", "DN 1", "--by", "pia")
    assert set(came) == {
        "order", "supplier", "state", "branch", "again", "lines", "completed", "unended",
    }  # fmt: skip
    (line,) = came["lines"]
    assert set(line) == {
        "sku", "barcode", "description", "ordered", "came", "received", "open", "over",
    }  # fmt: skip
    assert (came["state"], line["came"], line["open"]) == ("part", 1, 3)
    again = done("receive", "1", f"{SKU}=1", "--note", "dn 1", "--by", "pia")
    assert "counts once" in again.err
    closed = data("receive", "1", f"{SKU}=5", "--over", "--by", "pia")
    assert (closed["state"], closed["lines"][0]["over"]) == ("closed", 2)
    listed = data("buy", "orders", "--state", "closed", "--by", "odo")
    assert set(listed) == {"orders", "count", "page", "page_size"}
    assert "no fault" in done("db", "check").out


def test_a_scanner_is_answered_line_by_line(ordered):
    typed = (
        f"{SKU}\n9*{SKU}\nNOPE\x01\n{'X' * 10_000}\nTG-B1\nNOPE\n3*{SKU}\nundo\n 2*{SKU.lower()} \n"
        "undo\nundo\nundo\n0*X\nQ12R2P7B3B\nover\nEND\nmore\n"
    )
    told = command.run("receive", "P-1", "--scan", "--by", "pia", stdin=typed.encode())
    assert (told.status, "\x01" in told.err) == (0, False)
    for said in (
        f"OK   1 × {SKU} into bin B-17-10",
        "Too many: 3 more of",
        "Ordered 4, received 1; none of 9 was counted.",
        "The code came garbled",
        "Too long for one code",
        "Not ordered: TG-B1.",
        f"Unknown code. Here belongs {SKU[:13]}",
        "4 of 4: all of it is here",
        f"Out again: 3 × {SKU}",
        "3 of 4: 1 still to come",
        "0 of 4: 4 still to come",
        "Nothing there to undo.",
        "A count of 0 counts nothing.",
        "That is a bag's label.",
    ):
        assert said in told.err, said
    assert data("receive", "P-1", "--by", "pia")["lines"][0]["open"] == 4
    typed = f"5*{SKU}\nover\nover\n"
    told = command.run("receive", "P-1", "--scan", "--by", "pia", stdin=typed.encode())
    assert "5 of 4: 1 more than were ordered" in told.err
    assert "Unknown code." in told.err
    assert f"{SKU}: 1 more than were ordered" in told.err
    assert "received" in told.out
    assert "no fault" in done("db", "check").out
    assert "do not go together" in command.run("receive", "P-1", f"{SKU}=1", "--scan").err


def test_who_receives_sees_no_money_and_who_may_not_buy_sees_nothing(ordered):
    for form in ((), ("--json",)):
        for arguments in (("receive", "P-1"), ("receive", "P-1", f"{SKU}=1")):
            said = done(*arguments, *form, "--by", "pia")
            assert not any(word in said.out + said.err for word in MONEY)
    for call in ("list", "orders", "show 1", "send 1", "cancel 1"):
        for who in ("pia", "ines"):
            told = command.run("buy", *call.split(), "--by", who)
            assert (told.status, told.out) == (2, "")
            assert who in told.err


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("receive", "P-1", SKU), "write SKU=12"),
        (("receive", "P-1", f"{SKU}=two"), "write SKU=12"),
        (("receive", "P-1", f"{SKU}={'9' * 4_000}"), "write SKU=12"),
        (("receive", "P-1", f"{SKU}=0"), "from 1 to"),
        (("receive", "P-1", "TG-B1=1"), "was not ordered with P-00001"),
        (("receive", "P-9"), "There is no purchase order P-9"),
        (("receive", "P-1", f"{SKU}=1", "--branch", "south"), "There is no branch south"),
    ],
)
def test_what_is_wrong_with_a_delivery_is_told(ordered, arguments, said):
    told = command.run(*arguments, "--by", "pia")
    assert told.status == 2
    assert said in told.err
    assert told.out == ""
