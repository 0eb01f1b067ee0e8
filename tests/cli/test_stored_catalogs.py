"""`wholekit catalog items` and `catalog compare`: old revisions stay readable."""

from contextlib import closing
from dataclasses import replace

import pytest
from tests.support.command import run
from tests.support.house import dearer, sample
from tests.support.jobs import by, put_catalog

from wholekit.bootstrap import open_store
from wholekit.services.catalogs import stored_catalog


@pytest.fixture(autouse=True)
def two_revisions(monkeypatch, tmp_path):
    """The sample, then the same dearer and without its last item."""
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    first = sample("tarrowby")
    second = dearer(first)
    put_catalog(open_store(), first)
    put_catalog(open_store(), replace(second, items=second.items[:-1]))


def prices(*arguments):
    found = run("catalog", "items", "tarrowby", "--page-size", "1000", *arguments, "--json").json
    return {item["sku"]: item["price"] for item in found["items"]}


def test_an_old_revision_still_tells_its_own_prices():
    first, second = sample("tarrowby"), dearer(sample("tarrowby"))
    assert prices("--revision", "1") == {
        item.sku: item.list_price.decimal_text for item in first.items
    }
    assert prices() == {item.sku: item.list_price.decimal_text for item in second.items[:-1]}


def test_items_are_found_by_words_and_paged():
    page = ("--text", "SLATE BODY", "--page-size", "3")
    answer = run("catalog", "items", "tarrowby", *page, "--json").json
    wanted = [item for item in sample("tarrowby").items if "slate body" in item.description.lower()]
    assert answer["count"] == len(wanted) > 3
    skus = [item["sku"] for item in answer["items"]]
    skus += [
        item["sku"]
        for number in range(2, -(-len(wanted) // 3) + 1)
        for item in run(
            "catalog", "items", "tarrowby", *page, "--page", str(number), "--json"
        ).json["items"]
    ]
    assert sorted(skus) == sorted(item.sku for item in wanted)


def test_cost_is_told_only_to_whoever_asks():
    assert "cost" not in run("catalog", "items", "tarrowby").out
    assert all(
        item.get("cost") is None
        for item in run("catalog", "items", "tarrowby", "--json").json["items"]
    )
    assert "cost" in run("catalog", "items", "tarrowby", "--cost").out.splitlines()[1]


def test_terms_of_buying_are_told_and_breaks_with_the_cost_alone():
    asked = ("catalog", "items", "tarrowby", "--text", "T-BS-MS-P10", "--json")
    (item,) = run(*asked).json["items"]
    assert (item["breakable"], item["reorder_at"], item["least_order"]) == (True, 3, 2)
    assert "price_breaks" not in item
    (item,) = run(*asked, "--cost").json["items"]
    assert item["price_breaks"] == [{"packs": 10, "cost": "18.0000"}]
    (item,) = run(*asked[:3], "--text", "TG-SH.689", "--json").json["items"]
    assert item["substitutes"] == ["TG-AR.689"]
    with closing(open_store()) as store:
        hidden = stored_catalog(store, by("odo"), "tarrowby").catalog
    assert not any(item.terms.price_breaks for item in hidden.items)


def test_two_stored_revisions_are_compared():
    answer = run("catalog", "compare", "tarrowby", "1", "--json").json
    gone = sample("tarrowby").items[-1].sku
    assert [item["sku"] for item in answer["gone"]] == [gone]
    assert answer["dearer"] == len(sample("tarrowby").items) - 1
    back = run("catalog", "compare", "tarrowby", "2", "1", "--json").json
    assert [item["sku"] for item in back["new"]] == [gone]
    assert back["cheaper"] == answer["dearer"]


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("items", "nosuch"), "it has tarrowby"),
        (("items", "tarrowby", "--revision", "9"), "no revision 9"),
        (("compare", "tarrowby", "1", "9"), "no revision 9"),
    ],
)
def test_what_is_not_there_is_said(arguments, words):
    result = run("catalog", *arguments)
    assert (result.status, result.out) == (2, "")
    assert words in result.err
