"""The sample catalogues: sound, large enough, and able to complete every kind of opening."""

from itertools import product

import pytest
from tests.catalog.folders import told_of

from wholekit.domain.catalog import Duty, FastenerKind, Role
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.gtin import is_gtin
from wholekit.domain.errors import InputError
from wholekit.domain.openings.words import Mount
from wholekit.domain.quantities import Length
from wholekit.intake.catalog_folder import catalog_problems, load_catalog
from wholekit.intake.rulebook import load_rulebook
from wholekit.settings import bundled
from wholekit.wording.catalog_problems import SENTENCES

SUPPLIERS = ("quillmere", "tarrowby", "averlund")
LEAVES = ("1-3/8 in", "1-3/4 in", "2-1/4 in")


def _load(name):
    return load_catalog(bundled("catalog_samples") / name)


@pytest.fixture(scope="module", params=SUPPLIERS)
def catalog(request):
    return _load(request.param)


@pytest.fixture(scope="module")
def catalogs():
    return [_load(name) for name in SUPPLIERS]


def _series_of(catalog, body):
    return next(series for series in catalog.series if series.id == body.series)


def _templates(catalog, body, mount):
    return [
        template
        for series in catalog.series
        for template in series.templates
        if body.family in template.families and template.mount is mount
    ]


def _pieces(catalog, body, role, mount):
    """Pieces of a role that go with a body in a mount."""
    return [
        piece
        for piece in catalog.pieces.values()
        if piece.role is role
        and (not piece.mounts or mount in piece.mounts)
        and (body.family in piece.fits if piece.fits else piece.series == body.series)
    ]


def test_every_sample_catalogue_is_sound(catalog):
    assert catalog_problems(bundled("catalog_samples") / catalog.id) == []


def test_together_they_hold_enough_to_show_the_trade(catalogs):
    assert sum(len(catalog.items) for catalog in catalogs) >= 250
    assert sum(len(catalog.bodies) for catalog in catalogs) >= 40
    finishes = {item.finish for catalog in catalogs for item in catalog.items if item.finish}
    assert {"689", "690", "691", "693", "695", "696"} <= finishes
    assert finishes <= FinishBook(load_rulebook()).codes
    assert {catalog.currency for catalog in catalogs} == {"USD"}


def test_each_supplier_lists_a_series_for_fire_doors_and_a_cheap_one_that_is_not(catalog):
    assert {body.fire_listed for body in catalog.bodies} == {True, False}


def test_each_supplier_has_a_body_that_can_be_set_to_size_one(catalog):
    assert any(body.adjustable and body.size_from == 1 for body in catalog.bodies)


def test_the_usual_size_three_has_the_usual_hole_pattern(catalogs):
    """8-1/4 × 3-1/4 in = 209.55 × 82.55 mm: common practice, no source."""
    harbor = next(body for body in catalogs[0].bodies if body.id == "harbor-3")
    assert harbor.hole_pattern == (Length.mm(209.55), Length.mm(82.55))


def test_one_supplier_boxes_what_all_three_mounts_need_with_both_kinds_of_screws(catalogs):
    box = catalogs[0].items_by_sku["QH-3-689"]
    roles = {catalogs[0].pieces[supply.piece].role for supply in box.supplies}
    kinds = {catalogs[0].pieces[supply.piece].kind for supply in box.supplies} - {None}
    apart = {Role.PLATE, Role.PLATE_FASTENER, Role.SPACER, Role.HOLD_OPEN_ARM}
    assert roles == set(Role) - apart
    assert kinds == {FastenerKind.WOOD_SCREW, FastenerKind.MACHINE_SCREW}


def test_the_others_sell_the_body_alone(catalogs):
    for catalog in catalogs[1:]:
        for item in catalog.items:
            roles = {catalog.pieces[supply.piece].role for supply in item.supplies}
            assert Role.BODY not in roles or roles == {Role.BODY}


def test_the_metric_supplier_is_adjustable_throughout_and_claims_en_1154(catalogs):
    metric = catalogs[2]
    assert all(body.adjustable for body in metric.bodies)
    assert {series.standards for series in metric.series} == {("EN 1154",)}
    assert all(body.claims("EN 1154") for body in metric.bodies)
    assert {body.hole_pattern[0].unit for body in metric.bodies} == {"mm"}


def test_each_series_says_where_it_may_go_and_the_metric_ones_how_long_they_last(catalogs):
    """From memory: EN 1670 has classes 0 to 5; a closer's durability digit in EN 1154 is 8."""
    duties = {
        body.series: {each.duty for each in catalog.bodies if each.series == body.series}
        for catalog in catalogs
        for body in catalog.bodies
    }
    assert None not in set().union(*duties.values())
    assert {name for name, found in duties.items() if found == {Duty.LIGHT}} == {
        "lodge", "pebble", "vig"
    }  # fmt: skip
    assert duties["granite"] == duties["bjerg"] == {Duty.HEAVY}
    assert {body.durability for body in catalogs[2].bodies} == {8}
    assert all(body.corrosion is not None for body in catalogs[2].bodies)
    outside = [body for body in catalogs[2].bodies if body.duty is Duty.HEAVY]
    assert outside
    assert all(body.corrosion >= 3 and body.backcheck for body in outside)


def test_an_efficiency_is_a_fraction_with_its_source_and_at_least_what_en_1154_asks(catalogs):
    """EN 1154, Table 1: efficiency at 0 to 4°, least per cent by size (from memory)."""
    least = {1: 50, 2: 50, 3: 55, 4: 60, 5: 65, 6: 65, 7: 65}
    stated = [body for catalog in catalogs for body in catalog.bodies if body.efficiency]
    assert len(stated) >= 5
    for body in stated:
        assert least[body.size_to] / 100 <= body.efficiency < 1
        assert body.efficiency_source == "invented for the demo"


def test_handed_bodies_are_sold_by_hand(catalogs):
    handed = [body for body in catalogs[1].bodies if set(body.pieces) == {"left", "right"}]
    assert handed
    for body in handed:
        for side, piece in body.pieces.items():
            assert catalogs[1].pieces[piece].hand == side


def test_features_that_jobs_ask_for_are_somewhere_to_be_had(catalogs):
    for catalog in catalogs:
        assert any(body.delayed_action for body in catalog.bodies)
        assert any(body.backcheck for body in catalog.bodies)
        assert any(template.hold_open_arms for s in catalog.series for template in s.templates)


def test_screws_for_every_host_can_be_had_for_every_body(catalog):
    """Hosts take wood, machine, rivet-nut screws or through-bolts; a frame takes no bolt."""
    screws = set(FastenerKind) - {FastenerKind.THROUGH_BOLT, FastenerKind.SELF_DRILLING_SCREW}
    for body in catalog.bodies:
        for mount in body.mounts:
            foot = Role.BRACKET_FASTENER if mount is Mount.PARALLEL else Role.SHOE_FASTENER
            for role in (Role.BODY_FASTENER, foot):
                kinds = {piece.kind for piece in _pieces(catalog, body, role, mount)}
                assert screws <= kinds, (body.id, mount, role)


def test_every_usual_leaf_can_be_bolted_through_with_and_without_sleeves(catalog):
    for body, role in product(catalog.bodies, (Role.BODY_FASTENER, Role.SHOE_FASTENER)):
        for mount in body.mounts - ({Mount.PARALLEL} if role is Role.SHOE_FASTENER else set()):
            bolts = [
                bolt
                for bolt in _pieces(catalog, body, role, mount)
                if bolt.kind is FastenerKind.THROUGH_BOLT
            ]
            for leaf, sleeved in product(LEAVES, (True, False)):
                thickness = Length.inches(*_inches(leaf))
                assert any(
                    bolt.sleeved is sleeved and bolt.leaf_from <= thickness <= bolt.leaf_to
                    for bolt in bolts
                ), (body.id, role, leaf, sleeved)


def _inches(text):
    whole, numerator, denominator = text.removesuffix(" in").replace("-", "/").split("/")
    return int(whole), int(numerator), int(denominator)


def test_a_listed_body_finds_listed_pieces_for_every_joint(catalog):
    for body in (body for body in catalog.bodies if body.fire_listed):
        for mount in body.mounts:
            templates = _templates(catalog, body, mount)
            for template in templates:
                named = template.main_arms + template.forearms + template.feet
                assert all(catalog.pieces[name].fire_listed for name in named)
            asked = [Role.BODY_FASTENER, Role.PINION_SCREW]
            asked += [Role.COVER] * body.cover_required + [Role.PINION_CAP] * (body.pinion_caps > 0)
            for role in asked:
                assert any(piece.fire_listed for piece in _pieces(catalog, body, role, mount))


def test_hold_open_arms_carry_no_fire_listing(catalog):
    arms = [piece for piece in catalog.pieces.values() if piece.role is Role.HOLD_OPEN_ARM]
    assert arms
    assert not any(arm.fire_listed for arm in arms)


def test_what_shows_can_be_had_in_one_finish_throughout(catalog):
    """In every finish a body (or its cover) is sold in, arms and feet are sold too."""
    sold = {
        (supply.piece, item.finish)
        for item in catalog.items
        if not item.discontinued
        for supply in item.supplies
    }
    for body in catalog.bodies:
        outer = set(body.pieces.values()) if not body.cover_required else set()
        covers = [piece.id for piece in _pieces(catalog, body, Role.COVER, Mount.REGULAR)]
        dressed = outer or set(covers)
        finishes = {finish for piece, finish in sold if piece in dressed and finish}
        assert "689" in finishes
        for mount in body.mounts:
            for template in _templates(catalog, body, mount):
                for names in (template.main_arms, template.forearms, template.feet):
                    for finish in finishes:
                        assert any((name, finish) in sold for name in names), (body.id, finish)


def test_deep_reveals_narrow_rails_low_heads_and_blade_stops_have_their_pieces(catalog):
    deep = [
        piece
        for piece in catalog.pieces.values()
        if piece.role is Role.FOREARM and piece.reveal_max
    ]
    assert max(one.reveal_max for one in deep) >= Length.mm(200)
    plates = [
        piece
        for piece in catalog.pieces.values()
        if piece.role is Role.PLATE and piece.relieves != "holes"
    ]
    assert all(plate.needs <= Length.inches(2) for plate in plates)
    assert {(plate.relieves, next(iter(plate.mounts))) for plate in plates} >= {
        ("rail", Mount.REGULAR),
        ("rail", Mount.PARALLEL),
        ("head", Mount.TOP_JAMB),
    }
    assert any(piece.for_stop == "blade" for piece in catalog.pieces.values())


def test_barcodes_are_from_ranges_kept_for_use_inside_a_company(catalog):
    """GS1 prefixes 20 to 29 and 04 for restricted circulation: published lists of GS1 prefixes."""
    codes = [item.barcode for item in catalog.items if item.barcode]
    assert len(codes) == len(set(codes)) > len(catalog.items) * 0.9
    for code in codes:
        assert is_gtin(code)
        assert code[0] == ("2" if len(code) == 13 else "4")


def test_some_items_are_out_of_stock_and_some_are_replaced(catalog):
    assert any(item.sku not in catalog.counts and not item.discontinued for item in catalog.items)
    assert any(item.discontinued and item.replaced_by for item in catalog.items)
    assert any(item.discontinued and not item.replaced_by for item in catalog.items) or (
        catalog.id == "averlund"
    )


def test_the_broken_catalogue_tells_all_its_faults_at_once():
    folder = bundled("catalog_samples") / "broken"
    with pytest.raises(InputError) as refused:
        load_catalog(folder)
    problems = refused.value.problems
    assert len({problem.code for problem in problems}) >= 15
    told = {told_of(problem, folder) for problem in problems}
    assert {
        ("currency-unknown", "catalog.toml", None, "currency"),
        ("length-without-unit", "series/marsh.toml", None, "piece[marsh-forearm].length"),
        ("body-without-template", "series/marsh.toml", None, "body[marsh-3].mounts"),
        ("piece-unsold", "series/marsh.toml", None, "piece[marsh-plate]"),
        ("sku-twice", "prices.csv", 3, "sku"),
        ("barcode-wrong-digit", "prices.csv", 4, "barcode"),
        ("money-too-many-decimals", "prices.csv", 6, "list"),
        ("barcode-twice", "prices.csv", 8, "barcode"),
        ("count-unreadable", "prices.csv", 9, "on_hand"),
        ("piece-unknown", "prices.csv", 11, "supplies"),
        ("replacement-loop", "prices.csv", 14, "replaced_by"),
        ("row-ragged", "prices.csv", 19, ""),
    } <= told
    for problem in problems:
        if problem.code in SENTENCES:
            assert SENTENCES[problem.code].format(**problem.fields)


def test_each_fault_that_the_broken_catalogue_announces_is_found():
    """Its series file says `# Fault` above each; no fewer are told of that file."""
    folder = bundled("catalog_samples") / "broken"
    text = (folder / "series" / "marsh.toml").read_text(encoding="utf-8")
    found = [p for p in catalog_problems(folder) if p.where.endswith("marsh.toml")]
    assert len(found) >= text.count("# Fault") > 15
