"""A bag is the fold over its events; it closes on the demand of its opening and on nothing less."""

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.picking.bags import (
    after,
    demand,
    opened,
    sample_demand,
    sample_kits,
    scan,
    stamp,
    ware,
    wares,
)

from wholekit.domain.picking import (
    EVENT_KINDS,
    Bag,
    BagClosed,
    BagDemand,
    BagEvent,
    BagLeft,
    BagOpened,
    BagStatus,
    CodeBook,
    EventUndone,
    PacksScanned,
    ScanCounted,
    ScanRefused,
    ShortReported,
    bag_of,
    close,
    judge,
    last_to_undo,
    leave,
    not_there,
    open_bag,
    packed,
    report_short,
    undo,
)
from wholekit.domain.plain import from_plain, to_plain

CODES = CodeBook(wares().values())
KITS = st.integers(0, len(sample_kits()) - 1)


def packs_of(of: BagDemand) -> list[str]:
    return [line.ware.sku for line in of.lines for _ in range(line.packs)]


def put(bag: Bag, code: str, name: str = "", packs: int = 1) -> Bag:
    found = judge(bag, scan(code, packs), stamp(name), CODES)
    assert isinstance(found, ScanCounted), found
    return bag.after(found.event)


def refused(answer: object) -> ScanRefused:
    assert isinstance(answer, ScanRefused), answer
    return answer


def code_of(answer: object) -> str:
    return refused(answer).code


@given(KITS, st.data())
@settings(max_examples=40)
def test_its_own_kit_closes_a_bag_in_any_order_and_takes_no_piece_more(at, data):
    of = sample_demand(at)
    bag = opened(of)
    for code in data.draw(st.permutations(packs_of(of))):
        assert code_of(close(bag, stamp())) == "close-items-left"
        bag = put(bag, code)
    assert bag.whole
    for code in packs_of(of):
        assert code_of(judge(bag, scan(code), stamp(), CODES)) == "item-one-too-many"
    assert isinstance(close(bag, stamp()), BagClosed)


@given(KITS, st.data())
@settings(max_examples=40)
def test_one_piece_taken_away_again_and_it_does_not_close(at, data):
    of = sample_demand(at)
    bag = opened(of)
    for code in packs_of(of):
        bag = put(bag, code)
    one = data.draw(st.sampled_from(bag.scans))
    gone = undo(bag, one.stamp.id, stamp())
    assert isinstance(gone, EventUndone)
    bag = bag.after(gone)
    assert code_of(close(bag, stamp())) == "close-items-left"
    assert [line.item for line in bag.remaining] == [one.item]
    assert isinstance(close(put(bag, one.item[1]), stamp()), BagClosed)


def test_the_kits_tested_hold_boxed_sets_packs_and_pairs():
    lines = [line for at in range(len(sample_kits())) for line in sample_demand(at).lines]
    assert any(len(line.ware.holds) > 5 for line in lines)
    assert any(line.packs > 1 for line in lines)


def test_lines_that_are_all_in_do_not_close_a_bag_whose_demand_they_do_not_cover():
    """As where a pack holds fewer pieces today than when the kit was quoted."""
    pack = ware("SCREWS", screw=3)
    bag = opened(demand([(pack, 1)], {("screw", ""): 4}))
    found = judge(bag, scan("SCREWS"), stamp(), CodeBook([pack]))
    assert isinstance(found, ScanCounted)
    bag = bag.after(found.event)
    assert not bag.remaining
    answer = refused(close(bag, stamp()))
    assert (answer.code, answer.fields["count"]) == ("close-pieces-lacking", 1)
    assert not bag.whole


def test_a_piece_in_another_finish_than_the_kit_shows_covers_nothing():
    arm = ware("ARM", "690", arm=1)
    bag = opened(demand([(arm, 1)], {("arm", "689"): 1}))
    bag = bag.after(PacksScanned(stamp(), arm.key, 1))
    assert code_of(close(bag, stamp())) == "close-pieces-lacking"


def test_a_line_of_which_no_use_was_kept_demands_its_item():
    from wholekit.domain.picking import demand_of

    kit = sample_kits()[0]
    bare = replace(kit, lines=tuple(replace(line, uses=()) for line in kit.lines))
    of = demand_of(sample_demand(0).bag, "100", bare, wares())
    assert sum(need.count for need in of.needed) == len(packs_of(of))
    bag = opened(of)
    for code in packs_of(of):
        assert bag.lacking
        bag = put(bag, code)
    assert isinstance(close(bag, stamp()), BagClosed)


def test_an_item_no_catalogue_knows_any_more_still_closes_its_bag():
    from wholekit.domain.picking import demand_of

    for at, kit in enumerate(sample_kits()):
        of = demand_of(sample_demand(at).bag, "100", kit, {})
        bag = opened(of)
        for line in of.lines:
            bag = bag.after(PacksScanned(stamp(), line.item, line.packs))
        assert isinstance(close(bag, stamp()), BagClosed)


# --- events ----------------------------------------------------------------------------------


class Model:
    """The plain model: counts in a dictionary."""

    def __init__(self, of: BagDemand) -> None:
        self.wanted = Counter({line.item: line.packs for line in of.lines})
        self.inside: Counter[tuple[str, str]] = Counter()
        self.scans: dict[str, tuple[tuple[str, str], int]] = {}
        # By id what was told short since the bag was opened, in that order.
        self.shorts: dict[str, tuple[tuple[str, str], int]] = {}

    def missing(self):
        told = dict(self.shorts.values())
        left = {item: self.wanted[item] - self.inside[item] for item in told}
        return {item: min(n, left[item]) for item, n in told.items() if left[item]}


@given(KITS, st.lists(st.tuples(st.integers(0, 7), st.integers(0, 30)), max_size=25))
@settings(max_examples=60)
def test_a_bag_is_the_fold_over_its_events_and_as_a_plain_model_counts(at, steps):
    """After each event the bag is written and read back: a kill there loses nothing."""
    of = sample_demand(at)
    bag, model, kept = opened(of), Model(of), list(opened(of).events)
    for number, (deed, pick) in enumerate(steps):
        item = of.lines[pick % len(of.lines)].item
        name = f"s{number}"
        event: BagEvent | None = None
        if deed < 3:
            packs = 1 + deed // 2
            answer = judge(bag, scan(item[1], packs), stamp(name), CODES)
            fits = model.inside[item] + packs <= model.wanted[item]
            assert isinstance(answer, ScanCounted) == fits
            if isinstance(answer, ScanCounted):
                event = answer.event
                model.inside[item] += packs
                model.scans[name] = item, packs
                assert answer.left == model.wanted[item] - model.inside[item]
        elif deed == 5:
            told = report_short(bag, item, 1, stamp(name))
            assert isinstance(told, ShortReported) == (model.inside[item] < model.wanted[item])
            if isinstance(told, ShortReported):
                event = told
                model.shorts[name] = item, 1
        elif deed == 6 and model.shorts:
            last = list(model.shorts)[-1]
            found = undo(bag, last, stamp(name))
            assert isinstance(found, EventUndone)
            event = found
            del model.shorts[last]
        elif deed == 7:
            put_aside = leave(bag, stamp(f"{name}-left"))
            assert isinstance(put_aside, BagLeft)
            bag = bag.after(put_aside)
            kept.append(put_aside)
            assert code_of(judge(bag, scan(item[1]), stamp(), CODES)) == "bag-waiting"
            again = open_bag(bag, stamp(name))
            assert isinstance(again, BagOpened), "one put aside can always be gone on with"
            event = again
            model.shorts.clear()
        elif deed < 5 and model.scans:
            gone = sorted(model.scans)[pick % len(model.scans)]
            taken_back = undo(bag, gone, stamp(name))
            assert isinstance(taken_back, EventUndone)
            event = taken_back
            undone, packs = model.scans.pop(gone)
            model.inside[undone] -= packs
        if event is not None:
            bag = bag.after(event)
            kept.append(event)
        written = [(type(one), to_plain(one)) for one in kept]
        read = bag_of(of, [from_plain(kind, data) for kind, data in written])
        assert read == bag
        assert +Counter(dict(read.packs_in)) == +model.inside
        assert dict(read.missing) == model.missing()
        assert read.whole == (+model.inside == model.wanted)


def test_every_kind_of_event_has_its_word():
    assert len(set(EVENT_KINDS.values())) == len(EVENT_KINDS)
    assert {*EVENT_KINDS} == {
        "opened", "scanned", "undone", "substituted", "short", "left", "closed",
    }  # fmt: skip


def test_a_scan_sent_twice_is_counted_once_whatever_came_between():
    of = sample_demand(0)
    bag = opened(of)
    codes = packs_of(of)
    first = judge(bag, scan(codes[0]), stamp("x"), CODES)
    assert isinstance(first, ScanCounted)
    bag = bag.after(first.event)
    assert bag.after(first.event) is bag
    for code in codes[1:]:
        bag = put(bag, code)
    closing = close(bag, stamp())
    assert isinstance(closing, BagClosed)
    for then in (bag, bag.after(closing)):
        again = judge(then, scan(codes[0]), stamp("x"), CODES)
        assert isinstance(again, ScanCounted)
        assert again.again
        assert then.after(again.event) is then


def test_an_id_that_says_something_else_is_refused():
    bag = put(opened(sample_demand(0)), packs_of(sample_demand(0))[0], "x")
    other = packs_of(sample_demand(0))[1]
    assert code_of(judge(bag, scan(other), stamp("x"), CODES)) == "scan-id-used"
    assert code_of(judge(bag, scan(other), stamp("opened"), CODES)) == "scan-id-used"
    again = scan(packs_of(sample_demand(0))[0], 2)
    assert code_of(judge(bag, again, stamp("x"), CODES)) == "scan-id-used"


def test_what_is_undone_is_neither_undone_again_nor_unknown():
    bag = put(opened(sample_demand(0)), packs_of(sample_demand(0))[0], "x")
    assert last_to_undo(bag) == "x"
    assert code_of(undo(bag, "opened", stamp())) == "undo-unknown"
    assert code_of(undo(bag, "nobody", stamp())) == "undo-unknown"
    gone = undo(bag, "x", stamp())
    assert isinstance(gone, EventUndone)
    bag = bag.after(gone)
    assert last_to_undo(bag) == ""
    # Sent again it does not come back: whoever undid it would not see it.
    same = scan(packs_of(sample_demand(0))[0])
    assert code_of(judge(bag, same, stamp("x"), CODES)) == "scan-id-used"
    assert code_of(undo(bag, "x", stamp())) == "undo-twice"
    assert [type(event).__name__ for event in bag.events][1:] == ["PacksScanned", "EventUndone"]


# --- short, left, held, closed ---------------------------------------------------------------


def test_a_short_leaves_the_bag_open_for_the_rest_and_is_over_when_it_is_found():
    of = sample_demand(0)
    item = of.lines[0].item
    bag = opened(of)
    report = report_short(bag, item, of.lines[0].packs, stamp(), "bin empty")
    bag = after(bag, report)
    assert bag.status is BagStatus.SHORT
    assert bag.missing == {item: of.lines[0].packs}
    assert code_of(close(bag, stamp())) == "close-items-left"
    for code in packs_of(of):
        bag = put(bag, code)
    assert bag.status is BagStatus.OPEN
    assert code_of(report_short(bag, item, 1, stamp())) == "short-not-wanted"


@pytest.mark.parametrize("packs", [0, -1, 99])
def test_no_more_is_short_than_is_still_to_take(packs):
    of = sample_demand(0)
    answer = report_short(opened(of), of.lines[0].item, packs, stamp())
    assert code_of(answer) == "short-not-wanted"
    of_bin = report_short(opened(of), of.lines[0].item, packs, stamp(), gone=(("A-1", 1),))
    assert isinstance(of_bin, ShortReported) is (packs == 0), "a bin may lack what the bag does not"


def test_a_bag_left_waits_with_what_is_in_it_until_it_is_opened_again():
    of = sample_demand(0)
    codes = packs_of(of)
    bag = put(opened(of), codes[0])
    bag = after(bag, report_short(bag, of.lines[-1].item, 1, stamp()))
    bag = after(bag, leave(bag, stamp(), "receipt on Friday"))
    assert bag.status is BagStatus.WAITING
    assert code_of(judge(bag, scan(codes[1]), stamp(), CODES)) == "bag-waiting"
    assert code_of(close(bag, stamp())) == "bag-waiting"
    bag = after(bag, open_bag(bag, stamp()))
    assert (bag.status, bag.missing) == (BagStatus.OPEN, {})
    for code in codes[1:]:
        bag = put(bag, code)
    assert isinstance(close(bag, stamp()), BagClosed)


def test_nothing_goes_into_a_bag_that_is_held_new_or_closed():
    of = sample_demand(0)
    held = Bag(replace(of, held=True))
    assert code_of(open_bag(held, stamp())) == "bag-held"
    assert code_of(judge(held, scan("x"), stamp(), CODES)) == "bag-held"
    assert code_of(judge(Bag(of), scan("x"), stamp(), CODES)) == "bag-new"
    bag = opened(of)
    for code in packs_of(of):
        bag = put(bag, code)
    bag = after(bag, close(bag, stamp(who="odo")))
    answer = refused(judge(bag, scan(packs_of(of)[0]), stamp(), CODES))
    assert (answer.code, answer.fields["who"]) == ("bag-closed", "odo")
    for deed in (
        undo(bag, last_to_undo(bag), stamp()),
        report_short(bag, of.lines[0].item, 1, stamp()),
        leave(bag, stamp()),
        close(bag, stamp()),
    ):
        assert code_of(deed) == "bag-closed-already"
    assert code_of(open_bag(bag, stamp())) == "bag-closed"
    with pytest.raises(ValueError, match="closed"):
        bag.after(PacksScanned(stamp(), of.lines[0].item, 1))


def test_a_kit_with_a_missing_piece_is_held():
    from wholekit.domain.catalog import Role
    from wholekit.domain.picking import demand_of
    from wholekit.domain.quotes.offer import OfferPiece

    kit = replace(sample_kits()[0], missing=(OfferPiece(Role.COVER, 1),))
    assert Bag(demand_of(sample_demand(0).bag, "100", kit, wares())).status is BagStatus.HELD


# --- what was in the bag ---------------------------------------------------------------------


@given(KITS)
def test_what_was_in_the_bag_names_each_pack_with_who_and_when(at):
    of = sample_demand(at)
    bag = opened(of)
    for code in packs_of(of):
        bag = put(bag, code)
    bag = after(bag, close(bag, stamp("end", who="odo")))
    was = packed(bag)
    assert was.closed is not None
    assert (was.closed.id, was.closed.who) == ("end", "odo")
    assert {line.item: line.packs for line in was.lines} == {
        line.item: line.packs for line in of.lines
    }
    for line in was.lines:
        assert sum(one.packs for one in line.scans) == line.packs
        assert all(one.stamp.who == "pia" for one in line.scans)
    kit = sample_kits()[at]
    # What is left over is what the kit said it would not use.
    assert sum(left.count for left in was.left) == sum(piece.quantity for piece in kit.unused)


def test_pieces_go_back_loose_only_out_of_packs_that_may_be_broken():
    box, pack = ware("BOX", screw=6, cap=2), ware("PACK", screw=10, breakable=True)
    bag = opened(demand([(box, 1), (pack, 1)], {("screw", ""): 8, ("cap", ""): 1}))
    for one in (box, pack):
        bag = bag.after(PacksScanned(stamp(), one.key, 1))
    left = {one.piece[1]: (one.count, one.loose) for one in packed(bag).left}
    assert left == {"screw": (8, 8), "cap": (1, 0)}
    bag = opened(demand([(box, 2), (pack, 1)], {("screw", ""): 1, ("cap", ""): 3}))
    bag = bag.after(PacksScanned(stamp(), box.key, 2)).after(PacksScanned(stamp(), pack.key, 1))
    left = {one.piece[1]: (one.count, one.loose) for one in packed(bag).left}
    assert left == {"screw": (21, 10), "cap": (1, 0)}


BINS = st.lists(st.integers(1, 9), max_size=4)


@given(st.integers(1, 9), st.integers(1, 9), BINS)
def test_a_short_leaves_in_the_books_what_the_picker_can_take(left, short, packs):
    """Of what was to be taken from these bins so many are missing, and where any are, no more lies
    in the bin than is taken."""
    short = min(left, short)
    bins = [(f"B-{n}", held) for n, held in enumerate(packs)]
    gone = dict(not_there(left, short, bins))
    takes, rest = {}, left
    for name, held in bins:
        takes[name] = min(rest, held)
        rest -= takes[name]
    missing = {name: takes[name] - (held - gone[name]) for name, held in bins if name in gone}
    assert all(0 < each <= takes[name] for name, each in missing.items())
    assert sum(missing.values()) == min(short, sum(takes.values()))


def test_a_short_that_is_undone_is_missing_no_more_and_reads_back_as_it_was():
    of = sample_demand(0)
    bag = opened(of)
    item = of.lines[0].item
    told = report_short(bag, item, 1, stamp("s1"), gone=(("A-1", 4),))
    assert isinstance(told, ShortReported)
    bag = after(bag, told)
    assert (bag.missing, bag.status) == ({item: 1}, BagStatus.SHORT)
    plain = to_plain(told)
    assert from_plain(EVENT_KINDS["short"], plain) == told
    older = {name: value for name, value in plain.items() if name != "gone"}
    assert from_plain(EVENT_KINDS["short"], older) == replace(told, gone=())
    assert last_to_undo(bag) == "s1"
    bag = after(bag, undo(bag, "s1", stamp()))
    assert (bag.missing, bag.status) == ({}, BagStatus.OPEN)
    assert code_of(undo(bag, "s1", stamp())) == "undo-twice"
