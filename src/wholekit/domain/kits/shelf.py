"""The shelf: catalogues indexed once, so that each kind of opening looks only at what fits it."""

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, field
from typing import Any, TypeAlias

from wholekit.domain.catalog import (
    Body,
    Catalog,
    Item,
    ItemKey,
    Piece,
    Role,
    Template,
    item_key,
)
from wholekit.domain.findings import Finding
from wholekit.domain.kits.cover import CoverItem, Market
from wholekit.domain.linkage import Arms, Shares
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook

_BY_BODY = (Role.BODY_FASTENER, Role.PINION_SCREW, Role.PINION_CAP, Role.COVER, Role.PLATE)
# Fields of a score, each wide enough that the sum over a kit does not run into the next: packages
# 16 bits, pieces 32, own cost 64, penalty above. One comparison of whole numbers is then the
# house's whole order.
_PENALTY_SHIFT = 112
_COST_SHIFT = 48
_PIECES_SHIFT = 16
# From this tier on a body is over a force limit that binds: the last resort (see bodies.fit_of).
OVER_LIMIT_TIER = 1000
# A schedule runs over few kinds of site; each takes about a tenth of a megabyte [sites].
SITES_KEPT = 64
# Of some tens of kinds of opening the kit and its choices; each takes ten kilobytes [kits].
KITS_KEPT = 1_000
# Packs that may be taken, by item; one that is not in it has none.
OnHand: TypeAlias = Mapping[ItemKey, int]
# By group; Any: it is of `KitSearch`, which stands above this module.
OfSite: TypeAlias = dict[int, Any]


@dataclass(frozen=True, slots=True)
class Policy:
    """How the house chooses between kits that would all do.

    Order: a house preference of suppliers (ids, best first; empty = none); with stock_first, kits
    from items on hand before others; least own cost; fewest pieces left over; fewest packages;
    first in the price books. A discontinued item is used only from stock, and only where nothing
    else completes the kit.
    """

    prefer: tuple[str, ...] = ()
    stock_first: bool = False


class Kept:
    """Whole answers to what was asked, each by the rule book it was worked out by. They are large:
    so many are kept, and all are let go together."""

    # Any: a kit stands above this module. The rule book is kept with it, as another may have the
    # identity of one that is gone.
    def __init__(self, known: dict[str, tuple[RuleBook, Any]] | None = None, of: str = "") -> None:
        self._known = {} if known is None else known
        self._of = of

    def within(self, name: object) -> "Kept":
        """The same for a part of the shelf, which counts against the same bound."""
        return Kept(self._known, f"{self._of}{name!r} ")

    def get(self, asked: str, rules: RuleBook) -> Any:  # noqa: ANN401  # as it was put in
        """What was kept by this rule book; None for nothing."""
        found = self._known.get(self._of + asked)
        return found[1] if found is not None and found[0] is rules else None

    def put(self, asked: str, rules: RuleBook, answer: object) -> None:
        """Keep an answer."""
        if len(self._known) >= KITS_KEPT:
            self._known.clear()
        self._known[self._of + asked] = rules, answer


def book_counts(catalogs: Iterable[Catalog]) -> OnHand:
    """What price books say is on hand."""
    return {
        item_key(item): catalog.counts[item.sku]
        for catalog in catalogs
        for item in catalog.items
        if item.sku in catalog.counts
    }


@dataclass(frozen=True, slots=True)
class BodyGroup:
    """Bodies of one family to which the same other pieces fit: worked out together."""

    catalog: Catalog
    family: str
    bodies: tuple[Body, ...]
    templates: Mapping[Mount, tuple[Template, ...]]
    fitting: Mapping[Role, tuple[Piece, ...]]
    preference: int
    preferred: bool = False


@dataclass(frozen=True, slots=True)
class SizeAsked:
    """The size a kit is built for [class], and what a force limit allows a body there.

    limited: an accessible or exit limit binds the setting. setting_most: the largest size that can
    meet it at all; setting_best: the largest that meets it at the least efficiency; both None until
    a body is known, and where no limit holds. setting_least: what a fire door needs whatever the
    limit says.
    """

    target: int
    limited: bool = False
    setting_most: int | None = None
    setting_best: int | None = None
    setting_least: int = 1


@dataclass(frozen=True, slots=True)
class Eligible:
    """Bodies of one group that suit equally well.

    tier: see bodies.fit_of, 0 best. foreign: of a series that claims another standard than that of
    the place, from a supplier the house does not prefer.
    """

    group: BodyGroup
    tier: int
    bodies: tuple[tuple[Body, int], ...]
    foreign: bool = False

    @property
    def order(self) -> tuple[bool, bool, int, int]:
        """The order of trying: over a limit last, the place's standard first, tier, preference."""
        return self.tier >= OVER_LIMIT_TIER, self.foreign, self.tier, self.group.preference


@dataclass(frozen=True, slots=True)
class _Shelved:
    item: Item
    catalog: Catalog
    rank: int
    score: int
    bodies: frozenset[str] = field(default_factory=frozenset)


class Shelf:
    """Catalogues of one currency, indexed by family, piece and finish.

    Ids of pieces and bodies are qualified by their catalogue (`catalogue:piece`), since two
    suppliers may use one name. Items stand in the order of catalogues, then SKU.
    """

    def __init__(
        self,
        catalogs: Sequence[Catalog],
        policy: Policy | None = None,
        stock: OnHand | None = None,
    ) -> None:
        """stock: what may be taken; None: what the price books say."""
        self.policy = policy or Policy()
        self.catalogs = tuple(catalogs)
        self.stock = book_counts(catalogs) if stock is None else stock
        self._there = self._stocked(self.stock)
        self.currency = catalogs[0].currency
        self.pieces: dict[str, Piece] = {}
        self.groups: list[BodyGroup] = []
        self.series: dict[str, str] = {}
        self._named: dict[tuple[str, tuple[str, ...]], tuple[Piece, ...]] = {}
        self._nearest: dict[tuple[Mount, float, bool], tuple[float, tuple[str, ...]]] = {}
        self._rooms: dict[
            tuple[Mount, str, float, bool], tuple[Length | None, tuple[str, ...]]
        ] = {}
        self._with_piece: dict[tuple[str, str, Role], tuple[Piece, ...]] = {}
        self._by_fit: dict[str, dict[str, list[Piece]]] = {}
        self._markets: dict[str, Market] = {}
        # Worked out on first use and kept for every later kit (see floors, bodies).
        # Any: of `floors`, which stands above this module.
        self.floors: dict[tuple[int, Mount, int, bool, str], Any] = {}
        self.group_floors: dict[tuple[int, Mount, int, bool, str], int] = {}
        self.geometry: dict[tuple[str, str, str, str, str, int], tuple[Arms | None, Shares]] = {}
        self.eligible: dict[tuple[object, ...], tuple[list[Eligible], tuple[Finding, ...]]] = {}
        self.suited: dict[
            tuple[object, ...], tuple[list[tuple[BodyGroup, list[Body]]], tuple[Finding, ...]]
        ] = {}
        self.any_size: dict[tuple[object, ...], list[Eligible]] = {}
        # By place and then by group and body.
        self.weakness: dict[object, dict[tuple[int, str], int]] = {}
        self.looks: dict[tuple[str, str], tuple[bool, str | None]] = {}
        self.alone: dict[str, Eligible] = {}
        self.settled: dict[tuple[object, ...], tuple[int, int]] = {}
        self.of_bodies: dict[frozenset[str], Shelf] = {}
        self.settings: dict[tuple[object, ...], tuple[int | None, int | None]] = {}
        # The same goods as a wish has them (see choices): of one supplier, from stock.
        self.variants: dict[tuple[object, ...], Shelf] = {}
        # What is known of answers to open questions, by the rule book's version (see decisive).
        self.questions: dict[str, object] = {}
        # Whole kits, as they came of these counts: built, with their offers, made by hand (see
        # build, offers, check).
        self.kits, self.offered, self.by_hand = Kept(), Kept(), Kept()
        self._of_sites: dict[tuple[object, ...], OfSite] = {}
        self._body_of_piece: dict[str, str] = {}
        for catalog in catalogs:
            self._index(catalog)
        self._shelved = self._shelve()
        self.finishes = sorted(
            {shelved.item.finish for shelved in self._shelved if shelved.item.finish is not None}
        )

    def of_site(self, like: tuple[object, ...]) -> OfSite:
        """What `KitSearch` has worked out on sites like this; those used last are kept."""
        # In the order of their last use. Each step is one that no other thread can split.
        known = self._of_sites.pop(like, None)
        if known is None:
            known = {}
        self._of_sites[like] = known
        for longest_ago in list(self._of_sites)[:-SITES_KEPT]:
            self._of_sites.pop(longest_ago, None)
        return known

    def on_hand(self, item: Item) -> int:
        """What may be taken of an item [packs]."""
        return self.stock.get(item_key(item), 0)

    def with_stock(self, stock: OnHand) -> "Shelf":
        """The same goods with another stock; what does not depend on it is worked out once."""
        if stock is self.stock:
            return self
        if self._stocked(stock) != self._there:
            return Shelf(self.catalogs, self.policy, stock)
        other = copy(self)
        other.stock = stock
        other.of_bodies = {key: each.with_stock(stock) for key, each in self.of_bodies.items()}
        # Those of a wish for so many on hand are made anew, and what was answered by these counts.
        other.variants = {}
        other.questions = {}
        other.kits, other.offered, other.by_hand = Kept(), Kept(), Kept()
        return other

    def _stocked(self, stock: OnHand) -> frozenset[ItemKey]:
        """Which of the items are in stock that are taken, or ranked, by whether they are."""
        every = self.policy.stock_first
        return frozenset(
            key
            for catalog in self.catalogs
            for item in catalog.items
            if (every or item.discontinued) and stock.get(key := item_key(item), 0) >= 1
        )

    def item(self, rank: int) -> Item:
        """The item of a rank."""
        return self._shelved[rank].item

    def catalog_of(self, rank: int) -> Catalog:
        """The catalogue an item of a rank belongs to."""
        return self._shelved[rank].catalog

    def key(self, catalog: Catalog, name: str) -> str:
        """A piece's or body's id, qualified."""
        return f"{catalog.id}:{name}"

    def named(self, catalog: Catalog, names: tuple[str, ...]) -> tuple[Piece, ...]:
        """Pieces of a catalogue by their own ids."""
        key = (catalog.id, names)
        known = self._named.get(key)
        if known is None:
            known = tuple(catalog.pieces[name] for name in names if name in catalog.pieces)
            self._named[key] = known
        return known

    def for_piece(self, group: BodyGroup, piece: Piece, role: Role) -> tuple[Piece, ...]:
        """Pieces of a role that go with a shoe, bracket or plate of a family."""
        key = (group.catalog.id, f"{group.family}/{piece.id}", role)
        known = self._with_piece.get(key)
        if known is None:
            fit = self._by_fit[group.catalog.id]
            known = _of_role(role, _matching(fit, (group.family, piece.id), piece.series))
            self._with_piece[key] = known
        return known

    def nearest_angle(
        self, mount: Mount, wanted: float, fire: bool
    ) -> tuple[float, tuple[str, ...]]:
        """The angle nearest to one wanted that templates of a mount give, and the series' titles.

        The least that reaches it [°], or where none does the greatest; over bodies of every series
        and size, on a fire door (fire) the listed ones. 0 and no series where no body may serve.
        """
        key = (mount, wanted, fire)
        known = self._nearest.get(key)
        if known is None:
            angles: dict[float, set[str]] = {}
            for group in self.groups:
                titles = {series.id: series.title for series in group.catalog.series}
                bodies = [
                    titles[body.series]
                    for body in group.bodies
                    if mount in body.mounts and (body.fire_listed or not fire)
                ]
                for template in group.templates.get(mount, ()) if bodies else ():
                    angles.setdefault(template.greatest_angle, set()).update(bodies)
            angle = min(
                (reached for reached in angles if reached >= wanted),
                default=max(angles, default=0.0),
            )
            known = self._nearest[key] = (angle, tuple(sorted(angles.get(angle, ()))))
        return known

    def least_room(
        self, mount: Mount, part: str, wanted: float, fire: bool
    ) -> tuple[Length | None, tuple[str, ...]]:
        """The lowest top rail or head (part: `rail`, `head`) that a template of a mount needs.

        Over bodies of every series and size, on a fire door (fire) the listed ones, and templates
        that let the leaf open as wanted [°]; with the series' titles. None where none needs any.
        """
        key = (mount, part, wanted, fire)
        if key in self._rooms:
            return self._rooms[key]
        rooms: dict[Length, set[str]] = {}
        for group in self.groups:
            titles = {series.id: series.title for series in group.catalog.series}
            bodies = [
                titles[body.series]
                for body in group.bodies
                if mount in body.mounts and (body.fire_listed or not fire)
            ]
            for template in group.templates.get(mount, ()) if bodies else ():
                room = template.rail_needed if part == "rail" else template.head_needed
                if room is not None and template.greatest_angle >= wanted:
                    rooms.setdefault(room, set()).update(bodies)
        least = min(rooms, default=None)
        known = least, () if least is None else tuple(sorted(rooms[least]))
        self._rooms[key] = known
        return known

    def market(self, finish: str) -> Market:
        """What can be had in a finish; made once per finish."""
        market = self._markets.get(finish)
        if market is None:
            market = self._markets[finish] = self._market(finish)
        return market

    def _index(self, catalog: Catalog) -> None:
        prefer = self.policy.prefer
        preference = prefer.index(catalog.id) if catalog.id in prefer else len(prefer)
        fit: dict[str, list[Piece]] = {}
        for series in catalog.series:
            self.series[series.id.lower()] = series.id
            for piece in series.pieces:
                self.pieces[self.key(catalog, piece.id)] = piece
                # A piece that names nothing fits all of its series. No id holds a blank, so that
                # the key cannot be taken for one.
                for name in piece.fits or (f"series {piece.series}",):
                    fit.setdefault(name, []).append(piece)
        self._by_fit[catalog.id] = fit
        templates: dict[str, dict[Mount, list[Template]]] = {}
        for series in catalog.series:
            for template in series.templates:
                for family in template.families:
                    templates.setdefault(family, {}).setdefault(template.mount, []).append(template)
        grouped: dict[tuple[object, ...], list[Body]] = {}
        fitting: dict[tuple[object, ...], dict[Role, tuple[Piece, ...]]] = {}
        for body in catalog.bodies:
            for name in body.pieces.values():
                self._body_of_piece[self.key(catalog, name)] = self.key(catalog, body.id)
            pieces = _matching(fit, (body.family, body.id), body.series)
            roles = {role: _of_role(role, pieces) for role in _BY_BODY}
            # All that a demand or a floor looks at in a body. Bodies alike in it share their
            # demands; what else they differ in (sizes, listings, price) is looked at body by body.
            signature = (
                body.family,
                # One body of a group speaks for all of them where the standard of a place is asked.
                tuple(sorted(body.standards)),
                body.fixing_holes,
                body.hole_pattern,
                body.pinion_screws,
                body.pinion_caps,
                body.cover_required,
                *(tuple(piece.id for piece in found) for found in roles.values()),
            )
            grouped.setdefault(signature, []).append(body)
            fitting[signature] = roles
        for signature, bodies in grouped.items():
            family = bodies[0].family
            self.groups.append(
                BodyGroup(
                    catalog,
                    family,
                    tuple(bodies),
                    {
                        mount: tuple(
                            sorted(
                                found, key=lambda template: (template.greatest_angle, template.id)
                            )
                        )
                        for mount, found in templates.get(family, {}).items()
                    },
                    fitting[signature],
                    preference,
                    catalog.id in prefer,
                )
            )

    def _shelve(self) -> list[_Shelved]:
        shelved: list[_Shelved] = []
        for catalog in self.catalogs:
            for item in sorted(catalog.items, key=lambda item: item.sku):
                bodies = frozenset(
                    self._body_of_piece[key]
                    for supply in item.supplies
                    if (key := self.key(catalog, supply.piece)) in self._body_of_piece
                )
                shelved.append(_Shelved(item, catalog, len(shelved), self._score(item), bodies))
        return shelved

    def _score(self, item: Item) -> int:
        """The policy's order in one number: penalty, own cost, pieces, packages."""
        # A discontinued item outweighs up to 63 items that are not on hand: it is the last resort.
        penalty = (64 if item.discontinued else 0) + (
            1 if self.policy.stock_first and self.on_hand(item) < 1 else 0
        )
        pieces = sum(supply.quantity for supply in item.supplies)
        return (
            (penalty << _PENALTY_SHIFT)
            + (item.cost.units << _COST_SHIFT)
            + (min(pieces, 2**31) << _PIECES_SHIFT)
            # One package. It also keeps every score above nothing, on which the cover's tie rule
            # rests.
            + 1
        )

    def _market(self, finish: str) -> Market:
        loose: dict[str, list[CoverItem]] = {}
        boxes: dict[str, list[CoverItem]] = {}
        for shelved in self._shelved:
            item = shelved.item
            # Nobody can order it any more.
            if item.discontinued and self.on_hand(item) < 1:
                continue
            supplies: dict[str, int] = {}
            for supply in item.supplies:
                key = self.key(shelved.catalog, supply.piece)
                # A box in another finish still brings its screws and hidden pieces; what shows in
                # it is as good as not there.
                if item.finish == finish or not self.pieces[key].shows:
                    supplies[key] = supplies.get(key, 0) + supply.quantity
            if not supplies:
                continue
            offered = CoverItem(shelved.rank, shelved.score, supplies)
            if not shelved.bodies:
                for key in supplies:
                    loose.setdefault(key, []).append(offered)
            # A box with bodies of two kinds is left out: a kit carries one kind, so it could never
            # be whole.
            elif len(shelved.bodies) == 1:
                boxes.setdefault(next(iter(shelved.bodies)), []).append(offered)
        return Market(boxes, loose)


def _matching(
    fit: Mapping[str, Sequence[Piece]], names: tuple[str, ...], series: str
) -> list[Piece]:
    """Pieces that fit any of the names, or everything in the series; each once."""
    found: dict[str, Piece] = {}
    for name in (*names, f"series {series}"):
        for piece in fit.get(name, ()):
            found.setdefault(piece.id, piece)
    return list(found.values())


def _of_role(role: Role, pieces: Iterable[Piece]) -> tuple[Piece, ...]:
    return tuple(
        sorted((piece for piece in pieces if piece.role is role), key=lambda piece: piece.id)
    )
