"""How far long work is: on a terminal, on one line, gone in the end; never in what is data."""

import io
import json
from contextlib import redirect_stderr
from types import SimpleNamespace

import pytest
from tests.support import command
from tests.support.databases import empty_place
from tests.support.deeds import wide_catalog
from tests.support.house import SAMPLES
from tests.support.jobs import by

from wholekit.cli import progress as lines
from wholekit.services.catalog_loads import load, plan_loads
from wholekit.settings import bundled
from wholekit.store.backup import back_up, restore
from wholekit.store.check import check_store

FOLDERS = [str(bundled("catalog_samples") / name) for name in SAMPLES]


class Terminal(io.StringIO):
    def isatty(self):
        return True


def screen(written: str) -> list[str]:
    """What stands on a terminal in the end: a carriage return goes on over what is there."""
    shown = []
    for line in written.split("\n"):
        cells: list[str] = []
        for part in line.split("\r"):
            cells[: len(part)] = part
        shown.append("".join(cells).rstrip())
    return shown


@pytest.fixture
def clock(monkeypatch):
    """The time that the line goes by; set `now` [s]."""
    clock = SimpleNamespace(now=100.0)
    monkeypatch.setattr(lines, "time", SimpleNamespace(monotonic=lambda: clock.now))
    return clock


def test_one_line_is_written_anew_and_taken_away(clock):
    terminal = Terminal()
    with redirect_stderr(terminal), lines.shown("backup:") as progress:
        for done, now in ((0, 100.0), (10, 101.0), (11, 101.01), (50, 102.0), (99, 103.0)):
            clock.now = now
            progress("copying a long name" if done < 50 else "copying", done, 99)
        assert screen(terminal.getvalue()) == ["backup: copying … 100 %"]
    written = terminal.getvalue()
    assert [line.strip() for line in written.split("\r")] == [
        "",
        "backup: copying a long name …  10 %",
        "backup: copying …  50 %",
        "backup: copying … 100 %",
        "",
        "",
    ], "not at once, and not oftener than can be read"
    assert screen(written) == [""]


def test_the_line_is_gone_before_an_error_is_told(clock):
    terminal = Terminal()

    def fail():
        with redirect_stderr(terminal), lines.shown("check:") as progress:
            clock.now += 1
            progress("contents", 1, 2)
            raise ValueError

    with pytest.raises(ValueError):  # noqa: PT011  # raised just above
        fail()
    assert "50 %" in terminal.getvalue()
    assert screen(terminal.getvalue()) == [""]


def test_the_line_fits_the_terminal(clock, monkeypatch):
    monkeypatch.setenv("COLUMNS", "60")
    terminal = Terminal()
    with redirect_stderr(terminal), lines.shown() as progress:
        clock.now += 1
        progress("reading " + "long/" * 40 + "prices.csv", 1, 2)
    assert "long/prices.csv …  50 %" in terminal.getvalue()
    assert max(len(line) for line in terminal.getvalue().split("\r")) < 60


def test_nothing_is_shown_where_nobody_watches_or_all_is_done_at_once(clock):
    for made in (io.StringIO(), Terminal()):
        with redirect_stderr(made), lines.shown("check:") as progress:
            clock.now += 1 if not made.isatty() else 0
            progress("contents", 1, 2)
        assert made.getvalue() == ""


@pytest.mark.parametrize("json_wanted", [False, True], ids=["text", "json"])
def test_every_long_command_tells_how_far_it_is_and_ends_with_a_clean_line(
    tmp_path, monkeypatch, json_wanted
):
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path / "home"))
    monkeypatch.setattr(lines, "AT_ONCE", 0)
    monkeypatch.setattr(lines, "STEP", 0)
    monkeypatch.setattr("wholekit.intake.price_book.TOLD_EVERY", 50)
    monkeypatch.setattr("wholekit.store.progress.OFTEN", 50)
    monkeypatch.setattr(
        command, "io",
        SimpleNamespace(StringIO=Terminal, BytesIO=io.BytesIO, TextIOWrapper=io.TextIOWrapper),
    )  # fmt: skip
    kept = str(tmp_path / "kept")
    for call, steps in (
        (
            ("catalog", "load", *FOLDERS, "--yes", "--by", "odo"),
            ("reading", "comparing", "writing"),
        ),
        (("db", "backup", kept), ("backup: copying",)),
        (("db", "restore", kept, "--overwrite"), ("restore: copying", "restore: writing")),
        (("db", "check"), ("check: catalog_item", "check: contents")),
    ):  # fmt: skip
        result = command.run(*call, *(["--json"] if json_wanted else []))
        assert result.status == 0, result.err
        for step in steps:
            assert f"\r{step}" in result.err
        assert result.err.count(" %") >= len(steps)
        assert screen(result.err) == [""]
        assert "%" not in "".join(line for line in result.out.splitlines() if "…" in line)
        if json_wanted:
            json.loads(result.out)


def test_the_store_tells_how_much_of_how_much_up_to_all_of_it(store, engine, tmp_path, monkeypatch):
    monkeypatch.setattr("wholekit.store.file_copy._PAGES", 100)
    told: list[tuple[str, int, int]] = []

    def progress(what, done, total):
        told.append((what, done, total))

    load(store, by("odo"), plan_loads(store, by("odo"), [wide_catalog(12_000)]), progress)
    assert told == [("writing wide", 5_000, 12_000), ("writing wide", 10_000, 12_000)]
    target = tmp_path / "target"
    target.mkdir()
    place = empty_place(engine, target)
    for work in (
        lambda: back_up(store.place, tmp_path / "kept", progress),
        lambda: restore(tmp_path / "kept", place, overwrite=False, progress=progress),
        lambda: check_store(place, progress),
    ):
        told.clear()
        work()
        steps = list(dict.fromkeys(what for what, _, _ in told))
        assert told[-1][1] == told[-1][2], "all of it in the end"
        assert len(told) > len(steps)
        for step in steps:
            done = [part for what, part, _ in told if what == step]
            assert done == sorted(done)
        assert all(0 <= part <= total for _, part, total in told)
    place.close()
