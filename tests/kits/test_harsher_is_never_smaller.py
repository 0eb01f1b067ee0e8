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


def _harsher(opening_type: OpeningType, field: str, draw: random.Random) -> OpeningType:
    value: object
    if field in ("width", "height"):
        before: Length = getattr(opening_type, field)
        value = Length(before.nm + draw.randint(1, 500) * 1_000_000, before.unit)
    elif field == "weight":
        weight = opening_type.weight or Mass.lb(40)
        value = Mass(weight.ug + draw.randint(1, 60) * 1_000_000_000, weight.unit)
    elif field == "fire_minutes":
        value = 180 if opening_type.fire_minutes else draw.choice((20, 45, 90))
    else:
        stated = getattr(opening_type, field)
        base = 0.0 if stated is None else stated.si
        most, unit, read = _UNITS[field]
        value = read(f"{base + draw.randint(1, most):.3f} {unit}")
    return replace(opening_type, **{field: value})  # type: ignore[arg-type]  # of the field's own kind


_UNITS = {
    "pressure": (80, "Pa", parse_pressure),
    "wind": (12, "m/s", parse_speed),
    "seals": (80, "N", parse_force),
    "latch": (80, "N", parse_force),
}


def _rank(size: int | None) -> int:
    """No size at all is more than any."""
    return 99 if size is None else size


@pytest.mark.parametrize("field", HARSHER)
def test_a_harsher_opening_never_requires_a_smaller_size(field):
    draw = random.Random(f"harsher {field}")
    for _ in range(ROUNDS // len(HARSHER)):
        opening_type = random_opening(draw)
        if field == "weight" and opening_type.weight is None:
            opening_type = replace(opening_type, weight=Mass.lb(draw.randint(40, 200)))
        harsher = _harsher(opening_type, field, draw)
        before = build_kit(opening_type, shelf(), RULES).size_required
        after = build_kit(harsher, shelf(), RULES).size_required
        assert _rank(after) >= _rank(before), (field, opening_type, harsher)


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
        opening_type = random_opening(random.Random(seed))
        if opening_type.mount is None:
            opening_type = replace(opening_type, mount=Mount.PARALLEL)
        sizes = {
            build_kit(opening_type, shelf(name), RULES).size_required
            for name in ("quillmere", "tarrowby")
        }
        assert len(sizes) == 1, opening_type
