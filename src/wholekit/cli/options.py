"""Options that several commands share."""

from pathlib import Path
from typing import Annotated

import typer

from wholekit.documents.quote_form import QuoteForm


def small(code: str | None) -> str | None:
    """A code as the house keeps it; people write it in capitals as on a letterhead."""
    return None if code is None else code.strip().lower()


Schedule = Annotated[
    str | None,
    typer.Argument(
        help="Opening schedule, CSV or XLSX; - for standard input.", metavar="[SCHEDULE]"
    ),
]
Shorthand = Annotated[
    list[str] | None,
    typer.Option(
        "--opening",
        help="One opening in words: '101 3070 hollow-metal/steel exterior out parallel 689 x2'.",
        metavar="TEXT",
    ),
]
Catalogs = Annotated[
    list[Path] | None,
    typer.Option(
        "--catalog", help="A supplier's catalogue folder; several may follow.", metavar="DIR"
    ),
]
StoredOrFolders = Annotated[
    list[Path] | None,
    typer.Option(
        "--catalog",
        help="A supplier's catalogue: a folder, several may follow, or the id of one in the store, "
        "once for each. Without it: the newest of each in the store.",
        metavar="DIR|ID",
    ),
]
HouseFile = Annotated[
    Path | None,
    typer.Option("--house", help="A TOML file with the house's own rules.", metavar="FILE"),
]
Multiplier = Annotated[
    str, typer.Option("--multiplier", help="Customer multiplier on list: 0.55 or 55%.", metavar="X")
]
Prefer = Annotated[
    list[str] | None,
    typer.Option(
        "--prefer", help="Supplier (catalogue id) to prefer; may be given again.", metavar="ID"
    ),
]
StockFirst = Annotated[
    bool, typer.Option("--stock-first", help="Prefer kits from items on hand over cheaper ones.")
]
ShowChoices = Annotated[
    bool,
    typer.Option("--choices", help="Show beside each kit the others the opening could have."),
]
OneSupplier = Annotated[
    str,
    typer.Option(
        "--one-supplier",
        help="All of it in this supplier's goods (catalogue id).",
        metavar="ID",
    ),
]
OneFinish = Annotated[
    str,
    typer.Option("--one-finish", help="All of it in this finish.", metavar="FINISH"),
]
Json = Annotated[bool, typer.Option("--json", help="Print one JSON document.")]
Folders = Annotated[list[Path], typer.Argument(help="Catalogue folders.", metavar="DIR...")]
ShowAll = Annotated[bool, typer.Option("--all", help="Every item, however many there are.")]
Strict = Annotated[
    bool,
    typer.Option(
        "--strict", help="Take the schedule only if it is clean as it stands; expand nothing."
    ),
]
SheetName = Annotated[
    str, typer.Option("--sheet", help="The sheet of the workbook that is meant.", metavar="NAME")
]
ColumnChoices = Annotated[
    list[str] | None,
    typer.Option(
        "--column",
        help="What a column of the sheet is: 'Lbl=fire_minutes', or 'Lbl=aside'; may be given "
        "again.",
        metavar="HEADING=COLUMN",
    ),
]
ValueChoices = Annotated[
    list[str] | None,
    typer.Option(
        "--value",
        help="What a cell means: 'fire_minutes:B=60'; may be given again.",
        metavar="COLUMN:CELL=CLEAN",
    ),
]
TableRows = Annotated[
    list[str] | None,
    typer.Option(
        "--table",
        help="Of several tables on the sheet, the row that the one meant is headed by; may be "
        "given again; or all.",
        metavar="ROW",
    ),
]
LeftOutRows = Annotated[
    list[str] | None,
    typer.Option(
        "--leave-out",
        help="Rows of the sheet that are no openings to quote: 6 or 12-14, as the sheet counts "
        "them; may be given again.",
        metavar="ROWS",
    ),
]
MapFile = Annotated[
    Path | None,
    typer.Option("--map", help="A TOML file with such choices.", metavar="FILE"),
]
HouseStyleFolder = Annotated[
    Path | None,
    typer.Option(
        "--house-style",
        help="The house folder with letterhead, logo and look; the folder house beside the store "
        "unless given.",
        metavar="DIR",
    ),
]
Labels = Annotated[
    str,
    typer.Option(
        "--labels",
        help="What the kit labels are printed on: sheet-10, sheet-4, 4x6in, a6 or 2x1in.",
        metavar="STOCK",
    ),
]
SlipOpenings = Annotated[
    list[str] | None,
    typer.Option(
        "--openings",
        help="Openings that go together, for a packing slip of a part: 101-104; may be given "
        "again.",
        metavar="MARKS",
    ),
]
Parcel = Annotated[
    str,
    typer.Option("--parcel", help="Which parcel of how many the slip is of: 2/3.", metavar="N/M"),
]
Form = Annotated[
    QuoteForm,
    typer.Option(
        "--form",
        help="How much the quote says: short leaves out mark tables, notes of no consequence and "
        "the appendix.",
    ),
]
