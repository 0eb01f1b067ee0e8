"""The same schedule by both doors, `papers` and a job in the store; and papers of what was sent."""

import re
from dataclasses import replace
from pathlib import Path

import pytest
from tests.documents.test_papers import TEMPLATES
from tests.support.command import run
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store
from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.internal_sheet import InternalSheet
from wholekit.documents.make_flow import make_flow
from wholekit.documents.packing_slip import PackingSlipPaper
from wholekit.documents.papers import KitLabelsPaper, PickListPaper, QuotePaper
from wholekit.domain.openings import marks_named
from wholekit.domain.quotes.bag_id import bag_id_from
from wholekit.settings import bundled
from wholekit.wording.orders import CHANGED, NOT_ORDERED

SAMPLES = bundled("catalog_samples")
SUPPLIERS = ("quillmere", "tarrowby", "averlund")
FILES = ("quote.pdf", "pick-list.pdf", "kit-labels.pdf", "setting-cards.pdf", "packing-slip.pdf")
SCHEDULE = (
    "mark,quantity,size,door,frame,location,swing,fire_minutes,accessible,pressure,finish,note\n"
    "101,2,3070,hollow-metal,steel,exterior,out,,,25 Pa,,by the stair\n"
    "102,1,3068,wood,steel,interior,,20,,,,\n"
    "103,1,3070,hollow-metal,steel,interior,in,90,,,,\n"
    "104,3,3070,,,,,,yes,,,weatherstripped\n"
    "105,1,4080,hollow-metal,steel,,,,,,,\n"
    "106,2,2868,wood,,interior,,,,,690,\n"
)
HOUSE, CUSTOMER, JOB = "Fernhollow Door Supply", "Saltmarsh Builders", "Heron Quay School"


class Made:
    """Papers that were written, by their file: in it is the paper's number, in place of a PDF."""

    def __init__(self) -> None:
        self._papers: list[AnyPaper] = []

    def keep(self, paper: AnyPaper, out: Path, templates: Path, **_more: object) -> None:
        out.write_bytes(b"%PDF-" + str(len(self._papers)).encode())
        self._papers.append(paper)

    def __getitem__(self, path: Path) -> AnyPaper:
        return self._papers[int(path.read_bytes().removeprefix(b"%PDF-"))]

    def __len__(self) -> int:
        return len(self._papers)


@pytest.fixture
def made(monkeypatch) -> Made:
    papers = Made()
    monkeypatch.setattr("wholekit.documents.render.render_paper", papers.keep)
    return papers


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
    done("house", "settings", "--name", HOUSE)
    done("customer", "add", "saltmarsh", CUSTOMER, "--multiplier", "70%")
    done("job", "new", JOB, "--customer", "saltmarsh")
    done("job", "add", "1", str(tmp_path / "schedule.csv"))
    return tmp_path


def done(*arguments: str) -> None:
    result = run(*arguments)
    assert result.status == 0, result.err


def without_numbers(paper: AnyPaper) -> AnyPaper:
    """The paper without the number of the quote and of the job, and the bags' ids made of it."""
    paper = replace(paper, head=replace(paper.head, number=""))
    if isinstance(paper, QuotePaper):
        facts = tuple(fact for fact in paper.facts if fact[0] != "Our job")
        paper = replace(paper, facts=facts, revision=0)
    if isinstance(paper, KitLabelsPaper):
        labels = tuple(replace(label, bag_id="") for label in paper.labels)
        paper = replace(paper, labels=labels)
    return paper


def papers_of(made: Made, folder: Path) -> list[AnyPaper]:
    return [made[folder / name] for name in FILES]


def test_the_same_schedule_by_both_doors_gives_the_same_papers_to_the_letter(home, made):
    catalogs = [part for name in SUPPLIERS for part in ("--catalog", str(SAMPLES / name))]
    done(
        "papers", str(home / "schedule.csv"), *catalogs, "--multiplier", "0.7", "--from", HOUSE,
        "--customer", CUSTOMER, "--job", JOB, "--out", str(home / "one"),
    )  # fmt: skip
    done("quote", "issue", "1")
    done("quote", "papers", "Q-1", "--out", str(home / "two"))
    for each, two in zip(papers_of(made, home / "one"), papers_of(made, home / "two"), strict=True):
        assert without_numbers(each) == without_numbers(two)
        pages = [make_flow(without_numbers(paper), TEMPLATES) for paper in (each, two)]
        assert pages[0] == pages[1]
    quote = "".join(
        block.html for block in make_flow(made[home / "two" / "quote.pdf"], TEMPLATES).blocks
    )
    for said in ("Questions we need answered", "latching margin", "by the stair", "The note says"):
        assert said in quote
    assert isinstance(made[home / "one" / "margin-sheet.pdf"], InternalSheet)


def test_doors_not_quoted_are_named_by_both_doors_and_as_they_were_at_issue(home, made):
    sheet = home / "sent.csv"
    sheet.write_text(
        "Door No.,Door Size,Door Matl,Closer\n201,3070,HM,Regular\n202,3070,HM,By Others\n"
        "203,3070,HM,Regular\n204,NIC,,\n205,3070,HM,Regular\n",
        encoding="utf-8",
    )
    said = "202 (by others); 204 (not in contract)"
    alone = ("papers", str(sheet), "--catalog", str(SAMPLES / "tarrowby"))
    done(*alone, "--out", str(home / "one"))
    done("job", "new", "Heron Quay, east", "--customer", "saltmarsh")
    done("job", "add", "2", str(sheet))
    done("quote", "issue", "2")
    one, two = home / "one" / "quote.pdf", home / "two" / "quote.pdf"
    done("quote", "papers", "Q-1", "--out", str(home / "two"))
    for path in (one, two):
        paper = made[path]
        assert isinstance(paper, QuotePaper)
        assert paper.unasked == said
        assert [kit.places for kit in paper.kits] == ["201, 203, 205"]
    shown = run("job", "show", "2")
    assert f"Not in the quote, and named there: {said}." in " ".join(shown.out.split())
    readable = {"row": None, "column": "", "given": "", "code": ""}
    assert run("quote", "show", "Q-1", "--json").json["unasked"] == [
        {"mark": "202", "alternate": "", "why": "by-others", **readable},
        {"mark": "204", "alternate": "", "why": "not-in-contract", **readable},
    ]
    # Asked for later it is quoted, and what was sent stays as it was sent.
    done("job", "add", "2", "--opening", "202 3070 hollow-metal/steel")
    done("job", "remove", "2", "204")
    assert run("job", "remove", "2", "204").status == 2
    done("quote", "papers", "J-2", "--only", "quote", "--out", str(home / "draft.pdf"))
    done("quote", "papers", "Q-1/1", "--only", "quote", "--out", str(home / "again.pdf"))
    draft = made[home / "draft.pdf"]
    assert isinstance(draft, QuotePaper)
    assert draft.unasked == ""
    assert made[home / "again.pdf"] == made[two]
    assert "not in the quote: 204 (not in contract)" in run("job", "history", "2").out


def test_only_one_paper_is_a_file_or_in_a_folder_and_paper_is_another_name_for_it(home, made):
    done("quote", "issue", "1")
    done("quote", "papers", "Q-1", "--only", "pick-list", "--out", str(home / "list.pdf"))
    done("quote", "papers", "Q-1", "--only", "quote", "--out", str(home / "one"))
    done("quote", "paper", "Q-1", "--out", str(home / "two"))
    assert isinstance(made[home / "list.pdf"], PickListPaper)
    assert made[home / "one" / "quote.pdf"] == made[home / "two" / "quote.pdf"]
    assert len(made) == 3
    refused = run("quote", "papers", "Q-1", "--only", "invoice", "--out", str(home / "x"))
    assert (refused.status, len(made)) == (2, 3)


def test_what_is_not_accepted_says_so_on_every_paper_but_the_quote(home, made):
    done("quote", "issue", "1")
    done("quote", "papers", "Q-1", "--out", str(home / "two"))
    quote, *others = papers_of(made, home / "two")
    assert quote.head.notice == ""
    for paper in others:
        assert paper.head.notice == NOT_ORDERED
        for block in make_flow(paper, TEMPLATES).blocks[:1]:
            assert "NOT ORDERED" in block.html.replace("\u00a0", " ")
    labels = "".join(block.html for block in make_flow(others[1], TEMPLATES).blocks)
    labels = labels.replace("\u00a0", " ")
    assert labels.count("NOT ORDERED") == 10, "on each label"
    cards = make_flow(others[2], TEMPLATES).blocks
    assert all("NOT ORDERED" in card.html for card in cards)


def test_an_accepted_quote_is_picked_with_its_alternates_and_extra_goods(home, made):
    done("job", "alternate", "1", "alt-1", "--title", "Larger", "--deduct", "102")
    done("job", "copy", "1", "102", "202", "--to-alternate", "alt-1")
    done("job", "alternate", "1", "alt-2", "--title", "Without", "--deduct", "105")
    done(
        "job",
        "add-line",
        "1",
        "Hinges, pair",
        "--kind",
        "hardware",
        "--quantity",
        "4",
        "--price",
        "20",
    )
    done("job", "add-line", "1", "Rear gate only", "--kind", "hardware")
    done("job", "add-line", "1", "Fitting", "--kind", "labour", "--price", "65")
    done("quote", "issue", "1")
    done("quote", "accept", "Q-1", "--alternate", "alt-1")
    done("quote", "papers", "Q-1", "--out", str(home / "two"))
    _, picks, labels, cards, slip = papers_of(made, home / "two")
    assert isinstance(picks, PickListPaper)
    assert isinstance(labels, KitLabelsPaper)
    assert isinstance(slip, PackingSlipPaper)
    assert [opening.mark for opening in picks.openings] == [
        "101",
        "103",
        "104",
        "105",
        "106",
        "202 [alt-1]",
    ]
    assert [(extra.description, extra.quantity) for extra in picks.extras] == [("Hinges, pair", 4)]
    assert {label.mark for label in labels.labels} == {opening.mark for opening in picks.openings}
    assert slip.extras == picks.extras
    sent = {mark.mark for kit in slip.kits for mark in kit.marks}
    assert sent == {opening.mark for opening in picks.openings}
    assert {one.head.notice for one in (picks, labels, cards, slip)} == {""}
    # The order stands; a job that was changed after it says so.
    done("job", "edit", "1", "106", "finish=689")
    changed = run("quote", "papers", "Q-1", "--out", str(home / "three"), "--json")
    assert (changed.json["ordered"], changed.json["changed"]) == (True, True)
    assert "differs" in changed.err
    later = made[home / "three" / "pick-list.pdf"]
    assert later.head.notice == CHANGED
    assert replace(later, head=picks.head) == picks


def test_what_was_set_and_released_by_hand_reaches_the_warehouse(home, made):
    done("job", "edit", "1", "103", "hold_open=arm")
    done("job", "release", "1", "103", "hold-open-on-fire-door", "--reason", "letter of 3 June")
    offered = run("job", "show", "1", "--json").json
    assert offered["openings"]
    done("quote", "issue", "1")
    done("quote", "accept", "Q-1")
    done("quote", "papers", "Q-1", "--out", str(home / "two"))
    _, picks, labels, *_ = papers_of(made, home / "two")
    assert isinstance(picks, PickListPaper)
    assert isinstance(labels, KitLabelsPaper)
    (held,) = [opening for opening in picks.openings if opening.mark == "103"]
    assert held.stops == ()
    assert not any(label.held for label in labels.labels if label.mark == "103")


def test_labels_of_an_issued_quote_are_of_its_bags_and_of_the_stock_asked_for(home, made):
    done("quote", "issue", "1")
    draft = ("--out", str(home / "draft"), "--only", "kit-labels", "--labels", "4x6in")
    done("quote", "papers", "J-1", *draft)
    done("quote", "papers", "Q-1", "--out", str(home / "two"), "--labels", "2x1in")
    unsaved, labels = made[home / "draft" / FILES[2]], papers_of(made, home / "two")[2]
    assert isinstance(unsaved, KitLabelsPaper)
    assert isinstance(labels, KitLabelsPaper)
    assert (unsaved.stock.name, labels.stock.name) == ("4x6in", "2x1in")
    assert {label.bag_id for label in unsaved.labels} == {""}
    cards = make_flow(made[home / "two" / "setting-cards.pdf"], TEMPLATES).blocks[0].html
    named = {label.card: label.mark for label in labels.labels if label.card}
    rows = re.findall(r"<tr><td>([0-9]+)</td><td><b>([^<]+)", cards)
    every = [label.mark for label in labels.labels]
    for number, places in rows:
        if int(number) in named:
            assert named[int(number)] in marks_named(places.replace("–", "-").split(", "), every)[0]
    ids = [bag_id_from(label.bag_id) for label in labels.labels]
    assert {(bag.quote, bag.revision) for bag in ids} == {(1, 1)}
    refused = run("quote", "papers", "Q-1", "--out", str(home / "three"), "--labels", "5x5")
    assert refused.status == 2
    assert "sheet-10, sheet-4, 4x6in, a6, 2x1in" in " ".join(refused.err.split())
    assert not (home / "three").exists()


def test_a_packing_slip_of_a_part_is_of_the_openings_named(home, made):
    done("customer", "ship-to", "port", "Port Aldren", "--address", "3 Pier")
    done("job", "set", "1", "--ship-to", "port")
    done("quote", "issue", "1")
    done("quote", "accept", "Q-1")
    out = ("--out", str(home / "part.pdf"))
    part = ("quote", "papers", "Q-1", "--openings", "101-102", *out)
    done(*part, "--only", "packing-slip", "--parcel", "1/2")
    slip = made[home / "part.pdf"]
    assert isinstance(slip, PackingSlipPaper)
    assert [mark.mark for kit in slip.kits for mark in kit.marks] == ["101", "102"]
    assert (slip.parcel, slip.ship_to) == ((1, 2), ("Port Aldren", "3 Pier"))
    for wrong, says in ((part, "--only"), ((*part, "--parcel", "3/2"), "such as 2/3")):
        refused = run(*wrong)
        assert (refused.status, says in refused.err) == (2, True)
    unknown = run("quote", "papers", "Q-1", "--only", "packing-slip", "--openings", "9", *out)
    assert (unknown.status, "it has 101–106" in unknown.err) == (2, True)
    assert len(made) == 1
