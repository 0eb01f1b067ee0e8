"""Faults by which a fitter would drill beside rail or head: holes that fall outside them."""

from collections.abc import Iterator

from wholekit.domain.catalog.drilling import rows_between
from wholekit.domain.catalog.model import Body, Catalog, Template
from wholekit.domain.catalog.places import path_of, series_file_of
from wholekit.domain.errors import Problem
from wholekit.domain.openings.words import Mount


def check_drilling(catalog: Catalog) -> list[Problem]:
    """Templates whose holes fall outside the rail or head they ask for, body by body.

    A template that names no row is passed over: nothing is drilled by it.
    """
    placed: dict[tuple[str, Mount], list[Body]] = {}
    for body in catalog.bodies:
        for mount in body.mounts:
            placed.setdefault((body.family, mount), []).append(body)
    return [
        Problem(code, fields, series_file_of(catalog, series.id), column=path_of(template, key))
        for series in catalog.series
        for template in series.templates
        for code, key, fields in _outside(
            template,
            [
                body
                for family in sorted(template.families)
                for body in placed.get((family, template.mount), ())
            ],
        )
    ]


def _outside(
    template: Template, bodies: list[Body]
) -> Iterator[tuple[str, str, dict[str, object]]]:
    if template.holes_row is None:
        return
    on_head = template.mount is Mount.TOP_JAMB
    part = "head" if on_head else "rail"
    needed = template.head_needed if on_head else template.rail_needed
    seen = set()
    for body in bodies:
        across = body.hole_pattern[1]
        near, far = rows_between(template.holes_down, across, template.holes_row, template.mount)
        if across in seen or (near.nm > 0 and (needed is None or far < needed)):
            continue
        seen.add(across)
        fields = {"id": template.id, "body": body.id, "near": str(near), "far": str(far)}
        if near.nm <= 0:
            yield "holes-off-the-edge", "holes_row", {**fields, "part": part}
        else:
            code = "holes-past-head" if on_head else "holes-past-rail"
            yield code, f"{part}_needed", {**fields, "needed": str(needed)}
