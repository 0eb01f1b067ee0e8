"""What `wholekit job` tells: jobs that cannot be worked out, long jobs, histories, slips."""

import json
import re

import pytest
from tests.support.command import add_openings
from tests.support.command import done_named as done
from tests.support.command import run_named as run
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store

pytestmark = pytest.mark.usefixtures("shop")
OPENING = "{} 3070 hollow-metal/steel interior 689"


def flat(text):
    return " ".join(text.split())


def refused(*arguments):
    result = run(*arguments)
    assert (result.status, result.out) == (2, "")
    return flat(result.err)


def widest(text):
    return max(map(len, text.splitlines()))


# Jobs that cannot be worked out


def test_a_job_in_a_currency_without_a_catalogue_is_told_at_once_and_can_be_seen():
    done("customer", "add", "maple", "Maple & Sons", "--currency", "CAD")
    made = run("job", "new", "Maple hall", "--customer", "maple")
    assert (made.status, made.out) == (0, "J-00002  Maple hall\n")
    assert "load one in CAD with wholekit catalog load DIR" in made.err
    add_openings(OPENING.format(101), job="2")
    shown = run("job", "show", "2")
    assert (shown.status, shown.err) == (1, "")
    assert "Interior, hollow metal leaf in steel frame" in shown.out
    assert "NOTE J-00002 is priced on no catalogue" in flat(shown.out)
    again = run("job", "show", "2", "--json")
    assert (again.status, again.json["totals"]) == (1, None)
    still = run("job", "reprice", "2")
    assert (still.status, still.out) == (0, "")
    assert "load one in CAD" in still.err


def test_one_setting_that_no_longer_fits_hides_no_other_opening():
    add_openings(OPENING.format(101), OPENING.format(102))
    (line, *_) = done("kit", "--catalog", "catalog_samples/tarrowby", "--opening",
                      OPENING.format(101), "--json").json["openings"][0]["lines"]  # fmt: skip
    done("job", "override", "1", "101", "--price", f"{line['sku']}=50", "--reason", "agreed")
    done("job", "edit", "1", "101", "finish=690")
    shown = run("job", "show", "1")
    assert (shown.status, shown.err, widest(shown.out) <= 80) == (1, "", True)
    assert f"wholekit job clear J-00001 101 price --sku {line['sku']}" in flat(shown.out)
    assert "NO KIT" in shown.out
    prices = [opening["price"] for opening in run("job", "show", "1", "--json").json["openings"]]
    assert [price is None for price in prices] == [True, False]
    done("job", "clear", "1", "101", "price", "--sku", line["sku"])
    assert run("job", "show", "1").status == 0


# Long answers


def test_sixty_openings_are_a_line_each_and_a_stop_is_told_once():
    marks = [f"L{number % 4}-{number}" for number in range(1, 61)]
    add_openings(*(f"{mark} 3070 90 min hold-open-arm 689 x2" for mark in marks))
    done("job", "edit", "1", marks[0], f"note={'behind the stage, ' * 9}")
    shown = run("job", "show", "1")
    lines = shown.out.splitlines()
    assert (shown.status, widest(shown.out) <= 80) == (1, True)
    assert [line.split()[0] for line in lines if line[:1] == "L"] == marks
    assert "60 marks, 120 openings" in lines
    assert flat(shown.out).count("[hold-open-on-fire-door]") == 1
    assert flat(shown.out).count("behind the stage,") == 9
    stops = flat(shown.out).split("STOP ")[1]
    assert stops.startswith(", ".join(marks[:-1]) + f" and {marks[-1]}: A hold-open arm")


def test_a_list_of_jobs_fits_wraps_and_tells_its_page():
    long = "A very long name of a job that goes on and on, phase two, east wing and roof"
    done("customer", "add", "dune-point-contracting-and-development", "Dune Point")
    done("job", "new", long, "--customer", "dune-point-contracting-and-development")
    add_openings(OPENING.format(1), job="2")
    for note in ("one", "two"):
        done("job", "set", "2", "--name", f"{long} {note}")
        done("quote", "issue", "2")
    text = done("job", "list").out
    assert widest(text) <= 80
    words = set(text.split())
    assert set(f"{long} two".split()) <= words, "no word of the name is broken"
    assert text.splitlines()[-1] == "2 of 2, page 1 of 1"
    beyond = done("job", "list", "--page", "9", "--page-size", "1")
    assert beyond.out.splitlines()[-1] == "0 of 2, page 9 of 2: past the end"
    data = done("job", "list", "--page", "9", "--page-size", "1", "--json").json
    assert (data["jobs"], data["count"], data["pages"]) == ([], 2, 2)


def test_a_history_tells_who_changed_what_from_what_to_what_and_why():
    add_openings(OPENING.format(101) + " x2")
    done("job", "edit", "1", "101", "finish=690", "quantity=3", "reveal=4 in")
    done("job", "override", "1", "101", "--price", "100", "--reason", "agreed by telephone",
         "--by", "odo")  # fmt: skip
    done("job", "add-line", "1", "Hinges", "--price", "12.50", "--cost", "8.1234")
    text = done("job", "history", "1").out
    assert widest(text) <= 80
    lines = text.splitlines()
    at = next(number for number, line in enumerate(lines) if "opening changed: 101" in line)
    assert lines[at].split()[2] == "ines"
    assert lines[at + 1 : at + 4] == [
        "    quantity 2 → 3",
        "    reveal not stated → 4 in",
        "    finish 689 → 690",
    ]
    assert lines[at + 4].split()[2:] == ["odo", "opening", "set", "by", "hand:", "101"]
    assert lines[at + 5 : at + 7] == [
        "    price of the whole opening set to 100.00 USD",
        "    because: agreed by telephone",
    ]
    data = done("job", "history", "1", "--json").out
    assert [one["about"] for one in json.loads(data)] == ["", "", "101", "101", "Hinges"]
    # Ids are drawn at random and may hold any figures: the cost, in units of a hundredth of a cent.
    assert not re.search(r"(?<![0-9a-f-])81234(?![0-9a-f-])", data + text)
    assert "8.1234" not in data + text


# What follows from a change


def test_a_job_on_the_latest_revisions_says_so_and_is_left_alone():
    add_openings(OPENING.format(101))
    before = done("job", "history", "1").out
    told = done("job", "reprice", "1").out
    assert told.splitlines()[0] == "J-00001  already on the latest revisions:"
    assert done("job", "reprice", "1", "--json").json["moved"] is False
    assert done("job", "history", "1").out == before
    put_catalog(open_store(), sample("tarrowby"))
    assert done("job", "reprice", "1").out == "J-00001  tarrowby revision 2\n"


def test_another_customer_is_told_with_all_that_follows():
    done("customer", "add", "dune", "Dune Point", "--multiplier", "50%")
    add_openings(OPENING.format(101))
    done("job", "set", "1", "--contact", "N. Quay")
    done("quote", "issue", "1")
    told = run("job", "set", "1", "--customer", "dune")
    assert told.status == 0
    for words in (
        "J-00001 is now for dune, at their prices.",
        "The contact, N. Quay, was saltmarsh's and is gone.",
        "It goes to no place, as dune's jobs do; it went to port.",
        "Q-00001/1 stays as it was sent to saltmarsh.",
    ):
        assert words in told.err
    assert "customer saltmarsh → dune" in done("job", "history", "1").out
    assert done("job", "show", "1", "--json").json["customer_name"] == "Dune Point"


def test_a_day_that_has_passed_is_told_and_taken():
    for arguments in (
        ("job", "new", "Late", "--customer", "saltmarsh", "--due", "2020-01-31"),
        ("job", "set", "1", "--due", "2020-01-31"),
    ):
        told = run(*arguments)
        assert told.status == 0
        assert "were due on 2020-01-31, which is past" in told.err
    done("job", "set", "1", "--name", "Heron")
    done("job", "set", "1", "--due", "2099-01-31")


# Slips


@pytest.fixture
def worked(shop):
    """With a stop released and an alternate that takes 102 out."""
    add_openings("101 3070 90 min hold-open-arm 689", OPENING.format(102))
    done("job", "release", "1", "101", "hold-open-on-fire-door", "--reason", "letter of 3 June")
    done("job", "alternate", "1", "alt-1", "--title", "Bronze", "--deduct", "102")


@pytest.mark.usefixtures("worked")
def test_a_slip_says_what_is_wrong_and_what_would_be_right(tmp_path):
    empty = tmp_path / "empty.csv"
    empty.write_text("", encoding="utf-8")
    why = ("--reason", "letter")
    release = ("job", "release", "1")
    stop = ("hold-open-on-fire-door", *why)
    before = done("job", "history", "1").out
    for arguments, words in (
        ((*release, "101", *stop), "is released already, by ines: letter of 3"),
        ((*release, "102", *stop), "no stop hold-open-on-fire-door; open stops: none"),
        (("job", "clear", "1", "102", "size"), "has no size set by hand; set by hand: none"),
        (("job", "edit", "1", "101", "mark=102"), "There is an opening 102 already"),
        (("job", "edit", "1", "10", "quantity=2"), "has no opening 10 there; it has 10"),
        (("job", "remove", "1", "102"), "wholekit job alternate J-00001 alt-1 --title TEXT"),
        (("job", "discount", "1", "-5%", *why), "-5.0% is no discount; right would be from 0%"),
        (("job", "discount", "1", "-.5", *why), "-50.0% is no discount"),
        (("job", "alternate", "1", "alt-2"), "Alternate alt-2 needs a title"),
        (("job", "add", "1", str(empty)), "empty.csv: the table is empty"),
        (("job", "add", "1", "--opening", "X1 3070 689"), "write mark:X1, or quantity=1"),
        (
            ("job", "list", "--due-from", "2026-12-02", "--due-to", "2026-12-01"),
            "is before the first",
        ),
        (("job", "set", "1", "--customer", "nobody"), "wholekit customer list has them all"),
        (("job", "remove-line", "1", "3"), "has no extra line 3; it has 0, numbered from 1"),
        (("job", "set", "1", "--name", "X", "--by", "carl"), "it knows ines and odo"),
        (("job", "clear", "1", "101", "size", "--by", "carl"), "nobody named carl"),
        (("quote", "show", "Q-9"), "wholekit job list tells the quote of each job"),
    ):
        assert words in refused(*arguments), arguments
    assert "Nothing was added" not in refused("job", "edit", "1", "101", "mark=102")
    assert done("job", "history", "1").out == before


@pytest.mark.parametrize(
    "arguments",
    [
        ("kit", "--opening", "101 31010"),
        ("check-kit", "nowhere.csv"),
        ("explain", "--opening", "101 31010"),
        ("catalog", "check", "nowhere"),
        ("rules", "no-such-rule"),
        ("door-force", "--opening", "101 31010"),
        ("job", "show", "9"),
        ("job", "discount", "1", "-5%", "--reason", "x"),
        ("quote", "show", "Q-9"),
        ("customer", "show", "nobody"),
        ("margin", "job", "9"),
        ("house", "settings", "--floor", "300%", "--by", "odo"),
        ("db", "check", "--bogus"),
        ("job", "show"),
    ],
)
def test_a_wrong_call_with_json_leaves_standard_output_empty(arguments):
    result = run(*arguments, "--json")
    assert (result.status, result.out) == (2, "")
    assert result.err.strip()


# What is asked of a job


def test_a_question_is_answered_in_one_line_into_a_range_with_its_history():
    add_openings(*(OPENING.format(mark) for mark in (101, 102, 103, 104)))
    asked = {
        each["field"]: each for each in done("job", "questions", "1", "--json").json["questions"]
    }
    egress = asked["egress"]
    assert (egress["openings"], egress["quoted_as"]) == (["101", "102", "103", "104"], None)
    yes = next(each for each in egress["answers"] if each["answer"] == "yes")
    assert yes["price_difference"]["amount"] != "0.00"
    answered = done("job", "answer", "1", "egress=yes", "101-104", "but", "103")
    assert [line.split(":")[0] for line in answered.out.splitlines()] == ["101", "102", "104"]
    left = {
        each["field"]: each for each in done("job", "questions", "1", "--json").json["questions"]
    }
    assert left["egress"]["openings"] == ["103"]
    assert done("job", "history", "1").out.count("question answered") == 3
    # What the answer was said to cost is what the openings now cost.
    shown = {each["mark"]: each for each in done("job", "show", "1", "--json").json["openings"]}
    answered_price, open_price = (
        float(shown[mark]["price_each"]["amount"]) for mark in ("101", "103")
    )
    assert answered_price - open_price == pytest.approx(
        float(yes["price_difference"]["amount"]) / 4
    )


def test_an_answer_is_refused_where_it_answers_nothing_and_changes_nothing():
    add_openings(OPENING.format(101), OPENING.format(102))
    done("job", "answer", "1", "egress=yes", "101")
    said = refused("job", "answer", "1", "egress=no", "101-102")
    assert "101 of J-00001 states egress=yes already" in said
    assert "has no opening 109" in refused("job", "answer", "1", "egress=no", "109")
    assert "answers no question" in refused("job", "answer", "1", "101")
    assert "answers no question" in refused("job", "answer", "1", "quantity=3", "101")
    # Nothing of a refused answer was kept.
    asked = {
        each["field"]: each for each in done("job", "questions", "1", "--json").json["questions"]
    }
    assert asked["egress"]["openings"] == ["102"]


def test_a_schedule_is_asked_about_without_a_store_and_json_keeps_its_openings():
    call = ("kit", "--catalog", "catalog_samples/tarrowby", "--opening", OPENING.format(101))
    answer = done(*call, "--questions", "--json").json
    assert {each["field"] for each in answer["questions"]} >= {"egress", "fire_minutes"}
    assert answer["openings"] == done(*call, "--json").json["openings"]
    text = done(*call, "--questions").out
    assert "Is the opening an exit, on a means of egress?" in text
    assert "not asked, as no answer changes a kit" in text
