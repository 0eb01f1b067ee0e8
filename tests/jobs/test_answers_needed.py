"""A job with a fire label that could mean two things: held until somebody answers."""

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, furnished, plain

from wholekit.domain.errors import CallError
from wholekit.domain.openings import ANSWER_NEEDED, Opening, Unclear
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services.approvals import review_job
from wholekit.services.job_openings import (
    add_openings,
    copy_opening,
    edit_opening,
    release_stop,
)
from wholekit.services.quote_drafts import draft_quote
from wholekit.services.quotes import issue_quote

B = Unclear("fire_minutes", "B", ("60", "90"))


@pytest.fixture
def desk():
    return furnished(FakeStore())


@pytest.fixture
def job(desk):
    made = a_job(desk)
    clear = plain("101", fire_minutes=90)
    add_openings(desk, by(), made.label, [plain("102", fire_minutes=90, unclear=(B,)), clear])
    return made


def test_the_stop_cannot_be_released_by_anybody(desk, job):
    with pytest.raises(CallError) as refused:
        release_stop(desk, by("odo"), job.label, "102", ANSWER_NEEDED, "the customer meant 60")
    assert refused.value.code == "stop-needs-answer"


def test_nothing_is_issued_before_the_answer_and_all_is_after_it(desk, job):
    draft_quote(desk, by(), job.label)
    stops = review_job(desk, by(), job.label).stops
    assert [(stop.mark, stop.finding.code) for stop in stops] == [("102", ANSWER_NEEDED)]
    assert issue_quote(desk, by(), job.label).revision is None

    def answered(door: Opening) -> Opening:
        changes = read_opening_changes(["fire_minutes=60"], desk.rules)
        return changed(door, changes)

    assert edit_opening(desk, by(), job.label, "102", answered).opening.type.unclear == ()
    assert review_job(desk, by(), job.label).stops == ()


def test_a_copy_is_as_unclear_as_what_it_was_copied_from(desk, job):
    copies = copy_opening(desk, by(), job.label, "102", ["103"])
    assert [copy.opening.type.unclear for copy in copies] == [(B,)]
