"""Rows of a sheet that somebody leaves out by their numbers: `6`, `12-14`, `6,12-14`."""

import re
from collections.abc import Sequence
from dataclasses import replace

from wholekit.domain.openings import WhyUnasked
from wholekit.domain.openings.sheet import SkippedRows
from wholekit.intake.faults import Faults
from wholekit.intake.sheet_finding import FoundTable, row_text

_RUN = re.compile(r"(\d{1,7})(?:\s*[-–]\s*(\d{1,7}))?$")


def leave_out(
    tables: Sequence[FoundTable], wanted: Sequence[str], faults: Faults
) -> tuple[FoundTable, ...]:
    """The tables without the rows named; those are told as left out.

    wanted: numbers of rows as the sheet counts them, from 1. Raises InputError for what is no
    number of a row of openings: a row named by mistake would else be missed for good.
    """
    if not wanted:
        return tuple(tables)
    there = {row for table in tables for row, _ in table.rows}
    named: set[int] = set()
    for text in (part.strip() for given in wanted for part in given.split(",")):
        run = _RUN.match(text)
        first, last = (int(run[1]), int(run[2] or run[1])) if run else (1, 0)
        # Held against the rows there are: a run of millions makes no set of millions.
        found = {row for row in there if first <= row <= last}
        if not found or first not in found or last not in found:
            right = f"{min(there)} to {max(there)}" if there else "none"
            raise faults.refuse("sheet-row-unknown", given=text[:60], right=right)
        named |= found
    return tuple(_without(table, named) for table in tables)


def _without(table: FoundTable, named: set[int]) -> FoundTable:
    out = [entry for entry in table.rows if entry[0] in named]
    if not out:
        return table
    told = (SkippedRows(row, row, WhyUnasked.LEFT_OUT, row_text(cells)) for row, cells in out)
    return replace(
        table,
        rows=tuple(entry for entry in table.rows if entry[0] not in named),
        skipped=(*table.skipped, *told),
        unasked=(*table.unasked, *((WhyUnasked.LEFT_OUT, entry) for entry in out)),
    )
