"""Another item for one that is short: what may, how many, and the kit checked again."""

from dataclasses import replace

import pytest
from tests.picking.bags import demand, opened, scan, stamp, ware, wares
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.domain.findings import Severity
from wholekit.domain.openings import HoldOpen, Opening
from wholekit.domain.openings.words import HingeSide
from wholekit.domain.picking import (
    Bag,
    BagClosed,
    CodeBook,
    EventUndone,
    ItemSubstituted,
    PacksScanned,
    ScanCounted,
    ScanRefused,
    Ware,
    bag_of,
    close,
    demand_of,
    judge,
    kit_check,
    may_substitute,
    packed,
    substitute,
    undo,
)
from wholekit.domain.plain import from_plain, to_plain
from wholekit.domain.quotes.bag_id import BagId

BODY = ware("BODY", body=1, substitutes=(("acme", "BODY-X"),))
LIKE = ware("BODY-X", body_x=1)
ARM = ware("ARM-689", "689", arm=1)
SCREWS = ware("SCREWS-4", screw=4)
LOOSE = ware("SCREW-1", screw=1)
SET = ware("SET-689", "689", body=1, arm=1, screw=4)
BRONZE = ware("ARM-690", "690", arm=1)
NEEDED = {("body", ""): 1, ("arm", "689"): 1, ("screw", ""): 7}
HERE = opened(demand([(BODY, 1), (ARM, 1), (SCREWS, 2)], NEEDED))


def made(bag: Bag, item: Ware, by: Ware, check=None) -> Bag:
    found = substitute(bag, item.key, by, "bin empty", stamp(), check)
    assert isinstance(found, ItemSubstituted), found
    return bag.after(found)


def planned(bag: Bag) -> dict[str, int]:
    return {line.ware.sku: line.packs for line in bag.plan}


def closes(bag: Bag) -> bool:
    """Whether it closes with the rest of its plan put in, and with none of it taken away."""
    for line in bag.remaining:
        assert isinstance(close(bag, stamp()), ScanRefused)
        bag = bag.after(PacksScanned(stamp(), line.item, line.packs))
    return isinstance(close(bag, stamp()), BagClosed)


def test_what_holds_the_same_pieces_is_taken_in_the_number_the_demand_takes():
    bag = HERE.after(PacksScanned(stamp(), SCREWS.key, 1))
    after = made(bag, SCREWS, LOOSE)
    # One pack of 4 is in; of the 7 the other three come loose.
    assert planned(after) == {"BODY": 1, "ARM-689": 1, "SCREWS-4": 1, "SCREW-1": 3}
    assert closes(after)
    # And out of packs of two that is two packs.
    assert planned(made(bag, SCREWS, ware("SCREWS-2", screw=2)))["SCREWS-2"] == 2
    answer = judge(after, scan("SCREWS-4"), stamp(), CodeBook([SCREWS]))
    assert isinstance(answer, ScanRefused)
    assert answer.code == "item-one-too-many"


def test_a_boxed_set_makes_needless_what_it_brings_and_is_not_in_the_bag_yet():
    after = made(HERE, BODY, SET)
    assert planned(after) == {"SET-689": 1, "SCREWS-4": 1}
    assert closes(after)
    with_arm = made(HERE.after(PacksScanned(stamp(), ARM.key, 1)), BODY, SET)
    assert planned(with_arm) == {"ARM-689": 1, "SET-689": 1, "SCREWS-4": 1}
    assert closes(with_arm)


def test_a_suppliers_own_substitute_counts_pack_for_pack_though_its_pieces_differ():
    after = made(HERE, BODY, LIKE)
    assert planned(after) == {"ARM-689": 1, "SCREWS-4": 2, "BODY-X": 1}
    assert {need.piece[1]: need.count for need in after.needed} == {
        "arm": 1, "screw": 7, "BODY-X": 1,
    }  # fmt: skip
    assert closes(after)


@pytest.mark.parametrize(
    ("item", "by", "code"),
    [
        (ARM, BRONZE, "substitute-finish"),
        (ARM, replace(BRONZE, key=("acme", "Z"), finish=""), "substitute-finish"),
        (ARM, SCREWS, "substitute-lacks"),
        (ARM, ARM, "substitute-same"),
        (LOOSE, SCREWS, "substitute-not-wanted"),
    ],
)
def test_what_does_not_do_the_same_is_refused(item, by, code):
    refused = substitute(HERE, item.key, by, "bin empty", stamp())
    assert isinstance(refused, ScanRefused)
    assert refused.code == code


def test_another_finish_and_hand_are_refused_whoever_calls_them_substitutes():
    left = ware("L", body_left=1, hand=HingeSide.LEFT, substitutes=(("acme", "R"),))
    right = ware("R", body_right=1, hand=HingeSide.RIGHT)
    arm = replace(ARM, substitutes=(BRONZE.key,))
    bag = opened(demand([(left, 1), (arm, 1)], {("body_left", ""): 1, ("arm", "689"): 1}))
    for item, by, code in ((left, right, "substitute-hand"), (arm, BRONZE, "substitute-finish")):
        refused = substitute(bag, item.key, by, "bin empty", stamp())
        assert isinstance(refused, ScanRefused)
        assert refused.code == code


@pytest.mark.parametrize("reason", ["", "  ", "x" * 201])
def test_a_reason_is_asked_for(reason):
    refused = substitute(HERE, BODY.key, LIKE, reason, stamp())
    assert isinstance(refused, ScanRefused)
    assert refused.code == "substitute-reason"


def test_those_that_may_are_named():
    found = may_substitute(HERE, SCREWS.key, [LOOSE, SET, BRONZE, ARM, SCREWS])
    assert [one.sku for one in found] == ["SCREW-1", "SET-689"]
    assert may_substitute(HERE, LOOSE.key, [SCREWS]) == ()


def test_a_substitute_of_a_substitute_and_undoing_them_from_the_last():
    first = made(HERE, BODY, SET)
    second = made(first, SCREWS, LOOSE)
    assert planned(second) == {"SET-689": 1, "SCREW-1": 3}
    one, two = (event.stamp.id for event in second.substitutions)
    refused = undo(second, one, stamp())
    assert isinstance(refused, ScanRefused)
    assert refused.code == "undo-later-first"
    began = second.after(PacksScanned(stamp("loose"), LOOSE.key, 1))
    refused = undo(began, two, stamp())
    assert isinstance(refused, ScanRefused)
    assert refused.code == "undo-scans-first"
    for name in ("loose", two, one):
        gone = undo(began, name, stamp())
        assert isinstance(gone, EventUndone), gone
        began = began.after(gone)
    assert planned(began) == planned(HERE)
    assert closes(began)


def test_what_was_substituted_and_why_stands_in_what_was_in_the_bag():
    after = made(HERE, BODY, SET)
    read = bag_of(after.demand, [from_plain(type(one), to_plain(one)) for one in after.events])
    assert read == after
    (event,) = packed(read).substitutions
    assert (event.item, event.ware.sku, event.reason, event.stamp.who) == (
        BODY.key, "SET-689", "bin empty", "pia",
    )  # fmt: skip
    assert dict(event.dropped) == {ARM.key: 1, SCREWS.key: 1}


# --- the house's own check -------------------------------------------------------------------

TYPE = opening(series="granite")
KIT = offered([Opening("101", TYPE)], shelf()).offer.kits[0]
DEMAND = demand_of(BagId(1, 1, 1, 1), "101", KIT, wares())
CHECK = kit_check(DEMAND, TYPE, shelf(), RULES)


def as_substitute(sku: str, by: str):
    """The answer where the supplier calls `by` a substitute of `sku`."""
    known = {one.sku: one for one in wares().values()}
    lines = tuple(
        replace(line, ware=replace(line.ware, substitutes=(known[by].key,)))
        if line.ware.sku == sku
        else line
        for line in DEMAND.lines
    )
    bag = opened(replace(DEMAND, lines=lines))
    return substitute(bag, known[sku].key, known[by], "bin empty", stamp(), CHECK)


def test_the_bags_own_items_pass_the_check():
    assert CHECK({line.item: line.packs for line in DEMAND.lines}) == ()


def test_a_substitute_that_makes_a_wrong_kit_is_refused_by_the_check_and_a_right_one_is_not():
    # Size 1 on a leaf that needs 3; a body set from 1 to 6 does.
    refused = as_substitute("TG-B3", "TG-B1")
    assert isinstance(refused, ScanRefused)
    assert (refused.code, refused.fields["stops"]) == (
        "substitute-fails-check",
        ("size-too-small",),
    )
    assert isinstance(as_substitute("TG-B3", "TG-BA"), ItemSubstituted)


def test_a_stop_that_the_bags_own_kit_had_is_no_reproach_to_a_substitute():
    door = opening(series="granite", fire_minutes=90, hold_open=HoldOpen.ARM)
    kit = offered([Opening("101", door)], shelf()).offer.kits[0]
    assert any(finding.severity is Severity.STOP for finding in kit.findings)
    own = demand_of(BagId(1, 1, 1, 1), "101", kit, wares())
    check = kit_check(own, door, shelf(), RULES)
    assert check({line.item: line.packs for line in own.lines}) == ()


def test_an_item_no_catalogue_sells_is_not_passed():
    assert CHECK({("tarrowby", "NOTHING"): 1}) == ("item-unknown",)


def test_a_judge_counts_the_substitute_once_it_is_made():
    after = made(HERE, SCREWS, LOOSE)
    answer = judge(after, scan("SCREW-1", 7), stamp(), CodeBook([LOOSE]))
    assert isinstance(answer, ScanCounted)
    assert answer.left == 0
