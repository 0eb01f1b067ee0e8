"""Laying a flow out, a group of blocks at a time, each group's pages written to a file.

A page that begins with a block looks the same whatever stands before it. So a group gives up its
last such page, and the next group begins with that block: the pages come out as if the whole flow
had been laid out at once, in little memory. Page numbers are not known yet; `merge` writes them.
"""

import gc
import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, NamedTuple, Protocol

from wholekit.documents.press import DRAWINGS, Press

if TYPE_CHECKING:
    from weasyprint import Document

GROUP = 100_000  # text laid out at once [characters of HTML], some 40 openings
DRAWING = 1_000  # what a drawing takes, in characters of text that take as long
# What binds, as a font's table of characters has it, and what it is copied as.
_BOUND = re.compile(rb"(?<=> )<(?:00a0|202f|2011)>$")
_PLAIN = {b"<00a0>": b"<0020>", b"<202f>": b"<0020>", b"<2011>": b"<002d>"}
LEAST = 4  # blocks in a group, so that one of its pages begins with a block


class _Table(Protocol):
    """A stream of a PDF file, in lines."""

    stream: list[bytes]


class _File(Protocol):
    """A PDF file before it is written: its objects, some of which are streams."""

    objects: list[_Table]


class LaidOut(NamedTuple):
    """A group's pages in one file, and the block the next group begins with.

    begins: for each page, the block it begins with, or None. marks: for each block that begins in
    the part, its page, from 0; ends: the page that it ends on.
    """

    file: str
    begins: tuple[int | None, ...]
    marks: dict[int, int]
    goes_on: int
    ends: dict[int, int]


# Lays out one group: press, first block, block to stop before, last block of the run, file.
LayOutGroup = Callable[[Press, int, int, int, Path], LaidOut]


def lay_out_group(press: Press, at: int, stop: int, until: int, file: Path) -> LaidOut:
    """Lay out blocks at to stop (not included) and write their pages, without the last if need be.

    Where the run goes on after `stop`, and its blocks do not each end their page, only pages before
    the last that begins with a block are written; the group is made longer until there is one. All
    are tagged for screen readers.
    """
    while True:
        document = press.lay_out(at, stop)
        begins, marks, ends = read_anchors(document)
        whole = stop == until or press.flow.apart
        cut = len(begins) if whole else _last_clean(begins)
        if cut:
            break
        # Twice as long at each try, since one very long block is laid out anew each time.
        stop = min(stop + (stop - at), until)
    with _fixed_font_date():
        pages = document.copy(document.pages[:cut])
        pages.write_pdf(file, pdf_tags=True, finisher=plain_spaces)
    goes_on = stop if cut == len(begins) else begins[cut] or until
    # Blocks on the pages that are given up are the next group's.
    kept = {block: page for block, page in marks.items() if page < cut}
    return LaidOut(
        str(file), tuple(begins[:cut]), kept, goes_on, {block: ends[block] for block in kept}
    )


def lay_out(
    press: Press,
    first: int,
    until: int,
    folder: Path,
    *,
    do_group: LayOutGroup,
    progress: Callable[[int], None] | None = None,
) -> list[LaidOut]:
    """Lay out blocks first to until (not included); the last page ends with block until - 1.

    Writes one PDF a group into the folder. do_group may give each group a process of its own.
    progress is called with the blocks done since the last call.
    """
    parts: list[LaidOut] = []
    at = first
    while True:
        file = folder / f"part-{first:06d}-{len(parts):04d}.pdf"
        part = do_group(press, at, _end_of_group(press, at, until), until, file)
        parts.append(part)
        if progress:
            progress(part.goes_on - at)
        at = part.goes_on
        if at == until:
            return parts


def read_anchors(
    document: "Document",
) -> tuple[list[int | None], dict[int, int], dict[int, int]]:
    """For each page the block it begins with, if it begins with one; for each block the page that
    it begins on, and that it ends on."""
    first: dict[int, int] = {}
    last: dict[int, int] = {}
    for page, content in enumerate(document.pages):
        for name in content.anchors:
            block = int(name.removeprefix("b"))
            first.setdefault(block, page)
            last[block] = page
    begins: list[int | None] = [None] * len(document.pages)
    for block, page in first.items():
        # Nothing of the block before may be on the page, else it does not begin with this one.
        if last.get(block - 1, -1) < page:
            begins[page] = block
    return begins, first, last


def _end_of_group(press: Press, at: int, until: int) -> int:
    stop, text = at, 0
    while stop < until and (text < GROUP or stop < at + LEAST):
        text += weight(press.flow.blocks[stop].html)
        stop += 1
    return stop


def weight(html: str) -> int:
    """How long a block takes to lay out [characters of text that take as long]."""
    text, drawings = DRAWINGS.subn("", html)
    return len(text) + drawings * DRAWING


def _last_clean(begins: list[int | None]) -> int:
    """The last page, after the first, that begins with a block; 0 if there is none."""
    return next((page for page in range(len(begins) - 1, 0, -1) if begins[page] is not None), 0)


@contextmanager
def _fixed_font_date() -> Iterator[None]:
    """Keep the time of day out of the embedded fonts, so that equal papers have equal bytes."""
    name = "SOURCE_DATE_EPOCH"  # what fontTools reads: reproducible-builds.org
    before = os.environ.get(name)
    os.environ[name] = "0"
    try:
        yield
    finally:
        if before is None:
            del os.environ[name]
        else:
            os.environ[name] = before


def plain_spaces(_document: object, pdf: _File) -> None:
    """Copied and searched, every space and hyphen of a page is the plain one.

    A space that binds has the glyph of one that does not; whichever came first in a part of a paper
    would else stand for both. pdf: as WeasyPrint's finisher has it, before it is written.
    """
    for each in pdf.objects:
        lines = getattr(each, "stream", [])
        if b"begincmap" in lines[:4]:
            each.stream = [_BOUND.sub(lambda found: _PLAIN[found[0]], line) for line in lines]


class _Calm:
    """How often the cyclic collector comes is the process's, so who first asks for calm sets it
    and who last needs it sets it back, from whatever thread."""

    def __init__(self) -> None:
        self._turn = Lock()
        self._asked = 0  # that need calm now [count]
        self._before = (0, 0, 0)  # the thresholds to go back to

    def begin(self) -> None:
        with self._turn:
            if not self._asked:
                self._before = gc.get_threshold()
                gc.set_threshold(1_000_000, 50, 100)
            self._asked += 1

    def end(self) -> None:
        with self._turn:
            self._asked -= 1
            if not self._asked:
                gc.set_threshold(*self._before)


_CALM = _Calm()


@contextmanager
def calm_collector() -> Iterator[None]:
    """Keep the cyclic collector from walking the boxes again and again while they are made.

    What a server froze stays frozen. For any number of threads at once.
    """
    _CALM.begin()
    try:
        yield
    finally:
        _CALM.end()
