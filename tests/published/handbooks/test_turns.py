"""Turns and days of stock against a worked exercise of a handbook.

Principles of Accounting, volume 1 (OpenStax), chapter 10, exercise 16 of set B, as answered (read):
cost of goods sold 156,000, stock at the beginning 14,500 and at the end 17,500: average 16,000,
9.75 turns; days of an average stock 37.44. Days of the stock at the end, as section 10.5 has them:
17,500 · 365 / 156,000 = 40.95.
"""

from datetime import date, timedelta

import pytest

from wholekit.domain.stock import ShelfMoves

DAY = date(2026, 12, 31)


def lying(before, on_hand):
    """A thing that costs one: a pack for each unit of money."""
    came = DAY - timedelta(days=3_650)
    return ShelfMoves(("a", "X"), "", "main", on_hand, 0, before, 156_000, came, DAY)


def test_a_handbooks_exercise_comes_out():
    assert lying(14_500, 17_500).turns == 9.75
    assert float(lying(14_500, 17_500).cover(DAY, 365)) == pytest.approx(40.95, abs=0.005)
    assert float(lying(16_000, 16_000).cover(DAY, 365)) == pytest.approx(37.44, abs=0.005)
