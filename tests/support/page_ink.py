"""What a label printer puts on paper of a PDF's page: its filled areas and lines, without text.

For codes alone: it knows right-angled areas and level lines, as bars and modules are.
"""

from pathlib import Path

import pikepdf
from PIL import Image, ImageDraw

DPI = 203
POINTS = 72


def ink_of(file: Path, page: int = 0, dpi: int = DPI) -> Image.Image:
    """The page's black areas, each dot black whose center is covered."""
    with pikepdf.open(file) as pdf:
        found = pdf.pages[page]
        scale = dpi / POINTS
        width, height = (float(found.mediabox[at]) for at in (2, 3))
        image = Image.new("L", (round(width * scale), round(height * scale)), 255)
        draw = ImageDraw.Draw(image)
        for left, bottom, right, top in _areas(found, (1, 0, 0, 1, 0, 0)):
            x, y = (
                _dots(left * scale, right * scale),
                _dots((height - top) * scale, (height - bottom) * scale),
            )
            if x[0] <= x[1] and y[0] <= y[1]:
                draw.rectangle((x[0], y[0], x[1], y[1]), fill=0)
    return image


def _dots(start: float, end: float) -> tuple[int, int]:
    """The first and the last dot whose center lies between."""
    return -int(-(start - 0.5) // 1), int(-(-(end - 0.5) // 1)) - 1


Matrix = tuple[float, float, float, float, float, float]
Area = tuple[float, float, float, float]


def _areas(content, matrix: Matrix) -> list[Area]:
    """Left, bottom, right, top [points] of what is filled or drawn in black."""
    found: list[Area] = []
    kept: list[tuple[Matrix, bool, bool, float]] = []
    black, inked, wide = True, True, 1.0
    path: list[list[tuple[float, float]]] = []
    resources = content.get("/Resources", {})
    for step in pikepdf.parse_content_stream(content):
        operator = str(step.operator)
        given = [float(one) for one in step.operands if _number(one)]
        if operator == "q":
            kept.append((matrix, black, inked, wide))
        elif operator == "Q":
            matrix, black, inked, wide = kept.pop()
        elif operator == "cm":
            matrix = _joined(given, matrix)
        elif operator in ("g", "rg", "k", "sc", "scn"):
            black = not any(given) if operator != "k" else given[-1] == 1
        elif operator in ("G", "RG", "SC", "SCN"):
            inked = not any(given)
        elif operator == "w":
            wide = given[0]
        elif operator == "re":
            x, y, w, h = given
            path.append([(x, y), (x + w, y + h)])
        elif operator == "m":
            path.append([(given[0], given[1])])
        elif operator == "l":
            path[-1].append((given[0], given[1]))
        elif operator in ("f", "F"):
            found += [_area(points, matrix, 0) for points in path] if black else []
            path = []
        elif operator in ("S", "s", "B"):
            found += [_area(points, matrix, wide / 2) for points in path] if inked else []
            path = []
        elif operator in ("n", "b", "B*", "b*", "f*"):  # frames
            path = []
        elif operator == "Do":
            form = resources["/XObject"][str(step.operands[0])]
            if form.get("/Subtype") == "/Form":
                inner = [float(one) for one in form.get("/Matrix", [1, 0, 0, 1, 0, 0])]
                found += _areas(form, _joined(inner, matrix))
    return found


def _number(one: object) -> bool:
    try:
        float(one)  # type: ignore[arg-type]  # what pikepdf has for a number
    except (TypeError, ValueError):
        return False
    return True


def _joined(first: list[float], then: Matrix) -> Matrix:
    a, b, c, d, e, f = first
    p, q, r, s, t, u = then
    return (
        a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s,
        e * p + f * r + t, e * q + f * s + u,
    )  # fmt: skip


def _area(points: list[tuple[float, float]], matrix: Matrix, half: float) -> Area:
    """The box of some points, level lines being so far thick above and below."""
    a, b, c, d, e, f = matrix
    placed = [
        (a * x + c * y + e, b * x + d * y + f)
        for px, py in points
        for x, y in ((px, py - half), (px, py + half))
    ]
    xs, ys = [x for x, _ in placed], [y for _, y in placed]
    return min(xs), min(ys), max(xs), max(ys)
