"""Papers laid out side by side: the same as alone, all of them or none."""

import os
from dataclasses import replace
from functools import partial
from pathlib import Path

import pytest
from tests.documents.paper_factory import Style, make_labels, make_quote

from wholekit.documents import press_room, worker
from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.flow import Flow
from wholekit.documents.make_flow import make_flow
from wholekit.documents.press_room import PressRoom, in_press_room
from wholekit.documents.render import render_paper
from wholekit.domain.errors import CallError

TEMPLATES = Path(__file__).parents[2] / "templates"
forking = pytest.mark.skipif(not worker.CAN_FORK, reason="tasks have a process each on Linux only")


def broken(flow: Flow) -> Flow:
    """Its last block is no XML."""
    return replace(flow, blocks=(*flow.blocks, flow.blocks[0]._replace(html="<p>never closed")))


def test_papers_made_together_are_those_made_alone_and_come_at_the_end(tmp_path):
    papers: dict[str, AnyPaper] = {
        "rare.pdf": make_quote(1, Style(note="Ж Ω ½ →")),
        "labels.pdf": make_labels(3),
    }

    def fill(room: PressRoom) -> None:
        for name, paper in papers.items():
            render_paper(paper, tmp_path / "room" / name, TEMPLATES, room=room)
        assert not list((tmp_path / "room").glob("*.pdf"))

    (tmp_path / "room").mkdir()
    in_press_room(fill, several=True)
    assert {path.name for path in (tmp_path / "room").iterdir()} == set(papers)
    for name, paper in papers.items():
        render_paper(paper, tmp_path / name, TEMPLATES)
        assert (tmp_path / "room" / name).read_bytes() == (tmp_path / name).read_bytes()


def test_where_one_fails_it_is_named_and_none_comes(tmp_path):
    whole = make_flow(make_quote(1), TEMPLATES)

    def fill(room: PressRoom) -> None:
        room.take(lambda: whole, tmp_path / "0.pdf")
        room.take(lambda: broken(whole), tmp_path / "1.pdf")

    with pytest.raises(CallError) as refused:
        in_press_room(fill, several=True)
    assert refused.value.code == "paper-not-written"
    assert refused.value.fields["path"] == str(tmp_path / "1.pdf")
    assert "layout ended with 1" in str(refused.value.fields["because"])
    assert not list(tmp_path.iterdir())


def test_a_fault_of_the_caller_ends_the_room_and_leaves_nothing(tmp_path):
    rooms: list[PressRoom] = []

    def fill(room: PressRoom) -> None:
        rooms.append(room)
        room.take(partial(make_flow, make_quote(1), TEMPLATES), tmp_path / "quote.pdf")
        raise CallError("demo-stopped", stops="one")

    with pytest.raises(CallError):
        in_press_room(fill)
    assert rooms[0]._process.poll() is not None
    assert not list(tmp_path.iterdir())


def test_a_worker_that_dies_leaves_no_paper(tmp_path, monkeypatch):
    monkeypatch.setattr(press_room, "WORKER", "wholekit.no_such_module")
    with pytest.raises(CallError) as refused:
        render_paper(make_quote(70), tmp_path / "quote.pdf", TEMPLATES)
    assert "no_such_module" in str(refused.value.fields["because"])
    assert not list(tmp_path.iterdir())


@forking
def test_one_of_several_is_laid_out_in_two_runs_only_where_it_is_long(tmp_path, monkeypatch):
    asked: list[tuple[int, int]] = []

    def kept(flow: Flow, processes: int, folder: Path) -> str:
        asked.append((len(flow.blocks), processes))
        return write_task(flow, processes, folder)

    write_task = worker.write_task
    monkeypatch.setattr(worker, "write_task", kept)
    short = make_flow(make_quote(1), TEMPLATES)
    long = replace(short, blocks=(short.blocks[0],) * press_room.LONG)

    def fill(room: PressRoom) -> None:
        room.take(lambda: short, tmp_path / "short.pdf")
        room.take(lambda: long, tmp_path / "long.pdf")
        raise CallError("demo-stopped", stops="seen enough")

    for several, shorter in ((True, 1), (False, 2)):
        with pytest.raises(CallError):
            in_press_room(fill, 2, several=several)
        assert asked == [(len(short.blocks), shorter), (press_room.LONG, 2)]
        asked.clear()


@forking
def test_a_place_is_free_again_whatever_ends_the_run():
    places = worker.Places(2)
    os.set_blocking(places._free, False)

    def take_a_third() -> None:
        with places.taken(), places.taken(), places.taken():
            raise AssertionError

    for _ in range(2):  # what the first try took is there again
        with pytest.raises(BlockingIOError):
            take_a_third()
        with places.taken(), places.taken():
            pass
