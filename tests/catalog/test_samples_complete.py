"""Each sample supplier alone can complete a kit for every kind of host, site and mount."""

from itertools import product

import pytest

from wholekit.domain.kits import Shelf
from wholekit.domain.kits.build import build_kit
from wholekit.domain.openings.opening import OpeningType
from wholekit.domain.openings.words import Door, Frame, Hand, HoldOpen, Location, Mount, Stop, Swing
from wholekit.domain.quantities import Length
from wholekit.intake.catalog_folder import load_catalog
from wholekit.intake.rulebook import load_rulebook
from wholekit.settings import bundled

SITES: list[dict[str, object]] = [
    {},
    {"fire_minutes": 60},
    {"thickness": Length.inches(1, 3, 8)},
    {"thickness": Length.inches(2, 1, 4)},
    {"top_rail": Length.inches(2)},
    {"head_face": Length.inches(1, 1, 2)},
    {"reveal": Length.inches(3)},
    {"reveal": Length.inches(8)},
    {"stop": Stop.BLADE},
    {"hold_open": HoldOpen.ARM},
    {"delayed_action": True},
    {"finish": "690"},
    {"accessible": True},
    {"location": Location.EXTERIOR},
    {"opening_degrees": 120.0},
]


@pytest.mark.parametrize("supplier", ["quillmere", "tarrowby", "averlund"])
@pytest.mark.parametrize("mount", list(Mount))
def test_every_kind_of_opening_can_be_completed(supplier, mount):
    rules = load_rulebook()
    shelf = Shelf([load_catalog(bundled("catalog_samples") / supplier)])
    pull = mount is Mount.REGULAR
    known: dict[str, object] = {
        "mount": mount,
        "swing": Swing.IN if pull else Swing.OUT,
        "hand": Hand.LH if pull else Hand.LHR,
    }
    hosts = product(Door, (True, False), Frame, (True, False))
    for (door, door_holds, frame, frame_holds), site in product(hosts, SITES):
        about: dict[str, object] = {
            "door": door,
            "door_reinforced": door_holds,
            "frame": frame,
            "frame_reinforced": frame_holds,
        }
        opening = OpeningType(Length.inches(36), Length.inches(84), **known, **about, **site)  # type: ignore[arg-type]  # fields of many kinds
        kit = build_kit(opening, shelf, rules)
        assert kit.missing == (), (about, site)
