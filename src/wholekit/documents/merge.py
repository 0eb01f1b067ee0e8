"""Many groups' pages joined into one numbered PDF. pypdf is imported where used."""

from pathlib import Path
from typing import NamedTuple

from wholekit.documents.flow import Flow
from wholekit.documents.numbering import number_page


class PageOf(NamedTuple):
    """One page: the file it lies in and its place there, from 0."""

    file: str
    place: int


class Bound(NamedTuple):
    """A paper's pages in order, and for each block the page it begins on, from 0."""

    pages: list[PageOf]
    marks: dict[int, int]


def merge(bound: Bound, flow: Flow, target: Path) -> None:
    """Write the pages, numbered, with the flow's outline and properties, to target.

    The same pages and flow give the same bytes. Raises OSError.
    """
    from pypdf import PdfReader, PdfWriter
    from pypdf.generic import NameObject, StreamObject, TextStringObject

    # Each file once: it is opened and read for all of its pages together.
    files = dict.fromkeys(page.file for page in bound.pages)
    if len(files) == 1:
        writer = PdfWriter(clone_from=next(iter(files)))  # keeps the tags
    else:
        writer = PdfWriter()
        readers = {file: PdfReader(file) for file in files}
        for page in bound.pages:
            writer.add_page(readers[page.file].pages[page.place])
    for number, sheet in enumerate(writer.pages, 1):
        drawing = sheet["/Contents"]
        if not isinstance(drawing, StreamObject):
            raise TypeError("a laid-out page has one stream")
        drawing.set_data(number_page(drawing.get_data(), number, len(bound.pages), flow.page_of))
    for number, block in enumerate(flow.blocks):
        if block.title:
            writer.add_outline_item(title=block.title, page_number=bound.marks[number])
    writer.add_metadata(
        {
            "/Title": flow.title,
            "/Author": flow.author,
            "/CreationDate": f"D:{flow.day.replace('-', '')}000000Z",
        }
    )
    writer.root_object[NameObject("/Lang")] = TextStringObject(flow.language)
    writer.write(target)
