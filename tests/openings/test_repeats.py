"""Marks in several rows: the same facts add up, different ones part, nothing is lost."""

from collections import Counter
from collections.abc import Sequence

from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import opening

from wholekit.domain.openings import Opening, OpeningType, plain_mark
from wholekit.intake.cells import LONGEST_MARK, LONGEST_NOTE, MOST_ALIKE
from wholekit.intake.repeats import Repeat, join_repeats

KINDS = [opening(), opening("2868"), opening(fire_minutes=90), opening(finish="690")]
MARKS = ["101", "101 (1)", "101 (2)", "102", "１０１ (1)", "x" * LONGEST_MARK]
ROWS = st.lists(
    st.builds(
        Opening,
        st.sampled_from(MARKS),
        st.sampled_from(KINDS),
        st.integers(1, 5000),
        st.sampled_from(["", "by stair", "exit"]),
    ),
    max_size=12,
).map(lambda doors: list(enumerate(doors, start=2)))


def joined(*doors):
    return join_repeats(list(enumerate(doors, start=2)))


def test_rows_with_the_same_facts_add_up_and_are_told_with_both_counts():
    openings, repeats = joined(Opening("101", KINDS[0], 2), Opening("101", KINDS[0], 3))
    assert openings == [Opening("101", KINDS[0], 5)]
    assert repeats == [Repeat("101", (2, 3), (2, 3), ("101", "101"))]
    assert (repeats[0].added_up, repeats[0].parted) == (True, False)
    assert repeats[0].totals == {"101": 5}


def test_rows_with_different_facts_get_marks_of_their_own():
    openings, repeats = joined(Opening("101", KINDS[0]), Opening("101", KINDS[1]))
    assert [door.mark for door in openings] == ["101 (1)", "101 (2)"]
    assert (repeats[0].added_up, repeats[0].parted) == (False, True)


def test_an_unclear_value_is_a_fact_of_its_own():
    clear, unclear = opening(fire_minutes=90), opening(fire_minutes=90, unclear=("B",))
    openings, _ = joined(Opening("101", clear), Opening("101", unclear))
    assert len(openings) == 2


def test_a_mark_that_exists_is_passed_over_in_any_of_its_spellings():
    openings, _ = joined(
        Opening("101", KINDS[0]),
        Opening("101", KINDS[1]),
        Opening("101 (1)", KINDS[2]),
        Opening("１０１ (2)", KINDS[2]),
    )
    assert [door.mark for door in openings] == ["101 (3)", "101 (4)", "101 (1)", "１０１ (2)"]


def test_notes_of_rows_that_add_up_are_all_kept():
    openings, _ = joined(
        Opening("101", KINDS[0], 1, "exit"),
        Opening("101", KINDS[0], 1, ""),
        Opening("101", KINDS[0], 1, "by stair"),
    )
    assert openings[0].note == "exit; by stair"


def test_more_than_a_quantity_may_be_is_parted():
    openings, repeats = joined(
        Opening("101", KINDS[0], MOST_ALIKE), Opening("101", KINDS[0], 2), Opening("101", KINDS[0])
    )
    assert [(door.mark, door.quantity) for door in openings] == [("101 (1)", MOST_ALIKE),
                                                                 ("101 (2)", 3)]  # fmt: skip
    assert repeats[0].parted


def test_a_schedule_without_repeats_is_left_alone():
    doors = [Opening(str(number), KINDS[number % 4], number + 1) for number in range(20)]
    assert joined(*doors) == (doors, [])


@given(ROWS)
def test_nothing_is_lost_and_no_mark_is_twice(rows):
    openings, repeats = join_repeats(rows)
    given_marks = {door.mark for _, door in rows}
    new = [door.mark for door in openings if door.mark not in given_marks]
    assert not {plain_mark(mark) for mark in new} & {plain_mark(mark) for mark in given_marks}
    assert len({door.mark for door in openings}) == len(openings)
    assert counted(openings) == counted([door for _, door in rows])
    repeated = {mark for mark, count in Counter(door.mark for _, door in rows).items() if count > 1}
    assert {repeat.mark for repeat in repeats} == repeated
    untouched = [door for _, door in rows if door.mark not in repeated]
    assert [door for door in openings if door in untouched] == untouched
    for door in openings:
        assert 1 <= door.quantity <= MOST_ALIKE
        assert len(door.mark) <= LONGEST_MARK
        assert len(door.note) <= LONGEST_NOTE


@given(ROWS)
def test_what_is_told_is_what_was_done(rows):
    openings, repeats = join_repeats(rows)
    have = {door.mark: door.quantity for door in openings}
    for repeat in repeats:
        assert len(repeat.rows) == len(repeat.counts) == len(repeat.marks)
        for mark, total in repeat.totals.items():
            assert have[mark] == total


def counted(doors: Sequence[Opening]) -> Counter[OpeningType]:
    found: Counter[OpeningType] = Counter()
    for door in doors:
        found[door.type] += door.quantity
    return found
