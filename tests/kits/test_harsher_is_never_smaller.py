"""More of anything that a closer works against never gives a smaller size required."""

import random
from dataclasses import replace

import pytest
from tests.support.house import RULES, kit_of, shelf
from tests.support.openings import random_opening

from wholekit.domain.kits import build_kit
from wholekit.domain.openings import Location, Mount, OpeningType
from wholekit.domain.quantities import Length, Mass, parse_force, parse_pressure, parse_speed

ROUNDS = 1_200
HARSHER = ("width", "height", "weight", "pressure", "wind", "seals", "latch", "fire_minutes")


def _harsher(one: OpeningType, field: str, draw: random.Random) -> OpeningType:
    if field in ("width", "height"):
        before: Length = getattr(one, field)
        more = Length(before.nm + draw.randint(1, 500) * 1_000_000, before.unit)
        return replace(one, **{field: more})
    if field == "weight":
        # An unknown weight is no lighter one: there is nothing to be harsher than.
        weight = one.weight or Mass.lb(draw.randint(40, 200))
        heavier = Mass(weight.ug + draw.randint(1, 60) * 1_000_000_000, weight.unit)
        return replace(one, weight=heavier)
    if field == "fire_minutes":
        return replace(one, fire_minutes=180 if one.fire_minutes else draw.choice((20, 45, 90)))
    stated = getattr(one, field)
    base = 0.0 if stated is None else stated.si
    if field == "pressure":
        return replace(one, pressure=parse_pressure(f"{base + draw.randint(1, 80):.3f} Pa"))
    if field == "wind":
        return replace(one, wind=parse_speed(f"{base + draw.randint(1, 12):.3f} m/s"))
    return replace(one, **{field: parse_force(f"{base + draw.randint(1, 80):.3f} N")})


def _rank(size: int | None) -> int:
    """No size at all is more than any."""
    return 99 if size is None else size


@pytest.mark.parametrize("field", HARSHER)
def test_a_harsher_opening_never_requires_a_smaller_size(field):
    draw = random.Random(f"harsher {field}")
    for _ in range(ROUNDS // len(HARSHER)):
        one = random_opening(draw)
        if field == "weight" and one.weight is None:
            one = replace(one, weight=Mass.lb(draw.randint(40, 200)))
        harsher = _harsher(one, field, draw)
        before = build_kit(one, shelf(), RULES).size_required
        after = build_kit(harsher, shelf(), RULES).size_required
        assert _rank(after) >= _rank(before), (field, one, harsher)


def test_a_taller_leaf_in_the_same_draught_requires_no_less():
    """28 × 82 in at 50 Pa needs 26.3 N·m, over size 4's 26 (EN 1154 Table 1, read); 94 in 30.2."""
    sizes = [
        kit_of(
            f"28 in x {height} in",
            location=Location.INTERIOR,
            mount=Mount.REGULAR,
            pressure=parse_pressure("50 Pa"),
        ).size_required
        for height in (82, 94, 106)
    ]
    assert sizes == sorted(sizes, key=_rank)


def test_the_size_required_does_not_depend_on_what_the_shelf_holds():
    for seed in range(60):
        one = random_opening(random.Random(seed))
        if one.mount is None:
            one = replace(one, mount=Mount.PARALLEL)
        sizes = {
            build_kit(one, shelf(name), RULES).size_required for name in ("quillmere", "tarrowby")
        }
        assert len(sizes) == 1, one
