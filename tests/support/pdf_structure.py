"""What a PDF must have for whoever does not see it, read by pikepdf (ISO 32000-1, 14.7 to 14.9)."""

import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from pikepdf import Array, Dictionary, Name, Object, OutlineItem, Pdf

_SUBSET = re.compile(r"/[A-Z]{6}\+")  # 9.6.4: how a font is named that is only in part there


def faults_of(path: Path, title: str, language: str, marks: Sequence[str]) -> list[str]:
    """What is wrong with a paper of that title, language and openings; empty where all is well."""
    with Pdf.open(path) as book:
        found = [*_properties(book, title, language), *_tags(book), *_fonts(book)]
        with book.open_outline() as outline:
            entries = list(_titles(outline.root))
        found += [f"no bookmark of {mark}" for mark in marks if mark not in entries]
    return found


def alternatives(path: Path) -> list[str]:
    """What is said in place of each picture."""
    with Pdf.open(path) as book:
        return [str(node.get(Name.Alt, "")) for node in _nodes(book) if Name.Figure == node.S]


def _properties(book: Pdf, title: str, language: str) -> Iterator[str]:
    about = book.open_metadata()
    said = {"dc:title": title, "dc:language": {language}, "pdf:Producer": "wholekit"}
    for name, want in said.items():
        if about.get(name) != want:
            yield f"{name} is {about.get(name)!r}"
    for key, want in ((Name.Title, title), (Name.Producer, "wholekit")):
        if str(book.docinfo.get(key)) != want:
            yield f"{key} is {book.docinfo.get(key)!r}"
    if str(book.Root.Lang) != language:
        yield f"language is {book.Root.Lang!r}"
    if not book.Root.MarkInfo.Marked:
        yield "not marked as tagged"


def _tags(book: Pdf) -> Iterator[str]:
    pages = {page.obj.objgen for page in book.pages}
    numbers = book.Root.StructTreeRoot.ParentTree.Nums
    owned = {int(numbers[at]) for at in range(0, len(numbers), 2)}
    for number, page in enumerate(book.pages, 1):
        if int(page.obj.get(Name.StructParents, -1)) not in owned:
            yield f"page {number} leads to no tags"
    for node in _nodes(book):
        if Name.Figure == node.S and not str(node.get(Name.Alt, "")):
            yield "a picture without words"
        if node.S == Name.TH and Name.Scope not in node.A:
            yield "a heading of neither row nor column"
        at = node.get(Name.Pg)
        if at is not None and at.objgen not in pages:
            yield "a tag of a page that is not there"


def _nodes(book: Pdf) -> Iterator[Object]:
    waiting = [book.Root.StructTreeRoot.K[0]]
    while waiting:
        node = waiting.pop()  # in reading order
        yield node
        below = node.get(Name.K, Array())
        children = below if isinstance(below, Array) else [below]
        found = [child for child in children if isinstance(child, Dictionary) and "/S" in child]
        waiting += reversed(found)


def _fonts(book: Pdf) -> Iterator[str]:
    for page in book.pages:
        for font in page.obj.Resources.get(Name.Font, Dictionary()).values():
            if not _SUBSET.match(str(font.BaseFont)):
                yield f"{font.BaseFont} is whole"


def _titles(items: Sequence[OutlineItem]) -> Iterator[str]:
    for item in items:
        yield item.title
        yield from _titles(item.children)
