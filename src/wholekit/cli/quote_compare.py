"""`wholekit quote compare`: what changed between two revisions, in words, as data or as a PDF."""

from collections.abc import Iterator, Sequence
from pathlib import Path

import typer

from wholekit import bootstrap
from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, tell, wrapped
from wholekit.cli.desk import By, deed, desk
from wholekit.cli.quote_export import write_whole
from wholekit.documents.comparison import ComparisonPaper, comparison_paper, render_comparison
from wholekit.documents.dress import dressed
from wholekit.domain.house_style import HouseStyle
from wholekit.services.quote_comparison import compare_draft, compare_quotes
from wholekit.settings import bundled
from wholekit.views.comparisons import with_amounts
from wholekit.wording.comparisons import (
    ChangeRow,
    ComparisonText,
    row_texts,
    say_comparison,
)

LONGEST = 18  # letters of a text that still stands in a column


def register(group: typer.Typer) -> None:
    """Put the command on the group of quotes."""
    group.command("compare")(compare)


def compare(
    first: str = typer.Argument(
        ...,
        help="The earlier revision; alone, a job or quote: its last issued against now.",
    ),
    second: str | None = typer.Argument(None, help="The later revision."),
    out: Path | None = typer.Option(
        None,
        "--out",
        help="Write it for the customer: a PDF, or a workbook if it ends in .xlsx.",
        metavar="FILE",
    ),
    by: By = "",
    house: options.HouseFile = None,
    house_style: options.HouseStyleFolder = None,
    json: options.Json = False,
) -> None:
    """What changed between two revisions: openings, lines and money; in words, data or a PDF."""
    style = bootstrap.house_style(house_style, tell) if out is not None else None
    place = desk(house, style)
    if second is None:
        done = compare_draft(place, deed(by), first)
    else:
        done = compare_quotes(place, deed(by), first, second)
    found = done.comparison
    said = say_comparison(found)
    if out is not None and style is not None:
        _write(dressed(comparison_paper(found, done.later), style), out, style)
        draft = ", DRAFT" if found.draft else ""
        tell(f"{out}  changes, for the customer{draft}")
    if json:
        print_json({"comparison": with_amounts(found), "words": with_amounts(said)})
        return
    for line in comparison_text(said, found.currency):
        say(line)


def _write(paper: ComparisonPaper, out: Path, style: HouseStyle) -> None:
    if out.suffix.lower() != ".xlsx":
        render_comparison(paper, out, bundled("templates"), style.templates)
        return
    # Late: a comparison is rarely wanted as a workbook.
    from wholekit.documents.exchange.comparison_workbook import comparison_workbook

    write_whole(out, comparison_workbook(paper))


def comparison_text(said: ComparisonText, currency: str) -> Iterator[str]:
    """A comparison as text, amounts in one currency."""
    yield from wrapped(f"{said.title}, amounts in {currency}")
    if said.draft:
        yield "DRAFT: nobody has issued it"
    yield from _section("money", said.money)
    yield from _section("discount", said.discount)
    if said.before_discount:
        yield ""
        yield from wrapped(said.before_discount)
    yield from _section("alternate", said.alternates)
    for opening in said.openings:
        yield ""
        where = (
            f"{opening.places} [alternate {opening.alternate}]"
            if opening.alternate
            else opening.places
        )
        yield from wrapped(f"{where}  {opening.kind.upper()}  {opening.what}")
        yield from _rows("one opening", (*opening.rows, opening.total))
    yield from _section("not in the quote", said.unasked)
    yield from _section("extra line", said.extras)
    yield from _section("terms", said.terms)
    yield from _section("price alone", said.repriced)
    yield from _section("item, each", said.items)
    yield from _section("worked out on", said.basis)
    if said.closing:
        yield ""
        yield from wrapped(said.closing)


def _section(title: str, rows: Sequence[ChangeRow]) -> Iterator[str]:
    if rows:
        yield ""
        yield from _rows(title, rows)


def _rows(title: str, rows: Sequence[ChangeRow]) -> Iterator[str]:
    """Amounts and short texts in columns, longer texts in lines below."""
    texts = [row_texts(row) for row in rows]
    short = [text for text in texts if max(len(text[1]), len(text[2])) <= LONGEST]
    money = any(change for *_, change in short)
    if short:
        heads = (title, "before", "now", "change")[: 4 if money else 3]
        columns = frozenset({1, 2, 3}) if money else frozenset[int]()
        yield from table([row[: len(heads)] for row in short], heads, columns, 0)
    for about, before, now, change in (text for text in texts if text not in short):
        moved_text = f", {change}" if change else ""
        said = f"{before} → {now}" if before and now else now or f"no longer {before}"
        yield from wrapped(f"{about}: {said}{moved_text}")
