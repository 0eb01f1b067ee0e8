"""Wood screw diameters by number.

Source: ASME B18.6.1, tables of wood screw sizes: number 14 is .242 in (read); numbers 8, 10 and 12
from memory, not read. Tolerance: exact to three decimals.
"""

import pytest
from tests.support.house import RULES, SAMPLES, sample

from wholekit.domain.catalog import FastenerKind
from wholekit.domain.catalog.screws import wood_screw_diameter


@pytest.mark.parametrize(("number", "inches"), [(14, 0.242), (8, 0.164), (10, 0.190), (12, 0.216)])
def test_a_wood_screws_number_gives_its_diameter(number, inches):
    assert wood_screw_diameter(number, RULES) == inches


@pytest.mark.parametrize("name", SAMPLES)
def test_every_wood_screw_of_the_samples_has_its_number(name):
    screws = [
        piece for piece in sample(name).pieces.values() if piece.kind is FastenerKind.WOOD_SCREW
    ]
    assert screws
    assert all(screw.screw_number == 14 for screw in screws)
