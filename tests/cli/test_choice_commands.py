"""`kit --choices`, `--one-supplier`, `job choices` and `job choose`, as a user calls them."""

import json
from datetime import datetime

import pytest
from tests.support.command import add_openings, done, run
from tests.support.house import SAMPLES, sample, sample_folders
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store

FOLDERS = [part for folder in sample_folders() for part in ("--catalog", str(folder))]
TODAY = datetime.now().astimezone().date()
FIRST = ("--opening", "101 3070 hollow-metal/steel interior 689 x2")
SECOND = ("--opening", "102 3070 wood exterior out 626")


@pytest.fixture
def job(shop):
    """A job on all three samples, with two openings."""
    for name in SAMPLES:
        if name != "tarrowby":
            put_catalog(open_store(), sample(name))
    done("job", "reprice", "1", *(part for name in SAMPLES for part in ("--supplier", name)))
    add_openings(FIRST[1], SECOND[1])


def test_each_opening_of_a_schedule_has_its_choices_and_the_whole_its_sums():
    plain = run("kit", *FIRST, *SECOND, *FOLDERS, "--json").json
    answer = run("kit", *FIRST, *SECOND, *FOLDERS, "--choices", "--json").json
    assert answer["totals"] == plain["totals"]
    for opening, before in zip(answer["openings"], plain["openings"], strict=True):
        quoted, *others = opening["choices"]
        assert quoted["price"] == before["price"] == opening["price"]
        # The day is that of its own kits, on the house's working days.
        assert quoted["ready"] == before["ready"][-1]["day"]
        for choice in opening["choices"]:
            assert choice["in_stock"] or choice["ready"] is None or choice["ready"] > str(TODAY)
        for choice in others:
            difference = float(choice["price"]["amount"]) - float(quoted["price"]["amount"])
            assert float(choice["difference"]["amount"]) == pytest.approx(difference)
            assert {"what", "in_stock", "lines"} <= set(choice)
            assert choice["differs"]
    assert {refused["word"] for refused in answer["openings"][1]["not_offered"]} >= {"averlund"}
    sums = {found["word"]: found for found in answer["sums"]}
    assert sums["as-quoted"]["price"] == plain["totals"]["price"]
    assert sums["averlund"]["as_quoted"] == ["102"]


def test_a_schedule_in_one_makers_goods_and_one_finish_stands_beside_the_mixed_price():
    plain = run("kit", *FIRST, *SECOND, *FOLDERS, "--json").json
    alone = run("kit", *FIRST, *SECOND, "--catalog", str(sample_folders()[2]), "--json").json
    answer = run("kit", *FIRST, *SECOND, *FOLDERS, "--one-supplier", "tarrowby", "--json").json
    quoted, found = answer["sums"]
    assert quoted["price"] == plain["totals"]["price"]
    assert found["price"] == answer["totals"]["price"] == alone["totals"]["price"]
    painted = run("kit", *FIRST, *SECOND, *FOLDERS, "--one-finish", "dark bronze", "--json").json
    assert {opening["finish"] for opening in painted["openings"]} == {"690"}
    for option, right in (("--one-supplier", "tarrowby"), ("--one-finish", "625")):
        refused = run("kit", *FIRST, *FOLDERS, option, "nobody")
        assert (refused.status, refused.out) == (2, "")
        assert right in refused.err


@pytest.mark.usefixtures("job")
def test_choices_fit_eighty_columns_and_one_word_sets_one():
    shown = done("job", "choices", "1", "101", "102").out
    assert max(map(len, shown.splitlines())) <= 80
    (answer,) = done("job", "choices", "1", "101", "--json").json
    wanted = next(choice for choice in answer["choices"] if choice["word"] == "tarrowby")
    set_now = done("job", "choose", "1", "101", "tarrowby").out
    assert wanted["price"]["amount"] in set_now
    opening = run("job", "show", "1", "--json").json["openings"][0]
    assert opening["price_each"] == wanted["price"]
    assert "goods of tarrowby alone" in opening["by_hand"][0]["text"]
    assert "kit chosen: tarrowby" in done("job", "history", "1").out
    (after,) = done("job", "choices", "1", "101", "--json").json
    assert after["chosen"] == "tarrowby"
    done("job", "choose", "1", "101", "as-quoted")
    assert run("job", "show", "1", "--json").json["openings"][0]["by_hand"] == []


@pytest.mark.usefixtures("job")
def test_good_better_best_go_on_the_quote_with_their_totals():
    done("job", "choose", "1", "101", "tarrowby", "--good")
    done("job", "choose", "1", "101", "next-size", "--better", "--title", "One size up")
    done("job", "choose", "1", "101", "102", "adjustable", "--best")
    done("quote", "issue", "1")
    quote = done("quote", "show", "Q-1", "--json").json
    titles = {alternate["code"]: alternate["title"] for alternate in quote["alternates"]}
    assert titles == {"good": "Good", "better": "One size up", "best": "Best"}
    assert "101: not in alternate good" in done("job", "choose", "1", "101", "as-quoted",
                                                "--good").out  # fmt: skip
    assert json.loads(done("job", "choices", "1", "--json").out)[0]["word"] == "as-quoted"


@pytest.mark.usefixtures("job")
@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (("101", "nonsense"), "nonsense is no choice for opening 101; there are"),
        (("101", "102", "averlund"), "averlund is not offered for 102"),
        (("--one-supplier", "averlund"), "averlund is not offered for 102"),
        (("tarrowby",), "Give marks and the word of a choice"),
        ((), "Say which: the word of a choice"),
        (("101", "tarrowby", "--good", "--best"), "Give exactly one of --good"),
        (("101", "tarrowby", "--as-alternate", "alt-1"), "needs a title"),
        (("--one-finish", "plaid"), "plaid is no finish; right would be"),
    ],
)
def test_a_wrong_call_says_what_would_be_right_and_sets_nothing(arguments, told):
    refused = run("job", "choose", "1", *arguments)
    assert (refused.status, refused.out) == (2, "")
    assert told in refused.err
    assert run("job", "show", "1", "--json").json["openings"][0]["version"] == 1


@pytest.mark.usefixtures("job")
def test_the_house_prices_new_jobs_on_one_supplier_until_told_otherwise():
    shown = done("house", "settings", "--one-supplier", "averlund", "--by", "odo").out
    assert "new jobs are priced on averlund alone" in shown
    done("job", "new", "Second", "--customer", "saltmarsh")
    assert run("job", "show", "2", "--json").json["catalogs"] == ["averlund revision 1"]
    done("house", "settings", "--one-supplier", "", "--by", "odo")
    done("job", "new", "Third", "--customer", "saltmarsh")
    assert len(run("job", "show", "3", "--json").json["catalogs"]) == 3
