"""An offer accepted with some of its alternates, on every store."""

import json
from dataclasses import fields, replace
from datetime import timedelta

import pytest
from tests.documents.frozen import FORMAT_1
from tests.support.jobs import START, a_job, by, frozen, plain

from wholekit.domain.earnings import Key
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import (
    Acceptance,
    Alternate,
    Approval,
    ApprovedPart,
    Request,
    Revision,
    State,
    digest,
    snapshot_text,
)
from wholekit.domain.tax import LineKind
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import edit_job, list_jobs, set_alternate
from wholekit.services.margin_reports import margin_report, win_report
from wholekit.services.ports import JobFilter, Page, RevisionFilter
from wholekit.services.quote_drafts import draft_quote, edit_draft
from wholekit.services.quote_papers import revision_shown
from wholekit.services.quote_reading import issued_whole, quote_revisions
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.wording.margin_keys import say_key
from wholekit.wording.older_snapshots import read_snapshot

ANY = RevisionFilter()
# Codes are free text: what a pattern or a list in quotation marks would trip over.
STRANGE = ('x","y', "x", "y", "a%", "a_", "ab", ",", "[]", "\\")


def with_alternates(desk):
    """A base bid of three marks; one more of 102 with a line, without 102, without 103."""
    job = a_job(desk, "101", "102", "103")
    for code, title, out in (
        ("alt-1", "Four of 102", ("102",)),
        ("alt-2", "Without 102", ("102",)),
        ("alt-3", "Without 103", ("103",)),
    ):
        set_alternate(desk, by(), job.label, Alternate(code, title, out))
    add_openings(desk, by(), job.label, [plain("102", 4, size="4080")], "alt-1")
    add_extra(
        desk, by(), job.label,
        NewExtra(LineKind.OTHER, "Chart", 2, Money(4_013, "USD"), Cost(100_000, "USD"), "alt-1"),
    )  # fmt: skip
    return job, frozen(issue_quote(desk, by("odo"), job.label).revision)


@pytest.fixture
def quoted(prepared):
    """A desk with that quote, and its job and snapshot."""
    return prepared(with_alternates)


def accept(desk, *codes, quote="Q-1"):
    return close_quote(desk, by(), quote, State.ACCEPTED, acceptance=Acceptance(codes))


def listed_net(desk):
    (row,), _ = list_jobs(desk, by(), JobFilter(), Page())
    return row.net


def net_of(snapshot, *codes):
    taken = [
        alternate.totals.net.minor
        for alternate in snapshot.offer.alternates
        if alternate.code in codes
    ]
    return snapshot.offer.totals.net.minor + sum(taken)


def test_what_was_accepted_is_kept_with_the_revision_and_in_the_audit_log(quoted):
    desk, (job, snapshot) = quoted
    revision = accept(desk, "alt-3", "alt-1", "alt-3")
    assert revision.accepted == ("alt-1", "alt-3"), "each once, in the order of the quote"
    assert issued_whole(desk, by("odo"), "Q-1") == revision
    assert [each.accepted for each in quote_revisions(desk, by(), job.label)] == [
        ("alt-1", "alt-3")
    ]
    assert frozen(revision) == snapshot
    assert revision_shown(desk, by(), "Q-1").accepted == ("alt-1", "alt-3")
    with desk.store.reading() as uow:
        entry = uow.audit.of_job(job.id)[-1]
    assert entry.action == "quote-accepted"
    assert list(entry.before["accepted"]) == []
    assert list(entry.after["accepted"]) == ["alt-1", "alt-3"]


def test_the_customers_order_and_the_day_they_accepted_are_kept_and_in_the_audit_log(quoted):
    desk, (job, _) = quoted
    day = START.date()
    said = Acceptance(("alt-1",), "PO 4417-B", day + timedelta(days=1))
    revision = close_quote(desk, by(days=3), "Q-1", State.ACCEPTED, acceptance=said)
    assert issued_whole(desk, by("odo"), "Q-1") == revision
    assert revision.acceptance == revision_shown(desk, by(days=3), "Q-1").acceptance == said
    with desk.store.reading() as uow:
        after = uow.audit.of_job(job.id)[-1].after
    assert (after["order_number"], after["accepted_on"]) == ("PO 4417-B", f"{said.day}")


def test_what_was_accepted_in_time_may_be_told_later_but_no_day_before_the_issue(quoted):
    desk, _ = quoted
    day = START.date()
    until = quote_revisions(desk, by(), "Q-1")[-1].valid_until
    assert until is not None
    late = by(days=(until - day).days + 4)
    for wrong in (day - timedelta(days=1), until + timedelta(days=5)):
        with pytest.raises(CallError, match="accepted-on-wrong-day"):
            close_quote(desk, late, "Q-1", State.ACCEPTED, acceptance=Acceptance(day=wrong))
    for over in (None, until + timedelta(days=1)):
        with pytest.raises(CallError, match="revision-not-movable"):
            close_quote(desk, late, "Q-1", State.ACCEPTED, acceptance=Acceptance(day=over))
    with pytest.raises(CallError, match="text-not-plain"):
        close_quote(desk, by(), "Q-1", State.ACCEPTED, acceptance=Acceptance((), "a\nb"))
    accepted = close_quote(desk, late, "Q-1", State.ACCEPTED, acceptance=Acceptance(day=until))
    assert (accepted.state, accepted.accepted_on) == (State.ACCEPTED, until)


def test_only_what_was_quoted_can_be_accepted_and_nothing_twice(quoted):
    desk, _ = quoted
    with pytest.raises(CallError) as unknown:
        accept(desk, "alt-1", "alt-9")
    assert (unknown.value.code, unknown.value.fields["name"]) == ("alternate-not-quoted", "alt-9")
    assert unknown.value.fields["known"] == ["alt-1", "alt-2", "alt-3"]
    with pytest.raises(CallError) as both:
        accept(desk, "alt-2", "alt-1")
    assert both.value.code == "alternates-exclude"
    assert both.value.fields == {"first": "alt-1", "second": "alt-2", "mark": "102"}
    with pytest.raises(CallError, match="alternates-unwanted"):
        close_quote(
            desk,
            by(),
            "Q-1",
            State.DECLINED,
            lost_reason="price",
            acceptance=Acceptance(("alt-1",)),
        )
    issue_quote(desk, by(), a_job(desk, "101").label)
    with pytest.raises(CallError, match="alternates-none"):
        accept(desk, "alt-1", quote="Q-2")
    assert {revision.state for revision in quote_revisions(desk, by(), "Q-1")} == {State.ISSUED}


def test_what_was_accepted_stays_after_the_end(quoted):
    desk, (job, _) = quoted
    accept(desk, "alt-1")
    for codes in (("alt-3",), ()):
        with pytest.raises(CallError, match="revision-not-movable"):
            accept(desk, *codes)
    edit_job(desk, by(), job.label, {"site": "East wing"})
    issue_quote(desk, by("odo"), job.label)
    assert issued_whole(desk, by("odo"), "Q-1/1").accepted == ("alt-1",)
    assert issued_whole(desk, by("odo"), "Q-1/2").accepted == ()


@pytest.mark.parametrize("codes", [(), ("alt-1",), ("alt-2", "alt-3"), ("alt-1", "alt-3")])
def test_lists_and_the_win_rate_tell_the_net_that_was_accepted(quoted, codes):
    desk, (_, snapshot) = quoted
    assert listed_net(desk) == snapshot.offer.totals.net.minor, "issued: the base bid"
    accept(desk, *codes)
    assert listed_net(desk) == net_of(snapshot, *codes)
    assert win_report(desk, by("odo"), ANY, "USD").won_net.minor == net_of(snapshot, *codes)


@pytest.mark.parametrize("code", STRANGE)
def test_a_code_of_any_signs_is_counted_and_no_other(desk, code):
    job = a_job(desk, "101")
    for place, one in enumerate(STRANGE, start=1):
        set_alternate(desk, by(), job.label, Alternate(one, "More"))
        line = NewExtra(LineKind.OTHER, "Chart", 1, Money(10**place, "USD"), alternate=one)
        add_extra(desk, by(), job.label, line)
    snapshot = frozen(issue_quote(desk, by("odo"), job.label).revision)
    accept(desk, code)
    more = 10 ** (STRANGE.index(code) + 1)
    assert listed_net(desk) == snapshot.offer.totals.net.minor + more


@pytest.mark.parametrize("key", list(Key))
def test_margins_follow_what_was_accepted_whatever_they_are_told_by(quoted, key):
    desk, (_, snapshot) = quoted
    accept(desk, "alt-1", "alt-3")
    report = margin_report(desk, by("odo"), key, ANY, "USD")
    assert report.total.margin.price.minor == net_of(snapshot, "alt-1", "alt-3")
    first, _, third = snapshot.own.alternates
    assert report.total.margin.cost == snapshot.own.cost + first + third
    assert (
        sum(earning.margin.price.minor for earning in report.earnings)
        == report.total.margin.price.minor
    )
    assert sum(earning.sales for earning in report.earnings) == report.total.sales


def test_marks_taken_out_are_no_more_sold_and_those_of_the_alternate_are(quoted):
    desk, (_, snapshot) = quoted
    accept(desk, "alt-1", "alt-3")
    rows = {
        say_key(earning.key): earning.margin.price
        for earning in margin_report(desk, by("odo"), Key.OPENING, ANY, "USD").earnings
    }
    assert rows == {
        "Q-00001/1 101": snapshot.offer.openings[0].price,
        "Q-00001/1 102 [alt-1]": snapshot.offer.openings[3].price,
        "Q-00001/1 extra line [alt-1]": Money(8_026, "USD"),
    }


def test_a_new_draft_holds_as_long_as_the_revision_before_and_says_the_same(desk):
    job = a_job(desk, "101")
    first = draft_quote(desk, by(), job.label)
    assert (first.valid_days, first.cover_note) == (30, ""), "the house's"
    edit_draft(desk, by(), job.label, valid_days=45, cover_note="As talked over.")
    issued = issue_quote(desk, by(), job.label)
    assert not issued.drafted
    edit_job(desk, by(), job.label, {"site": "East wing"})
    again = issue_quote(desk, by(days=1), job.label)
    assert again.drafted
    assert again.revision is not None
    assert frozen(again.revision).offer.cover_note == "As talked over."
    assert again.revision.valid_until == by(days=46).day
    third = draft_quote(desk, by(), job.label)
    assert (third.valid_days, third.cover_note) == (45, "As talked over.")
    shown = revision_shown(desk, by(), job.label)
    assert shown.snapshot.offer.cover_note == "As talked over."
    edit_draft(desk, by(), job.label, cover_note="")
    edit_job(desk, by(), job.label, {"site": "West wing"})
    issue_quote(desk, by(), job.label)
    fourth = draft_quote(desk, by(), job.label, cover_note="New.", valid_days=5)
    assert (fourth.valid_days, fourth.cover_note) == (5, "New.")


def test_every_field_of_a_revision_comes_back(desk):
    job = a_job(desk)
    snapshot = read_snapshot(json.loads(FORMAT_1))
    price = Money(100, "USD")
    whole = Revision(
        id="r1",
        job_id=job.id,
        quote_number=1,
        number=1,
        state=State.ACCEPTED,
        created_at=START,
        created_by="ines",
        valid_days=17,
        cover_note="Words.",
        approvals=(Approval("odo", START, "so", (ApprovedPart("", price, price, None),)),),
        issued_at=START,
        issued_by="ines",
        valid_until=START.date(),
        closed_at=START,
        closed_by="odo",
        lost_reason="price",
        accepted=('x","y', "alt-1", "ä"),
        note="order 4417",
        order_number="4417",
        accepted_on=START.date(),
        snapshot=snapshot,
        snapshot_digest=digest(snapshot_text(snapshot)),
        request=Request("ines", START, "odo", START, "too low"),
    )
    same = [field.name for field in fields(whole) if getattr(whole, field.name) == field.default]
    assert same == ["version"]
    with desk.store.writing() as uow:
        uow.revisions.add(whole)
        uow.commit()
    with desk.store.reading() as uow:
        assert uow.revisions.get("r1") == whole
    with desk.store.writing() as uow:
        uow.revisions.save(replace(whole, note="order 4418", version=2), 1)
        uow.commit()
    with desk.store.reading() as uow:
        assert uow.revisions.get("r1") == replace(whole, note="order 4418", version=2)
