"""Once people are entered, every change of a job or a customer goes by one of their names."""

import inspect
from datetime import date
from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, desk_on, furnished, plain

from wholekit.domain.customers import Customer, PriceTier
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Alternate, Job, Override, OverrideKind
from wholekit.domain.tax import LineKind, ShipTo
from wholekit.services import customers, job_lines, job_openings, jobs
from wholekit.wording.errors import say_error

CARL = by("carl")
OVERRIDE = Override(OverrideKind.PRICE, "agreed", "", CARL.at, price=Money(100, "USD"))
CALLS = {
    "create_job": lambda desk: jobs.create_job(desk, CARL, jobs.NewJob("X", "saltmarsh")),
    "edit_job": lambda desk: jobs.edit_job(desk, CARL, "1", {"name": "Y"}),
    "set_discount": lambda desk: jobs.set_discount(desk, CARL, "1", Fraction(1, 50), "why"),
    "set_alternate": lambda desk: jobs.set_alternate(desk, CARL, "1", Alternate("a", "A")),
    "remove_alternate": lambda desk: jobs.remove_alternate(desk, CARL, "1", "alt-1"),
    "reprice_job": lambda desk: jobs.reprice_job(desk, CARL, "1"),
    "add_openings": lambda desk: job_openings.add_openings(desk, CARL, "1", [plain("9")]),
    "edit_opening": lambda desk: job_openings.edit_opening(
        desk, CARL, "1", "101", lambda old: plain("101", 2)
    ),
    "remove_opening": lambda desk: job_openings.remove_opening(desk, CARL, "1", "101"),
    "copy_opening": lambda desk: job_openings.copy_opening(desk, CARL, "1", "101", ["102"]),
    "split_opening": lambda desk: job_openings.split_opening(desk, CARL, "1", "101", "102", 1),
    "override_opening": lambda desk: job_openings.override_opening(
        desk, CARL, "1", "101", OVERRIDE
    ),
    "clear_override": lambda desk: job_openings.clear_override(
        desk, CARL, "1", "101", OverrideKind.PRICE
    ),
    "release_stop": lambda desk: job_openings.release_stop(desk, CARL, "1", "101", "x", "why"),
    "add_extra": lambda desk: job_lines.add_extra(
        desk, CARL, "1", job_lines.NewExtra(LineKind.OTHER, "Van")
    ),
    "edit_extra": lambda desk: job_lines.edit_extra(desk, CARL, "1", 1, {"quantity": 2}),
    "remove_extra": lambda desk: job_lines.remove_extra(desk, CARL, "1", 1),
    "add_customer": lambda desk: customers.add_customer(desk, CARL, Customer("new", "New")),
    "edit_customer": lambda desk: customers.edit_customer(
        desk, CARL, "saltmarsh", lambda old: old.with_tier(PriceTier(Fraction(1, 2)))
    ),
    "set_tier": lambda desk: customers.set_tier(desk, CARL, "saltmarsh", PriceTier(Fraction(1, 2))),
    "end_tier": lambda desk: customers.end_tier(desk, CARL, "saltmarsh", 1, date(2027, 1, 1)),
    "set_ship_to": lambda desk: customers.set_ship_to(desk, CARL, ShipTo("port", "Port")),
}
OWNERS_ONLY = {"set_person", "set_policy"}


@pytest.fixture
def desk():
    """A job with an opening set by hand, an alternate and a line; a customer with a tier."""
    made = furnished(FakeStore())
    customers.set_tier(made, by(), "saltmarsh", PriceTier(Fraction(3, 5)))
    job = a_job(made)
    job_openings.add_openings(made, by(), job.label, [plain("101", 2)])
    job_openings.override_opening(made, by(), job.label, "101", OVERRIDE)
    jobs.set_alternate(made, by(), job.label, Alternate("alt-1", "Bronze"))
    job_lines.add_extra(made, by(), job.label, job_lines.NewExtra(LineKind.OTHER, "Van"))
    return made


def audit(desk):
    with desk.store.reading() as uow:
        return uow.state.audit


def test_every_change_of_a_job_or_a_customer_is_among_the_calls():
    changing = {
        name
        for module in (jobs, job_openings, job_lines, customers)
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__
        and not name.startswith("_")
        and "deed" in inspect.signature(function).parameters
    }
    assert changing == set(CALLS) | OWNERS_ONLY


@pytest.mark.parametrize("name", sorted(CALLS))
def test_a_name_that_the_house_does_not_know_changes_nothing(desk, name):
    before = audit(desk)
    with pytest.raises(CallError) as refused:
        CALLS[name](desk)
    assert refused.value.code == "person-unknown"
    assert "The house knows nobody named carl who could" in say_error(refused.value)
    assert "it knows ines and odo" in say_error(refused.value)
    assert audit(desk) == before


def test_a_house_without_people_takes_any_name():
    desk = desk_on(FakeStore())
    customers.add_customer(desk, CARL, Customer("saltmarsh", "Saltmarsh"))
    made = CALLS["create_job"](desk)
    assert isinstance(made, Job)
    assert made.created_by == "carl"
