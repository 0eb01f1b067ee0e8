"""A kit made by hand held against its opening: missing, wrong, surplus."""

from dataclasses import replace

import pytest
from tests.support.house import RULES, SAMPLES, codes, opening, sample, shelf

from wholekit.domain.catalog import Role
from wholekit.domain.findings import Severity
from wholekit.domain.kits import Kit, Shelf, build_kit
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.openings import BodySide, Door, Hand, Mount, OpeningType, Stop
from wholekit.domain.quantities import Length, parse_length


def made(kit: Kit, supplier: str) -> list[HandLine]:
    """The program's own kit as if typed by hand."""
    return [HandLine(line.item, sample(supplier), line.quantity) for line in kit.lines]


def hand_line(supplier: str, sku: str, quantity: int = 1) -> HandLine:
    return HandLine(sample(supplier).items_by_sku[sku], sample(supplier), quantity)


def screws(supplier: str, role: Role, kind: str) -> str:
    """A screw pack that supplies a role with a kind and holds no body."""
    pieces = sample(supplier).pieces
    return next(
        item.sku
        for item in sample(supplier).items
        if not any(pieces[supply.piece].role is Role.BODY for supply in item.supplies)
        and any(
            (pieces[supply.piece].role, pieces[supply.piece].kind) == (role, kind)
            for supply in item.supplies
        )
    )


@pytest.mark.parametrize("supplier", SAMPLES)
@pytest.mark.parametrize("mount", list(Mount))
@pytest.mark.parametrize("leaves", [1, 2])
def test_the_programs_own_kit_passes(supplier, mount, leaves):
    asked = opening("3070", mount=mount, leaves=leaves, finish="689", weight="100 lb")
    kit = build_kit(asked, shelf(supplier), RULES)
    held = check_kit(asked, made(kit, supplier), shelf(supplier), RULES)
    assert held.complete
    assert (held.spring_size, held.size_required) == (kit.spring_size, kit.size_required)
    stops = {finding.code for finding in held.findings if finding.severity is Severity.STOP}
    assert stops == {finding.code for finding in kit.findings if finding.severity is Severity.STOP}
    assert "piece-surplus" not in codes(held)


PARALLEL = opening("3070", mount=Mount.PARALLEL, finish="689", weight="100 lb")


def tarrowby_lines(asked: OpeningType = PARALLEL) -> list[HandLine]:
    return made(build_kit(asked, shelf("tarrowby"), RULES), "tarrowby")


def held(lines: list[HandLine], asked: OpeningType = PARALLEL) -> Kit:
    return check_kit(asked, lines, shelf("tarrowby"), RULES)


def role_of(line: HandLine) -> set[Role]:
    return {sample("tarrowby").pieces[supply.piece].role for supply in line.item.supplies}


@pytest.mark.parametrize(
    ("role", "code"),
    [
        (Role.SOFFIT_BRACKET, "bracket-missing"),
        (Role.BRACKET_FASTENER, "fastener-missing"),
        (Role.MAIN_ARM, "piece-missing"),
        (Role.BODY, "piece-missing"),
    ],
)
def test_each_forgotten_piece_is_found(role, code):
    lines = [line for line in tarrowby_lines() if role not in role_of(line)]
    kit = held(lines)
    assert codes(kit)[code] == "stop"
    assert role in {piece.role for piece in kit.missing}


def test_screws_for_the_wrong_host_are_found():
    wood = opening("3070", mount=Mount.PARALLEL, finish="689", door=Door.WOOD, door_reinforced=True)
    lines = [line for line in tarrowby_lines(wood) if Role.BODY_FASTENER not in role_of(line)]
    wrong = screws("tarrowby", Role.BODY_FASTENER, "machine-screw")
    kit = held([*lines, hand_line("tarrowby", wrong)], wood)
    assert codes(kit)["fastener-wrong-host"] == "stop"
    assert "piece-surplus" not in codes(kit)


def test_a_body_too_small_is_found():
    small = hand_line(
        "tarrowby",
        next(
            item.sku
            for item in sample("tarrowby").items
            if [supply.piece for supply in item.supplies] == ["slate-2"] and item.finish == "689"
        ),
    )
    lines = [line for line in tarrowby_lines() if Role.BODY not in role_of(line)]
    kit = held([small, *lines])
    assert codes(kit)["size-too-small"] == "stop"


def test_mixed_finishes_are_found():
    lines = tarrowby_lines()
    for place, line in enumerate(lines):
        if Role.SOFFIT_BRACKET in role_of(line):
            other = next(
                item
                for item in sample("tarrowby").items
                if item.supplies == line.item.supplies and item.finish == "690"
            )
            lines[place] = replace(line, item=other)
    assert codes(held(lines))["finish-mixed"] == "stop"


def test_what_the_opening_does_not_need_is_surplus():
    lines = tarrowby_lines()
    bracket = next(line for line in lines if Role.SOFFIT_BRACKET in role_of(line))
    kit = held([*lines, replace(bracket, quantity=2)])
    assert kit.complete
    surplus = [finding for finding in kit.findings if finding.code == "piece-surplus"]
    assert [finding.fields["quantity"] for finding in surplus] == [2]


def test_an_empty_kit_lacks_everything():
    kit = held([])
    assert Role.BODY in {piece.role for piece in kit.missing}
    assert Role.SOFFIT_BRACKET in {piece.role for piece in kit.missing}
    assert kit.list_price.minor == 0


def test_a_regular_arm_kit_on_a_parallel_opening_lacks_its_bracket():
    regular = opening("3070", mount=Mount.REGULAR, finish="689", weight="100 lb")
    kit = held(tarrowby_lines(regular))
    assert codes(kit)["bracket-missing"] == "stop"
    assert Role.SHOE in {piece.role for piece in kit.unused}
    assert Role.BRACKET_FASTENER in {piece.role for piece in kit.missing}


HANDED = opening("3070", mount=Mount.REGULAR, finish="689", weight="100 lb", hand=Hand.RH)


def handed_lines(side: str) -> list[HandLine]:
    """A Granite kit with the handed body of one side."""
    kit = build_kit(replace(HANDED, series="granite"), shelf("tarrowby"), RULES)
    lines = [line for line in made(kit, "tarrowby") if Role.BODY not in role_of(line)]
    body = next(
        item.sku
        for item in sample("tarrowby").items
        if [supply.piece for supply in item.supplies] == [f"granite-16-handed-{side}"]
    )
    return [hand_line("tarrowby", body), *lines]


def test_a_body_of_the_wrong_hand_is_told_as_such_and_only_so():
    right = held(handed_lines("left"), HANDED)  # RH shows its hinges at the left
    wrong = held(handed_lines("right"), HANDED)
    assert "hand-wrong" not in codes(right)
    assert codes(wrong)["hand-wrong"] == "stop"
    assert not {"piece-missing", "piece-wrong", "piece-surplus"} & set(codes(wrong))


def test_where_the_hand_is_not_known_the_hand_brought_is_the_only_question():
    unknown = replace(HANDED, hand=None)
    kit = held(handed_lines("right"), unknown)
    stops = {finding.code for finding in kit.findings if finding.severity is Severity.STOP}
    assert stops == {"hand-unknown"}


def test_a_body_of_another_series_than_asked_is_wrong():
    asked = replace(PARALLEL, series="granite")
    assert codes(held(tarrowby_lines(), asked))["series-wrong"] == "stop"


def test_an_unlisted_closer_on_a_fire_door_is_a_stop():
    """Pebble is not listed for fire doors; the same kit without a label passes."""
    plain = replace(PARALLEL, fire_minutes=0)
    fire = replace(PARALLEL, fire_minutes=90)
    lines = tarrowby_lines(plain)
    assert "not-fire-listed" not in codes(held(lines, plain))
    assert codes(held(lines, fire))["not-fire-listed"] == "stop"


@pytest.mark.parametrize("mount", list(Mount))
@pytest.mark.parametrize("series", [None, "lodge"])
def test_an_unlisted_boxed_set_on_a_fire_door_is_one_fault_and_lacks_nothing_it_brings(
    mount, series
):
    """Lodge is not listed: body, arms and feet lie in the box, so nothing is to be bought."""
    asked = opening(
        "3070", mount=mount, finish="689", fire_minutes=90, head_face="4 in", reveal="2 in"
    )
    lines = [hand_line("quillmere", "QL-3-689")]
    kit = check_kit(replace(asked, series=series), lines, shelf("quillmere"), RULES)
    (finding,) = [each for each in kit.findings if each.code == "not-fire-listed"]
    assert finding.fields["skus"] == ("QL-3-689",)
    assert finding.fields["series"] == "lodge"
    assert finding.hint is not None
    assert finding.hint.code == ("exchange-listed" if series is None else "choose-series")
    assert not {"piece-missing", "bracket-missing", "fastener-missing"} & set(codes(kit))
    assert kit.missing
    assert {piece.because.code for piece in kit.missing} == {"piece-unlisted"}
    assert not {"piece-wrong", "piece-surplus"} & set(codes(kit))


def test_what_an_unlisted_set_does_not_bring_is_still_missing_on_a_fire_door():
    asked = replace(PARALLEL, fire_minutes=90)
    whole = tarrowby_lines(PARALLEL)
    short = [line for line in whole if Role.SOFFIT_BRACKET not in role_of(line)]
    assert "bracket-missing" not in codes(held(whole, asked))
    assert codes(held(short, asked))["bracket-missing"] == "stop"


PUSH = opening("3070", body_side=BodySide.PUSH, finish="689", weight="100 lb")


@pytest.mark.parametrize(
    ("role", "code"),
    [
        (Role.SOFFIT_BRACKET, "bracket-missing"),
        (Role.FOREARM, "piece-missing"),
        (Role.PINION_SCREW, "piece-missing"),
    ],
)
def test_a_parallel_kit_is_known_by_what_it_holds_though_no_mount_is_stated(role, code):
    """Pebble has no top jamb: read as one, such a kit would lack nothing at all."""
    whole = tarrowby_lines(PUSH)
    assert held(whole, PUSH).mount is Mount.PARALLEL
    kit = held([line for line in whole if role not in role_of(line)], PUSH)
    assert kit.mount is Mount.PARALLEL
    assert codes(kit)[code] == "stop"
    assert role in {piece.role for piece in kit.missing}


def test_a_top_jamb_kit_is_known_by_its_shoe_though_parallel_comes_first():
    jamb = opening("3070", mount=Mount.TOP_JAMB, finish="689", weight="100 lb")
    kit = held(tarrowby_lines(jamb), PUSH)
    assert (kit.mount, kit.complete) == (Mount.TOP_JAMB, True)
    assert "mount-in-doubt" not in codes(kit)


def test_a_top_jamb_kit_that_lacks_two_items_is_still_known_by_its_shoe():
    high = replace(PUSH, head_face=parse_length("5 in"))
    jamb = replace(high, mount=Mount.TOP_JAMB)
    gone = {Role.PINION_SCREW, Role.BODY_FASTENER}
    kit = held([line for line in tarrowby_lines(jamb) if not gone & role_of(line)], high)
    assert kit.mount is Mount.TOP_JAMB
    assert {piece.role for piece in kit.missing} == {*gone, Role.SHOE_FASTENER}


def boxed(asked: OpeningType, *skus: str) -> Kit:
    lines = [hand_line("quillmere", sku) for sku in skus]
    return check_kit(asked, lines, shelf("quillmere"), RULES)


def test_a_box_for_three_mounts_that_lacks_a_spacer_is_told_both_ways():
    """Under a blade stop a parallel arm takes a spacer; a top jamb does not ask for one."""
    reveal, head = parse_length("2 in"), parse_length("4 in")
    blade = replace(PUSH, stop=Stop.BLADE, reveal=reveal, head_face=head)
    assert boxed(blade, "QH-4-689", "Q-SPACER").complete
    kit = boxed(blade, "QH-4-689")
    (doubt,) = [finding for finding in kit.findings if finding.code == "mount-in-doubt"]
    assert kit.mount is Mount.PARALLEL
    assert [piece.role for piece in kit.missing] == [Role.SPACER]
    assert (doubt.fields["other"], doubt.fields["complete"]) == (Mount.TOP_JAMB, True)
    stated = boxed(replace(blade, mount=Mount.PARALLEL), "QH-4-689")
    assert [piece.role for piece in stated.missing] == [Role.SPACER]
    assert "mount-in-doubt" not in codes(stated)


def test_a_box_that_lacks_one_item_for_one_mount_and_two_for_another_is_for_the_first():
    """A hollow leaf takes bolts for what is on it: body and spacer there, or the shoe here."""
    reveal, head = parse_length("2 in"), parse_length("4 in")
    hollow = replace(PUSH, stop=Stop.BLADE, door_reinforced=False, reveal=reveal, head_face=head)
    kit = boxed(hollow, "QH-4-689")
    assert build_kit(hollow, shelf("quillmere"), RULES).mount is Mount.PARALLEL
    assert kit.mount is Mount.TOP_JAMB
    assert [piece.role for piece in kit.missing] == [Role.SHOE_FASTENER]


def test_a_body_that_has_no_place_in_the_mount_is_wrong_and_the_right_one_missing():
    kit = held(tarrowby_lines(), replace(PARALLEL, mount=Mount.TOP_JAMB))
    assert codes(kit)["piece-wrong"] == "stop"
    assert [piece.role for piece in kit.missing] == [Role.BODY]
    assert not kit.complete


def test_a_set_that_holds_screws_for_one_of_two_hosts_only_lacks_the_others():
    """Wood leaf in a steel frame: the set of machine screws serves the shoe, not the body."""
    wood = opening("3070", mount=Mount.REGULAR, finish="689", door=Door.WOOD, weight="100 lb")
    lines = [
        line
        for line in tarrowby_lines(wood)
        if "wood-screw"
        not in {sample("tarrowby").pieces[supply.piece].kind for supply in line.item.supplies}
    ]
    kit = held(lines, wood)
    assert codes(kit)["fastener-missing"] == "stop"
    assert codes(kit)["fastener-wrong-host"] == "warn"


def in_finish(lines: list[HandLine], finish: str) -> list[HandLine]:
    """The same pieces in another finish, whatever has one."""
    items = sample("tarrowby").items
    return [
        replace(
            line,
            item=next(
                item
                for item in items
                if item.supplies == line.item.supplies and item.finish == finish
            ),
        )
        if line.item.finish
        else line
        for line in lines
    ]


def test_any_one_finish_is_right_where_the_opening_asks_for_none():
    unasked = replace(PARALLEL, finish=None)
    lines = tarrowby_lines(unasked)
    other = in_finish(lines, "690")
    assert {line.item.finish for line in other} >= {"690"}
    kit = held(other, unasked)
    assert not {"finish-wrong", "finish-mixed", "finish-unavailable"} & set(codes(kit))
    assert kit.finish == "690"


def test_mixed_finishes_where_none_is_asked_name_none_as_asked():
    unasked = replace(PARALLEL, finish=None)
    lines = tarrowby_lines(unasked)
    mixed = [*in_finish(lines[:1], "690"), *lines[1:]]
    (finding,) = [each for each in held(mixed, unasked).findings if each.code == "finish-mixed"]
    assert finding.hint is not None
    assert not finding.hint.fields


def test_a_finish_other_than_asked_is_wrong():
    assert codes(held(in_finish(tarrowby_lines(), "690")))["finish-wrong"] == "stop"


def test_a_feature_asked_for_that_the_body_lacks_is_missing():
    asked = replace(PARALLEL, delayed_action=True)
    kit = held(tarrowby_lines(), asked)
    assert codes(kit)["feature-missing"] == "stop"
    with_it = tarrowby_lines(asked)
    assert not {"feature-missing", "feature-unavailable"} & set(codes(held(with_it, asked)))


def test_two_bodies_are_one_too_many():
    body = next(line for line in tarrowby_lines() if Role.BODY in role_of(line))
    kit = held([*tarrowby_lines(), replace(body, quantity=1)])
    assert kit.complete
    assert codes(kit)["piece-surplus"] == "warn"


def test_a_pair_with_one_body_lacks_the_other():
    pair = replace(PARALLEL, leaves=2)
    lines = [
        replace(line, quantity=1) if Role.BODY in role_of(line) else line
        for line in tarrowby_lines(pair)
    ]
    kit = held(lines, pair)
    assert [(piece.role, piece.quantity) for piece in kit.missing] == [(Role.BODY, 1)]


def test_a_body_whose_series_claims_no_en_standard_is_wrong_in_an_en_place():
    american = replace(PARALLEL, jurisdiction="us")
    lines = tarrowby_lines(american)
    assert "standard-not-claimed" not in codes(held(lines, american))
    assert (
        codes(held(lines, replace(PARALLEL, jurisdiction="en")))["standard-not-claimed"] == "stop"
    )


@pytest.mark.parametrize("series", ["granite", "slate"])
def test_a_kit_without_its_body_is_held_against_the_family_the_rest_goes_with(series):
    """The shelf itself would take Pebble, which is cheaper and has no cap and no cover."""
    lines = tarrowby_lines(replace(PARALLEL, series=series))
    kit = held([line for line in lines if Role.BODY not in role_of(line)])
    assert [(piece.role, piece.quantity) for piece in kit.missing] == [(Role.BODY, 1)]
    assert "piece-surplus" not in codes(kit)


def test_a_plate_left_out_is_missing_though_a_wider_template_would_take_none():
    """The least template that reaches the angle holds: a wider one takes closing power."""
    catalog = sample("quillmere")
    roomy = replace(
        catalog,
        series=tuple(
            replace(
                series,
                templates=tuple(
                    replace(each, rail_needed=None) if each.greatest_angle > 100 else each
                    for each in series.templates
                ),
            )
            for series in catalog.series
        ),
    )
    asked = opening("3070", door=Door.HOLLOW_METAL, top_rail="2-1/4 in", mount=Mount.REGULAR)
    on = Shelf([roomy])
    kit = build_kit(asked, on, RULES)
    lines = [HandLine(line.item, roomy, line.quantity) for line in kit.lines]
    boxes = [
        line
        for line in lines
        if Role.BODY in {roomy.pieces[supply.piece].role for supply in line.item.supplies}
    ]
    short = check_kit(asked, boxes, on, RULES)
    assert {piece.role for piece in short.missing} == {Role.PLATE, Role.PLATE_FASTENER}
    assert short.template == kit.template


def test_screws_that_fit_no_joint_of_the_right_kind_are_too_many_not_wrong_pieces():
    """The right kind but too short a bolt: the screws are missing, and these are not needed."""
    thick = replace(
        PARALLEL, door=Door.WOOD, door_reinforced=False, thickness=parse_length("2-1/4 in")
    )
    lines = [line for line in tarrowby_lines(thick) if Role.BODY_FASTENER not in role_of(line)]
    kit = held([*lines, hand_line("tarrowby", "T-TB-N1-B")], thick)
    assert codes(kit)["fastener-missing"] == "stop"
    assert codes(kit)["piece-surplus"] == "warn"
    assert "piece-wrong" not in codes(kit)


def test_of_two_kinds_of_body_the_one_of_which_more_is_brought_is_the_kits():
    pair = replace(PARALLEL, leaves=2)
    lines = tarrowby_lines(pair)
    stray = hand_line("tarrowby", "TG-B4")  # a Granite body, which stands first on the shelf
    kit = held([stray, *lines], pair)
    assert kit.complete
    assert [
        finding.fields["sku"] for finding in kit.findings if finding.code == "piece-surplus"
    ] == ["TG-B4"]


def test_a_default_that_only_the_check_needs_is_told_as_assumed():
    unknown = replace(PARALLEL, weight=None)
    kit = build_kit(unknown, shelf("tarrowby"), RULES)
    checked = held(tarrowby_lines(unknown), unknown)
    assert [assumption.field for assumption in checked.assumed] == [
        assumption.field for assumption in kit.assumed
    ]


def test_a_fixed_body_that_is_too_small_is_shown_in_its_own_size():
    small = [
        hand_line("tarrowby", "TP-B2.689"),
        *(line for line in tarrowby_lines() if Role.BODY not in role_of(line)),
    ]
    kit = held(small)
    assert (kit.spring_size, kit.size_required) == (2, 4)


def test_an_adjustable_body_that_is_too_small_is_set_as_far_as_it_goes():
    lines = [hand_line("averlund", "AVV-13")]
    kit = check_kit(replace(PARALLEL, width=Length.inches(42)), lines, shelf("averlund"), RULES)
    assert codes(kit)["size-too-small"] == "stop"
    assert kit.spring_size == 3


def test_a_spare_item_of_a_line_that_is_used_is_too_many_though_its_role_is_lacking_elsewhere():
    pair = opening("3070", mount=Mount.REGULAR, finish="689", weight="100 lb", leaves=2)
    lines = [
        line for line in tarrowby_lines(pair) if not {Role.PINION_SCREW, Role.SHOE} & role_of(line)
    ]
    kit = held([*lines, hand_line("tarrowby", "T-PS", 1)], pair)
    assert (Role.PINION_SCREW, 1) in {(piece.role, piece.quantity) for piece in kit.missing}
    assert "piece-wrong" not in codes(kit)


def test_where_the_finish_asked_is_not_made_another_than_the_nearest_is_wrong():
    primed = replace(PARALLEL, finish="600")
    nearest = tarrowby_lines(primed)
    (shown,) = {line.item.finish for line in nearest if line.item.finish}
    assert codes(held(nearest, primed)).keys() >= {"finish-unavailable"}
    (other,) = {"689", "690"} - {shown}
    assert codes(held(in_finish(nearest, other), primed))["finish-wrong"] == "stop"


def test_a_pair_that_lacks_one_of_its_handed_bodies_lacks_it_and_is_not_of_the_wrong_hand():
    pair = replace(HANDED, leaves=2)
    rest = [
        replace(line, quantity=2) for line in handed_lines("left") if Role.BODY not in role_of(line)
    ]
    kit = held([hand_line("tarrowby", "TG-BHL"), *rest], pair)
    assert "hand-wrong" not in codes(kit)
    assert [(piece.role, piece.quantity) for piece in kit.missing] == [(Role.BODY, 1)]


def test_a_box_that_holds_screws_for_every_host_says_nothing_of_hosts():
    hollow = replace(PARALLEL, door_reinforced=False)
    kit = boxed(hollow, "QH-4-689")
    assert codes(kit)["fastener-missing"] == "stop"
    assert "fastener-wrong-host" not in codes(kit)


def test_screws_for_a_bracket_alone_speak_for_a_parallel_arm():
    """Without its arms and bracket it is one item short of a top jamb, but who buys such screws?"""
    asked = replace(PUSH, head_face=parse_length("4 in"), reveal=parse_length("2 in"))
    gone = {Role.FOREARM, Role.SOFFIT_BRACKET}
    catalog = sample("averlund")
    whole = made(build_kit(asked, shelf("averlund"), RULES), "averlund")
    left = [
        line
        for line in whole
        if not gone & {catalog.pieces[supply.piece].role for supply in line.item.supplies}
    ]
    kit = check_kit(asked, left, shelf("averlund"), RULES)
    assert kit.mount is Mount.PARALLEL
    assert {piece.role for piece in kit.missing} >= gone


def test_a_second_set_of_the_wrong_arms_is_too_many():
    """The first gives its main arm; its forearm does not go with a parallel arm."""
    lines = [line for line in tarrowby_lines() if Role.FOREARM not in role_of(line)]
    kit = held([*lines, hand_line("tarrowby", "TP-AR.689", 2)])
    assert Role.FOREARM in {piece.role for piece in kit.missing}
    surplus = [finding for finding in kit.findings if finding.code == "piece-surplus"]
    assert [finding.fields["quantity"] for finding in surplus] == [1]
    assert "piece-wrong" not in codes(kit)
