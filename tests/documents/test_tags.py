"""Tags and archive form of papers that are joined from groups, read back by another library."""

import io
import re
from collections import Counter
from dataclasses import replace
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from pypdf import PdfReader
from pypdf.generic import ArrayObject, DictionaryObject
from tests.documents.paper_factory import make_labels, make_quote
from tests.support.house import sample
from tests.support.pdf_structure import alternatives, faults_of

from wholekit.documents import worker
from wholekit.documents.archive import Archive, archive
from wholekit.documents.binding import bind
from wholekit.documents.flow import Block, Flow
from wholekit.documents.label_stock import SHEET_10
from wholekit.documents.layout import lay_out
from wholekit.documents.make_flow import make_flow
from wholekit.documents.merge import Bound, merge
from wholekit.documents.press import Press
from wholekit.documents.render import render_paper
from wholekit.documents.shelf_labels import Wanted, shelf_labels_paper
from wholekit.domain.house_style import PageSize

TEMPLATES = Path(__file__).parents[2] / "templates"

CSS = """
@page { size: letter; margin: 20mm }
@page { @bottom-left { content: string(page-of); font-kerning: none; width: 60% } }
body { margin: 0; string-set: page-of attr(data-page-of); font-family: 'Source Sans 3';
  font-variant-numeric: tabular-nums }
div { height: 75mm; break-inside: avoid }
"""
MARKED = re.compile(rb"<<\s*/MCID\s+(\d+)\s*>>\s*BDC")
KEPT = Archive("offer.json", "what the quote says, as data", "application/json", b'{"mark": "101"}')


def flow_of(count: int) -> Flow:
    """Blocks with a heading and a table, of which three fill a page."""
    blocks = tuple(
        Block(
            f'<div id="b{number}"><h2>Opening {number}</h2><table><thead><tr><th>Item</th>'
            f"<th>Qty</th></tr></thead><tbody><tr><th>body {number}</th><td>{number}</td></tr>"
            f"<tr><td>arm {number}</td><td>1</td></tr></tbody></table></div>",
            f"Opening {number}",
        )
        for number in range(count)
    )
    return Flow("Tags", "Nobody", "2026-11-25", "", "", "", CSS, blocks)


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> tuple[Flow, Bound, Path]:
    """Pages from several files, and of the second file not all of them."""
    folder = tmp_path_factory.mktemp("parts")
    flow = flow_of(30)
    press = Press(flow, folder)

    def group(press: Press, at: int, stop: int, until: int, file: Path):
        from wholekit.documents.layout import lay_out_group

        return lay_out_group(press, at, min(at + 12, stop), until, file)

    found = bind(lay_out(press, 0, 30, folder, do_group=group))
    assert len({page.file for page in found.pages}) == 3
    pages = [page for page in found.pages if page != found.pages[5]]
    marks = {block: at - (at > 5) for block, at in found.marks.items()}
    ends = {block: at - (at > 5) for block, at in found.ends.items()}
    return flow, Bound(pages, marks, ends), folder


@pytest.fixture(scope="module")
def joined(parts: tuple[Flow, Bound, Path]) -> PdfReader:
    flow, bound, folder = parts
    merge(bound, flow, folder / "joined.pdf")
    return PdfReader(folder / "joined.pdf")


def elements(node: Any) -> list[Any]:
    """A tree's nodes in reading order, this one first."""
    found = [node]
    children = node.get("/K", ArrayObject())
    for child in children if isinstance(children, list) else [children]:
        child = child.get_object()
        if isinstance(child, DictionaryObject):
            found += elements(child)
    return found


def root_of(reader: PdfReader) -> Any:
    return reader.root_object


def tree(reader: PdfReader) -> Any:
    (document,) = root_of(reader)["/StructTreeRoot"]["/K"]
    return document.get_object()


def test_every_page_of_a_joined_paper_has_its_headings_and_cells_tagged(joined):
    kinds = Counter(str(node["/S"]) for node in elements(tree(joined)))
    assert len(joined.pages) == 9
    assert (kinds["/H2"], kinds["/TR"], kinds["/TD"]) == (27, 81, 81)
    assert str(root_of(joined)["/Lang"]) == "en"
    assert root_of(joined)["/MarkInfo"]["/Marked"]


def test_the_tags_are_read_in_the_order_of_the_pages(joined):
    place = {page.indirect_reference: number for number, page in enumerate(joined.pages)}
    order = [place[branch.get_object().raw_get("/Pg")] for branch in tree(joined)["/K"]]
    assert order == sorted(order)
    assert set(order) == set(range(9))


def test_whatever_a_page_marks_leads_to_a_tag_of_that_page(joined):
    # ISO 32000-1, 14.7.4.4: StructParents is the key of an array with an owner for each MCID.
    numbers = root_of(joined)["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    owners = {int(numbers[at]): numbers[at + 1] for at in range(0, len(numbers), 2)}
    assert list(owners) == sorted(owners)
    for page in joined.pages:
        drawing: Any = page["/Contents"].get_object()
        marked = [int(number) for number in MARKED.findall(drawing.get_data())]
        mine = owners[int(page["/StructParents"])].get_object()
        assert marked
        assert sorted(marked) == list(range(len(mine)))
        assert all(owner.get_object().raw_get("/Pg") == page.indirect_reference for owner in mine)


def test_each_cell_names_its_own_heading_and_no_other_groups(joined):
    nodes = elements(tree(joined))
    named = Counter(str(node["/ID"]) for node in nodes if "/ID" in node)
    assert set(named.values()) == {1}
    cells = [node for node in nodes if node["/S"] == "/TD" and "/Headers" in node.get("/A", {})]
    assert len(cells) == 81
    headings = [str(heading) for cell in cells for heading in cell["/A"]["/Headers"]]
    # One for each column, and where the row has a heading that one too.
    assert len(headings) == 81 + 27
    assert set(headings) <= set(named)


def test_each_heading_of_a_table_says_whether_it_heads_a_column_or_its_row(joined):
    # ISO 32000-1, 14.8.5.7, table 349.
    heads = [node for node in elements(tree(joined)) if node["/S"] == "/TH"]
    scopes = Counter((str(head["/A"]["/O"]), str(head["/A"]["/Scope"])) for head in heads)
    assert scopes == {("/Table", "/Column"): 54, ("/Table", "/Row"): 27}


def test_the_archive_form_says_what_it_is_and_carries_its_data(parts):
    flow, bound, folder = parts
    merge(bound, flow, folder / "archive.pdf")
    archive(folder / "archive.pdf", KEPT)
    reader = PdfReader(folder / "archive.pdf")
    assert reader.attachments == {"offer.json": [KEPT.content]}
    root = root_of(reader)
    (file,) = root["/AF"]
    assert file.get_object()["/AFRelationship"] == "/Source"
    # ISO 19005-3, 6.2.3 and 6.6.4: one colour profile of three channels; part and conformance.
    (intent,) = root["/OutputIntents"]
    assert intent.get_object()["/S"] == "/GTS_PDFA1"
    profile = intent.get_object()["/DestOutputProfile"].get_object()
    assert (profile["/N"], profile.get_data()[36:40]) == (3, b"acsp")  # ICC.1, 7.2.9: signature
    about = ElementTree.parse(io.BytesIO(root["/Metadata"].get_object().get_data()))  # noqa: S314  # our own
    said = {element.tag.split("}")[1]: element.text for element in about.iter()}
    assert (said["part"], said["conformance"]) == ("3", "U")
    assert said["CreateDate"] == "2026-11-25T00:00:00Z"
    assert "/ID" in reader.trailer
    assert "/Encrypt" not in reader.trailer
    for page in reader.pages:
        resources: Any = page["/Resources"]
        for font in resources["/Font"].values():
            below = font.get_object()
            assert "/ToUnicode" in below
            about_it = below["/DescendantFonts"][0].get_object()["/FontDescriptor"]
            assert {"/FontFile2", "/FontFile3"} & set(about_it)


def test_the_same_archive_has_the_same_bytes(parts):
    flow, bound, folder = parts
    for name in ("one", "two"):
        merge(bound, flow, folder / name)
        archive(folder / name, KEPT)
    assert (folder / "one").read_bytes() == (folder / "two").read_bytes()


def test_runs_laid_out_side_by_side_lose_no_tag_and_keep_none_twice(tmp_path):
    flow = flow_of(150)
    worker.work(flow, 2, tmp_path)
    nodes = elements(tree(PdfReader(tmp_path / worker.PDF_FILE)))
    assert Counter(str(node["/S"]) for node in nodes)["/H2"] == 150


@pytest.mark.parametrize("openings", [1, 65])
def test_a_quote_tells_what_it_is_and_leads_to_each_opening(openings, tmp_path):
    paper = make_quote(openings)
    out = tmp_path / "quote.pdf"
    render_paper(paper, out, TEMPLATES)
    flow = make_flow(paper, TEMPLATES)
    marks = [mark.mark for kit in (*paper.kits, *paper.open_kits) for mark in kit.marks]
    assert len(marks) == openings
    assert faults_of(out, flow.title, flow.language, marks) == []


def test_codes_and_bars_of_labels_are_read_out(tmp_path):
    paper = make_labels(2)
    out = tmp_path / "labels.pdf"
    render_paper(paper, out, TEMPLATES)
    assert alternatives(out) == [f"QR code {label.bag_id}" for label in paper.labels]
    shelf = shelf_labels_paper([sample("tarrowby")], Wanted(), SHEET_10, PageSize.A4)
    some = replace(shelf, labels=shelf.labels[:4])
    render_paper(some, out, TEMPLATES)
    assert alternatives(out) == [f"Bar code {one.bars.text}" for one in some.labels if one.bars]
