"""`wholekit sweep`: moment and force over the swing of one template, with drawings."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, tell, wrapped
from wholekit.cli.quantities import OptionReader, with_unit
from wholekit.documents.drawings import CurvePoint, draw_curve, draw_plan
from wholekit.domain.catalog import Catalog
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length, Physical, parse_angle
from wholekit.domain.quantities.physical import N_PER_LBF
from wholekit.intake.catalogs import read_catalogs
from wholekit.intake.rulebook import load_rulebook
from wholekit.services.swing_report import SwingAsked, SwingReport, report_swing
from wholekit.views.forces import CAUTION
from wholekit.wording.force_sentences import ENDS
from wholekit.wording.units import FOOT, in_units_of, is_metric, measured
from wholekit.wording.words import MOUNTS

YARD = Length.inches(36)
HANDLE = Length.inches(3)
REVEAL = Length.inches(4)
NM_PER_LBF_FT = N_PER_LBF * FOOT
MM_PER_INCH = 25.4


@dataclass(frozen=True, slots=True)
class SweepRowAnswer:
    """One opening angle [°]."""

    angle: float
    moment_ratio: float
    closing_moment_nm: float
    opening_force_n: float
    opening_force_lbf: float
    clearance_mm: float


@dataclass(frozen=True, slots=True)
class SweepAnswer:
    """The answer of `wholekit sweep`; angles [°]."""

    series: str
    template: str
    mount: str
    size: int
    stated_angle: float
    greatest_angle: float
    ended: str
    share_of_regular_arm: float
    forearm_setting_mm: float
    preload: float
    projection_mm: float
    rows: tuple[SweepRowAnswer, ...]
    caution: str = CAUTION


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("sweep")(sweep)


def sweep(
    catalog: Annotated[
        list[Path],
        typer.Option(help="A supplier's catalogue folder; several may follow.", metavar="DIR"),
    ],
    series: Annotated[str, typer.Option(help="The series.")],
    mount: Annotated[Mount, typer.Option(help="How body and arms are placed.")],
    template: Annotated[
        str | None, typer.Option(help="The template; else the one that just reaches the angle.")
    ] = None,
    size: Annotated[
        int | None, typer.Option(help="Size the body is set to; else its smallest.")
    ] = None,
    angle: Annotated[
        str | None, typer.Option(help="Opening angle of the plan drawing; 90 unless given.")
    ] = None,
    width: Annotated[str, typer.Option(help="Leaf width with unit.")] = "36 in",
    handle: Annotated[str, typer.Option(help="Handle to latch edge with unit.")] = "3 in",
    reveal: Annotated[str, typer.Option(help="Frame face to leaf, push side, with unit.")] = "4 in",
    svg: Annotated[
        Path | None, typer.Option(help="Write the curve of moment and force here.", metavar="FILE")
    ] = None,
    plan: Annotated[
        Path | None, typer.Option(help="Write the plan drawing here.", metavar="FILE")
    ] = None,
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Closing moment and opening force over the swing, and how far the arms let the leaf go."""
    rules = load_rulebook(house)
    reader = OptionReader()
    wide = reader.read("--width", width, with_unit, YARD)
    grip = reader.read("--handle", handle, with_unit, HANDLE)
    deep = reader.read("--reveal", reveal, with_unit, REVEAL)
    wanted = None if angle is None else reader.read("--angle", angle, parse_angle, Physical(0, ""))
    if grip >= wide:
        reader.fault("--handle", "handle-outside-leaf", given=str(grip), width=str(wide))
    for option, path in (("--svg", svg), ("--plan", plan)):
        _check_place(option, path, reader)
    if svg is not None and svg == plan:
        reader.fault("--plan", "same-file-twice", given=str(plan))
    reader.finish()
    asked = SwingAsked(
        series, mount, template, size, None if wanted is None else wanted.si, wide, grip, deep
    )
    report = report_swing(_having(read_catalogs(catalog), series), asked, rules)
    # Both drawings are made before either is written.
    drawings = [
        (path, draw(report, wide))
        for path, draw in ((svg, _curve), (plan, _plan))
        if path is not None
    ]
    for path, drawing in drawings:
        _write(path, drawing)
    answer = _answer(report)
    if json:
        print_json(answer)
    else:
        with in_units_of(wide):
            _print(answer, metric=is_metric(wide))


def _having(catalogs: list[Catalog], series: str) -> Catalog:
    """The catalogue with the series; where none has it, the first, whose refusal then tells."""
    wanted = series.strip().lower()
    return next(
        (
            catalog
            for catalog in catalogs
            if any(wanted == each.id.lower() for each in catalog.series)
        ),
        catalogs[0],
    )


def _answer(report: SwingReport) -> SweepAnswer:
    return SweepAnswer(
        series=report.template.series,
        template=report.template.id,
        mount=report.template.mount.value,
        size=report.size,
        stated_angle=report.template.greatest_angle,
        greatest_angle=report.swing.reached,
        ended=report.swing.ended,
        share_of_regular_arm=round(report.share, 4),
        forearm_setting_mm=round(report.swing.forearm * 1000, 2),
        preload=round(report.swing.preload, 2),
        projection_mm=round(report.swing.projection * 1000, 1),
        rows=tuple(
            SweepRowAnswer(
                angle=row.angle,
                moment_ratio=round(row.ratio, 4),
                closing_moment_nm=round(row.closing_nm, 3),
                opening_force_n=round(row.opening_n, 3),
                opening_force_lbf=round(row.opening_n / N_PER_LBF, 3),
                clearance_mm=round(row.clearance_m * 1000, 1),
            )
            for row in report.rows
        ),
    )


def _title(report: SwingReport) -> tuple[str, str]:
    title = f"{report.template.id}: {MOUNTS[report.template.mount]}, size {report.size}"
    return title, (
        f"arms reach {report.swing.reached:g}°, closing power {report.share * 100:.0f} % of the "
        "regular arm's"
    )


def _curve(report: SwingReport, _width: Length) -> str:
    points = [CurvePoint(row.angle, row.closing_nm, row.opening_n) for row in report.rows]
    return draw_curve(points, *_title(report), report.template.greatest_angle)


def _plan(report: SwingReport, width: Length) -> str:
    title = f"{report.template.id}, leaf {width} wide, open {report.angle:g}°"
    return draw_plan(report.arms, report.angle, width.in_metres, title, _title(report)[1])


def _check_place(option: str, path: Path | None, reader: OptionReader) -> None:
    if path is not None and (path.is_dir() or not path.parent.is_dir()):
        reader.fault(option, "svg-not-written", error=f"{path} is not a file in such a folder")


def _write(path: Path, drawing: str) -> None:
    try:
        path.write_text(drawing, encoding="utf-8")
    except OSError as error:
        problem = Problem("svg-not-written", {"error": error.strerror or "?"}, str(path))
        raise InputError([problem]) from None
    tell(f"wrote {path}")


def _length(millimetres: float) -> str:
    """In the units in use, to the millimetre."""
    return measured(Length.mm(round(millimetres)))


def _print(answer: SweepAnswer, *, metric: bool) -> None:
    say(f"{answer.template}   {MOUNTS[Mount(answer.mount)]}, size {answer.size}")
    for line in wrapped(
        f"Stated to {answer.stated_angle:g}°; the arms reach {answer.greatest_angle:g}° "
        f"({ENDS[answer.ended]}). Forearm set at {_length(answer.forearm_setting_mm)}, preload "
        f"{answer.preload:.0f}°; the elbow stands out {_length(answer.projection_mm)} at most. "
        f"Closing power at 0 to 4°: {answer.share_of_regular_arm * 100:.0f} % of the regular "
        "arm's.",
        "  ",
    ):
        say(line)
    say()
    in_pounds = ("angle", "ratio", "closing lbf·ft", "to open lbf", "clear in")
    in_newtons = ("angle", "ratio", "closing N·m", "to open N", "clear mm")
    heads = in_newtons if metric else in_pounds
    rows = [
        (
            f"{row.angle:g}°",
            f"{row.moment_ratio:.2f}",
            f"{row.closing_moment_nm / (1 if metric else NM_PER_LBF_FT):.1f}",
            f"{row.opening_force_n if metric else row.opening_force_lbf:.1f}",
            f"{row.clearance_mm:.0f}" if metric else f"{row.clearance_mm / MM_PER_INCH:.1f}",
        )
        for row in answer.rows
    ]
    for line in table(rows, heads, frozenset(range(len(heads))), 2):
        say(line)
    say()
    for line in wrapped(CAUTION):
        say(line)
