"""Where the table of openings stands in a sheet, and which rows around and in it are none."""

import re
from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from operator import itemgetter

from wholekit.domain.openings import WhyUnasked
from wholekit.domain.openings.sheet import SkippedRows
from wholekit.intake.headings import key, meant
from wholekit.intake.sheet_headers import (
    MOST_COLUMNS,
    RULE,
    SHOWN,
    Header,
    claimed,
    find_headers,
    has_figures,
    is_complete,
)
from wholekit.intake.tables import Area, Grid, Row

# Cells that merged ranges may fill together: a workbook can state any number of ranges.
MOST_FILLED = 1_000_000
SIZES = ("size", "width", "height")
# Begins of rows that count the ones above, and of rows that part them, in any of the languages.
_TOTAL = re.compile(
    r"(?:grand |sub[- ]?)?totals?\b|total(?:es)? |sous[- ]total|nombre total|"
    r"number of (?:doors|openings)",
    re.IGNORECASE,
)
_SECTION = re.compile(
    r"(?:level|floor|building|bldg|phase|area|wing|zone|niveau|étage|bâtiment|nivel|planta|edificio|"
    r"basement|ground|first|second|third|roof|page|sheet|note|notes|remarks|legend)\b",
    re.IGNORECASE,
)
_NOT_USED = re.compile(
    r"(?:mark |number |door )?(?:not used|void|deleted|omitted|unused|(?P<nic>n\.?i\.?c\.?|"
    r"not in contract|hors contrat|fuera de contrato)|"
    r"non utilisé|supprimé|no usado|eliminado)\W*$",
    re.IGNORECASE,
)
# Why rows of doors are not quoted, of which the customer is told.
UNASKED = frozenset(why.value for why in WhyUnasked)
# Rows that state a count, though none of them is quoted.
COUNTED = UNASKED - {WhyUnasked.LEFT_OUT} | {"total"}
_COUNT = re.compile(r"[0-9]{1,6}$")
# Under a heading of closers: none is wanted.
_NO_CLOSER = re.compile(
    r"(?:none|no|n|nil|0|ø|without|w/o|no closer|not? req(?:uired|'?d)?\.?|omit|sans|"
    r"aucun|non|ninguno|no lleva|sin|(?P<others>by others|par d['’]autres|por otros))\W*$",
    re.IGNORECASE,
)
_SAYS_NIC = frozenset({"quantity", "fire_minutes", "door", "frame", "finish", "mount"})


@dataclass(frozen=True, slots=True)
class FoundTable:
    """The table: its header rows and headings, the rows of openings, and what was skipped.

    units: what a heading or a row of units says, by place. spans: first and last row of each part,
    its header with it. filled: merged ranges whose value was filled down. beyond: filled columns
    behind the hundredth [count]. unasked: rows of doors among the skipped that nothing is quoted
    for, each with why.
    """

    sheet: str
    form: str
    header_rows: tuple[int, ...]
    headings: tuple[str, ...]
    units: tuple[str, ...]
    rows: tuple[Row, ...]
    skipped: tuple[SkippedRows, ...]
    spans: tuple[tuple[int, int], ...] = ()
    filled: tuple[Area, ...] = ()
    merged_quantity: tuple[Area, ...] = field(default=())
    beyond: int = 0
    unasked: tuple[tuple[WhyUnasked, Row], ...] = ()

    @property
    def complete(self) -> bool:
        """Whether mark and size are among the headings."""
        return is_complete(claimed(self.headings))


def find_tables(grid: Grid, choices: frozenset[str] = frozenset()) -> list[FoundTable]:
    """The tables of a sheet from its first row on; none where no row looks like a header.

    choices: keys of headings that somebody has named, which count as known. Parts of a sheet under
    the same headings are one table.
    """
    heads = find_headers(grid.rows, choices)
    if not heads:
        return []
    starts = [head.start(grid.rows) for head in heads]
    layouts: dict[tuple[str, ...], list[tuple[Header, int, int]]] = {}
    for head, start, end in zip(heads, starts, [*starts[1:], len(grid.rows)], strict=True):
        layouts.setdefault(tuple(map(key, head.headings)), []).append((head, start, end))
    merged = _merged_by_part(grid, [grid.rows[start][0] for start in starts])
    places = {row: place for place, (row, _) in enumerate(grid.rows)} if grid.merged else {}
    tables = [_table(grid, parts, merged, places) for parts in layouts.values()]
    above = _before(grid.rows, heads[0].rows[0])
    tables[0] = replace(tables[0], skipped=tuple(together([*above, *tables[0].skipped])))
    return tables


def _table(
    grid: Grid,
    parts: Sequence[tuple[Header, int, int]],
    merged: Mapping[int, Sequence[Area]],
    places: Mapping[int, int],
) -> FoundTable:
    """One table, of the parts under the same headings; each begins with its header.

    merged: the merged ranges of each part by its first row; places: of the rows in the grid.
    """
    head = parts[0][0]
    spans = tuple((grid.rows[start][0], grid.rows[end - 1][0]) for _, start, end in parts)
    areas = [area for first, _ in spans for area in merged.get(first, ())]
    filled, merged_quantity = _fill_merged(grid, head, areas, places)
    rows: list[Row] = []
    skipped: list[SkippedRows] = []
    body = _Body(head, grid.rows, [(start, end) for _, start, end in parts])
    for part, start, end in parts:
        first = part.place + 1 if part is head else start
        body.part(grid.rows[first:end], rows, skipped)
    width = _filled_width(rows, grid.rows[head.place][1])
    # Columns that are filled but have no heading are columns all the same.
    unheaded = ("",) * (min(width, MOST_COLUMNS) - len(head.headings))
    return FoundTable(
        grid.name,
        grid.form,
        head.rows,
        (*head.headings, *unheaded),
        body.units,
        tuple(rows),
        tuple(together(skipped)),
        spans,
        filled,
        merged_quantity,
        max(0, width - MOST_COLUMNS),
        tuple(body.unasked),
    )


def best_guess(grid: Grid) -> tuple[int, str]:
    """The row that comes nearest to a header, and its text; row 0 where none has two cells."""
    best, found = 0, (0, "")
    for row, cells in grid.rows[:2000]:
        filled = [cell for cell in cells[:MOST_COLUMNS] if cell.strip()]
        texts = sum(not any(sign.isdigit() for sign in cell) for cell in filled)
        score = 3 * len(claimed(filled)) + min(texts, 5)
        if len(filled) > 1 and score > best:
            best, found = score, (row, row_text(cells))
    return found


def together(skipped: Sequence[SkippedRows]) -> list[SkippedRows]:
    """Rows skipped one after another for the same reason as one entry."""
    found: list[SkippedRows] = []
    for entry in sorted(skipped, key=lambda entry: entry.first):
        # What a row of text says may hold for every door: none is told by another's words.
        alike = found and found[-1].why == entry.why and entry.why not in ("text", "total")
        if alike and found[-1].last + 1 == entry.first:
            counted = found[-1].counted + entry.counted
            found[-1] = replace(found[-1], last=entry.last, counted=counted)
        else:
            found.append(entry)
    return found


class _Body:
    """Tells rows of openings from rows that only stand among them."""

    def __init__(self, head: Header, rows: Sequence[Row], spans: Sequence[tuple[int, int]]) -> None:
        columns = [
            known.heading.columns[0] if known is not None and known.heading.columns else ""
            for known in map(meant, head.headings)
        ]
        marks = [number for number, column in enumerate(columns) if column == "mark"]
        self._mark = marks[0] if marks else None
        self._sizes = [number for number, column in enumerate(columns) if column in SIZES]
        self._counts = [number for number, column in enumerate(columns) if column == "quantity"]
        # Where NIC is no remark, from which nothing is taken.
        self._plain = [number for number, column in enumerate(columns) if column in _SAYS_NIC]
        self._pick = itemgetter(*self._plain) if self._plain else lambda _cells: ()
        self._closers = [number for number, column in enumerate(columns) if column == "mount"]
        self._outs: dict[object, str] = {}
        # Beyond the width of any row where one of the two is missing.
        self._reach = max([*marks[:1], *self._sizes[:1]]) if marks and self._sizes else 10**9
        self._rows = head.rows
        self._given = rows
        self._spans = spans
        self._marks_like: set[str] | None = None
        self._again = {text for text in map(key, head.headings) if text}
        near = rows[max(0, head.place - 1) : head.place + 2]
        self._raw = {_keys(cells) for row, cells in near if row in head.rows}
        self.units = tuple(known.unit if known else "" for known in map(meant, head.headings))
        self.unasked: list[tuple[WhyUnasked, Row]] = []

    def part(self, given: Sequence[Row], rows: list[Row], skipped: list[SkippedRows]) -> None:
        """Puts each row with those of openings, or with those skipped; a blank one with neither."""
        reach, mark, size = self._reach, self._mark or 0, self._sizes[0] if self._sizes else 0
        for entry in given:
            row, cells = entry
            # Surely one of an opening: a mark that begins with a figure, and a size. Most rows are.
            if (
                len(cells) > reach
                and cells[mark][:1].isdigit()
                and self._is_size(cells[size])
                and not self._out(cells)
            ):
                rows.append(entry)
            elif row not in self._rows:
                why = self.why_not(cells)
                if why is None:
                    rows.append(entry)
                elif why:
                    counted = self._counted(cells) if why in COUNTED else 0
                    skipped.append(SkippedRows(row, row, why, row_text(cells), counted=counted))
                    if why in UNASKED and not _NOT_USED.match(cells[mark].strip()):
                        self.unasked.append((WhyUnasked(why), entry))

    def why_not(self, cells: Sequence[str]) -> str | None:
        """Why a row is none of an opening, empty for a blank one; None where it is one."""
        mark = ""
        if self._mark is not None and self._mark < len(cells):
            mark = cells[self._mark].strip()
        filled = [cell.strip() for cell in cells if cell.strip()]
        if not filled:
            return ""
        if self._is_header(filled) or _keys(cells) in self._raw:
            return "header-again"
        if all(RULE.match(cell) for cell in filled):
            return "rule"
        if _TOTAL.match(filled[0]):
            return "total"
        if self._sized(cells) and mark:
            return self._out(cells) or None
        for said in filter(None, map(_NOT_USED.match, filled)):
            return _why(said)
        if len(filled) == 1 and (
            not mark
            or " " in mark
            or not any(sign.isdigit() for sign in mark)
            or len(mark) > 20
            or _SECTION.match(mark)
        ):
            return "text"
        if self._mark is not None and not mark and not self._sized(cells):
            return "no-mark-no-size"
        if len(filled) == 1 and self._sizes and _shape(mark) not in self._shapes():
            return "mark-alone"
        return None

    def _counted(self, cells: Sequence[str]) -> int:
        """What a row of a total states under the one column of counts; 0 where it is no number."""
        texts = [cells[place].strip() for place in self._counts if place < len(cells)]
        return int(texts[0]) if len(texts) == 1 and _COUNT.match(texts[0]) else 0

    def _shapes(self) -> set[str]:
        """How the marks of rows with a size are built; a text alone that is built so may be an
        opening that lacks all else."""
        if self._marks_like is None:
            self._marks_like = {
                _shape(cells[self._mark].strip())
                for start, end in self._spans
                for _, cells in self._given[start:end]
                if self._mark is not None and len(cells) > self._mark and self._sized(cells)
            }
        return self._marks_like

    def _sized(self, cells: Sequence[str]) -> bool:
        return any(number < len(cells) and self._is_size(cells[number]) for number in self._sizes)

    def _out(self, cells: Sequence[str]) -> str:
        """Why a row is none to quote though it has mark and size: a cell that is no remark says
        that it is not in the contract, or that no closer is wanted. Empty where it is one."""
        try:
            said = self._pick(cells)
        except IndexError:
            said = tuple(cells[number] for number in self._plain if number < len(cells))
        # Most rows say here what others said before them.
        out = self._outs.get(said)
        if out is None:
            texts = (said,) if isinstance(said, str) else said
            found = [*(_NOT_USED.match(text) for text in texts if text[:1] in ("n", "N")),
                     *(_NO_CLOSER.match(cells[place].strip()) for place in self._closers
                       if place < len(cells))]  # fmt: skip
            out = self._outs[said] = next((_why(each) for each in found if each), "")
        return out

    @staticmethod
    def _is_size(cell: str) -> bool:
        """Whether something stands there, and not that the door is left out of the contract."""
        text = cell.strip()
        return bool(text) and not (text[:1].isalpha() and _NOT_USED.match(text))

    def _is_header(self, filled: Sequence[str]) -> bool:
        again = sum(key(cell[:SHOWN]) in self._again for cell in filled[:MOST_COLUMNS])
        return again > 1 and 2 * again > len(filled) and not has_figures(filled)


def _why(said: re.Match[str]) -> str:
    """What such a cell says of its door."""
    parts = said.groupdict()
    if "others" in parts:
        return WhyUnasked.BY_OTHERS if parts["others"] else WhyUnasked.NO_CLOSER
    return WhyUnasked.NOT_IN_CONTRACT if parts["nic"] else WhyUnasked.NOT_USED


def _before(rows: Sequence[Row], first: int) -> list[SkippedRows]:
    """The filled rows above the header's first."""
    found = []
    for row, cells in rows:
        if row >= first:
            break
        if any(cell.strip() for cell in cells):
            found.append(SkippedRows(row, row, "above", row_text(cells)))
    return found


def _filled_width(rows: Sequence[Row], header: Sequence[str]) -> int:
    """Columns to the last one with anything in it [count]."""
    width = 0
    for cells in (header, *(cells for _, cells in rows)):
        # From the end: a sheet may bring thousands of empty cells in each row.
        end = len(cells)
        while end > width and not cells[end - 1].strip():
            end -= 1
        width = max(width, end)
    return width


def _shape(mark: str) -> str:
    """What a mark is built like: a number, or letter by letter and figure by figure.

    >>> _shape("101"), _shape("B1"), _shape("D-101")
    ('9', 'A9', 'A-999')
    """
    if mark.isdigit():
        return "9"
    return "".join("9" if sign.isdigit() else "A" if sign.isalpha() else sign for sign in mark)


def _keys(cells: Sequence[str]) -> tuple[str, ...]:
    return tuple(key(cell[:SHOWN]) for cell in cells[:MOST_COLUMNS] if cell.strip())


def _merged_by_part(grid: Grid, firsts: Sequence[int]) -> Mapping[int, Sequence[Area]]:
    """The merged ranges by the first row of the part that they begin in, as far as room goes."""
    found: dict[int, list[Area]] = {}
    room = MOST_FILLED
    for area in grid.merged:
        room -= area[2] - area[0]
        if room < 0:
            break
        part = bisect_right(firsts, area[0]) - 1
        if part >= 0:
            found.setdefault(firsts[part], []).append(area)
    return found


def _fill_merged(
    grid: Grid, head: Header, areas: Sequence[Area], places: Mapping[int, int]
) -> tuple[tuple[Area, ...], tuple[Area, ...]]:
    """Fills merged ranges of a table down, in the grid itself: (filled, those of counts)."""
    quantities = {
        number
        for number, known in enumerate(map(meant, head.headings), start=1)
        if known is not None and "quantity" in known.heading.columns
    }
    filled: list[Area] = []
    counted: list[Area] = []
    for area in areas:
        top, left, bottom, _ = area
        if top <= head.rows[-1] or bottom == top or top not in places or left > len(head.headings):
            continue
        cells = grid.rows[places[top]][1]
        value = cells[left - 1] if left <= len(cells) else ""
        if not value.strip():
            continue
        for row in range(top + 1, bottom + 1):
            if row in places:
                below = list(grid.rows[places[row]][1])
                below += [""] * (left - len(below))
                below[left - 1] = value
                grid.rows[places[row]] = (row, below)
        filled.append(area)
        if left in quantities:
            counted.append(area)
    return tuple(filled), tuple(counted)


def row_text(cells: Sequence[str]) -> str:
    """The filled cells of a row in one line, cut where they are many.

    >>> row_text(["Door No.", "", "Door  Size"])
    'Door No. | Door Size'
    """
    text = " | ".join(" ".join(cell.split()) for cell in cells[:MOST_COLUMNS] if cell.strip())
    return text if len(text) <= SHOWN else f"{text[:SHOWN]}…"
