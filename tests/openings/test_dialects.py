"""The same openings come back whatever office wrote them down."""

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.openings.files import FINISHES, JURISDICTIONS
from tests.support.dialects import HEADINGS, WORDS, random_openings, write

from wholekit.intake.sheet import read_sheet


def read(written):
    return read_sheet(
        written.data, "sent.csv", finishes=FINISHES, jurisdictions=JURISDICTIONS, choices=None
    )


def told(openings):
    return [(one.mark, one.quantity, one.type) for one in openings]


@settings(max_examples=40)
@given(st.integers(0, 2**32))
def test_openings_written_in_any_dialect_are_the_same_openings(seed):
    draw = random.Random(seed)
    openings = random_openings(draw, 60)
    written = write(openings, draw)
    sheet = read(written)
    assert not sheet.problems, (seed, sheet.problems[:3], written.text[:600])
    assert told(sheet.openings) == told(openings), (seed, written.text[:600])


def test_one_set_of_openings_in_a_hundred_dialects_is_one_set():
    openings = random_openings(random.Random(7), 30)
    read_back = {tuple(told(read(write(openings, random.Random(n))).openings)) for n in range(100)}
    assert read_back == {tuple(told(openings))}


@pytest.mark.parametrize("name", sorted(WORDS))
def test_every_word_of_the_generator_is_read_in_a_sheet(name):
    for value, words in WORDS[name].items():
        for language, spellings in words.items():
            for word in spellings:
                heading = HEADINGS[name][language][0]
                sheet = read_sheet(
                    f'Mark,Size,"{heading}"\n1,3070,"{word}"\n2,3070,"{word}"\n'.encode(),
                    "sent.csv",
                    finishes=FINISHES,
                    jurisdictions=JURISDICTIONS,
                    choices=None,
                )
                assert not sheet.problems, (heading, word, sheet.problems)
                assert {getattr(one.type, name) for one in sheet.openings} == {value}, word
