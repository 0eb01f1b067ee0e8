"""Spring size by leaf width, US practice.

Source: one trade magazine's chart (read; its headings interior and exterior inferred from its
text). Ranges share end points; a boundary belongs to the smaller size. Tolerance: exact.
"""

import pytest
from tests.support.house import RULES, opening

from wholekit.domain.openings import Facts, Location, Mount
from wholekit.domain.quantities import Length
from wholekit.domain.sizing import size_by_table, size_opening, us_rows

EXTERIOR = [(30, 3), (36, 4), (42, 5), (48, 6)]
INTERIOR = [(34, 2), (38, 3), (48, 4), (54, 5), (60, 6)]
CASES = [("exterior", *row) for row in EXTERIOR] + [("interior", *row) for row in INTERIOR]


@pytest.mark.parametrize(("location", "inches", "size"), CASES)
def test_a_width_up_to_and_including_the_limit_takes_the_size(location, inches, size):
    rows = us_rows(Location(location), RULES)
    assert size_by_table(Length.inches(inches).nm, rows) == size


@pytest.mark.parametrize(("location", "inches", "size"), CASES)
def test_a_hair_over_the_limit_takes_the_next_size_or_none(location, inches, size):
    rows = us_rows(Location(location), RULES)
    over = Length.inches(inches).nm + 1
    expected = size + 1 if size < 6 else None
    assert size_by_table(over, rows) == expected


@pytest.mark.parametrize(("location", "inches", "size"), CASES)
def test_a_light_leaf_on_regular_arm_takes_the_size_of_its_width(location, inches, size):
    facts = Facts(
        opening(f"{inches} in x 84 in", location=Location(location), weight="40 lb"), RULES
    )
    assert size_opening(facts, Mount.REGULAR, RULES).required == size


def test_a_leaf_beyond_the_chart_is_refused_not_guessed():
    facts = Facts(opening("61 in x 84 in", location=Location.INTERIOR, weight="40 lb"), RULES)
    sizing = size_opening(facts, Mount.REGULAR, RULES)
    assert sizing.required is None
    assert "size-out-of-range" in {finding.code for finding in sizing.findings}
