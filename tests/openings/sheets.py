"""Sheets as contractors send them, in an invented scenario, and the reader of them."""

import random
from collections.abc import Sequence

import openpyxl
from tests.openings.files import FINISHES, JURISDICTIONS, saved

from wholekit.domain.openings.sheet import SheetChoices
from wholekit.intake.sheet import ReadSheet, read_sheet

# Title rows, a level, a mark not used, the header again, a total: as a drawing office exports it.
CLINIC = """\
TARROWBY ROAD CLINIC - EAST WING,,,,,,,,,,
Door schedule,,,Issued for tender,,,,,,,
,,,,,,,,,,
Door No.,Qty,Door Size,Door Matl,Frame,Rating,Handing,Int/Ext,HW Set,Room,Remarks
LEVEL 1,,,,,,,,,,
101,1,"3'-0"" x 7'-0"" x 1-3/4""\",HM,HM,NR,LHR,INT,4,Waiting,
102,2,PR 3-0 7-0,HM,HMF,20M,,INT,4,Corridor,hold open by others
103,1,3070,HM,HM,C (3/4 HR),RH,EXT,7,Plant,
104,NOT USED,,,,,,,,,
Door No.,Qty,Door Size,Door Matl,Frame,Rating,Handing,Int/Ext,HW Set,Room,Remarks
LEVEL 2,,,,,,,,,,
201,1,3070,HM,HM,90,LHRB,EXT,1,Stair,
TOTAL,5,,,,,,,,,
"""
# Metric, semicolons and decimal commas, French headings.
METRIC = """\
Centre communautaire d'Averlund;;;;;;
Porte N°;Quantité;Largeur (mm);Hauteur (mm);Épaisseur (mm);Coupe-feu;Remarques
P1;1;915;2134;44,5;45 min;près de l'escalier
P2;2;914,4;2134;44,5;;
"""
REPEATED = """\
Mark,Size,Rating,Qty
A1,3070,20,2
A1,3070,20,1
B1,3070,20,1
B1,3070,90,1
"""


def read(
    data: str | bytes,
    choices: SheetChoices | None = None,
    tables: Sequence[str] = (),
    left_out: Sequence[str] = (),
) -> ReadSheet:
    raw = data.encode() if isinstance(data, str) else data
    return read_sheet(
        raw, "sent.csv", finishes=FINISHES, jurisdictions=JURISDICTIONS, choices=choices,
        tables=tables, left_out=left_out,
    )  # fmt: skip


def merged_workbook() -> bytes:
    """A cover sheet and a schedule under two header rows with groups, one size for three doors."""
    book = openpyxl.Workbook()
    cover = book.active
    cover.title = "Cover"
    cover.append(["Quillmere school", "Job 12"])
    sheet = book.create_sheet("Doors")
    sheet.append(["QUILLMERE SCHOOL"])
    sheet.append(["", "DOOR", "", "", "FRAME", "FIRE"])
    sheet.append(["Mark", "Width (in)", "Height (in)", "Matl", "Matl", "Rating"])
    sheet.append(["1", 36, 84, "HM", "HM", "20"])
    sheet.append(["2", None, None, "HM", "HM", "20"])
    sheet.append(["3", None, None, "HM", "HM", None])
    sheet.append(["4", 34, 80, "HM", "HM", "45"])
    for area in ("B2:D2", "B4:B6", "C4:C6", "A1:F1"):
        sheet.merge_cells(area)
    return saved(book)


def shuffled(rows: list[list[str]], seed: int) -> list[list[str]]:
    """The same table with its columns in another order."""
    order = list(range(len(rows[0])))
    random.Random(seed).shuffle(order)
    return [[row[place] for place in order] for row in rows]
