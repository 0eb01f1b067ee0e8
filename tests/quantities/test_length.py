"""Lengths and leaf sizes: every usual spelling of the trade, exact, and what is refused."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.quantities import Length, QuantityError, parse_length, parse_size

INCH = 25_400_000
MM = 1_000_000


@pytest.mark.parametrize(
    ("text", "nm"),
    [
        ("36", 36 * INCH),
        ('36"', 36 * INCH),
        ("36''", 36 * INCH),
        ("36″", 36 * INCH),
        ("36”", 36 * INCH),
        ("36 in", 36 * INCH),
        ("36in.", 36 * INCH),
        ("36 INCHES", 36 * INCH),
        ("1 inch", INCH),
        ("36.5", 36 * INCH + INCH // 2),
        (".5 in", INCH // 2),
        ("36.", 36 * INCH),
        ("8-1/4", 8 * INCH + INCH // 4),
        ("8 1/4", 8 * INCH + INCH // 4),
        ('8-1/4"', 8 * INCH + INCH // 4),
        ("8 - 1/4 in", 8 * INCH + INCH // 4),
        ("8¼", 8 * INCH + INCH // 4),
        ("8½ in", 8 * INCH + INCH // 2),
        ("1⅜″", INCH + 3 * INCH // 8),
        ("3/4", 3 * INCH // 4),
        ("1-15/16 in", INCH + 15 * INCH // 16),
        ("3'-0\"", 36 * INCH),
        ("3' 0\"", 36 * INCH),
        ("3'0\"", 36 * INCH),
        ("3’-0”", 36 * INCH),
        ("3′–0″", 36 * INCH),
        ("3'", 36 * INCH),
        ("3 ft", 36 * INCH),
        ("3 ft.", 36 * INCH),
        ("3.5 feet", 42 * INCH),
        ("3 ft 0 in", 36 * INCH),
        ("3 ft. 0-1/2 in.", 36 * INCH + INCH // 2),
        ("3'-0 1/2\"", 36 * INCH + INCH // 2),
        ("3 feet 6 inches", 42 * INCH),
        ("3'-6", 42 * INCH),
        ("914 mm", 914 * MM),
        ("914mm", 914 * MM),
        ("914.4 MM", 914 * MM + 400_000),
        ("91.4 cm", 914 * MM),
        ("0.914 m", 914 * MM),
        ("0.9144m", 914 * MM + 400_000),
        ("  36   in ", 36 * INCH),
    ],
)
def test_every_usual_spelling_of_a_length_is_read_exactly(text, nm):
    assert parse_length(text).nm == nm


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "length-unreadable"),
        ("wide", "length-unreadable"),
        ("36 x", "length-unreadable"),
        ("36 yards", "length-unreadable"),
        ("1O1", "length-unreadable"),
        ("3-0", "length-unreadable"),
        ("1/0", "length-unreadable"),
        ("8-1/0 in", "length-unreadable"),
        ("1e3 mm", "length-unreadable"),
        ("nan", "length-unreadable"),
        ("inf mm", "length-unreadable"),
        ("=36", "length-unreadable"),
        ("1,000 mm", "length-unreadable"),
        ("9" * 61, "length-unreadable"),
        ("0", "length-not-positive"),
        ("0 in", "length-not-positive"),
        ("0'-0\"", "length-not-positive"),
        ("-36 in", "length-not-positive"),
        ("−36 in", "length-not-positive"),
        ("3'-12\"", "length-inches-over-eleven"),
        ("2'-14 1/2", "length-inches-over-eleven"),
        ("1/3 in", "length-not-exact"),
        ("0.0000000001 m", "length-not-exact"),
    ],
)
def test_what_is_no_length_is_refused_with_what_was_written(text, code):
    with pytest.raises(QuantityError) as caught:
        parse_length(text)
    assert caught.value.code == code
    assert caught.value.given.removesuffix("…") in text


def test_a_length_that_must_carry_its_unit_is_refused_without_one():
    assert parse_length("36 in", bare=None) == Length.inches(36)
    with pytest.raises(QuantityError) as caught:
        parse_length("36", bare=None)
    assert caught.value.code == "length-without-unit"


WHOLE = st.integers(0, 400)
SIXTY_FOURTHS = st.integers(1, 63).map(lambda number: Fraction(number, 64))
INCH_TEXTS = st.one_of(
    WHOLE.filter(bool).map(str),
    SIXTY_FOURTHS.map(str),
    st.builds("{}-{}".format, WHOLE, SIXTY_FOURTHS),
    st.builds("{} {} in".format, WHOLE, SIXTY_FOURTHS),
    st.builds("{}'-{}\"".format, st.integers(1, 12), st.integers(0, 11)),
    st.builds("{} ft {}-{} in".format, st.integers(1, 12), st.integers(0, 11), SIXTY_FOURTHS),
    st.decimals("0.00001", 400, places=5).map("{:f} in".format),
)
METRIC_TEXTS = st.one_of(
    st.decimals("0.000001", 10_000, places=6).map("{:f} mm".format),
    st.decimals("0.0000001", 1_000, places=7).map("{:f} cm".format),
    st.decimals("0.000000001", 10, places=9).map("{:f} m".format),
)


@given(st.one_of(INCH_TEXTS, METRIC_TEXTS))
def test_the_printed_text_of_a_length_reads_back_as_the_same_length(text):
    length = parse_length(text)
    again = parse_length(str(length))
    assert again.nm == length.nm
    assert str(again) == str(length)


@given(st.integers(1, 10**12), st.integers(1, 10**12))
def test_lengths_add_subtract_and_order_as_whole_nanometres(first, second):
    length, other = Length(first), Length(second, "mm")
    assert (length + other).nm == first + second
    assert (length + other - other) == length
    assert (length < other) == (first < second)
    assert (length <= other) == (first <= second)
    assert (length == other) == (first == second)


def test_a_boundary_in_one_unit_holds_for_a_length_written_in_another():
    four_inches, same = parse_length("4 in"), parse_length("101.6 mm")
    assert four_inches <= same <= four_inches
    assert not four_inches < same
    assert not same < four_inches


def test_lengths_are_equal_whatever_unit_they_were_written_in():
    assert parse_length("36 in") == parse_length("914.4 mm") == parse_length("3'-0\"")
    assert len({parse_length("36 in"), parse_length("0.9144 m")}) == 1
    assert [str(parse_length(text)) for text in ("36 in", "914.4 mm", "0.9144 m")] == [
        "36 in",
        "914.4 mm",
        "0.9144 m",
    ]


SIZE_3070 = (Length.inches(36), Length.inches(84))


@pytest.mark.parametrize(
    "text",
    [
        "3070",
        "3'-0\" x 7'-0\"",
        "3’-0” × 7’-0”",
        "3'0\"x7'0\"",
        "3-0 x 7-0",
        "3/0 x 7/0",
        "3-0x7-0",
        "36x84",
        "36 x 84",
        "36 × 84",
        "36 X 84",
        "36 by 84",
        '36" x 84"',
        "36 in x 84 in",
        "36x84 in",
        "36 x 84 inches",
        "3 ft x 7 ft",
        "3' x 7'",
        "3x7 ft",
        "914.4x2133.6 mm",
        "914.4 mm x 2133.6 mm",
        "0.9144 x 2.1336 m",
    ],
)
def test_every_usual_spelling_of_a_leaf_size_is_width_then_height(text):
    assert parse_size(text) == SIZE_3070


@pytest.mark.parametrize("wide", range(1, 10))
@pytest.mark.parametrize("high", range(1, 10))
def test_four_digits_are_feet_and_inches_twice(wide, high):
    for inches_wide, inches_high in ((0, 0), (6, 8), (9, 9)):
        text = f"{wide}{inches_wide}{high}{inches_high}"
        expected = (
            Length.inches(12 * wide + inches_wide),
            Length.inches(12 * high + inches_high),
        )
        assert parse_size(text) == expected


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "size-unreadable"),
        ("36", "size-unreadable"),
        ("307", "size-unreadable"),
        ("31010", "size-unreadable"),
        ("0070", "size-unreadable"),
        ("3000", "size-unreadable"),
        ("36x84x2", "size-unreadable"),
        ("36 x", "size-unreadable"),
        ("x", "size-unreadable"),
        ("3O70", "size-unreadable"),
        ("9" * 200, "size-unreadable"),
        ("-36 x 84", "length-not-positive"),
        ("36 x 0", "length-not-positive"),
        ("36 x tall", "length-unreadable"),
        ("3'-12\" x 7'-0\"", "length-inches-over-eleven"),
    ],
)
def test_what_is_no_leaf_size_is_refused_with_what_was_written(text, code):
    with pytest.raises(QuantityError) as caught:
        parse_size(text)
    assert caught.value.code == code
    assert caught.value.given.removesuffix("…") in text
