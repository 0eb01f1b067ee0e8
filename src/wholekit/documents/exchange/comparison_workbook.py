"""What changed between two revisions as a workbook for the customer. No cost is in it."""

from collections.abc import Iterator

from wholekit.documents.comparison import ComparisonPaper
from wholekit.documents.exchange.workbook import Cell, WorkSheet, workbook_bytes
from wholekit.wording.comparisons import ChangeRow, CountedAt, Value, row_texts
from wholekit.wording.speech import speaking, tr


def comparison_workbook(paper: ComparisonPaper) -> bytes:
    """The comparison's rows, amounts as numbers; in the language of its paper."""
    head, said = paper.head, paper.said
    with speaking(head.words_of):
        headings = (
            tr("Part"),
            tr("Mark"),
            tr("Alternate"),
            tr("What"),
            tr("Before"),
            tr("Now"),
            f"{tr('Change')} [{_currency(said.money)}]",
        )
        notice = f"{tr('DRAFT.')}" if said.draft else ""
        rows = tuple(_rows(paper))
        return workbook_bytes(
            [WorkSheet(tr("Changes to quote"), headings, rows, notice)],
            title=said.title,
            author=head.letterhead.name,
            day=head.issued,
            page=head.page_size,
        )


def _rows(paper: ComparisonPaper) -> Iterator[tuple[Cell, ...]]:
    said = paper.said
    yield from _part(tr("Money"), said.money)
    yield from _part(tr("Discount"), said.discount)
    if said.before_discount:
        yield tr("Discount"), "", "", said.before_discount, None, None, None
    yield from _part(tr("Alternates"), said.alternates)
    for opening in said.openings:
        place = (opening.places, opening.alternate)
        total = opening.total
        what = f"{opening.kind}: {total.about}, {opening.what}"
        yield (tr("Openings"), *place, what, *_values(total))
        for row in opening.rows:
            yield (tr("For one opening"), *place, row.about, *_values(row))
    yield from _part(tr("Doors not in the quote"), said.unasked)
    yield from _part(tr("Extra lines"), said.extras)
    yield from _part(tr("Terms"), said.terms)
    yield from _part(tr("Openings of which the price alone changed"), said.repriced)
    yield from _part(tr("Items at another price, each"), said.items)
    if said.closing:
        yield "", "", "", said.closing, None, None, None


def _part(title: str, rows: tuple[ChangeRow, ...]) -> Iterator[tuple[Cell, ...]]:
    for row in rows:
        yield (title, "", "", row.about, *_values(row))


def _values(row: ChangeRow) -> tuple[Cell, Cell, Cell]:
    _, before, now, _ = row_texts(row)
    return _cell(row.before, before), _cell(row.after, now), row.moved


def _cell(value: Value, text: str) -> Cell:
    return text if isinstance(value, CountedAt) else value


def _currency(rows: tuple[ChangeRow, ...]) -> str:
    # The total is always told.
    return next((row.moved.currency for row in rows if row.moved is not None), "")
