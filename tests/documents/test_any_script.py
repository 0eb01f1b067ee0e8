"""Texts of every script on paper: in an order that can be read, and no box for an unknown sign."""

import re
from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from pypdf import PdfReader
from tests.documents.paper_factory import (
    make_labels,
    make_pick_list,
    make_quote,
    make_setting_cards,
)
from tests.documents.test_papers import TEMPLATES
from weasyprint.text.ffi import ffi, gobject, pango, pangoft2, unicode_to_char_p

from wholekit.documents.make_flow import make_flow
from wholekit.documents.render import render_paper
from wholekit.wording.text_order import in_order, marks_in_order

LATIN_CODES = st.from_regex(r"[A-Z0-9]{1,4}(?:[-./][A-Z0-9]{1,3}){0,2}", fullmatch=True)
OTHERS = st.text("אבגדהשלםعلينور", min_size=1, max_size=6)
# In the last plane of private use (Unicode, 23.5): no font of a machine draws it.
UNKNOWN = "\U0010fffd"


def shown(text: str) -> str:
    """A text as Pango, by FriBidi's reading of UAX 9, lays it on a line that runs from the left."""
    fonts = ffi.gc(pangoft2.pango_ft2_font_map_new(), gobject.g_object_unref)
    context = ffi.gc(pango.pango_font_map_create_context(fonts), gobject.g_object_unref)
    layout = ffi.gc(pango.pango_layout_new(context), gobject.g_object_unref)
    pango.pango_layout_set_auto_dir(layout, False)
    said, raw = unicode_to_char_p(text), text.encode()
    pango.pango_layout_set_text(layout, said[0], -1)
    run, parts = pango.pango_layout_get_line_readonly(layout, 0).runs, []
    while run != ffi.NULL:
        item = run[0].data.item
        part = raw[item.offset : item.offset + item.length].decode()
        parts.append(part[::-1] if item.analysis.level % 2 else part)
        run = run[0].next
    return re.sub("[\u2066-\u2069]", "", "".join(parts))


@given(
    st.lists(st.one_of(LATIN_CODES, OTHERS), min_size=1, max_size=6), st.sampled_from([" ", ", "])
)
@example(["שלום", "101-A", "עולם", "102-B"], " ")
@example(["הערה", "TSL-B3.689", "3-14"], ", ")
def test_a_code_keeps_its_order_whatever_stands_beside_it(words, between):
    text = between.join(words)
    kept = re.split(r"[\s,]+", shown(in_order(text)))
    assert sorted(one for one in words if one.isascii()) == sorted(
        one for one in kept if one.isascii() and one
    )


@given(LATIN_CODES, OTHERS, LATIN_CODES)
def test_a_name_turns_nothing_beside_it(before, name, behind):
    line = f"{before} Marque: {in_order(name)}, {behind} et {before}"
    assert shown(line) == f"{before} Marque: {name[::-1]}, {behind} et {before}"


MARKS = st.one_of(
    LATIN_CODES,
    st.sampled_from(["☂️", "101–103"]),
    OTHERS,
    st.builds("{}-{}".format, OTHERS, st.integers(1, 99)),
    st.builds("{} {}".format, st.sampled_from(["门", "Gate"]), st.integers(1, 99)),
)


@given(st.lists(MARKS, min_size=2, max_size=6), st.sampled_from([", ", "; "]))
@example(["101", "مدخل-1", "☂️"], ", ")
@example(["مدخل-1", "☂️-7", "门 12"], ", ")
@example(["קומה א", "101", "102"], ", ")
def test_marks_beside_one_another_stay_in_the_order_of_the_list(marks, between):
    """In whatever script each of them is: a reader looks for one at its place."""
    alone = [shown(in_order(mark)) for mark in marks]
    assert shown(in_order(between.join(marks))) == between.join(alone)
    assert shown(f"{marks_in_order(marks)} (3)") == f"{', '.join(alone)} (3)"


@given(LATIN_CODES, OTHERS, st.sampled_from("-\u2010\u2011"))
def test_a_hyphen_between_a_code_and_a_word_stays_between_them(code, word, hyphen):
    assert shown(in_order(f"{code}{hyphen}{word}")) == f"{word[::-1]}{hyphen}{code}"
    assert shown(in_order(f"{word}{hyphen}{code}")) == f"{code}{hyphen}{word[::-1]}"


@given(st.text())
def test_nothing_is_added_but_what_is_not_seen(text):
    plain = re.sub("[\u2066-\u2069]", "", text)
    assert re.sub("[\u2066-\u2069]", "", in_order(plain)) == plain
    if text.isascii():
        assert in_order(text) == text


def test_a_code_within_such_a_text_was_turned_without_it():
    """What the marks are for: UAX 9 reads the hyphen as the Hebrew word's (rules W7, N1)."""
    assert "A-101" in shown("\u2067שלום 101-A\u2069")


@pytest.mark.parametrize(
    ("signs", "number"),
    [
        (UNKNOWN, "[U+10FFFD]"),
        (f"{UNKNOWN} 7", "[U+10FFFD] 7"),
        (UNKNOWN * 2, "[U+10FFFD][U+10FFFD]"),
        (UNKNOWN * 56, "[56 × U+10FFFD]"),
    ],
)
def test_a_sign_without_a_font_is_shown_by_its_number(tmp_path, signs, number):
    mark = f"{signs}-101"
    paper = make_labels(1)
    label = replace(paper.labels[0], mark=mark)
    render_paper(replace(paper, labels=(label,)), tmp_path / "labels.pdf", TEMPLATES)
    said = PdfReader(tmp_path / "labels.pdf").pages[0].extract_text()
    assert f"{number}-101" in said.replace("\n", "")


@pytest.mark.parametrize("make", [make_quote, make_pick_list, make_setting_cards])
def test_what_stands_for_such_a_sign_is_said_on_the_page_where_it_stands(tmp_path, make):
    """Also the first page of several, and the paper is no longer for it."""
    texts = {}
    for sign in ("X", UNKNOWN):
        paper = make(12)
        name = f"{'Fernhollow Door Supply, ' * 4}open"
        head = replace(
            paper.head,
            job=f"Heron Quay {sign}",
            letterhead=replace(paper.head.letterhead, footer=name),
        )
        out = tmp_path / "paper.pdf"
        render_paper(replace(paper, head=head), out, TEMPLATES)
        texts[sign] = [page.extract_text().replace("\n", " ") for page in PdfReader(out).pages]
    assert len(texts["X"]) == len(texts[UNKNOWN]) > 1
    for text in texts[UNKNOWN]:
        assert text.count("[U+nnnn]: a sign that cannot be printed.") == 1
        assert "[U+10FFFD]" in text
        assert " open ·" in text
    assert not any("[U+nnnn]" in text for text in texts["X"])


def test_a_continued_card_says_where_it_belongs_on_two_lines_at_most():
    """Three would be cut off at the paper's edge; a line holds some 110 characters."""
    paper = make_setting_cards(1)
    card = replace(paper.cards[0], places="W" * 60 + ", " + "-".join(["NORD"] * 30))
    flow = make_flow(replace(paper, cards=(card,)), TEMPLATES)
    found = re.search('data-card="([^"]*)"', "".join(block.html for block in flow.blocks))
    assert found
    assert len(found[1]) < 2 * 110 - 60
    assert "W" * 36 in found[1]
    assert "…" in found[1]


def test_codes_in_a_note_are_not_broken():
    paper = make_quote(1)
    kit = paper.kits[0]
    note = "see TSL-B3.689, harbor-arm-100 and a well-worn A-501, from −$7.80 to +$1,791.54 or +5"
    mark = replace(kit.marks[0], note=note)
    flow = make_flow(replace(paper, kits=(replace(kit, marks=(mark,)),)), TEMPLATES)
    html = "".join(block.html for block in flow.blocks)
    whole = [f'<span class="c">{code}</span>' for code in ("TSL-B3.689", "harbor-arm-100", "A-501")]
    assert "see {}, {} and a well-worn {}".format(*whole) in html
    kept = [f'<span class="c">{amount}</span>' for amount in ("−$7.80", "+$1,791.54", "+5")]
    assert "from {} to {} or {}".format(*kept) in html
    for one in (flow, make_flow(make_labels(1), TEMPLATES)):
        assert ".c { white-space: nowrap; }" in one.css
