"""GTIN check digits as GS1 publishes them.

Sources: GS1 dictionary and check digit examples (6291041500213, 0614141000036), the ISBN example
9780306406157 that is a GTIN-13 too, and numbers computed by hand from the weights 3 and 1.
"""

import pytest

from wholekit.domain.catalog.gtin import check_digit, is_gtin


@pytest.mark.parametrize(
    ("digits", "expected"),
    [("629104150021", 3), ("061414100003", 6), ("978030640615", 7), ("200000000010", 7)],
)
def test_the_check_digit_is_the_one_published(digits, expected):
    assert check_digit(digits) == expected


@pytest.mark.parametrize("number", ["02345673", "416000336108", "1234567890128", "6291041500213"])
def test_a_published_number_passes(number):
    assert is_gtin(number)


@pytest.mark.parametrize(
    "number",
    ["12345673", "416000336109", "1234567890123", "", "7", "41600033610x", "४१६०००३३६१०८"],
)
def test_a_number_with_a_wrong_digit_length_or_character_fails(number):
    assert not is_gtin(number)


def test_every_single_wrong_digit_is_noticed():
    """What the weights are for: 3 and 1 share no factor with 10."""
    right = "1234567890128"
    for place in range(13):
        for digit in "0123456789":
            number = right[:place] + digit + right[place + 1 :]
            assert is_gtin(number) == (number == right)


def test_digits_that_are_none_are_refused():
    with pytest.raises(ValueError, match="not digits"):
        check_digit("12a")
