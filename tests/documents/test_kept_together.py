"""Where a page ends: no caution parts, and no line of a list or blank of an answer stands alone."""

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from itertools import accumulate
from pathlib import Path

import pytest
from tests.documents.test_grouped_quote import school
from tests.support.messages import TEMPLATES

from wholekit.documents.fill_cards import _hold
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_slip import packing_slip_paper
from wholekit.documents.flow import Flow
from wholekit.documents.make_flow import make_flow
from wholekit.documents.press import Press
from wholekit.documents.quote_form import QuoteForm

# What stands before, so that the page ends at another line each time [mm].
PUSHED = range(0, 240, 12)
FEW = 8  # rows of an answer that stand on one page
TAG = re.compile(r"<[^>]+>")


def pages_of(
    flow: Flow, block: int, folder: Path, pushed_by: range = PUSHED
) -> Iterator[list[str]]:
    """A block's text by page, once for each of what may stand before it."""
    html = flow.blocks[block].html
    for high in pushed_by:
        pushed = flow.blocks[block]._replace(html=f'<div style="height: {high}mm"></div>{html}')
        blocks = (*flow.blocks[:block], pushed, *flow.blocks[block + 1 :])
        document = Press(replace(flow, blocks=blocks), folder).lay_out(block, block + 1)
        yield [" ".join(words(page._page_box)) for page in document.pages]


def words(box) -> Iterator[str]:
    """The words of a page's content in their order."""
    for each in box.all_children() if hasattr(box, "all_children") else ():
        if hasattr(each, "text"):
            yield from each.text.split()
        elif not hasattr(each, "at_keyword"):
            yield from words(each)


def ends_of(text: str, pages: list[str]) -> set[int]:
    """The pages on which a text begins and ends, by some of its words."""
    said = text.split()
    return {
        at
        for at, page in enumerate(pages)
        for part in (said[:5], said[-5:])
        if " ".join(part) in page
    }


@pytest.mark.parametrize("form", QuoteForm)
def test_a_caution_is_whole_and_its_heading_has_the_first_of_them(form, tmp_path):
    """Which is of two lines; and the last never stands alone."""
    paper = quote_paper(school(), form=form)
    parted = 0
    flow = make_flow(paper, TEMPLATES)
    cautions = re.search(r'<div class="fine cautions">.*?</div>', flow.blocks[0].html, re.DOTALL)
    assert cautions is not None
    front = flow.blocks[0]._replace(html=f'<div id="b0">{cautions[0]}</div>')
    flow = replace(flow, blocks=(front, *flow.blocks[1:]))
    for pages in pages_of(flow, 0, tmp_path, range(120, 245, 2)):
        found = [ends_of(text, pages) for text in paper.cautions]
        assert all(len(each) == 1 for each in found)
        (headed,) = (at for at, page in enumerate(pages) if " Cautions " in f" {page} ")
        assert found[0] == {headed}
        assert found[-1] == found[-2]
        parted += found[0] != found[-1]
    assert parted or form is QuoteForm.SHORT, "some page ends amid them"


def named_rows(html: str) -> str:
    """Each row of the tables of answers with a name: of which table, which of it, what answer."""
    for at, table in enumerate(re.findall(r'<table class="answers">.*?</table>', html, re.DOTALL)):
        first, *rows = re.split(r"(?=<tr[^>]*><td>)", table)
        answers = accumulate('class="one"' in row for row in rows)
        named = [
            re.sub("><td>", f"><td>§{at}.{number}.{answer} ", row, count=1)
            for number, (row, answer) in enumerate(zip(rows, answers, strict=True))
        ]
        html = html.replace(table, "".join((first, *named)))
    return html


def test_an_answer_and_what_is_written_in_never_stand_alone(tmp_path):
    """The blank for other values, or for marks, is a row of its own below the answers.

    No page begins with a row of an answer of a few rows whose box stands on the page before.
    """
    flow = make_flow(quote_paper(school()), TEMPLATES)
    assert "or by mark:" in flow.blocks[0].html
    front = flow.blocks[0]._replace(html=named_rows(flow.blocks[0].html))
    parted = 0
    for pages in pages_of(replace(flow, blocks=(front, *flow.blocks[1:])), 0, tmp_path):
        of: dict[str, list[int]] = {}
        every = Counter(re.findall(r"§(\d+\.)\d+(\.\d+)", " ".join(pages)))
        assert any(2 < count <= FEW for count in every.values())
        for page in pages:
            here = Counter(re.findall(r"§(\d+\.)\d+(\.\d+)", page))
            assert not [name for name in here if here[name] < every[name] <= FEW]
            for table, rows in Counter(re.findall(r"§(\d+)\.\d+", page)).items():
                of.setdefault(table, []).append(rows)
        parted += sum(len(rows) > 1 for rows in of.values())
        assert all(min(rows) > 1 for rows in of.values() if len(rows) > 1), of
    assert parted


def alike_bags() -> list[Flow]:
    """A slip and a pick list of kits whose bags hold many items and are for many openings."""
    offer = school()
    kit = next(each for each in offer.kits if each.lines and not each.missing)
    lines = tuple(replace(kit.lines[0], sku=f"LINE-{at:02}") for at in range(14))
    openings = [
        replace(offer.openings[0], mark=f"MARK-{at:02}", kit=0, quantity=1, alternate="", note="n")
        for at in range(14)
    ]
    words = replace(
        offer.words, kits=(replace(offer.words.kits[0], findings=(), missing=()),), notes=()
    )
    many = replace(
        offer,
        kits=(replace(kit, lines=lines, findings=()),),
        openings=tuple(openings),
        words=words,
        left_out=(),
        unasked=(),
    )
    return [
        make_flow(packing_slip_paper(many), TEMPLATES),
        make_flow(pick_list_paper(many), TEMPLATES),
    ]


def test_the_heading_of_bags_that_wait_stands_with_the_first_of_them(tmp_path):
    offer = school()
    # As many items as make a bag longer than is kept on one page.
    kits = [
        replace(kit, lines=tuple(replace(line, on_hand=0) for line in kit.lines * 3))
        for kit in offer.kits
    ]
    flow = make_flow(pick_list_paper(replace(offer, kits=tuple(kits))), TEMPLATES)
    (block,) = (at for at, each in enumerate(flow.blocks) if "WAITS: bags" in each.html)
    first = re.search(r"<td>\s*<b>([^<]+)</b>", flow.blocks[block].html)
    assert first is not None
    moved = 0
    for pages in pages_of(flow, block, tmp_path, range(150, 240, 3)):
        (headed,) = (at for at, page in enumerate(pages) if "WAITS: bags" in page)
        assert "neither close nor ship" in pages[headed]
        assert first[1] in pages[headed]
        moved += headed > 0
    assert moved, "somewhere it has no room left on the page"


@pytest.mark.parametrize("paper", [0, 1])
def test_no_page_ends_or_begins_with_a_single_line_of_a_list(paper, tmp_path):
    flow = alike_bags()[paper]
    parted = 0
    for block, each in enumerate(flow.blocks):
        if "LINE-13" not in each.html:
            continue
        for pages in pages_of(flow, block, tmp_path):
            for sort in ("LINE", "MARK"):
                counts = [len({*re.findall(rf"(?<!–){sort}-\d\d(?!–)", page)}) for page in pages]
                some = [each for each in counts if each]
                parted += len(some) > 1
                assert len(some) < 2 or min(some) > 1, counts
    assert parted


def test_no_line_of_a_pick_list_begins_with_the_dot_between_two_parts():
    flow = make_flow(pick_list_paper(school()), TEMPLATES)
    said = "".join(TAG.sub("<>", block.html) for block in flow.blocks)
    assert "\u00a0· " in said
    assert not re.search(r"\S · ", said)


def test_a_notice_in_the_running_head_is_not_broken():
    paper = pick_list_paper(school())
    for notice in ("NOT ORDERED: do not pick.", "NON COMMANDÉ\u00a0: ne pas préparer."):
        flow = make_flow(replace(paper, head=replace(paper.head, notice=notice)), TEMPLATES)
        *_, last = flow.running.split(" · ")
        assert last == notice.partition(":")[0].strip().replace(" ", "\u00a0")


def test_a_hold_page_of_a_pair_says_that_its_size_is_each_leafs():
    offer = school()
    opening = next(each for each in offer.openings if offer.kit_of(each).type.leaves == 2)
    said = offer.words.kits[opening.kit]
    assert f", pair, each leaf {said.size}" in _hold(offer, offer.words, [opening]).title
