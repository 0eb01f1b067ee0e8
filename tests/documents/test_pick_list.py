"""The pick list as it is read in the aisle: the walk, bags of equal contents, what is held."""

import re
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from tests.documents.paper_factory import gather_by_bin, make_pick_list
from tests.documents.test_papers import TEMPLATES, read
from tests.support.house import opening as kind_of
from tests.support.house import shelf
from tests.support.offers import offered

from wholekit.documents.bags_alike import about_of, bags_alike, which_bags
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.papers import PickLine, PickListPaper, PickOpening
from wholekit.documents.render import render_paper
from wholekit.domain.openings import Opening
from wholekit.wording.questions import ranges_text

SKUS = ("BODY", "ARM", "PLATE")
OPENINGS = st.lists(
    st.tuples(
        st.lists(st.sampled_from(SKUS), max_size=2, unique=True),
        st.integers(1, 70),
        st.sampled_from(("3'-0\" × 7'-0\"", "2'-8\" × 6'-8\"")),
        st.sampled_from(("", "Nurse")),
        st.integers(0, 2),
    ),
    min_size=1,
    max_size=12,
).map(lambda rows: [opening_of(at, *row) for at, row in enumerate(rows)])


def opening_of(
    at: int, skus: list[str], bags: int, size: str = "", note: str = "", short: int = 0
) -> PickOpening:
    lines = tuple(PickLine(sku, sku.title(), "689", "A-1", 2, 2 * bags, short) for sku in skus)
    return PickOpening(str(101 + at), bags, bags, size, "regular arm", 3, lines, note=note)


def paper_of(openings: list[PickOpening]) -> PickListPaper:
    found = tuple(openings)
    bags = sum(opening.bags for opening in found)
    return replace(make_pick_list(1), openings=found, bags=bags, held=(), walk=gather_by_bin(found))


def blocks_of(paper: PickListPaper) -> list[str]:
    return [block.html for block in make_flow(paper, TEMPLATES).blocks]


@given(OPENINGS)
def test_every_bag_stands_once_with_its_equals_and_has_a_box(openings):
    every = [opening.mark for opening in openings]
    groups = list(bags_alike(openings, every))
    assert sorted(one.mark for group in groups for one in group.openings) == sorted(every)
    contents = [[(line.sku, line.each) for line in group.lines] for group in groups]
    assert all(contents.count(one) == 1 for one in contents)
    for group in groups:
        assert group.places == ranges_text([one.mark for one in group.openings], every)
        assert group.bags == sum(one.bags for one in group.openings)
        assert sorted((*group.plain, *group.told), key=lambda one: one.mark) == [*group.openings]
        assert not [one for one in group.plain if one.note or about_of(one) != group.about]
        for at, line in enumerate(group.lines):
            parts = [one.lines[at] for one in group.openings]
            assert line.quantity == line.each * group.bags == sum(one.quantity for one in parts)
            assert line.short == sum(one.short for one in parts)
    for group, html in zip(groups, blocks_of(paper_of(openings))[2:], strict=True):
        # One box for each line, and of more than 60 bags one for each ten.
        ticks = sum(one.bags if one.bags <= 60 else -(-one.bags // 10) for one in group.openings)
        alone = len(group.openings) == group.bags == 1
        boxes = html.count('class="box"') + html.count('class="tick"')
        # Where nothing is taken there is nothing to tick.
        assert boxes == sum(line.take > 0 for line in group.lines) + (0 if alone else ticks)
        lacking = re.findall(r"SHORT ([0-9]+) ([A-Z]+)<", html)
        if len(group.openings) > 1:
            assert Counter(lacking) == Counter(
                (str(line.short), line.sku)
                for one in group.openings
                for line in one.lines
                if line.short
            )


def test_bags_held_for_other_reasons_stand_apart_and_no_release_is_lost():
    """However equal their contents; a stop that somebody let go is told at its own mark."""
    stops = ((), ("no leaf",), ("no leaf",), ("too wide",))
    held = [replace(opening_of(at, ["BODY"], 1), stops=stop) for at, stop in enumerate(stops)]
    free = replace(opening_of(8, ["BODY"], 1), released=("the reveal",))
    paper = replace(paper_of([held[0], free]), held=tuple(held[1:]))
    _, _, bags, first, second = blocks_of(paper)
    assert bags.count("Stop released by name.</b> the reveal") == 1
    assert bags.index("109</th>") < bags.index("the reveal")
    assert (first.count("STOP.</b> no leaf"), first.count("too wide")) == (1, 0)
    assert "102, 103" in first
    assert (second.count("STOP.</b> too wide"), second.count("104")) == (1, 1)
    assert 'class="box"' not in first + second


def test_a_pick_list_is_a_walk_then_the_bags_and_last_what_is_held(tmp_path):
    paper = make_pick_list(12)
    first, *others = read(paper, tmp_path)
    text = " ".join((first, *others))
    walk, rest = text.split("Bag by bag")
    bags, held = rest.split("HOLD: not to be picked until settled")
    assert paper.held
    for line in paper.walk:
        assert line.take == sum(quantity for _, quantity in line.split)
        assert f"{line.bin} {line.quantity - line.short} {line.sku}" in walk
        assert line.bin in bags
    for opening in paper.openings:
        assert f"{opening.mark} " in bags
    for opening in paper.held:
        assert re.search(rf"\b{opening.mark} ", held)
        assert not re.search(rf"\b{opening.mark} {re.escape(about_of(opening))}", bags)
    assert "Picked by, date" in walk
    assert "Checked by" in bags
    assert f"{paper.bags} bags" in first
    assert paper.walk[0].sku in first, "the walk begins on page one"


def test_what_is_short_stands_after_the_walk_with_the_bags_that_wait():
    paper = paper_of([opening_of(0, ["BODY"], 1), opening_of(1, ["BODY"], 3, short=6)])
    front, walk, *_ = blocks_of(paper)
    assert "SHORT on the shelf:</b> 1 item, listed after the walk" in front
    said, listed = (
        " ".join(re.sub("<[^>]+>", " ", part).split()) for part in walk.split("Short on the shelf")
    )
    assert "A-1 2 BODY" in said
    assert "SHORT 6 of 8" in said
    assert "BODY Body, 689 6 4 working days to get more 102 " in listed


def test_the_marks_of_many_bags_that_wait_run_across_the_page():
    # Every other opening, so that no range shortens the list.
    openings = [opening_of(at, ["BODY"], 1, short=at % 2) for at in range(120)]
    _, walk, *_ = blocks_of(paper_of(openings))
    listed = walk.split("Short on the shelf")[1]
    (across,) = re.findall(r'<td colspan="5">Bags that wait: (.*?)</td>', listed)
    waits = [one.mark for one in openings if any(line.short for line in one.lines)]
    assert len(waits) == 60
    assert re.findall(r"\w+", across) == waits


SHELVES = st.lists(
    st.tuples(
        st.dictionaries(st.sampled_from(SKUS), st.integers(1, 3), min_size=1), st.integers(1, 5)
    ),
    min_size=1,
    max_size=8,
)


@given(OPENINGS, st.data())
def test_bags_that_stand_apart_from_others_of_their_mark_say_which_they_are(openings, data):
    """As their labels do: an opening whose bags stand in two places is no double."""
    parts = []
    for one in openings:
        whole = data.draw(st.integers(0, one.bags))
        told = [(1, whole, False), (whole + 1, one.bags - whole, True)]
        parts += [
            replace(one, first=first, bags=bags, quantity=bags, waits=waits, of_all=one.bags)
            for first, bags, waits in told
            if bags
        ]
    for one in parts:
        said = which_bags(one)
        assert bool(said) == (one.bags < one.of_all)
        if said and one.bags <= 60:
            last = one.first + one.bags - 1
            numbers = ", ".join(str(number) for number in range(one.first, last + 1))
            assert said == f"bag{'s' if one.bags > 1 else ''} {numbers} of {one.of_all}"
    html = " ".join(blocks_of(paper_of(parts)))
    # Of several bags the boxes have the numbers; of one alone only this tells which it is.
    for one in parts:
        if one.bags == 1 < one.of_all:
            assert which_bags(one) in html


@given(SHELVES, st.fixed_dictionaries({sku: st.integers(0, 20) for sku in SKUS}))
def test_the_walk_takes_what_the_bags_hold_and_what_is_short_goes_to_whole_bags(asked, on_hand):
    """An unsaved job's, whose stock nobody has promised; by place it would be no more bags."""
    offer = offered([Opening("1", kind_of("3070"))], shelf("tarrowby")).offer
    (line, *_), kit = offer.kits[0].lines, offer.kits[0]
    kits = tuple(
        replace(kit, lines=tuple(
            replace(line, sku=sku, quantity=each, on_hand=on_hand[sku], bin=f"A-{sku}")
            for sku, each in lines.items()
        ))
        for lines, _ in asked
    )  # fmt: skip
    openings = tuple(
        replace(offer.openings[0], mark=str(101 + at), quantity=count, kit=at)
        for at, (_, count) in enumerate(asked)
    )
    said = replace(offer.words, kits=offer.words.kits * len(kits))
    paper = pick_list_paper(replace(offer, kits=kits, openings=openings, words=said))
    bags = Counter[str]()
    for one in paper.openings:
        for each in one.lines:
            assert 0 <= each.take <= each.quantity
            bags[each.sku] += each.take
    for taken in paper.walk:
        needed = sum(lines.get(taken.sku, 0) * count for lines, count in asked)
        assert taken.take == bags[taken.sku] == min(needed, on_hand[taken.sku])
        assert sum(packs for _, packs in taken.split) == taken.take
    # No bag is left short that what other bags have without being whole would make whole.
    left = dict(on_hand)
    full = Counter({one.mark: one.bags for one in paper.openings if not one.waits})
    for at, (lines, count) in enumerate(asked):
        whole, waits = full[str(101 + at)], count - full[str(101 + at)]
        parts = [
            (one.waits, one.first, one.bags) for one in paper.openings if one.mark == str(101 + at)
        ]
        assert parts == [part for part in ((False, 1, whole), (True, whole + 1, waits)) if part[2]]
        for sku, each in lines.items():
            left[sku] -= each * whole
    for at, (lines, count) in enumerate(asked):
        lacks = any(left[sku] < each for sku, each in lines.items())
        assert full[str(101 + at)] == count or lacks
    for one in paper.openings:
        assert one.waits == any(each.take < each.quantity for each in one.lines)
        assert not one.waits or min(each.take // each.each for each in one.lines) == 0
    assert paper.waiting == sum(count for _, count in asked) - full.total()
    blocks = " ".join(blocks_of(paper))
    # Nobody walks to a bin to take nothing, and closes no bag that is not complete.
    assert blocks.count('class="r take"') == sum(taken.take > 0 for taken in paper.walk)
    groups = {
        tuple((line.sku, line.each) for line in one.lines)
        for one in paper.openings
        if not one.waits
    }
    assert blocks.count("Closed by") == len(groups)
    assert ("neither close nor ship" in blocks) == (paper.waiting > 0)


def test_a_share_says_how_many_bags_and_how_many_in_each():
    (_, walk, *_) = blocks_of(paper_of([opening_of(at, ["BODY"], at + 1) for at in range(2)]))
    said = re.sub(r"<[^>]+>", "", walk)
    assert "101 (2 in it)" in said
    assert "102 (2 bags, 2 in each)" in said


def sizes_of(file: Path) -> dict[str, set[float]]:
    """Texts with the sizes they are written in [points]."""
    found: dict[str, set[float]] = {}

    def see(text, outer, matrix, _font, size):
        found.setdefault(text.strip(), set()).add(round(abs(matrix[3] * outer[3]) * size, 1))

    for page in PdfReader(file).pages:
        page.extract_text(visitor_text=see)
    return found


def test_bin_and_quantity_are_read_at_arms_length(tmp_path):
    paper = make_pick_list(6)
    render_paper(paper, tmp_path / "list.pdf", TEMPLATES)
    sizes = sizes_of(tmp_path / "list.pdf")
    for line in paper.walk:
        assert 12.0 in sizes[line.bin]
        assert 13.0 in sizes[str(line.quantity - line.short)]


@pytest.mark.parametrize("lines", [25, 26, 27])
def test_the_walks_signatures_never_stand_alone_on_a_page(lines, tmp_path):
    """Of the lengths tried, one fills the first page to its end."""
    paper = paper_of([opening_of(0, ["BODY"], 1)])
    line = replace(paper.walk[0], split=(("101", 1),), short=0)
    pages = read(replace(paper, walk=(line,) * lines), tmp_path)
    (signed,) = (page for page in pages if "Picked by, date" in page)
    assert "BODY Body" in signed.split("Picked by, date")[0]


@pytest.mark.parametrize("marks", [26, 27, 28])
def test_who_closed_the_bags_never_stands_alone_on_a_page(marks, tmp_path):
    paper = paper_of([opening_of(at, ["BODY"], 1, note="Nurse") for at in range(marks)])
    pages = read(paper, tmp_path)
    (signed,) = (page for page in pages if "Closed by" in page)
    assert "Note: Nurse" in signed.split("Closed by")[0]


def test_a_note_read_from_the_right_begins_at_the_right(tmp_path):
    """Its last line is short, so it begins further in than the line before."""
    note = "הערה ארוכה מאוד " * 12
    paper = paper_of(
        [opening_of(0, ["BODY"], 1, note=note), opening_of(1, ["ARM"], 1, note="left")]
    )
    html = "".join(blocks_of(paper))
    # One block: what it is stands before it, and parts from it nowhere.
    (block,) = re.findall(r'<p class="rtl">.*?</p>', html)
    assert re.search(r"Note: .*הערה", block)
    render_paper(paper, tmp_path / "list.pdf", TEMPLATES)
    starts: dict[float, float] = {}

    def see(text, outer, matrix, *_):
        if re.search("[א-ת]", text):
            x = matrix[4] * outer[0] + outer[4]
            y = round(matrix[5] * outer[3] + outer[5], 1)
            starts[y] = min(x, starts.get(y, x))

    PdfReader(tmp_path / "list.pdf").pages[0].extract_text(visitor_text=see)
    upper, lower = (starts[y] for y in sorted(starts, reverse=True))
    assert lower > upper + 50
