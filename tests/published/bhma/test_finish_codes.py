"""Finish codes as published for ANSI/BHMA A156.18, and how they are written on schedules.

Sources: published tables of BHMA codes beside the former US numbers (605, 606, 612, 613, 619,
625, 626, 628 to 630, 632, 633, 639, 640, 652, 666, 682: read). The painted codes 689 to 696 and
600 are from memory, not read. What a plain name means is common practice, no source.
"""

import pytest

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.citations import Mark
from wholekit.intake.rulebook import load_rulebook


@pytest.fixture(scope="module")
def book():
    return FinishBook(load_rulebook())


@pytest.mark.parametrize(
    ("us", "base", "code"),
    [
        ("US3", "brass", "605"),
        ("US3", "steel", "632"),
        ("US3", "aluminum", "666"),
        ("US15", "brass", "619"),
        ("US26D", "brass", "626"),
        ("US26D", "steel", "652"),
        ("US26D", "zinc", "682"),
        ("US10", "bronze", "612"),
        ("US10B", "bronze", "613"),
        ("US32D", "stainless steel", "630"),
    ],
)
def test_one_us_number_is_another_code_on_another_base_metal(book, us, base, code):
    assert book.read(f"{us} {base}") == code
    assert book.read(f"{us} on {base}") == code
    finish = book.finish(code)
    assert (finish.us, finish.base) == (us, base)


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("689", "689"), (" 689 ", "689"), ("US26D", "626"), ("us 26d", "626"), ("26D", "626"),
        ("US3", "605"), ("US03", "605"), ("USP", "600"), ("aluminum", "689"), ("Aluminium", "689"),
        ("aluminum painted", "689"), ("Dark Bronze", "690"), ("dark-bronze", "690"),
        ("light bronze", "691"), ("BLACK", "693"), ("satin brass", "696"), ("primed", "600"),
        ("satin chromium", "626"), ("bright brass on steel", "632"),
    ],
)  # fmt: skip
def test_a_finish_is_read_as_people_write_it(book, written, code):
    assert book.read(written) == code


@pytest.mark.parametrize("written", ["", "26", "3", "US99", "US26D wood", "6890", "pink", "US"])
def test_what_names_no_finish_is_not_guessed_at(book, written):
    assert book.read(written) is None


def test_what_could_have_been_meant_is_told(book):
    assert "690" in book.right_ones("69O") or "696" in book.right_ones("69O")
    assert "dark-bronze" in book.right_ones("drak bronze")
    assert "us26d" in book.right_ones("US26E")


@pytest.mark.parametrize(
    ("code", "available", "nearest"),
    [
        ("689", ["690", "689"], "689"),
        ("626", ["690", "689", "696"], "689"),
        ("626", ["689", "652"], "652"),
        ("613", ["689", "693", "695", "690"], "690"),
        ("690", ["693", "695"], "695"),
        ("605", ["689", "691", "696"], "696"),
        ("612", ["690", "691"], "691"),
        ("693", ["689", "690"], "690"),
        ("600", ["689", "690"], None),
        ("689", [], None),
        ("999", ["689"], None),
    ],
)
def test_the_nearest_finish_is_the_nearest_in_look(book, code, available, nearest):
    assert book.nearest(code, available) == nearest
    assert book.nearest(code, reversed(available)) == nearest


def test_every_look_has_its_place_among_the_near_ones():
    rules = load_rulebook()
    book = FinishBook(rules)
    rows = rules.rows("finish-looks-near")
    looks = {str(row["look"]) for row in rows}
    assert {finish.look for code in book.codes if (finish := book.finish(code))} == looks
    assert all(isinstance(row["near"], list) and looks.issuperset(row["near"]) for row in rows)


def test_every_plain_name_means_a_code_of_the_book(book):
    names = load_rulebook().mapping("finish-names")
    assert all(book.read(name) == code and code in book.codes for name, code in names.items())


def test_painted_codes_are_marked_as_remembered():
    rules = load_rulebook()
    assert rules["finish-codes-painted"].source.mark is Mark.MEMORY
    assert rules["finish-codes"].source.mark is Mark.SEEN
