"""Many groups' pages joined into one numbered, tagged PDF. pikepdf is imported where used."""

from contextlib import ExitStack
from itertools import groupby
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from wholekit.documents.flow import Flow
from wholekit.documents.numbering import name_pages, number_page
from wholekit.documents.tagging import Tags

if TYPE_CHECKING:
    from pikepdf import Pdf


# No version: the same paper has the same bytes, whichever made it.
PRODUCER = "wholekit"


class PageOf(NamedTuple):
    """One page: the file it lies in and its place there, from 0."""

    file: str
    place: int


class Bound(NamedTuple):
    """A paper's pages in order, and for each block the page it begins on and that it ends on, from
    0."""

    pages: list[PageOf]
    marks: dict[int, int]
    ends: dict[int, int]


def merge(bound: Bound, flow: Flow, target: Path) -> None:
    """Write the pages, numbered, with the flow's outline, tags and properties, to target.

    The same pages and flow give the same bytes. Raises OSError.
    """
    from pikepdf import Pdf

    # The files stay open until the book is saved: it reads a page's drawing only then.
    with ExitStack() as opened, Pdf.new() as book:
        tags = Tags(book)
        # Each file once: it is opened and read for all of its pages together.
        for file, pages in groupby(bound.pages, key=lambda page: page.file):
            source = opened.enter_context(Pdf.open(file))
            first = len(book.pages)
            for page in pages:
                book.pages.append(source.pages[page.place])
            tags.bring(source, first)
        tags.close()
        if flow.page_of:
            _number(book, flow, bound)
        _describe(book, flow, bound.marks)
        # The file's identifier comes from what it holds, so equal papers have equal bytes.
        book.save(target, deterministic_id=True)


def _number(book: "Pdf", flow: Flow, bound: Bound) -> None:
    left = iter(
        (bound.ends if part.at_end else bound.marks)[block] + 1
        for part in flow.blocks
        for block in part.names
    )
    # Pages from the one that the first of them stands on to that of the last.
    naming = [number for number, part in enumerate(flow.blocks) if part.names]
    first, last = (bound.marks[naming[0]], bound.ends[naming[-1]] + 1) if naming else (0, 0)
    for number, page in enumerate(book.pages, 1):
        drawing = page.obj.Contents
        text = drawing.read_bytes()  # of an array of streams there is none: TypeError
        if naming and first < number <= last:
            text = name_pages(text, left, flow.page_of)
        drawing.write(number_page(text, number, len(book.pages), flow.page_of))


def _describe(book: "Pdf", flow: Flow, marks: dict[int, int]) -> None:
    from pikepdf import Dictionary, Name, OutlineItem, String

    with book.open_outline() as outline:
        level = outline.root
        for number, block in enumerate(flow.blocks):
            outline.root.extend(OutlineItem(mark, marks[number]) for mark in block.marks)
            if not block.title:
                continue
            if block.section:
                part = OutlineItem(block.section, marks[number])
                outline.root.append(part)
                level = part.children
            entry = OutlineItem(block.title, marks[number])
            if block.under:
                level.append(entry)
            else:
                outline.root.append(entry)
                level = entry.children
    _put_properties(book, flow)
    book.Root.Lang = String(flow.language)
    # A reader's window then shows the paper's title and not its file's name.
    book.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    if flow.true_size:
        # A reader's print dialogue then begins at 100 % (ISO 32000-1, table 150).
        book.Root.ViewerPreferences.PrintScaling = Name("/None")


def _put_properties(book: "Pdf", flow: Flow) -> None:
    """Title, author, day, program and language, in the older form of properties and in XMP alike
    (ISO 32000-1, 14.3)."""
    from pikepdf import Name, String

    book.docinfo[Name.Title] = String(flow.title)
    if flow.author:
        book.docinfo[Name.Author] = String(flow.author)
    book.docinfo[Name.CreationDate] = String(f"D:{flow.day.replace('-', '')}000000Z")
    book.docinfo[Name.Producer] = String(PRODUCER)
    with book.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as about:
        about["dc:title"] = flow.title
        if flow.author:
            about["dc:creator"] = [flow.author]
        about["dc:language"] = {flow.language}
        about["xmp:CreateDate"] = f"{flow.day}T00:00:00Z"
        about["pdf:Producer"] = PRODUCER
