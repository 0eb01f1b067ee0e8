"""A cell that says nothing known costs neither the sheet nor a fact: it is asked about, and where
none may be assumed its opening is worked under the harshest and held."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.openings.sheets import read

from wholekit.domain.openings import Hand, note_findings, unclear_findings
from wholekit.domain.openings.sheet import SheetChoices
from wholekit.intake.dialect import clean_readers
from wholekit.intake.dialect_rows import load_dialect
from wholekit.intake.kinds import SIZES
from wholekit.intake.rulebook import load_rulebook
from wholekit.intake.schedule import KIND_COLUMNS
from wholekit.intake.sheet_choices import parse_choices
from wholekit.intake.unclear import UNCLEAR_FIELDS, harshest
from wholekit.wording.reading import say_reading, say_shortly
from wholekit.wording.speech import ENGLISH, speaking

READERS = {name: reader for name, reader in clean_readers().items() if name != "quantity"}
# Words of any text among the columns are values: a series may be called anything.
COLUMNS = [name for name in KIND_COLUMNS if name not in {*SIZES, "series"}]
JUNK = st.text("QZXW#!%&~@", min_size=3, max_size=12).filter(lambda text: text.strip("#"))


def asked(sheet, what):
    return [question for question in sheet.reading.asked if question.what == what]


def plainly(sheet):
    lines = [text for _, texts in say_reading(sheet.reading) for text in texts]
    return "\n".join([*lines, *say_shortly(sheet.reading)])


@pytest.mark.parametrize(
    ("language", "said"), [(ENGLISH, "“QZX”"), ("fr", "«\u00a0QZX\u00a0»"), ("es", "«QZX»")]
)
def test_a_cell_is_told_between_the_marks_of_the_language(language, said):
    sheet = read("Mark,Size,Hand\n101,3070,QZX\n")
    with speaking(language):
        assert said in plainly(sheet)


@given(st.sampled_from(COLUMNS), JUNK)
def test_a_cell_that_cannot_be_read_is_asked_and_nothing_is_assumed_for_it(column, cell):
    # Under a heading of nobody's, since some of ours may mean nothing to a closer as well.
    choices = SheetChoices(columns={"Zz": column})
    sheet = read(f'Mark,Size,Zz\n1,3070,"{cell}"\n2,3070,\n', choices)
    assert sheet.problems == ()
    (question,) = asked(sheet, "unread")
    assert (question.column, question.written, question.rows) == (column, cell, (2,))
    first, second = sheet.openings
    if column in UNCLEAR_FIELDS:
        (unclear,) = first.type.unclear
        assert (unclear.field, unclear.written) == (column, cell)
        values: list[Any] = [
            READERS[column](text) for text in load_dialect().harshest[column].candidates
        ]
        assert getattr(first.type, column) == harshest(column, values)
        assert [finding.code for finding in unclear_findings(first.type)] == ["answer-needed"]
        assert first.note == ""
    else:
        assert first.type == second.type
        assert first.note == f"Zz: {cell}"
    assert cell in plainly(sheet)


def test_what_a_cell_that_cannot_be_read_may_be_is_every_word_of_its_field():
    rows = load_dialect().harshest
    for column in UNCLEAR_FIELDS:
        candidates = rows[column].candidates
        assert len(candidates) > 1
        for text in candidates:
            READERS[column](text)
    assert max(map(int, rows["fire_minutes"].candidates[1:])) == 180


def test_a_remark_and_a_cell_that_cannot_be_read_stand_side_by_side():
    sheet = read("Mark,Size,Swing,Remarks\n1,3070,PUSH?,by stair\n2,3070,in,by stair\n")
    assert [opening.note for opening in sheet.openings] == ["by stair; Swing: PUSH?", "by stair"]


def test_a_column_of_which_most_cells_say_nothing_is_refused_as_another_column():
    rows = "".join(f"{n},3070,room {n}\n" for n in range(1, 9))
    sheet = read(f"Mark,Size,Swing\n{rows}9,3070,in\n")
    assert [problem.code for problem in sheet.problems] == ["word-unknown"] * 8
    # But one that somebody chose is what they chose it for.
    chosen = read(f"Mark,Size,Room\n{rows}9,3070,EXT\n", SheetChoices("", {"Room": "location"}))
    assert chosen.problems == ()
    assert chosen.openings[0].note == "Room: room 1"
    assert "8 kinds of cell in 8 rows say nothing known here" in plainly(chosen)


@pytest.mark.parametrize("cell", ["=1+1", "a\x07b", "x" * 201])
def test_a_cell_meant_for_another_program_is_refused_all_the_same(cell):
    sheet = read(f"Mark,Size,Rating\n1,3070,{cell}\n2,3070,20\n")
    assert [problem.row for problem in sheet.problems] == [2]


@given(st.sampled_from([("fire_minutes", "B"), ("fire_minutes", "90"), ("door", "HM"),
                        ("hand", "RHR"), ("finish", "689"), ("location", "EXT")]),
       st.sampled_from(['"{}"', "'{}'", "“{}”", "« {} »", ' " {} " ']))  # fmt: skip
def test_quotation_marks_around_a_cell_change_nothing(cell, marks):
    column, text = cell
    written = marks.format(text).replace('"', '""')
    plain = read(f"Mark,Size,{column}\n1,3070,{text}\n2,3070,\n").openings[0].type
    quoted = read(f'Mark,Size,{column}\n1,3070,"{written}"\n2,3070,\n').openings[0].type
    assert stated(quoted) == stated(plain)


def stated(opening_type):
    unclear = [(one.field, one.candidates) for one in opening_type.unclear]
    return [getattr(opening_type, name) for name in ("fire_minutes", "door", "hand", "finish",
                                                     "location")], unclear  # fmt: skip


def test_feet_and_inches_are_no_quotation_marks():
    sheet = read('Mark,Width,Height\n1,"3\'-0""","7\'-0"""\n')
    assert str(sheet.openings[0].type.width) == "36 in"


def test_a_pair_where_the_count_stands_is_a_pair():
    sheet = read("Mark,Qty,Size\n1,PR,3070\n2,2 PR,3070\n3,2,3070\n4,2 PR,3070\n")
    assert [(one.quantity, one.type.leaves) for one in sheet.openings] == [
        (1, 2), (2, 2), (2, 1), (2, 2)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("total", "asks"), [("4", False), ("5", False), ("6", True), ("3", True), ("", False)]
)
def test_a_total_that_the_rows_do_not_come_to_is_asked(total, asks):
    # Four openings, of which one is a pair: five leaves.
    sheet = read(f"Mark,Qty,Size\n1,1,3070\n2,PR,3070\n3,2,3070\nTOTAL,{total},\n")
    assert [question.written for question in asked(sheet, "total")] == [total] * asks


@pytest.mark.parametrize(("total", "asks"), [("2", False), ("5", False), ("4", True)])
def test_a_total_may_count_the_doors_that_want_no_closer(total, asks):
    sheet = read(
        "Mark,Qty,Size,Closer\n1,1,3070,PA\n2,2,3070,NONE\n3,1,3070,NONE\n4,1,3070,PA\n"
        f"TOTAL,{total},,\n"
    )
    assert [question.written for question in asked(sheet, "total")] == [total] * asks


def test_a_total_of_a_part_counts_since_the_last_one():
    rows = "Mark,Qty,Size\n1,3,3070\nSubtotal,3,\n2,4,3070\nSubtotal,4,\nGrand total,7,\n"
    assert not asked(read(rows), "total")
    assert asked(read(rows.replace("Subtotal,4", "Subtotal,5")), "total")


def test_a_cell_is_told_under_its_own_heading_too():
    told = parse_choices(
        "", ["Lbl=fire_minutes"], ["Lbl:K=90", "Fire Ratng:J=20", "Fire Rating:L=45"], READERS
    )
    assert told.values == {"fire_minutes": {"K": "90", "J": "20", "L": "45"}}
    sheet = read("Mark,Size,Lbl,Hand\n1,3070,K,LH\n", told)
    assert (sheet.openings[0].type.fire_minutes, sheet.openings[0].type.hand) == (90, Hand.LH)


@pytest.mark.parametrize("heading", ["Matl Dr/Fr", "Material (Door/Frame)", "Dr/Fr Matl"])
def test_leaf_and_frame_in_one_column_are_told_by_its_heading(heading):
    kind = read(f"Mark,Size,{heading}\n1,3070,WD/HM\n2,3070,AL/AL\n").openings[0].type
    assert (str(kind.door), str(kind.frame)) == ("wood", "steel")


def test_a_time_and_a_letter_that_disagree_are_asked():
    # NFPA 80's old classes (a trade magazine of October 2017): A is 3 h, C 3/4 h, B 1 or 1-1/2 h.
    sheet = read("Mark,Size,Rating\n1,3070,90 min A\n2,3070,60 min B\n")
    assert [question.candidates for question in sheet.reading.asked] == [("90", "180")]
    assert [one.type.fire_minutes for one in sheet.openings] == [180, 60]


@pytest.mark.parametrize("word", ["NONE", "No", "no closer", "N", "not req'd", "BY OTHERS"])
def test_a_door_that_wants_no_closer_is_not_quoted_and_that_is_told(word):
    sheet = read(f"Mark,Size,Closer\n1,3070,PA\n2,3070,{word}\n3,3070,REG\n")
    assert [opening.mark for opening in sheet.openings] == ["1", "3"]
    why = "a closer by others" if word == "BY OTHERS" else "no closer wanted"
    assert f"{why}, says the sheet (2 | 3070" in plainly(sheet)


def test_whether_a_closer_is_wanted_where_the_cell_is_not_applicable_is_told():
    sheet = read("Mark,Size,Closer\n1,3070,N/A\n2,3070,REG\n")
    assert sheet.openings[0].note == "Closer: N/A"
    (finding,) = note_findings(sheet.openings[0], load_rulebook())
    assert (finding.code, finding.fields["column"]) == ("note-says-more", "quantity")


def test_a_group_above_ends_where_the_columns_are_no_longer_its_own():
    sheet = read(
        "OPENING,,DOOR,,FRAME,,,,,\nNo.,Room,Size,Matl,Type,Matl,Hand,Closer,Fin.,Rmks\n"
        "1,Lobby,3070,WD,F1,HM,LH,PA,US32D,x\nNo.,Room,Size,Matl,Type,Matl,Hand,Closer,Fin.,Rmks\n"
        "2,Hall,3070,HM,F1,WD,LH,PA,689,y\n"
    )
    assert sheet.problems == ()
    first, second = sheet.openings
    assert (first.type.finish, second.type.finish) == ("630", "689")
    assert [str(one.type.frame) for one in sheet.openings] == ["steel", "wood"]
    assert [one.room for one in sheet.openings] == ["Lobby", "Hall"]
    assert sheet.reading.asked == ()


def test_what_somebody_tells_a_cell_means_may_be_in_the_words_of_the_trade():
    told = parse_choices("", [], ["Width:wide=PR 3-0", "Door Matl:K=SC wood"], READERS)
    sheet = read("Mark,Width,Height,Door Matl\n1,wide,7-0,K\n", told)
    kind = sheet.openings[0].type
    assert (kind.leaves, str(kind.width), str(kind.door)) == (2, "36 in", "wood")


def test_rooms_of_rows_read_together_and_in_two_columns_are_kept():
    sheet = read("Mark,Size,Room No,Room Name\n1,3070,112,Waiting\n2,3070,113,\n")
    assert [opening.room for opening in sheet.openings] == ["112, Waiting", "113"]
    again = read("Mark,Size,Room Name\n1,3070,East\n1,3070,West\n1,3070,East\n")
    assert [(one.mark, one.quantity, one.room) for one in again.openings] == [
        ("1", 3, "East; West")
    ]


def test_a_run_of_single_digits_is_one_where_the_remark_counts_as_many():
    sheet = read("Mark,Size,Remarks\n5-9,3070,5 rooms\n1-3,3070,by stair\n")
    codes = [[f.code for f in note_findings(one, load_rulebook())] for one in sheet.openings]
    assert codes == [["mark-several"], []]
