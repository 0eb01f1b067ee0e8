"""Moment and force over the swing of one template of a catalogue."""

from dataclasses import dataclass

from wholekit.domain.catalog import Catalog, Series, Template
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.forces import band, least_efficiency
from wholekit.domain.forces.formulas import force_from_moment
from wholekit.domain.linkage import (
    Arms,
    ArmsSwing,
    best_arms,
    check_template,
    door_moment,
    position,
    reference_arms,
    share_of,
    swing,
)
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook

STEP = 5


@dataclass(frozen=True, slots=True)
class SwingAsked:
    """Which swing: series, mount and template by name, size [class], angle [°], and the leaf.

    template, size and angle None: the template that just reaches the angle, or the narrowest;
    the smallest size the bodies have; no angle in particular. handle: to the latch edge [Length].
    """

    series: str
    mount: Mount
    template: str | None
    size: int | None
    angle: float | None
    width: Length
    handle: Length
    reveal: Length


@dataclass(frozen=True, slots=True)
class SwingRow:
    """One opening angle [°]: moment ratio, closing moment [N·m], force at the handle [N].

    opening_n: force to open against the closer at its maker's efficiency, or the least of its
    size; clearance of the arms [m].
    """

    angle: float
    ratio: float
    closing_nm: float
    opening_n: float
    clearance_m: float


@dataclass(frozen=True, slots=True)
class SwingReport:
    """A template's swing with one size. share: closing power over the regular arm's [fraction]."""

    template: Template
    arms: Arms
    swing: ArmsSwing
    size: int
    share: float
    angle: float
    rows: tuple[SwingRow, ...]


def report_swing(catalog: Catalog, asked: SwingAsked, rules: RuleBook) -> SwingReport:
    """Work out the swing that is asked for.

    Without a regular template in the series the closing moment at 0 to 4° is the size's times the
    rule book's share of the mount. Raises InputError: no such series, template or size, an angle
    the arms do not reach, or a template that is not sound; RuleError.
    """
    series = _series(catalog, asked)
    template = _template(series, asked)
    problems = check_template(template, catalog.pieces, rules, f"series {series.id}")
    arms = best_arms(template, catalog.pieces, asked.reveal, rules)
    if arms is None and not problems:
        fields = {"reveal": f"{asked.reveal.in_millimetres:.0f}"}
        problems = [Problem("template-reveal-unserved", fields, "--reveal")]
    if arms is None or problems:
        raise InputError(problems)
    size = _size(series, template, asked)
    efficiency = _efficiency(series, template, size, rules)
    worked = swing(arms)
    angle = min(90.0, worked.reached) if asked.angle is None else asked.angle
    if not 0 <= angle <= worked.reached:
        fields = {"given": f"{angle:g}", "reached": f"{worked.reached:g}"}
        raise InputError([Problem("angle-beyond-swing", fields, "--angle")])
    family = min(template.families)
    reference = reference_arms(series.templates, family, catalog.pieces, rules)
    share = share_of(arms, reference, rules)
    # The least of the size's band is all that a closer of the size promises.
    closing_nm = band(size, rules)[0] * share
    lever = asked.width.in_metres - asked.handle.in_metres
    rows = [
        row
        for at in _angles(min(template.greatest_angle, worked.reached), angle)
        if (row := _row(arms, at, closing_nm, efficiency, lever)) is not None
    ]
    return SwingReport(template, arms, worked, size, share, angle, tuple(rows))


def _row(
    arms: Arms, angle: float, closing_nm: float, efficiency: float, lever_m: float
) -> SwingRow | None:
    at = position(arms, angle)
    # The share is already in the moment, so the template is its own reference.
    moment = door_moment(arms, arms, closing_nm, angle)
    if at is None or moment is None:
        return None
    # Where the arms pull the leaf open there is nothing to open it against.
    force = force_from_moment(max(0.0, moment), efficiency, lever_m)
    return SwingRow(angle, at.ratio, moment, force, at.clearance)


def _angles(last: float, wanted: float) -> list[float]:
    """Every five degrees to the template's greatest angle, 2° within EN 1154's 0 to 4°, and one.

    Beyond the stated angle the arms come near stretched, where the moment means nothing.
    """
    steps = {float(step) for step in range(0, int(last) + 1, STEP)}
    return sorted(steps | {2.0, wanted, last})


def _series(catalog: Catalog, asked: SwingAsked) -> Series:
    for series in catalog.series:
        if asked.series.strip().lower() in (series.id.lower(), series.title.lower()):
            return series
    known = ", ".join(sorted(series.id for series in catalog.series))
    raise InputError(
        [Problem("series-not-there", {"given": asked.series, "known": known}, "--series")]
    )


def _template(series: Series, asked: SwingAsked) -> Template:
    of_mount = sorted(
        (each for each in series.templates if each.mount is asked.mount),
        key=lambda template: (template.greatest_angle, template.id),
    )
    found = [template for template in of_mount if asked.template in (None, template.id)]
    if not found:
        fields = {
            "mount": asked.mount.value,
            "series": series.id,
            "named": f" named {asked.template}" if asked.template else "",
            "known": ", ".join(template.id for template in of_mount or series.templates),
        }
        raise InputError([Problem("no-template", fields, "--template")])
    reaching = [template for template in found if template.greatest_angle >= (asked.angle or 0)]
    return reaching[0] if reaching else found[-1]


def _size(series: Series, template: Template, asked: SwingAsked) -> int:
    bodies = [body for body in series.bodies if body.family in template.families]
    if asked.size is None:
        return min((body.size_from for body in bodies), default=1)
    made = sorted({size for body in bodies for size in range(body.size_from, body.size_to + 1)})
    if asked.size in made:
        return asked.size
    fields = {"given": asked.size, "known": ", ".join(map(str, made))}
    raise InputError([Problem("size-not-made", fields, "--size")])


def _efficiency(series: Series, template: Template, size: int, rules: RuleBook) -> float:
    """The least stated for bodies of that size [fraction]; EN's least where one states none."""
    stated = [
        body.efficiency
        for body in series.bodies
        if body.family in template.families and body.size_from <= size <= body.size_to
    ]
    known = [efficiency for efficiency in stated if efficiency is not None]
    return min(known) if known and len(known) == len(stated) else least_efficiency(size, rules)
