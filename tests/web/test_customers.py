"""Customers and the places goods go to, at the counter and by whoever sets terms."""

from fractions import Fraction
from re import findall

import pytest
from tests.support.accounts import proven
from tests.support.jobs import plain

from wholekit.domain.tax import ShipTo
from wholekit.services import job_openings, jobs
from wholekit.services.customers import customer_of, list_ship_tos, set_ship_to

NEW = {"code": "tern", "currency": "USD", "name": "Tern Fitters", "address": "1 Quay\nWeir",
       "locale": "fr_CA", "days": "45", "email": "buyer@tern.example"}  # fmt: skip
PLACE = {"code": "quay", "name": "Quay store", "currency": "USD", "version": "0",
         "taxes": "state=6.25%:hardware,freight\ncounty=1.125% from 2026-01-01",
         "freights": "dock truck=45.00+3%, free from 2000\nparcel=12.50"}  # fmt: skip


def test_a_customer_is_entered_found_and_changed_as_far_as_the_role_goes(at, desk):
    ines = at("ines")
    wrong = ines.post("/customers/new", **{**NEW, "days": "soon"})
    assert wrong.status_code == 422
    assert 'value="Tern Fitters"' in wrong.text, "what was typed stays"
    assert ines.post("/customers/new", **NEW).headers["location"] == "/customers/tern"
    assert ines.post("/customers/new", **NEW).status_code == 409
    assert "Tern Fitters" in ines.get("/customers?text=TERN").text
    assert "No customer holds that text" in ines.get("/customers?text=heron").text
    page = ines.get("/customers/tern").text
    assert 'value="multiplier"' not in page
    version = findall(r'name="version" value="(\d+)"', page)[0]
    fields = {**NEW, "deed": "fields", "version": version, "certificate": "EX-9"}
    assert ines.post("/customers/tern", **fields).status_code == 303
    assert ines.post("/customers/tern", **fields).status_code == 409, "somebody did since"
    kept = customer_of(desk, proven(), "tern")
    assert (kept.address, kept.tax.certificate) == (("1 Quay", "Weir"), "EX-9")
    # A form of one's own making goes no further than the role.
    for deed in ({"deed": "multiplier", "multiplier": "10%"}, {"deed": "tier", "multiplier": "10%"},
                 {"deed": "agree", "reason": "x"}):  # fmt: skip
        assert ines.post("/customers/tern", **deed).status_code == 403, deed
    sam = at("sam")
    assert sam.post("/customers/tern", deed="multiplier", multiplier="55%").status_code == 303
    assert sam.post("/customers/tern", deed="tier", multiplier="0.5", supplier="tarrowby",
                    **{"from": "2026-12-01"}).status_code == 303  # fmt: skip
    assert (
        sam.post("/customers/tern", deed="end-tier", tier="1", to="2027-01-31").status_code == 303
    )
    kept = customer_of(desk, proven(), "tern")
    assert kept.multiplier == Fraction(55, 100)
    assert f"{kept.tiers[0].valid_to}" == "2027-01-31"
    assert at("pia").get("/customers").status_code == 403


def test_a_place_is_read_shown_as_it_was_typed_and_set_whole(at, desk):
    ines = at("ines")
    assert ines.post("/ship-tos", **{**PLACE, "taxes": "state"}).status_code == 422
    assert ines.post("/ship-tos", **PLACE).status_code == 303
    (place,) = [each for each in list_ship_tos(desk, proven()) if each.code == "quay"]
    assert [tax.rate for tax in place.taxes] == [Fraction(625, 10_000), Fraction(1125, 100_000)]
    page = ines.get("/ship-tos/quay").text
    assert "county=1.125% from 2026-01-01" in page
    assert "dock truck=45.00+3%, free from 2000.00" in page
    # Sent back as it stands it is the same place.
    again = {name: findall(rf'<textarea name="{name}"[^>]*>([^<]*)<', page)[0]
             for name in ("address", "taxes", "freights")}  # fmt: skip
    assert ines.post("/ship-tos", **{**PLACE, **again, "version": "1"}).status_code == 303
    (same,) = [each for each in list_ship_tos(desk, proven()) if each.code == "quay"]
    assert (same.taxes, same.freights) == (place.taxes, place.freights)
    assert ines.post("/ship-tos", **{**PLACE, "version": "1"}).status_code == 409


def test_a_job_goes_to_a_place_with_its_tax_and_freight(at, desk):
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay", "saltmarsh"))
    job_openings.add_openings(desk, proven(), job.label, [plain("101")])
    ines = at("ines")
    ines.post("/ship-tos", **PLACE)
    head = {"deed": "header", "name": "Heron Quay", "customer": "saltmarsh",
            "was_customer": "saltmarsh", "ship_to": "quay"}  # fmt: skip
    # What each place charges stands there before it is chosen, and is taken with it.
    assert '<option value="quay/parcel"' in ines.get("/jobs/1/terms").text
    assert ines.post("/jobs/1/terms", **head, freight="quay/parcel").status_code == 303
    assert jobs.job_header(desk, proven(), "1").freight == "parcel"
    usual = {**head, "was_ship_to": "quay", "freight": ""}
    assert ines.post("/jobs/1/terms", **usual).status_code == 303
    page = ines.get("/jobs/1").text
    assert "county 1.125%" in page
    assert "state 6.25%" in page
    kept = ines.post("/jobs/1/terms", **head, was_ship_to="quay", freight="quay/parcel")
    assert kept.status_code == 303
    assert "12.50 USD" in ines.get("/jobs/1").text
    wrong = ines.post("/jobs/1/terms", **{**head, "name": "", "was_ship_to": "quay"})
    assert wrong.status_code == 422


@pytest.mark.parametrize("path", ["/customers/nobody", "/ship-tos/nowhere"])
def test_who_is_not_there_is_told_so(at, path):
    assert at("ines").get(path).status_code == 404


def test_a_job_that_goes_nowhere_yet_is_proposed_the_only_place(at, desk):
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    set_ship_to(desk, proven("odo"), ShipTo("quay", "Quay 7"))
    page = at("ines").get(f"/jobs/{job.number}/terms").text
    assert '<option value="quay" selected>' in page
    assert "proposed, not yet in the job" in page
    assert jobs.job_header(desk, proven(), job.label).ship_to == "", "only proposed"
