"""A bare `30x70` is feet and inches to the trade, inches to others: refused, and both told.

The usual heights are common practice, no source; here in inches, as door sizes are tabled.
"""

import pytest
from tests.openings.files import FINISHES, JURISDICTIONS, faults, read, sentences

from wholekit.domain.errors import InputError
from wholekit.domain.quantities import Length, QuantityError
from wholekit.intake import cells
from wholekit.intake.changes import read_changes
from wholekit.intake.shorthand import read_shorthand
from wholekit.wording.problems import say_problem

USUAL_HEIGHTS_IN = {80, 84, 86, 96, 108, 120}
TWO_DIGITS = range(10, 100)
PAIRS = [(wide, high) for wide in TWO_DIGITS for high in (*TWO_DIGITS, 100)]


def line(text):
    return read_shorthand(f"101 {text}", 1, finishes=FINISHES, jurisdictions=JURISDICTIONS)


def change(*texts):
    return read_changes(texts, finishes=FINISHES, jurisdictions=JURISDICTIONS)


def in_feet(side):
    """A number's other reading [in]: its last digit is inches, what stands before it feet."""
    return 12 * (side // 10) + side % 10


def may_be_both(high):
    return in_feet(high) in USUAL_HEIGHTS_IN


def as_size(text):
    """The size of a text, or the code it is refused with."""
    try:
        return cells.size(text)
    except QuantityError as error:
        return error.code


def test_every_pair_of_two_digits_is_refused_exactly_where_its_height_may_be_feet():
    for wide, high in PAIRS:
        for text in (f"{wide}x{high}", f"{wide} × {high}", f"{wide} by {high}"):
            size = as_size(text)
            assert (size == "size-two-readings") == may_be_both(high), text
            if isinstance(size, tuple):
                assert size == (Length.inches(wide), Length.inches(high)), text


def test_both_readings_are_told_and_each_is_read_as_it_says():
    for wide, high in PAIRS:
        if not may_be_both(high):
            continue
        with pytest.raises(QuantityError) as caught:
            cells.size(f"{wide}x{high}")
        told = [str(caught.value.fields[name]) for name in ("feet", "inches")]
        for text, (width, height) in zip(
            told, ((in_feet(wide), in_feet(high)), (wide, high)), strict=True
        ):
            # 10 in, or 8 ft 5 in, is no width of a leaf: told so only once it is said plainly.
            expected = (Length.inches(width), Length.inches(height))
            assert as_size(text) in (expected, "size-not-sensible"), text
            if 12 <= width <= 98:
                assert as_size(text) == expected, text


@pytest.mark.parametrize("text", ["30x70", "30x80", "36x80", "30 x 68", "30x100"])
def test_files_lines_and_changes_refuse_alike(text):
    assert faults(f"mark,size\n1,{text}\n") == [("size-two-readings", 2, "size")]
    for said in (text, f"size {text}", f"size={text.replace(' ', '')}"):
        (problem,) = refused(line, said)
        assert problem.code == "size-two-readings", said
    (problem,) = refused(change, f"size={text}")
    assert problem.code == "size-two-readings"


def test_a_bare_width_with_a_bare_height_is_refused_alike():
    assert faults("mark,width,height\n1,30,70\n2,36,84\n3,36 in,80\n4,36,80 in\n5,3'-0\",70\n") == [
        ("size-two-readings", 2, "height")
    ]
    assert [problem.code for problem in refused(line, "width=30 height=80")] == [
        "size-two-readings"
    ]
    assert [problem.code for problem in refused(change, "width=30", "height=80")] == [
        "size-two-readings"
    ]
    assert change("width=36", "height=84")["height"] == Length.inches(84)


def test_a_size_beside_them_settles_a_bare_width_and_height():
    (opening,) = read("mark,size,width,height\n1,3068,36,80\n")
    assert opening.type.height == Length.inches(80)


def test_the_sentence_offers_both_readings():
    said = sentences("mark,size\n1,30x80\n")
    assert "3'-0\" x 8'-0\"" in said
    assert "30 in x 80 in" in said


@pytest.mark.parametrize(
    ("text", "wide", "high"),
    [
        ("36x84", 36, 84),
        ("3070", 36, 84),
        ("3080", 36, 96),
        ("30 in x 80 in", 30, 80),
        ("30x80 in", 30, 80),
        ('30" x 80"', 30, 80),
        ("3-0 x 8-0", 36, 96),
        ("36x83-1/2", 36, 83.5),
    ],
)
def test_what_can_be_read_in_one_way_only_stays(text, wide, high):
    quoted = text.replace('"', '""')
    (opening,) = read(f'mark,size\n1,"{quoted}"\n')
    assert (opening.type.width.in_inches, opening.type.height.in_inches) == (wide, high)
    assert line(text).type == opening.type


def refused(reader, *texts):
    with pytest.raises(InputError) as caught:
        reader(*texts)
    assert all(say_problem(problem).isprintable() for problem in caught.value.problems)
    return caught.value.problems
