"""A scan that does not belong is refused at once, with what belongs there."""

import string

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.picking.bags import demand, opened, scan, stamp, ware
from tests.support.messages import OTHERS

from wholekit.domain.catalog.gtin import check_digit
from wholekit.domain.openings.words import HingeSide
from wholekit.domain.picking import (
    Bag,
    BagTurnedTo,
    CodeBook,
    CodeScan,
    ScanCounted,
    ScanRefused,
    close,
    judge,
    judge_bag,
    read_scan,
)
from wholekit.domain.quotes.bag_id import BagId
from wholekit.wording.picking import FIRST_LINE_MOST, REFUSALS, say_refusal
from wholekit.wording.speech import speaking

BODY = ware("BODY-L-689", "689", body_left=1, hand=HingeSide.LEFT, gtin="6291041500213")
RIGHT = ware("BODY-R-689", "689", body_right=1, hand=HingeSide.RIGHT)
ARM = ware("ARM-689", "689", arm=1)
BRONZE = ware("ARM-690", "690", arm=1)
SCREWS = ware("SCREWS-4", screw=4)
LOOSE = ware("SCREW-1", screw=1)
COVER = ware("COVER-689", "689", cover=1)
STRANGE = ware("SPACER", spacer=1)
SHELF = CodeBook([BODY, RIGHT, ARM, BRONZE, SCREWS, LOOSE, COVER, STRANGE])
NEEDED = {("body_left", "689"): 1, ("arm", "689"): 1, ("screw", ""): 8}
HERE = opened(demand([(BODY, 1), (ARM, 1), (SCREWS, 2)], NEEDED))
THERE = opened(demand([(COVER, 1)], {("cover", "689"): 1}, place=2))
WAVE = (HERE, THERE)


def refused(code: str, bag: Bag = HERE, packs: int = 1, wave=WAVE) -> ScanRefused:
    answer = judge(bag, scan(code, packs), stamp(), SHELF, wave)
    assert isinstance(answer, ScanRefused), answer
    assert answer.code in REFUSALS
    return answer


def filled(*codes: str, bag: Bag = HERE) -> Bag:
    for code in codes:
        answer = judge(bag, scan(code), stamp(), SHELF, WAVE)
        assert isinstance(answer, ScanCounted), answer
        bag = bag.after(answer.event)
    return bag


@pytest.mark.parametrize(
    ("scanned", "code", "wanted"),
    [
        ("ARM-690", "item-wrong-finish", "ARM-689"),
        ("BODY-R-689", "item-wrong-hand", "BODY-L-689"),
        ("SCREW-1", "item-substitute", "SCREWS-4"),
        ("COVER-689", "item-of-other-bag", "BODY-L-689"),
        ("SPACER", "item-wrong", "BODY-L-689"),
        ("NOTHING", "scan-unknown", "BODY-L-689"),
        ("BODY-L", "scan-half", "BODY-L-689"),
        ("L-689", "scan-half", "BODY-L-689"),
        ("62910414", "scan-gtin-misread", "BODY-L-689"),
        ("6291041500214", "scan-gtin-misread", "BODY-L-689"),
        ("AR", "scan-unknown", "BODY-L-689"),
        ("QR?)-_ç", "scan-other-layout", "BODY-L-689"),
    ],
)
def test_each_mistake_has_its_own_answer_and_names_what_belongs_there(scanned, code, wanted):
    answer = refused(scanned)
    assert (answer.code, answer.fields["wanted"]) == (code, wanted)
    said = say_refusal(answer)
    assert any(str(answer.fields["wanted"]) in line for line in said)


def test_the_keyboards_layout_is_told_where_it_alone_keeps_a_code_from_being_found():
    """AZERTY from memory: the keys of `ARM-689` of a US keyboard read by a French one."""
    assert refused("QR?)-_ç").code == "scan-other-layout"
    assert refused("arm)689").code == "scan-unknown"


@pytest.mark.parametrize(
    ("given", "code"),
    [
        ("Q12R2P7B", "scan-label-half"), ("q12r2p", "scan-label-half"),
        ("ARM-689ARM-689", "scan-doubled"), ("Q12", "scan-unknown"),
    ],
)  # fmt: skip
def test_half_a_label_and_two_scans_in_one_are_told_as_such(given, code):
    assert refused(given).code == code


def test_the_other_bag_is_named():
    answer = refused("COVER-689")
    assert (answer.fields["other"], answer.fields["other_bag"]) == ("102", str(THERE.id))
    assert say_refusal(answer)[0] == "Not here. It goes into bag 102."
    third = Bag(demand([(COVER, 1)], {("cover", "689"): 1}, place=3))
    many = refused("COVER-689", wave=(HERE, THERE, third))
    called = {str(THERE.id): "102 (1 of 2)", str(third.id): "102 (2 of 2)"}
    assert say_refusal(many, called)[0] == "Not here. It goes into bag 102 (1 of 2), 102 (2 of 2)."
    full = filled("COVER-689", bag=THERE)
    held = Bag(demand([(COVER, 1)], {("cover", "689"): 1}, place=2, held=True))
    for other in (full, held):
        assert refused("COVER-689", wave=(HERE, other)).code == "item-wrong"


def test_one_too_many_is_told_even_where_another_bag_takes_it():
    body = filled("BODY-L-689")
    other = opened(demand([(BODY, 1)], {("body_left", "689"): 1}, place=3))
    answer = refused("BODY-L-689", body, wave=(body, other))
    assert (answer.code, answer.fields["has"], answer.fields["other"]) == (
        "item-one-too-many", 1, "103",
    )  # fmt: skip
    assert "Bag 103 takes it." in say_refusal(answer)
    assert answer.fields["wanted"] == "ARM-689"


def test_a_count_beyond_what_is_wanted_counts_nothing():
    answer = refused("SCREWS-4", packs=3)
    assert (answer.code, answer.fields["packs"]) == ("item-too-many", 2)
    counted = judge(HERE, scan("screws-4", 2), stamp(), SHELF)
    assert isinstance(counted, ScanCounted)
    assert (counted.event.packs, counted.left) == (2, 0)


@pytest.mark.parametrize(
    "typed", ["body-l-689", "06291041500213", "6291041500213", " BODY-L-689\r"]
)
def test_an_item_is_counted_by_its_code_in_any_case_and_by_its_gtin(typed):
    read = read_scan(typed)
    assert isinstance(read, CodeScan)
    answer = judge(HERE, read, stamp(), SHELF)
    assert isinstance(answer, ScanCounted)
    assert answer.event.item == BODY.key


def test_of_two_suppliers_items_of_one_code_the_one_that_belongs_is_counted():
    from dataclasses import replace

    twin = replace(ARM, key=("other", "ARM-689"))
    answer = judge(HERE, scan("ARM-689"), stamp(), CodeBook([twin, ARM]))
    assert isinstance(answer, ScanCounted)
    assert answer.event.item == ARM.key


def test_a_bag_that_has_all_says_so():
    full = filled("BODY-L-689", "ARM-689", "SCREWS-4", "SCREWS-4")
    assert refused("SPACER", full).code == "item-bag-full"
    assert refused("ARM-690", full).code == "item-bag-full"
    assert refused("NOTHING", full).code == "scan-unknown-all-in"


def test_a_bag_is_turned_to_by_its_label_and_a_label_of_elsewhere_is_refused():
    new = Bag(demand([(COVER, 1)], {("cover", "689"): 1}, place=4))
    wave = (*WAVE, new)
    turned = judge_bag(new.id, wave, stamp())
    assert isinstance(turned, BagTurnedTo)
    assert turned.event is not None
    assert new.after(turned.event).takes
    assert judge_bag(HERE.id, wave, stamp(), new.id) == BagTurnedTo(HERE.id, None)
    codes = [
        judge_bag(HERE.id, wave, stamp(), HERE.id),
        judge_bag(BagId(7, 1, 1, 1), wave, stamp()),
        judge_bag(BagId(8, 2, 1, 1), wave, stamp()),
        judge_bag(BagId(7, 2, 1, 2), wave, stamp()),
    ]
    assert [answer.code for answer in codes if isinstance(answer, ScanRefused)] == [
        "bag-open", "bag-of-other-revision", "bag-not-in-wave", "bag-not-in-wave",
    ]  # fmt: skip


@given(st.text(max_size=40), st.integers(1, 9))
@settings(max_examples=60)
def test_no_code_at_all_is_counted_that_is_not_still_to_take(code, packs):
    read = read_scan(f"{packs}*{code}")
    if not isinstance(read, CodeScan):
        return
    answer = judge(HERE, read, stamp(), SHELF, WAVE)
    if isinstance(answer, ScanCounted):
        assert (
            answer.event.packs
            <= {line.item: line.packs for line in HERE.remaining}[answer.event.item]
        )
    else:
        assert say_refusal(answer)


# --- words -----------------------------------------------------------------------------------

NAMES = (
    "given", "wanted", "wanted_title", "sku", "mark", "by", "other", "bag", "who", "finish",
    "wanted_finish", "piece", "hand", "wanted_hand", "role", "branch", "state", "order", "held",
    "told",
)  # fmt: skip
LONG = dict.fromkeys(NAMES, "W" * 60)
COUNTS = dict.fromkeys(
    ("packs", "count", "left", "has", "most", "quote", "free", "wave", "open", "ordered",
     "received"), 999
)  # fmt: skip
REVISIONS = {"revision": 1, "wanted_revision": 2, "stops": ("hand-wrong",)}


@pytest.mark.parametrize("language", ["en", *OTHERS])
@pytest.mark.parametrize("code", REFUSALS)
def test_the_first_line_of_a_refusal_is_short_whatever_is_named_in_it(code, language):
    with speaking(language):
        first, *more = say_refusal(ScanRefused(code, LONG | COUNTS | REVISIONS))
    assert 0 < len(first) <= FIRST_LINE_MOST, first
    assert len(first.splitlines()) == 1
    assert all(more)


def test_every_refusal_of_picking_is_worded_and_every_word_is_of_use():
    import ast
    from pathlib import Path

    from wholekit.domain import picking
    from wholekit.domain.picking import BagStatus
    from wholekit.services import goods_scans, loose_stock, picks, shorts, substitutions

    folder = Path(str(picking.__file__)).parent
    texts = {
        node.value
        for file in (
            *folder.glob("*.py"),
            *(
                Path(str(each.__file__))
                for each in (goods_scans, loose_stock, picks, shorts, substitutions)
            ),
        )
        for node in ast.walk(ast.parse(file.read_text("utf-8")))
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }
    made = {f"bag-{status}" for status in BagStatus} - {"bag-short"}
    assert set(REFUSALS) <= texts | made
    prefixes = (
        "scan-",
        "item-",
        "bag-",
        "undo-",
        "substitute-",
        "close-",
        "short-",
        "loose-",
        "goods-",
    )
    codes = {
        text
        for text in texts
        if text.startswith(prefixes) and not set(text) - {*string.ascii_lowercase, "-"}
    }
    # An error of the bag's id, the start of an f-string, and a stop of the kit check.
    errors = {"bag-unknown", "bag-not-packed", "bag-loose-gone"}
    assert codes - {"bag-id-misread", "bag-", "item-unknown"} - errors <= set(REFUSALS)


def test_a_close_too_early_says_what_is_still_to_take():
    answer = close(filled("BODY-L-689"), stamp())
    assert isinstance(answer, ScanRefused)
    assert say_refusal(answer) == ("Not whole. Take 1 × ARM-689.", "Still to take in all: 3")


def test_a_cartons_number_is_told_apart_from_the_pieces_own():
    """GTIN-14 with an indicator digit 1 to 8: GS1 General Specifications, from memory."""
    for indicator in "12345678":
        case = f"{indicator}629104150021"
        case += str(check_digit(case))
        answer = refused(case)
        assert answer.code == "scan-carton"
        assert "BODY-L-689" in " ".join(say_refusal(answer))
    other = "1288000000018" + str(check_digit("1288000000018"))
    assert refused(other).code == "scan-unknown"
