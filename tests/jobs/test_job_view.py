"""A job shown with what can be worked out; freight, customer and catalogues of a job."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from functools import partial

import pytest
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, sample
from tests.support.jobs import a_job, by, furnished, plain, put_catalog

from wholekit.domain.customers import Customer, TaxStatus
from wholekit.domain.errors import CallError
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Alternate, Override, OverrideKind, State
from wholekit.domain.tax import FreightRate, ShipTo
from wholekit.services.approvals import review_job
from wholekit.services.customers import add_customer, edit_customer, set_ship_to
from wholekit.services.job_openings import (
    add_openings,
    copy_opening,
    edit_opening,
    override_opening,
)
from wholekit.services.job_view import view_job
from wholekit.services.jobs import (
    NewJob,
    create_job,
    edit_job,
    job_contents,
    list_jobs,
    reprice_job,
    set_alternate,
)
from wholekit.services.ports import JobFilter, Page
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.views.jobs import job_answer

DAY = by().day
PORT = ShipTo(
    "port",
    "Port Aldren",
    freights=(
        FreightRate("dock truck", Money(4_500, "USD"), Fraction(3, 100)),
        FreightRate("Parcel", Money(1_250, "USD")),
    ),
)
QUAY = replace(PORT, code="quay", freights=(FreightRate("parcel", Money(900, "USD")),))
FIELD = replace(PORT, code="field", freights=())


@pytest.fixture
def desk():
    made = furnished(FakeStore())
    for place in (PORT, QUAY, FIELD):
        set_ship_to(made, by(), place)
    return made


def header(desk, job):
    return job_contents(desk, by(), job.label).job


def shown(desk, job):
    return job_answer(view_job(desk, by(), job.label), RULES, DAY)


def lines(desk, job):
    with desk.store.reading() as uow:
        return len(uow.audit.of_job(job.id))


def _taxed(old: Customer, *, status: TaxStatus) -> Customer:
    return replace(old, tax=status)


# Freight


def test_a_job_is_charged_the_rate_it_names_or_the_usual_one(desk):
    charged = []
    for name in ("", "dock truck", " PARCEL "):
        job = create_job(desk, by(), NewJob("X", "saltmarsh", ship_to="port", freight=name))
        add_openings(desk, by(), job.label, [plain("1")])
        answer = shown(desk, job)
        charged.append((job.freight, answer.freight.name, answer.totals.freight.amount))
    hardware = review_job(desk, by(), "J-1").workup.job.openings[0].price
    truck = Money(4_500, "USD") + hardware.scaled(Fraction(3, 100))
    assert charged == [
        ("", "dock truck", truck.decimal_text),
        ("dock truck", "dock truck", truck.decimal_text),
        ("Parcel", "Parcel", "12.50"),
    ]


def test_a_freight_rate_is_held_against_the_place_at_once(desk):
    with pytest.raises(CallError, match="freight-unknown") as refused:
        create_job(desk, by(), NewJob("X", "saltmarsh", ship_to="port", freight="crane"))
    assert refused.value.fields["known"] == ["dock truck", "Parcel"]
    with pytest.raises(CallError, match="freight-without-place"):
        create_job(desk, by(), NewJob("X", "saltmarsh", freight="parcel"))
    job = create_job(desk, by(), NewJob("X", "saltmarsh", ship_to="port"))
    assert job.number == 1, "the refused ones took no number"
    with pytest.raises(CallError, match="freight-unknown"):
        edit_job(desk, by(), job.label, {"freight": "crane"})
    set_ship_to(
        desk, by(), ShipTo("lake", "Lake", freights=(FreightRate("parcel", Money(1, "CAD")),))
    )
    with pytest.raises(CallError, match="freight-currency"):
        edit_job(desk, by(), job.label, {"ship_to": "lake"})
    assert header(desk, job) == job


@pytest.mark.parametrize(
    ("had", "changes", "has"),
    [
        ("Parcel", {"ship_to": "quay"}, "parcel"),
        ("dock truck", {"ship_to": "quay"}, ""),
        ("dock truck", {"ship_to": "field"}, ""),
        ("dock truck", {"ship_to": ""}, ""),
        ("dock truck", {"ship_to": "quay", "freight": "parcel"}, "parcel"),
        ("dock truck", {"freight": ""}, ""),
        ("dock truck", {"name": "Y"}, "dock truck"),
    ],
)
def test_a_rate_stays_with_the_job_only_where_the_new_place_has_it(desk, had, changes, has):
    job = create_job(desk, by(), NewJob("X", "saltmarsh", ship_to="port", freight=had))
    edit_job(desk, by(), job.label, changes)
    assert header(desk, job).freight == has


def test_what_a_freight_rate_cannot_be_is_refused(desk):
    flat = Money(100, "USD")
    for code, rates in (
        ("freight-name-twice", (FreightRate("a", flat), FreightRate("A", flat))),
        ("freight-name-needed", (FreightRate(" ", flat),)),
        ("freight-share-out-of-range", (FreightRate("a", flat, Fraction(1)),)),
        ("freight-share-out-of-range", (FreightRate("a", flat, Fraction(-1, 100)),)),
        ("freight-currencies", (FreightRate("a", flat, free_from=Money(1, "CAD")),)),
        ("text-not-plain", (FreightRate("a\nb", flat),)),
    ):
        with pytest.raises(CallError, match=code):
            set_ship_to(desk, by(), replace(PORT, freights=rates))


# What can be shown


def test_a_job_without_a_catalogue_shows_its_openings_as_scheduled(desk):
    add_customer(desk, by("odo"), Customer("maple", "Maple", currency="CAD"))
    job = create_job(desk, by(), NewJob("Hall", "maple"))
    add_openings(desk, by(), job.label, [plain("101", 2), plain("102")])
    answer = shown(desk, job)
    assert [
        (opening.mark, opening.quantity, opening.size, opening.summary)
        for opening in answer.openings
    ] == [
        ("101", 2, "3'-0\" × 7'-0\"", "Leaf of 100 lb"),
        ("102", 1, "3'-0\" × 7'-0\"", "Leaf of 100 lb"),
    ]
    assert [(opening.mount, opening.price, opening.complete) for opening in answer.openings] == [
        (None,) * 3
    ] * 2
    assert answer.totals is None
    assert len(answer.notes) == 1
    assert "load one in CAD" in answer.notes[0]
    assert f"wholekit job reprice {job.label}" in answer.notes[0]


def test_a_hand_setting_that_no_longer_fits_leaves_the_others_to_be_seen(desk):
    job = a_job(desk, "101", "102")
    worked = review_job(desk, by(), job.label).workup.job.openings
    sku = next(
        worked_line.line.item.sku
        for worked_line in worked[0].worked.lines
        if worked_line.goods.kind == "body"
    )
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Bronze"))
    copy_opening(desk, by(), job.label, "101", ["101"], to_alternate="alt-1")
    agreed = Override(OverrideKind.PRICE, "agreed", "", by().at, sku=sku, price=Money(1, "USD"))
    override_opening(desk, by(), job.label, "101", agreed)
    other = replace(plain("101").type, finish="690")
    edit_opening(desk, by(), job.label, "101", lambda old: replace(old, type=other))
    answer = shown(desk, job)
    prices = [(opening.mark, opening.alternate, opening.price) for opening in answer.openings]
    whole = worked[1].price.decimal_text
    assert [(mark, alternate, price and price.amount) for mark, alternate, price in prices] == [
        ("101", "", None),
        ("102", "", whole),
        ("101", "alt-1", whole),
    ]
    assert answer.totals is None
    assert answer.alternates[0].totals is None
    assert [sign.reason for sign in answer.openings[0].by_hand] == ["agreed"]
    assert f"wholekit job clear {job.label} 101 price --sku {sku}" in answer.notes[0]


def test_a_ship_to_that_lost_the_jobs_freight_leaves_kits_and_prices_to_be_seen(desk):
    job = create_job(desk, by(), NewJob("X", "saltmarsh", ship_to="port", freight="Parcel"))
    add_openings(desk, by(), job.label, [plain("101")])
    set_ship_to(desk, by(), replace(PORT, freights=PORT.freights[:1]))
    answer = shown(desk, job)
    assert "no freight rate Parcel; it has dock truck" in answer.notes[0]
    assert answer.openings[0].price is not None
    assert answer.totals is None


def test_a_job_that_is_not_there_is_no_view(desk):
    with pytest.raises(CallError, match="job-unknown"):
        view_job(desk, by(), "9")


def test_a_certificate_is_noted_with_the_job(desk):
    job = create_job(desk, by(), NewJob("X", "saltmarsh", bids_due=date(2027, 3, 1)))
    for expires, words in (
        (date(2027, 2, 28), "before bids are due on 2027-03-01"),
        (date(2026, 11, 24), "ran out on 2026-11-24: taxes are charged"),
        (date(2027, 3, 1), ""),
    ):
        status = TaxStatus("EX-1", expires)
        edit_customer(desk, by("odo"), "saltmarsh", partial(_taxed, status=status))
        notes = " ".join(shown(desk, job).notes)
        assert words in notes
        assert bool(words) == bool(notes)


# Customer, catalogues, alternates


def test_another_customers_prices_ship_to_and_contact_hold_at_once(desk):
    add_customer(
        desk, by("odo"), Customer("dune", "Dune", multiplier=Fraction(1, 2), ship_to="quay")
    )
    job = create_job(desk, by(), NewJob("X", "saltmarsh", ship_to="port", contact="N. Quay"))
    add_openings(desk, by(), job.label, [plain("101")])
    before = review_job(desk, by(), job.label).workup.job.openings[0]
    changed = edit_job(desk, by("odo"), job.label, {"customer": "dune"})
    assert (changed.customer, changed.ship_to, changed.contact) == ("dune", "quay", "")
    after = review_job(desk, by(), job.label).workup.job.openings[0]
    for was, now in zip(before.worked.lines, after.worked.lines, strict=True):
        assert now.unit == was.line.item.list_price.scaled(Fraction(1, 2))
    with desk.store.reading() as uow:
        entry = uow.audit.of_job(job.id)[-1]
    assert (entry.who, entry.before["customer"], entry.after["customer"]) == (
        "odo", "saltmarsh", "dune"
    )  # fmt: skip
    back: dict[str, object] = {"customer": "saltmarsh", "ship_to": "field", "contact": "M. Sand"}
    kept = edit_job(desk, by(), job.label, back)
    assert (kept.ship_to, kept.contact) == ("field", "M. Sand")


def test_a_customer_of_another_currency_or_of_an_accepted_quote_stays_out(desk):
    add_customer(desk, by("odo"), Customer("maple", "Maple", currency="CAD"))
    add_customer(desk, by("odo"), Customer("dune", "Dune"))
    job = a_job(desk, "101")
    for code, customer in (("customer-currency", "maple"), ("customer-unknown", "nobody")):
        with pytest.raises(CallError, match=code):
            edit_job(desk, by(), job.label, {"customer": customer})
    issue_quote(desk, by("odo"), job.label)
    close_quote(desk, by(), "Q-1", State.ACCEPTED)
    with pytest.raises(CallError, match="customer-accepted"):
        edit_job(desk, by(), job.label, {"customer": "dune"})
    assert header(desk, job).customer == "saltmarsh"


def test_a_job_on_the_latest_revisions_is_not_moved_and_nothing_is_written(desk):
    job = a_job(desk, "101")
    before = lines(desk, job)
    assert reprice_job(desk, by(), job.label) == job
    assert lines(desk, job) == before
    put_catalog(desk.store, sample("tarrowby"))
    moved = reprice_job(desk, by(), job.label)
    assert [(catalog.catalog_id, catalog.revision) for catalog in moved.catalogs] == [
        ("tarrowby", 2)
    ]
    assert lines(desk, job) == before + 1


def test_a_catalogue_is_of_the_store_and_of_the_jobs_currency(desk):
    add_customer(desk, by("odo"), Customer("maple", "Maple", currency="CAD"))
    for code, new in (
        ("supplier-not-in-store", NewJob("X", "saltmarsh", suppliers=("tarowby",))),
        ("supplier-currency", NewJob("X", "maple", suppliers=("tarrowby",))),
        ("prefer-not-priced", NewJob("X", "saltmarsh", prefer=("averlund",))),
    ):
        with pytest.raises(CallError, match=code):
            create_job(desk, by(), new)


def test_an_alternate_has_a_title_and_a_list_its_days_in_order(desk):
    job = a_job(desk, "101")
    with pytest.raises(CallError, match="alternate-title-needed"):
        set_alternate(desk, by(), job.label, Alternate("alt-1", "  "))
    late, early = date(2026, 12, 2), date(2026, 12, 1)
    with pytest.raises(CallError, match="dates-reversed"):
        list_jobs(desk, by(), JobFilter(due_from=late, due_to=early), Page())
    with pytest.raises(CallError, match="customer-unknown"):
        list_jobs(desk, by(), JobFilter(customer="nobody"), Page())


def test_the_same_again_is_no_change_and_another_unit_is_one(desk):
    job = a_job(desk, "101")
    before = lines(desk, job)
    (entry,) = job_contents(desk, by(), job.label).openings
    assert edit_opening(desk, by(), job.label, "101", lambda old: replace(old)) == entry
    assert edit_job(desk, by(), job.label, {"name": job.name}) == job
    assert lines(desk, job) == before
    metric = replace(entry.opening.type, width=replace(entry.opening.type.width, unit="mm"))
    assert metric == entry.opening.type, "as long as before"
    edit_opening(desk, by(), job.label, "101", lambda old: replace(old, type=metric))
    assert job_contents(desk, by(), job.label).openings[0].opening.type.width.unit == "mm"
