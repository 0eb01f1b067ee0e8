"""Quotes that were sent, on every store."""

from hashlib import sha256

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, frozen, furnished

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Person, PersonRole, snapshot_text
from wholekit.domain.quotes.sending import SentFile
from wholekit.services.customers import set_person
from wholekit.services.job_history import job_events
from wholekit.services.quote_drafts import draft_quote
from wholekit.services.quote_reading import quote_revisions
from wholekit.services.quote_sendings import record_sending
from wholekit.services.quotes import issue_quote
from wholekit.views.history import event_answers


def digest_of(snapshot):
    return sha256(snapshot_text(snapshot).encode()).hexdigest()


PDF = SentFile("Q-00001-1.pdf", sha256(b"%PDF-").hexdigest())


def test_the_history_tells_who_sent_what_to_whom_and_when(desk):
    job = a_job(desk, "101")
    digest = digest_of(frozen(issue_quote(desk, by(), job.label).revision))
    draft_quote(desk, by(days=1), job.label)
    before = quote_revisions(desk, by(), "Q-1")
    sent = record_sending(
        desk,
        by("odo", days=2),
        "Q-1",
        [" a@b.example ", "a@b.example", "R. Oake"],
        [PDF],
        "by post",
    )
    assert sent.label == "Q-00001/1", "the draft that follows it was not sent"
    assert quote_revisions(desk, by(), "Q-1") == before, "nothing of the quote is changed by it"
    *_, event = event_answers(job_events(desk, by(), job.label))
    assert (event.at, event.who) == (by(days=2).at.isoformat(), "odo")
    assert (event.action, event.about, event.reason) == ("quote sent", "revision 1", "by post")
    (told,) = event.changes
    assert told.startswith(f"to a@b.example, R. Oake, as frozen {digest[:12]}; Q-00001-1.pdf")
    assert PDF.digest[:12] in told
    assert event.after == {
        "to": ["a@b.example", "R. Oake"],
        "revision_digest": digest,
        "files": [{"name": "Q-00001-1.pdf", "digest": PDF.digest}],
    }


@pytest.mark.parametrize(
    ("reference", "to", "code"),
    [
        ("Q-1", [], "sent-to-needed"),
        ("Q-1", [" "], "sent-to-needed"),
        ("Q-1", ["a\nb"], None),
        ("Q-1", ["a\x00b"], "text-not-plain"),
        ("Q-1", ["x" * 121], "text-too-long"),
        ("Q-1", [f"{number}@b" for number in range(51)], "sent-over-limit"),
        ("Q-2", ["a@b"], "quote-unknown"),
        ("Q-1/2", ["a@b"], "quote-unknown"),
    ],
)
def test_what_is_no_sending_leaves_no_entry(reference, to, code):
    desk = furnished(FakeStore())
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    job = a_job(desk, "101")
    issue_quote(desk, by(), job.label)
    draft_quote(desk, by(), job.label)
    there = job_events(desk, by(), job.label)
    with pytest.raises(CallError) as no_right:
        record_sending(desk, by("pia"), "Q-1", ["a@b"])
    assert no_right.value.code == "right-needed"
    if code is None:
        assert record_sending(desk, by(), reference, to).sending.to == ("a b",)
        return
    with pytest.raises(CallError) as refused:
        record_sending(desk, by(), reference, to)
    assert refused.value.code == code
    assert job_events(desk, by(), job.label) == there
