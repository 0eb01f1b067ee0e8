"""Revisions of quotes, on every store."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from tests.support.house import dearer, sample
from tests.support.jobs import a_job, by, frozen, plain, put_catalog

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.openings import HoldOpen
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import (
    Alternate,
    Override,
    OverrideKind,
    State,
    digest,
    snapshot_text,
)
from wholekit.domain.tax import FreightRate, ShipTo
from wholekit.services.approvals import approve_draft, review_job
from wholekit.services.customers import set_ship_to
from wholekit.services.job_openings import (
    add_openings,
    edit_opening,
    override_opening,
    release_stop,
)
from wholekit.services.jobs import (
    edit_job,
    list_jobs,
    reprice_job,
    set_alternate,
    set_discount,
)
from wholekit.services.ports import JobFilter, Page, RevisionFilter
from wholekit.services.quote_comparison import compare_draft, compare_quotes
from wholekit.services.quote_drafts import discard_draft, draft_quote, edit_draft
from wholekit.services.quote_reading import issued_whole, quote_revisions
from wholekit.services.quotes import close_quote, expire_quotes, issue_quote

PORT = ShipTo(
    "port",
    "Port Aldren",
    freights=(FreightRate("freight", Money(4_500, "USD"), Fraction(2, 100)),),
)


def issued(desk, job, days=0):
    issue = issue_quote(desk, by(days=days), job.label)
    assert issue.revision is not None, issue.review
    return issue.revision


def states(desk, reference):
    return [revision.state.value for revision in quote_revisions(desk, by(), reference)]


def test_an_issued_revision_is_read_back_whole(desk):
    job = a_job(desk, "101", "102")
    revision = issued(desk, job)
    assert (revision.label, revision.state) == ("Q-00001/1", State.ISSUED)
    read = issued_whole(desk, by("odo"), "q-1/1")
    assert read == revision
    assert digest(snapshot_text(frozen(read))) == revision.snapshot_digest


def test_what_was_issued_stays_the_same_whatever_happens_after(desk):
    job = a_job(desk, "101")
    before = snapshot_text(frozen(issued(desk, job)))
    put_catalog(desk.store, dearer(sample("tarrowby")))
    edit_job(desk, by(), job.label, {"name": "Another name", "site": "Elsewhere"})
    edit_opening(desk, by(), job.label, "101", lambda opening: replace(opening, quantity=7))
    reprice_job(desk, by(), job.label)
    second = issued(desk, job)
    close_quote(desk, by(), "Q-1/2", State.ACCEPTED)
    read = issued_whole(desk, by("odo"), "Q-1/1")
    assert snapshot_text(frozen(read)) == before
    assert read.state is State.SUPERSEDED
    assert snapshot_text(frozen(second)) != before


def test_a_snapshot_cannot_be_replaced(desk):
    revision = issued(desk, a_job(desk, "101"))
    there = frozen(revision)
    forged = replace(there, offer=replace(there.offer, job_name="Forged"))
    with pytest.raises(CallError, match="snapshot-frozen"), desk.store.writing() as uow:
        uow.revisions.save(
            replace(
                revision,
                snapshot=forged,
                snapshot_digest=digest(snapshot_text(forged)),
                version=revision.version + 1,
            ),
            revision.version,
        )
    assert frozen(issued_whole(desk, by("odo"), "Q-1")) == revision.snapshot


def test_quote_numbers_run_without_gaps_and_revisions_within_a_quote(desk):
    first, second = a_job(desk, "101"), a_job(desk, "101")
    assert issued(desk, first).label == "Q-00001/1"
    held = a_job(desk)
    add_openings(desk, by(), held.label, [plain("1", fire_minutes=90, hold_open=HoldOpen.ARM)])
    assert issue_quote(desk, by(), held.label).revision is None, "it has an open stop"
    assert issued(desk, second).label == "Q-00002/1"
    edit_job(desk, by(), first.label, {"site": "East wing"})
    assert issued(desk, first).label == "Q-00001/2"
    draft_quote(desk, by(), first.label)
    discard_draft(desk, by(), first.label)
    edit_job(desk, by(), first.label, {"site": "West wing"})
    assert issued(desk, first).label == "Q-00001/3"
    assert states(desk, "Q-1") == ["superseded", "superseded", "issued"]


def test_a_stop_must_be_released_before_issue(desk):
    job = a_job(desk)
    add_openings(desk, by(), job.label, [plain("1", fire_minutes=90, hold_open=HoldOpen.ARM)])
    refused = issue_quote(desk, by(), job.label)
    assert [(stop.mark, stop.finding.code) for stop in refused.review.stops] == [
        ("1", "hold-open-on-fire-door")
    ]
    assert quote_revisions(desk, by(), job.label) == (), "nothing was written"
    release_stop(desk, by("odo"), job.label, "1", "hold-open-on-fire-door", "letter of 3 June")
    there = frozen(issued(desk, job))
    (signs,) = there.own.openings
    assert [(sign.what, sign.by, sign.reason) for sign in signs] == [
        ("release", "odo", "letter of 3 June")
    ]
    assert [code for code, _ in there.offer.openings[0].released] == ["hold-open-on-fire-door"]


def test_a_discount_beyond_the_role_waits_for_the_owner(desk):
    job = a_job(desk, "101")
    set_discount(desk, by(), job.label, Fraction(20, 100), "large job")
    refused = issue_quote(desk, by(), job.label)
    assert {breach.code for breach in refused.review.breaches} == {
        "discount-over-limit",
        "margin-under-limit",
    }
    draft_quote(desk, by(), job.label)
    with pytest.raises(CallError, match="owner-needed"):
        approve_draft(desk, by("ines"), job.label, "I say so")
    approve_draft(desk, by("odo"), job.label, "to win the school")
    revision = issued(desk, job)
    assert [(sign.what, sign.by) for sign in frozen(revision).own.signs] == [("approval", "odo")]


def test_the_whole_discount_of_a_role_is_no_breach_of_its_limit(desk):
    job = a_job(desk, "101", "102")
    set_discount(desk, by(), job.label, Fraction(5, 100), "as ever")
    codes = {breach.code for breach in issue_quote(desk, by(), job.label).review.breaches}
    assert "discount-over-limit" not in codes
    set_discount(desk, by(), job.label, Fraction(6, 100), "a bit more")
    codes = {breach.code for breach in issue_quote(desk, by(), job.label).review.breaches}
    assert "discount-over-limit" in codes


def test_an_approval_does_not_cover_a_lower_price(desk):
    job = a_job(desk, "101")
    set_discount(desk, by(), job.label, Fraction(20, 100), "large job")
    draft_quote(desk, by(), job.label)
    approve_draft(desk, by("odo"), job.label, "to win the school")
    set_discount(desk, by(), job.label, Fraction(21, 100), "a bit more")
    assert issue_quote(desk, by(), job.label).revision is None


def test_an_approval_covers_no_part_that_is_lower_than_it_saw(desk):
    """Base and alternate together are as dear as before; the alternate alone is cheaper."""
    job = a_job(desk, "101", "102")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Four more"))
    add_openings(desk, by(), job.label, [plain("201", 4)], "alt-1")
    set_discount(desk, by(), job.label, Fraction(20, 100), "large job")
    draft_quote(desk, by(), job.label)
    approve_draft(desk, by("odo"), job.label, "to win the school")
    edit_opening(desk, by(), job.label, "101", lambda opening: replace(opening, quantity=2))
    assert review_job(desk, by(), job.label).clear, "the base bid is higher"
    low = Override(OverrideKind.PRICE, "a friend", "", by().at, price=Money(5_000, "USD"))
    override_opening(desk, by(), job.label, "201", low, "alt-1")
    edit_opening(desk, by(), job.label, "101", lambda opening: replace(opening, quantity=90))
    refused = issue_quote(desk, by(), job.label)
    assert (refused.revision, refused.review.approval) == (None, None)
    approve_draft(desk, by("odo"), job.label, "that too")
    assert issue_quote(desk, by(), job.label).revision is not None


def test_an_approval_covers_no_alternate_that_came_later(desk):
    job = a_job(desk, "101")
    set_discount(desk, by(), job.label, Fraction(20, 100), "large job")
    draft_quote(desk, by(), job.label)
    approve_draft(desk, by("odo"), job.label, "to win the school")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "One more"))
    assert review_job(desk, by(), job.label).clear, "there is nothing in it yet"
    add_openings(desk, by(), job.label, [plain("201")], "alt-1")
    assert issue_quote(desk, by(), job.label).revision is None


def test_an_approval_keeps_each_part_in_the_figures_that_the_quote_shows(desk):
    set_ship_to(desk, by(), PORT)
    job = a_job(desk, "101")
    edit_job(desk, by(), job.label, {"ship_to": "port"})
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Two instead", ("101",)))
    add_openings(desk, by(), job.label, [plain("201", 2)], "alt-1")
    set_discount(desk, by(), job.label, Fraction(20, 100), "large job")
    draft_quote(desk, by(), job.label)
    (approval,) = approve_draft(desk, by("odo"), job.label, "to win the school").approvals
    snapshot = frozen(issued(desk, job))
    base, alternate = approval.parts
    assert (base.alternate, alternate.alternate) == ("", "alt-1")
    assert base.quoted == snapshot.offer.totals.net
    assert snapshot.offer.totals.freight > Money.zero("USD")
    assert alternate.quoted == snapshot.offer.alternates[0].totals.net
    hardware = snapshot.offer.totals.hardware
    earned = hardware.decimal - Decimal(snapshot.own.cost.units) / 10_000
    assert base.margin == Fraction(earned) / Fraction(hardware.decimal)
    (sign,) = snapshot.own.signs
    assert f"base bid net {base.quoted.decimal_text} USD, margin " in sign.text
    assert f"alternate alt-1 net {alternate.quoted.decimal_text} USD, margin " in sign.text


def test_issuing_again_is_refused_until_something_has_changed(desk):
    job = a_job(desk, "101")
    issued(desk, job)
    with pytest.raises(CallError, match="quote-unchanged"):
        issue_quote(desk, by("odo", 1), job.label)
    assert states(desk, job.label) == ["issued"]
    draft_quote(desk, by(), job.label)
    with pytest.raises(CallError, match="quote-unchanged"):
        issue_quote(desk, by(), job.label)
    assert sorted(states(desk, job.label)) == ["draft", "issued"]
    edit_draft(desk, by(), job.label, valid_days=60)
    assert issued(desk, job).label == "Q-00001/2"
    close_quote(desk, by(), "Q-1", State.ACCEPTED)
    draft_quote(desk, by(), job.label, valid_days=60)
    with pytest.raises(CallError, match="quote-unchanged"):
        issue_quote(desk, by(), job.label)


def test_what_expired_or_was_declined_may_be_quoted_again_as_it_was(desk):
    job = a_job(desk, "101")
    issued(desk, job)
    assert issued(desk, job, days=31).label == "Q-00001/2"
    close_quote(desk, by(days=32), "Q-1", State.DECLINED, lost_reason="price")
    assert issued(desk, job, days=33).label == "Q-00001/3"
    assert states(desk, "Q-1") == ["expired", "declined", "issued"]


def test_only_people_of_the_house_sign(desk):
    job = a_job(desk, "101")
    add_openings(desk, by(), job.label, [plain("1", fire_minutes=90, hold_open=HoldOpen.ARM)])
    low = Override(OverrideKind.PRICE, "a friend", "", by().at, price=Money(5_000, "USD"))
    stop = "hold-open-on-fire-door"
    draft_quote(desk, by(), job.label)
    for sign in (
        lambda who: issue_quote(desk, who, job.label),
        lambda who: approve_draft(desk, who, job.label, "why not"),
        lambda who: release_stop(desk, who, job.label, "1", stop, "why not"),
        lambda who: override_opening(desk, who, job.label, "1", low),
        lambda who: set_discount(desk, who, job.label, Fraction(1, 100), "why not"),
    ):
        with pytest.raises(CallError) as refused:
            sign(by("inse"))
        assert refused.value.code == "person-unknown"
        assert refused.value.fields["known"] == ["ines", "odo"]
    (draft,) = quote_revisions(desk, by(), job.label)
    assert (draft.state, draft.approvals) == (State.DRAFT, ())


def test_a_revision_takes_one_end_and_no_other(desk):
    issued(desk, a_job(desk, "101"))
    close_quote(desk, by(days=2), "Q-1", State.DECLINED, lost_reason="price", remark="8 % lower")
    (read,) = quote_revisions(desk, by(), "Q-1")
    assert (read.state, read.lost_reason, read.note) == (State.DECLINED, "price", "8 % lower")
    with pytest.raises(CallError, match="revision-not-movable"):
        close_quote(desk, by(), "Q-1", State.ACCEPTED)


def test_a_quote_expires_with_the_clock_passed_in(desk):
    issued(desk, a_job(desk, "101"))
    (revision,) = quote_revisions(desk, by(), "Q-1")
    last = revision.valid_until
    assert last is not None
    assert (last - by().day).days == 30
    assert revision.state_on(last) is State.ISSUED
    assert expire_quotes(desk, by(days=30)) == ()
    with pytest.raises(CallError, match="revision-not-movable"):
        close_quote(desk, by(days=31), "Q-1", State.ACCEPTED)
    assert [quote.label for quote in expire_quotes(desk, by(days=31))] == ["Q-00001/1"]
    assert states(desk, "Q-1") == ["expired"]


def test_the_second_of_two_who_close_a_revision_is_told(desk):
    revision = issued(desk, a_job(desk, "101"))
    close_quote(desk, by(), "Q-1", State.ACCEPTED, expected=revision.version)
    with pytest.raises(ConflictError):
        close_quote(desk, by(), "Q-1", State.DECLINED, lost_reason="price", expected=2)


def test_the_list_of_jobs_shows_where_each_quote_stands(desk):
    job = a_job(desk, "101")
    issued(desk, job)
    draft_quote(desk, by(), job.label)
    (row,), _ = list_jobs(desk, by(), JobFilter(), Page())
    net = frozen(issued_whole(desk, by("odo"), "Q-1/1")).offer.totals.net
    assert (row.quote_number, row.revision, row.state) == (1, 2, State.DRAFT)
    assert row.net == net.minor


def test_issued_revisions_are_found_by_day_customer_and_state(desk):
    issued(desk, a_job(desk, "101"))
    issued(desk, a_job(desk, "101"), days=3)
    with desk.store.reading() as uow:

        def found(**wanted):
            return [revision.label for revision in uow.revisions.matching(RevisionFilter(**wanted))]

        assert found() == ["Q-00001/1", "Q-00002/1"]
        assert found(issued_from=by(days=1).day) == ["Q-00002/1"]
        assert found(issued_to=by(days=2).day) == ["Q-00001/1"]
        assert found(customer="saltmarsh", salesperson="ines") == ["Q-00001/1", "Q-00002/1"]
        assert found(customer="nobody") == []
        assert found(states=frozenset({State.ACCEPTED})) == []
        assert all(revision.snapshot for revision in uow.revisions.matching(RevisionFilter()))


def test_comparing_two_revisions_tells_openings_lines_and_money(desk):
    job = a_job(desk, "101", "102", "103")
    issued(desk, job)
    edit_opening(desk, by(), job.label, "102", lambda opening: replace(opening, quantity=3))
    add_openings(desk, by(), job.label, [plain("104")])
    issued(desk, job)
    found = compare_quotes(desk, by(), "Q-1/1", "Q-1/2").comparison
    assert [(opening.mark, opening.kind) for opening in found.openings] == [
        ("102", "changed"),
        ("104", "added"),
    ]
    assert found.unchanged == 2
    each = frozen(issued_whole(desk, by("odo"), "Q-1/1")).offer.openings[0].price
    assert [opening.moved for opening in found.openings] == [each.times(2), each]
    net = next(total for total in found.totals if total.what == "net")
    assert net.moved == each.times(3)
    assert compare_quotes(desk, by(), "Q-1/2", "Q-1/2").comparison.same


def test_revisions_of_different_jobs_are_not_compared(desk):
    for _ in range(2):
        issued(desk, a_job(desk, "101"))
    with pytest.raises(CallError, match="compare-jobs") as refused:
        compare_quotes(desk, by(), "Q-1", "Q-2")
    assert refused.value.fields == {
        "first": "Q-00001/1",
        "first_job": "J-00001",
        "second": "Q-00002/1",
        "second_job": "J-00002",
    }


def test_a_draft_is_compared_with_what_was_last_issued(desk):
    job = a_job(desk, "101")
    issued(desk, job)
    assert compare_draft(desk, by(), job.label).comparison.same
    put_catalog(desk.store, dearer(sample("tarrowby")))
    reprice_job(desk, by(), job.label)
    found = compare_draft(desk, by(), "Q-1").comparison
    assert (found.second, found.draft) == ("J-00001", True)
    (opening,) = found.openings
    assert opening.lines
    assert opening.moved > Money.zero("USD")
    assert not found.terms
    assert [(change.field, change.of) for change in found.basis] == [
        ("price-book", "Tarrowby Closer Company")
    ]


def test_no_quote_is_changed_in_a_name_the_house_does_not_know(desk):
    job = a_job(desk, "101")
    draft_quote(desk, by(), job.label)
    carl = by("carl")
    for change in (
        lambda: draft_quote(desk, carl, a_job(desk, "101").label),
        lambda: edit_draft(desk, carl, job.label, cover_note="x"),
        lambda: discard_draft(desk, carl, job.label),
        lambda: expire_quotes(desk, carl),
    ):
        with pytest.raises(CallError, match="person-unknown"):
            change()
    issue_quote(desk, by(), job.label)
    with pytest.raises(CallError, match="person-unknown"):
        close_quote(desk, carl, "Q-1", State.ACCEPTED)
    assert issued_whole(desk, by("odo"), "Q-1").state is State.ISSUED
