"""What the counter asks on the phone: one short command, the answer first, changes tried."""

import itertools
import re

import pytest
from tests.support.command import add_openings, done, run
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store

STOPPED = "C2 3068 wood/steel interior 90 min hold-open"
PLAIN = "C1 3070 hollow-metal/steel exterior out parallel 689 x2"


def flat(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.usefixtures("shop")
def test_a_call_without_catalogues_uses_the_newest_of_the_store():
    named = done("kit", "--opening", PLAIN, "--catalog", "catalog_samples/tarrowby", "--json")
    assert done("kit", "--opening", PLAIN, "--json").out == named.out
    assert done("kit", "--opening", PLAIN, "--catalog", "tarrowby", "--json").out == named.out
    both = done("kit", "--opening", PLAIN, "--catalog", "tarrowby", "--catalog",
                "catalog_samples/quillmere", "--json")  # fmt: skip
    folders = done("kit", "--opening", PLAIN, "--catalog", "catalog_samples/tarrowby",
                   "catalog_samples/quillmere", "--json")  # fmt: skip
    assert both.out == folders.out
    put_catalog(open_store(), sample("quillmere"))
    assert done("kit", "--opening", PLAIN, "--json").json == {
        **folders.json,
        # Of the store they come by id; of equal kits the first catalogue's is taken.
        "openings": done("kit", "--opening", PLAIN, "--catalog", "quillmere", "--catalog",
                         "tarrowby", "--json").json["openings"],
    }  # fmt: skip


@pytest.mark.usefixtures("shop")
@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--catalog", "tarowby"), "neither a folder nor a catalogue of the store"),
        (("--catalog", "tarrowby", "--catalog", "catalog_samples/tarrowby"), "the id tarrowby"),
        (("--by", "stranger"), "stranger"),
    ],
)
def test_a_catalogue_that_is_not_there_is_told(arguments, words):
    result = run("kit", "--opening", PLAIN, *arguments)
    assert (result.status, result.out) == (2, "")
    assert words in result.err


@pytest.mark.usefixtures("shop")
def test_catalogues_of_several_currencies_must_be_named(monkeypatch):
    from dataclasses import replace

    from wholekit.domain.quantities import Cost, Money

    other = sample("quillmere")
    items = tuple(
        replace(item, list_price=Money(item.list_price.minor, "CAD"), cost=Cost(0, "CAD"))
        for item in other.items
    )
    put_catalog(open_store(), replace(other, currency="CAD", items=items))
    result = run("kit", "--opening", PLAIN)
    assert result.status == 2
    assert "quillmere in CAD and tarrowby in USD" in result.err
    assert run("kit", "--opening", PLAIN, "--catalog", "quillmere", "--json").json["totals"][
        "price"
    ]["currency"] == "CAD"  # fmt: skip


@pytest.mark.usefixtures("shop")
def test_an_opening_takes_one_to_three_lines_and_what_is_shared_is_told_once():
    marks = [f"D{number}" for number in range(12)]
    asked = [f"{mark} 3068 wood/steel interior 45 min" for mark in marks]
    result = run("kit", *(part for text in (STOPPED, *asked) for part in ("--opening", text)))
    assert result.status == 1
    head, rest = result.out.split("\n\n", 1)
    lines = head.splitlines()
    assert re.fullmatch(r"C2  1 × 3'-0\" × 6'-8\"  regular arm, size 3, 689 +[\d.]+ USD", lines[0])
    assert lines[1] == "    STOP  hold-open arm on a fire door"
    assert lines[2].startswith("    WARN  ")
    starts = [at for at, line in enumerate(lines) if not line.startswith(" ")]
    assert len(starts) == 13
    assert all(1 <= after - at <= 3 for at, after in itertools.pairwise(starts))
    assert flat(rest).count("45 min: it must close by itself and latch") == 1
    assert "D0, D1, D2, D3, D4, D5, D6, D7 and 4 more: Fire door, 45 min" in flat(rest)
    assert rest.count("assumed ") == 1
    assert "licensed people decide" in rest
    # Nothing of the long form's findings is lost but the sources of what is only to be known.
    full = run("kit", "--opening", STOPPED, "--full").out
    for part in ("must close by itself. [NFPA 80", "Use a release device", "leaf core: particle"):
        assert part in flat(full)
        assert part in flat(rest)


@pytest.mark.usefixtures("shop")
def test_what_is_lacking_stops_the_opening_in_words():
    out = run("kit", "--opening", "9 3070 hollow-metal/steel interior finish 605").out
    (stop,) = (line for line in out.splitlines() if line.startswith("    STOP"))
    assert "-" not in stop.replace("soffit-", "")
    assert "finish not made" in out


@pytest.mark.usefixtures("shop")
def test_why_is_answered_in_five_lines_of_a_job_too():
    add_openings(PLAIN, STOPPED)
    lines = done("explain", "j-1", "C1").out.splitlines()
    assert [line[4:9].strip() for line in lines if not line.startswith(" " * 8)][1:4] == [
        "size", "mount", "body",
    ]  # fmt: skip
    text = flat("\n".join(lines))
    assert "size 4 for a leaf 36 in wide (exterior) [trade magazine chart" in text
    assert "the schedule asks for parallel arm" in text
    whole = done("explain", "J-00001", "--mark", "C1", "--all").out
    assert "the greatest of these" in whole
    # The net price of the job's customer, who pays 70 % of list.
    (listed,) = done("kit", "--opening", PLAIN, "--json").json["openings"]
    net = float(listed["price"]["amount"]) * 0.7
    assert f"{net:.2f} each" in text
    assert run("explain", "J-1", "C2").status == 1
    assert "It has C1 and C2" in run("explain", "J-1").err
    assert "C9" in run("explain", "J-1", "C9").err
    assert "leave out --opening" in run("explain", "J-1", "C1", "--opening", PLAIN).err


@pytest.mark.usefixtures("shop")
def test_several_openings_are_changed_in_the_words_of_the_shorthand_all_or_none():
    add_openings(*(f"{mark} 3070 wood/steel interior" for mark in (101, 102, 103, 110, "C1")))
    out = done("job", "edit", "1", "101-103", "C1", "exterior", "out", "finish=690", "ADA").out
    assert [line.partition(":")[0] for line in out.splitlines()] == ["101", "102", "103", "C1"]
    (shown, *_) = run("job", "show", "1", "--json").json["openings"]
    assert shown["summary"].startswith("Exterior, wood leaf in steel frame, swings out, accessible")
    before = done("job", "history", "1").out
    for call, words in (
        (("101", "102", "sideways"), "sideways is not understood"),
        (("101-103", "110", "mark=102"), "102 already"),
        (("101", "finish=689", "690"), "finish is changed twice"),
        (("101", "698"), "689"),
        (("105-109", "exterior"), "no opening 105-109"),
        (("101", "102"), "Say what is to be set"),
        (("101", "102", "exterior", "--if-version", "1"), "for one opening"),
    ):
        result = run("job", "edit", "1", *call)
        assert (result.status, result.out) == (2, ""), call
        assert words in result.err, call
    assert done("job", "history", "1").out == before


@pytest.mark.usefixtures("shop")
def test_a_change_is_tried_and_nothing_is_written():
    add_openings(PLAIN, "C3 3070 hollow-metal/steel exterior out parallel 689")
    before, history = run("job", "show", "1").out, done("job", "history", "1").out
    tried = run("job", "try", "1", "C1", "C3", "wood", "frame=wood")
    assert tried.status == 0
    assert "C1" in tried.out
    assert "Nothing was written" in tried.out
    assert "Frame material" in tried.out
    assert "(T-BS-MS)" in tried.out
    data = run("job", "try", "1", "C1", "wood", "frame=wood", "--json").json
    moved = {row["what"]: row for row in data["comparison"]["totals"]}["net"]
    assert run("job", "show", "1").out == before
    assert done("job", "history", "1").out == history
    # What was told is what comes of it.
    done("job", "edit", "1", "C1", "wood", "frame=wood")
    assert run("job", "show", "1", "--json").json["totals"]["net"] == moved["after"]
    stopped = run("job", "try", "1", "C3", "90", "min", "hold-open")
    assert stopped.status == 1
    assert "STOP  C3: A hold-open arm" in stopped.out
    assert "no line and no price would change" in run("job", "try", "1", "C3", "689").out


@pytest.mark.usefixtures("shop")
def test_warnings_stand_shortly_in_job_review_and_issue():
    add_openings("F1 3068 wood/steel interior 45 min", "F2 3068 wood/steel interior 20 min")
    line = "WARN  F1 and F2: fire door, latch and listing to be checked"
    for call in (("job", "show", "1"), ("quote", "review", "1"), ("quote", "issue", "1")):
        result = run(*call)
        assert (result.status, result.err) == (0, "")
        assert result.out.count(line) == 1, call
    (warning, *_) = run("job", "show", "1", "--json").json["warnings"]
    assert (warning["code"], warning["marks"]) == ("fire-door-needs-latching", ["F1", "F2"])


@pytest.mark.usefixtures("shop")
def test_a_size_is_quoted_without_backslashes():
    result = run("kit", "--opening", "101 size=3'-0\"y7'-0\"")
    assert "“3'-0\"y7'-0\"” is not a leaf size" in result.err
