"""A kit made by hand held against its opening: missing, wrong, surplus."""

from dataclasses import replace

import pytest
from tests.support.house import RULES, SAMPLES, codes, opening, sample, shelf

from wholekit.domain.catalog import Role
from wholekit.domain.findings import Severity
from wholekit.domain.kits import Kit, build_kit
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.openings import Door, Hand, Mount, OpeningType


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
        if not any(pieces[one.piece].role is Role.BODY for one in item.supplies)
        and any(
            (pieces[one.piece].role, pieces[one.piece].kind) == (role, kind)
            for one in item.supplies
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
    stops = {one.code for one in held.findings if one.severity is Severity.STOP}
    assert stops == {one.code for one in kit.findings if one.severity is Severity.STOP}
    assert "piece-surplus" not in codes(held)


PARALLEL = opening("3070", mount=Mount.PARALLEL, finish="689", weight="100 lb")


def tarrowby_lines(asked: OpeningType = PARALLEL) -> list[HandLine]:
    return made(build_kit(asked, shelf("tarrowby"), RULES), "tarrowby")


def held(lines: list[HandLine], asked: OpeningType = PARALLEL) -> Kit:
    return check_kit(asked, lines, shelf("tarrowby"), RULES)


def role_of(line: HandLine) -> set[Role]:
    return {sample("tarrowby").pieces[one.piece].role for one in line.item.supplies}


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
    assert role in {one.role for one in kit.missing}


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
            if [one.piece for one in item.supplies] == ["slate-2"] and item.finish == "689"
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
    surplus = [one for one in kit.findings if one.code == "piece-surplus"]
    assert [one.fields["quantity"] for one in surplus] == [2]


def test_an_empty_kit_lacks_everything():
    kit = held([])
    assert Role.BODY in {one.role for one in kit.missing}
    assert Role.SOFFIT_BRACKET in {one.role for one in kit.missing}
    assert kit.list_price.minor == 0


def test_a_regular_arm_kit_on_a_parallel_opening_lacks_its_bracket():
    regular = opening("3070", mount=Mount.REGULAR, finish="689", weight="100 lb")
    kit = held(tarrowby_lines(regular))
    assert codes(kit)["bracket-missing"] == "stop"
    assert Role.SHOE in {one.role for one in kit.unused}
    assert Role.BRACKET_FASTENER in {one.role for one in kit.missing}


HANDED = opening("3070", mount=Mount.REGULAR, finish="689", weight="100 lb", hand=Hand.RH)


def handed_lines(side: str) -> list[HandLine]:
    """A Granite kit with the handed body of one side."""
    kit = build_kit(replace(HANDED, series="granite"), shelf("tarrowby"), RULES)
    lines = [line for line in made(kit, "tarrowby") if Role.BODY not in role_of(line)]
    body = next(
        item.sku
        for item in sample("tarrowby").items
        if [one.piece for one in item.supplies] == [f"granite-16-handed-{side}"]
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
    stops = {one.code for one in kit.findings if one.severity is Severity.STOP}
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
