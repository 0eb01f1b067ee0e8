"""A schedule's rows become openings: what is written is kept exactly, what is not stays unknown."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.openings.files import outcome, read, xlsx

from wholekit.domain.errors import InputError
from wholekit.domain.openings import (
    BodySide,
    Core,
    Door,
    Frame,
    Hand,
    HoldOpen,
    Location,
    Mount,
    OpeningType,
    Stop,
    Swing,
    Traffic,
)
from wholekit.domain.quantities import HolePattern, Length, Mass
from wholekit.intake.schedule import COLUMNS
from wholekit.settings import bundled

FULL = {
    "mark": "101", "quantity": "2", "size": "3070", "leaves": "pair", "door": "wood",
    "core": "mineral", "door_reinforced": "no", "weight": "100 lb", "thickness": "1-3/4",
    "frame": "steel", "frame_reinforced": "yes", "location": "exterior", "swing": "out",
    "hand": "LHR", "body_side": "push", "mount": "top jamb", "fire_minutes": "1-1/2 h",
    "accessible": "y", "opening_degrees": "110", "hold_open": "release",
    "delayed_action": "true", "backcheck": "0", "top_rail": "4 in", "head_face": "2 in",
    "ceiling_clearance": "0", "reveal": "4-3/4 in", "stop": "blade", "pressure": "50 Pa",
    "wind": "20 mph", "finish": "US26D", "series": "harbor", "spring_size": "4",
    "jurisdiction": "Oregon", "egress": "yes", "seals": "10 lbf", "latch": "9 N",
    "grade": "1", "traffic": "heavy",
    "existing_holes": "210 x 83 mm", "note": "beside stair 2",
}  # fmt: skip


def table(*rows, separator=","):
    out = io.StringIO()
    csv.writer(out, delimiter=separator).writerows(rows)
    return out.getvalue()


def test_every_column_is_read_into_its_field():
    (opening,) = read(table(FULL.keys(), FULL.values()))
    assert (opening.mark, opening.quantity, opening.note) == ("101", 2, "beside stair 2")
    kind = opening.type
    assert (kind.width, kind.height, kind.leaves) == (Length.inches(36), Length.inches(84), 2)
    assert (kind.door, kind.core, kind.frame) == (Door.WOOD, Core.MINERAL, Frame.STEEL)
    assert (kind.door_reinforced, kind.frame_reinforced) == (False, True)
    assert (kind.weight, kind.thickness) == (Mass.lb(100), Length.mm(44.45))
    assert (kind.location, kind.swing, kind.hand) == (Location.EXTERIOR, Swing.OUT, Hand.LHR)
    assert (kind.body_side, kind.mount) == (BodySide.PUSH, Mount.TOP_JAMB)
    assert (kind.fire_minutes, kind.accessible, kind.opening_degrees) == (90, True, 110.0)
    assert (kind.hold_open, kind.delayed_action, kind.backcheck) == (HoldOpen.RELEASE, True, False)
    assert (kind.top_rail, kind.head_face) == (Length.inches(4), Length.inches(2))
    assert (kind.ceiling_clearance, kind.reveal) == (Length(0), Length.inches(4, 3, 4))
    assert kind.stop is Stop.BLADE
    assert getattr(kind.pressure, "si", None) == 50.0
    assert getattr(kind.wind, "si", None) == pytest.approx(8.9408)
    assert (kind.finish, kind.series, kind.spring_size) == ("626", "harbor", 4)
    assert kind.jurisdiction == "us-or"
    assert (kind.egress, kind.grade, kind.traffic) == (True, 1, Traffic.HEAVY)
    assert getattr(kind.seals, "si", None) == pytest.approx(44.4822)
    assert getattr(kind.latch, "si", None) == 9.0
    assert kind.existing_holes == HolePattern(Length.mm(210), Length.mm(83))


def test_width_and_height_stand_for_a_size_and_may_repeat_it():
    alone = read("mark,width,height\n1,36,7'-0\"\n2,914 mm,2134 mm\n")
    both = read("mark,size,width,height\n1,3070,3'-0\",\n2,,36,84\n")
    assert alone[0].type == both[0].type == both[1].type
    assert str(alone[1].type.width) == "914 mm"


def test_what_is_not_stated_stays_unknown():
    (opening,) = read("mark,size,door,fire_minutes,accessible,finish\n101,3070,,,,\n")
    assert opening.type == OpeningType(Length.inches(36), Length.inches(84))
    assert opening.type.fire_minutes is None
    assert opening.type.accessible is None


def test_no_label_stated_is_another_thing_than_no_word_on_it():
    unlabelled, silent = read("mark,size,fire_minutes\n1,3070,none\n2,3070,\n")
    assert unlabelled.type.fire_minutes == 0
    assert silent.type.fire_minutes is None


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_the_header_tells_what_parts_the_columns(separator):
    data = table(FULL.keys(), FULL.values(), separator=separator)
    assert read(data) == read(table(FULL.keys(), FULL.values()))


def test_column_names_forgive_capitals_spaces_hyphens_and_their_order():
    usual = read("mark,size,fire_minutes,top_rail\n1,3070,90,4 in\n")
    assert read("Top-Rail, FIRE  MINUTES ,Size,Mark\n4 in,90,3070,1\n") == usual


@pytest.mark.parametrize(
    ("column", "texts", "value"),
    [
        ("door", ("hollow-metal", "Hollow Metal", "HM", "hollow_metal"), Door.HOLLOW_METAL),
        ("door", ("aluminum", "ALUMINIUM"), Door.ALUMINUM),
        ("frame", ("steel", "hollow metal", "pressed steel"), Frame.STEEL),
        ("mount", ("top-jamb", "top jamb", "Top Jamb", "topjamb"), Mount.TOP_JAMB),
        ("mount", ("parallel", "Parallel Arm", "parallel-arm"), Mount.PARALLEL),
        ("hand", ("RHR", "rhr", "R.H.R.", "right hand reverse"), Hand.RHR),
        ("accessible", ("yes", "Y", "TRUE", "1"), True),
        ("accessible", ("no", "N", "false", "0"), False),
        ("fire_minutes", ("45", "45 min", "45min", "3/4 h", "3/4 hr", "¾ hour"), 45),
        ("fire_minutes", ("180", "3 h", "3 hrs", "180 minutes"), 180),
        ("fire_minutes", ("0", "none", "not rated", "non-rated"), 0),
        ("opening_degrees", ("110", "110 deg", "110°"), 110.0),
        ("grade", ("2", "grade 2", "Grade-2"), 2),
        ("traffic", ("heavy", "Heavy", "high"), Traffic.HEAVY),
        ("traffic", ("usual", "normal", "medium"), Traffic.USUAL),
        ("egress", ("yes", "Y"), True),
        ("spring_size", ("3", "size 3", "Size-3"), 3),
        ("finish", ("690", "dark bronze", "Dark-Bronze paint"), "690"),
        ("jurisdiction", ("us-or", "US OR", "Oregon"), "us-or"),
    ],
)
def test_plain_spellings_of_the_trade_mean_the_same(column, texts, value):
    rows = [("mark", "size", column), *((f"{n}", "3070", text) for n, text in enumerate(texts))]
    assert {getattr(opening.type, column) for opening in read(table(*rows))} == {value}


def test_rows_alike_share_one_type_object_however_they_are_spaced():
    rows = read(
        "mark,size,door,note\n1,3070,wood,a\n2,36x84, wood,b\n3,3070,steel,\n4,3070,wood,\n"
    )
    assert rows[0].type is rows[1].type is rows[3].type
    assert rows[2].type is not rows[0].type


def test_the_spelling_of_a_size_is_kept_for_the_papers():
    inches, metric = read("mark,size\n1,36x84\n2,914.4x2133.6 mm\n")
    assert (str(inches.type.width), str(metric.type.width)) == ("36 in", "914.4 mm")


def test_blank_rows_are_skipped_and_rows_keep_their_number():
    rows = read("\n\nmark,size\n\n101,3070\n , \n,\n102,3068\n")
    assert [row.mark for row in rows] == ["101", "102"]


def test_a_byte_order_mark_crlf_and_line_breaks_in_a_cell_are_no_fault():
    rows = read(b'\xef\xbb\xbfmark,size,note\r\n101,3070,"beside\r\nstair 2"\r\n')
    assert (rows[0].mark, rows[0].note) == ("101", "beside stair 2")


def test_empty_cells_beyond_the_header_are_no_fault():
    assert len(read("mark,size,,\n101,3070,,,,\n")) == 1


def test_markup_in_a_schedule_is_text_and_kept_as_it_is():
    rows = read('mark,size,note\n<b>1</b>,3070,"<script>alert(1)</script> {{ 7*7 }}"\n')
    assert rows[0].mark == "<b>1</b>"
    assert rows[0].note == "<script>alert(1)</script> {{ 7*7 }}"


def test_a_workbook_gives_the_same_openings_as_the_csv_of_it():
    path = bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv"
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    assert read(xlsx(*rows)) == read(path.read_bytes())


def test_numbers_in_a_workbook_are_read_as_typed():
    rows = read(
        xlsx(
            ("mark", "quantity", "size", "opening_degrees", "accessible", "spring_size", "reveal"),
            (101, 2.0, 3070, 110, True, 4, 4.75),
        )
    )
    assert (rows[0].mark, rows[0].quantity) == ("101", 2)
    kind = rows[0].type
    assert (kind.width, kind.opening_degrees, kind.spring_size) == (Length.inches(36), 110.0, 4)
    assert (kind.accessible, kind.reveal) == (True, Length.inches(4, 3, 4))


def test_the_sample_job_has_openings_of_every_kind():
    path = bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv"
    openings = read(path.read_bytes())
    assert len(openings) >= 40
    kinds = [opening.type for opening in openings]
    for field, choices in {
        "door": Door, "core": Core, "frame": Frame, "location": Location, "hand": Hand,
        "body_side": BodySide, "mount": Mount,
    }.items():  # fmt: skip
        assert {getattr(kind, field) for kind in kinds} >= set(choices), field
    assert {kind.fire_minutes for kind in kinds} >= {None, 20, 45, 60, 90, 180}
    assert {kind.hold_open for kind in kinds} >= {HoldOpen.ARM, HoldOpen.RELEASE}
    for field in ("door_reinforced", "frame_reinforced"):
        assert {getattr(kind, field) for kind in kinds} >= {None, False, True}, field
    for field in COLUMNS[5:-2]:
        assert any(getattr(kind, field) is not None for kind in kinds), field
    assert any(kind.leaves == 2 for kind in kinds)
    assert any(kind.width.unit == "mm" for kind in kinds)
    assert OpeningType(Length.inches(36), Length.inches(84)) in kinds


CELLS = st.one_of(
    st.sampled_from([*FULL.values(), "", "=1", "1O1", "31010", "-", "0", "36 x", '"', "a\nb"]),
    st.text(max_size=12),
)


@given(st.lists(st.lists(CELLS, min_size=5, max_size=5), max_size=5))
def test_any_table_is_read_whole_or_refused_with_problems(rows):
    header = ("mark", "size", "quantity", "weight", "fire_minutes")
    data = table(header, *rows).encode("utf-8", "replace")
    filled = sum(any(cell.strip() for cell in row) for row in rows)
    openings, problems = outcome(data)
    assert problems or len(openings) == filled


@given(st.binary(max_size=300))
def test_any_bytes_are_a_schedule_or_refused_with_problems(data):
    with pytest.raises(InputError) as caught:
        read(data)
    assert caught.value.problems
