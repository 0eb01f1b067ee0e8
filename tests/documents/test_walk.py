"""The pick room's walk: stretches in the house's order, some of them from the far end."""

from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.walk import Stretch, Walk, walk_order

ZONES = ("A", "A-1", "A-01-2", "B", "B-2", "DOCK", "é")
BINS = st.lists(
    st.one_of(
        st.from_regex(r"[ABC]-[0-9]{1,2}(-[0-9]{1,2}[ab]?)?", fullmatch=True),
        st.sampled_from(["", "DOCK", "dock-2", "é-1", "12"]),
    ),
    max_size=12,
)
STRETCHES = st.lists(
    st.builds(Stretch, st.sampled_from(ZONES), st.booleans()),
    unique_by=lambda stretch: walk_order(stretch.zone),
).map(tuple)


def at(walk, place):
    return walk.place_of(place)[0]


@given(BINS, STRETCHES)
def test_no_bin_is_lost_and_stretches_come_as_they_are_named(bins, stretches):
    walk = Walk(stretches)
    done = walk.sorted(bins)
    assert sorted(done) == sorted(bins)
    places = [at(walk, place) for place in done]
    assert places == sorted(places)
    assert all(not done[number + 1] for number, place in enumerate(done[:-1]) if not place)


@given(BINS, STRETCHES)
def test_a_stretch_walked_back_is_the_same_bins_from_the_far_end(bins, stretches):
    there = Walk(tuple(Stretch(stretch.zone) for stretch in stretches))
    back = Walk(tuple(Stretch(stretch.zone, back=True) for stretch in stretches))
    for number in range(len(stretches)):
        forth = [there.place_of(place)[1] for place in bins if at(there, place) == number]
        turned = [back.place_of(place)[1] for place in bins if at(back, place) == number]
        order = sorted(range(len(forth)), key=forth.__getitem__)
        assert [forth[one] for one in sorted(range(len(forth)), key=turned.__getitem__)] == [
            forth[one] for one in reversed(order)
        ]


def test_the_longest_beginning_decides_and_a_number_is_whole():
    walk = Walk((Stretch("A-1"), Stretch("B"), Stretch("A")))
    assert [at(walk, place) for place in ("A-1-7", "a 01 7", "A-12", "B-1", "C", "")] == [
        0, 0, 2, 1, 3, 4,
    ]  # fmt: skip


def test_without_stretches_the_walk_is_by_zone_and_number():
    assert Walk().sorted(["A-10-1", "B-1", "", "a-2-3", "A-2-10"]) == [
        "a-2-3", "A-2-10", "A-10-1", "B-1", "",
    ]  # fmt: skip
