"""`quote issue --without-stopped` and what is firm, on every store."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.support.house import RULES
from tests.support.jobs import a_job, by, frozen, plain

from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_labels import labels_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.setting_card import SettingCard
from wholekit.domain.errors import CallError
from wholekit.domain.openings import HoldOpen
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Alternate, Override, OverrideKind, State
from wholekit.domain.quotes.totals import firm_hardware
from wholekit.domain.tax import FreightRate, LineKind, ShipTo, TaxRate
from wholekit.services.approvals import approve_draft, review_job, waiting_requests
from wholekit.services.customers import set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import (
    add_openings,
    override_opening,
    release_stop,
    remove_opening,
)
from wholekit.services.jobs import edit_job, set_alternate, set_discount
from wholekit.services.quote_comparison import compare_quotes
from wholekit.services.quote_drafts import draft_quote
from wholekit.services.quote_papers import order_shown, revision_shown
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.wording.comparisons import say_comparison

STOP = "hold-open-on-fire-door"
TAXED = ShipTo(
    "port", "Port Aldren",
    taxes=(TaxRate("state", Fraction(625, 10_000), frozenset({LineKind.HARDWARE})),),
    freights=(FreightRate("freight", Money(4_500, "USD"), Fraction(2, 100)),),
)  # fmt: skip


def held(mark, quantity=1):
    return plain(mark, quantity=quantity, fire_minutes=90, hold_open=HoldOpen.ARM)


def left(desk, job):
    issue = issue_quote(desk, by(), job.label, leave_stopped=True)
    assert issue.revision is not None, issue.review
    return frozen(issue.revision).offer


def test_what_is_stopped_is_left_out_of_every_sum_and_named(desk):
    job = a_job(desk, "101", "102")
    alone = review_job(desk, by(), job.label).workup
    add_openings(desk, by(), job.label, [held("103", 2)])
    assert issue_quote(desk, by(), job.label).revision is None
    offer = left(desk, job)
    assert [opening.mark for opening in offer.openings] == ["101", "102"]
    assert [(opening.mark, opening.quantity) for opening in offer.left_out or ()] == [("103", 2)]
    assert offer.totals.hardware == offer.firm == firm_hardware(alone.job)
    (gone,) = quote_paper(offer).open
    assert (gone.places, gone.quantity) == ("103", 2)
    assert any("hold-open arm" in reason for reason in gone.reasons)


def test_the_firm_total_of_a_draft_is_what_an_issue_without_the_stopped_comes_to(desk):
    set_ship_to(desk, by("odo"), TAXED)
    job = a_job(desk, "101", "102")
    edit_job(desk, by(), job.label, {"ship_to": "port"})
    add_openings(desk, by(), job.label, [held("103", 2)])
    draft = revision_shown(desk, by(), job.label).snapshot.offer
    assert draft.firm_totals != draft.totals
    firm = left(desk, job)
    assert firm.firm_totals == firm.totals == draft.firm_totals
    assert firm.totals.freight.minor
    assert firm.totals.taxes
    paper = quote_paper(draft, draft=True)
    assert paper.totals == firm.totals
    assert [one.places for one in paper.open] == ["103"]


def test_the_pick_room_gets_nothing_of_what_is_left_out(desk):
    job = a_job(desk, "101")
    add_openings(desk, by(), job.label, [held("103")])
    left(desk, job)
    accepted = close_quote(desk, by(), "Q-1", State.ACCEPTED)
    offer = frozen(accepted).offer.chosen()
    picks = pick_list_paper(offer)
    assert picks.beyond == ("103",), "no range of marks runs over it"
    papers = (replace(picks, beyond=()), labels_paper(offer), cards_paper(offer, RULES))
    for paper in papers:
        assert "103" not in repr(paper)
        assert "101" in repr(paper)


def test_a_released_stop_makes_an_opening_firm_and_is_marked_on_every_paper(desk):
    job = a_job(desk, "101")
    add_openings(desk, by(), job.label, [held("103")])
    before = review_job(desk, by(), job.label).workup.job
    release_stop(desk, by("odo"), job.label, "103", STOP, "letter of 3 June")
    after = review_job(desk, by(), job.label).workup.job
    (opening,) = [each for each in after.openings if each.entry.mark == "103"]
    assert firm_hardware(after) == firm_hardware(before) + opening.price
    offer = left(desk, job)
    assert offer.left_out is None
    paper = quote_paper(offer)
    assert not paper.open
    quoted = {mark.mark: mark for kit in paper.kits for mark in kit.marks}["103"]
    said = [paper.notes[number - 1].note for number in quoted.checks]
    assert [note.severity for note in said if "hold-open" in note.text] == ["released"]
    # The kit holds no such arm, so no paper may promise one.
    assert "hold-open arm asked for and left out" in quoted.summary
    (_, bag) = pick_list_paper(offer).openings
    assert any("hold-open" in text for text in bag.released)
    (_, label) = labels_paper(offer).labels
    assert "STOP RELEASED BY NAME" in label.alerts
    (_, card) = cards_paper(offer, RULES).cards
    assert isinstance(card, SettingCard)
    assert any(said.text.startswith("Stop released by name: ") for said in card.warnings)
    assert "left out" in card.common.summary


def test_an_alternate_that_would_lose_an_opening_is_refused(desk):
    job = a_job(desk, "101")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Held open", ("101",)))
    add_openings(desk, by(), job.label, [held("103")], alternate="alt-1")
    with pytest.raises(CallError) as refused:
        issue_quote(desk, by(), job.label, leave_stopped=True)
    assert refused.value.code == "alternate-stopped"


def test_what_was_left_out_is_no_change_of_the_order_until_it_is_firm(desk):
    job = a_job(desk, "101")
    add_openings(desk, by(), job.label, [held("103")])
    left(desk, job)
    close_quote(desk, by(), "Q-1", State.ACCEPTED)
    assert not order_shown(desk, by(), "Q-1").changed
    release_stop(desk, by("odo"), job.label, "103", STOP, "letter of 3 June")
    assert order_shown(desk, by(), "Q-1").changed


def test_nothing_is_left_to_quote(desk):
    job = a_job(desk)
    add_extra(desk, by(), job.label, NewExtra(LineKind.LABOUR, "Fitting", 1, Money(26_000, "USD")))
    add_openings(desk, by(), job.label, [held("103")])
    with pytest.raises(CallError) as refused:
        issue_quote(desk, by(), job.label, leave_stopped=True)
    assert refused.value.code == "quote-empty"


@pytest.fixture
def thin(desk):
    """A job that ines may not issue alone, with a stopped opening."""
    job = a_job(desk, "101", "102")
    add_openings(desk, by(), job.label, [held("103")])
    set_discount(desk, by(), job.label, Fraction(20, 100), "large job")
    assert issue_quote(desk, by(), job.label, leave_stopped=True).revision is None
    return job


def test_an_owner_approves_what_is_left_and_it_may_go_out(desk, thin):
    (asked,) = waiting_requests(desk, by("odo"))
    assert asked.request.leave_stopped
    assert asked.review is not None
    assert [opening.entry.mark for opening in asked.review.left_out] == ["103"]
    draft = approve_draft(desk, by("odo"), thin.label, "to win it", leave_stopped=True)
    assert draft.approvals[-1].left_out == ("103",)
    assert draft.approvals[-1].parts[0].quoted == asked.review.net
    assert not issue_quote(desk, by(), thin.label).review.clear, "its stop is open still"
    offer = left(desk, thin)
    assert offer.totals.net == asked.review.net


def test_an_approval_of_the_whole_is_none_of_the_less_that_is_left(desk, thin):
    approve_draft(desk, by("odo"), thin.label, "to win it")
    assert review_job(desk, by(), thin.label).approval is not None
    assert review_job(desk, by(), thin.label, leave_stopped=True).needs_owner
    assert issue_quote(desk, by(), thin.label, leave_stopped=True).revision is None


def test_an_approval_of_what_is_left_falls_when_more_is_left_out(desk, thin):
    approve_draft(desk, by("odo"), thin.label, "to win it", leave_stopped=True)
    assert review_job(desk, by(), thin.label, leave_stopped=True).clear
    remove_opening(desk, by(), thin.label, "102")
    add_openings(desk, by(), thin.label, [held("102")])
    assert review_job(desk, by(), thin.label, leave_stopped=True).needs_owner


def test_a_request_for_the_other_offer_is_asked_anew(desk, thin):
    release_stop(desk, by("odo"), thin.label, "103", STOP, "letter of 3 June")
    issue_quote(desk, by(days=1), thin.label)
    (asked,) = waiting_requests(desk, by("odo"))
    assert (asked.request.at, asked.request.leave_stopped) == (by(days=1).at, False)


def test_an_owner_cannot_approve_nothing(desk):
    job = a_job(desk)
    add_openings(desk, by(), job.label, [held("103")])
    draft_quote(desk, by(), job.label)
    with pytest.raises(CallError) as refused:
        approve_draft(desk, by("odo"), job.label, "so", leave_stopped=True)
    assert refused.value.code == "quote-empty"


def test_a_comparison_tells_what_is_left_out_from_what_is_gone(desk):
    job = a_job(desk, "101", "102", "104")
    issue_quote(desk, by(), job.label)
    for mark in ("102", "104"):
        remove_opening(desk, by(), job.label, mark)
    add_openings(desk, by(), job.label, [held("102")])
    offer = left(desk, job)
    found = compare_quotes(desk, by(), "Q-1/1", "Q-1/2").comparison
    assert {change.mark: change.kind for change in found.openings} == {
        "102": "left-out",
        "104": "removed",
    }
    assert sum(change.moved.minor for change in found.openings) == found.totals[0].moved.minor < 0
    release_stop(desk, by("odo"), job.label, "102", STOP, "letter of 3 June")
    add_openings(desk, by(), job.label, [plain("105")])
    issue_quote(desk, by(), job.label)
    again = compare_quotes(desk, by(), "Q-1/2", "Q-1/3").comparison
    assert {change.mark: change.kind for change in again.openings} == {
        "102": "taken-in",
        "105": "added",
    }
    assert [text.kind for text in say_comparison(again).openings] == ["no longer left out", "added"]
    assert [text.kind for text in say_comparison(found).openings] == ["left out for now", "removed"]
    assert offer.left_out is not None


def test_a_released_stop_does_not_let_an_arm_through_that_a_hand_puts_in_later(desk):
    job = a_job(desk)
    add_openings(desk, by(), job.label, [held("103")])
    release_stop(desk, by("odo"), job.label, "103", STOP, "letter of 3 June")
    assert review_job(desk, by(), job.label).clear
    arm = Override(OverrideKind.ITEM, "asked by fax", "", by().at, other_sku="TG-HR.689")
    override_opening(desk, by(), job.label, "103", arm)
    (stop,) = review_job(desk, by(), job.label).stops
    assert stop.finding.fields["skus"] == ("TG-HR.689",)
    release_stop(desk, by("odo"), job.label, "103", STOP, "letter of 5 June")
    offer = frozen(issue_quote(desk, by("odo"), job.label).revision).offer
    ((quoted,),) = (kit.marks for kit in quote_paper(offer).kits)
    assert "hold-open arm put in by hand" in quoted.summary
    assert "left out" not in quoted.summary
