"""A sheet as it was sent, with columns of ours behind its own: rows, order and format as they were.

Nothing of the sender's is changed: of a workbook only the cells that join are written into the
sheet's XML; of a text its cells are written again with its separator, line ends and encoding.
"""

import csv
import io
import re
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from xml.sax.saxutils import escape

from wholekit.intake.faults import Faults
from wholekit.intake.sheet_text import RIGHT, commonest_separator, decode
from wholekit.intake.sheet_xml import RowPlace, letters_of, row_places
from wholekit.intake.tables import UTF_16, csv_rows, is_workbook
from wholekit.intake.workbook import sheet_part

OurCell = str | int | Decimal | None
# Far more than any schedule has, and far from the end of a sheet.
MOST_COLUMNS = 1_000
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")
_SPANS = re.compile(rb'\sspans="[^"]*"')
_RANGE_END = re.compile(rb'(ref="[A-Z]+[0-9]+:)[A-Z]+([0-9]+")')
_UNWRITABLE = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


@dataclass(frozen=True, slots=True)
class OurColumns:
    """What joins a sheet: headings for each row that heads openings, and cells by row from 1."""

    headings: tuple[str, ...]
    headed: tuple[int, ...]
    cells: Mapping[int, Sequence[OurCell]]

    def of_row(self, row: int) -> Sequence[OurCell]:
        """What joins a row; nothing in most that are no openings."""
        return self.headings if row in self.headed else self.cells.get(row, ())


def with_columns(data: bytes, name: str, sheet: str, ours: OurColumns) -> bytes:
    """The file with our columns. sheet: of a workbook, the one that was read.

    The same file and columns give the same bytes. Raises InputError.
    """
    faults = Faults(name)
    if is_workbook(data, faults, RIGHT):
        return _workbook(data, sheet, ours, faults)
    return _text(data, ours, faults)


def _text(data: bytes, ours: OurColumns, faults: Faults) -> bytes:
    text, encoding = decode(data, faults)
    separator = commonest_separator(text)
    rows = [(row, list(cells)) for row, cells in csv_rows(text, separator, faults)]
    width = max(len(cells) for _, cells in rows)
    ends = "\r\n" if "\r\n" in text else "\n"
    out = io.StringIO(newline="")
    write = csv.writer(out, delimiter=separator, lineterminator=ends)
    for row, cells in rows:
        added = [_written(cell, separator) for cell in ours.of_row(row)]
        write.writerow([*cells, *[""] * (width - len(cells)), *added] if added else cells)
    return _encoded(out.getvalue(), encoding, data)


def _written(cell: OurCell, separator: str) -> str:
    """A cell of ours as text: where semicolons part the columns, decimals have a comma."""
    if cell is None:
        return ""
    if isinstance(cell, str):
        return f"'{cell}" if cell.startswith(_FORMULA_SIGNS) else cell
    return f"{cell}".replace(".", ",") if separator == ";" else f"{cell}"


def _encoded(text: str, encoding: str, data: bytes) -> bytes:
    if encoding == "UTF-16":
        order = "utf-16-be" if data.startswith(b"\xfe\xff") or data[:1] == b"\0" else "utf-16-le"
        mark = data[:2] if data.startswith(UTF_16) else b""
        return mark + text.lstrip("\ufeff").encode(order)
    if encoding == "cp1252":
        try:
            return text.encode("cp1252")
        except UnicodeEncodeError:
            # Ours may hold a sign that the sender's encoding has not.
            return text.encode("utf-8-sig")
    return text.encode("utf-8-sig" if data.startswith(b"\xef\xbb\xbf") else "utf-8")


def _workbook(data: bytes, sheet: str, ours: OurColumns, faults: Faults) -> bytes:
    part, xml = sheet_part(data, sheet, faults)
    places, dimension = row_places(xml)
    touched = [place for place in places if ours.of_row(place.row)]
    first = max((place.last_column for place in places), default=0) + 1
    if first > MOST_COLUMNS:
        raise faults.refuse("sheet-too-wide", most=MOST_COLUMNS, sheet=sheet)
    edits: list[tuple[int, int, bytes]] = []
    for place in touched:
        start = xml[place.start : place.start_end]
        edits.append((place.start, place.start_end, _SPANS.sub(b"", start)))
        edits.append((place.end, place.end, _cells(place, first, ours)))
    if dimension is not None:
        last = letters_of(first + len(ours.headings) - 1).encode()
        tag = xml[dimension[0] : dimension[1]]
        edits.append((*dimension, _RANGE_END.sub(rb"\g<1>" + last + rb"\g<2>", tag)))
    for begin, end, new in sorted(edits, reverse=True):
        xml = xml[:begin] + new + xml[end:]
    return _packed(data, part, xml)


def _cells(place: RowPlace, first: int, ours: OurColumns) -> bytes:
    prefix, style = place.prefix, ""
    if place.row in ours.headed and place.style:
        # So that our headings look like theirs.
        style = f' s="{place.style}"'
    found = []
    for column, cell in enumerate(ours.of_row(place.row), start=first):
        at = f'{prefix}c r="{letters_of(column)}{place.row}"{style}'
        if isinstance(cell, str):
            text = escape(_UNWRITABLE.sub("", cell))
            if not text:
                continue
            inner = f'<{prefix}t xml:space="preserve">{text}</{prefix}t>'
            found.append(f'<{at} t="inlineStr"><{prefix}is>{inner}</{prefix}is></{prefix}c>')
        elif cell is not None:
            found.append(f"<{at}><{prefix}v>{cell}</{prefix}v></{prefix}c>")
    return "".join(found).encode()


def _packed(data: bytes, part: str, xml: bytes) -> bytes:
    """The archive with one part in another's place; all else as it was, days and order too."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for member in old.infolist():
            content = xml if member.filename == part else old.read(member)
            new.writestr(member, content, compress_type=member.compress_type)
    return out.getvalue()
