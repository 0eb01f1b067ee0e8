"""Many at once in the pick room, and killed in the middle: sums hold, nothing is promised twice."""

import random

from tests.support.deeds import address_of, desk_on, run_together
from tests.support.jobs import by, furnished
from tests.support.pick_room import accepted_quote, require_sound, work_at_random

from wholekit.services.orders import ToldRelease, release_order
from wholekit.store.check import check_store


def test_many_processes_release_pick_lose_receive_and_ship_at_random(store):
    furnished(store)
    desk = desk_on(store)
    labels = [accepted_quote(desk, [f"{job}{n}" for n in range(4)], f"Job {job}") for job in "AB"]
    for label in labels:
        release_order(desk, by(), label, ToldRelease())
    at = address_of(store.place)
    seeds = random.Random(12)
    run_together([(work_at_random, (at, labels, seeds.random(), 8)) for _ in range(5)])
    found = require_sound(store)
    assert sum(found.values()) >= 8
    assert check_store(store.place).faults == ()
