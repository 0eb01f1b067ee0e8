"""What a bag leaves over, as loose stock: never more than was left, and never what it needs."""

# mypy: disable-error-code="union-attr"

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st
from tests.picking.bags import demand, opened, stamp, ware

from wholekit.domain.picking import (
    ItemSubstituted,
    LeftPiece,
    NeededPiece,
    PacksScanned,
    ScanRefused,
    Ware,
    may_go_back,
    packed,
    put_loose,
)

# Screws are hidden and of no finish; covers are seen.
LOOSE = [
    ware("SCREW", screw=1), ware("SET", screw=4, nut=2), ware("NUT", nut=1),
    ware("COVER-A", "689", cover=1), ware("COVER-B", "690", cover=1), ware("EMPTY"),
]  # fmt: skip


@st.composite
def bags(draw):
    """A bag in which all is: boxes of two finishes, some of which may be broken."""
    lines: list[tuple[Ware, int]] = []
    held: Counter[tuple[str, str]] = Counter()
    loose: Counter[tuple[str, str]] = Counter()
    for number in range(draw(st.integers(1, 4))):
        finish = draw(st.sampled_from(["", "689", "690"]))
        names = ("cover",) if finish else ("screw", "nut")
        holds = {name: draw(st.integers(1, 9)) for name in names}
        box = ware(f"BOX-{number}", finish, breakable=draw(st.booleans()), **holds)
        packs = draw(st.integers(1, 3))
        lines.append((box, packs))
        for name, count in holds.items():
            held[name, finish] += count * packs
            loose[name, finish] += count * packs * box.breakable
    needed = {key: draw(st.integers(0, count)) for key, count in held.items()}
    bag = opened(demand(lines, {key: count for key, count in needed.items() if count}))
    for box, packs in lines:
        bag = bag.after(PacksScanned(stamp(), box.key, packs))
    assert bag.whole
    return bag, held - Counter(needed), loose


@given(bags(), st.lists(st.sampled_from(LOOSE[:-1]), max_size=25))
def test_never_more_goes_back_than_was_left_and_never_out_of_packs_that_stay_whole(
    given_bag, wanted
):
    bag, over, loose = given_bag
    left = packed(bag).left
    assert {(one.piece[1], one.finish): one.count for one in left} == dict(over)
    there = Counter({key: min(count, loose[key]) for key, count in over.items()})
    told: list[tuple[Ware, int]] = []
    for one in wanted:
        takes = Counter({(part.piece[1], one.finish): part.count for part in one.holds})
        done = put_loose(left, [*told, (one, 1)])
        fits = all(there[key] >= count for key, count in takes.items())
        assert isinstance(done, ScanRefused) != fits
        if not isinstance(done, ScanRefused):
            told.append((one, 1))
            there.subtract(takes)
            assert sum(each.packs for each in done) == len(told)
    if told:
        assert put_loose(left, [*told, (LOOSE[0], 0)]).code in ("loose-not-left", "loose-too-many")
    assert put_loose(left, [(LOOSE[-1], 1)]).code == "loose-not-left"


@given(bags())
def test_what_may_go_back_does_and_one_more_does_not(given_bag):
    left = packed(given_bag[0]).left
    of = {one.key: one for one in LOOSE}
    offered = {each.item: each.packs for each in may_go_back(left, LOOSE)}
    for one in LOOSE:
        most = offered.get(one.key, 0)
        assert isinstance(put_loose(left, [(one, most + 1)]), ScanRefused)
        if most:
            assert put_loose(left, [(of[one.key], most)])


def test_of_an_item_in_anothers_place_that_is_demanded_itself_nothing_is_left_over():
    asked, other = ware("ASKED", screw=4), ware("OTHER", bolt=4, breakable=True)
    bag = opened(demand([(asked, 1)], {("screw", ""): 4}))
    settled = (NeededPiece(("acme", "screw"), "", "screw", 4),)
    bag = bag.after(ItemSubstituted(stamp(), asked.key, 1, other, 1, "none left", settled))
    bag = bag.after(PacksScanned(stamp(), other.key, 1))
    assert bag.whole
    assert packed(bag).left == ()


def test_a_seen_piece_goes_back_in_its_own_finish_alone():
    left = [LeftPiece(("acme", "cover"), "cover", 2, 2, "689")]
    assert [each.item[1] for each in may_go_back(left, LOOSE)] == ["COVER-A"]
