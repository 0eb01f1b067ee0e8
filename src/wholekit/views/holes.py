"""Bodies by how near their hole patterns are to old holes, as an answer and in lines of text."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from wholekit.domain.catalog import Catalog, HolesFit, bodies_by_holes, plates_for_holes
from wholekit.domain.catalog.holes import NearBody, NearPlate
from wholekit.domain.kits.place import holes_tolerance
from wholekit.domain.quantities import HolePattern, Length
from wholekit.domain.rules import RuleBook
from wholekit.wording.old_holes import offset_text


@dataclass(frozen=True, slots=True)
class HoleBodyAnswer:
    """A body. along, across: its spacing less the old one, with unit; turned: of the old holes with
    length and height exchanged; within: neither is off by more than the tolerance."""

    catalog: str
    supplier: str
    series: str
    body: str
    title: str
    size_from: int
    size_to: int
    mounts: tuple[str, ...]
    pattern: str
    along: str
    across: str
    turned: bool
    within: bool


@dataclass(frozen=True, slots=True)
class HolePlateAnswer:
    """A plate made for old holes. how: `fixed-by` them, or it `hides` them."""

    catalog: str
    supplier: str
    plate: str
    title: str
    mounts: tuple[str, ...]
    how: str


@dataclass(frozen=True, slots=True)
class HolesAnswer:
    """What is sold for old holes: bodies, the nearest first, and plates. tolerance: with unit."""

    holes: str
    tolerance: str
    bodies: tuple[HoleBodyAnswer, ...]
    plates: tuple[HolePlateAnswer, ...]


def holes_answer(
    old: HolePattern, tolerance: Length, bodies: Sequence[NearBody], plates: Sequence[NearPlate]
) -> HolesAnswer:
    """The answer for old holes, in the order of the bodies and plates."""
    return HolesAnswer(
        str(old),
        str(tolerance),
        tuple(_body(near, tolerance) for near in bodies),
        tuple(_plate(near) for near in plates),
    )


def told_by_holes(old: HolePattern, rules: RuleBook, catalogs: Sequence[Catalog]) -> HolesAnswer:
    """What these catalogues have for old holes."""
    tolerance = holes_tolerance(rules)
    return holes_answer(
        old, tolerance, bodies_by_holes(catalogs, old), plates_for_holes(catalogs, old, tolerance)
    )


@dataclass(frozen=True, slots=True)
class AlikeBodies:
    """Bodies alike in series and pattern, and how far off it is; fits: `yes`, `turned` or `no`."""

    series: str
    supplier: str
    size_from: int
    size_to: int
    pattern: str
    along: str
    across: str
    fits: str


def holes_rows(answer: HolesAnswer) -> Iterator[AlikeBodies]:
    """Bodies alike in series and pattern together, in the order of the answer."""
    alike: dict[tuple[str, str, str], list[HoleBodyAnswer]] = {}
    for body in answer.bodies:
        alike.setdefault((body.catalog, body.series, body.pattern), []).append(body)
    for bodies in alike.values():
        first = bodies[0]
        yield AlikeBodies(
            first.series,
            first.supplier,
            min(each.size_from for each in bodies),
            max(each.size_to for each in bodies),
            first.pattern,
            offset_text(first.along),
            offset_text(first.across),
            "turned" if first.within and first.turned else "yes" if first.within else "no",
        )


def _body(near: NearBody, tolerance: Length) -> HoleBodyAnswer:
    body, fit = near.body, near.fit
    titles = {series.id: series.title for series in near.catalog.series}
    return HoleBodyAnswer(
        near.catalog.id,
        near.catalog.supplier,
        titles[body.series],
        body.id,
        body.title,
        body.size_from,
        body.size_to,
        tuple(sorted(mount.value for mount in body.mounts)),
        str(near.pattern),
        *_offsets(fit),
        fit.turned,
        fit.within(tolerance),
    )


def _offsets(fit: HolesFit) -> tuple[str, str]:
    return str(fit.along), str(fit.across)


def _plate(near: NearPlate) -> HolePlateAnswer:
    return HolePlateAnswer(
        near.catalog.id,
        near.catalog.supplier,
        near.plate.id,
        near.plate.title,
        tuple(mount.value for mount in near.mounts),
        "hides" if near.fit is None else "fixed-by",
    )
