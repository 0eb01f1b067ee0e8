"""What a scanner types: codes, counts and bags are read, and junk is refused with a code."""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from tests.picking.bags import ware

from wholekit.domain.picking import BagScan, CodeBook, CodeScan, ScanRefused, read_scan
from wholekit.domain.picking.scan import LONGEST_SCAN, MOST_AT_ONCE
from wholekit.domain.quotes.bag_id import BagId
from wholekit.wording.picking import REFUSALS, say_refusal


@pytest.mark.parametrize("typed", ["TG-B3", " TG-B3\r\n", "\tTG-B3 "])
def test_a_code_is_read_without_what_the_scanner_puts_around_it(typed):
    assert read_scan(typed) == CodeScan("TG-B3", 1)


@given(st.integers(1, MOST_AT_ONCE), st.from_regex(r"[A-Z][A-Z0-9-]{0,20}", fullmatch=True))
def test_a_count_before_the_star_counts_so_many(count, code):
    assert read_scan(f"{count}*{code}") == read_scan(f"0{count} * {code}") == CodeScan(code, count)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "scan-empty"),
        ("\r\n", "scan-empty"),
        ("0*TG-B3", "scan-count-none"),
        ("-1*TG-B3", "scan-count-malformed"),
        ("2.5*TG-B3", "scan-count-malformed"),
        ("*TG-B3", "scan-count-malformed"),
        ("1000*TG-B3", "scan-count-large"),
        ("6291041500213*TG-B3", "scan-count-large"),
        ("4*", "scan-count-alone"),
        ("4*4*TG-B3", "scan-count-twice"),
        ("2*Q12R2P7B3B", "scan-count-of-bag"),
        ("Q12R2P7B3C", "scan-bag-misread"),
        ("TG\x1dB3", "scan-garbled"),
        ("TG\udc80B3", "scan-garbled"),
        ("A" * 10_240, "scan-too-long"),
        ("4*" * 5_000, "scan-too-long"),
    ],
)
def test_what_is_no_scan_is_refused_by_its_own_code(typed, code):
    refused = read_scan(typed)
    assert isinstance(refused, ScanRefused)
    assert refused.code == code


def test_a_bag_whose_check_character_is_a_star_is_no_count():
    bag = next(bag for bag in (BagId(n, 1, 1, 1) for n in range(1, 99)) if str(bag)[-1] == "*")
    assert read_scan(str(bag).lower()) == BagScan(bag)


@given(st.one_of(st.text(), st.text("0123456789*-+., QRPBqrpb\x00", max_size=90)))
@example("²*X")
@example("٤*X")
def test_any_text_at_all_is_read_or_refused_and_what_is_shown_is_short(typed):
    read = read_scan(typed)
    if isinstance(read, ScanRefused):
        assert read.code in REFUSALS
        given_back = read.fields.get("given", "")
        assert str(given_back).isprintable()
        assert len(str(given_back)) <= 24
        assert say_refusal(read)
    elif isinstance(read, CodeScan):
        assert 1 <= read.packs <= MOST_AT_ONCE
        assert 0 < len(read.code) <= LONGEST_SCAN
        assert read.code.isprintable()


# One number in each length it may come in. The number of 13 is GS1's own example, 6291041500213
# (GS1, "How to calculate a check digit manually"); that of 12 its company's 614141000036 (GS1
# General Specifications, figure of a GTIN-12), that of 8 is 96385074; all three from memory.
@pytest.mark.parametrize(
    ("number", "scanned"),
    [
        ("6291041500213", ("6291041500213", "06291041500213")),
        ("614141000036", ("614141000036", "0614141000036", "00614141000036")),
        ("96385074", ("96385074", "000096385074", "0000096385074", "00000096385074")),
    ],
)
def test_a_gtin_is_one_number_in_every_length(number, scanned):
    book = CodeBook([ware("BODY", gtin=number), ware("ARM", gtin="2880000000181")])
    for typed in scanned:
        read = read_scan(f"2*{typed}")
        assert isinstance(read, CodeScan)
        assert [one.sku for one in book.find(read.code)] == ["BODY"], typed


@given(st.integers(0, 12), st.integers(1, 9))
def test_a_gtin_with_one_wrong_digit_finds_nothing_and_is_told_misread(place, more):
    right = "6291041500213"
    wrong = right[:place] + str((int(right[place]) + more) % 10) + right[place + 1 :]
    read = read_scan(wrong)
    assert isinstance(read, CodeScan)
    assert read.misread_gtin
    assert not CodeBook([ware("BODY", gtin=right)]).find(read.code)


def test_the_gtin_of_a_case_is_another_number():
    """Indicator digit 1 before 629104150021, check digit 0 by the weights 3 and 1 (by hand)."""
    case = CodeScan("16291041500210")
    assert case.gtin
    assert not CodeBook([ware("BODY", gtin="6291041500213")]).find(case.code)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("]E02880000000181", CodeScan("2880000000181")),
        ("]C0TG-B3", CodeScan("TG-B3")),
        ("]Q1Q12R2P7B3B", BagScan(BagId(12, 2, 7, 3))),
        ("]C10102880000000181", CodeScan("02880000000181")),
        ("]d2010288000000018110B7\x1d3012", CodeScan("02880000000181", 12)),
        ("]C100123456789012345675\x1d02028800000001813724", CodeScan("02880000000181", 24)),
        ("(01)02880000000181(10)B7(30)4", CodeScan("02880000000181", 4)),
        ("01028800000001811726123110B7", CodeScan("02880000000181")),
    ],
)
def test_a_label_of_a_carton_or_batch_says_item_and_count(typed, read):
    """Identifiers and lengths: GS1 General Specifications 7.8, from memory; numbers of the demo."""
    assert read_scan(typed) == read


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("]C1010288000000", "scan-label-broken"),
        ("]C101028800000001813", "scan-label-broken"),
        ("]d210B7", "scan-label-without-item"),
        ("]C1010288000000018130" + "0", "scan-count-none"),
        ("]C1010288000000018130" + "5000", "scan-count-large"),
        ("]C1" + "1" * 90, "scan-too-long"),
    ],
)
def test_a_label_that_is_not_whole_or_names_no_item_is_refused(typed, code):
    refused = read_scan(typed)
    assert isinstance(refused, ScanRefused)
    assert refused.code == code


@given(st.text("0123456789()\x1d]CdQe", max_size=60))
def test_no_element_string_whatever_counts_more_than_may_be(typed):
    read = read_scan(typed)
    if isinstance(read, CodeScan):
        assert 1 <= read.packs <= MOST_AT_ONCE
