"""The sample job: its openings come out complete, but for a handful that honestly cannot."""

from collections import Counter

import pytest
from tests.support.offers import DAY

from wholekit.bootstrap import open_house
from wholekit.cli.check_kit import hand_lines
from wholekit.domain.findings import Severity
from wholekit.intake.openings import read_openings
from wholekit.services.schedules import check_schedule, work_up_schedule
from wholekit.settings import bundled

SAMPLES = bundled("catalog_samples")
JOB = SAMPLES / "jobs" / "ostrell-bay-school.csv"
KIT = SAMPLES / "jobs" / "ostrell-bay-school-kit.csv"


@pytest.fixture(scope="module")
def place():
    return open_house([SAMPLES / name for name in ("quillmere", "tarrowby", "averlund")])


@pytest.fixture(scope="module")
def openings(place):
    return read_openings(str(JOB), [], place.rules)


@pytest.fixture(scope="module")
def job(place, openings):
    return work_up_schedule(openings, place.shelf, place.rules, DAY).job


def stops(one) -> set[str]:
    return {found.code for found in one.kit.findings if found.severity is Severity.STOP}


def test_nearly_every_opening_of_the_sample_job_comes_out_complete(job):
    whole = sum(opening.kit.complete and not opening.kit.stopped for opening in job.openings)
    assert len(job.openings) >= 60
    assert whole >= 0.85 * len(job.openings)


def test_the_sample_job_shows_what_stops_an_opening(job):
    found = {opening.entry.mark: stops(opening) for opening in job.openings if opening.kit.stopped}
    assert "hold-open-on-fire-door" in found["122"]
    assert "finish-unavailable" in found["136"]
    assert "mount-conflict" in found["203"]
    assert "size-out-of-range" in found["205"]
    assert "reveal-too-deep" in found["207"]


def test_the_sample_job_uses_all_three_mounts_and_suppliers(job):
    mounts = Counter(opening.kit.mount for opening in job.openings)
    assert len(mounts) == 3
    assert min(mounts.values()) >= 4
    suppliers = {line.item.supplier for opening in job.openings for line in opening.kit.lines}
    assert len(suppliers) == 3


def test_the_kit_made_by_hand_has_each_usual_mistake(place, openings):
    lines = hand_lines(KIT, openings, place)
    checked = check_schedule(openings, lines, place.shelf, place.rules, DAY).job
    found = {
        opening.entry.mark: {finding.code for finding in opening.kit.findings}
        for opening in checked.openings
        if opening.entry.mark in lines
    }
    assert "bracket-missing" in found["E1"]
    assert "fastener-wrong-host" in found["106"]
    assert "size-too-small" in found["119"]
    assert "piece-surplus" in found["126"]
    assert "finish-mixed" in found["132"]
    assert not found["117"] & {
        "bracket-missing", "fastener-missing", "fastener-wrong-host", "piece-missing",
        "piece-surplus", "piece-wrong", "size-too-small", "finish-mixed",
    }  # fmt: skip
