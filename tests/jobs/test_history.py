"""The history of a job, as a person reads it."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, furnished, plain

from wholekit.domain.customers import Customer
from wholekit.domain.openings import HoldOpen
from wholekit.domain.quantities import Cost, Money, parse_length
from wholekit.domain.quotes import Alternate, AuditEntry, Override, OverrideKind, State
from wholekit.domain.tax import FreightRate, LineKind, ShipTo
from wholekit.services.approvals import approve_draft
from wholekit.services.customers import add_customer, set_ship_to
from wholekit.services.job_history import job_events
from wholekit.services.job_lines import NewExtra, add_extra, edit_extra, remove_extra
from wholekit.services.job_openings import (
    add_openings,
    clear_override,
    copy_opening,
    edit_opening,
    override_opening,
    release_stop,
    remove_opening,
    split_opening,
)
from wholekit.services.jobs import edit_job, set_alternate, set_discount
from wholekit.services.quote_drafts import draft_quote
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.views.history import event_answers


@pytest.fixture
def desk():
    return furnished(FakeStore())


def history(desk, job):
    return event_answers(job_events(desk, by(), job.label))


def last(desk, job):
    event = history(desk, job)[-1]
    return event.action, event.about, event.changes, event.reason


def changed(**fields):
    return lambda old: replace(old, **fields)


def test_a_change_of_an_opening_tells_its_mark_and_each_field_before_and_after(desk):
    job = a_job(desk, "101")
    kind = replace(plain("101").type, reveal=parse_length("4-3/4 in"), finish="690")
    edit_opening(desk, by("odo"), job.label, "101", changed(quantity=3, note="east", type=kind))
    assert last(desk, job) == (
        "opening changed",
        "101",
        (
            "quantity 1 → 3",
            "note none → east",
            "reveal not stated → 4-3/4 in",
            "finish 689 → 690",
        ),
        "",
    )
    event = history(desk, job)[-1]
    assert (event.who, event.at) == ("odo", by().at.isoformat())


def test_an_entry_tells_the_mark_an_opening_had_then(desk):
    job = a_job(desk, "101")
    override = Override(OverrideKind.PRICE, "agreed", "", by().at, price=Money(9_000, "USD"))
    override_opening(desk, by(), job.label, "101", override)
    edit_opening(desk, by(), job.label, "101", changed(mark="102"))
    edit_opening(desk, by(), job.label, "102", changed(quantity=2))
    remove_opening(desk, by(), job.label, "102")
    told = [(event.action, event.about, event.changes) for event in history(desk, job)[2:]]
    assert told == [
        ("opening set by hand", "101", ("price of the whole opening set to 90.00 USD",)),
        ("opening changed", "101", ("mark 101 → 102",)),
        ("opening changed", "102", ("quantity 1 → 2",)),
        (
            "opening removed",
            "102",
            ("2 × 3'-0\" × 7'-0\"; by hand price of the whole opening set to 90.00 USD",),
        ),
    ]


def test_what_a_hand_set_and_took_back_is_told_with_its_reason(desk):
    job = a_job(desk)
    add_openings(desk, by(), job.label, [plain("1", fire_minutes=90, hold_open=HoldOpen.ARM)])
    for price in (9_000, 8_500):
        agreed = Override(OverrideKind.PRICE, "by phone", "", by().at, price=Money(price, "USD"))
        override_opening(desk, by(), job.label, "1", agreed)
    assert last(desk, job)[2:] == (
        (
            (
                "price of the whole opening set to 90.00 USD → "
                "price of the whole opening set to 85.00 USD"
            ),
        ),
        "by phone",
    )
    clear_override(desk, by(), job.label, "1", OverrideKind.PRICE)
    assert last(desk, job)[2] == ("price of the whole opening set to 85.00 USD: taken back",)
    release_stop(desk, by(), job.label, "1", "hold-open-on-fire-door", "letter of 3 June")
    assert last(desk, job) == (
        "stop released", "1", ("released: hold-open-on-fire-door",), "letter of 3 June"
    )  # fmt: skip


def test_openings_added_copied_and_split_are_told_by_mark(desk):
    job = a_job(desk)
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Bronze"))
    many = [plain(f"{number}", number % 2 + 1) for number in range(1, 16)]
    add_openings(desk, by(), job.label, [*many, plain("E1", size="4080")])
    assert last(desk, job)[:3] == (
        "openings added",
        "",
        (
            "16 marks",
            (
                "3'-0\" × 7'-0\": 1 (× 2), 2, 3 (× 2), 4, 5 (× 2), 6, 7 (× 2), 8, 9 (× 2), 10, "
                "11 (× 2), 12 and 3 more"
            ),
            "4'-0\" × 8'-0\": E1",
        ),
    )
    copy_opening(desk, by(), job.label, "1", ["1"], to_alternate="alt-1")
    assert last(desk, job)[2][0] == "1 mark in alternate alt-1"
    edit_opening(desk, by(), job.label, "1", changed(quantity=5), "alt-1")
    assert last(desk, job)[1] == "1 [alt-1]"
    split_opening(desk, by(), job.label, "1", "1A", 1)
    split, apart = history(desk, job)[-2:]
    assert (split.action, split.about, split.changes) == ("opening split", "1", ("quantity 2 → 1",))
    assert apart.changes == ("1 mark", "3'-0\" × 7'-0\": 1A")


def test_a_header_tells_only_what_was_changed(desk):
    rates = (FreightRate("parcel", Money(1_250, "USD")), FreightRate("crane", Money(9_000, "USD")))
    set_ship_to(desk, by(), ShipTo("port", "Port", freights=rates))
    add_customer(desk, by("odo"), Customer("dune", "Dune Point", ship_to="port"))
    job = a_job(desk)
    edit_job(desk, by(), job.label, {"customer": "dune", "freight": "crane"})
    assert last(desk, job) == (
        "job changed",
        "",
        ("customer saltmarsh → dune", "ship to none → port", "freight rate the usual one → crane"),
        "",
    )
    set_discount(desk, by(), job.label, Fraction(1, 40), "early order")
    assert last(desk, job) == ("discount set", "", ("discount 0% → 2.5%",), "early order")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Bronze"))
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Bronze finish"))
    assert last(desk, job)[2] == ("alternate alt-1 Bronze → alt-1 Bronze finish",)
    set_alternate(desk, by(), job.label, Alternate("alt-2", "Aluminum"))
    assert last(desk, job)[2] == ("alternate alt-2 Aluminum",), "alt-1 is as it was"
    made = history(desk, job)[0]
    assert made.changes == (
        (
            "name Heron Quay School; customer saltmarsh; salesperson ines; priced on tarrowby "
            "revision 1"
        ),
    )


def test_an_extra_line_tells_its_price_and_never_its_cost(desk):
    job = a_job(desk)
    hinges = NewExtra(LineKind.HARDWARE, "Hinges", 3, Money(1_299, "USD"), Cost(81_234, "USD"))
    add_extra(desk, by(), job.label, hinges)
    assert last(desk, job)[1:3] == (
        "Hinges",
        ("kind hardware; quantity 3; price each 12.99 USD; own cost entered",),
    )
    edit_extra(desk, by(), job.label, 1, {"unit": Money(1_399, "USD"), "cost": Cost(91_234, "USD")})
    assert last(desk, job)[2] == ("price each 12.99 USD → 13.99 USD", "own cost changed")
    edit_extra(desk, by(), job.label, 1, {"cost": None})
    assert last(desk, job)[2] == ("own cost taken away",)
    edit_extra(desk, by(), job.label, 1, {"quantity": 3})
    assert last(desk, job)[2] == ("as it was",)
    remove_extra(desk, by(), job.label, 1)
    events = history(desk, job)
    assert [event.about for event in events[1:]] == ["Hinges"] * 5
    text = f"{events}"
    assert "1234" not in text, "neither in words nor in the data"


def test_a_quote_tells_its_revision_state_and_what_was_approved(desk):
    job = a_job(desk, "101")
    draft_quote(desk, by(), job.label)
    assert last(desk, job)[:3] == ("draft made", "revision 1", ("days to hold 30",))
    approve_draft(desk, by("odo"), job.label, "to win the school")
    action, about, changes, reason = last(desk, job)
    assert (action, about, reason) == ("draft approved", "revision 1", "to win the school")
    assert changes[0].startswith("base bid net ")
    issue_quote(desk, by("odo"), job.label)
    assert last(desk, job)[2] == (
        "state draft → issued", "quote Q-00001", "holds until none → 2026-12-25"
    )  # fmt: skip
    close_quote(desk, by(), "Q-1", State.DECLINED, lost_reason="lead-time", remark="June at last")
    assert last(desk, job) == (
        "quote declined",
        "revision 1",
        ("state issued → declined", "remark none → June at last"),
        "lead time",
    )


def test_an_entry_of_another_make_is_told_without_its_details(desk):
    job = a_job(desk, "101")
    with desk.store.writing() as uow:
        (opening,) = uow.jobs.contents(job.id).openings
        uow.audit.add(
            AuditEntry(
                by().at, "odo", "opening-edited", "opening", opening.id, job.id,
                {"overrides": "many"}, {"overrides": "few"},
            )
        )  # fmt: skip
        uow.commit()
    assert last(desk, job)[1:3] == (
        "101",
        ("details cannot be put into words; they stand in the answer of --json",),
    )
