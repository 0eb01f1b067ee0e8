"""How papers become files: in groups as in one piece, whole or not at all."""

import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf.generic import Destination, StreamObject
from tests.documents.paper_factory import Style, make_labels, make_pick_list, make_quote
from tests.documents.plain import lay_out_plainly

from wholekit.documents import binding, layout, render, worker
from wholekit.documents.binding import bind, join, split
from wholekit.documents.flow import Block, Flow
from wholekit.documents.layout import LaidOut, read_anchors
from wholekit.documents.make_flow import make_flow
from wholekit.documents.merge import Bound, PageOf, merge
from wholekit.documents.press import Press, make_fetcher
from wholekit.documents.render import render_paper
from wholekit.domain.errors import CallError

TEMPLATES = Path(__file__).parents[2] / "templates"


def drawings(pdf: Path) -> list[bytes]:
    """What each page draws, to the last coordinate."""
    streams = [page["/Contents"].get_object() for page in PdfReader(pdf).pages]
    return [stream.get_data() for stream in streams if isinstance(stream, StreamObject)]


def texts(pdf: Path) -> list[str]:
    return [page.extract_text() for page in PdfReader(pdf).pages]


def titles(reader: PdfReader) -> list[str | None]:
    return [bookmark.title for bookmark in reader.outline if isinstance(bookmark, Destination)]


def render_whole(flow: Flow, folder: Path) -> Path:
    """The flow as one document, read and laid out as WeasyPrint does by itself."""
    document = lay_out_plainly(flow, folder)
    part, pdf = folder / "whole-part.pdf", folder / "whole.pdf"
    document.write_pdf(part, pdf_tags=True, finisher=layout.plain_spaces)
    pages = [PageOf(str(part), place) for place in range(len(document.pages))]
    merge(Bound(pages, *read_anchors(document)[1:]), flow, pdf)
    return pdf


def noted_in(told: list[tuple[int, int]]) -> Callable[[int, int], None]:
    """Progress that is kept: blocks done, of how many."""
    return lambda done, all_: told.append((done, all_))


@pytest.mark.parametrize(("make", "each"), [(make_quote, (1, 2)), (make_pick_list, (2,))])
def test_a_paper_laid_out_in_groups_is_the_paper_laid_out_whole(make, each, tmp_path, monkeypatch):
    # Small groups and runs, so that a paper of few pages has several.
    monkeypatch.setattr(layout, "GROUP", 20_000)
    monkeypatch.setattr(binding, "OVERLAP", 4)
    # So many that two runs have a page that begins alike.
    flow = make_flow(make(27), TEMPLATES)
    assert 0 < split(flow) < len(flow.blocks)
    whole = render_whole(flow, tmp_path)
    for processes in each:
        folder = tmp_path / str(processes)
        folder.mkdir()
        worker.work(flow, processes, folder)
        grouped = folder / worker.PDF_FILE
        assert texts(grouped) == texts(whole)
        # Words are found and copied with plain spaces, though many of theirs bind.
        assert not any("\u00a0" in page for page in texts(grouped))
        assert drawings(grouped) == drawings(whole)


def test_pages_of_labels_are_laid_out_once_each_and_are_those_laid_out_whole(tmp_path, monkeypatch):
    flow = make_flow(make_labels(20), TEMPLATES)
    whole = render_whole(flow, tmp_path)
    monkeypatch.setattr(layout, "GROUP", 1)
    laid: list[tuple[int, int]] = []

    def group(press: Press, at: int, stop: int, until: int, file: Path) -> LaidOut:
        laid.append((at, stop))
        return layout.lay_out_group(press, at, stop, until, file)

    count = len(flow.blocks)
    parts = layout.lay_out(Press(flow, tmp_path), 0, count, tmp_path, do_group=group)
    assert count == 5
    assert laid == [(0, 4), (4, count)]
    merge(bind(parts), flow, tmp_path / "grouped.pdf")
    assert drawings(tmp_path / "grouped.pdf") == drawings(whole)


def even_flow(count: int) -> Flow:
    """Blocks of which three fill a page, so that runs begun apart never agree."""
    blocks = tuple(
        Block(f'<div id="b{number}" class="even">block {number} here</div>', f"block {number}")
        for number in range(count)
    )
    css = "@page { size: letter; margin: 20mm } .even { height: 75mm; break-inside: avoid }"
    css += "@page { @bottom-left { content: string(page-of); font-kerning: none; width: 60% } }"
    css += "body { margin: 0; string-set: page-of attr(data-page-of); font-family: 'Source Sans 3';"
    css += "font-variant-numeric: tabular-nums }"
    return Flow("Even", "Nobody", "2026-11-25", "", "", "", css, blocks)


@pytest.mark.skipif(not worker.CAN_FORK, reason="runs are laid out side by side on Linux only")
def test_runs_that_never_agree_are_joined_at_a_page_of_their_own(tmp_path):
    # The second run must begin where the whole flow has the middle of a page.
    flow = next(one for one in map(even_flow, range(150, 160)) if split(one) % 3)
    count, middle = len(flow.blocks), split(flow)
    worker.work(flow, 2, tmp_path)
    pages = texts(tmp_path / worker.PDF_FILE)
    blocks = [
        int(line.split()[1]) for page in pages for line in page.splitlines() if "here" in line
    ]
    assert blocks == list(range(count))
    assert len(pages) == -(-middle // 3) + -(-(count - middle) // 3)
    assert titles(PdfReader(tmp_path / worker.PDF_FILE)) == [block.title for block in flow.blocks]


@pytest.mark.skipif(not worker.CAN_FORK, reason="runs are laid out side by side on Linux only")
def test_runs_that_agree_late_are_as_if_laid_out_at_once(tmp_path):
    """A block as high as a page, past what the first run goes on at first, makes them agree."""
    flow = next(one for one in map(even_flow, range(150, 160)) if split(one) % 3)
    late = split(flow) + 2 * binding.OVERLAP
    tall = flow.blocks[late]._replace(
        html=flow.blocks[late].html.replace("<div", '<div style="height: 230mm"')
    )
    flow = replace(flow, blocks=(*flow.blocks[:late], tall, *flow.blocks[late + 1 :]))
    worker.work(flow, 2, tmp_path)
    assert texts(tmp_path / worker.PDF_FILE) == texts(render_whole(flow, tmp_path))


def test_runs_are_joined_at_the_first_page_both_begin_alike():
    first = [
        LaidOut("a", (0, 3, 5), {0: 0, 3: 1, 5: 2}, 7, {0: 1, 3: 2, 5: 2}),
        LaidOut("b", (7, 9), {7: 0, 9: 1}, 11, {7: 0, 9: 1}),
    ]
    second = [LaidOut("c", (6, 9, 12), {6: 0, 9: 1, 12: 2}, 14, {6: 0, 9: 2, 12: 2})]
    bound = join(first, second, 6)
    assert bound is not None
    assert [(page.file, page.place) for page in bound.pages] == [
        ("a", 0),
        ("a", 1),
        ("a", 2),
        ("b", 0),
        ("c", 1),
        ("c", 2),
    ]
    assert bound.marks == {0: 0, 3: 1, 5: 2, 7: 3, 9: 4, 12: 5}
    assert bound.ends == {0: 1, 3: 2, 5: 2, 7: 3, 9: 5, 12: 5}
    assert join(first, [LaidOut("c", (6, 8), {6: 0, 8: 1}, 14, {6: 0, 8: 1})], 6) is None


def test_a_large_paper_has_an_outline_that_leads_to_each_opening(tmp_path):
    paper = make_quote(300)
    out = tmp_path / "quote.pdf"
    render_paper(paper, out, TEMPLATES)
    reader = PdfReader(out)
    marks = [mark.mark for kit in (*paper.kits, *paper.open_kits) for mark in kit.marks]
    assert titles(reader) == [*marks, "Checks and notes", "Acceptance", "Appendix"]
    pages = texts(out)
    assert len(pages) < 45
    for mark, entry in list(zip(marks, reader.outline, strict=False))[::7]:
        assert isinstance(entry, Destination)
        number = reader.get_destination_page_number(entry)
        assert number is not None
        assert f"{mark} " in pages[number]


def test_the_same_paper_gives_the_same_bytes(tmp_path):
    for name in ("one", "two"):
        render_paper(make_quote(3), tmp_path / name, TEMPLATES)
    assert (tmp_path / "one").read_bytes() == (tmp_path / "two").read_bytes()
    paper = make_quote(66)  # in two runs
    for name in ("three", "four"):
        told: list[tuple[int, int]] = []
        progress = noted_in(told)
        render_paper(paper, tmp_path / name, TEMPLATES, processes=2, progress=progress)
        blocks = len(make_flow(paper, TEMPLATES).blocks)
        assert told[-1] == (blocks, blocks), "all of them in the end"
        assert told == sorted(told), "and never fewer than before"
    assert (tmp_path / "three").read_bytes() == (tmp_path / "four").read_bytes()


def test_a_paper_is_the_same_whatever_characters_the_one_before_it_had(tmp_path):
    for name, note in (("one", ""), ("rare", "Ж Ω ½ → \u2460"), ("two", "")):
        render_paper(make_quote(1, Style(note=note)), tmp_path / name, TEMPLATES)
    assert (tmp_path / "one").read_bytes() == (tmp_path / "two").read_bytes()
    # Bullets of lists stand in no text of a paper, and are drawn in the house's font as well.
    fonts = {
        str(font.get_object()["/BaseFont"])
        for page in PdfReader(tmp_path / "one").pages
        for font in page["/Resources"]["/Font"].values()  # type: ignore[index]  # a dictionary
    }
    assert fonts
    assert all("Source-Sans" in font for font in fonts)


def test_an_error_leaves_the_old_paper_and_nothing_else(tmp_path, monkeypatch):
    out = tmp_path / "quote.pdf"
    out.write_bytes(b"%PDF-1.7 the old quote")

    def fail(*arguments):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(render, "merge", fail)
    with pytest.raises(CallError) as refused:
        render_paper(make_quote(1), out, TEMPLATES)
    assert refused.value.code == "paper-not-written"
    assert refused.value.fields == {"path": str(out), "because": "No space left on device"}
    assert out.read_bytes() == b"%PDF-1.7 the old quote"
    assert list(tmp_path.iterdir()) == [out]


def test_a_folder_that_is_not_there_is_said(tmp_path):
    with pytest.raises(CallError) as refused:
        render_paper(make_quote(1), tmp_path / "nowhere" / "quote.pdf", TEMPLATES)
    assert refused.value.fields["because"] == "No such file or directory"


@pytest.mark.parametrize(
    "url",
    [
        "file:///etc/passwd", "http://localhost/x", "data:text/html;base64,AA==", "ftp://x/y",
        "data:image/png;base64,AA==", "house:logo", "house:other",
    ],
)  # fmt: skip
def test_a_paper_reads_nothing_but_its_font_and_drawings(url, tmp_path):
    with pytest.raises(ValueError, match="no outside file"):
        make_fetcher(tmp_path / "font.ttf", "")(url)


def test_a_paper_with_a_logo_reads_that_one_alone(tmp_path):
    fetch = make_fetcher(tmp_path / "font.ttf", "data:image/png;base64,QUJD")
    reply: Any = fetch("house:logo")
    assert reply.read() == b"ABC"
    with pytest.raises(ValueError, match="no outside file"):
        fetch("data:image/png;base64,QUJE")


def test_control_characters_and_marks_that_turn_text_round_are_left_out(tmp_path):
    paper = make_quote(1, Style(note="left\x00\x1b\u202eright"))
    odd = replace(paper, head=replace(paper.head, job="Tower\x07 B"))
    out = tmp_path / "quote.pdf"
    render_paper(odd, out, TEMPLATES)
    assert "leftright" in " ".join(texts(out))
    assert "Tower B" in texts(out)[-1]


def test_a_character_no_font_has_does_not_stop_a_paper(tmp_path):
    paper = make_quote(1, Style(note="door \U0001f6aa \U00012345"))
    out = tmp_path / "quote.pdf"
    render_paper(paper, out, TEMPLATES)
    assert len(PdfReader(out).pages) == 2


def test_layout_libraries_are_loaded_only_where_a_paper_is_laid_out():
    code = (
        "import sys, wholekit.documents.render, wholekit.documents.worker;"
        "print({'weasyprint', 'pikepdf', 'jinja2', 'babel', 'fontTools'} & set(sys.modules))"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "set()"
