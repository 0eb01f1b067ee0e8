"""A catalogue with a plate offers both of its sets of screws, or is told of the one it lacks."""

from dataclasses import replace

import pytest
from tests.support.house import SAMPLES, sample

from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.catalog.check_plates import check_plates
from wholekit.domain.openings import Mount


def without(catalog, gone):
    """The catalogue without the pieces of which `gone` is true."""
    return replace(
        catalog,
        series=tuple(
            replace(each, pieces=tuple(piece for piece in each.pieces if not gone(piece)))
            for each in catalog.series
        ),
    )


def plates_of(catalog):
    return {piece.id: piece for piece in catalog.pieces.values() if piece.role is Role.PLATE}


@pytest.mark.parametrize("name", SAMPLES)
def test_every_sample_plate_has_both_sets(name):
    assert plates_of(sample(name))
    assert check_plates(sample(name)) == []


@pytest.mark.parametrize("name", SAMPLES)
def test_without_screws_of_its_own_every_plate_is_told(name):
    catalog = without(sample(name), lambda piece: piece.role is Role.PLATE_FASTENER)
    told = {plate.fields["id"]: plate.code for plate in check_plates(catalog)}
    assert told == dict.fromkeys(plates_of(catalog), "plate-never-fixed")


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.parametrize("role", [Role.BODY_FASTENER, Role.SHOE_FASTENER])
def test_without_machine_screws_of_what_it_carries_a_plate_is_told(name, role):
    """Plates of the samples take machine screws; those under a shoe take the shoe's."""
    catalog = without(
        sample(name),
        lambda piece: piece.role is role and piece.kind is FastenerKind.MACHINE_SCREW,
    )
    told = {
        (plate.fields["id"], plate.code, plate.fields["role"]) for plate in check_plates(catalog)
    }
    under = {
        plate.id: Role.SHOE_FASTENER
        if plate.relieves == "head" and Mount.TOP_JAMB not in plate.mounts
        else Role.BODY_FASTENER
        for plate in plates_of(catalog).values()
    }
    assert told == {
        (plate, "plate-carries-nothing", role) for plate, its in under.items() if its is role
    }
