"""A plate takes two sets of screws, and its own drilling. Common practice, no source."""

from dataclasses import replace
from itertools import product

import pytest
from tests.support.house import RULES, SAMPLES, codes, opening, pieces, sample, shelf

from wholekit.domain.catalog import FastenerKind, HolesRow, Piece, Role, carries_body, plate_holes
from wholekit.domain.kits import Shelf, body_drilling, build_kit, foot_on_plate
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.kits.counting import Brought, count_off
from wholekit.domain.kits.hosts import host_of
from wholekit.domain.kits.kit import Need
from wholekit.domain.openings import Door, Facts, Frame, HoldOpen, Mount
from wholekit.domain.quantities import Length
from wholekit.domain.reasons import Reason

# Where a plate is needed: under the body in each mount, and under the shoe.
SHORT = {
    "rail, regular": {"mount": Mount.REGULAR, "top_rail": "2 in"},
    "rail, parallel": {"mount": Mount.PARALLEL, "top_rail": "2 in"},
    "head, top jamb": {"mount": Mount.TOP_JAMB, "head_face": "1-1/2 in"},
    "head under the shoe": {"mount": Mount.REGULAR, "head_face": "1 in", "top_rail": "6 in"},
    "rail and head": {"mount": Mount.REGULAR, "top_rail": "2 in", "head_face": "1 in"},
}
UNDER_BODY = ("rail, regular", "rail, parallel", "head, top jamb")
UNDER_SHOE = "head under the shoe"
FEET = {Mount.REGULAR: "shoe-fastener", Mount.PARALLEL: "bracket-fastener"}


def hosts():
    """Every kind of door and frame, reinforced and not, thin and thick, with and without label."""
    for (door, door_holds), (frame, frame_holds), thickness, minutes, leaves in product(
        product(Door, (True, False)),
        product(Frame, (True, False)),
        ("1-3/4 in", "2-1/4 in"),
        (0, 60),
        (1, 2),
    ):
        yield {
            "door": door,
            "door_reinforced": door_holds,
            "frame": frame,
            "frame_reinforced": frame_holds,
            "thickness": thickness,
            "fire_minutes": minutes,
            "leaves": leaves,
        }


def kit_for(one, stock):
    return build_kit(one, stock, RULES)


def drilling(kit):
    return body_drilling(kit)


def used(kit, role):
    """Pieces used in a role, each with its catalogue's data, and how many."""
    found: dict[Piece, int] = {}
    for line in kit.lines:
        catalog = next(
            sample(name) for name in SAMPLES if sample(name).supplier == line.item.supplier
        )
        for use in line.uses:
            if use.role is role:
                piece = catalog.pieces[use.piece]
                found[piece] = found.get(piece, 0) + use.quantity
    return found


def sites(supplier):
    return SHORT if supplier == "tarrowby" else UNDER_BODY


@pytest.mark.parametrize("supplier", SAMPLES)
def test_every_plate_kit_has_the_plates_screws_by_the_host_and_the_bodys_by_the_plate(supplier):
    seen = set()
    for site, about in product(sites(supplier), hosts()):
        opening_type = opening("3070", **SHORT[site], **about)
        kit = kit_for(opening_type, shelf(supplier))
        assert kit.missing == (), (site, about)
        leaves, facts = kit.type.leaves, Facts(opening_type, RULES)
        plates = used(kit, Role.PLATE)
        seen |= set(plates)
        assert sum(plates.values()) == leaves * (2 if site == "rail and head" else 1)
        screws = used(kit, Role.PLATE_FASTENER)
        assert sum(screws.values()) == sum(plate.holes * count for plate, count in plates.items())
        allowed = set()
        for plate in plates:
            part = "door" if plate.relieves == "rail" else "frame"
            allowed |= set(host_of(part, facts, RULES).kinds)
            carried = carries_body(plate, kit.mount)
            role = Role.BODY_FASTENER if carried else Role(FEET[kit.mount])
            held = used(kit, role)
            holes = kit.body.fixing_holes if carried else next(iter(used(kit, Role.SHOE))).holes
            assert sum(held.values()) == holes * leaves, (site, about)
            assert {piece.kind for piece in held} <= plate.takes_kinds
        assert {piece.kind for piece in screws} <= allowed, (site, about)
        bolts = [piece for piece in screws if piece.kind is FastenerKind.THROUGH_BOLT]
        for bolt in bolts:
            assert bolt.leaf_from <= facts.thickness <= bolt.leaf_to
            assert bolt.sleeved or not host_of("door", facts, RULES).sleeved
        if kit.type.fire_minutes:
            assert all(piece.fire_listed for piece in (*screws, *plates))
    assert {plate.id for plate in seen} == {
        piece.id
        for piece in sample(supplier).pieces.values()
        if piece.role is Role.PLATE and piece.relieves != "holes"
    }


@pytest.mark.parametrize("supplier", SAMPLES)
def test_the_right_plate_kit_checked_by_hand_lacks_nothing_and_has_nothing_too_many(supplier):
    for site, about in product(sites(supplier), list(hosts())[::7]):
        opening_type = opening("3070", **SHORT[site], **about)
        kit = kit_for(opening_type, shelf(supplier))
        lines = [HandLine(line.item, sample(supplier), line.quantity) for line in kit.lines]
        held = check_kit(opening_type, lines, shelf(supplier), RULES)
        assert held.missing == (), (site, about)
        wrong = {"piece-surplus", "piece-wrong", "piece-missing", "fastener-missing"}
        assert not wrong & set(codes(held)), (site, about)


@pytest.mark.parametrize("supplier", SAMPLES)
@pytest.mark.parametrize("role", [Role.PLATE_FASTENER, Role.BODY_FASTENER])
def test_a_plate_kit_without_one_of_its_sets_lacks_it(supplier, role):
    opening_type = opening("3070", door=Door.WOOD, door_reinforced=True, **SHORT["rail, regular"])
    catalog = sample(supplier)
    gone = {piece.id for piece in catalog.pieces.values() if piece.role is role}
    stripped = replace(
        catalog,
        items=tuple(
            replace(item, supplies=tuple(part for part in item.supplies if part.piece not in gone))
            for item in catalog.items
            if {part.piece for part in item.supplies} - gone
        ),
    )
    kit = kit_for(opening_type, Shelf([stripped]))
    assert [(lack.role, lack.quantity) for lack in kit.missing] == [(role, 4)]
    assert codes(kit)["fastener-missing"] == "stop"


def test_one_box_of_screws_does_not_serve_two_plates():
    """Plates under body and shoe, both into reinforced metal, take the same screws: 4 and 2."""
    opening_type = opening(
        "3070", door=Door.HOLLOW_METAL, frame=Frame.STEEL, **SHORT["rail and head"]
    )
    kit = kit_for(opening_type, shelf("tarrowby"))
    assert kit.complete
    assert pieces(kit)["plate-fastener"] == 6
    bought = sum(
        part.quantity * line.quantity
        for line in kit.lines
        for part in line.item.supplies
        if sample("tarrowby").pieces[part.piece].role is Role.PLATE_FASTENER
    )
    assert bought >= 6


@pytest.mark.parametrize("supplier", SAMPLES)
@pytest.mark.parametrize("site", UNDER_BODY)
def test_with_a_plate_under_the_body_the_plates_holes_are_drilled_and_never_the_bodys(
    supplier, site
):
    kit = kit_for(opening("3070", **SHORT[site]), shelf(supplier))
    (plate,) = used(kit, Role.PLATE)
    drilled = drilling(kit)
    assert drilled.on_plate
    assert not foot_on_plate(kit)
    assert drilled.holes == plate_holes(plate, kit.template)
    if plate.hole_pattern is not None:
        assert drilled.holes.pattern == plate.hole_pattern != kit.body.hole_pattern
        offset = plate.holes_from_body
        assert drilled.holes.from_hinge == kit.template.holes_from_hinge + offset
    else:
        assert drilled.holes is None


def test_some_sample_plates_have_their_own_drilling_and_some_leave_it_to_their_template():
    plates = [
        piece
        for name in SAMPLES
        for piece in sample(name).pieces.values()
        if piece.role is Role.PLATE
    ]
    assert {plate.hole_pattern is None for plate in plates} == {True, False}


def test_without_a_plate_under_it_the_bodys_own_holes_are_drilled():
    kit = kit_for(opening("3070", **SHORT[UNDER_SHOE]), shelf("tarrowby"))
    drilled = drilling(kit)
    assert not drilled.on_plate
    assert foot_on_plate(kit)
    assert drilled.holes.pattern == kit.body.hole_pattern
    assert (drilled.holes.row, drilled.holes.down) == (HolesRow.UPPER, Length.inches(0, 1, 2))
    unsaid = replace(kit, template=replace(kit.template, holes_row=None))
    assert drilling(unsaid).holes is None


def test_where_the_plate_is_still_missing_nothing_is_drilled_by_the_body():
    """Without the plates of the samples the kit stops, and its card must not show body holes."""
    catalog = sample("quillmere")
    plain = replace(
        catalog,
        items=tuple(
            item
            for item in catalog.items
            if not any(catalog.pieces[part.piece].role is Role.PLATE for part in item.supplies)
        ),
    )
    kit = kit_for(opening("3070", **SHORT["rail, regular"]), Shelf([plain]))
    assert Role.PLATE in {lack.role for lack in kit.missing}
    assert drilling(kit).on_plate
    assert drilling(kit).holes is None


def test_a_hold_open_arm_changes_nothing_of_the_plate():
    about = {**SHORT["rail, regular"], "hold_open": HoldOpen.ARM}
    kit = kit_for(opening("3070", **about), shelf("tarrowby"))
    assert kit.complete
    assert pieces(kit)["plate-fastener"] == pieces(kit)["body-fastener"] == 4


def boxed_screws(kit, catalog):
    """Screws onto a plate that lie in the box of a plate of the kit, by line [count]."""
    onto = {Role.BODY_FASTENER, Role.SHOE_FASTENER, Role.BRACKET_FASTENER}
    for line in kit.lines:
        held = [catalog.pieces[part.piece].role for part in line.item.supplies]
        if Role.PLATE in held:
            counts = {
                part.piece: part.quantity * line.quantity
                for part in line.item.supplies
                if catalog.pieces[part.piece].role in onto
            }
            yield line, counts


@pytest.mark.parametrize("supplier", SAMPLES)
def test_the_screws_in_a_plates_box_are_the_ones_used_and_no_set_is_bought_in_vain(supplier):
    """Where another set must be bought for the shoe, its screws for the body are what is left."""
    catalog, with_others = sample(supplier), 0
    for site, about in product(sites(supplier), list(hosts())[::3]):
        opening_type = opening("3070", **SHORT[site], **about)
        kit = kit_for(opening_type, shelf(supplier))
        boxed = list(boxed_screws(kit, catalog))
        for line, counts in boxed:
            taken = {use.piece: use.quantity for use in line.uses}
            left = {(lost.item.sku, lost.piece) for lost in kit.unused}
            for piece, count in counts.items():
                assert taken.get(piece, 0) == count, (site, about)
                assert (line.item.sku, piece) not in left
                with_others += any(sku != line.item.sku and lost == piece for sku, lost in left)
        assert all(line.uses for line in kit.lines), (site, about)
        lines = [HandLine(line.item, catalog, line.quantity) for line in kit.lines]
        # Counted off by hand alike, whatever the order of the lines.
        held = check_kit(opening_type, lines[::-1], shelf(supplier), RULES)
        for line, counts in boxed:
            same = next(its for its in held.lines if its.item.sku == line.item.sku)
            taken = {use.piece: use.quantity for use in same.uses}
            assert all(taken.get(piece, 0) == count for piece, count in counts.items())
    assert with_others or supplier != "tarrowby"


def test_of_two_sets_that_would_do_the_plates_own_is_taken_whatever_the_other_holds():
    """A packet with more of another pattern does not win over the screws that came boxed."""
    catalog = sample("tarrowby")
    by_sku = catalog.items_by_sku
    box = by_sku["TG-HD.652"]
    own = next(part.piece for part in box.supplies if part.quantity == 4)
    other = next(
        piece.id
        for piece in catalog.pieces.values()
        if piece.role is Role.BODY_FASTENER and piece.id != own
    )
    packet = next(
        item for item in catalog.items if any(part.piece == other for part in item.supplies)
    )
    stock = shelf("tarrowby")
    held = Brought((HandLine(packet, catalog, 3), HandLine(box, catalog, 1)), stock)
    keys = tuple(stock.key(catalog, piece) for piece in (other, own))
    need = Need(Role.BODY_FASTENER, 4, keys, Reason("need-body-fastener", {}))
    for onto_plate, line in ((True, 1), (False, 0)):
        tally = count_off(held, [replace(need, onto_plate=onto_plate)])
        assert [len(uses) for uses in tally.uses] == [int(line == at) for at in (0, 1)]
        assert not tally.short
