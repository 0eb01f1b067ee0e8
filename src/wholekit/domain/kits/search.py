"""The search for the least cover of one opening over all families, in one mount and finish."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby
from operator import attrgetter
from typing import TypeAlias

from wholekit.domain.catalog import Body, Template
from wholekit.domain.kits.cover import Alternative, Cover, CoverNeed, least_cover
from wholekit.domain.kits.demand import Demand, body_pieces, demands, hands_wanted
from wholekit.domain.kits.floors import floor_of
from wholekit.domain.kits.place import FixingPlace, Site
from wholekit.domain.kits.shelf import Eligible, Shelf
from wholekit.domain.openings import (
    Assumption,
    Facts,
    HingeSide,
    HoldOpen,
    Mount,
    OpeningType,
)
from wholekit.domain.quantities import Length


@dataclass(frozen=True, slots=True)
class Found:
    """The best cover so far, with where and for what it was found."""

    cover: Cover
    demand: Demand
    body: Body
    setting: int
    template: Template
    tier: int


# What no demand looks at: openings alike in all else share their demands, a kit and what is offered
# beside it first of all. A field that is not named here keeps them apart, so a new one is safe.
_NEUTRAL = frozenset({
    "width", "height", "weight", "pressure", "wind", "seals", "latch", "spring_size", "grade",
    "traffic", "egress", "accessible", "finish", "series", "mount", "location", "swing",
    "jurisdiction", "body_side", "delayed_action", "backcheck",
})  # fmt: skip
# What a demand looks at in one mount alone (see demand), and a label, of which it asks no minutes.
_IN_PART = frozenset({"reveal", "stop", "fire_minutes"})
_looked_at = attrgetter(
    *(name for name in OpeningType.__dataclass_fields__ if name not in _NEUTRAL | _IN_PART)
)
Candidate: TypeAlias = tuple[Eligible, Template, Demand]
# Demands with their site stops [count], each on its template.
Ways: TypeAlias = list[tuple[int, Template, Demand]]
# By site stops, holes too near an edge, then the order of trying: candidates with their floors.
Aside: TypeAlias = dict[tuple[int, ...], list[tuple[int, Candidate]]]


def _fewer_missing(first: Found | None, second: Found | None) -> Found | None:
    if first is None or second is None:
        return first or second
    return second if len(second.cover.missing) < len(first.cover.missing) else first


class KitSearch:
    """One opening in one mount on one site; over_holes as in FixingPlace."""

    def __init__(
        self, facts: Facts, shelf: Shelf, site: Site, over_holes: Length | None = None
    ) -> None:
        self._facts = facts
        self._shelf = shelf
        self._site = site
        self._over_holes = over_holes
        self._ways: dict[Mount, dict[int, tuple[Ways, tuple[Assumption, ...]]]] = {}

    def best(self, eligible: Sequence[Eligible], mount: Mount, finish: str) -> Found | None:
        """By size tier and house preference; in each, families by their floors, the least first.

        A complete kit without a stop on site ends the search, on a plate where its own holes would
        come too near an edge. Otherwise kits without that plate come next, then families with site
        stops, fewest stops first; if no kit is complete, the one with the least missing.
        """
        aside: Aside = {}
        best: Found | None = None
        # The entries come sorted by this order, which groupby relies on.
        for _, bucket in groupby(eligible, key=lambda entry: entry.order):
            found = self._cheapest(list(bucket), mount, finish, aside)
            if found is not None and not found.cover.missing:
                return found
            best = _fewer_missing(best, found)
        # A complete kit with a stop on site comes before any kit with a piece missing: the stop
        # may be lifted, or released, the piece is not sold.
        for key in sorted(aside):
            found = self._best_aside(aside[key], finish)
            if found is not None and not found.cover.missing:
                return found
            best = _fewer_missing(best, found)
        return best

    def _cheapest(
        self,
        bucket: Sequence[Eligible],
        mount: Mount,
        finish: str,
        aside: Aside,
    ) -> Found | None:
        """The least cover among families that suit equally well; site stops are put aside."""
        hold_open_arm = self._facts.hold_open is HoldOpen.ARM
        leaves = self._facts.type.leaves
        floors = [
            floor_of(eligible, mount, leaves, hold_open_arm, finish, self._shelf)
            for eligible in bucket
        ]
        best: Found | None = None
        # Equal floors keep the order of the shelf: of kits alike in score and items the first
        # stands.
        for position in sorted(range(len(bucket)), key=lambda index: (floors[index], index)):
            # A floor holds for complete kits. While the best one lacks a piece this is never true,
            # and every family is tried: it may lack less.
            if best is not None and (0, floors[position]) > best.cover.key[:2]:
                break
            entry = bucket[position]
            for stops, template, demand in self.templates(entry, mount):
                candidate = (entry, template, demand)
                if stops or demand.unsound:
                    key = (stops, demand.unsound, *entry.order)
                    aside.setdefault(key, []).append((floors[position], candidate))
                    continue
                found = self._best_of([candidate], finish, best)
                best = found or best
        return best

    def _best_aside(self, entries: Sequence[tuple[int, Candidate]], finish: str) -> Found | None:
        """The best cover of those with site stops, by their floors, the least first."""
        best: Found | None = None
        for floor, candidate in sorted(entries, key=lambda entry: entry[0]):
            if best is not None and (0, floor) > best.cover.key[:2]:
                break
            best = self._best_of([candidate], finish, best) or best
        return best

    def templates(self, eligible: Eligible, mount: Mount) -> Ways:
        """Demands on the template for the angle: the least that reaches it and fits the site.

        A template for a greater angle takes power from the closing end, so the least that reaches
        is used; a greater one only where the site forbids the smaller; where none reaches, the
        greatest, with its finding. Kept on the shelf for openings on like sites.
        """
        ways = self._ways.get(mount)
        if ways is None:
            ways = self._ways[mount] = self._shelf.of_site(self._site_key(mount))
        key = id(eligible.group)
        known = ways.get(key)
        if known is None:
            # Defaults are counted apart, from none: what this family needs of them must not hang
            # on the families looked at before.
            own = self._facts.afresh()
            known = ways[key] = (self._worked_out(own, eligible, mount), own.assumed)
        self._facts.need(known[1])
        return known[0]

    def _site_key(self, mount: Mount) -> tuple[object, ...]:
        """What openings must share in a mount to share their demands."""
        kind = self._facts.type
        # Unknown is apart from none: a default then stands in, and is told.
        label = None if kind.fire_minutes is None else kind.fire_minutes > 0
        reveal = kind.reveal if mount is Mount.TOP_JAMB else None
        stop = kind.stop if mount is Mount.PARALLEL else None
        edition = self._facts.edition
        return edition, mount, label, reveal, stop, self._over_holes, _looked_at(kind)

    def _worked_out(self, facts: Facts, eligible: Eligible, mount: Mount) -> Ways:
        templates = eligible.group.templates[mount]
        wanted = facts.opening_degrees
        reaching = [template for template in templates if template.greatest_angle >= wanted]
        found: Ways = []
        for template in reaching or templates[-1:]:
            wider = bool(found) and template.greatest_angle > found[-1][1].greatest_angle
            # Two templates may reach the same angle; only a wider one has to wait for a stop.
            if wider and not min(stops for stops, _, _ in found):
                break
            place = FixingPlace(
                facts, eligible.group, template, self._shelf, self._site, self._over_holes
            )
            found += [(demand.stops, template, demand) for demand in demands(place)]
        least = min(stops for stops, _, _ in found)
        return [entry for entry in found if entry[0] == least]

    def _best_of(
        self, candidates: Sequence[Candidate], finish: str, to_beat: Found | None = None
    ) -> Found | None:
        """The best cover among candidates, None if none is sold or beats what is given."""
        market = self._shelf.market(finish)
        best: Found | None = None
        bound = None if to_beat is None else to_beat.cover.key
        for eligible, template, demand in candidates:
            cover = least_cover(self.alternative(eligible, demand), market, bound)
            if cover is None:
                continue
            # The cover beat the bound, or there would be none: it is the best so far.
            bound = cover.key
            body, setting = next(
                entry
                for entry in eligible.bodies
                if self._shelf.key(eligible.group.catalog, entry[0].id) == cover.body
            )
            best = Found(cover, demand, body, setting, template, eligible.tier)
        return best

    def alternative(self, eligible: Eligible, demand: Demand) -> Alternative:
        """An entry's bodies with a demand, as the cover takes them."""
        catalog = eligible.group.catalog
        handed = any(body.handed for body, _ in eligible.bodies)
        wanted = hands_wanted(handed, self._facts)
        either = {HingeSide.ANY: self._facts.type.leaves}
        return Alternative(
            {
                self._shelf.key(catalog, body.id): {
                    self._shelf.key(catalog, piece): count
                    for piece, count in body_pieces(
                        body, either if not body.handed else wanted
                    ).items()
                }
                for body, _ in eligible.bodies
            },
            tuple(CoverNeed(need.quantity, need.pieces) for need in demand.needs),
        )
