"""Power size by width and mass.

Source: EN 1154:1996+A1, Table 1. Widths, masses and least moments of sizes 1 to 6 as read on three
independent pages; size 7 from memory, not read. Tolerance: exact.
"""

import pytest
from tests.support.house import RULES, opening

from wholekit.domain.openings import Facts, Location, Mount
from wholekit.domain.sizing import size_opening

TABLE_1 = [
    (1, 750, 20, 9, 13),
    (2, 850, 40, 13, 18),
    (3, 950, 60, 18, 26),
    (4, 1100, 80, 26, 37),
    (5, 1250, 100, 37, 54),
    (6, 1400, 120, 54, 87),
    (7, 1600, 160, 87, 140),  # from memory, not read
]


@pytest.mark.parametrize(("size", "width", "mass", "low", "high"), TABLE_1)
def test_the_rule_book_holds_the_table(size, width, mass, low, high):
    row = RULES.rows("en1154-table-1")[size - 1]
    assert row == {
        "size": size,
        "width_mm": width,
        "mass_kg": mass,
        "moment_from": low,
        "moment_to": high,
    }


@pytest.mark.parametrize(("size", "width", "mass", "low", "high"), TABLE_1)
def test_a_leaf_just_within_width_and_mass_takes_the_size(size, width, mass, low, high):
    facts = Facts(
        opening(
            f"{width}x2100 mm", jurisdiction="en", location=Location.INTERIOR, weight=f"{mass} kg"
        ),
        RULES,
    )
    assert size_opening(facts, Mount.REGULAR, RULES).required == size


@pytest.mark.parametrize(("size", "width", "mass", "low", "high"), TABLE_1[:-1])
def test_a_millimetre_or_a_kilogram_more_takes_the_next(size, width, mass, low, high):
    wider = Facts(opening(f"{width + 1}x2100 mm", jurisdiction="en", weight="20 kg"), RULES)
    heavier = Facts(opening("750x2100 mm", jurisdiction="en", weight=f"{mass + 1} kg"), RULES)
    assert size_opening(wider, Mount.REGULAR, RULES).required == size + 1
    assert size_opening(heavier, Mount.REGULAR, RULES).required == size + 1


def test_a_leaf_over_160_kg_is_too_heavy_for_any_size():
    facts = Facts(opening("1600x2100 mm", jurisdiction="en", weight="161 kg"), RULES)
    sizing = size_opening(facts, Mount.REGULAR, RULES)
    assert sizing.required is None
    assert "leaf-too-heavy" in {finding.code for finding in sizing.findings}


def test_a_fire_door_takes_size_three_at_least():
    """EN 1154, closers for fire and smoke doors (read)."""
    facts = Facts(opening("750x2100 mm", jurisdiction="en", weight="15 kg", fire_minutes=30), RULES)
    assert size_opening(facts, Mount.REGULAR, RULES).required == 3


def test_an_unusually_tall_leaf_takes_one_size_more():
    """EN 1154, unusual height takes a larger size (read); the 2500 mm from memory, not read."""
    at = Facts(opening("900x2500 mm", jurisdiction="en", weight="40 kg"), RULES)
    over = Facts(opening("900x2501 mm", jurisdiction="en", weight="40 kg"), RULES)
    assert size_opening(at, Mount.REGULAR, RULES).required == 3
    assert size_opening(over, Mount.REGULAR, RULES).required == 4
