"""The sample catalogues, loaded once, and openings and kits in a line."""

from dataclasses import replace
from fractions import Fraction
from functools import cache
from pathlib import Path

from wholekit.domain.catalog import Catalog, Role
from wholekit.domain.kits import Kit, Policy, Shelf, build_kit
from wholekit.domain.openings import OpeningType
from wholekit.domain.quantities import Cost, parse_length, parse_mass, parse_size
from wholekit.intake.catalog_folder import load_catalog
from wholekit.intake.rulebook import load_rulebook
from wholekit.settings import bundled

RULES = load_rulebook()
SAMPLES = ("averlund", "quillmere", "tarrowby")


@cache
def sample(name: str) -> Catalog:
    return load_catalog(bundled("catalog_samples") / name)


@cache
def shelf(*names: str, policy: Policy | None = None) -> Shelf:
    return Shelf([sample(name) for name in names or SAMPLES], policy)


def sample_folders() -> list[Path]:
    return [bundled("catalog_samples") / name for name in SAMPLES]


def opening(size: str = "3070", **conditions: object) -> OpeningType:
    """An opening type; lengths and weights may be given as text."""
    width, height = parse_size(size)
    read = {
        name: parse_mass(value)
        if name == "weight" and isinstance(value, str)
        else parse_length(value)
        if name in _LENGTHS and isinstance(value, str)
        else value
        for name, value in conditions.items()
    }
    return OpeningType(width, height, **read)  # type: ignore[arg-type]  # tests know the fields


def kit_of(size: str = "3070", *names: str, **conditions: object) -> Kit:
    return build_kit(opening(size, **conditions), shelf(*names), RULES)


def pieces(kit: Kit) -> dict[str, int]:
    """Pieces used, by role."""
    found: dict[str, int] = {}
    for line in kit.lines:
        for use in line.uses:
            found[use.role.value] = found.get(use.role.value, 0) + use.quantity
    return found


def kinds(kit: Kit, role: str) -> set[str]:
    return {
        use.kind.value
        for line in kit.lines
        for use in line.uses
        if use.role.value == role and use.kind is not None
    }


def codes(kit: Kit) -> dict[str, str]:
    """Finding codes with their severities."""
    return {finding.code: finding.severity.value for finding in kit.findings}


_LENGTHS = {"thickness", "top_rail", "head_face", "ceiling_clearance", "reveal"}


def without(name: str, role: Role):
    """A sample catalogue that makes no piece of a role."""
    catalog = sample(name)
    gone = {piece.id for piece in catalog.pieces.values() if piece.role is role}
    return replace(
        catalog,
        series=tuple(
            replace(each, pieces=tuple(piece for piece in each.pieces if piece.id not in gone))
            for each in catalog.series
        ),
        items=tuple(
            item
            for item in catalog.items
            if not any(supply.piece in gone for supply in item.supplies)
        ),
    )


def dearer(catalog):
    """The catalogue with every cost and list price a tenth up."""
    return replace(
        catalog,
        items=tuple(
            replace(
                item,
                list_price=item.list_price.scaled(Fraction(11, 10)),
                cost=Cost(item.cost.units * 11 // 10, item.cost.currency),
            )
            for item in catalog.items
        ),
    )
