"""`wholekit stock`, as a person runs it."""

import json

import pytest
from tests.cli.test_store_commands import QUILLMERE, run  # noqa: F401  # a fixture

SKU = "QH-3-689"
MONEY = ("cost", "price", "list", "$", "175.00", "77.00")


@pytest.fixture
def stocked(run):  # noqa: F811  # the fixture
    """Quillmere's book loaded; an owner, somebody at the counter and a picker."""
    run("catalog", "load", QUILLMERE, "--yes")
    for name, role in (("odo", "owner"), ("ines", "counter"), ("pia", "picker")):
        run("house", "person", name, "--role", role, "--by", "odo")
    return run


def test_stock_is_listed_shown_moved_and_told(stocked):
    shown = json.loads(stocked("stock", "show", SKU, "--json").stdout)
    (before,) = shown
    assert set(before) == {
        "sku", "supplier", "description", "branch", "on_hand", "promised", "free", "bins",
    }  # fmt: skip
    done = stocked("stock", "receive", SKU, 3, "--bin", "Z-01", "--by", "pia", "--json")
    answer = json.loads(done.stdout)
    assert set(answer) == {"movements", "items", "waiting", "completed"}
    assert set(answer["movements"][0]) == {
        "key", "at", "who", "kind", "sku", "supplier", "packs", "source", "target", "reason",
    }  # fmt: skip
    (after,) = answer["items"]
    assert after["free"] == before["free"] + 3
    assert {"bin": "Z-01", "on_hand": 3} in after["bins"]
    said = stocked("stock", "adjust", SKU, -2, "--bin", "Z-01", "--reason", "wet", "--by", "pia")
    assert "adjust 2 × QH-3-689: main/Z-01 → difference" in said.stdout
    listed = json.loads(stocked("stock", "list", "--bin", "Z-01", "--json").stdout)
    assert (listed["count"], [row["sku"] for row in listed["items"]]) == (1, [SKU])
    history = json.loads(stocked("stock", "history", SKU, "--json").stdout)
    assert [each["kind"] for each in history["movements"]][:2] == ["adjust", "receipt"]
    assert "wet" in stocked("stock", "history", SKU).stdout
    stocked("stock", "branch", "north", "North yard", "--by", "odo")
    moved = stocked("stock", "move", SKU, 1, "--bin", "Z-01", "--to-branch", "north", "--by", "pia")
    assert "main/Z-01 → north" in moved.stdout
    stocked("stock", "scrap", SKU, 1, "--branch", "north", "--reason", "bent", "--by", "pia")
    assert "no fault" in stocked("db", "check").stdout


def test_no_money_is_in_any_answer_whoever_asks(stocked):
    for by in ("odo", "pia", "ines"):
        for arguments in (("list",), ("show", SKU), ("history", SKU), ("branch",)):
            for form in ((), ("--json",)):
                said = stocked("stock", *arguments, *form, "--by", by).stdout
                assert not any(word in said for word in MONEY)


def test_the_counter_sees_stock_and_moves_none(stocked):
    for arguments in (
        ("receive", SKU, 1),
        ("move", SKU, 1, "--to-bin", "Z-01"),
        ("adjust", SKU, 1, "--reason", "found"),
        ("scrap", SKU, 1, "--reason", "bent"),
    ):
        told = stocked("stock", *arguments, "--by", "ines", status=2).stderr
        assert "ines may not" in told
    assert "only" in stocked("stock", "branch", "x", "--by", "pia", status=2).stderr.lower()


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("adjust", SKU, "two", "--reason", "x"), "write one such as 3 or -2"),
        (("adjust", SKU, "9" * 4_000, "--reason", "x"), "write one such as 3 or -2"),
        (("adjust", SKU, "--reason", "x"), "Missing argument"),
        (("adjust", SKU, "3"), "Give a reason"),
        (("receive", SKU, "0"), "greater than or equal to 1"),
        (("show", "QH-0"), "No stock is kept of QH-0"),
        (("scrap", SKU, "900", "--reason", "x"), "not 900"),
    ],
)
def test_what_is_wrong_is_told_with_what_would_be_right(stocked, arguments, said):
    told = stocked("stock", *arguments, "--by", "pia", status=2)
    assert said in told.stderr
    assert told.stdout == ""


def test_kits_of_the_store_draw_on_what_is_free_there(stocked):
    def short():
        kit = stocked("kit", "--opening", "101 3070 interior 100lb 689", "--json").stdout
        return {each["text"].partition(":")[0] for each in json.loads(kit)["stock"]}, kit

    before, kit = short()
    line = next(
        line["sku"] for line in json.loads(kit)["openings"][0]["lines"] if line["sku"] not in before
    )
    (row,) = json.loads(stocked("stock", "show", line, "--json").stdout)
    stocked("stock", "scrap", line, row["free"], "--reason", "water", "--by", "pia")
    assert line in short()[0]
