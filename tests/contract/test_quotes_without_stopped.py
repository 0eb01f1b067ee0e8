"""`quote issue --without-stopped` and what is firm, on every store."""

import pytest
from tests.support.house import RULES
from tests.support.jobs import a_job, by, frozen, plain

from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_pick import labels_paper, pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.setting_card import SettingCard
from wholekit.domain.errors import CallError
from wholekit.domain.openings import HoldOpen
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Alternate, State
from wholekit.domain.quotes.totals import firm_hardware
from wholekit.domain.tax import LineKind
from wholekit.services.approvals import review_job
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings, release_stop
from wholekit.services.jobs import set_alternate
from wholekit.services.quote_papers import order_shown
from wholekit.services.quotes import close_quote, issue_quote

STOP = "hold-open-on-fire-door"


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
    (gone,) = quote_paper(offer).left_out
    assert (gone.mark, gone.quantity) == ("103", 2)
    assert any("hold-open arm" in reason for reason in gone.reasons)


def test_the_pick_room_gets_nothing_of_what_is_left_out(desk):
    job = a_job(desk, "101")
    add_openings(desk, by(), job.label, [held("103")])
    left(desk, job)
    accepted = close_quote(desk, by(), "Q-1", State.ACCEPTED)
    offer = frozen(accepted).offer.chosen()
    papers = (pick_list_paper(offer), labels_paper(offer), cards_paper(offer, RULES))
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
    (_, quoted) = quote_paper(offer).openings
    assert [note.severity for note in quoted.findings if "hold-open" in note.text] == ["released"]
    # The kit holds no such arm, so no paper may promise one.
    assert "hold-open arm asked for and left out" in quoted.summary
    (_, bag) = pick_list_paper(offer).openings
    assert any("hold-open" in text for text in bag.released)
    (_, label) = labels_paper(offer).labels
    assert "STOP RELEASED BY NAME" in label.alerts
    (_, card) = cards_paper(offer, RULES).cards
    assert isinstance(card, SettingCard)
    assert any(text.startswith("Stop released by name: ") for text in card.warnings)
    assert "left out" in card.summary


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
