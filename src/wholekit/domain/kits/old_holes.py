"""A replacement closer on the old one's holes: which kit uses them, and what is told of them.

The order: a body whose own holes they are; a plate that carries the body over them; new holes. A
kit on the old holes is taken only where nothing else suffers: nothing more is missing, no stop or
warning joins, the size suits as well, finish and standard stay, and it costs at list not more than
rule holes-price-most above the kit on new ones. The house's order of suppliers comes after the
holes. That the old holes lie where the template puts a body is measured on site.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from wholekit.domain.catalog import (
    CORNERS,
    Catalog,
    HolesFit,
    Piece,
    Role,
    bodies_by_holes,
    body_pattern,
    carries_body,
    hides,
    holes_fit,
)
from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.kits.drilling import body_drilling
from wholekit.domain.kits.edges import NEAR_EDGE
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.place import HOLES_TOLERANCE, holes_tolerance
from wholekit.domain.kits.shelf import Shelf
from wholekit.domain.quantities import HolePattern, Length, Money
from wholekit.domain.reasons import Reason, fact
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import LARGEST_SIZE

PRICE_MOST = "holes-price-most"
REUSED, COVERED, DIFFER = "holes-reused", "holes-covered", "holes-differ"
# Notes by which a kit is a lesser one all the same.
_LESSER = frozenset({"size-next-used", "standard-differs"})
# How many of the nearest patterns are told.
_NEAREST = 3
# A kit within a shelf, over a plate for the old holes or without (see FixingPlace).
Furnish = Callable[[Shelf, Length | None], Kit]


@dataclass(frozen=True, slots=True)
class Near:
    """A hole pattern to be had, of which series, and how far it is from the old holes."""

    series: str
    pattern: HolePattern
    fit: HolesFit

    def __str__(self) -> str:
        return f"{self.series} {self.pattern}, {self.fit.along} {self.fit.across}"


def for_old_holes(kit: Kit, furnish: Furnish, shelf: Shelf, rules: RuleBook) -> Kit:
    """The kit on the old holes, if one will do as well as the one at hand. Raises RuleError.

    kit: what the shelf gives whatever the holes. furnish: the same opening, mount and rules, from
    bodies of a narrower shelf or over a plate.
    """
    old = kit.type.existing_holes
    if old is None or kit.body is None:
        return kit
    tolerance = holes_tolerance(rules)
    declined = ""
    if not _serves(kit, old, tolerance):
        for found in _rivals(furnish, shelf, old, tolerance):
            if not _serves(found, old, tolerance):
                continue
            rival = _as_drilled(found, old, tolerance)
            declined = _declined(rival, kit, shelf, rules)
            if not declined:
                return with_holes_told(rival, shelf, rules)
    return with_holes_told(kit, shelf, rules, declined)


def with_holes_told(kit: Kit, shelf: Shelf, rules: RuleBook, declined: str = "") -> Kit:
    """The kit with what is told of the old holes; as it is, where there are none. Raises RuleError.

    declined: why the last kit that would use them was left: `dearer` or `lesser`.
    """
    old = kit.type.existing_holes
    if old is None or kit.body is None:
        return kit
    kit = _as_drilled(kit, old, holes_tolerance(rules))
    finding = _finding(kit, old, shelf, rules, declined)
    reason = Reason(
        f"why-{finding.code}",
        {"pattern": finding.fields["pattern"]},
        (HOLES_TOLERANCE,),
        (fact("existing_holes", old),),
    )
    return replace(kit, findings=in_order([*kit.findings, finding]), why=(*kit.why, reason))


def is_too_dear(rival: Money, price: Money, rules: RuleBook) -> bool:
    """Whether a kit on the old holes passes the price of one on new holes by more than rule
    holes-price-most allows. Raises RuleError."""
    return rival.minor > price.minor * (1 + Fraction(str(rules.number(PRICE_MOST))))


def drilled_pattern(kit: Kit) -> HolePattern | None:
    """The holes that hold the kit's body, or the plate under it; None where nobody says."""
    drilling = body_drilling(kit)
    if drilling is None or kit.body is None:
        return None
    if not drilling.on_plate:
        return body_pattern(kit.body)
    holes = drilling.holes
    if holes is None or holes.count != CORNERS:
        return None
    return HolePattern(*holes.pattern)


def _finding(kit: Kit, old: HolePattern, shelf: Shelf, rules: RuleBook, declined: str) -> Finding:
    tolerance = holes_tolerance(rules)
    pattern = drilled_pattern(kit)
    fit = None if pattern is None else holes_fit(pattern, old)
    plates = _plates_under(kit)
    fields: dict[str, object] = {"holes": old, "pattern": pattern, "plate": bool(plates)}
    if fit is not None:
        fields |= {"along": fit.along, "across": fit.across, "turned": fit.turned}
    if fit is not None and fit.within(tolerance):
        # Nobody hangs a body upright: the height was then written first, or the holes are others.
        severity = Severity.WARN if fit.turned else Severity.NOTE
        return Finding(REUSED, severity, fields, HOLES_TOLERANCE, Hint("measure-old-holes"))
    if plates and all(hides(plate, old) for plate in plates):
        return Finding(COVERED, Severity.NOTE, fields, HOLES_TOLERANCE, Hint("fill-old-holes"))
    fields |= {"nearest": tuple(_nearest(kit, old, shelf)), "declined": declined}
    if declined == "dearer":
        fields["share"] = f"{rules.number(PRICE_MOST) * 100:g}"
    return Finding(DIFFER, Severity.WARN, fields, HOLES_TOLERANCE, Hint("fill-old-holes"))


def _nearest(kit: Kit, old: HolePattern, shelf: Shelf) -> Iterator[Near]:
    """The nearest patterns to be had in the kit's mount, each series and pattern once."""
    listed = bool(kit.type.fire_minutes)
    seen: set[tuple[str, HolePattern]] = set()
    for near in bodies_by_holes(shelf.catalogs, old):
        if kit.mount not in near.body.mounts or (listed and not near.body.fire_listed):
            continue
        key = (near.body.series, near.pattern)
        if key in seen:
            continue
        seen.add(key)
        titles = {series.id: series.title for series in near.catalog.series}
        yield Near(titles[near.body.series], near.pattern, near.fit)
        if len(seen) == _NEAREST:
            return


def _rivals(furnish: Furnish, shelf: Shelf, old: HolePattern, tolerance: Length) -> Iterator[Kit]:
    """Kits that may use the old holes: of bodies that have them, then over a plate."""
    narrower = _of_bodies_with(shelf, old, tolerance)
    if narrower is not None:
        yield furnish(narrower, None)
    yield furnish(shelf, tolerance)


def _of_bodies_with(shelf: Shelf, old: HolePattern, tolerance: Length) -> Shelf | None:
    """The same catalogues with none but bodies of these holes; kept on the shelf. None for none."""
    kept = frozenset(
        shelf.key(near.catalog, near.body.id)
        for near in bodies_by_holes(shelf.catalogs, old)
        if near.fit.within(tolerance)
    )
    if not kept:
        return None
    known = shelf.of_bodies.get(kept)
    if known is None:
        narrowed = [_narrowed(catalog, kept, shelf) for catalog in shelf.catalogs]
        known = shelf.of_bodies[kept] = Shelf(narrowed, shelf.policy, shelf.stock)
    return known


def _narrowed(catalog: Catalog, kept: frozenset[str], shelf: Shelf) -> Catalog:
    """The catalogue with some of its bodies, by their qualified ids."""
    gone = {
        piece
        for body in catalog.bodies
        if shelf.key(catalog, body.id) not in kept
        for piece in body.pieces.values()
    }
    series = tuple(
        replace(
            each,
            bodies=tuple(body for body in each.bodies if shelf.key(catalog, body.id) in kept),
        )
        for each in catalog.series
    )
    # A box with another body must not be bought for its screws.
    items = tuple(
        item for item in catalog.items if gone.isdisjoint(supply.piece for supply in item.supplies)
    )
    return replace(catalog, series=series, items=items)


def _serves(kit: Kit, old: HolePattern, tolerance: Length) -> bool:
    """Whether the old holes hold the kit, or a plate of it that is made for them hides them."""
    if _reuses(kit, old, tolerance):
        return True
    plates = _plates_under(kit)
    return bool(plates) and all(hides(plate, old) for plate in plates)


def _reuses(kit: Kit, old: HolePattern, tolerance: Length) -> bool:
    pattern = drilled_pattern(kit)
    return pattern is not None and holes_fit(pattern, old).within(tolerance)


def _as_drilled(kit: Kit, old: HolePattern, tolerance: Length) -> Kit:
    """The kit without a warning of holes that are there already and are not drilled."""
    if not _reuses(kit, old, tolerance):
        return kit
    kept = tuple(finding for finding in kit.findings if finding.code != NEAR_EDGE)
    return replace(kit, findings=kept)


def _plates_under(kit: Kit) -> list[Piece]:
    return [
        use.plate
        for line in kit.lines
        for use in line.uses
        if use.role is Role.PLATE and use.plate is not None and carries_body(use.plate, kit.mount)
    ]


def _declined(rival: Kit, kit: Kit, shelf: Shelf, rules: RuleBook) -> str:
    """Why a kit on the old holes is not taken: `lesser`, `dearer`; empty where it is."""
    if _lesser(rival, kit, shelf):
        return "lesser"
    return "dearer" if is_too_dear(rival.list_price, kit.list_price, rules) else ""


def _lesser(rival: Kit, kit: Kit, shelf: Shelf) -> bool:
    """Whether anything but the price suffers."""
    size, least = (
        rival.spring_size or 0,
        min(kit.spring_size or 0, kit.size_required or LARGEST_SIZE),
    )
    return (
        rival.body is None
        or len(rival.missing) > len(kit.missing)
        or rival.finish != kit.finish
        or size < least
        or not _told(rival) <= _told(kit)
        or (shelf.policy.stock_first and _short(rival, shelf) > _short(kit, shelf))
    )


def _told(kit: Kit) -> set[str]:
    return {
        finding.code
        for finding in kit.findings
        if finding.severity is not Severity.NOTE or finding.code in _LESSER
    }


def _short(kit: Kit, shelf: Shelf) -> int:
    """Lines of which not enough is on hand [count]."""
    return sum(shelf.on_hand(line.item) < line.quantity for line in kit.lines)
