"""No house file sets nonsense: each rule has a domain, and what is about fire and latching holds.

The wind's velocity pressure is that of ASCE 7 (0.00256 V² psf), the limits those of the rule book's
own sources; that a house may be stricter and never looser is this program's rule.
"""

import json
import math
from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.house.test_house_rules import SOURCE, house
from tests.rules.mutants import mutated
from tests.support.house import RULES, SAMPLES, opening, sample

from wholekit.domain.errors import InputError
from wholekit.domain.kits import Shelf, build_kit
from wholekit.domain.openings import Location, Swing
from wholekit.domain.quantities import parse_pressure, parse_speed
from wholekit.intake.rule_domains import DOMAINS
from wholekit.intake.rule_shapes import DOWN, UP, All, Columns, Entries, Listed, Number, Rows
from wholekit.intake.rule_values import may_be_set_to
from wholekit.intake.rulebook import load_rulebook
from wholekit.wording.problems import say_problem

HAVE_VALUES = [name for name, rule in RULES.rules.items() if rule.value is not True]
NONSENSE: tuple[object, ...] = (
    float("nan"),
    float("inf"),
    -float("inf"),
    10**30,
    -(10**30),
    {},
    [],
    [[]],
    None,
)


def faults(rule, value):
    return list(DOMAINS[rule].faults(value, RULES[rule].value, RULES))


def inline(entries):
    """Named values as TOML writes them in a line."""
    parts = [
        f"{name} = {entry if isinstance(entry, int | float) else json.dumps(entry)}"
        for name, entry in entries.items()
    ]
    return "{" + ", ".join(parts) + "}"


def changed(rule, **values):
    """A rule's named values, some of them changed, as TOML."""
    return inline({**RULES.mapping(rule), **values})


def refused(tmp_path, rule, value, **told):
    with pytest.raises(InputError) as caught:
        load_rulebook(house(tmp_path, rule, value, **told))
    return "\n".join(say_problem(problem) for problem in caught.value.problems)


def test_every_rule_that_has_a_value_has_a_domain_and_no_domain_is_of_no_rule():
    assert set(HAVE_VALUES) == set(DOMAINS)


@pytest.mark.parametrize("rule", HAVE_VALUES)
def test_what_is_published_is_in_its_own_domain(rule):
    assert faults(rule, RULES[rule].value) == []


# Where in a value something stands, and the value with that part changed.
def leaves(value, path=()):
    if isinstance(value, Mapping) or (isinstance(value, list) and value):
        places = dict(value.items() if isinstance(value, Mapping) else enumerate(value))
        if isinstance(value, list):
            # Rows of a table are of one kind: the first two, one in the middle and the last.
            kept = {0, 1, len(value) // 2, len(value) - 1}
            places = {at: part for at, part in places.items() if at in kept}
        for name, part in places.items():
            yield from leaves(part, (*path, name))
    else:
        yield path


def put(value, path, new):
    if not path:
        return new
    copy = dict(value) if isinstance(value, Mapping) else list(value)
    copy[path[0]] = put(value[path[0]], path[1:], new)
    return copy


def at(value, path):
    for name in path:
        value = value[name]
    return value


@pytest.mark.parametrize("rule", HAVE_VALUES)
def test_nonsense_in_any_place_of_any_rule_is_told(rule):
    published = RULES[rule].value
    for path in leaves(published):
        for nonsense in NONSENSE:
            if nonsense == at(published, path):
                continue
            told = faults(rule, put(published, path, nonsense))
            assert told, (path, nonsense)
            assert all(one.right and one.shown.isprintable() for one in told)


@pytest.mark.parametrize("rule", HAVE_VALUES)
def test_a_name_more_or_fewer_and_a_table_without_end_are_told(rule):
    published = RULES[rule].value
    if isinstance(published, Mapping):
        for name in published:
            fewer = {key: one for key, one in published.items() if key != name}
            # A limit that is said to end may be said to hold on.
            assert faults(rule, fewer) or name == "until"
        assert faults(rule, {**published, "no-such-name": 1})
    if isinstance(published, list):
        assert faults(rule, [])
        assert faults(rule, [published[0]] * 2)
        assert faults(rule, [published[0]] * 1000)


def one_way(shape, value, path=()):
    """Every number of a value that may move one way only, with its place and shape."""
    match shape:
        case Number(stricter=str()):
            yield path, shape
        case Entries():
            for name, part in value.items():
                yield from one_way(shape.each, part, (*path, name))
        case Columns():
            for name, part in value.items():
                yield from one_way(shape.shapes[name], part, (*path, name))
        case Rows():
            for place, part in enumerate(value):
                yield from one_way(shape.row, part, (*path, place))
        case Listed():
            for place, part in enumerate(value):
                yield from one_way(shape.each, part, (*path, place))
        case All():
            for part in shape.shapes:
                yield from one_way(part, value, path)


ONE_WAY = [
    (rule, path, shape)
    for rule in HAVE_VALUES
    for path, shape in one_way(DOMAINS[rule], RULES[rule].value)
]


@given(st.sampled_from(ONE_WAY), st.fractions(Fraction(1, 1000), 1))
def test_a_looser_number_is_refused_and_a_stricter_one_in_range_stands(told, by):
    rule, path, shape = told
    published = at(RULES[rule].value, path)
    looser = shape.least if shape.stricter == UP else shape.most
    strictest = shape.most if shape.stricter == UP else shape.least
    moved = [published + float(by) * (end - published) for end in (looser, strictest)]
    loose, strict = [round(one) if shape.whole else one for one in moved]
    if loose != published:
        assert faults(rule, put(RULES[rule].value, path, loose)), (rule, path, loose)
    # A table's columns rise together: one row's figure alone may not pass the row before.
    if not isinstance(RULES[rule].value, list) and rule != "labels-usual":
        assert faults(rule, put(RULES[rule].value, path, strict)) == [], (rule, path, strict)


def test_the_numbers_that_decide_fire_and_latching_move_one_way():
    """Which way is stricter, thought through rule by rule and written down once more."""
    ways = {rule: shape.stricter for rule, _, shape in ONE_WAY}
    for rule in ("fire-size-least", "fire-moment-least", "fire-size-advised-least", "wind-pressure",
                 "wind-pressure-si", "force-k", "parallel-adds", "default-handle"):  # fmt: skip
        assert ways[rule] == UP, rule
    for rule in ("mount-share", "efficiency-best", "labels-usual", "fire-release-delay",
                 "tall-leaf", "limit-ada-interior", "limit-uk-to-30",
                 "en1154-table-1"):  # fmt: skip
        assert ways[rule] == DOWN, rule
    limits = [name for name in HAVE_VALUES if name.startswith("limit-")]
    assert all(ways[name] == DOWN for name in limits if name != "limit-en-opening")


FIRE_IN_WIND = {
    "location": Location.EXTERIOR,
    "swing": Swing.OUT,
    "fire_minutes": 90,
    "wind": parse_speed("60 mph"),
}


def stops(rules, **conditions):
    kit = build_kit(opening("3070", **conditions), Shelf([sample(each) for each in SAMPLES]), rules)
    return {finding.code for finding in kit.findings if finding.severity.value == "stop"}


@pytest.mark.parametrize("factor", [-0.00256, float("nan"), 0.0])
def test_a_wind_factor_that_would_silence_a_fire_stop_is_refused(tmp_path, factor):
    assert "latch-power-short" in stops(RULES, **FIRE_IN_WIND)
    silent = mutated(mutated(RULES, "wind-pressure", factor), "wind-pressure-si", factor)
    assert "latch-power-short" not in stops(silent, **FIRE_IN_WIND), "the domain is what guards it"
    for rule in ("wind-pressure", "wind-pressure-si"):
        said = refused(tmp_path, rule, str(factor))
        if math.isnan(factor):
            # What is no number at all is refused where it stands in the file, before any rule.
            assert "value: nan is no number" in said
        else:
            assert rule in said
            published = RULES.number(rule)
            assert f"no less than the published {published}" in said
            assert f"{factor}" in said


STRICTER = [
    ("wind-pressure", "0.004"),
    ("mount-share", "{regular = 0.9, parallel = 0.6, top-jamb = 0.8}"),
    ("fire-size-least", "5"),
    ("fire-moment-least", "26.0"),
    ("efficiency-best", "60"),
    ("force-k", "{us = 6.0, si = 1.2}"),
    ("limit-ibc-motion", changed("limit-ibc-motion", limit=20.0)),
    ("us-width-exterior", "[{to = 30, size = 4}, {to = 36, size = 5}, {to = 42, size = 6}]"),
]
DOORS = [
    FIRE_IN_WIND,
    {**FIRE_IN_WIND, "wind": parse_speed("40 mph"), "jurisdiction": "uk"},
    {"fire_minutes": 90, "pressure": parse_pressure("120 Pa")},
    {"fire_minutes": 30, "accessible": True, "pressure": parse_pressure("60 Pa")},
    {"fire_minutes": 60, "jurisdiction": "en", "pressure": parse_pressure("80 Pa")},
]
ABOUT_FIRE = {"latch-power-short", "limit-excludes-latching", "size-too-small", "size-out-of-range"}


@pytest.mark.parametrize(("rule", "value"), STRICTER)
def test_a_stricter_house_value_stands_and_silences_no_stop_of_a_fire_door(tmp_path, rule, value):
    rules = load_rulebook(house(tmp_path, rule, value, since=RULES[rule].valid_from))
    assert rules[rule].replaces is not None
    for door in DOORS:
        before, after = stops(RULES, **door), stops(rules, **door)
        assert not before & ABOUT_FIRE or after & ABOUT_FIRE, door


@pytest.mark.parametrize(
    ("rule", "value", "says"),
    [
        ("fire-size-least", "2", "no less than the published 3"),
        ("fire-size-least", "8", "from 3 to 7"),
        ("fire-moment-least", "9.0", "no less than the published 18.0"),
        ("parallel-adds", "0", "no less than the published 1"),
        ("mount-share", "{regular = 1.0, parallel = 0.9, top-jamb = 0.95}", "parallel = 0.9"),
        ("efficiency-best", "95", "no more than the published 80"),
        ("tall-leaf", "9000", "no more than the published 2500"),
        ("default-fire-minutes", "-90", "0, 15, 20"),
        ("default-fire-minutes", "25", "0, 15, 20"),
        ("default-opening-degrees", "400", "from 1 to 180"),
        ("default-reveal", '"9 ft"', "a length from 0 mm"),
        ("default-finish", '"123"', "a code of the finishes"),
        ("default-jurisdiction", '"atlantis"', "a profile"),
        ("labels-usual", changed("labels-usual", **{"wood-particle": 90}), "wood-particle = 90"),
        ("force-profile-names", changed("force-profile-names", california="us"), "california = us"),
        ("limit-or-exterior", changed("limit-or-exterior", limit=12.0), "no more than the"),
        ("limit-ca-fire", changed("limit-ca-fire", fire_doors="no"), "a house does not set it"),
        ("limit-ada-interior", changed("limit-ada-interior", unit="N"), "lbf as published"),
        ("us-width-exterior", "[{to = 30, size = 2}, {to = 36, size = 4}]", "size 3 or larger"),
        ("us-width-interior", "[{to = 34, size = 2}, {to = 96, size = 6}]", "as published"),
        ("us-width-interior", "[{to = 34, size = 3}, {to = 38, size = 9}]", "from 1 to 7"),
        ("leaf-weights", changed("leaf-weights", **{"hollow-metal": -5.5}), "hollow-metal = -5.5"),
        ("stop-height", "nan", ""),
        ("stop-height", "inf", ""),
        ("stop-height", "-inf", ""),
        ("parallel-adds", "99999999999999999999999999", ""),
        ("linkage-spring-set", "600", "a house does not set it"),
        ("en-basis-jurisdictions", '["us"]', "uk kept, as published"),
        ("push-side-mounts", '["parallel", "parallel"]', "each value once"),
    ],
)  # fmt: skip
def test_a_violation_is_told_with_rule_given_and_right(tmp_path, rule, value, says):
    said = refused(tmp_path, rule, value)
    assert rule in said or "toml" in said.lower()
    assert "house.toml" in said
    assert says in said


def test_a_profile_keeps_its_limits(tmp_path):
    profiles: Any = RULES.mapping("force-profiles")
    without = {
        **profiles,
        "us-or": [one for one in profiles["us-or"] if one != "limit-or-exterior"],
    }
    told = faults("force-profiles", without)
    assert [one.path for one in told] == ["us-or"]
    assert "limit-or-exterior kept" in told[0].right
    more = {**profiles, "us": [*profiles["us"], "limit-or-exterior"]}
    assert faults("force-profiles", more) == []


def test_a_limit_does_not_start_later_than_it_is_published(tmp_path):
    rule, value = "limit-ada-interior", changed("limit-ada-interior", limit=4.0)
    since = RULES[rule].valid_from
    assert load_rulebook(house(tmp_path, rule, value, since=since)).mapping(rule)["limit"] == 4.0
    assert f"no day after {since}" in refused(tmp_path, rule, value, since="2099-01-01")


def test_a_unit_is_the_published_one_or_left_out(tmp_path):
    said = refused(tmp_path, "fire-moment-least", "20.0", unit="lbf·ft")
    assert "right would be: N·m" in said
    for unit in ("N·m", ""):
        rules = load_rulebook(house(tmp_path, "fire-moment-least", "20.0", unit=unit))
        assert rules["fire-moment-least"].unit == "N·m"


@pytest.mark.parametrize("rule", sorted(RULES.rules))
def test_what_a_house_may_set_is_said_in_words(rule):
    said = may_be_set_to(RULES[rule], RULES)
    assert said.isprintable()
    assert ("nothing" in said) == (RULES[rule].value is True)


def test_what_a_house_may_set_says_the_safe_way():
    assert "no less than the published 3" in may_be_set_to(RULES["fire-size-least"], RULES)
    limit = may_be_set_to(RULES["limit-or-exterior"], RULES)
    assert limit == "limit: a number from 1 to 8.5 (no more than the published 8.5)"


def test_a_moment_is_no_day(tmp_path):
    with pytest.raises(InputError) as caught:
        load_rulebook(house(tmp_path, "parallel-adds", "2", since="2026-01-01T08:00:00"))
    assert "rule-key-wrong-kind" in {problem.code for problem in caught.value.problems}


def test_what_a_house_table_drops_is_told_where_it_is_still_named(tmp_path):
    rows = [row for row in RULES.rows("finish-codes-painted") if row["code"] != "689"]
    text = ", ".join(inline(row) for row in rows)
    said = refused(tmp_path, "finish-codes-painted", f"[{text}]")
    assert "default-finish" in said
    assert "finish-names" in said


def test_every_fault_of_a_house_file_is_told_at_once(tmp_path):
    path = tmp_path / "house.toml"
    entry = '[[rule]]\nid = "{}"\ntitle = "t"\nunit = ""\nvalid_from = {}\nvalue = {}\n{}\n'
    path.write_text(
        "".join(
            entry.format(rule, date(2026, 1, 1), value, SOURCE)
            for rule, value in (("fire-size-least", 1), ("tall-leaf", -1), ("stop-height", 900.0))
        ),
        encoding="utf-8",
    )
    with pytest.raises(InputError) as caught:
        load_rulebook(path)
    told = sorted(problem.column for problem in caught.value.problems)
    assert told == ["fire-size-least", "stop-height", "tall-leaf"]
