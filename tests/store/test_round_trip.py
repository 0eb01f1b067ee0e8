"""What goes into the store comes out equal, every field of it, exactly."""

from dataclasses import fields, replace
from datetime import UTC, date, datetime, timedelta, timezone
from fractions import Fraction

import pytest
from tests.support.house import opening
from tests.support.jobs import furnished

from wholekit.domain.customers import Customer, PaymentTerms, PriceTier, TaxStatus
from wholekit.domain.errors import ConflictError
from wholekit.domain.openings import (
    BodySide,
    Door,
    HoldOpen,
    Mount,
    Opening,
    UnaskedDoor,
    WhyUnasked,
)
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import (
    Alternate,
    AuditEntry,
    CatalogRef,
    DiscountLimit,
    ExtraLine,
    HousePolicy,
    Job,
    JobOpening,
    Override,
    OverrideKind,
    Person,
    PersonRole,
    Release,
)
from wholekit.domain.tax import FreightRate, LineKind, Rounding, ShipTo, TaxRate
from wholekit.services.ports import Page

WHEN = datetime(2026, 11, 25, 9, 30, 1, 123456, tzinfo=timezone(timedelta(hours=-5)))
CUSTOMER = Customer(
    code="ärger",
    name="Ärger & Söhne, “Tür”",
    address=("1 Quay", "Port Aldren"),
    contact="Ada",
    email="ada@example.test",
    phone="1",
    currency="KWD",
    locale="de_DE",
    multiplier=Fraction(31, 50),
    tiers=(
        PriceTier(Fraction(1, 3), "tarrowby", None, "body", date(2026, 1, 1), date(2026, 12, 31)),
        PriceTier(Fraction(2, 3), series="harbor"),
    ),
    tax=TaxStatus("C-1", date(2027, 1, 1)),
    terms=PaymentTerms(45, "net 45"),
    ship_to="quay",
    note="a\nb",
    version=1,
)
SHIP_TO = ShipTo(
    code="quay",
    name="Quay",
    address=("1 Quay",),
    taxes=(
        TaxRate("State", Fraction(29, 400), frozenset(LineKind), date(2026, 1, 1), None, False),
        TaxRate("City", Fraction(1, 100)),
    ),
    freights=(FreightRate("truck", Money(9_500, "USD"), Fraction(3, 200), Money(100_000, "USD")),),
    inclusive=True,
    rounding=Rounding.LINE,
)
JOB = Job(
    id="j1",
    number=1,
    name="Heron Quay",
    customer="saltmarsh",
    currency="USD",
    created_at=WHEN,
    created_by="ines",
    site="Quay",
    site_address=("1 Quay", "Port Aldren"),
    contact="Ada",
    ship_to="quay",
    freight="truck",
    bids_due=date(2026, 12, 1),
    salesperson="odo",
    note="n",
    discount=Fraction(1, 7),
    discount_reason="volume",
    catalogs=(CatalogRef("tarrowby", 1),),
    prefer=("tarrowby",),
    stock_first=True,
    alternates=(Alternate("A1", "lever", ("101",)),),
    unasked=(UnaskedDoor("107", WhyUnasked.BY_OTHERS, "A1"),),
    not_used=("Keyed with", "Lichtmaß; Öffnung"),
)
OPENING = JobOpening(
    id="o1",
    job_id="j1",
    position=3,
    opening=Opening(
        "101",
        opening(
            "914x2134 mm",
            leaves=2,
            door=Door.WOOD,
            weight="100 lb",
            reveal="4-1/64 in",
            body_side=BodySide.PUSH,
            mount=Mount.PARALLEL,
            hold_open=HoldOpen.ARM,
            fire_minutes=45,
            accessible=False,
            opening_degrees=110.5,
        ),
        4,
        "over there",
        "Gym",
        "US26D",
    ),
    alternate="A1",
    overrides=(
        Override(OverrideKind.PRICE, "agreed", "odo", WHEN, sku="X", price=Money(-5, "USD")),
        Override(OverrideKind.SIZE, "wind", "odo", WHEN, size=5),
    ),
    releases=(Release("size-too-small", "a=1", "known", "odo", WHEN),),
)
EXTRA = ExtraLine("x1", "j1", 1, LineKind.LABOUR, "hang", 3, Money(-1, "USD"), Cost(7, "USD"), "A1")
TEXT = ExtraLine("x2", "j1", 2, LineKind.OTHER, "as agreed")


def test_the_examples_leave_no_field_at_its_default():
    for customer in (CUSTOMER, SHIP_TO, JOB, OPENING, EXTRA):
        same = [
            field.name
            for field in fields(customer)
            if field.name != "version" and getattr(customer, field.name) == field.default
        ]
        assert same == [], type(customer).__name__
    own = OPENING.opening
    assert all((own.note, own.room, own.finish_written))


def test_parties_come_back_as_they_went_in(store):
    policy = replace(
        HousePolicy(),
        floor=Fraction(1, 3),
        limits=(DiscountLimit(PersonRole.SALES, Fraction(1, 9), Fraction(1, 8)),),
        version=2,
    )
    with store.writing() as work:
        assert work.policy.get() == HousePolicy()
        work.customers.add(CUSTOMER)
        work.ship_tos.add(SHIP_TO)
        work.ship_tos.add(ShipTo("none", "No tax"))
        work.people.add(Person("odo", PersonRole.OWNER, "Odo O."))
        work.policy.save(policy, 1)
        work.commit()
    with store.reading() as work:
        assert work.customers.get("ärger") == CUSTOMER
        assert work.ship_tos.get("quay") == SHIP_TO
        assert [ship_to.code for ship_to in work.ship_tos.all()] == ["none", "quay"]
        assert work.people.get("odo") == Person("odo", PersonRole.OWNER, "Odo O.")
        assert work.policy.get() == policy
        assert work.customers.page("SÖHNE", Page()) == ([CUSTOMER], 1)
    with store.writing() as work, pytest.raises(ConflictError) as told:
        work.policy.save(policy, 1)
    assert told.value.fields["found"] == 2


def test_a_job_comes_back_as_it_went_in(store):
    furnished(store)
    with store.writing() as work:
        work.jobs.add(JOB)
        work.jobs.add_openings([OPENING])
        work.jobs.add_extra(EXTRA)
        work.jobs.add_extra(TEXT)
        work.audit.add(
            AuditEntry(WHEN, "odo", "job-created", "job", "j1", "j1", None, {"a": [1, "ä"]}, "so")
        )
        work.commit()
    with store.reading() as work:
        found = work.jobs.contents("j1")
        assert found is not None
        assert (found.job, found.openings, found.extras) == (JOB, (OPENING,), (TEXT, EXTRA))
        kind = found.openings[0].opening.type
        assert (str(kind.width), str(kind.reveal)) == ("914 mm", "4-1/64 in")
        assert found.job.created_at.utcoffset() == timedelta(hours=-5)
        (entry,) = work.audit.of_job("j1")
        assert (entry.at, entry.before, entry.after) == (WHEN, None, {"a": [1, "ä"]})
    assert WHEN.astimezone(UTC) == WHEN


@pytest.mark.parametrize("change", ["header", "opening", "extra"])
def test_a_change_made_on_an_older_version_is_told_with_both_versions(store, change):
    furnished(store)
    with store.writing() as work:
        work.jobs.add(JOB)
        work.jobs.add_openings([OPENING])
        work.jobs.add_extra(EXTRA)
        work.commit()

    def save(work, version):
        if change == "header":
            work.jobs.save(replace(JOB, name="new", version=version + 1), version)
        elif change == "opening":
            work.jobs.save_opening(replace(OPENING, position=9, version=version + 1), version)
        else:
            work.jobs.save_extra(replace(EXTRA, quantity=9, version=version + 1), version)

    with store.writing() as work:
        save(work, 1)
        work.commit()
    with store.writing() as work, pytest.raises(ConflictError) as told:
        save(work, 1)
    assert told.value.code == "version-stale"
    assert (told.value.fields["expected"], told.value.fields["found"]) == (1, 2)
