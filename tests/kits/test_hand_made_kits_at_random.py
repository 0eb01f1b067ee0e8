"""Random openings: a kit of the program's own passes its check; one piece less, and just it lacks.

What must be missing is worked out from the kit alone: what its lines were used for, less what the
other lines still hold of the same piece. Suites of other seeds: HYPOTHESIS_PROFILE=search.
"""

import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import RULES, SAMPLES, opening, sample, shelf
from tests.support.openings import random_opening

from wholekit.domain.catalog import Role
from wholekit.domain.findings import Severity
from wholekit.domain.kits import Kit, Shelf, build_kit
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.kits.mounts import SIDE_OF_MOUNT
from wholekit.domain.openings import (
    BodySide,
    Door,
    Frame,
    Location,
    Mount,
    OpeningType,
    Swing,
)

SHELVES = {"every sample": shelf(), **{name: shelf(name) for name in SAMPLES}}
CODES = {
    Role.SOFFIT_BRACKET: "bracket-missing",
    Role.COVER: "cover-missing",
    **{role: "fastener-missing" for role in Role if role.value.endswith("-fastener")},
}
LACKING = {"piece-missing", *CODES.values()}


def typed(kit: Kit) -> list[HandLine]:
    """A kit of the program's own as if typed by hand."""
    catalogs = {sample(name).supplier: sample(name) for name in SAMPLES}
    return [HandLine(line.item, catalogs[line.item.supplier], line.quantity) for line in kit.lines]


def less_one(lines: Sequence[HandLine]) -> Iterator[list[HandLine]]:
    """A kit without one of each of its items in turn."""
    for position, taken in enumerate(lines):
        fewer = [replace(taken, quantity=taken.quantity - 1)] if taken.quantity > 1 else []
        yield [*lines[:position], *fewer, *lines[position + 1 :]]


def lacking(kit: Kit, left: Sequence[HandLine]) -> Counter[tuple[Role, object]]:
    """What a complete kit lacks of what it used, by role and kind [count], if only this is left."""
    held = Counter[str]()
    for hand_line in left:
        for supply in hand_line.item.supplies:
            held[supply.piece] += supply.quantity * hand_line.quantity
    used = Counter[tuple[Role, object, str]]()
    for line in kit.lines:
        for use in line.uses:
            used[use.role, use.kind, use.piece] += use.quantity
    found = Counter[tuple[Role, object]]()
    for (role, kind, piece), count in used.items():
        found[role, kind] += max(0, count - held[piece])
    return +found


def stops(kit: Kit) -> set[str]:
    return {finding.code for finding in kit.findings if finding.severity is Severity.STOP}


def draw(seed: int, name: str, **stated: object) -> OpeningType:
    """An opening by its seed, so that a red case can be had again."""
    drawn = random_opening(random.Random(seed), sorted(SHELVES[name].series.values()))
    return replace(drawn, **stated)  # type: ignore[arg-type]  # fields of many kinds


SEEDS = st.integers(0, 2**32)


@given(seed=SEEDS, name=st.sampled_from(list(SHELVES)))
def test_a_kit_the_program_made_is_told_what_it_was_told_when_made(seed, name):
    asked = draw(seed, name)
    kit = build_kit(asked, SHELVES[name], RULES)
    if not kit.lines:
        return
    held = check_kit(asked, typed(kit), SHELVES[name], RULES)
    for field in (
        "mount", "body_side", "template", "body", "size_required", "spring_size", "finish",
        "weight", "list_price", "cost",
    ):  # fmt: skip
        assert getattr(held, field) == getattr(kit, field), field
    assert [reason.code for reason in held.why] == [reason.code for reason in kit.why]
    assert [reason.rules for reason in held.why] == [reason.rules for reason in kit.why]
    assert stops(held) == stops(kit)
    # A hand-made kit's finish is what it shows, so nothing of it is assumed.
    assumed = [assumption for assumption in kit.assumed if assumption.field != "finish"]
    assert [assumption for assumption in held.assumed if assumption.field != "finish"] == assumed
    # What may differ: that the same lines might be meant for another mount, and what is assumed.
    apart = {("mount-in-doubt", Severity.NOTE), ("assumed", Severity.NOTE)}
    told = {(finding.code, finding.severity) for finding in held.findings}
    assert told - apart == {(finding.code, finding.severity) for finding in kit.findings} - apart
    missing = [(piece.role, piece.quantity, piece.kinds) for piece in kit.missing]
    assert sorted(missing) == sorted(
        (piece.role, piece.quantity, piece.kinds) for piece in held.missing
    )


def lacks_just(kit: Kit, left: list[HandLine], on: Shelf) -> Kit:
    """The kit with a piece less, asserted to lack just that."""
    held = check_kit(kit.type, left, on, RULES)
    expected = lacking(kit, left)
    of_roles = Counter[Role]()
    for (role, _), count in expected.items():
        of_roles[role] += count
    told = Counter[Role]()
    for missing in held.missing:
        told[missing.role] += missing.quantity
        kinds = {kind for role, kind in expected if role is missing.role and kind is not None}
        assert kinds <= set(missing.kinds)
    assert held.mount is kit.mount
    assert told == of_roles
    assert {
        (finding.code, finding.fields["role"], finding.fields["quantity"])
        for finding in held.findings
        if finding.code in LACKING
    } == {
        (CODES.get(role, "piece-missing"), piece.role, piece.quantity)
        for piece in held.missing
        for role in [piece.role]
    }
    assert stops(held) - LACKING <= stops(kit)
    assert not {"piece-surplus", "piece-wrong"} & {finding.code for finding in held.findings}
    if held.body is not None:
        for field in ("template", "size_required", "spring_size"):
            assert getattr(held, field) == getattr(kit, field), field
    return held


def _goes_bare(held: Kit, kit: Kit) -> bool:
    """Whether the kit lost a plate that the maker's template does without: it is warned of its
    holes instead."""
    for_edge = any(
        because.code == "need-plate-for-edge" for line in kit.lines for because in line.because
    )
    return for_edge and any(finding.code == "holes-near-edge" for finding in held.findings)


@pytest.mark.parametrize("side", [None, BodySide.PUSH])
@given(seed=SEEDS, name=st.sampled_from(list(SHELVES)))
def test_each_item_taken_away_is_just_what_is_missing(seed, name, side):
    """Where more than one mount is open to the opening as well: on the push side."""
    asked = draw(seed, name)
    if side is not None:
        asked = replace(asked, body_side=side, mount=None)
    kit = build_kit(asked, SHELVES[name], RULES)
    if not kit.complete:
        return
    for left in less_one(typed(kit)):
        if _goes_bare(check_kit(kit.type, left, SHELVES[name], RULES), kit):
            continue
        held = lacks_just(kit, left, SHELVES[name])
        told = {
            finding.fields["other"] for finding in held.findings if finding.code == "mount-in-doubt"
        }
        assert told >= {other for other in others_of(held) if complete_in(other, held, left, name)}


PLATED: dict[str, list[object]] = {
    "door": [Door.WOOD, Door.HOLLOW_METAL],
    "frame": [Frame.WOOD, Frame.STEEL],
    "top_rail": ["2 in", "2-1/4 in", None],
    "head_face": ["1 in", "1-1/2 in", None],
    "mount": [*Mount, None],
}


@given(
    name=st.sampled_from(list(SHELVES)),
    stated=st.fixed_dictionaries({field: st.sampled_from(of) for field, of in PLATED.items()}),
)
def test_a_kit_on_plates_that_lacks_an_item_lacks_just_that(name, stated):
    """A plate brings the screws of what stands on it; those beside them are right."""
    asked = opening("3070", finish="689", weight="100 lb", **stated)
    kit = build_kit(asked, SHELVES[name], RULES)
    if not kit.complete or not any(
        use.role is Role.PLATE for line in kit.lines for use in line.uses
    ):
        return
    for left in less_one(typed(kit)):
        held = lacks_just(kit, left, SHELVES[name])
        assert {each.code for each in held.findings} - {each.code for each in kit.findings} <= {
            *LACKING, "mount-in-doubt", "egress-force-limit", "egress-may-not-latch",
        }  # fmt: skip


def others_of(kit: Kit) -> list[Mount]:
    """The other mounts an opening may have, where it states none."""
    if kit.type.mount is not None:
        return []
    return [
        mount
        for mount, side in SIDE_OF_MOUNT.items()
        if side is kit.body_side and mount is not kit.mount
    ]


def complete_in(mount: Mount, kit: Kit, left: list[HandLine], name: str) -> bool:
    """Whether what is left is whole in another mount."""
    other = check_kit(replace(kit.type, mount=mount), left, SHELVES[name], RULES)
    return other.body is not None and other.complete


@pytest.mark.parametrize("name", SHELVES)
def test_each_item_of_the_first_row_anybody_reads_is_missed(name):
    """A plain steel door to the outside, as the README has it: push side, mount not stated."""
    asked = opening(
        "3070", door=Door.HOLLOW_METAL, frame=Frame.STEEL, location=Location.EXTERIOR,
        swing=Swing.OUT, finish="689",
    )  # fmt: skip
    kit = build_kit(asked, SHELVES[name], RULES)
    assert (kit.mount, kit.complete) == (Mount.PARALLEL, True)
    for left in less_one(typed(kit)):
        assert lacks_just(kit, left, SHELVES[name]).missing
