"""Contrast as WCAG 2.2 defines it (W3C, definitions of relative luminance and contrast ratio)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.contrast import LEAST_CONTRAST, contrast_on_white, legible, luminance

COLOURS = st.integers(0, 0xFFFFFF).map(lambda value: f"#{value:06x}")


@pytest.mark.parametrize(
    ("colour", "ratio"),
    [
        # By hand from the published coefficients: (1 + 0.05) / (coefficient + 0.05).
        ("#ff0000", 1.05 / (0.2126 + 0.05)),
        ("#00ff00", 1.05 / (0.7152 + 0.05)),
        ("#0000ff", 1.05 / (0.0722 + 0.05)),
        ("#000000", 21.0),
        ("#ffffff", 1.0),
        # The lightest grey that passes 4.5 to 1 and the next, which does not (from memory).
        ("#767676", 4.54),
        ("#777777", 4.48),
    ],
)
def test_ratios_on_white(colour, ratio):
    assert contrast_on_white(colour) == pytest.approx(ratio, abs=0.005)


def test_the_share_below_which_a_channel_is_linear():
    # Level 10 of 255 is 0.0392 and linear, 11 is 0.0431 and is not.
    assert luminance("#0a0a0a") == pytest.approx(10 / 255 / 12.92)
    assert luminance("#0b0b0b") == pytest.approx(((11 / 255 + 0.055) / 1.055) ** 2.4)


@given(COLOURS)
def test_a_legible_colour_stays_and_a_light_one_is_darkened_no_more_than_need_be(colour):
    taken = legible(colour)
    assert contrast_on_white(taken) >= LEAST_CONTRAST
    if contrast_on_white(colour) >= LEAST_CONTRAST:
        assert taken == colour
    else:
        assert contrast_on_white(taken) < LEAST_CONTRAST * 1.03


@given(COLOURS)
def test_a_darker_shade_keeps_the_order_of_its_parts(colour):
    parts = [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
    taken = [int(legible(colour)[at : at + 2], 16) for at in (1, 3, 5)]
    assert all(
        one <= other
        for first, one in zip(parts, taken, strict=True)
        for second, other in zip(parts, taken, strict=True)
        if first <= second
    )
