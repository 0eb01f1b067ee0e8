"""Customers, ship-to places, people, settings and running numbers, on every store."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from tests.support.jobs import by, desk_on

from wholekit.domain.customers import Customer, PaymentTerms, PriceTier, TaxStatus
from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.quantities import Money, QuantityError
from wholekit.domain.quotes import HousePolicy, Person, PersonRole
from wholekit.domain.tax import FreightRate, LineKind, Rounding, ShipTo, TaxRate
from wholekit.services.customers import (
    add_customer,
    customer_of,
    edit_customer,
    end_tier,
    house_policy,
    list_customers,
    list_people,
    list_ship_tos,
    set_person,
    set_policy,
    set_ship_to,
    set_tier,
)
from wholekit.services.ports import Page

PORT = ShipTo(
    "port",
    "Port Aldren",
    ("14 Millrace Lane", "Port Aldren"),
    (
        TaxRate("state", Fraction(1, 16), frozenset({LineKind.HARDWARE}), date(2026, 1, 1)),
        TaxRate("stamp", Fraction(1, 300), exemptible=False),
    ),
    (
        FreightRate("dock truck", Money(4_500, "USD"), Fraction(1, 30), Money(500_000, "USD")),
        FreightRate("parcel", Money(1_250, "USD")),
        FreightRate("crane, “by appointment”", Money(0, "USD"), Fraction(5, 100)),
    ),
    inclusive=True,
    rounding=Rounding.LINE,
)
FULL = Customer(
    "saltmarsh",
    "Saltmarsh Bâtiments",
    ("3 Pier Road", "Ostrell"),
    "N. Quay",
    "quay@saltmarsh.example",
    "extension 4",
    "CAD",
    "fr_CA",
    Fraction(2, 3),
    (
        PriceTier(Fraction(1, 2), "tarrowby", "granite", "body", date(2026, 1, 1), None),
        PriceTier(Fraction(55, 100), valid_to=date(2026, 12, 31)),
    ),
    TaxStatus("EX-2211", date(2027, 6, 30)),
    PaymentTerms(45, "2 % in 10 days, net 45"),
    "port",
    "calls on Fridays",
)


@pytest.fixture
def desk(empty_store):
    return desk_on(empty_store)


def test_customers_and_places_come_back_as_they_were_written(desk):
    set_ship_to(desk, by(), PORT)
    add_customer(desk, by("odo"), FULL)
    assert customer_of(desk, by(), "saltmarsh") == FULL
    assert list(list_ship_tos(desk, by())) == [PORT]


def test_a_code_is_taken_once(desk):
    add_customer(desk, by("odo"), Customer("saltmarsh", "Saltmarsh"))
    with pytest.raises(ConflictError, match="customer-taken"):
        add_customer(desk, by("odo"), Customer("saltmarsh", "Another"))
    assert customer_of(desk, by(), "saltmarsh").name == "Saltmarsh"


def test_the_second_to_change_a_customer_or_place_is_told(desk):
    set_ship_to(desk, by(), PORT)
    set_ship_to(desk, by(), replace(PORT, name="Port"), expected=1)
    with pytest.raises(ConflictError):
        set_ship_to(desk, by(), replace(PORT, name="Harbour"), expected=1)
    add_customer(desk, by("odo"), Customer("saltmarsh", "Saltmarsh"))
    edit_customer(desk, by("odo"), "saltmarsh", lambda old: replace(old, name="One"), expected=1)
    with pytest.raises(ConflictError):
        edit_customer(
            desk, by("odo"), "saltmarsh", lambda old: replace(old, name="Two"), expected=1
        )
    assert (customer_of(desk, by(), "saltmarsh").name, list_ship_tos(desk, by())[0].name) == (
        "One",
        "Port",
    )


def test_a_tier_of_the_same_scope_and_day_is_replaced_and_one_can_end(desk):
    add_customer(desk, by("odo"), Customer("saltmarsh", "Saltmarsh"))
    for percent in (60, 58):
        set_tier(desk, by("odo"), "saltmarsh", PriceTier(Fraction(percent, 100), kind="body"))
    set_tier(desk, by("odo"), "saltmarsh", PriceTier(Fraction(50, 100), kind="cover"))
    end_tier(desk, by("odo"), "saltmarsh", 1, date(2026, 12, 31))
    tiers = customer_of(desk, by(), "saltmarsh").tiers
    assert [(tier.kind, tier.multiplier, tier.valid_to) for tier in tiers] == [
        ("body", Fraction(58, 100), date(2026, 12, 31)),
        ("cover", Fraction(50, 100), None),
    ]
    with pytest.raises(CallError, match="tier-unknown"):
        end_tier(desk, by("odo"), "saltmarsh", 3, date(2026, 12, 31))


def test_what_a_customer_cannot_be_is_refused(desk):
    with pytest.raises(CallError, match="ship-to-unknown"):
        add_customer(desk, by("odo"), FULL)
    with pytest.raises(QuantityError, match="currency-unknown"):
        add_customer(desk, by("odo"), Customer("x", "X", currency="XXX"))
    with pytest.raises(CallError, match="tax-rate-out-of-range"):
        set_ship_to(desk, by(), replace(PORT, taxes=(TaxRate("all", Fraction(1)),)))
    assert list_customers(desk, by(), "", Page()) == ([], 0)


def test_customers_are_found_by_part_of_code_or_name(desk):
    for code, name in (("b-two", "Beta"), ("a-one", "Alpha"), ("c-three", "Gamma alpha")):
        add_customer(desk, by("odo"), Customer(code, name))
    found, count = list_customers(desk, by(), "ALPHA", Page())
    assert ([customer.code for customer in found], count) == (["a-one", "c-three"], 2)
    found, count = list_customers(desk, by(), "", Page(1, 1))
    assert ([customer.code for customer in found], count) == (["b-two"], 3)


def test_only_owners_enter_people_and_one_owner_always_stays(desk):
    with pytest.raises(CallError, match="owner-first"):
        set_person(desk, by("ines"), Person("ines", PersonRole.COUNTER))
    set_person(desk, by("odo"), Person("odo", PersonRole.OWNER, "Odo Marsh"))
    with pytest.raises(CallError, match="person-unknown"):
        set_person(desk, by("ines"), Person("ines", PersonRole.OWNER))
    set_person(desk, by("odo"), Person("ines", PersonRole.SALES))
    with pytest.raises(CallError, match="owner-needed"):
        set_person(desk, by("ines"), Person("ines", PersonRole.OWNER))
    with pytest.raises(CallError, match="owner-last"):
        set_person(desk, by("odo"), Person("odo", PersonRole.COUNTER))
    people = [(person.name, person.role, person.version) for person in list_people(desk, by())]
    assert people == [("ines", PersonRole.SALES, 1), ("odo", PersonRole.OWNER, 1)]


def test_the_owners_settings_start_from_defaults_and_are_changed_by_version(desk):
    assert house_policy(desk, by("odo")) == HousePolicy()
    floor = Fraction(1, 3)
    set_policy(desk, by("odo"), lambda old: replace(old, floor=floor), expected=1)
    with pytest.raises(ConflictError):
        set_policy(desk, by("odo"), lambda old: replace(old, valid_days=9), expected=1)
    assert house_policy(desk, by("odo")) == replace(HousePolicy(), floor=floor, version=2)


def test_running_numbers_are_apart_and_without_gaps(desk):
    taken = []
    for series, keep in (("job", True), ("quote", True), ("job", False), ("job", True)):
        with desk.store.writing() as uow:
            taken.append((series, uow.numbers.take(series)))
            if keep:
                uow.commit()
    assert taken == [("job", 1), ("quote", 1), ("job", 2), ("job", 2)]


def test_changes_of_customers_and_people_are_in_the_audit_log(desk):
    set_person(desk, by("odo"), Person("odo", PersonRole.OWNER))
    set_person(desk, by("odo"), Person("ines", PersonRole.COUNTER))
    add_customer(desk, by(), Customer("saltmarsh", "Saltmarsh"))
    edit_customer(desk, by("odo"), "saltmarsh", lambda old: replace(old, note="calls on Fridays"))
    with desk.store.reading() as uow:
        entries = uow.audit.of_subject("customer", "saltmarsh")
        assert [(entry.who, entry.action) for entry in entries] == [
            ("ines", "customer-added"),
            ("odo", "customer-edited"),
        ]
        assert entries[1].before == {"note": "", "version": 1}
        assert len(uow.audit.of_subject("person", "odo")) == 1
