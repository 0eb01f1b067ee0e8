"""A price that waits for an owner's word: asked, seen, approved or refused; on every store."""

from fractions import Fraction

import pytest
from tests.support.jobs import a_job, by

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Request, State
from wholekit.services.approvals import approve_draft, refuse_request, review_job, waiting_requests
from wholekit.services.jobs import set_discount
from wholekit.services.quote_drafts import draft_quote, edit_draft
from wholekit.services.quote_reading import quote_revisions
from wholekit.services.quotes import issue_quote


@pytest.fixture
def job(desk):
    """A job that ines may not issue alone, asked for once."""
    made = a_job(desk, "101")
    set_discount(desk, by(), made.label, Fraction(20, 100), "large job")
    assert issue_quote(desk, by(), made.label).revision is None
    return made


def waiting(desk):
    return [(each.job.label, each.request.by) for each in waiting_requests(desk, by("odo"))]


def actions(desk, job):
    with desk.store.reading() as uow:
        return [one.action for one in uow.audit.of_job(job.id) if one.subject == "revision"]


def test_a_refused_issue_leaves_a_request_that_the_owner_sees(desk, job):
    (each,) = waiting_requests(desk, by("odo"))
    assert (each.job.label, each.request) == (job.label, Request("ines", by().at))
    assert each.review is not None
    assert {limit.code for limit in each.review.breaches} == {
        "discount-over-limit",
        "margin-under-limit",
    }
    (draft,) = quote_revisions(desk, by(), job.label)
    assert (draft.state, draft.request) == (State.DRAFT, each.request)
    assert actions(desk, job) == ["draft-made", "approval-asked"]


def test_asked_again_it_waits_once_and_from_the_first_time(desk, job):
    assert issue_quote(desk, by(days=1), job.label).review.request == Request("ines", by().at)
    assert waiting(desk) == [(job.label, "ines")]
    assert actions(desk, job) == ["draft-made", "approval-asked"]


def test_approved_it_waits_no_more_and_may_go_out(desk, job):
    approve_draft(desk, by("odo"), job.label, "to win the school")
    assert waiting(desk) == []
    issued = issue_quote(desk, by(), job.label).revision
    assert issued is not None
    assert issued.request is None
    assert actions(desk, job)[2:] == ["draft-approved", "quote-issued"]


def test_refused_the_draft_stays_and_says_by_whom_and_why(desk, job):
    refused = refuse_request(desk, by("odo", 1), job.label, "too low")
    assert waiting(desk) == []
    assert refused.request == Request("ines", by().at, "odo", by(days=1).at, "too low")
    assert review_job(desk, by(), job.label).request == refused.request
    with pytest.raises(CallError, match="request-none"):
        refuse_request(desk, by("odo"), job.label, "again")
    assert issue_quote(desk, by(days=2), job.label).revision is None
    assert waiting(desk) == [(job.label, "ines")], "asked anew"


def test_a_price_put_right_goes_out_and_takes_its_request_with_it(desk, job):
    set_discount(desk, by(), job.label, Fraction(3, 100), "small job")
    issued = issue_quote(desk, by(), job.label).revision
    assert issued is not None
    assert issued.request is None
    assert waiting(desk) == []


def test_a_draft_that_a_request_left_is_taken_up_and_one_that_somebody_made_is_not(desk, job):
    taken = draft_quote(desk, by(), job.label, cover_note="As discussed.")
    assert (taken.cover_note, taken.request) == ("As discussed.", Request("ines", by().at))
    own = a_job(desk, "101")
    draft_quote(desk, by(), own.label)
    edit_draft(desk, by(), own.label, valid_days=9)
    with pytest.raises(CallError, match="draft-there"):
        draft_quote(desk, by(), own.label)


def test_what_was_asked_first_is_seen_first(desk, job):
    second = a_job(desk, "101")
    set_discount(desk, by(), second.label, Fraction(20, 100), "large job")
    issue_quote(desk, by(days=-1), second.label)
    assert waiting(desk) == [(second.label, "ines"), (job.label, "ines")]


def test_nobody_waits_on_a_draft_of_no_request_or_on_none(desk):
    made = a_job(desk, "101")
    with pytest.raises(CallError, match="draft-none"):
        refuse_request(desk, by("odo"), made.label, "no")
    draft_quote(desk, by(), made.label)
    with pytest.raises(CallError, match="request-none"):
        refuse_request(desk, by("odo"), made.label, "no")
