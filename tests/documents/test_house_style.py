"""Papers in the look of a house, and without one; what an issued revision keeps of it."""

import re
from dataclasses import replace
from datetime import date, timedelta
from io import BytesIO
from pathlib import Path

import pikepdf
import pytest
from PIL import Image
from pypdf import PdfReader
from tests.documents.paper_factory import make_quote, make_setting_cards
from tests.documents.test_house_folder import SAMPLE, house
from tests.documents.test_house_folder import read as read_folder
from tests.support.command import run
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, opening, shelf
from tests.support.jobs import a_job, by, frozen, furnished, plain
from tests.support.offers import offered

from wholekit.cli import house_preview
from wholekit.documents import comparison, render
from wholekit.documents.archive import Archive
from wholekit.documents.dress import dressed
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.papers import Letterhead
from wholekit.documents.render import render_paper
from wholekit.documents.worker import read_task, write_task
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import PLAIN, HouseCard, HouseStyle, HouseTexts, Logo, PageSize
from wholekit.domain.openings import Opening
from wholekit.domain.quotes.proposal import as_proposal
from wholekit.domain.walk import Stretch, Walk
from wholekit.services.desk import Desk
from wholekit.services.jobs import edit_job
from wholekit.services.quote_papers import revision_shown
from wholekit.services.quotes import issue_quote
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.settings import bundled
from wholekit.store.engine import sqlite_place
from wholekit.store.migrate import upgrade
from wholekit.store.parties import SqlPolicy
from wholekit.wording.errors import say_error
from wholekit.wording.offers import HouseWords

SOURCE = Path(__file__).parents[2] / "src"
TEMPLATES = bundled("templates")
DAY = date(2026, 11, 26)
OPENING = Opening("101", opening("3070"))
NAMED = HouseCard("Fernhollow", ("Lane 1",), "555", "a@b.example", (("", HouseTexts(
    ("Goods stay ours.",), ("Permit 7",), "At the foot"
)),))  # fmt: skip


def png(width=300, height=100, mode="RGBA"):
    written = BytesIO()
    Image.new(mode, (width, height), (20, 90, 60, 128)[: len(mode)]).save(written, "PNG")
    return Logo("image/png", written.getvalue(), width, height)


def printed(paper, folder, **how):
    out = folder / "paper.pdf"
    render_paper(paper, out, TEMPLATES, **how)
    return out


def text_of(out):
    return " ".join(" ".join(page.extract_text().split()) for page in PdfReader(out).pages)


@pytest.fixture
def as_text(monkeypatch):
    """Papers are written as what their pages hold, without the time that laying them out takes."""

    def write(make, blocks, out, **_):
        flow = make()
        assert blocks >= 0
        texts = (flow.title, flow.running, flow.house, *(block.html for block in flow.blocks))
        out.write_text("\n".join(texts), encoding="utf-8")

    for module in (render, comparison):
        monkeypatch.setattr(module, "render_flow", write)


def figures(out):
    """Alternative texts of the figures among a file's tags."""
    with pikepdf.open(out) as book:
        return [
            str(each.get("/Alt", ""))
            for each in book.objects
            if isinstance(each, pikepdf.Dictionary) and each.get("/S") == "/Figure"
        ]


def test_without_a_house_a_paper_has_no_name_and_no_author(tmp_path):
    paper = make_quote(1)
    bare = replace(paper, head=replace(paper.head, letterhead=Letterhead("")))
    out = printed(bare, tmp_path, kept=Archive("a.json", "a", "application/json", b"{}"))
    assert text_of(out).startswith("Quote Q-20417")
    with pikepdf.open(out) as book:
        assert "/Author" not in book.docinfo
        assert "dc:creator" not in book.open_metadata()


def test_no_name_of_ours_stands_in_for_the_house():
    old = SOURCE / "wholekit/store/migrations/versions/v0007_no_house_name.py"
    found = [
        path
        for path in (*SOURCE.rglob("*.py"), *TEMPLATES.rglob("*.html"))
        if "Door hardware supply" in path.read_text(encoding="utf-8")
    ]
    assert found == [old]


def test_a_store_that_was_given_our_name_has_none_and_one_of_its_own_stays(tmp_path):
    for name, kept in (("Door hardware supply", ""), ("Fernhollow", "Fernhollow")):
        place = sqlite_place(tmp_path / f"{kept}.sqlite3")
        upgrade(place, to="0005")
        with place.writing() as connection:
            policy = replace(SqlPolicy(connection).get(), house_name=name, version=2)
            SqlPolicy(connection).save(policy, 1)
        upgrade(place)
        with place.reading() as connection:
            assert SqlPolicy(connection).get() == replace(policy, house_name=kept)


@pytest.mark.parametrize("logo", [png(20, 300), read_folder(SAMPLE)[0].logo])
def test_the_logo_is_a_tagged_figure_with_the_name_and_the_archive_form_holds(logo, tmp_path):
    style = HouseStyle(logo=logo, accent="#2f5d50", paper=PageSize.A4)
    paper = dressed(make_quote(2), style)
    kept = Archive("a.json", "a", "application/json", b"{}")
    out = printed(paper, tmp_path, kept=kept)
    assert figures(out) == [paper.head.letterhead.name]
    with pikepdf.open(out) as book:
        pictures = [each for each in book.objects if isinstance(each, pikepdf.Stream)
                    and each.get("/Subtype") == "/Image"]  # fmt: skip
        assert bool(pictures) == (logo.media_type == "image/png")
        # ISO 19005-3, 6.2.8 (from memory): where an image has Interpolate, it is false.
        assert not any(each.get("/Interpolate", False) for each in pictures)
        assert [round(float(side)) for side in book.pages[0].MediaBox[2:]] == [595, 842]
        # 0x2f, 0x5d, 0x50 of 255, the rule under the letterhead.
        assert b"0.184314 0.364706 0.313725" in b"".join(
            content.read_bytes() for content in [book.pages[0].Contents]
        )
    assert out.read_bytes() == printed(paper, tmp_path, kept=kept).read_bytes()


def test_every_card_has_the_logo_and_pages_stay_as_many(tmp_path):
    cards = make_setting_cards(2)
    plain_pages = len(PdfReader(printed(cards, tmp_path)).pages)
    out = printed(dressed(cards, read_folder(SAMPLE)[0]), tmp_path)
    assert len(PdfReader(out).pages) == plain_pages
    assert figures(out).count(cards.head.letterhead.name) >= len(cards.cards)


def test_a_process_apart_is_given_the_logo_too(tmp_path):
    flow = make_flow(dressed(make_quote(1), HouseStyle(logo=png())), TEMPLATES)
    assert flow.logo.startswith("data:image/png;base64,")
    assert read_task(write_task(flow, 1, tmp_path)) == (flow, 1, tmp_path)


def snapshot(card=NAMED, locale="en_US", price=1, number=""):
    asker = Asker("Saltmarsh Builders", "Bay", price, locale)
    workup = work_up_schedule([OPENING], shelf("tarrowby"), RULES, DAY, asker)
    headed = Headed(
        number, 0, DAY, DAY + timedelta(30), "", "", None,
    ).said_by(card)  # fmt: skip
    return make_snapshot(workup, HouseWords(lambda: card), RULES, headed)


def test_what_the_house_says_stands_on_its_papers(tmp_path):
    said = text_of(printed(quote_paper(snapshot().offer), tmp_path))
    for text in ("Fernhollow", "Lane 1", "555", "a@b.example", "Permit 7", "Goods stay ours."):
        assert said.count(text) == 1, text
    assert said.count("At the foot") == len(PdfReader(tmp_path / "paper.pdf").pages)


def test_a_language_the_house_does_not_send_is_english_and_its_texts_follow_the_language():
    french = (("", HouseTexts(footer="here")), ("fr", HouseTexts(footer="ici")))
    both = replace(NAMED, texts=french)
    assert quote_paper(snapshot(both, "fr_CA").offer).head.letterhead.footer == "ici"
    assert pick_list_paper(snapshot(both, "fr_CA").offer).head.letterhead.footer == "here"
    assert quote_paper(snapshot(both, "es_MX").offer).head.letterhead.footer == "here"
    paper = quote_paper(snapshot(replace(both, languages=("en", "es")), "fr_CA").offer)
    assert (paper.head.language, paper.head.letterhead.footer) == ("en", "here")


def test_an_issued_revision_keeps_what_the_house_said_and_its_look_follows_the_folder():
    desk = furnished(FakeStore())
    first = Desk(desk.store, desk.ids, RULES, HouseWords(lambda: NAMED), house=lambda: NAMED)
    job = a_job(first, "101")
    issued = frozen(issue_quote(first, by(), job.label).revision)
    moved = replace(NAMED, name="Other", address=("Elsewhere",), texts=())
    later = Desk(desk.store, desk.ids, RULES, HouseWords(lambda: moved), house=lambda: moved)
    shown = revision_shown(later, by(), "Q-1").snapshot.offer
    assert shown == issued.offer
    letterhead = quote_paper(shown).head.letterhead
    assert (letterhead.name, letterhead.address) == ("Fernhollow", ("Lane 1",))
    assert letterhead.registration == ("Permit 7",)
    assert "Goods stay ours." in quote_paper(shown).terms
    look = HouseStyle(accent="#123456")
    flows = [
        make_flow(dressed(quote_paper(offer), style), TEMPLATES)
        for offer, style in ((issued.offer, look), (shown, look), (shown, PLAIN))
    ]
    assert flows[0] == flows[1] != flows[2]
    assert flows[1].blocks == flows[2].blocks
    edit_job(later, by(), job.label, {"site": "Anew"})
    again = frozen(issue_quote(later, by(), job.label).revision).offer
    assert (again.house_name, again.words.registration) == ("Other", ())


def test_the_pick_list_walks_as_the_house_does():
    offer = offered([Opening("101", opening("3070", finish="690")), plain("102")],
                    shelf("quillmere")).offer  # fmt: skip
    bins = [line.bin for line in pick_list_paper(offer).walk]
    assert len(bins) > 1
    back = Walk((Stretch(bins[-1]),))
    assert [line.bin for line in pick_list_paper(offer, walk=back).walk] == [bins[-1], *bins[:-1]]


def test_a_proposal_says_the_day_and_differs_with_what_is_in_it():
    one = as_proposal(snapshot())
    assert re.fullmatch(r"PROPOSAL 2026-11-26 [A-Z2-7]{6}", one.offer.label)
    assert as_proposal(snapshot()) == one
    assert as_proposal(snapshot(number="Q-9")) == one
    others = [
        as_proposal(snapshot(price=2)),
        as_proposal(snapshot(locale="fr_CA")),
        as_proposal(snapshot(replace(NAMED, name="Other"))),
    ]
    assert len({other.offer.label for other in (one, *others)}) == 4


@pytest.mark.usefixtures("as_text")
def test_papers_without_a_number_are_a_proposal_in_the_look_of_the_folder(tmp_path, monkeypatch):
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    call = ("papers", "--opening", "101 3070 hollow-metal/steel interior RH 689", "--date",
            "2026-11-26", "--catalog", str(bundled("catalog_samples") / "tarrowby"))  # fmt: skip
    (tmp_path / "house").mkdir()
    house(tmp_path / "house", 'name = "Beside"\naccent = "#ffff00"\n')
    result = run(*call, "--out", str(tmp_path / "one"))
    assert "accent: #ffff00 is too light" in result.err
    numbers = set()
    for name in ("quote", "pick-list", "kit-labels", "setting-cards", "margin-sheet"):
        said = (tmp_path / "one" / f"{name}.pdf").read_text(encoding="utf-8")
        numbers |= set(re.findall(r"PROPOSAL 2026-11-26 [A-Z2-7]{6}", said))
        assert "Beside" in said
    assert len(numbers) == 1
    house(tmp_path / "house", 'nmae = "Beside"\n')
    result = run(*call, "--out", str(tmp_path / "two"))
    assert (result.status, (tmp_path / "two").exists()) == (2, False)
    assert "house/style.toml, nmae: there is no key nmae here; right would be: name" in result.err


@pytest.mark.parametrize(
    ("template", "text", "line", "because"),
    [
        ("quote_closing", '<div id="b{{ number }}">\n{{ paper.cost }}\n</div>', 2, "'cost'"),
        ("quote_closing", '<div id="b{{ number }}">\n\n{{ nothing() }}</div>', 3, "'nothing'"),
        ("letterhead", "{% macro letterhead(a, b) %}\n{{ a.fax }}{% endmacro %}", 2, "'fax'"),
    ],
)  # fmt: skip
def test_a_template_of_the_house_that_fails_is_named_with_its_line(
    template, text, line, because, tmp_path
):
    ours = (TEMPLATES / "papers" / "letterhead.html").read_text(encoding="utf-8")
    if template == "letterhead":
        text += ours.replace("macro letterhead(", "macro other(")
    style, _ = read_folder(house(tmp_path, "", **{f"papers__{template}.html": text}))
    with pytest.raises(CallError) as caught:
        printed(make_quote(1), tmp_path, house=style.templates)
    said = say_error(caught.value)
    assert f"papers/{template}.html, line {line}: the house's own template fails" in said
    assert because in said
    assert not (tmp_path / "paper.pdf").exists()


def test_a_template_of_the_house_stands_in_place_of_ours_and_reaches_nothing_else(tmp_path):
    text = '<p id="b{{ number }}">Ours ends here. <img src="file:///etc/passwd" alt=""/></p>'
    style, _ = read_folder(house(tmp_path, "", **{"papers__quote_closing.html": text}))
    said = text_of(printed(make_quote(1), tmp_path, house=style.templates))
    assert "Ours ends here." in said
    assert "sign and return" not in said
    reach = '<div id="b{{ number }}">{{ paper.__class__.__mro__ }}</div>'
    read_folder(house(tmp_path, "", **{"papers__quote_closing.html": reach}))
    with pytest.raises(CallError, match="house-template-fails"):
        printed(make_quote(1), tmp_path, house=style.templates)


@pytest.mark.usefixtures("as_text")
def test_the_preview_makes_every_paper_in_every_language_of_the_house(tmp_path, monkeypatch):
    monkeypatch.setattr(house_preview, "FIRST", 1)
    monkeypatch.setattr(house_preview, "STOPPED", "")
    folder = house(tmp_path, 'name = "Fernhollow"\nlanguages = ["fr"]\n')
    out = tmp_path / "out"
    result = run("house", "preview", "--out", str(out), "--date", "2026-11-26",
                 "--house-style", str(folder))  # fmt: skip
    assert result.status == 0
    assert {path.stem for path in out.iterdir()} == {
        "quote", "quote-fr", "quote-draft", "pick-list", "kit-labels", "setting-cards",
        "packing-slip", "drilling-sheets", "submittal", "purchase-order",
        "margin-sheet", "changes",
    }  # fmt: skip
    said = {path.stem: path.read_text(encoding="utf-8") for path in out.iterdir()}
    assert all("SAMPLE" in text and "Fernhollow" in text for text in said.values())
    assert "Soumission" in said["quote-fr"]
