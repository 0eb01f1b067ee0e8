"""Where a sheet has a word of its own for a finish, the quote says it beside the code."""

import re
from collections import defaultdict

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.openings.sheets import read
from tests.support.house import shelf
from tests.support.messages import TEMPLATES
from tests.support.offers import offered

from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.openings import Opening, marks_named
from wholekit.intake.changes import changed
from wholekit.wording.speech import speaking, tr

# As people write one finish: its code, its former number, in either case, and a plain name. That
# US26D is satin chrome on brass, 626, is of ANSI/BHMA A156.18 (from memory).
CELLS = [
    "626",
    " 626 ",
    "BHMA 626",
    "US26D",
    "us26d",
    "26D",
    "689",
    "aluminum",
    "US28",
    "dark bronze",
    "",
]
# Our own headings, which are read as they stand, and a contractor's.
OURS = "mark,quantity,width,height,location,swing,hand,mount,finish"
THEIRS = "Door No,Qty,Wd,Ht,Int/Ext,Swing,Hand,Mount,Fin."
HEADS = [OURS, THEIRS]


def sheet(head: str, cells: list[str]) -> list[Opening]:
    """The openings of a sheet with these finishes, one for each mark from 101."""
    rows = [f"{101 + at},1,3-0,7-0,interior,in,LH,regular,{cell}" for at, cell in enumerate(cells)]
    return list(read("\n".join([head, *rows])).openings)


@settings(max_examples=30)
@given(st.sampled_from(HEADS), st.lists(st.sampled_from(CELLS), min_size=1, max_size=8))
def test_each_opening_is_called_by_its_own_word_and_by_no_other(head, cells):
    openings = sheet(head, cells)
    assert len(openings) == len(cells)
    offer = offered(openings, shelf()).offer
    every = [each.mark for each in openings]
    wanted = {}
    for each, cell in zip(openings, cells, strict=True):
        same = not cell.strip() or each.type.finish in cell
        quoted = offer.kit_of(opening_of(offer, each.mark)).finish
        # Where another stands in for it, what was asked for is said too.
        asked = "" if each.type.finish in (None, quoted) else each.type.finish
        wanted[each.mark] = asked if same else " ".join(cell.split())
    paper = quote_paper(offer)
    said: dict[str, str] = {}
    for kit in (*paper.kits, *paper.open_kits):
        marks = [mark.mark for mark in kit.marks]
        assert kit.finish.startswith(offer.kit_of(opening_of(offer, marks[0])).finish)
        words = re.search(r"\(your (.*)\)$", kit.finish)
        told = defaultdict(str)
        for part in words[1].split("; ") if words else ():
            word, _, named = part.partition(": ")
            for mark in (
                marks_named(named.replace("–", "-").split(", "), every)[0] if named else marks
            ):
                told[mark] = word
        said |= {mark: told[mark] for mark in marks}
    assert said == wanted


def opening_of(offer, mark):
    return next(each for each in offer.openings if each.mark == mark)


@pytest.mark.parametrize("form", QuoteForm)
def test_question_acceptance_and_short_form_use_the_sheets_word(form):
    """Where it is asked for and where it is signed, in the short form too."""
    # No closer here is made in 626: the same look on another metal stands in, and is asked about.
    offer = offered(sheet(THEIRS, ["US26D", "US26D", "689"]), shelf(), asks=True).offer
    paper = quote_paper(offer, form=form)
    (asked,) = (one.text for one in paper.questions if "not made" in one.text)
    wanted = asked.partition(" is not made")[0]
    assert wanted == "Finish 626 (your US26D)"
    quoted = offer.kits[0].finish
    assert paper.finishes == f"{quoted} (your US26D): 101, 102"
    html = " ".join("".join(block.html for block in make_flow(paper, TEMPLATES).blocks).split())
    assert f"finish {quoted} (your US26D)" in html
    accepted = html.partition("Acceptance of")[2]
    assert "Finishes:" in accepted
    assert "(your US26D)" in accepted
    # What was asked by its code and stands in another is signed for too.
    coded = offered(sheet(THEIRS, ["626", "689"]), shelf(), asks=True).offer
    assert quote_paper(coded, form=form).finishes == f"{quoted} (your 626): 101"
    same = quote_paper(offered(sheet(THEIRS, ["689"]), shelf()).offer, form=form)
    assert same.finishes == ""
    assert "Finishes:" not in "".join(block.html for block in make_flow(same, TEMPLATES).blocks)


@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_the_word_is_on_the_paper_in_each_language(locale):
    offer = offered(sheet(THEIRS, ["US26D"]), shelf(), locale=locale).offer
    html = "".join(block.html for block in make_flow(quote_paper(offer), TEMPLATES).blocks)
    with speaking(locale):
        finish = offer.kits[0].finish
        said = tr("finish {finish}").format(
            finish=tr("{finish} (your {written})").format(finish=finish, written="US26D")
        )
    assert said in html


def test_a_finish_that_is_changed_is_no_longer_called_by_the_sheets_word():
    (door,) = sheet(THEIRS, ["US26D"])
    assert door.finish_written == "US26D"
    assert changed(door, {"quantity": 2}).finish_written == "US26D"
    assert changed(door, {"finish": door.type.finish}).finish_written == "US26D"
    assert changed(door, {"finish": "689"}).finish_written == ""
