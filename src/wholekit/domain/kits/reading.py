"""How a hand-made kit is to be taken: for which mount, template and joints it was made.

It is read from what the kit holds, before anything of it is judged. A bracket, a parallel forearm
or a shoe speaks for its own mount; so of all ways to furnish the opening the one holds that leaves
the fewest lines without a use or made for another mount. Only where that leaves a choice does it
count what the shelf itself would give, and only then what is lacking: otherwise a kit that lacks
its bracket would be taken for one that needs none.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from wholekit.domain.catalog import Body, Role, Template
from wholekit.domain.kits.bodies import suited
from wholekit.domain.kits.build import kit_in
from wholekit.domain.kits.counting import Brought, Tally, count_off
from wholekit.domain.kits.demand import Demand, body_pieces, demands, hands_wanted, leaf_hands
from wholekit.domain.kits.duty import duty_asked
from wholekit.domain.kits.kit import Need
from wholekit.domain.kits.made import need_body
from wholekit.domain.kits.mounts import MountChoice
from wholekit.domain.kits.place import FixingPlace, holes_tolerance, site_of
from wholekit.domain.kits.search import Found, KitSearch
from wholekit.domain.kits.settled import settled_mount
from wholekit.domain.kits.shelf import BodyGroup, Eligible, Shelf
from wholekit.domain.openings import Facts, HingeSide, Mount, OpeningType
from wholekit.domain.rules import RuleBook

# What is made for some mounts and not for others. Bodies serve several, screws any.
_ARMS_AND_FEET = frozenset(
    {
        Role.MAIN_ARM,
        Role.FOREARM,
        Role.HOLD_OPEN_ARM,
        Role.SHOE,
        Role.SOFFIT_BRACKET,
        Role.SPACER,
        Role.PLATE,
    }
)
# What a plate under the body adds or alters.
_WITH_PLATE = frozenset({Role.PLATE, Role.PLATE_FASTENER, Role.BODY_FASTENER})


@dataclass(frozen=True)
class Reading:
    """One way to take a kit, counted off against what that demands.

    group, template: None where the body has no place in the mount, or no family was found. body:
    None where the kit holds none. wider: on a template for a greater angle than the opening's.
    """

    choice: MountChoice
    group: BodyGroup | None
    body: Body | None
    template: Template | None
    demand: Demand
    tally: Tally
    wider: bool = False

    @property
    def complete(self) -> bool:
        """Nothing is lacking."""
        return self.template is not None and not self.tally.short

    @property
    def lacking(self) -> tuple[int, int]:
        """Needs not met, and pieces that are lacking [count]."""
        short = self.tally.short
        return len(short), sum(shortage.quantity for shortage in short)


@dataclass(frozen=True)
class Readings:
    """The reading that holds, and another that might, where the kit leaves a doubt."""

    held: Reading
    other: Reading | None = None


def read_kit(
    opening_type: OpeningType,
    choices: Sequence[MountChoice],
    brought: Brought,
    rules: RuleBook,
) -> Readings:
    """How a kit is to be taken in the mounts its opening may have.

    The mount against which fewest lines speak holds. Where that leaves more than one, a mount in
    which at most one item is lacking comes before others, then the one that the site and the shelf
    settle. Another mount is a doubt where the kit is complete in it, or lacks one item there just
    as in the mount that holds. Raises RuleError.
    """
    found = [_Mounted(opening_type, choice, brought, rules).best() for choice in choices]
    if len(found) == 1:
        return Readings(found[0])
    settled = settled_mount(opening_type, choices, brought.shelf, rules)
    # One item may have been forgotten in the right mount; a kit that lacks more was hardly meant
    # for it.
    near = {id(reading): _one_item_short(reading, brought.shelf) for reading in found}
    against = {id(reading): _speaking_against(reading, brought) for reading in found}

    def order(reading: Reading) -> tuple[int, bool, bool, tuple[int, int]]:
        return (
            against[id(reading)],
            not near[id(reading)],
            reading.choice is not settled,
            reading.lacking,
        )

    held, *others = sorted(found, key=order)
    doubts = [
        reading
        for reading in others
        if (reading.complete and not held.complete)
        or (
            not reading.complete and near[id(reading)] and against[id(reading)] == against[id(held)]
        )
    ]
    return Readings(held, doubts[0] if doubts else None)


def hands_of(body: Body, group: BodyGroup, facts: Facts, brought: Brought) -> dict[HingeSide, int]:
    """Hands [count] a kit's body must have; where the hand is unknown, the hand brought stands."""
    handed = body.handed
    if not handed or leaf_hands(facts):
        return hands_wanted(handed, facts)
    counts = hands_brought(body, group, brought)
    return {max(counts, key=counts.__getitem__): facts.type.leaves}


def hands_brought(body: Body, group: BodyGroup, brought: Brought) -> dict[HingeSide, int]:
    """Pieces of a body that a kit holds [count], by hand."""
    return {
        hand: brought.held.get(brought.shelf.key(group.catalog, piece), 0)
        for hand, piece in body.pieces.items()
    }


class _Mounted:
    """A kit in one mount."""

    def __init__(
        self, opening_type: OpeningType, choice: MountChoice, brought: Brought, rules: RuleBook
    ) -> None:
        # Of its own: what is looked at here and not taken must not count as assumed.
        self._facts = Facts(opening_type, rules)
        self._choice = choice
        self._brought = brought
        self._shelf = brought.shelf
        self._rules = rules
        self._site = site_of(self._facts, choice.mount, rules)
        self._search = KitSearch(self._facts, self._shelf, self._site)
        # A plate over old holes is wanted by some kits and not by others: either is right.
        self._over_holes = (
            None
            if opening_type.existing_holes is None
            else KitSearch(self._facts, self._shelf, self._site, holes_tolerance(rules))
        )
        self._own: dict[str, Found | None] = {}

    def best(self) -> Reading:
        """The reading that leaves the fewest lines without a use (see the module)."""
        held = _body_held(self._brought)
        found = [*(self._without_body() if held is None else self._with_body(*held))]
        if not found:
            # No way at all is still a reading: the kit is told what is wrong with it, and not
            # refused.
            return self._useless(held)
        idle = min((reading.tally.idle, reading.wider) for reading in found)
        left = [reading for reading in found if (reading.tally.idle, reading.wider) == idle]
        # Among ways that all lack something the shelf's own holds, for a way that needs fewer
        # pieces lacks fewer of them and would always win.
        if len(left) > 1 and not any(reading.complete for reading in left):
            own = [reading for reading in left if self._is_own(reading)]
            left = own or left
        # A plate that was brought is meant to be used, though its screws alone would do.
        return min(left, key=lambda reading: (*reading.lacking, reading.tally.plates_left))

    def _with_body(self, group: BodyGroup, body: Body) -> Iterator[Reading]:
        if self._choice.mount not in body.mounts or self._choice.mount not in group.templates:
            return
        # As wanted, not as brought: a body of the wrong hand must count as lacking.
        wanted = hands_of(body, group, self._facts, self._brought)
        needs = [
            Need(
                Role.BODY, count, (self._shelf.key(group.catalog, piece),), need_body(self._choice)
            )
            for piece, count in body_pieces(body, wanted).items()
        ]
        yield from self._on_templates(group, body, needs)

    def _without_body(self) -> Iterator[Reading]:
        """Every family that might serve; no body brought says which."""
        mount = self._choice.mount
        place = duty_asked(self._facts, self._rules)
        groups, _ = suited(self._facts, mount, place, self._shelf, self._rules)
        need = Need(Role.BODY, self._facts.type.leaves, (), need_body(self._choice))
        for group, _ in groups:
            yield from self._on_templates(group, None, [need])

    def _on_templates(
        self, group: BodyGroup, body: Body | None, body_needs: list[Need]
    ) -> Iterator[Reading]:
        """As the shelf would furnish it first; then on templates for a greater angle."""
        mount = self._choice.mount
        # Any body of the group does: to all of them the same other pieces fit.
        own = self._search.templates(self._entry(group, body or group.bodies[0]), mount)
        ways = [(False, template, demand) for _, template, demand in own]
        named = {template.id for _, template, _ in own}
        if self._over_holes is not None:
            entry = self._entry(group, body or group.bodies[0])
            plated = self._over_holes.templates(entry, mount)
            known = [demand for _, _, demand in own]
            ways += [(False, place, demand) for _, place, demand in plated if demand not in known]
        for template in group.templates[mount]:
            if template.greatest_angle < self._facts.opening_degrees or template.id in named:
                continue
            place = FixingPlace(self._facts, group, template, self._shelf, self._site)
            ways += [(True, template, demand) for demand in demands(place)]
        for wider, template, demand in ways:
            tally = count_off(self._brought, [*body_needs, *demand.needs])
            yield Reading(self._choice, group, body, template, demand, tally, wider)

    def _useless(self, held: tuple[BodyGroup, Body] | None) -> Reading:
        """A body that has no place in this mount, or no body and none that might serve."""
        group, body = held or (None, None)
        need = Need(Role.BODY, self._facts.type.leaves, (), need_body(self._choice))
        return Reading(
            self._choice, group, body, None, Demand((), ()), count_off(self._brought, [need])
        )

    def _is_own(self, reading: Reading) -> bool:
        """Whether the shelf itself would furnish it so: this body, or without one the opening."""
        group, body = reading.group, reading.body
        if group is None or (body is None and self._own_body not in group.bodies):
            return False
        body = body or self._own_body
        # A search of the shelf for each reading would be dear: one for each body is kept.
        key = self._shelf.key(group.catalog, body.id if body else "")
        if key not in self._own:
            entry = self._entry(group, body or group.bodies[0])
            self._own[key] = self._search.best([entry], self._choice.mount, self._finish)
        found = self._own[key]
        return found is not None and (found.template, _besides_plate(found.demand)) == (
            reading.template,
            _besides_plate(reading.demand),
        )

    @cached_property
    def _own_body(self) -> Body | None:
        return kit_in(self._facts.type, self._choice, self._shelf, self._rules).body

    @cached_property
    def _finish(self) -> str:
        shown = [
            line.item.finish
            for position, line in enumerate(self._brought.lines)
            if line.item.finish and any(piece.shows for piece in self._brought.pieces_of(position))
        ]
        return max(shown, key=shown.count, default=self._facts.finish)

    def _entry(self, group: BodyGroup, body: Body) -> Eligible:
        """A body alone; kept, as the search keeps floors by entry."""
        key = self._shelf.key(group.catalog, body.id)
        return self._shelf.alone.setdefault(key, Eligible(group, 0, ((body, body.size_from),)))


def _besides_plate(demand: Demand) -> Demand | list[Need]:
    """The demand; where a plate is wanted for an edge alone, what is needed whether or not."""
    if not (demand.for_edge or demand.unsound):
        return demand
    return [need for need in demand.needs if need.role not in _WITH_PLATE]


def _speaking_against(reading: Reading, brought: Brought) -> int:
    """Lines without a use in a mount, or whose arms and feet are made for others [count]."""
    mount = reading.choice.mount
    return sum(
        not uses or mount not in _made_for(brought, position)
        for position, uses in enumerate(reading.tally.uses)
    )


def _made_for(brought: Brought, position: int) -> frozenset[Mount]:
    """The mounts all arms and feet of a line serve; every mount for a box that has some for each.

    Screws do not speak: a set of them may hold those of the shoe beside those of the body.
    """
    catalog = brought.lines[position].catalog
    every = frozenset(Mount)
    common = every
    for piece in brought.pieces_of(position):
        if piece.role not in _ARMS_AND_FEET:
            continue
        named = frozenset(
            template.mount
            for series in catalog.series
            for template in series.templates
            if piece.id
            in (*template.main_arms, *template.forearms, *template.feet, *template.hold_open_arms)
        )
        common &= (piece.mounts or every) & (named or every)
    # Arms that have no mount in common are a box for several: it speaks for none.
    return common or every


def _body_held(brought: Brought) -> tuple[BodyGroup, Body] | None:
    """The body of which a kit holds most, the first on the shelf among equals."""
    held: tuple[BodyGroup, Body] | None = None
    most = 0
    for group in brought.shelf.groups:
        for body in group.bodies:
            count = sum(hands_brought(body, group, brought).values())
            if count > most:
                held, most = (group, body), count
    return held


def _one_item_short(reading: Reading, shelf: Shelf) -> bool:
    """Whether one item would complete a kit, as far as anybody sells what it lacks."""
    if reading.template is None:
        return False
    sold = [
        {shelf.key(catalog, supply.piece): supply.quantity for supply in item.supplies}
        for catalog in shelf.catalogs
        for item in catalog.items
    ]
    # What nobody sells cannot have been forgotten: it says nothing of which mount was meant.
    wanted = [
        short
        for short in reading.tally.short
        if any(piece in supplies for piece in short.need.pieces for supplies in sold)
    ]
    return not wanted or any(
        all(
            max(supplies.get(piece, 0) for piece in short.need.pieces) >= short.quantity
            for short in wanted
        )
        for supplies in sold
    )
