"""From a contractor's sheet to a sent quote in five commands, nothing typed anew."""

import csv
import io
import re
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from tests.openings.sheets_as_sent import SENT
from tests.support.command import done, run
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store
from wholekit.domain.openings import marks_named
from wholekit.intake.faults import Faults
from wholekit.intake.sheet_text import commonest_separator, decode

pytestmark = pytest.mark.usefixtures("shop")


@pytest.fixture
def papers(monkeypatch):
    """The papers as they were filled; how they look is tested elsewhere."""
    made = []

    def keep(paper, out: Path, _templates, **_more):
        made.append(paper)
        out.write_bytes(b"")

    monkeypatch.setattr("wholekit.documents.render.render_paper", keep)
    return made


def roomless(kit):
    return replace(kit, places="", marks=tuple(replace(mark, room="") for mark in kit.marks))


def remarks(paper):
    """What is asked of which openings, what each answer comes to, and what is assumed.

    Beside doors that are not quoted ranges end elsewhere, so each is told mark by mark; marks in
    brackets are left out.
    """
    known = [mark.mark for kit in paper.kits for mark in kit.marks]

    def of(places):
        told = [each for group in places for each in group.split(", ")]
        return set(marks_named(told, sorted(known))[0]) or set(known)

    def bare(text):
        return singly(re.sub(r" ?\([^()]*\)", "", text))

    def singly(text):
        return re.sub(r"\w+–\w+", lambda run: ", ".join(sorted(of([run[0]]))), text)

    def named(effect, asked):
        """Who is left out of those asked about is as good as who is in it."""
        return re.sub(
            r"all of these but ((?:\w+, )*\w+)",
            lambda but: ", ".join(sorted(asked - of([but[1]]))),
            bare(effect),
        )

    asked = [
        (
            bare(one.text),
            of(one.marks),
            [(answer, named(effect, of(one.marks))) for answer, effect in one.answers],
        )
        for one in paper.questions
    ]
    return asked, singly(str(paper.assumptions))


@pytest.mark.parametrize("sent", SENT, ids=lambda sent: sent.name)
def test_a_sheet_as_sent_becomes_the_quote_of_what_it_means_in_five_commands(
    sent, papers, tmp_path
):
    for name in ("quillmere", "averlund"):
        put_catalog(open_store(), sample(name))
    sheet, pdf = tmp_path / sent.name, tmp_path / "quote.pdf"
    sheet.write_bytes(sent.data)
    assert len(sent.calls) == 5
    told = ""
    for number, call in enumerate(sent.calls):
        result = run(*(str({"SHEET": sheet, "PDF": pdf}.get(word, word)) for word in call.split()))
        assert result.status == (2 if number in sent.refused else 0), (call, result.err)
        told += result.err
    assert sent.asks in " ".join(told.split())
    assert told.count("ASKED") == 1, "the sheet says all else itself"
    clean = tmp_path / "typed.csv"
    clean.write_text(sent.typed, encoding="utf-8")
    done("job", "new", "Typed", "--customer", "saltmarsh")
    assert run("job", "add", "3", str(clean), "--strict").status == 0
    assert run("quote", "issue", "3").status == 0
    assert run("quote", "paper", "Q-2", "--out", str(tmp_path / "typed.pdf")).status == 0
    of_sheet, of_typed = papers
    # What was typed has no rooms, and no doors that are not quoted, at which ranges end.
    assert tuple(map(roomless, of_sheet.kits)) == tuple(map(roomless, of_typed.kits))
    assert of_sheet.totals == of_typed.totals
    assert remarks(of_sheet) == remarks(of_typed)
    assert of_sheet.open == ()
    assert not of_sheet.draft
    back = tmp_path / f"back-{sent.name}"
    assert sent_back(sent, sheet, back) == of_sheet.totals.hardware.decimal


def sent_back(sent, sheet, back):
    """What the prices come to that the customer's sheet has when it is sent back."""
    adds = [
        call.split()
        for number, call in enumerate(sent.calls)
        if call.startswith("job add") and number not in sent.refused
    ]
    ways = [word for words in adds for word in words[words.index("SHEET") + 1 :]]
    done = run("quote", "schedule", "Q-1", str(sheet), *ways, "--out", str(back))
    assert done.status == 0, done.err
    over = run("quote", "schedule", "Q-1", str(sheet), *ways, "--out", str(sheet))
    assert (over.status, sheet.read_bytes()) == (2, sent.data)
    if back.suffix == ".xlsx":
        rows = [
            list(row)
            for found in openpyxl.load_workbook(back)
            for row in found.iter_rows(values_only=True)
        ]
    else:
        text, _ = decode(back.read_bytes(), Faults(back.name))
        rows = list(csv.reader(io.StringIO(text), delimiter=commonest_separator(text)))
    (heads,) = {at for row in rows for at, cell in enumerate(row) if cell == "Price [USD]"}
    prices = [row[heads] for row in rows if len(row) > heads]
    shown = [f"{price}".replace(",", ".") for price in prices if price is not None]
    return sum(Decimal(price) for price in shown if price[:1].isdecimal())
