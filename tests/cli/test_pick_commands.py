"""`wholekit pick` and what stands beside it, as a picker runs it."""

import json

import pytest
from pypdf import PdfReader
from tests.support import command
from tests.support.command import done
from tests.support.jobs import by
from tests.support.pick_room import accepted_quote

from wholekit.bootstrap import desk_on, open_store
from wholekit.cli.pick_loop import WORDS
from wholekit.documents.label_stock import SHEET_10
from wholekit.documents.shelf_labels import word_labels_paper
from wholekit.domain.house_style import PageSize
from wholekit.domain.orders import BagState
from wholekit.domain.quotes.bag_id import BagId
from wholekit.services.order_port import BagFilter
from wholekit.services.orders import ToldRelease, release_order
from wholekit.services.stock import ToldItem, ToldPlace, receive_stock


@pytest.fixture
def ready(shop, monkeypatch):
    """Two bags of one order are ready; pia picks. Gives the needs of each."""
    done("house", "person", "pia", "--role", "picker", "--by", "odo")
    monkeypatch.setenv("WHOLEKIT_USER", "pia")
    desk = desk_on(open_store())
    label = accepted_quote(desk, ["101", "102"], "Picked")
    standing = release_order(desk, by(), label, ToldRelease())
    for (_, sku), packs in standing.bags[0].needs:
        receive_stock(desk, by("odo"), ToldItem(sku), packs * 2, ToldPlace(bin="S-1"))
    return [[sku for (_, sku), packs in bag.needs for _ in range(packs)] for bag in standing.bags]


def typed(*lines, options=()):
    """What is said to some lines at the cart."""
    return command.run("pick", *options, stdin="\n".join(lines).encode())


def bag_states():
    with open_store().reading() as uow:
        return [bag.state for bag in uow.orders.bags(BagFilter())]


A, B = str(BagId(1, 1, 1, 1)), str(BagId(1, 1, 2, 1))


def test_to_look_begins_nothing_and_neither_does_a_call_without_a_scan(ready):
    assert "Nothing was begun" in typed(A, options=("--show",)).out
    assert "its bags are ready for anybody" in typed().out
    assert "its bags are ready for anybody" in typed("help", "?", "nonsense", "end").out
    assert "No wave is under way." in done("pick", "--waves").out
    assert bag_states() == [BagState.READY] * 2


def test_whoever_comes_back_is_told_the_waves_and_how_to_go_on(ready):
    broke_off = typed(A, ready[0][0])
    assert "go on with wholekit pick --wave" in broke_off.out
    again = command.run("pick", "--new")
    assert again.status == 2
    assert "101 open, 102 ready" in again.err
    (wave,) = json.loads(done("pick", "--waves", "--json").out)
    assert f"wholekit pick --wave {wave['wave']}" in again.err
    gone_on = typed(B, "end").out
    assert f"Wave {wave['wave']} of yours is not done: going on with it." in gone_on
    assert "Now into bag 102" in gone_on
    done("house", "person", "pat", "--role", "picker", "--by", "odo")
    assert command.run("pick", "--by", "pat").status == 2, "another's is not"


def test_full_bags_are_named_until_they_are_closed_and_a_finished_wave_is_done(ready):
    said = typed(A, *ready[0], B, *ready[1], "wave", "leave", "end")
    assert said.out.count("Bag 101 has all and is not closed") == 1, "when another is turned to"
    assert said.out.count("Bags 101 and 102 have all and are not closed") == 2
    assert "This bag has all: close it." in said.out
    assert "Nothing is left" not in said.out
    (wave,) = json.loads(done("pick", "--waves", "--json").out)
    closed = typed(A, "close", B, "close", A, "end", options=("--wave", str(wave["wave"])))
    assert "Every bag of this wave is closed" in closed.out
    assert "Nothing more goes in." in closed.out
    assert f"Wave {wave['wave']} is done." in closed.out
    assert "go on with" not in closed.out
    assert bag_states() == [BagState.CLOSED] * 2


def test_bags_leave_with_their_packing_slip_which_can_be_made_again(ready, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    typed(A, "NO-SUCH", *ready[0], "close", B, *ready[1], "close", "end")
    (tmp_path / "note.pdf").write_text("kept")
    told = command.run("ship", "Q-1", A, "--out", "note.pdf/below")
    assert told.status != 0
    assert "S-00001 is shipped; its packing slip is not made" in told.err
    again = json.loads(done("ship", "s-1", "--json").out)
    assert again["slip"] == "packing-slip-S-00001.pdf"
    said = PdfReader(again["slip"]).pages[0].extract_text()
    assert "S-00001" in said
    assert f"Still to come: {'102'}" in said
    rest = done("ship", "Q-1", "--out", "rest.pdf", "--json").out
    assert json.loads(rest)["slip"] == "rest.pdf"
    assert "Sent before, with S-00001: 101" in PdfReader("rest.pdf").pages[0].extract_text()
    claim = done("bag", "show", A).out
    lines = (
        "Q-00001/1, J-00002 Picked, for Saltmarsh Builders", "opening 101: 3'-0\" × 7'-0\"",
        "with S-00001", "closed", "refused: ", f"counted: 1 × {ready[0][0]}",
    )  # fmt: skip
    assert [each for each in lines if each not in claim] == [], claim
    for wrong in ((B,), ("--will-call",), ("--list",)):
        assert "has left as it is" in command.run("ship", "S-1", *wrong).err
    assert "No shipment is called S-9" in command.run("ship", "S-9").err


def test_a_short_tells_the_books_and_what_waits_and_undo_takes_it_back(ready):
    sku = ready[0][-1]
    said = typed(
        A, "short", sku, "none", f"short {sku}", "0", "left", "undo", f"short {sku} 99",
        f"short {sku} 1", "leave",
    )  # fmt: skip
    assert f"Bin S-1: 2 × {sku} in the books." in said.out
    assert "That is no number: nothing was told short." in said.out
    assert f"Out of the books at bin S-1: 2 × {sku}" in said.out or "Still to take" in said.out
    assert f"Not short after all: 1 × {sku}" in said.out
    assert f"Still to take of {sku}: only 1." in said.out
    assert "Out of the wave until it is there: 102" in said.out
    assert "Bag 102 lacks nothing any more. Its label takes it into this wave." in said.out
    assert f"told short: 1 × {sku}" in said.out
    assert "Bag 101 is put aside" in said.out
    assert "put aside" in done("bag", "show", A).out
    # What left the wave is named as it ends, and no wave begun around it lasts without a scan.
    ends = said.out[said.out.index("is put aside") :]
    for bag, mark in ((A, "101"), (B, "102")):
        assert f"{mark}, {bag}: " in ends
    assert f"waits for 1 of {sku}; not ordered yet; " in ends
    assert " if ordered today" in ends
    assert f"101, {A}: open, put aside; waits for 1 of {sku}" in typed(options=("--bag", A)).out
    assert "No wave is under way." in done("pick", "--waves").out
    assert "open, put aside" in done("bag", "list").out
    listed = json.loads(done("bag", "list", "--state", "open", "--json").out)
    assert [bag["bag"] for bag in listed["bags"]] == [A]
    unpacked = json.loads(done("bag", "unpack", A, "--reason", "amiss", "--json").out)
    assert set(unpacked) == {"bag", "back", "completed"}


def test_what_was_not_counted_is_not_undone_and_a_piece_told_short_is_not_scanned(ready):
    first, *_, last = ready[0]
    said = typed(
        A, first, "NO-SUCH", "undo", "left", "undo", B, A, f"short {last} 1", last, "close now",
        "undo", "undo",
    )  # fmt: skip
    asks = said.out.index("The last scan counted nothing.")
    assert asks < said.out.index(f"Out again: 1 × {first}")
    assert "It was told short in this bag." in said.out
    # One of two lies there: it goes into this bag, and the other waits.
    lies = typed(A, f"short {last}", "1", *ready[0], "close", "end", options=("--wave", "1"))
    assert f"The books are put right: {last}" in lies.out
    assert "These wait by it too: 102" in lies.out, "it was turned to, and stays"
    assert "Bag 101 is closed and whole." in lies.out
    assert "101 is not full: its label goes on with it" in said.out
    assert "Nothing was closed." in said.out
    # A second undo is meant.
    again = typed(B, first, "NO-SUCH", "undo", "undo")
    assert f"Out again: 1 × {first}" in again.out


def test_bags_of_one_opening_are_told_apart_where_only_some_of_them_left(ready):
    desk = desk_on(open_store())
    label = accepted_quote(desk, ["201", "202"], "Pairs of bags", quantity=2)
    needs = release_order(desk, by(), label, ToldRelease()).bags[0].needs
    for (_, sku), packs in needs:
        receive_stock(desk, by("odo"), ToldItem(sku), packs * 4, ToldPlace(bin="S-1"))
    bags = [
        each["bag"]
        for each in json.loads(done("bag", "list", "--order", label, "--json").out)["bags"]
    ]
    codes = [sku for (_, sku), packs in needs for _ in range(packs)]
    lines = [line for bag in bags[:3] for line in (bag, *codes, "close")]
    typed(*lines, "end", options=[part for bag in bags[:3] for part in ("--bag", bag)])
    assert "3 closed: 201, 202 (1 of 2)" in done("release", label, "--show").out
    shipped = done("ship", label, "--no-slip").out
    assert "3 bags sent: 201, 202 (1 of 2)" in shipped
    assert "still here: 1 (202 (2 of 2))" in shipped


def test_every_word_of_the_card_can_be_scanned_alone(ready, tmp_path):
    card = tmp_path / "words.pdf"
    assert f"{len(WORDS)} words" in done("pick", "--card", str(card), "--page", "A4").out
    assert card.read_bytes().startswith(b"%PDF")
    assert bag_states() == [BagState.READY] * 2
    paper = word_labels_paper(WORDS, by().day, SHEET_10, PageSize.A4)
    assert [label.bars.text for label in paper.labels if label.bars] == [w for w, _ in WORDS]
    said = typed(A, "instead", ready[0][0], ready[0][0], *(word for word, _ in WORDS))
    assert "is the same item" in said.out, "the two codes after it are taken as such"
    for word, _ in WORDS:
        assert f"Read: {word}" not in said.out, "none is taken for an item"
