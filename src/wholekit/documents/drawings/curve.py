"""The curve of closing moment and opening force over the opening angle."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from wholekit.documents.drawings.canvas import FAINT, FIRST, GRID, INK, SECOND, Canvas

WIDTH, HEIGHT = 760.0, 450.0
LEFT, RIGHT, TOP, BOTTOM = 66.0, 694.0, 84.0, 366.0
TICKS = 6


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """One angle [°] with its closing moment [N·m] and force at the handle [N]."""

    angle: float
    moment_nm: float
    force_n: float


def draw_curve(
    points: Sequence[CurvePoint], title: str, subtitle: str, stated: float | None
) -> str:
    """An SVG of moment (solid, left scale) and force (dashed, right scale) over the angle.

    stated: the template's greatest angle [°], marked where it lies on the curve. Raises
    ValueError for fewer than two points.
    """
    if len(points) < 2:
        raise ValueError("a curve needs two points")
    description = (
        "Solid line: closing moment in newton metres, left scale. Dashed line: force at the handle "
        "to open against the closer, in newtons, right scale. Both over the opening angle."
    )
    canvas = Canvas(WIDTH, HEIGHT, title, description)
    canvas.text((LEFT, 30), title, size=17, bold=True)
    canvas.text((LEFT, 50), subtitle, FAINT)
    most_angle = max(10.0, math.ceil(points[-1].angle / 10) * 10)
    most_moment = _round_up(max(point.moment_nm for point in points))
    most_force = _round_up(max(point.force_n for point in points))

    def across(angle: float) -> float:
        return LEFT + (RIGHT - LEFT) * angle / most_angle

    def up(value: float, most: float) -> float:
        return BOTTOM - (BOTTOM - TOP) * value / most

    _grid(canvas, most_angle, most_moment, most_force, across)
    if stated is not None and stated <= most_angle:
        x = across(stated)
        canvas.line([(x, TOP), (x, BOTTOM)], FAINT, 1.2, "2 4")
        canvas.text((x - 5, TOP + 12), f"template to {stated:g}°", FAINT, "end", 12)
    moments = [(across(point.angle), up(point.moment_nm, most_moment)) for point in points]
    forces = [(across(point.angle), up(point.force_n, most_force)) for point in points]
    canvas.line(moments, FIRST, 2.6)
    canvas.line(forces, SECOND, 2.2, "7 5")
    _legend(canvas)
    return canvas.svg()


def _grid(
    canvas: Canvas,
    most_angle: float,
    most_moment: float,
    most_force: float,
    across: Callable[[float], float],
) -> None:
    for step in range(TICKS + 1):
        part = step / TICKS
        y = BOTTOM - (BOTTOM - TOP) * part
        canvas.line([(LEFT, y), (RIGHT, y)], GRID, 1)
        canvas.text((LEFT - 8, y + 4), f"{most_moment * part:g}", FIRST, "end", 12)
        canvas.text((RIGHT + 8, y + 4), f"{most_force * part:g}", SECOND, "start", 12)
    spacing = 10 if most_angle <= 100 else 20
    for angle in range(0, int(most_angle) + 1, spacing):
        x = across(angle)
        canvas.line([(x, BOTTOM), (x, BOTTOM + 5)], INK, 1)
        canvas.text((x, BOTTOM + 20), f"{angle}°", INK, "middle", 12)
    canvas.line([(LEFT, TOP), (LEFT, BOTTOM), (RIGHT, BOTTOM), (RIGHT, TOP)], INK, 1)
    canvas.text((LEFT, TOP - 10), "N·m", FIRST, "end", 12, bold=True)
    canvas.text((RIGHT, TOP - 10), "N", SECOND, "start", 12, bold=True)


def _legend(canvas: Canvas) -> None:
    y = HEIGHT - 36
    canvas.line([(LEFT, y - 4), (LEFT + 34, y - 4)], FIRST, 2.6)
    canvas.text((LEFT + 42, y), "closing moment, left", FIRST)
    canvas.line([(LEFT + 210, y - 4), (LEFT + 244, y - 4)], SECOND, 2.2, "7 5")
    canvas.text((LEFT + 252, y), "force to open at the handle, right", SECOND)
    canvas.text((LEFT, y + 22), "calculated; check with a gauge", FAINT)


def _round_up(value: float) -> float:
    """The scale's top: a multiple of six round steps at or above a value, never 0."""
    if value <= 0:
        return float(TICKS)
    step = value / TICKS
    size = 10 ** math.floor(math.log10(step))
    round_step = next(factor * size for factor in (1, 2, 2.5, 5, 10) if factor * size >= step)
    # Without what binary fractions leave over, which would stand on the axis.
    return float(f"{round_step * TICKS:.6g}")
