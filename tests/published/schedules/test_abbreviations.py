"""Abbreviations of schedules, held against public lists and guides.

What was read, and what was not: each table names its source with the mark of the brief `seen` or
`memory`. The text of the U.S. National CAD Standard's list of abbreviations, of ANSI A250.7 and of
SDI 106 was not open to us: their entries stand at the end, from memory.
"""

import pytest

from wholekit.domain.openings import Door, Frame, Hand
from wholekit.intake.cells import clean
from wholekit.intake.dialect import CellReading, clean_readers, translate

STRICT = clean_readers()


def read(column: str, cell: str, unit: str | None = None) -> CellReading:
    """The reading of a cell that some row knows."""
    reading = translate(column, cell, unit)
    assert reading is not None, (column, cell, unit)
    return reading


def meant(column, cell):
    """A cell's value by the dialect, or by the strict reader where it is clean."""
    reading = translate(column, cell)
    text = cell if reading is None else reading.cells[column]
    return STRICT[column](clean(text)) if text else None


# Seen: a door service company's public list of the abbreviations of door and hardware schedules.
LIST_OF_SCHEDULES = [
    ("door", "WD", Door.WOOD),
    ("door", "FRP", Door.COMPOSITE),
    # A coat of the sheet, in the columns of both materials.
    ("door", "A60", None),
    ("frame", "A60", None),
    # Types of doors: flush, narrow vision, half glass, louver. They tell no material.
    ("door", "F", None),
    ("door", "V", None),
    ("door", "G", None),
    ("door", "L", None),
    # Knock-down frames are of steel [practice].
    ("frame", "KD", Frame.STEEL),
    ("hand", "LH", Hand.LH),
    ("hand", "LHR", Hand.LHR),
    ("hand", "RH", Hand.RH),
    ("hand", "RHR", Hand.RHR),
]


@pytest.mark.parametrize(("column", "cell", "value"), LIST_OF_SCHEDULES)
def test_a_public_list_of_schedule_abbreviations(column, cell, value):
    assert meant(column, cell) == value


@pytest.mark.parametrize("letter", ["F", "V", "G", "L", "A60"])
def test_types_of_doors_and_coats_are_no_labels(letter):
    assert translate("fire_minutes", letter) is None


# Seen: a hardware supplier's public guide to hands. A pair has an active leaf, and the pair is
# handed by it: RHA where that leaf is on the right and swings in, RHRA where it swings out.
@pytest.mark.parametrize(("cell", "hand"), [("RHA", Hand.RH), ("RHRA", Hand.RHR)])
def test_the_hand_of_a_pair_is_that_of_its_active_leaf(cell, hand):
    reading = read("hand", cell)
    assert (STRICT["hand"](reading.cells["hand"]), reading.cells["leaves"]) == (hand, "2")


# From memory, by the same rule on the other side.
@pytest.mark.parametrize(("cell", "hand"), [("LHA", Hand.LH), ("LHRA", Hand.LHR)])
def test_a_left_active_leaf_reads_as_the_right_one_does(cell, hand):
    reading = read("hand", cell)
    assert (STRICT["hand"](reading.cells["hand"]), reading.cells["leaves"]) == (hand, "2")


# Seen: a maker's public pages on hands for locks: the bevel of a leaf that swings out is reversed,
# which is told as LHR or RHR. The letter B for bevel: from memory.
@pytest.mark.parametrize(("cell", "hand"), [("LHRB", Hand.LHR), ("RHRB", Hand.RHR)])
def test_reverse_bevel_is_reverse_hand(cell, hand):
    assert meant("hand", cell) is hand


def test_a_hand_that_does_not_say_from_which_side_is_asked():
    """Seen: a UK doorset maker's public page reads left and right from the pull side."""
    assert read("hand", "left").asked == ("LH", "LHR")
    assert read("hand", "R").asked == ("RH", "RHR")


# Seen: a door supplier's public page on labels (A 3 h, B 1-1/2 h, C 3/4 h). D and E: from memory
# of the same classes of NFPA 80's annex.
@pytest.mark.parametrize(
    ("cell", "minutes"), [("A label", 180), ("C label", 45), ("D label", 90), ("E label", 45)]
)
def test_letters_of_labels(cell, minutes):
    assert meant("fire_minutes", cell) == minutes


def test_a_b_label_is_60_or_90_minutes_and_so_is_asked():
    """Seen: a trade magazine of October 2017 on NFPA 80's classes; a specifiers' forum of 2005."""
    assert read("fire_minutes", "B-label").asked == ("60", "90")
    assert meant("fire_minutes", "B label 1 HR") == 60
    assert meant("fire_minutes", "B label (90 MIN)") == 90


# Seen: a steel door maker's public page: labels of 1-1/2, 1, 3/4 and 1/3 h, 3 h at most.
@pytest.mark.parametrize(
    ("cell", "minutes"),
    [("20 MIN", 20), ("3/4 HR", 45), ("1 HR", 60), ("1-1/2 HR", 90), ("3 HR", 180), ("1/3 h", 20)],
)
def test_hours_and_minutes_of_labels(cell, minutes):
    assert meant("fire_minutes", cell) == minutes


# From memory, none of them read: UK practice (BS 8214, Approved Document B) and EN 13501-2.
@pytest.mark.parametrize(
    ("cell", "minutes"),
    [("FD30", 30), ("FD60S", 60), ("E 30", 30), ("EI 60", 60), ("EI2 30-C", 30)],
)
def test_european_classes_tell_the_minutes(cell, minutes):
    assert meant("fire_minutes", cell) == minutes


# From memory of drafting lists (U.S. National CAD Standard and those of federal agencies), none of
# them read here: the opened copy of the former shows its first pages only.
@pytest.mark.parametrize(
    ("column", "cell", "value"),
    [
        ("door", "HM", Door.HOLLOW_METAL),
        ("door", "AL", Door.ALUMINUM),
        ("door", "ALUM", Door.ALUMINUM),
        ("door", "STL", Door.HOLLOW_METAL),
        ("frame", "HM", Frame.STEEL),
        ("frame", "WD", Frame.WOOD),
        ("location", "INT", "interior"),
        ("location", "EXT", "exterior"),
    ],
)
def test_abbreviations_of_drafting_lists(column, cell, value):
    assert meant(column, cell) == value
