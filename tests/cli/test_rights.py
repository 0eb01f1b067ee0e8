"""Rights as the command line keeps them: status 2 and not one byte for who may not."""

import json

import pytest
from tests.support.command import add_openings, done, run
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store

# Who gets a paper is asked here, and not what stands on it.
pytestmark = pytest.mark.usefixtures("shop", "quick_papers")
COST_READS = [
    ("margin", "report"),
    ("margin", "report", "--per", "kit", "--json"),
    ("margin", "job", "1"),
    ("margin", "drift"),
    ("margin", "wins"),
    ("margin", "what-if", "1", "--at-margin", "30%"),
    ("margin", "what-if", "1", "--at-price", "900"),
    ("margin", "what-if", "1", "--supplier", "tarrowby"),
    ("quote", "show", "Q-1", "--internal"),
    ("quote", "show", "Q-1", "--internal", "--json"),
    ("quote", "sheet", "Q-1", "--out", "{folder}/sheet.pdf"),
    ("quote", "sheet", "1", "--out", "{folder}/sheet.pdf"),
    ("quote", "export", "Q-1", "--as", "xlsx", "--of", "margins", "--out", "{folder}/m.xlsx"),
    ("catalog", "items", "tarrowby", "--cost"),
    ("catalog", "diff", "{samples}/tarrowby"),
    ("house", "settings"),
    ("house", "history"),
    ("quote", "waiting"),
]
SELLERS_READS = [
    ("customer", "list"),
    ("customer", "show", "saltmarsh"),
    ("customer", "history", "saltmarsh"),
    ("customer", "ship-tos"),
    ("job", "list"),
    ("job", "show", "1"),
    ("job", "history", "1"),
    ("quote", "list", "1"),
    ("quote", "show", "Q-1"),
    ("quote", "review", "1"),
    ("quote", "compare", "1"),
    ("quote", "papers", "Q-1", "--out", "{folder}/papers"),
    ("quote", "export", "Q-1", "--as", "ubl", "--out", "{folder}/q.xml"),
    ("quote", "export", "Q-1", "--as", "xlsx", "--out", "{folder}/q.xlsx"),
    ("quote", "schedule", "Q-1", "{sheet}", "--out", "{folder}/back.csv"),
    ("kit", "--opening", "101 3070 hollow-metal/steel interior 689"),
    ("explain", "--opening", "101 3070 hollow-metal/steel interior 689", "--json"),
    ("catalog", "compare", "tarrowby", "1"),
]
READS = [("catalog", "list"), ("catalog", "items", "tarrowby"), ("house", "people")]


@pytest.fixture
def house(shop, monkeypatch):
    """Sam of sales, pia the picker, a quote issued; nobody's name stands at the machine."""
    add_openings("101 3070 hollow-metal/steel interior 689 x2")
    done("quote", "issue", "1")
    done("house", "person", "sam", "--role", "sales", "--by", "odo")
    done("house", "person", "pia", "--role", "picker", "--by", "odo")
    monkeypatch.delenv("WHOLEKIT_USER")


def filled(arguments, folder):
    from wholekit.settings import bundled

    sheet = folder.parent / "sheet.csv"
    sheet.write_text("mark,size\n101,3070\n", encoding="utf-8")
    return tuple(
        argument.format(folder=folder, samples=bundled("catalog_samples"), sheet=sheet)
        for argument in arguments
    )


@pytest.mark.usefixtures("house")
@pytest.mark.parametrize("arguments", COST_READS)
def test_cost_is_told_to_owners_by_name_and_to_nobody_else(arguments, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    call = filled(arguments, folder)
    for who in ((), *(("--by", name) for name in ("ines", "sam", "pia", "carl", "root"))):
        refused = run(*call, *who)
        assert (refused.status, refused.out) == (2, ""), who
        assert refused.err.strip()
        assert list(folder.iterdir()) == [], who
    assert run(*call, "--by", "odo").status in (0, 1)


@pytest.mark.usefixtures("house")
@pytest.mark.parametrize("arguments", SELLERS_READS)
def test_what_sellers_read_no_picker_and_no_stranger_does(arguments, tmp_path):
    folder = tmp_path / "out"
    folder.mkdir()
    call = filled(arguments, folder)
    for who in ("pia", "carl"):
        refused = run(*call, "--by", who)
        assert (refused.status, refused.out) == (2, ""), who
        assert list(folder.iterdir()) == [], who
    for who in ("ines", "sam", "odo"):
        assert run(*call, "--by", who).status == 0, who


@pytest.mark.usefixtures("house")
def test_a_picker_gets_the_papers_without_a_price(tmp_path):
    for only, status in (
        ("pick-list", 0),
        ("packing-slip", 0),
        ("drilling-sheets", 0),
        ("quote", 2),
    ):
        out = tmp_path / only
        got = run("quote", "papers", "Q-1", "--only", only, "--out", str(out), "--by", "pia")
        assert (got.status, out.exists()) == (status, status == 0)
    walk = tmp_path / "walk.xlsx"
    export = ("quote", "export", "Q-1", "--as", "xlsx", "--out", str(walk), "--by", "pia")
    assert (run(*export, "--of", "pick-list").status, walk.exists()) == (0, True)
    items = ("catalog", "items", "tarrowby", "--page-size", "1000")
    prices = [
        item["price"] for item in json.loads(run(*items, "--json", "--by", "ines").out)["items"]
    ]
    assert all(prices)
    assert prices[0] in run(*items, "--by", "ines").out
    assert not set(prices) & set(run(*items, "--by", "pia").out.split())
    told = json.loads(run(*items, "--json", "--by", "pia").out)["items"]
    assert not any(each["price"] for each in told)
    for arguments in READS:
        assert run(*arguments, "--by", "pia").status == 0
        assert run(*arguments, "--by", "carl").status == 2


@pytest.mark.usefixtures("house")
def test_papers_of_a_schedule_have_a_margin_sheet_for_who_may_see_cost(tmp_path):
    call = filled(
        ("papers", "--opening", "101 3070 hollow-metal/steel interior 689", "--catalog",
         "{samples}/tarrowby", "--out", "{folder}"), tmp_path / "o")  # fmt: skip
    for who, there in ((("--by", "ines"), False), ((), False), (("--by", "odo"), True)):
        told = run(*call, *who)
        assert told.status == 0
        assert (tmp_path / "o" / "margin-sheet.pdf").exists() == there
        assert ("may not see cost" in told.err) == (not there)


@pytest.mark.usefixtures("house")
def test_a_comparison_of_catalogues_tells_cost_to_owners_alone():
    put_catalog(open_store(), dearer_by_cost(sample("tarrowby")))
    both = ("catalog", "compare", "tarrowby", "1", "2", "--json")
    assert json.loads(run(*both, "--by", "odo").out)["cost"] > 0
    told = run(*both, "--by", "ines")
    assert json.loads(told.out)["cost"] == 0
    assert all(one["cost_before"] == one["cost_after"] for one in told.json["changed"])


def dearer_by_cost(catalog):
    from dataclasses import replace

    from wholekit.domain.quantities import Cost

    items = tuple(
        replace(item, cost=Cost(item.cost.units + 10_000, item.cost.currency))
        for item in catalog.items
    )
    return replace(catalog, items=items, counts={item.sku: 7 for item in items})


@pytest.mark.usefixtures("house")
@pytest.mark.parametrize(
    ("arguments", "may"),
    [
        (("customer", "set", "saltmarsh", "--multiplier", "50%"), "sam odo"),
        (("customer", "set", "saltmarsh", "--phone", "555 0100"), "ines sam odo"),
        (("customer", "tier", "saltmarsh", "50%"), "sam odo"),
        (("customer", "agree", "saltmarsh", "--reason", "so"), "odo"),
        (("house", "settings", "--floor", "20%"), "odo"),
        (("house", "person", "eve", "--role", "picker"), "odo"),
        (("catalog", "load", "{samples}/quillmere", "--yes"), "odo"),
        (("job", "override", "1", "101", "--price", "300", "--reason", "so"), "ines sam odo"),
        (("quote", "sent", "Q-1", "--to", "R. Oake"), "ines sam odo"),
        (("quote", "accept", "Q-1"), "ines sam odo"),
    ],
)
def test_changes_are_made_by_those_who_may(arguments, may, tmp_path):
    call = filled(arguments, tmp_path)
    for who in ("pia", "ines", "sam", "odo"):
        if who not in may:
            refused = run(*call, "--by", who)
            assert (refused.status, refused.out) == (2, ""), who
    assert run(*call, "--by", may.split()[0]).status == 0


def test_a_counter_is_told_to_ask_and_never_the_margin():
    add_openings("101 3070 hollow-metal/steel interior 689 x2")
    done("job", "discount", "1", "40%", "--reason", "third school")
    for call in (("quote", "issue", "1"), ("quote", "review", "1")):
        for more in ((), ("--json",)):
            told = run(*call, *more)
            said = " ".join((told.out + told.err).split())
            assert told.status == 1
            assert "needs the owner's approval" in said
            assert "off the agreed terms; counter may give 5% at most" in said
            assert "The price needs the owner's approval." in said
            assert "The margin" not in said
    owners = done("quote", "waiting", "--by", "odo").out
    assert "J-00001" in owners
    assert "asked by ines" in owners
    assert "The margin is " in " ".join(owners.split())
    done("quote", "approve", "1", "--reason", "to win the school", "--by", "odo")
    for call in (("quote", "list", "1"), ("job", "history", "1")):
        for more in ((), ("--json",)):
            assert "margin" not in run(*call, *more).out


def test_an_owner_turns_a_request_down_and_the_counter_reads_why():
    add_openings("101 3070 hollow-metal/steel interior 689 x2")
    done("job", "discount", "1", "15%", "--reason", "third school")
    assert run("quote", "issue", "1").status == 1
    assert run("quote", "refuse", "1", "--reason", "x").status == 2
    assert run("quote", "refuse", "1", "--by", "odo").status == 2, "it takes a reason"
    done("quote", "refuse", "1", "--reason", "too low", "--by", "odo")
    assert run("quote", "waiting", "--by", "odo").out == ""
    said = " ".join(run("quote", "review", "1").out.split())
    assert "refused by odo: too low" in said
    assert run("quote", "review", "1", "--json").json["request"]["refusal"] == "too low"


def test_an_older_edition_takes_a_word_of_its_own(tmp_path):
    from shutil import copytree

    from wholekit.settings import bundled

    old = copytree(bundled("catalog_samples") / "tarrowby", tmp_path / "tarrowby")
    header = old / "catalog.toml"
    text = header.read_text(encoding="utf-8")
    edition = next(line for line in text.splitlines() if line.startswith("edition"))
    header.write_text(text.replace(edition, "edition = 2001-01-01"), encoding="utf-8")
    load = ("catalog", "load", str(old), "--yes", "--by", "odo")
    refused = run(*load)
    assert refused.status == 2
    assert "--older-edition" in refused.err
    assert [one["revision"] for one in done("catalog", "list", "tarrowby", "--json").json] == [1]
    assert run(*load, "--older-edition").status == 0
    rows = done("catalog", "list", "tarrowby", "--json").json
    assert [(row["revision"], row["loaded_by"]) for row in rows] == [(1, "odo"), (2, "odo")]


def test_histories_say_who_when_and_from_what_to_what():
    done("customer", "set", "saltmarsh", "--multiplier", "65%", "--by", "odo")
    done("customer", "tier", "saltmarsh", "50%", "--kind", "body", "--by", "odo")
    said = " ".join(done("customer", "history", "saltmarsh").out.split())
    assert "odo customer changed" in said
    assert "list × 70% → 65%" in said
    assert "list × 50% kind body" in said
    done("house", "settings", "--floor", "20%", "--by", "odo")
    house = " ".join(done("house", "history", "--by", "odo").out.split())
    assert "margin floor 25% → 20%" in house
    assert "person entered: ines" in house
