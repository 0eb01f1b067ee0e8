"""What counts of a kit, worked out for many likes of one opening without doing it all again.

The search over the shelf takes nine tenths of a kit's time and looks at little of an opening:
what hosts its screws find, whether a rail is high enough, which template reaches its angle. Like
questions are put to the shelf once; all else is worked out by the same code as a kit's, so that an
outcome is that of the kit (a property test compares them). Reasons are no part of it.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from wholekit.domain.catalog import FastenerKind, Role, Template
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.kits.build import FromShelf
from wholekit.domain.kits.demand import Demand
from wholekit.domain.kits.edges import NEAR_EDGE, bare_needs
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.mounts import mounts_to_try
from wholekit.domain.kits.place import Site, site_of
from wholekit.domain.kits.proof import Proof
from wholekit.domain.kits.search import Found, KitSearch
from wholekit.domain.kits.settled import settle
from wholekit.domain.kits.shelf import Eligible, Shelf
from wholekit.domain.openings import (
    BodySide,
    Facts,
    HoldOpen,
    Mount,
    OpeningType,
    Stop,
    hinge_side_from_pull,
)
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook


class Doubt(StrEnum):
    """What speaks against a door with a kit without stopping it: by calculation, or where its
    holes would lie."""

    NO_LATCH = "does-not-latch"
    MAY_NOT_LATCH = "may-not-latch"
    OVER_LIMIT = "over-limit"
    OVER_IF_EXIT = "over-limit-if-exit"
    NEAR_RAIL = "holes-near-rail-edge"
    NEAR_HEAD = "holes-near-head-edge"


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an answer may change of a kit, for one opening: equal outcomes are the same to buy.

    lines: SKU and packs of each; spring_size [class]; template: its series and id; missing: role
    and pieces [count]; stops: code, and what it is about where one code is found about several;
    over: whether a force limit that binds is passed by calculation, without a stop. closer: whose
    body it is, supplier and SKU, None without one; series: of that body, empty without one. doubts:
    what else speaks against it by calculation; near_edge: that holes come too near an edge;
    stopped: the stops whole. None of these makes an outcome another.
    """

    mount: Mount
    body_side: BodySide
    spring_size: int | None
    template: tuple[str, str] | None
    finish: str
    lines: tuple[tuple[str, int], ...]
    missing: tuple[tuple[str, int], ...]
    stops: tuple[tuple[str, str], ...]
    over: bool = False
    closer: tuple[str, str] | None = field(default=None, compare=False)
    series: str = field(default="", compare=False)
    doubts: tuple[Doubt, ...] = field(default=(), compare=False)
    stopped: tuple[Finding, ...] = field(default=(), compare=False)
    near_edge: tuple[Doubt, ...] = field(default=(), compare=False)


def outcome_of(kit: Kit) -> Outcome:
    """What counts of a kit."""
    return Outcome(
        kit.mount,
        kit.body_side,
        kit.spring_size,
        None if kit.template is None else (kit.template.series, kit.template.id),
        kit.finish,
        tuple((line.item.sku, line.quantity) for line in kit.lines),
        tuple((piece.role.value, piece.quantity) for piece in kit.missing),
        tuple(
            sorted(
                (
                    finding.code,
                    str(finding.fields.get("role") or finding.fields.get("column") or ""),
                )
                for finding in kit.findings
                if finding.severity is Severity.STOP
            )
        ),
        any(
            finding.code == "force-over-limit" and finding.severity is Severity.WARN
            for finding in kit.findings
        ),
        next(
            (
                (line.item.supplier, line.item.sku)
                for line in kit.lines
                if any(use.role is Role.BODY for use in line.uses)
            ),
            None,
        ),
        "" if kit.body is None else kit.body.series,
        tuple(sorted(set(_doubts(kit)))),
        tuple(each for each in kit.findings if each.severity is Severity.STOP),
        tuple(
            Doubt.NEAR_HEAD if finding.fields["host"] == "head_face" else Doubt.NEAR_RAIL
            for finding in kit.findings
            if finding.code == NEAR_EDGE
        ),
    )


def _doubts(kit: Kit) -> Iterator[Doubt]:
    for finding in kit.findings:
        if finding.severity is Severity.STOP:
            continue
        match finding.code:
            case "latch-power-short":
                # With figures it is calculated; without, a closer set light for a limit.
                calculated = "needed_nm" in finding.fields
                yield Doubt.NO_LATCH if calculated else Doubt.MAY_NOT_LATCH
            case "force-over-limit":
                yield Doubt.OVER_LIMIT
            case "egress-force-limit" if "offer" not in finding.fields:
                # With a kit that would keep the limit it is a question, and no doubt is left.
                yield Doubt.OVER_IF_EXIT


class Steps:
    """The values of a measure at which something on the shelf changes its mind [nm, °]."""

    def __init__(self, values: Iterable[Length | float | None]) -> None:
        self._values = sorted({_plain(value) for value in values if value is not None})

    def reached(self, value: Length | float) -> int:
        """How many are reached: same number, same answers to `value >= step`."""
        return bisect_right(self._values, _plain(value))

    def passed(self, value: Length | float) -> int:
        """How many are passed: same number, same answers to `value <= step`."""
        return bisect_left(self._values, _plain(value))


@dataclass(slots=True)
class Outcomes:
    """The outcomes of openings from one shelf, and what was found on the way.

    For one run: it keeps all it has seen.
    """

    shelf: Shelf
    rules: RuleBook
    _known: dict[OpeningType, Outcome] = field(default_factory=dict)
    _tried: dict[OpeningType, frozenset[Mount]] = field(default_factory=dict)
    _found: dict[tuple[object, ...], Found | None] = field(default_factory=dict)
    _demands: dict[tuple[object, ...], list[tuple[int, Template, Demand]]] = field(
        default_factory=dict
    )
    _proofs: dict[tuple[object, ...], Proof | None] = field(default_factory=dict)
    _lists: dict[int, tuple[Sequence[Eligible], int]] = field(default_factory=dict)
    _numbers: dict[object, int] = field(default_factory=dict)
    steps: dict[tuple[str, Mount | None], Steps] = field(init=False)
    any_handed: bool = field(init=False)

    def __post_init__(self) -> None:
        series = [each for catalog in self.shelf.catalogs for each in catalog.series]
        templates = [template for each in series for template in each.templates]
        pieces = [piece for each in series for piece in each.pieces]
        plates = [piece for piece in pieces if piece.role is Role.PLATE]
        self.steps = {
            ("leaf_from", None): Steps(piece.leaf_from for piece in pieces),
            ("leaf_to", None): Steps(piece.leaf_to for piece in pieces),
        }
        for mount in Mount:
            mine = [template for template in templates if template.mount is mount]
            # A plate counts only where some template needs more room than there is.
            rail = [p.needs for p in plates if p.relieves == "rail"]
            head = [p.needs for p in plates if p.relieves == "head"]
            edges = list(self._edges(mount)) if plates else []
            rails, heads = [t.rail_needed for t in mine], [t.head_needed for t in mine]
            (heads if mount is Mount.TOP_JAMB else rails).extend(edges)
            self.steps |= {
                ("rail", mount): Steps(rails + (rail if any(rails) else [])),
                ("head", mount): Steps(heads + (head if any(heads) else [])),
                ("ceiling", mount): Steps(t.ceiling_needed for t in mine),
                ("reveal", mount): Steps(
                    [t.reveal_max for t in mine] + [p.reveal_max for p in pieces]
                ),
                ("angle", mount): Steps(t.greatest_angle for t in mine),
            }
        self.any_handed = any(body.handed for each in series for body in each.bodies) or any(
            piece.hand for piece in pieces
        )

    def _edges(self, mount: Mount) -> Iterator[Length | None]:
        """The heights from which a body's own holes lie far enough from an edge, by its screws."""
        for group in self.shelf.groups:
            screws = group.fitting[Role.BODY_FASTENER]
            for template in group.templates.get(mount, ()):
                for taken in ((), *((screw,) for screw in screws)):
                    yield bare_needs(group.bodies[0], template, taken, self.rules)

    def of(self, opening_type: OpeningType) -> Outcome:
        """The outcome of an opening's kit. Raises RuleError."""
        known = self._known.get(opening_type)
        if known is None:
            known = self._known[opening_type] = outcome_of(self._kit(opening_type))
        return known

    def tried(self, opening_type: OpeningType) -> frozenset[Mount]:
        """The mounts that were looked at for an opening's outcome, which must be known."""
        return self._tried[opening_type]

    def __len__(self) -> int:
        return len(self._known)

    def site_key(self, facts: Facts, site: Site, mount: Mount) -> tuple[object, ...]:
        """All that the search looks at of an opening in a mount: equal keys, equal finds."""
        kind = facts.type
        fire = facts.fire_minutes > 0
        through = FastenerKind.THROUGH_BOLT
        bolted = through in site.body_host.kinds or through in site.foot_host.kinds
        rail, ceiling = facts.top_rail, facts.ceiling_clearance
        return (
            mount,
            kind.leaves,
            kind.existing_holes,
            kind.hold_open is HoldOpen.ARM,
            fire,
            self.hinges(facts),
            facts.stop is Stop.BLADE if mount is Mount.PARALLEL else None,
            self.steps["reveal", mount].passed(facts.reveal) if mount is Mount.TOP_JAMB else None,
            None if rail is None else self.steps["rail", mount].reached(rail),
            self.steps["head", mount].reached(facts.head_face),
            self.steps["angle", mount].passed(facts.opening_degrees),
            None if ceiling is None else self.steps["ceiling", mount].reached(ceiling),
            self.leaf(facts) if bolted else None,
            (site.body_host.part, site.body_host.kinds, site.body_host.sleeved),
            (site.foot_host.part, site.foot_host.kinds, site.foot_host.sleeved),
        )

    def hinges(self, facts: Facts) -> object:
        """The hinge side of a single leaf, where anything on the shelf is handed."""
        if facts.type.leaves != 1 or facts.type.hand is None or not self.any_handed:
            return None
        return hinge_side_from_pull(facts.type.hand)

    def leaf(self, facts: Facts) -> tuple[int, int]:
        """Which through-bolts clamp the leaf."""
        thickness = facts.thickness
        least, most = self.steps["leaf_from", None], self.steps["leaf_to", None]
        return least.reached(thickness), most.passed(thickness)

    def number(self, eligible: Sequence[Eligible]) -> int:
        """The same for lists of the same bodies at the same settings."""
        known = self._lists.get(id(eligible))
        if known is None:
            # Kept with its list: another one must not come to stand at the same place.
            content = tuple(
                (id(entry.group), entry.tier, entry.foreign, tuple(
                    (body.id, setting) for body, setting in entry.bodies))
                for entry in eligible
            )  # fmt: skip
            number = self._numbers.setdefault(content, len(self._numbers))
            known = self._lists[id(eligible)] = (eligible, number)
        return known[1]

    def _kit(self, opening_type: OpeningType) -> Kit:
        """As `build_kit`, with what the shelf has been asked before. Raises RuleError."""
        facts = Facts(opening_type, self.rules)
        choices, findings = mounts_to_try(facts, self.rules)
        choice, tried = settle(opening_type, choices, self.shelf, self.rules, self._search)
        self._tried[opening_type] = frozenset(each.mount for each in choices[:tried])
        attempt = _Shared(facts, choice, findings, self.shelf, self.rules)
        attempt.outcomes = self
        return attempt.kit()

    def _search(self, facts: Facts, shelf: Shelf, site: Site) -> KitSearch:
        search = _SharedSearch(facts, shelf, site)
        search.outcomes = self
        return search


class _Shared(FromShelf):
    """One opening in one mount; what was found for its likes is not looked for again."""

    outcomes: Outcomes

    def _make_search(self) -> KitSearch:
        site = site_of(self.facts, self.choice.mount, self.rules)
        return self.outcomes._search(self.facts, self.shelf, site)  # noqa: SLF001  # of one module

    def _prove(self, found: Found | None) -> Proof | None:
        if found is None:
            return None
        facts, kind, proofs = self.facts, self.facts.type, self.outcomes._proofs  # noqa: SLF001
        key = (
            kind.width, kind.height, kind.pressure, kind.wind, kind.seals, kind.latch,
            facts.location, facts.fire_minutes > 0, facts.accessible, facts.egress,
            facts.jurisdiction, kind.weight,
            facts.reveal if self.choice.mount is Mount.TOP_JAMB else kind.reveal,
            found.cover.body, found.template.series, found.template.id, found.setting,
        )  # fmt: skip
        if key not in proofs:
            proofs[key] = super()._prove(found)
        return proofs[key]


class _SharedSearch(KitSearch):
    """A search that asks the shelf once for all openings alike in what it looks at."""

    outcomes: Outcomes
    _key: tuple[object, ...] | None = None

    def best(self, eligible: Sequence[Eligible], mount: Mount, finish: str) -> Found | None:
        outcomes = self.outcomes
        key = (outcomes.number(eligible), finish, self._site_key(mount))
        found = outcomes._found  # noqa: SLF001  # of one module
        if key not in found:
            found[key] = super().best(eligible, mount, finish)
        return found[key]

    def templates(self, eligible: Eligible, mount: Mount) -> list[tuple[int, Template, Demand]]:
        demands = self.outcomes._demands  # noqa: SLF001  # of one module
        key = (id(eligible.group), self._site_key(mount))
        known = demands.get(key)
        if known is None:
            known = demands[key] = super().templates(eligible, mount)
        return known

    def _site_key(self, mount: Mount) -> tuple[object, ...]:
        if self._key is None or self._key[0] is not mount:
            self._key = self.outcomes.site_key(self._facts, self._site, mount)
        return self._key


def _plain(value: Length | float) -> float:
    return value.nm if isinstance(value, Length) else value
