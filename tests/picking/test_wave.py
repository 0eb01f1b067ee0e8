"""A wave: every pack once, every bag with one picker, bins in walking order."""

from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.picking.bags import demand, opened, stamp, ware

from wholekit.domain.picking import Bag, InBin, PacksScanned, divide_wave, plan_wave
from wholekit.domain.walk import Stretch, Walk

WARES = [ware(f"W{at}", "", **{f"p{at}": 1}) for at in range(4)]
WALK = Walk((Stretch("B"), Stretch("A", back=True)))
BINS = st.lists(
    st.builds(
        InBin,
        st.sampled_from([one.key for one in WARES]),
        st.sampled_from(["A-1", "A-2", "B-1", "B-7", "C-3", ""]),
        st.integers(0, 5),
    ),
    max_size=12,
)
LINES = st.lists(st.integers(0, 3), min_size=4, max_size=4).filter(any)


def bag(place: int, counts, *, held: bool = False) -> Bag:
    lines = [(one, many) for one, many in zip(WARES, counts, strict=True) if many]
    return Bag(demand(lines, {}, place, held=held))


BAGS = st.lists(LINES, max_size=6).map(
    lambda many: [bag(at, counts) for at, counts in enumerate(many, start=1)]
)


@given(BAGS, BINS, st.integers(1, 4))
@settings(max_examples=150)
def test_no_pack_is_taken_twice_and_none_is_forgotten(bags, bins, pickers):
    waves = divide_wave(bags, bins, pickers, WALK)
    assert len(waves) == pickers
    assert Counter(one for wave in waves for one in wave.bags) == Counter(one.id for one in bags)
    there: Counter[object] = Counter()
    for one in bins:
        there[one.item, one.bin] += one.packs
    taken: Counter[object] = Counter()
    given_to: Counter[object] = Counter()
    for wave in waves:
        for stop in wave.stops:
            taken[stop.item, stop.bin] += stop.packs
            for take in stop.takes:
                assert take.packs > 0
                assert wave.bags[take.position - 1] == take.bag
                given_to[take.bag, stop.item] += take.packs
        for short in wave.short:
            assert short.bag in wave.bags
            given_to[short.bag, short.item] += short.packs
    assert not taken - there
    assert given_to == Counter(
        {(one.id, line.item): line.packs for one in bags for line in one.remaining}
    )
    # Short only where nothing is left of the item.
    for item in {short.item for wave in waves for short in wave.short}:
        held = sum(one.packs for one in bins if one.item == item)
        used = [stop.packs for wave in waves for stop in wave.stops if stop.item == item]
        assert held == sum(used)


@given(BAGS, BINS, st.integers(1, 4))
@settings(max_examples=80)
def test_stops_come_in_walking_order_each_bin_and_item_once(bags, bins, pickers):
    for wave in divide_wave(bags, bins, pickers, WALK):
        names = [stop.bin for stop in wave.stops]
        assert names == WALK.sorted(names)
        keys = [(stop.bin, stop.item) for stop in wave.stops]
        assert len(keys) == len(set(keys))
        for stop in wave.stops:
            positions = [take.position for take in stop.takes]
            assert positions == sorted(set(positions))


@given(BAGS, BINS, st.integers(2, 4))
@settings(max_examples=60)
def test_what_a_bag_gets_does_not_depend_on_the_number_of_pickers(bags, bins, pickers):
    def got(waves):
        return Counter(
            {
                (take.bag, stop.item, stop.bin): take.packs
                for wave in waves
                for stop in wave.stops
                for take in stop.takes
            }
        )

    alone = divide_wave(bags, bins, 1, WALK)
    assert got(divide_wave(bags, bins, pickers, WALK)) == got(alone)
    assert (plan_wave(bags, bins, WALK),) == alone


def test_a_bin_that_holds_all_is_walked_to_alone_else_bins_are_split_along_the_walk():
    two = [bag(1, [2, 0, 0, 0]), bag(2, [2, 0, 0, 0])]
    key = WARES[0].key
    (stop,) = plan_wave(two, [InBin(key, "A-1", 3), InBin(key, "A-2", 4)]).stops
    assert (stop.bin, [take.packs for take in stop.takes]) == ("A-2", [2, 2])
    stops = plan_wave(two, [InBin(key, "A-2", 2), InBin(key, "A-1", 1)]).stops
    assert [(stop.bin, [(one.position, one.packs) for one in stop.takes]) for stop in stops] == [
        ("A-1", [(1, 1)]), ("A-2", [(1, 1), (2, 1)]),
    ]  # fmt: skip
    (short,) = plan_wave(two, [InBin(key, "A-2", 2), InBin(key, "A-1", 1)]).short
    assert (short.bag, short.packs) == (two[1].id, 1)


def test_bags_near_each_other_go_to_one_picker_and_the_work_is_shared():
    bags = [bag(at, [0] * (at % 2) + [3] + [0] * (3 - at % 2)) for at in range(1, 9)]
    bins = [InBin(WARES[0].key, "A-1", 99), InBin(WARES[1].key, "B-1", 99)]
    first, second = divide_wave(bags, bins, 2)
    assert (first.packs, second.packs) == (12, 12)
    assert {stop.bin for stop in first.stops} == {"A-1"}
    assert {stop.bin for stop in second.stops} == {"B-1"}


def test_only_what_a_bag_still_takes_is_walked_for():
    begun = opened(bag(1, [3, 1, 0, 0]).demand)
    begun = begun.after(PacksScanned(stamp(), WARES[0].key, 2))
    full = opened(bag(2, [1, 0, 0, 0]).demand).after(PacksScanned(stamp(), WARES[0].key, 1))
    bins = [InBin(one.key, "A-1", 9) for one in WARES]
    wave = plan_wave([begun, full, bag(3, [1, 0, 0, 0], held=True), begun], bins)
    assert wave.bags == (begun.id,)
    assert [(stop.item, stop.packs) for stop in wave.stops] == [
        (WARES[0].key, 1), (WARES[1].key, 1),
    ]  # fmt: skip


def test_there_is_at_least_one_picker():
    with pytest.raises(ValueError, match="no picker"):
        divide_wave([], [], 0)
