"""Schedules as they are sent come to the openings that somebody would have typed."""

import csv
import io
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.bench.bench_schedule import kinds
from tests.openings import files
from tests.openings.files import saved, with_part, workbook
from tests.openings.sheets import CLINIC, METRIC, REPEATED, merged_workbook, read, shuffled

from wholekit.domain.errors import InputError
from wholekit.domain.openings import Door, Frame, Hand, Location, UnaskedDoor, WhyUnasked
from wholekit.domain.openings.sheet import SheetChoices
from wholekit.domain.plain import from_plain, to_plain
from wholekit.intake.headings import key, known_headings, meant, near
from wholekit.intake.schedule import COLUMNS
from wholekit.intake.sheet_text import commonest_separator
from wholekit.views.sheets import clean_schedule
from wholekit.wording.problems import say_problem
from wholekit.wording.reading import say_reading, say_shortly


def codes(sheet):
    return [(problem.code, problem.row, problem.column) for problem in sheet.problems]


def refused(data, choices=None):
    with pytest.raises(InputError) as caught:
        read(data, choices)
    for problem in caught.value.problems:
        assert say_problem(problem).isprintable()
    return [(problem.code, problem.row) for problem in caught.value.problems]


def column_of(sheet, heading):
    return next(column for column in sheet.reading.columns if column.heading == heading)


def whys(sheet):
    return {(entry.first, entry.last): entry.why for entry in sheet.reading.skipped}


def said(sheet):
    lines = [text for _, texts in say_reading(sheet.reading) for text in texts]
    return "\n".join([*lines, *say_shortly(sheet.reading)])


def test_the_clinic_is_read_with_nothing_typed_anew():
    sheet = read(CLINIC)
    assert sheet.problems == ()
    first, pair, plant, stair = sheet.openings
    assert (first.mark, first.type.door, first.type.frame) == (
        "101",
        Door.HOLLOW_METAL,
        Frame.STEEL,
    )
    assert (str(first.type.thickness), first.type.fire_minutes) == ("1-3/4 in", 0)
    assert (first.type.hand, first.type.location) == (Hand.LHR, Location.INTERIOR)
    assert (pair.quantity, pair.type.leaves, pair.type.fire_minutes) == (2, 2, 20)
    assert pair.note == "hold open by others"
    assert pair.type.hold_open is None, "nothing is taken from a remark"
    assert plant.type.fire_minutes == 45
    assert stair.type.hand is Hand.RHR or stair.type.hand is Hand.LHR


def test_what_the_clinic_holds_beside_its_openings_is_told():
    sheet = read(CLINIC)
    assert sheet.reading.header_rows == (4,)
    assert whys(sheet) == {
        (1, 2): "above", (5, 5): "text", (9, 9): "not-used", (10, 10): "header-again",
        (11, 11): "text", (13, 13): "total",
    }  # fmt: skip
    assert {column.heading for column in sheet.reading.columns if not column.column} == {
        "HW Set",
    }  # fmt: skip
    assert [opening.room for opening in sheet.openings][:2] == ["Waiting", "Corridor"]
    assert "TARROWBY ROAD CLINIC" in said(sheet)
    assert "hardware set" in said(sheet)


def test_a_metric_sheet_with_semicolons_and_french_headings_is_read():
    for data in (METRIC.encode(), METRIC.encode("cp1252"), METRIC.encode("utf-16")):
        sheet = read(data)
        assert sheet.problems == ()
        one, two = sheet.openings
        assert (one.type.width.in_millimetres, two.type.width.in_millimetres) == (915, 914.4)
        assert str(one.type.thickness) == "44.5 mm"
        assert (one.type.fire_minutes, two.type.fire_minutes) == (45, None)
        assert (two.quantity, one.note) == (2, "près de l'escalier")


def test_a_merged_workbook_under_two_header_rows_is_filled_down_where_the_merge_says_so():
    sheet = read(merged_workbook())
    assert sheet.problems == ()
    assert sheet.reading.header_rows == (2, 3)
    assert sheet.reading.sheet == "Doors"
    assert [
        (opening.mark, opening.type.width.in_inches, opening.type.height.in_inches)
        for opening in sheet.openings
    ] == [("1", 36, 84), ("2", 36, 84), ("3", 36, 84), ("4", 34, 80)]
    assert [opening.type.fire_minutes for opening in sheet.openings] == [20, 20, None, 45]
    assert {opening.type.frame for opening in sheet.openings} == {Frame.STEEL}
    assert set(sheet.reading.merged) == {"B4:B6", "C4:C6"}
    assert ("other-sheet", "Cover") in {(entry.why, entry.sheet) for entry in sheet.reading.skipped}


def test_repeated_marks_add_up_or_part_and_are_told():
    sheet = read(REPEATED)
    assert [(opening.mark, opening.quantity) for opening in sheet.openings] == [
        ("A1", 3), ("B1 (1)", 1), ("B1 (2)", 1),
    ]  # fmt: skip
    assert [(asked.what, asked.written) for asked in sheet.reading.asked] == [("repeat", "A1")]
    assert "A1 stands in rows 2 and 3" in said(sheet)


@pytest.mark.parametrize("word", sorted(known_headings()))
def test_every_heading_of_the_data_is_known_however_it_is_written(word):
    heading = known_headings()[word]
    assert set(heading.columns) <= {*COLUMNS, "aside"}
    assert bool(heading.columns) != bool(heading.aside)
    assert heading.mark in ("published", "practice", "ours")
    for written in (word.upper(), f" {word.title()} ", word.replace(" ", "  "), f"{word}."):
        found = meant(" ".join(written.split()))
        assert found is not None
        assert found.heading == heading


def test_the_same_heading_never_means_two_things_in_one_language():
    # Two meanings of one word are stated in one row of the data, likeliest first.
    assert known_headings()[key("Door")].columns == ("mark", "door", "size")
    assert known_headings()[key("Rating")].columns == ("fire_minutes",)
    assert known_headings()[key("Type")].columns == ()


@pytest.mark.parametrize(
    ("heading", "column", "unit"),
    [
        ("Width (mm)", "width", "mm"), ("Height in", "height", "in"),
        ("Largeur (cm)", "width", "cm"),
        ("HEIGHT, MM", "height", "mm"), ("Thk [in]", "thickness", "in"),
        ("Ancho (m)", "width", "m"),
        ("Door Size (W x H)", "size", ""), ("Fire Rating (min)", "fire_minutes", "min"),
        ("Door #", "mark", ""), ("Weight (lbs)", "weight", "lb"), ("Mat'l", "door", ""),
    ],
)  # fmt: skip
def test_a_unit_in_a_heading_is_taken(heading, column, unit):
    found = meant(heading)
    assert found is not None
    assert (found.heading.columns[0], found.unit) == (column, unit)


@pytest.mark.parametrize(
    ("heading", "column"),
    [("Fire Ratng", "fire_minutes"), ("Haning", "hand"), ("Widht", "width"),
     ("Quanity", "quantity"),
     ("Remaks", "note"), ("Door Nubmer", "mark"), ("Heigth", "height")],
)  # fmt: skip
def test_a_heading_spelt_nearly_so_is_known_and_told(heading, column):
    found = near(heading)
    assert found is not None
    assert found.heading.columns[0] == column


def test_a_heading_near_to_nothing_is_set_aside():
    sheet = read("Mark,Size,Blimp\n1,3070,q\n")
    assert (column_of(sheet, "Blimp").column, column_of(sheet, "Blimp").how) == ("", "unknown")
    assert "Blimp: means nothing here" in said(sheet)


def test_a_column_is_told_by_what_it_holds_where_no_heading_claims_it():
    sheet = read("Mark,Blimp,Zeppelin,HW Set\n1,3070,LHR,4\n2,2868,RH,4\n3,3068,RHR,4\n")
    assert column_of(sheet, "Blimp").column == "size"
    assert column_of(sheet, "Blimp").how == "cells"
    assert column_of(sheet, "Zeppelin").column == "hand"
    assert [opening.type.hand for opening in sheet.openings] == [Hand.LHR, Hand.RH, Hand.RHR]


def test_a_column_that_holds_it_in_less_than_four_of_five_is_not_taken():
    rows = "".join(f"{n},3070,{'LHR' if n % 3 else 'x'}\n" for n in range(1, 13))
    assert column_of(read(f"Mark,Size,Blimp\n{rows}"), "Blimp").column == ""


def test_a_heading_of_two_meanings_is_settled_by_its_cells():
    sheet = read("Door,Size,Swing\n1,3070,LHR\n2,3070,RH\n")
    assert (column_of(sheet, "Swing").column, column_of(sheet, "Door").column) == ("hand", "mark")
    sheet = read("Mark,Size,Door,HW Set\n1,3070,wood,4\n2,3070,HM,4\n")
    assert column_of(sheet, "Door").column == "door"
    sheet = read("Mark,Size,Location,HW Set\n1,3070,Corridor\n2,3070,Stair\n")
    assert column_of(sheet, "Location").column == "room"
    assert [opening.room for opening in sheet.openings] == ["Corridor", "Stair"]


def test_a_required_column_that_cannot_be_told_is_asked_with_guesses():
    sheet = read("Dwr Nmbr,Wing,Door Size,Door Matl\nx,y,3070,HM\nz,y,3070,HM\n")
    (question,) = [asked for asked in sheet.reading.asked if asked.what == "column"]
    assert question.column == "mark"
    assert question.candidates[0] == "Dwr Nmbr"
    assert ("column-asked", 1, "mark") in codes(sheet)
    mended = read(
        "Dwr Nmbr,Wing,Door Size,Door Matl\nx1,y,3070,HM\n",
        SheetChoices(columns={"Dwr Nmbr": "mark"}),
    )
    assert [opening.mark for opening in mended.openings] == ["x1"]


def test_two_columns_that_claim_one_field_are_asked_and_neither_is_guessed():
    sheet = read("Mark,Size,Hand,Handing\n1,3070,LH,RH\n2,3070,LH,LH\n")
    (question,) = sheet.reading.asked
    assert (question.what, question.column) == ("columns", "hand")
    assert question.candidates == ("Hand", "Handing")
    assert [opening.type.hand for opening in sheet.openings] == [None, Hand.LH]


def test_two_fire_columns_that_differ_never_leave_the_harsher_out():
    sheet = read("Mark,Size,Fire Rating,Label\n1,3070,20,90\n2,3070,,45\n")
    assert [asked.what for asked in sheet.reading.asked] == ["columns"]
    assert [opening.type.fire_minutes for opening in sheet.openings] == [90, 45]
    assert [one.field for one in sheet.openings[0].type.unclear] == ["fire_minutes"]


def test_two_marks_columns_stop_the_reading():
    sheet = read("Mark,Door No.,Size\n1,7,3070\n2,8,3070\n")
    assert ("columns-asked", 1, "mark") in codes(sheet)


def test_columns_that_say_the_same_are_no_question():
    sheet = read("Mark,Size,Hand,Handing\n1,3070,LH,LH\n")
    assert sheet.reading.asked == ()
    assert sheet.openings[0].type.hand is Hand.LH


def test_faults_of_columns_and_of_values_come_at_once_under_the_sheets_own_headings():
    sheet = read("Nr.x,Door Size,No. Req'd,Door Matl\n1,tall,some,=chalk\n2,3070,20,HM\n")
    assert {code for code, _, _ in codes(sheet)} >= {
        "column-asked", "size-unreadable", "whole-number", "cell-formula",
    }  # fmt: skip
    assert ("whole-number", 2, "No. Req'd") in codes(sheet)


def test_a_remark_gives_nothing_but_a_note():
    sheet = read("Mark,Size,Notes,Remarks\n1,3070,90 min label,LHR\n")
    assert sheet.openings[0].note == "90 min label; LHR"
    assert sheet.openings[0].type.fire_minutes is None
    assert sheet.openings[0].type.hand is None


def test_choices_of_a_column_and_a_value_are_used_and_told():
    choices = SheetChoices(
        columns={"Blimp": "fire_minutes", "Rating": "aside"}, values={"door": {"k-7": "wood"}}
    )
    sheet = read("Mark,Size,Blimp,Rating,Door Matl\n1,3070,20,90,K-7\n", choices)
    assert (sheet.openings[0].type.fire_minutes, sheet.openings[0].type.door) == (20, Door.WOOD)
    assert sheet.reading.chosen == choices
    unused = read("Mark,Size,Room\n1,3070,x\n", choices)
    assert not unused.reading.chosen


def test_of_several_sheets_the_one_that_is_named_is_read():
    head = ["Door No.", "Door Size"]
    data = saved(workbook(("East", [head, ["1", "3070"]]), ("West", [head, ["7", "3070"]])))
    assert refused(data) == [("sheets-several", None)]
    assert [opening.mark for opening in read(data, SheetChoices("west")).openings] == ["7"]
    assert refused(data, SheetChoices("North")) == [("sheet-unknown", None)]


def test_of_two_tables_that_need_not_be_doors_the_one_that_is_meant_is_asked():
    doors = "Door No.,Door Size\n1,3070\n2,3070\n3,3070\n"
    others = "Opening No.,Frame Size,Width,Height\n9,x,36,84\n"
    for data, head in ((f"{doors}\n{others}", 6), (f"{others}\n{doors}", 1)):
        sheet = read(data)
        assert [opening.mark for opening in sheet.openings] == ["1", "2", "3"], "the fuller"
        assert whys(sheet)[head, head + 1] == "other-table"
        (question,) = sheet.reading.asked
        assert (question.what, question.count, head in question.rows) == ("tables", 2, True)
        assert [code for code, _, _ in codes(sheet)] == ["tables-asked"]
        assert f"row {head} (Opening No. | Frame Size | Width | Height)" in said(sheet)
        only = read(data, tables=[str(head)])
        assert ([opening.mark for opening in only.openings], only.problems) == (["9"], ())
        both = read(data, tables=["all"])
        assert {opening.mark for opening in both.openings} == {"1", "2", "3", "9"}
        assert (both.reading.asked, both.reading.tables, both.reading.rows) == ((), 2, 4)
    with pytest.raises(InputError) as caught:
        read(doors, tables=["4"])
    assert "row 4 heads no table; right would be 1, all" in say_problem(caught.value.problems[0])


EAST = [["Door No.", "Door Size", "Rating"], ["E1", "3070", "20M"], ["E2", "3070", "NR"]]
WEST = [
    ["", "DOOR", "", "FRAME"], ["Mark", "Width (mm)", "Height (mm)", "Matl"],
    ["W1", "915", "2134", "HM"], ["W2", "", "", "HM"],
]  # fmt: skip


def test_two_tables_of_doors_are_read_together_each_by_its_own_headings():
    book = workbook(("Doors", [["EAST"], *EAST, [], ["WEST"], *WEST]))
    book["Doors"].merge_cells("B9:B10")
    book["Doors"].merge_cells("C9:C10")
    sheet = read(saved(book))
    assert sheet.problems == ()
    assert [(o.mark, o.type.fire_minutes, o.type.frame) for o in sheet.openings] == [
        ("E1", 20, None), ("E2", 0, None), ("W1", None, Frame.STEEL), ("W2", None, Frame.STEEL),
    ]  # fmt: skip
    assert sheet.openings[3].type.width.in_millimetres == 915
    assert set(sheet.reading.merged) == {"B9:B10", "C9:C10"}
    assert "2 tables, headers in rows 2, 7 and 8, 4 opening rows in rows 3 to 10" in said(sheet)
    assert whys(sheet) == {(1, 1): "above", (6, 6): "text"}
    assert "other-table" not in said(sheet)


def test_a_mark_in_two_tables_of_doors_is_never_counted_twice_unasked():
    keys = "\nDoor No.,Door Size,Keying\n1,3070,KA\n2,3070,KA\n"
    sheet = read(f"Door No.,Door Size,Rating\n1,3070,20M\n2,3070,20M\n{keys}")
    assert [(opening.mark, opening.quantity) for opening in sheet.openings] == [("1", 1), ("2", 1)]
    assert [asked.what for asked in sheet.reading.asked] == ["tables"]


def test_a_point_between_feet_and_inches_is_read_where_both_ways_agree_and_else_asked():
    sheet = read("Mark,Size\n1,3.0x7.0\n2,2.8x6.8\n3,0.9x2.1\n")
    sides = [(kind.width, kind.height) for kind in (opening.type for opening in sheet.openings)]
    read_as = [(wide.in_millimetres, high.in_millimetres) for wide, high in sides]
    assert read_as == [(914.4, 2133.6), (900, 2100)]
    (question,) = sheet.reading.asked
    assert question.candidates == ("2'-8\" x 6'-8\"", "2.8 ft x 6.8 ft")


@pytest.mark.parametrize(
    ("head", "row"),
    [
        ("Door-No.,Door - Width (mm),Door - Height (mm),Door: Fire Rating,-,Frame - Matl",
         "1,915,2134,20,x,HM"),
        ("DOOR,-,-,-,FRAME\nNo.,Width (mm),Height (mm),Fire Rating,Matl", "1,915,2134,20,HM"),
        ("Mark,Width,Height,Rating,Frame\n-,mm,mm,min,—", "1,915,2134,20,HM"),
    ],
)  # fmt: skip
def test_dashes_among_the_headings_hide_nothing(head, row):
    sheet = read(f"{head}\n{row}\n")
    assert (sheet.problems, sheet.reading.asked) == ((), ())
    (opening,) = sheet.openings
    assert (opening.mark, opening.type.width.in_millimetres) == ("1", 915)
    assert (opening.type.fire_minutes, opening.type.frame) == (20, Frame.STEEL)


def test_the_label_of_a_frame_counts_where_no_other_is_there():
    head = "Mark,Width (in),Height (in),Frame Label"
    alone = read(f"{head}\n1,36,84,90\n2,36,84,NR\n")
    assert [opening.type.fire_minutes for opening in alone.openings] == [90, 0]
    beside = read(f"{head},Fire Rating\n1,36,84,90,45\n2,36,84,,20\n")
    assert [opening.type.fire_minutes for opening in beside.openings] == [45, 20]
    assert beside.reading.asked == ()
    grouped = read("DOOR,-,-,FRAME,-\nNo.,Width,Height,Matl,Rating\n1,3-0,7-0,HM,90\n")
    assert grouped.openings[0].type.fire_minutes == 90


def test_what_a_dash_parts_from_the_door_is_not_taken_where_it_may_be_other_goods():
    for heading in ("Door - Lock", "Leaf - Finish", "Door - Frame"):
        found = meant(heading)
        assert found is None or found.heading.columns == ()


@pytest.mark.parametrize("heading", ["Door/Frame", "Door / Frame Matl", "DR/FR MAT'L"])
def test_leaf_and_frame_in_one_cell_are_parted_and_their_types_are_not(heading):
    sheet = read(f"Mark,Size,{heading}\n1,3070,HM/HM\n2,3070,WD/HM\n3,3070,WD/AL\n")
    assert [(opening.type.door, opening.type.frame) for opening in sheet.openings] == [
        (Door.HOLLOW_METAL, Frame.STEEL), (Door.WOOD, Frame.STEEL), (Door.WOOD, Frame.ALUMINUM),
    ]  # fmt: skip
    types = read(f"Mark,Size,{heading}\n1,3070,F/1\n2,3070,N/2\n")
    assert [opening.type.door for opening in types.openings] == [None, None]


@pytest.mark.parametrize("heading", ["Loc / Room", "Location", "Room"])
def test_a_word_for_outside_among_rooms_is_asked_about_and_never_passed_over(heading):
    sheet = read(f"Mark,Size,{heading}\n1,3070,EXT MAIN ENTRY\n2,3070,Stair 1\n3,3070,Text room\n")
    (asked,) = sheet.reading.asked
    assert (asked.what, asked.column, asked.candidates) == (
        "mixed",
        "location",
        ("EXT MAIN ENTRY",),
    )
    quiet = read(f"Mark,Size,{heading}\n1,3070,Next office\n2,3070,Stair 1\n")
    assert quiet.reading.asked == ()


def test_every_row_of_notes_is_told_and_not_the_first_alone():
    sheet = read("Mark,Size\n1,3070\n2,3070\n,\nNOTES: heavy duty,\n2. Hold open where shown,\n")
    (told,) = [text for text in say_shortly(sheet.reading) if text.startswith("Said beside")]
    assert "heavy duty" in told
    assert "Hold open where shown" in told


def test_a_door_that_is_not_in_the_contract_is_left_out_and_told():
    sheet = read("Mark,Size,Rating\n101,3070,NR\n102,NIC,NR\n103,Not in contract,20\n104,3070,20\n")
    assert [opening.mark for opening in sheet.openings] == ["101", "104"]
    assert {entry.why for entry in sheet.reading.skipped} == {"not-in-contract"}
    label = read("Mark,Size,Rating,Remarks\n101,3070,NIC,\n102,3070,NR,NIC\n103,3070,20,\n")
    assert ([opening.mark for opening in label.openings], label.problems) == (["102", "103"], ())


def test_a_material_that_nobody_can_tell_is_asked_and_its_opening_marked_unclear():
    sheet = read("Mark,Size,Door Matl\n101,3070,Glass/AL\n102,3070,HM\n")
    unclear, clear = (opening.type for opening in sheet.openings)
    assert [(told.field, told.written) for told in unclear.unclear] == [("door", "Glass/AL")]
    assert (unclear.frame, clear.unclear) == (Frame.ALUMINUM, ())
    assert [asked.column for asked in sheet.reading.asked] == ["door"]


def test_doors_not_to_be_quoted_are_kept_with_what_the_sheet_says_of_why():
    sheet = read(
        "Mark,Size,Rating,Closer\n"
        "101,3070,NR,Regular\n102,3070,NR,By Others\n103,3070,NR,NONE\n104,3070,NR,par d'autres\n"
        "105,NIC,,\n106,3070,Hors contrat,\n107,NOT USED,,\nVOID,,,\n,3070,NR,none\n"
        "108,3070,NR,Regular\nSEE NOTE,see A-601,,\n109,3070,NR,NIC\n110,3070,20,\n"
        "101,3070,NR,none\n",
        left_out=("11", "12"),
    )
    assert [opening.mark for opening in sheet.openings] == ["101", "106", "110"]
    # What has no mark, what is quoted by another row, and what is no door but left out is none.
    assert [(door.mark, door.why.value) for door in sheet.unasked] == [
        ("102", "by-others"), ("103", "no-closer"), ("104", "by-others"),
        ("105", "not-in-contract"), ("107", "not-used"), ("109", "not-in-contract"),
        ("108", "left-out"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("row", "told"),
    [
        ("102,30??,HM,1", ("102", "unread", "size", "30??", "size-unreadable")),
        ("102,,HM,1", ("102", "unread", "size", "", "size-needed")),
        ("102,=1+1,HM,1", ("102", "unread", "size", "=1+1", "cell-formula")),
        ("=1+1,3070,HM,1", ("=1+1", "unread", "mark", "=1+1", "cell-formula")),
        ("1\u202e2,3070,HM,1", ("1�2", "unread", "mark", "1�2", "cell-control")),
        (",3070,HM,1", ("?3", "unread", "mark", "", "")),
        ("102,3070,HM,1", ("102", "left-out", "", "", "")),
        ("Note 12,,,9", None),
        ("SEE NOTE,as drawn,,", None),
    ],
)
def test_a_row_left_out_is_told_of_as_a_door_with_what_cannot_be_read(row, told):
    sheet = read(f"Mark,Size,Door Matl,Qty\n101,3070,HM,1\n{row}\n", left_out=("3",))
    doors = [
        (door.mark, door.why.value, door.column, door.given, door.code) for door in sheet.unasked
    ]
    assert doors == ([] if told is None else [told])
    assert {door.row for door in sheet.unasked if door.why is WhyUnasked.UNREAD} <= {3}
    assert from_plain(tuple[UnaskedDoor, ...], to_plain(sheet.unasked)) == sheet.unasked


def test_rows_named_are_left_out_told_and_their_faults_with_them():
    text = "Mark,Size,Rating\n101,3070,NR\n102,3070,zz\n103,3070,20\n104,3070,zz\n"
    sheet = read(text, left_out=("3", "5"))
    assert ([opening.mark for opening in sheet.openings], sheet.problems) == (["101", "103"], ())
    assert [entry.text for entry in sheet.reading.skipped if entry.why == "left-out"] == [
        "102 | 3070 | zz", "104 | 3070 | zz",
    ]  # fmt: skip
    assert not read(text, left_out=("3-5",)).problems
    for wrong in ("9", "1", "3-9", "5-3", "x", ""):
        with pytest.raises(InputError) as caught:
            read(text, left_out=(wrong,))
        (problem,) = caught.value.problems
        assert (problem.code, problem.fields["right"]) == ("sheet-row-unknown", "2 to 5")


@pytest.mark.parametrize("heading", ["Location", "Location - Int/Ext", "Door Location", "Loc."])
def test_interior_and_exterior_are_read_under_a_heading_for_the_place(heading):
    sheet = read(f"Mark,Size,{heading}\n1,3070,INT\n2,3070,EXT - Lobby\n3,3070,Ext. wall\n")
    assert [opening.type.location for opening in sheet.openings] == [
        Location.INTERIOR, Location.EXTERIOR, Location.EXTERIOR,
    ]  # fmt: skip


def test_a_place_that_only_some_cells_tell_is_asked_about_and_rooms_are_not():
    rooms = "Mark,Size,Location\n1,3070,Corridor\n2,3070,{}\n3,3070,Stair\n4,3070,E\n5,3070,Hall\n"
    sheet = read(rooms.format("Exterior"))
    (question,) = sheet.reading.asked
    assert (question.what, question.column, question.count) == ("mixed", "location", 1)
    assert "--column 'Location=location', or tell the openings" in said(sheet)
    hinted = read("Mark,Size,Room No\n1,3070,Main entry\n2,3070,Hall\n")
    (asked,) = hinted.reading.asked
    assert (asked.what, asked.candidates) == ("hinted", ("Main entry",))
    assert "job answer JOB location=… MARKS" in said(hinted)
    assert "--column" not in said(hinted)
    answered = read(rooms.format("Exterior"), SheetChoices(columns={"Location": "aside"}))
    assert answered.reading.asked == ()
    assert read(rooms.format("Vestibule")).reading.asked == ()
    beside = read("Mark,Size,Location,Int/Ext\n1,3070,Exterior,EXT\n2,3070,a,INT\n3,3070,b,INT\n")
    assert beside.reading.asked == ()


def test_a_header_without_rows_beside_a_table_is_no_question():
    sheet = read("Door No.,Door Size\n1,3070\n\nMark,Width,Height\n")
    assert (sheet.problems, sheet.reading.asked) == ((), ())
    assert whys(sheet) == {(4, 4): "other-table"}


def test_tables_with_the_same_headings_are_one():
    page = "Door No.,Door Size\n{},3070\n{},3070\nPage {}\n"
    sheet = read(page.format(1, 2, 1) + page.format(3, 4, 2))
    assert [opening.mark for opening in sheet.openings] == ["1", "2", "3", "4"]


# Hostile and hopeless files ------------------------------------------------------------------


def test_a_header_far_down_is_found():
    junk = "".join(f"junk {n},text,more\n" for n in range(39_999))
    sheet = read(f"{junk}Door No.,Door Size,HW Set\n1,3070,4\n")
    assert sheet.reading.header_rows == (40_000,)
    assert [opening.mark for opening in sheet.openings] == ["1"]
    assert whys(sheet) == {(1, 39_999): "above"}


def test_a_hundred_thousand_rows_of_junk_are_refused_with_the_nearest_row():
    junk = "".join(f"{n},some,thing\n" for n in range(99_000))
    assert refused(f"Fruit,Colour of it,Taste\n{junk}") == [("table-not-found", 1)]


def test_a_file_without_anything_like_a_schedule_is_told_what_comes_nearest():
    with pytest.raises(InputError) as caught:
        read("apples,pears\n1,2\n")
    assert "apples | pears" in say_problem(caught.value.problems[0])


def test_headings_alone_are_told():
    assert ("table-without-rows-below", 1, "") in codes(read("Door No.,Door Size\n"))


def test_sixteen_thousand_columns_are_read_as_far_as_any_schedule_reaches():
    wide = ",".join(["Door No.", "Door Size", *[f"x{n}" for n in range(16_382)]])
    row = ",".join(["1", "3070", *["y"] * 16_382])
    sheet = read(f"{wide}\n{row}\n")
    assert [opening.mark for opening in sheet.openings] == ["1"]
    assert len(sheet.reading.columns) == 100
    assert sheet.reading.columns_beyond == 16_284
    assert "16284 columns behind the 100th" in said(sheet)


def test_a_text_alone_is_an_opening_only_where_the_marks_are_built_like_it():
    sheet = read("Door No.,Size,Matl\nB1,,\n101,3070,HM\nNIVEAU 2,,\n102,3070,HM\n105,,\n")
    assert whys(sheet) == {(2, 2): "mark-alone", (4, 4): "text"}
    assert "B1" in "\n".join(say_shortly(sheet.reading))
    assert codes(sheet) == [("size-needed", 6, "Size")], "a lost opening is worse than a question"


def test_a_filled_column_without_a_heading_is_told():
    sheet = read("Door No.,Size\n101,3070,,loose\n")
    assert [column.number for column in sheet.reading.columns] == [1, 2, 3, 4]
    assert "column 4, without a heading" in said(sheet)


def test_with_hundreds_of_faults_the_reading_is_told_with_the_first_of_them():
    sheet = read("Door No.,Size,Matl\n" + "".join(f"{n},tall,HM\n" for n in range(400)))
    assert sheet.reading.rows == 400
    assert len(sheet.problems) == 201
    assert [entry.row for entry in sheet.problems[:2]] == [2, 3]
    assert sheet.problems[-1].code == "too-many-problems"


def test_merged_ranges_without_end_are_not_filled_without_end():
    data = saved(workbook(("Doors", [["Door No.", "Door Size"], ["2", "3070"], ["3", "3070"]])))
    ranges = b"".join(b'<mergeCell ref="%c2:%c100000"/>' % (65 + n, 65 + n) for n in range(20))
    data = with_part(
        data,
        "xl/worksheets/sheet1.xml",
        b"</sheetData>",
        b"</sheetData><mergeCells>" + ranges * 20 + b"</mergeCells>",
    )
    started = time.monotonic()
    assert [opening.mark for opening in read(data).openings][:1] == ["2"]
    assert time.monotonic() - started < 20


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"\xff\xfem\xd8\x00", "text-utf-16-broken"),
        (b"Door No.,Door Size\n1,30\x0070\n", "text-nul"),
        (b"Door No.,Size\n1,3070\x81\n", "text-not-utf-8"),
        (b"Door No.,Size\n" + bytes(range(0x80, 0xFF)) * 9, "text-not-utf-8"),
        (b'Door No.,Size\n1,"3070\n', "text-not-csv"),
        (b"", "file-empty"),
    ],
)
def test_bytes_that_are_no_text_of_a_schedule_are_refused(data, code):
    assert [found for found, _ in refused(data)] == [code]


def test_formulas_and_errors_count_only_in_columns_that_are_read():
    head = ["Door No.", "Door Size", "HW Set"]
    book = workbook(("Doors", [head, ["1", "3070", "=A1"]]))
    assert read(saved(book)).problems == ()
    book = workbook(("Doors", [head, ["1", "=A1", "4"]]))
    assert codes(read(saved(book)))[0][0] == "cell-formula"


def test_a_decimal_comma_parts_no_columns():
    assert commonest_separator('a;b\n1,5;2,5\n3,5;"x;y"\n') == ";"
    assert commonest_separator("a\tb, c\n1\t2\n") == "\t"
    assert commonest_separator("a|b\n1|2\n") == "|"
    assert commonest_separator("mark,size\n") == ","


# Properties ----------------------------------------------------------------------------------

KINDS = kinds(60)
RENAMED = {
    "mark": ("Door No.", "MARK", "Opening #", "Repère", "Porte N°"),
    "quantity": ("Qty", "QTY.", "Quantité", "Cantidad"),
    "size": ("Door Size", "SIZE", "Nominal Size", "Medidas"),
    "leaves": ("Leaves", "No. of Leaves"),
    "door": ("Door Matl", "Door Material", "Matériau"),
    "weight": ("Weight", "Leaf Weight"),
    "frame": ("Frame", "Frame Matl."),
    "location": ("Int/Ext", "INT. / EXT."),
    "swing": ("Swing", "Door Swing"),
    "fire_minutes": ("Rating", "Fire Rating", "LABEL", "Coupe-feu"),
    "accessible": ("ADA", "Accessible"),
    "opening_degrees": ("Degrees", "Opening Angle"),
    "reveal": ("Reveal",),
    "pressure": ("Pressure",),
    "finish": ("Finish", "HW Finish", "Acabado"),
    "note": ("Remarks", "NOTES", "Observaciones"),
}


@st.composite
def tables(draw):
    """A clean table: its columns and rows."""
    chosen = draw(st.lists(st.sampled_from(KINDS), min_size=2, max_size=8))
    rows = [
        {"mark": f"{100 + number}{draw(st.sampled_from(('', 'A', '-B')))}",
         "quantity": str(draw(st.integers(1, 40))),
         "note": draw(st.sampled_from(("", "by owner", "see plan"))), **kind}
        for number, kind in enumerate(chosen)
    ]  # fmt: skip
    return list(rows[0]), [[row[name] for name in rows[0]] for row in rows]


def text_of(rows, separator=","):
    out = io.StringIO()
    csv.writer(out, delimiter=separator).writerows(rows)
    return out.getvalue()


def plainly(openings):
    return [(opening.mark, opening.quantity, opening.note, opening.type) for opening in openings]


@settings(max_examples=60, deadline=None)
@given(tables())
def test_a_clean_schedule_reads_as_it_does_strictly_and_nothing_is_told(table):
    columns, rows = table
    data = text_of([columns, *rows])
    sheet = read(data)
    assert sheet.reading.clean
    assert plainly(sheet.openings) == plainly(files.read(data))


@settings(max_examples=120, deadline=None)
@given(tables(), st.data())
def test_the_same_openings_come_of_any_order_heading_title_total_and_separator(table, data):
    columns, rows = table
    strictly = files.read(text_of([columns, *rows]))
    names = [data.draw(st.sampled_from(RENAMED[column])) for column in columns]
    head, *body = shuffled([names, *rows], data.draw(st.integers(0, 99)))
    width = len(head)
    first = head.index(names[0])
    titles = [
        [title, *[""] * (width - 1)]
        for title in data.draw(
            st.lists(st.sampled_from(("Tarrowby Hall", "Doors", "")), max_size=3)
        )
    ]
    total = ["" for _ in head]
    total[first] = "TOTAL"
    section = ["" for _ in head]
    section[data.draw(st.integers(0, width - 1))] = "SECOND FLOOR"
    at = data.draw(st.integers(1, len(body)))
    sent = [*titles, head, *body[:at], section, [""] * width, head, *body[at:], total]
    sheet = read(text_of(sent, data.draw(st.sampled_from(",;\t|"))))
    assert sheet.problems == ()
    assert plainly(sheet.openings) == plainly(strictly)
    assert not sheet.reading.clean


@settings(max_examples=40, deadline=None)
@given(tables(), st.data())
def test_the_clean_schedule_that_is_written_reads_strictly_as_the_same(table, data):
    columns, rows = table
    names = [data.draw(st.sampled_from(RENAMED[column])) for column in columns]
    sheet = read(text_of([["Tarrowby Hall"], names, *rows]))
    written = clean_schedule(sheet.openings, sheet.texts, COLUMNS)
    assert plainly(files.read(written)) == plainly(sheet.openings)


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=300))
def test_whatever_bytes_come_the_answer_is_openings_or_a_refusal(data):
    try:
        sheet = read(data)
    except InputError as error:
        assert error.problems  # noqa: PT017  # either answer is right here
        return
    assert sheet.openings or sheet.problems or not sheet.reading.rows
