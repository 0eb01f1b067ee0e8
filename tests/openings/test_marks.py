"""Marks that are written alike are one, however a file spells them; look-alikes are told."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.openings.files import faults, read, xlsx
from tests.support.command import run
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, furnished, plain

from wholekit.domain.errors import ConflictError
from wholekit.domain.openings import look_alikes, marks_named, plain_mark
from wholekit.services.job_openings import (
    add_openings,
    copy_opening,
    edit_opening,
    remove_opening,
    split_opening,
)
from wholekit.wording.questions import marks_text, ranges_text

SAME = [
    "１０１A",
    "101\u200bA",
    "\u2060101A",
    "1\u00ad01A",
    "101\ufe0fA",
    "101\u200dA",
    "101\u034fA",
]
SAMPLE = ("--catalog", "catalog_samples/tarrowby")


@pytest.mark.parametrize("other", SAME)
def test_a_mark_with_invisible_or_wide_signs_is_the_same_mark(other):
    assert plain_mark(other) == "101A"
    assert faults(f"mark,size\n101A,3070\n{other},3070\n") == [("mark-repeated", 3, "mark")]
    assert faults(xlsx(("mark", "size"), (other, 3070), ("101A", 3070))) == [
        ("mark-repeated", 3, "mark")
    ]
    assert read(f"mark,size\n{other},3070\n")[0].mark == "101A"


def test_a_mark_of_nothing_visible_is_none():
    assert faults("mark,size\n\u200b\u3164,3070\n") == [("mark-needed-in-row", 2, "mark")]


@given(st.text())
def test_a_plain_mark_stays_as_it_is(text):
    assert plain_mark(plain_mark(text)) == plain_mark(text)


@given(st.text(st.characters(min_codepoint=33, max_codepoint=126)))
def test_a_mark_typed_on_a_keyboard_is_kept_as_typed(text):
    assert plain_mark(text) == text


@pytest.mark.parametrize(
    ("marks", "alike"),
    [
        (["101", "102", "201"], []),
        (["101", "1O1"], [("101", "1O1")]),
        (["A1", "А1"], [("A1", "А1")]),  # the second begins with a Cyrillic letter
        (["101-A", "101\u2011A", "101\u2013A"], [("101-A", "101\u2011A", "101\u2013A")]),
        (["101", "101"], []),
        (["1a", "1A"], []),
    ],
)
def test_marks_that_look_alike_are_found_and_no_others(marks, alike):
    assert look_alikes(marks) == alike


def test_look_alikes_are_told_and_stay_apart(tmp_path):
    schedule = tmp_path / "s.csv"
    schedule.write_text("mark,size\nA1,3070\nА1,3070\n", encoding="utf-8")  # as above
    result = run("kit", str(schedule), *SAMPLE, "--json")
    assert [opening["mark"] for opening in result.json["openings"]] == ["A1", "А1"]
    assert "The marks A1 and [cyrillic capital letter a]1 look alike" in result.err


def test_marks_in_a_kit_file_and_in_shorthand_are_taken_alike(tmp_path):
    kit = tmp_path / "k.csv"
    kit.write_text("mark,sku,quantity\n101\u200bA,TP-B4.689,1\n", encoding="utf-8")
    schedule = tmp_path / "s.csv"
    schedule.write_text("mark,size\n101A,3070\n", encoding="utf-8")
    assert "no opening" not in run("check-kit", str(schedule), str(kit), *SAMPLE).err
    told = run("kit", str(schedule), "--opening", "mark:101\u200bA 3070", *SAMPLE)
    assert (told.status, "101A" in told.err) == (2, True)


@given(st.lists(st.integers(1, 40), unique=True), st.integers(1, 40), st.integers(1, 40))
def test_a_range_means_the_marks_there_are_by_their_number(numbers, first, last):
    known = [f"{name}{number}" for number in numbers for name in ("", "C", "2-")]
    for name in ("", "C", "2-"):
        within = [f"{name}{number}" for number in numbers if first <= number <= last]
        for text in (f"{name}{first}-{name}{last}", f"{name}{first}–{last}"):
            # A range may itself be written as a mark is: then the mark is meant.
            if text not in known:
                assert marks_named([text], known)[0] == within
        for mark in known:
            assert marks_named([mark], known) == ([mark], [])


@given(st.lists(st.integers(1, 30), unique=True, min_size=1), st.data())
def test_ranges_read_back_mean_just_the_marks_they_were_made_of(numbers, data):
    known = [f"{name}{number}" for number in numbers for name in ("", "C", "2-", "X?")]
    known += [f"0{numbers[0]}", f"{numbers[0]}A", "3-9", "LOBBY", "A/B"]
    known = data.draw(st.permutations([*dict.fromkeys(known)]))
    wanted = data.draw(st.lists(st.sampled_from(known), min_size=1, unique=True))
    others = [mark for mark in known if mark not in wanted]
    beyond = data.draw(st.lists(st.sampled_from(others), unique=True)) if others else []
    every = [mark for mark in known if mark not in beyond]
    parts = ranges_text(wanted, every, beyond).split(", ")
    # Read among all doors there are, the ones that nothing was asked for too.
    assert marks_named(parts, known) == ([mark for mark in known if mark in wanted], [])
    # And a reader who does not know the rule of reading takes no other for one of them, nor wonders
    # whether one that is named beside it lies in it.
    spans = [part.split("–") for part in parts if part[0].isdigit() and "–" in part]
    assert f"{numbers[0]}A" not in known or not any(
        int(first) <= numbers[0] < int(last)
        for first, last in spans
        if first.isdigit() and last.isdigit()
    )


def test_a_range_names_three_or_more_and_runs_over_nothing_else():
    every = ["101", "102", "103", "103A", "104", "105", "107", "108-112", "113"]
    for marks, beyond, said in (
        (["101", "102", "103", "105"], (), "101–103, 105"),
        (["101", "103"], (), "101, 103"),
        (every, (), "101–103, 103A, 104–113, 108-112"),
        ([mark for mark in every if mark != "103A"], (), "101–103, 104–113, 108-112"),
        (["105", "107", "113"], (), "105, 107, 113"),
        (every, ("106",), "101–103, 103A, 104, 105, 107, 108-112, 113"),
    ):
        assert ranges_text(marks, every, beyond) == said
    assert marks_text(every, every, ["106"]) == ""


def test_of_several_marks_with_commas_what_is_not_there_is_told():
    known = ["101", "102", "103", "1-3", "A"]
    assert marks_named(["103,101"], known) == (["101", "103"], [])
    assert marks_named(["1-3"], known) == (["1-3"], [])
    assert marks_named(["101,109"], known) == (["101"], ["109"])


def test_a_job_takes_no_second_mark_of_one_kind():
    desk = furnished(FakeStore())
    job = a_job(desk, "101A").label
    for call in (
        lambda: add_openings(desk, by(), job, [plain("101\u200bA")]),
        lambda: copy_opening(desk, by(), job, "101A", ["１０１A"]),
        lambda: add_openings(desk, by(), job, [plain("7"), plain("7\u2060")]),
    ):
        with pytest.raises(ConflictError, match="mark-taken"):
            call()
    edit_opening(desk, by(), job, "101\u200bA", lambda _: plain("101A", 3))
    split = split_opening(desk, by(), job, "101A", "102\u200b", 1)
    assert "102" in {opening.mark for opening in split}
    remove_opening(desk, by(), job, "１０２")
