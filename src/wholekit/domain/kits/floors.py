"""The least a family's kit can cost whatever the site asks, so that dear families are not tried.

A kit needs at least body, arms, foot, pinion screws and caps; fasteners and site conditions only
add to that. The least cover of those alone, with every piece allowed that any template allows, is
therefore a floor under every kit of the family, and the search may stop where floors pass the best
kit found.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from wholekit.domain.catalog import Body, Piece, Role
from wholekit.domain.kits.cover import CoverItem, CoverNeed, CoverSearch
from wholekit.domain.kits.shelf import BodyGroup, Eligible, Shelf
from wholekit.domain.openings import HingeSide, Mount

# Past every score: a family that cannot furnish what every kit needs.
# Scores take some 120 bits (see the shelf); this is beyond any sum of them.
NEVER = 1 << 200


def floor_of(
    eligible: Eligible, mount: Mount, leaves: int, hold_open_arm: bool, finish: str, shelf: Shelf
) -> int:
    """The floor under kits with any of the bodies [score], NEVER where none can be complete.

    Kept by the entry itself, which the shelf keeps for every opening that asks alike.
    """
    key = (id(eligible), mount, leaves, hold_open_arm, finish)
    known = shelf.group_floors.get(key)
    if known is None:
        group = eligible.group
        floors = _floors_of(group, mount, leaves, hold_open_arm, finish, shelf)
        known = shelf.group_floors[key] = min(
            _body_floor(group, body, leaves, floors, shelf) for body, _ in eligible.bodies
        )
    return known


@dataclass(frozen=True, slots=True)
class GroupFloors:
    """What is known of the floors under a group's bodies, and how to find them."""

    boxes: Mapping[str, Sequence[CoverItem]]
    search: CoverSearch
    by_body: dict[str, int] = field(default_factory=dict)


def _floors_of(
    group: BodyGroup, mount: Mount, leaves: int, hold_open_arm: bool, finish: str, shelf: Shelf
) -> GroupFloors:
    key = (id(group), mount, leaves, hold_open_arm, finish)
    known = shelf.floors.get(key)
    if known is None:
        market = shelf.market(finish)
        needs = _least_needs(group, mount, leaves, hold_open_arm, shelf)
        known = shelf.floors[key] = GroupFloors(market.boxes, market.search(needs))
    return known


def _body_floor(
    group: BodyGroup, body: Body, leaves: int, floors: GroupFloors, shelf: Shelf
) -> int:
    known = floors.by_body.get(body.id)
    if known is not None:
        return known
    name, search = shelf.key(group.catalog, body.id), floors.search
    floor = NEVER
    if name in floors.boxes:
        # Which needs are left out, or counted for one leaf, only lowers the floor: then a family
        # is tried for nothing. A floor that is too high would lose the cheapest kit unseen.
        if leaves == 1 or body.handed:
            # A pair of handed bodies takes one of either hand: one is the least it can be.
            least = search.floor(name)
        else:
            wanted = {shelf.key(group.catalog, body.pieces[HingeSide.ANY]): leaves}
            cover = search.with_body(name, wanted)
            least = None if cover is None or cover.missing else cover.score
        floor = NEVER if least is None else least
    floors.by_body[body.id] = floor
    return floor


def _least_needs(
    group: BodyGroup, mount: Mount, leaves: int, hold_open_arm: bool, shelf: Shelf
) -> tuple[CoverNeed, ...]:
    """What every kit of the family needs in a mount, each with all pieces that might serve."""
    catalog = group.catalog
    templates = group.templates[mount]
    body = group.bodies[0]
    feet = shelf.named(
        catalog, tuple(dict.fromkeys(foot for template in templates for foot in template.feet))
    )
    needs: list[CoverNeed] = []

    def add(each: int, pieces: Iterable[Piece]) -> None:
        found = [piece for piece in pieces if not piece.mounts or mount in piece.mounts]
        # Handed pieces are needed by hand, and the hands are the opening's: the family cannot
        # tell.
        if each > 0 and found and not any(piece.hand for piece in found):
            keys = tuple(shelf.key(catalog, piece.id) for piece in found)
            needs.append(CoverNeed(each * leaves, keys))

    # A hold-open arm may stand for either arm, or both: neither is certain then.
    if not hold_open_arm:
        # Only what every template asks for: one that does without would come out cheaper.
        if all(template.main_arms for template in templates):
            arms = dict.fromkeys(arm for template in templates for arm in template.main_arms)
            add(1, shelf.named(catalog, tuple(arms)))
        if all(template.forearms for template in templates):
            arms = dict.fromkeys(arm for template in templates for arm in template.forearms)
            add(1, shelf.named(catalog, tuple(arms)))
    if all(template.feet for template in templates):
        add(1, feet)
    add(body.pinion_screws, group.fitting[Role.PINION_SCREW])
    add(body.pinion_caps, group.fitting[Role.PINION_CAP])
    if body.cover_required:
        add(1, group.fitting[Role.COVER])
    return tuple(needs)
