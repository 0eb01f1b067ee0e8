"""Ways out of what stops an opening: each one, once taken, leads out, and none brings a stop."""

import pytest
from tests.support.accounts import proven
from tests.support.fake_store import FakeStore
from tests.support.jobs import furnished

from wholekit.domain.errors import ConflictError
from wholekit.domain.quotes import Override, OverrideKind
from wholekit.domain.quotes.remedies import WayOut, open_findings
from wholekit.intake.openings import read_openings
from wholekit.services import job_openings, jobs
from wholekit.services.remedies import opening_ways, take_remedy
from wholekit.web.rooms.opening import stating

# What is scheduled, the finding it brings, and what is proposed first.
HM = "3070 hollow-metal/steel interior in"
STOPPED = [
    (f"101 {HM} fire B", "answer-needed", "answer:fire_minutes:60"),
    ("101 4070 hollow-metal/steel interior in spring_size=1", "size-too-small",
     "state:spring_size:4"),
    (f"101 {HM} finish=605", "finish-unavailable", "state:finish:696"),
    (f"101 {HM} fire 90 hold_open=arm", "hold-open-on-fire-door", "state:hold_open:"),
    (f"101 {HM} hand=LHR", "hand-conflict", "state:hand:LH"),
    (f"101 {HM} series=nothing", "series-unknown", "state:series:"),
    (f"101 {HM} reveal=12in mount=top-jamb", "reveal-too-deep", "state:mount:parallel"),
    (f"101 {HM} opening_degrees=180", "angle-not-reached", "state:opening_degrees:140"),
    (f'101 {HM} note="90 min"', "note-says-more", "state:fire_minutes:90"),
    ("101 6070 pair hollow-metal/steel interior in", "size-out-of-range",
     "state:width:36 in"),
    (f"105-108 {HM}", "mark-several", "state:quantity:4"),
]  # fmt: skip


@pytest.fixture(scope="module")
def desk():
    return furnished(FakeStore())


def entered(desk, line):
    """A job with one opening; its number and the opening's mark."""
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    (entry,) = job_openings.add_openings(
        desk, proven(), job.label, read_openings(None, [line], desk.rules)
    )
    return job.label, entry.mark


def take(desk, job, mark, name):
    take_remedy(ways_of(desk, job, mark), name, desk, proven(), stating(desk.rules))


def ways_of(desk, job, mark):
    return opening_ways(desk, proven(), job, mark, stating(desk.rules))


@pytest.mark.parametrize(("line", "code", "first"), STOPPED, ids=[each[1] for each in STOPPED])
def test_every_way_out_that_is_told_leads_out(desk, line, code, first):
    job, mark = entered(desk, line)
    ways = ways_of(desk, job, mark)
    assert code in [finding.code for finding in open_findings(ways.opening)]
    assert ways.remedies[0].name == first
    for remedy in ways.remedies:
        fresh, its_mark = entered(desk, line)
        take(desk, fresh, its_mark, remedy.name)
        after = ways_of(desk, fresh, its_mark).opening
        left = [finding.code for finding in open_findings(after)]
        assert not {finding.code for finding in remedy.settles} & set(left)
        assert len(after.open_stops()) == remedy.left
        assert after.price - ways.opening.price == remedy.difference


def test_what_a_hand_has_set_is_taken_back_and_what_is_whole_has_no_way_out(desk):
    job, mark = entered(desk, f"101 {HM}")
    assert ways_of(desk, job, mark).remedies == ()
    kit = ways_of(desk, job, mark).opening.kit
    screw = next(line.item.sku for line in kit.lines if "screw" in line.item.description.lower())
    without = Override(OverrideKind.ITEM, "none left", "odo", proven().at, sku=screw)
    job_openings.override_opening(desk, proven("odo"), job, mark, without)
    ways = ways_of(desk, job, mark)
    assert ways.opening.open_stops()
    back = next(each for each in ways.remedies if each.way is WayOut.TAKE_BACK)
    take(desk, job, mark, back.name)
    assert ways_of(desk, job, mark).opening.open_stops() == ()


def test_a_way_out_that_is_none_any_more_is_refused(desk):
    job, mark = entered(desk, f"101 {HM} finish=605")
    name = ways_of(desk, job, mark).remedies[0].name
    take(desk, job, mark, name)
    with pytest.raises(ConflictError, match="remedy-gone"):
        take(desk, job, mark, name)
