"""What goes wrong in a pick room: one code of two suppliers, a retry in another bag, box sets."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wholekit.domain.openings.words import HingeSide
from wholekit.domain.picking import (
    Bag,
    BagClosed,
    BagDemand,
    BagLine,
    BagOpened,
    BagScan,
    CodeBook,
    CodeScan,
    EventStamp,
    EventUndone,
    InBin,
    ItemSubstituted,
    NeededPiece,
    PieceCount,
    ScanCounted,
    ScanRefused,
    Ware,
    close,
    judge,
    plan_wave,
    read_scan,
    substitute,
    undo,
)
from wholekit.domain.picking.bag import BagStatus
from wholekit.domain.quotes.bag_id import CHARACTERS, BagId

WHEN = datetime(2026, 11, 26, 9, 0, tzinfo=UTC)


def stamp(name: str) -> EventStamp:
    return EventStamp(name, "jory", WHEN)


def part(name: str, count: int = 1, hand: HingeSide | None = None) -> PieceCount:
    return PieceCount(("mill", name), count, name.split("-")[0], "vale", hand)


def ware(sku: str, *holds: PieceCount, supplier: str = "mill", by: tuple[str, ...] = ()) -> Ware:
    substitutes = tuple((supplier, one) for one in by)
    return Ware((supplier, sku), f"{sku} title", holds=holds, substitutes=substitutes)


def bag(*lines: tuple[Ware, int], place: int = 1, is_open: bool = True, **needed: int) -> Bag:
    """A bag of lines; needed: pieces with their counts, else what the lines hold."""
    found: dict[str, int] = dict(needed)
    if not needed:
        for one, packs in lines:
            for held in one.holds:
                found[held.piece[1]] = found.get(held.piece[1], 0) + packs * held.count
    needs = tuple(NeededPiece(("mill", name), "", name, count) for name, count in found.items())
    made = Bag(
        BagDemand(
            BagId(3, 1, place, 1), f"M{place}", tuple(BagLine(one, n) for one, n in lines), needs
        )
    )
    return made.after(BagOpened(stamp(f"opened-{place}"))) if is_open else made


BODY, ARM = ware("BODY", part("body"), by=("TWIN",)), ware("ARM", part("arm"))
BOXED = ware("BOXED", part("body"), part("arm"))
TWIN = ware("TWIN", part("twin"))
BOOK = CodeBook([BODY, ARM, BOXED, TWIN])


def scanned(into: Bag, code: str, name: str, packs: int = 1) -> Bag:
    answer = judge(into, CodeScan(code, packs), stamp(name), BOOK)
    assert isinstance(answer, ScanCounted), answer
    return into.after(answer.event)


@pytest.mark.parametrize("by", [TWIN, BOXED])
def test_a_substitute_may_be_taken_before_the_bag_is_opened(by):
    new = bag((BODY, 2), (ARM, 2), is_open=False)
    made = substitute(new, BODY.key, by, "short on Friday", stamp("s"))
    assert isinstance(made, ItemSubstituted)
    after = new.after(made)
    assert after.status is BagStatus.NEW
    assert [line.item for line in after.plan if line.item == by.key] == [by.key]
    still_new = judge(after, CodeScan(by.sku), stamp("t"), BOOK)
    assert isinstance(still_new, ScanRefused)
    assert still_new.code == "bag-new"
    whole = after.after(BagOpened(stamp("o")))
    for at, line in enumerate(whole.remaining):
        whole = scanned(whole, line.ware.sku, f"x{at}", line.packs)
    assert isinstance(close(whole, stamp("c")), BagClosed)


def test_one_made_before_the_bag_was_opened_is_undone_once_it_is_open():
    new = bag((BODY, 1), is_open=False)
    made = substitute(new, BODY.key, TWIN, "short", stamp("s"))
    assert isinstance(made, ItemSubstituted)
    opened = new.after(made).after(BagOpened(stamp("o")))
    undone = undo(opened, "s", stamp("u"))
    assert isinstance(undone, EventUndone)
    assert opened.after(undone).plan == new.plan


def test_none_is_taken_for_a_bag_that_is_held_or_closed():
    held = Bag(BagDemand(BagId(3, 1, 1, 1), "M1", (BagLine(BODY, 1),), (), held=True))
    closed = scanned(bag((BODY, 1)), "BODY", "a").after(BagClosed(stamp("c")))
    for shut, code in ((held, "bag-held"), (closed, "bag-closed-already")):
        answer = substitute(shut, BODY.key, TWIN, "short", stamp("s"))
        assert isinstance(answer, ScanRefused)
        assert answer.code == code


def test_a_surplus_pack_is_not_exchanged_for_just_anything():
    surplus = bag((BODY, 2), body=1)
    one_in = scanned(surplus, "BODY", "a")
    answer = substitute(one_in, BODY.key, ARM, "short", stamp("s"))
    assert isinstance(answer, ScanRefused)
    assert (answer.code, answer.fields["role"]) == ("substitute-lacks", "body")
    for fit in (BOXED, TWIN):
        assert isinstance(substitute(one_in, BODY.key, fit, "short", stamp("s")), ItemSubstituted)


def test_a_boxed_set_covers_all_it_holds_and_one_missing_part_is_told():
    boxed = bag((BOXED, 2), body=2, arm=2)
    first = scanned(boxed, "BOXED", "a")
    assert {need.piece[1]: need.count for need in first.lacking} == {"body": 1, "arm": 1}
    assert isinstance(close(first, stamp("c")), ScanRefused)
    assert isinstance(close(scanned(first, "BOXED", "b"), stamp("c")), BagClosed)


def test_a_pair_takes_an_arm_of_each_hand():
    left, right = (
        ware(f"ARM-{side.name}", part(f"arm-{side.value}", hand=side))
        for side in (HingeSide.LEFT, HingeSide.RIGHT)
    )
    pair, book = bag((left, 1), (right, 1)), CodeBook([left, right])
    first = judge(pair, CodeScan("ARM-LEFT"), stamp("a"), book)
    assert isinstance(first, ScanCounted)
    again = judge(pair.after(first.event), CodeScan("ARM-LEFT"), stamp("b"), book)
    assert isinstance(again, ScanRefused)
    assert (again.code, again.fields["wanted"]) == ("item-one-too-many", "ARM-RIGHT")
    single = judge(bag((right, 1)), CodeScan("ARM-LEFT"), stamp("b"), book)
    assert isinstance(single, ScanRefused)
    assert single.code == "item-wrong-hand"


@given(first=st.integers(1, 4), second=st.integers(1, 4), packs=st.integers(1, 5))
def test_of_a_code_that_two_suppliers_share_the_line_that_takes_so_many_is_counted(
    first, second, packs
):
    wares = [ware("B-9", part("body"), supplier=name) for name in ("mill", "forge")]
    both = bag((wares[0], first), (wares[1], second))
    answer = judge(both, CodeScan("b-9", packs), stamp("a"), CodeBook(wares))
    if packs > max(first, second):
        assert isinstance(answer, ScanRefused)
        assert answer.code == "item-too-many"
    else:
        assert isinstance(answer, ScanCounted)
        assert answer.event.item == wares[0 if packs <= first else 1].key


def test_a_scan_sent_again_after_another_bag_was_turned_to_counts_nowhere_else():
    first, second = bag((BODY, 1)), bag((BODY, 1), place=2)
    had = scanned(first, "BODY", "a")
    for wave in ([had, second], [second, had]):
        answer = judge(second, CodeScan("BODY"), stamp("a"), BOOK, wave)
        assert isinstance(answer, ScanRefused)
        assert answer.code == "scan-id-used"
        again = judge(had, CodeScan("BODY"), stamp("a"), BOOK, wave)
        assert isinstance(again, ScanCounted)
        assert again.again


def test_an_sku_that_looks_like_a_count_or_a_bag_is_read_as_one():
    star = read_scan("4*BODY")
    assert star == CodeScan("BODY", 4)
    assert read_scan("A4*BODY") == CodeScan("A4*BODY")
    assert isinstance(read_scan(str(BagId(12, 2, 7, 3)).lower()), BagScan)
    wrong = [f"Q12R2P7B3{check}" for check in CHARACTERS if check != "B"]
    assert {getattr(read_scan(text), "code", "") for text in wrong} == {"scan-bag-misread"}
    assert read_scan("Q12R2") == CodeScan("Q12R2")


def test_a_substitute_that_the_bag_takes_already_is_taken_for_both():
    both = bag((BODY, 2), (TWIN, 1))
    made = substitute(both, BODY.key, TWIN, "short", stamp("s"))
    assert isinstance(made, ItemSubstituted)
    after = both.after(made)
    assert [(line.item, line.packs) for line in after.plan] == [(TWIN.key, 3)]
    assert isinstance(close(scanned(after, "TWIN", "a", 2), stamp("c")), ScanRefused)
    assert isinstance(close(scanned(after, "TWIN", "a", 3), stamp("c")), BagClosed)


def test_a_bin_below_zero_takes_nothing_from_another_entry_of_it():
    bins = [InBin(BODY.key, "A-1", 2), InBin(BODY.key, "A-1", -5)]
    wave = plan_wave([bag((BODY, 3))], bins)
    assert (wave.packs, [one.packs for one in wave.short]) == (2, [1])
