"""How a call ends: status, one sentence, nothing half made, whatever becomes of it."""

import os
import re
import signal
import subprocess
import sys

import pytest
from tests.support.command import run
from tests.support.process import call, ended, stopped_when

SAMPLE = ("--catalog", "catalog_samples/tarrowby")
OPENING = ("--opening", "101 3070 hollow-metal/steel interior 689")
PAPERS = (
    "quote.pdf",
    "pick-list.pdf",
    "kit-labels.pdf",
    "packing-slip.pdf",
    "margin-sheet.pdf",
    "setting-cards.pdf",
)
unix = pytest.mark.skipif(os.name != "posix", reason="signals and streams are another matter there")


def in_a_shell(line, **environment):
    """A call with what only a shell can do to its streams."""
    return subprocess.run(
        ["/bin/sh", "-c", f'"{sys.executable}" -m wholekit {line}'],
        env=os.environ | environment,
        capture_output=True,
        timeout=120,
        check=False,
    )


@unix
@pytest.mark.parametrize("arguments", [("rules",), ("kit", *OPENING, *SAMPLE), ("--help",)])
def test_output_nobody_reads_ends_with_the_status_of_a_closed_pipe(arguments):
    reader, writer = os.pipe()
    os.close(reader)
    process = call(*arguments, stdout=writer)
    os.close(writer)
    assert ended(process) == (141, "", "")


@unix
@pytest.mark.parametrize("closed", ["<&-", "2>&-", "<&- 2>&-"])
def test_closed_input_and_error_streams_are_no_reason_to_fail(closed):
    done = in_a_shell(f'kit --opening "101 3070" {" ".join(SAMPLE)} {closed}')
    assert done.returncode == 0, done.stderr
    assert b"Traceback" not in done.stderr


@unix
def test_an_answer_that_cannot_be_written_anywhere_is_a_failure_told_in_a_sentence():
    done = in_a_shell(f'kit --opening "101 3070" {" ".join(SAMPLE)} >&-')
    assert done.returncode == 2
    assert re.fullmatch(rb"The answer could not be written: [^.]+[.]\n", done.stderr)
    assert in_a_shell(f'kit --opening "101 3070" {" ".join(SAMPLE)} >&- 2>&-').returncode == 2


@unix
def test_a_file_opened_later_never_takes_the_place_of_a_closed_stream(tmp_path):
    for _ in range(2):
        in_a_shell("db upgrade >&- 2>&-", WHOLEKIT_HOME=str(tmp_path))
    assert (tmp_path / "wholekit.sqlite3").read_bytes()[:15] == b"SQLite format 3"


@unix
def test_ctrl_c_while_the_program_is_loaded_ends_without_a_traceback():
    code = (
        "import builtins, sys, wholekit.__main__ as start\n"
        "real = builtins.__import__\n"
        "def interrupted(name, *rest, **more):\n"
        "    if name.startswith('wholekit.cli'):\n"
        "        raise KeyboardInterrupt\n"
        "    return real(name, *rest, **more)\n"
        "builtins.__import__ = interrupted\n"
        "start.main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, timeout=120, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")


@unix
@pytest.mark.parametrize(("number", "status"), [(signal.SIGINT, 130), (signal.SIGTERM, 143)])
def test_stopped_papers_leave_nothing_half_made(tmp_path, number, status):
    out = tmp_path / "new" / "papers"
    process = call("papers", *OPENING, *SAMPLE, "--out", str(out))
    found, _, err = stopped_when(process, lambda: any(out.glob(".making-*/.*/paper.pdf")), number)
    assert found == status
    assert "Traceback" not in err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("named", [False, True])
def test_papers_that_name_no_house_say_so_and_are_made(tmp_path, named):
    name = ("--from", "Fernhollow Door Supply") if named else ()
    process = call("papers", *OPENING, *SAMPLE, "--out", str(tmp_path / "papers"), *name)
    _, err = process.communicate(timeout=120)
    assert (b"No letterhead" in err) is not named
    assert (tmp_path / "papers" / "quote.pdf").is_file()


# A signal at the one moment that is meant: sent by the program to itself, its papers quickly made.
SIGNALLED = """
import builtins, os, shutil, signal, sys, tempfile
import wholekit.__main__ as start
import wholekit.documents.out_folder as folder
import wholekit.documents.render as render
sent = []
def told(function):
    def telling(*given, **more):
        done = function(*given, **more)
        if not sent:
            sent.append(True)
            os.kill(os.getpid(), signal.SIGTERM)
        return done
    return telling
def swallowing(function):
    def deaf(*given, **more):
        try:
            os.kill(os.getpid(), signal.SIGTERM)
        except BaseException:
            pass
        return function(*given, **more)
    return deaf
def quick(paper, out, templates, **more):
    out.write_bytes(b"%PDF-")
render.render_paper = quick
exec({patch!r})
sys.argv = ["wholekit", *{arguments!r}]
start.main()
"""
MOMENTS = {
    "as the folder is made": ("folder._make = told(folder._make)", False),
    "as the folder apart is made": ("tempfile.mkdtemp = told(tempfile.mkdtemp)", False),
    "in a paper": ("render.render_paper = told(quick)", False),
    "in what swallows it": ("render.render_paper = swallowing(quick)", False),
    "between two moves": ("folder.Path.replace = told(folder.Path.replace)", True),
    "as the press room is left": (
        "from wholekit.documents.press_room import PressRoom as r; r.close = told(r.close)",
        False,
    ),
    "as the folder apart goes": ("folder._tidy = told(folder._tidy)", True),
    "while the answer is told": (
        "import wholekit.cli.papers as papers; papers.say = told(papers.say)",
        True,
    ),
}


@unix
@pytest.mark.parametrize("moment", MOMENTS)
def test_a_signal_at_any_moment_leaves_all_papers_or_none_and_is_not_lost(tmp_path, moment):
    patch, there = MOMENTS[moment]
    out = tmp_path / "new" / "papers"
    arguments = ("papers", *OPENING, *SAMPLE, "--out", str(out))
    done = subprocess.run(
        [sys.executable, "-c", SIGNALLED.format(patch=patch, arguments=arguments)],
        capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert (done.returncode, "Traceback" in done.stderr) == (143, False), done.stderr
    found = sorted(path.name for path in out.iterdir()) if there else list(tmp_path.iterdir())
    assert found == (sorted(PAPERS) if there else [])


@unix
def test_a_large_paper_that_is_stopped_takes_its_processes_along(tmp_path):
    schedule = tmp_path / "s.csv"
    rows = "".join(f"{number},3070\n" for number in range(200))
    schedule.write_text(f"mark,size\n{rows}", encoding="utf-8")
    out = tmp_path / "papers"
    process = call("papers", str(schedule), *SAMPLE, "--out", str(out))
    # The last file that is made before layout begins is the font that was cut for it.
    found, _, err = stopped_when(
        process, lambda: any(out.glob(".making-*/.*/font.ttf")), signal.SIGTERM
    )
    assert (found, "Traceback" in err) == (143, False)
    assert [path.name for path in tmp_path.iterdir()] == ["s.csv"]


def test_papers_come_all_or_not_at_all(tmp_path):
    other = tmp_path / "setting-cards.pdf"
    other.write_text("mine", encoding="utf-8")
    call_again = ("papers", *OPENING, *SAMPLE, "--out", str(tmp_path))
    status, out, err = ended(call(*call_again))
    assert (status, out) == (2, "")
    assert "setting-cards.pdf is there and is no PDF" in err
    assert [path.name for path in tmp_path.iterdir()] == ["setting-cards.pdf"]
    other.unlink()
    older = tmp_path / "quote.pdf"
    older.write_bytes(b"%PDF-old")
    assert ended(call(*call_again))[0] == 0
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(PAPERS)
    assert older.read_bytes()[:8] == b"%PDF-1.3"


def test_a_fault_of_the_program_has_its_own_status_and_one_sentence(monkeypatch):
    code = (
        "import sys, wholekit.cli.kit as kit, wholekit.__main__ as start\n"
        "def broken(*_): raise ZeroDivisionError('secret')\n"
        "kit.open_house = broken\n"
        f"sys.argv = ['wholekit', 'kit', '--opening', '101 3070', *{SAMPLE!r}]\n"
        "start.main()\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=120, check=False
    )
    assert (done.returncode, done.stdout) == (3, "")
    said = r"wholekit failed by a fault of its own \(ZeroDivisionError in kit\.py, line \d+\); .+\n"
    assert re.fullmatch(said, done.stderr)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("job", "list", "--page", "9" * 30), "1000000"),
        (("papers", *OPENING, *SAMPLE, "--out", "x", "--date", "9999-12-31"), "year 9999"),
        (("papers", *OPENING, *SAMPLE, "--out", "x", "--multiplier", "1e-40"), "0.001 to 10"),
        (("papers", *OPENING, *SAMPLE, "--out", "x", "--multiplier", "1e9999999"), "0.001 to 10"),
        (("papers", *OPENING, *SAMPLE, "--out", "x", "--floor", "1e9999999"), "30%"),
        (("papers", *OPENING, *SAMPLE, "--out", "x", "--customer", "x" * 5_000), "120 characters"),
        (("papers", *OPENING, *SAMPLE, "--out", "x", "--from", "x" * 5_000), "120 characters"),
        (("kit", *OPENING, "--catalog", "x" * 5_000), "no catalogue folder"),
        (("db", "restore", "x" * 5_000), "no backup"),
    ],
)
def test_a_call_out_of_all_bounds_is_refused_at_once(tmp_path, monkeypatch, arguments, said):
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    done = run(*arguments)
    assert (done.status, done.out) == (2, ""), done.err
    assert said in " ".join(done.err.split())
    assert "Traceback" not in done.err


def test_a_home_that_is_not_known_is_told(monkeypatch, tmp_path):
    status, _, err = ended(call("job", "list", env=os.environ | {"WHOLEKIT_HOME": "~nouser/data"}))
    assert (status, "Traceback" in err) == (2, False)
    assert "~nouser/data" in err
