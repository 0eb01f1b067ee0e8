"""The same schedule by both doors: `papers`, and a job in the store; and papers of what was sent."""

import re
from pathlib import Path

import pytest
from pypdf import PdfReader
from tests.support.command import run
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store
from wholekit.settings import bundled

SAMPLES = bundled("catalog_samples")
SUPPLIERS = ("quillmere", "tarrowby", "averlund")
FILES = ("quote.pdf", "pick-list.pdf", "kit-labels.pdf", "setting-cards.pdf")
SCHEDULE = (
    "mark,quantity,size,door,frame,location,swing,fire_minutes,accessible,hold_open,pressure,note\n"
    "101,2,3070,hollow-metal,steel,exterior,out,,,,25 Pa,by the stair\n"
    "102,1,3068,wood,steel,interior,,20,,,,\n"
    "103,1,3070,hollow-metal,steel,interior,in,90,,,,\n"
    "104,3,3070,,,,,,yes,,,\n"
    "105,1,4080,hollow-metal,steel,,,,,,,\n"
    "106,2,2868,wood,,interior,,,,,,\n"
)
NUMBER = re.compile(r"Q-\d+(?:/\d+)?|J-\d+|Our job")
HOUSE, CUSTOMER, JOB = "Fernhollow Door Supply", "Saltmarsh Builders", "Heron Quay School"


def texts(path: Path) -> list[str]:
    """A paper's text, page by page."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(path).pages]


def letters(path: Path) -> list[str]:
    """A paper's text without the number of the quote and of the job."""
    return [" ".join(NUMBER.sub("", page).split()) for page in texts(path)]


@pytest.fixture
def home(monkeypatch, tmp_path):
    """A store with the three catalogues, and a job of the schedule in it."""
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path / "home"))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    monkeypatch.setenv("WHOLEKIT_USER", "ines")
    store = open_store()
    for name in SUPPLIERS:
        put_catalog(store, sample(name))
    (tmp_path / "schedule.csv").write_text(SCHEDULE, encoding="utf-8")
    for arguments in (
        ("house", "settings", "--name", HOUSE),
        ("customer", "add", "saltmarsh", CUSTOMER, "--multiplier", "70%"),
        ("job", "new", JOB, "--customer", "saltmarsh"),
        ("job", "add", "1", str(tmp_path / "schedule.csv")),
    ):
        done = run(*arguments)
        assert done.status == 0, done.err
    return tmp_path


def by_schedule(folder: Path) -> None:
    catalogs = [part for name in SUPPLIERS for part in ("--catalog", str(SAMPLES / name))]
    done = run(
        "papers", str(folder / "schedule.csv"), *catalogs, "--multiplier", "0.7", "--from", HOUSE,
        "--customer", CUSTOMER, "--job", JOB, "--out", str(folder / "one"),
    )  # fmt: skip
    assert done.status == 0, done.err


def test_the_same_schedule_by_both_doors_gives_the_same_papers_to_the_letter(home):
    by_schedule(home)
    assert run("quote", "issue", "1").status == 0
    assert run("quote", "papers", "Q-1", "--out", str(home / "two")).status == 0
    for name in FILES:
        assert letters(home / "one" / name) == letters(home / "two" / name), name
    quote = " ".join(texts(home / "two" / "quote.pdf"))
    for said in ("Questions we need answered", "latching margin", "by the stair"):
        assert said in quote
