"""Four sheets as they come to a counter, of an invented town, each with the schedule it means.

What stands in `typed` is what somebody would type who reads the sheet with care, the customer's
answers among it: the clean form that is read strictly.
"""

from dataclasses import dataclass

import openpyxl
from tests.openings.files import saved

CLINIC = """\
PORT ALDREN CLINIC - SOUTH WING,,,,,,,,,,,
Opening schedule,,,,Issued for tender,,,,,,,Rev. C
,,,,,,,,,,,
Door No.,Qty,Door Size,Door Matl,Frame,Rating,Handing,Location,Closer,HW Set,Room,Remarks
LEVEL 1,,,,,,,,,,,
101,1,"3'-0"" x 7'-0"" x 1-3/4""\",HM,HM,NR,LHR,EXT,PA,1,Lobby,mat recess by others
102,2,PR 3-0 7-0,HM,HMF,20M,RHA,INT,REG,4,Corridor,
103,1,3070,SCWD,HMF,C (3/4 HR),RH,INT,REG,7,Records,
104,NOT USED,,,,,,,,,,
105,1,3.0x7.0,HM,HM,B,LH,INT,REG,7,Stair A,
106,1,3070,HM,HM,B,RH,INT,REG,7,Stair B,
Door No.,Qty,Door Size,Door Matl,Frame,Rating,Handing,Location,Closer,HW Set,Room,Remarks
LEVEL 2,,,,,,,,,,,
201,4,2868,SCWD,WD,-,LH,INT,REG,9,Exam,
TOTAL,10,,,,,,,,,,
"""
CLINIC_TYPED = """\
mark,quantity,size,leaves,thickness,door,frame,fire_minutes,hand,location,mount,note
101,1,3070,,1-3/4,hollow-metal,steel,0,lhr,exterior,parallel,mat recess by others
102,2,3070,2,,hollow-metal,steel,20,rh,interior,regular,
103,1,3070,,,wood,steel,45,rh,interior,regular,
105,1,3070,,,hollow-metal,steel,90,lh,interior,regular,
106,1,3070,,,hollow-metal,steel,90,rh,interior,regular,
201,4,2868,,,wood,wood,0,lh,interior,regular,
"""
REPEATED = """\
Heron Quay flats - closers wanted,,,,,,
Mark,Type,Width,Height,Material,Frame,Fire Label
A1,F,3'-0",7'-0",WD,WD,20 min
A1,F,3'-0",7'-0",WD,WD,20 min
A1,F,3'-0",7'-0",WD,WD,20 min
B1,N,3'-0",6'-8",HM,HM,45
B1,N,3'-0",6'-8",HM,HM,90
C1,G,2'-10",6'-8",AL,AL,NR
"""
REPEATED_TYPED = """\
mark,quantity,width,height,door,frame,fire_minutes
A1,2,3'-0",7'-0",wood,wood,20
B1 (1),1,3'-0",6'-8",hollow-metal,steel,45
B1 (2),1,3'-0",6'-8",hollow-metal,steel,90
C1,1,2'-10",6'-8",aluminum,aluminum,0
"""
METRIC = """\
École des Trois-Îles;;;;;;;
Bordereau des portes;;;;;;;
Porte N°;Quantité;Largeur (mm);Hauteur (mm);Épaisseur (mm);Coupe-feu;Int/Ext;Remarques
P1;1;915;2134;44,5;45 min;INT;près de l'escalier
P2;2;914,4;2134;44,5;X;INT;
P3;1;965;2134;44,5;s/o;EXT;entrée
TOTAL;4;;;;;;
"""
METRIC_TYPED = """\
mark,quantity,width,height,thickness,fire_minutes,location,note
P1,1,915 mm,2134 mm,44.5 mm,45,interior,près de l'escalier
P2,2,914.4 mm,2134 mm,44.5 mm,20,interior,
P3,1,965 mm,2134 mm,44.5 mm,0,exterior,entrée
"""
MERGED_TYPED = """\
mark,width,height,door,frame,fire_minutes
1,36 in,84 in,hollow-metal,steel,20
2,36 in,84 in,hollow-metal,steel,20
3,36 in,84 in,hollow-metal,steel,0
4,34 in,80 in,hollow-metal,steel,45
"""


@dataclass(frozen=True, slots=True)
class Sent:
    """A sheet, the schedule it means, and the calls from the one to a quote.

    asks: the one question that the program has. calls: words of each, one of them its answer; SHEET
    and PDF stand for files. refused: the numbers of calls that only ask [from 0].
    """

    name: str
    asks: str
    data: bytes
    typed: str
    calls: tuple[str, ...]
    refused: frozenset[int] = frozenset()


def merged_workbook() -> bytes:
    """A cover, a schedule under two header rows with one size for three doors, and the windows."""
    book = openpyxl.Workbook()
    cover = book.active
    cover.title = "Cover"
    cover.append(["Quillmere school", "Job 12"])
    sheet = book.create_sheet("Schedule")
    for row in (
        ["QUILLMERE SCHOOL"],
        ["", "DOOR", "", "", "FRAME", "FIRE"],
        ["Mark", "Width (in)", "Height (in)", "Matl", "Matl", "Rating"],
        ["1", 36, 84, "HM", "HM", "20"],
        ["2", None, None, "HM", "HM", "20"],
        ["3", None, None, "HM", "HM", "NR"],
        ["4", 34, 80, "HM", "HM", "45"],
        [],
        ["WINDOWS"],
        ["Mark", "Width", "Height", "Glazing"],
        ["W1", 48, 48, "6 mm"],
        ["W2", 36, 48, "6 mm"],
    ):
        sheet.append(row)
    for area in ("B2:D2", "B4:B6", "C4:C6", "A1:F1"):
        sheet.merge_cells(area)
    return saved(book)


SENT = (
    Sent(
        "clinic.csv",
        "105, 106: what is “B” under fire_minutes? 60 or 90",
        CLINIC.encode(),
        CLINIC_TYPED,
        (
            "job new Clinic --customer saltmarsh",
            "job add 2 SHEET",
            "job answer 2 fire_minutes=90 105-106",
            "quote issue 2",
            "quote paper Q-1 --out PDF",
        ),
    ),
    Sent(
        "merged.xlsx",
        "Which table holds the openings?",
        merged_workbook(),
        MERGED_TYPED,
        (
            "job new School --customer saltmarsh",
            "job add 2 SHEET",
            "job add 2 SHEET --table 3",
            "quote issue 2",
            "quote paper Q-1 --out PDF",
        ),
        frozenset({1}),
    ),
    Sent(
        "repeated.csv",
        "mark A1 stands in rows 3, 4 and 5 with the same facts",
        REPEATED.encode(),
        REPEATED_TYPED,
        (
            "job new Flats --customer saltmarsh",
            "job add 2 SHEET",
            "job edit 2 A1 quantity=2",
            "quote issue 2",
            "quote paper Q-1 --out PDF",
        ),
    ),
    Sent(
        "metric.csv",
        "P2: what is “X” under fire_minutes?",
        METRIC.encode("cp1252"),
        METRIC_TYPED,
        (
            "job new Ecole --customer saltmarsh",
            "job add 2 SHEET",
            "job answer 2 fire_minutes=20 P2",
            "quote issue 2",
            "quote paper Q-1 --out PDF",
        ),
    ),
)
