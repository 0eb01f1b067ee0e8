"""`wholekit customer`, as a user calls it: freight rates, price tiers, certificates, lists."""

import pytest
from tests.support.command import add_openings
from tests.support.command import done_named as done
from tests.support.command import run_named as run

pytestmark = pytest.mark.usefixtures("shop")


def place(code="quay", *options):
    return done("customer", "ship-to", code, "Ostrell Quay", *options, "--json").json


def refused(*arguments):
    result = run(*arguments)
    assert (result.status, result.out) == (2, "")
    return " ".join(result.err.split())


def test_a_plain_amount_takes_its_share_and_free_from_beside_it():
    (rate,) = place(
        "quay", "--freight", "45", "--freight-share", "3%", "--freight-free-from", "2000"
    )["freights"]
    assert rate["text"] == "45.00 USD + 3% of the hardware, free from 2,000.00 USD"
    assert place("quay")["freights"] == []


def test_a_rate_that_cannot_be_leaves_the_place_as_it_was():
    before = done("customer", "ship-tos", "--json").json
    for options, words in (
        (("--freight", "truck="), "truck= is no freight rate; right would be an amount"),
        (("--freight", "truck=1", "--freight", "Truck=2"), "two freight rates of one name"),
        (("--freight", "truck=45, free from 2,000"), "2,000 is not an amount"),
        (("--freight", "45", "--freight-share", "-3%"), "from 0% to under 100%"),
        (("--tax", "vat=-5%"), "from 0% to under 100%"),
    ):
        assert words in refused("customer", "ship-to", "port", "Port Aldren", *options)
    assert done("customer", "ship-tos", "--json").json == before


def test_several_rates_are_listed_and_chosen_by_name_for_a_job():
    place("quay", "--freight", "dock truck=45.00+3%", "--freight", "parcel=12.50")
    table = done("customer", "ship-tos").out
    assert max(map(len, table.splitlines())) <= 80
    assert "parcel: 12.50" in " ".join(table.split())
    done("job", "new", "Hall", "--customer", "saltmarsh", "--ship-to", "quay",
         "--freight", "parcel")  # fmt: skip
    add_openings("1 3070 689 interior", job="2")
    shown = done("job", "show", "2").out
    assert "ship to quay; freight parcel: 12.50 USD" in " ".join(shown.split())
    done("job", "set", "2", "--freight", "dock truck")
    assert done("job", "show", "2", "--json").json["freight"]["name"] == "dock truck"
    assert "it has dock truck and parcel" in refused("job", "set", "2", "--freight", "crane")
    moved = run("job", "set", "2", "--ship-to", "port")
    assert (moved.status, moved.err.count("dock truck is none of its ship-to's")) == (0, 1)


def test_a_tier_of_nothing_known_or_below_zero_is_refused():
    for options, words in (
        (("50%", "--supplier", "tarowby"), "no catalogue tarowby; it has tarrowby"),
        (("-5%",), "5% is not a multiplier; right would be from 0.001"),
        (("-.5",), "is not a multiplier"),
        (("50%", "--to", "2020-01-01"), "is past, so it would never count"),
        (("50%", "--bogus"), "No such option: --bogus"),
    ):
        assert words in refused("customer", "tier", "saltmarsh", *options)
    assert done("customer", "show", "saltmarsh", "--json").json["tiers"] == []


def test_a_tier_that_would_never_count_is_refused():
    done("customer", "tier", "saltmarsh", "50%", "--kind", "body", "--from", "2020-01-01")
    told = refused("customer", "tier", "saltmarsh", "45%", "--kind", "body")
    assert "tier 1 of the same scope, from 2020-01-01, is later" in told
    assert "wholekit customer end-tier saltmarsh 1 --to DATE" in told
    done("customer", "tier", "saltmarsh", "45%", "--kind", "cover")
    done("customer", "tier", "saltmarsh", "45%", "--kind", "boxed-set", "--series", "granite",
         "--supplier", "tarrowby")  # fmt: skip
    assert "before the first" in refused("customer", "end-tier", "saltmarsh", "1",
                                         "--to", "2019-12-31")  # fmt: skip
    beyond = refused("customer", "end-tier", "saltmarsh", "9", "--to", "2030-01-01")
    assert "the customer has 3, numbered from 1" in beyond


def test_without_a_catalogue_a_tier_is_taken_and_that_is_told(monkeypatch, tmp_path):
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path / "other"))
    done("customer", "add", "dune", "Dune Point")
    taken = run("customer", "tier", "dune", "50%", "--supplier", "nobody", "--json")
    assert (taken.status, taken.json["tiers"][0]["supplier"]) == (0, "nobody")
    assert "could not be checked" in taken.err
    assert run("customer", "tier", "dune", "50%", "--kind", "body").err == ""


def test_a_certificate_that_ran_out_is_told_of_customer_and_job():
    done("customer", "set", "saltmarsh", "--certificate", "EX-1", "--certificate-until",
         "2020-01-01")  # fmt: skip
    add_openings("1 3070 689 interior")
    for arguments in (("customer", "show", "saltmarsh"), ("job", "show", "1")):
        assert "NOTE Exemption certificate EX-1 of Saltmarsh Builders ran out" in " ".join(
            done(*arguments).out.split()
        )
        (note,) = done(*arguments, "--json").json["notes"]
        assert "ran out on 2020-01-01" in note
    done("customer", "set", "saltmarsh", "--certificate-until", "2099-11-30")
    assert (
        "before bids are due on 2099-12-04" in done("job", "show", "1", "--json").json["notes"][0]
    )
    assert done("customer", "show", "saltmarsh", "--json").json["notes"] == []


def test_a_list_of_customers_fits_and_tells_its_page():
    done("customer", "add", "dune-point-contracting-and-development", "Dune Point Contracting "
         "and Development Company of the Northern Counties and Islands")  # fmt: skip
    text = done("customer", "list").out
    assert max(map(len, text.splitlines())) <= 80
    flat = "".join(text.split())
    assert "IslandsUSD" not in flat
    assert text.splitlines()[-1] == "2 of 2, page 1 of 1"
    beyond = done("customer", "list", "--page", "9", "--page-size", "1")
    assert beyond.out.splitlines()[-1] == "0 of 2, page 9 of 2: past the end"
    data = done("customer", "list", "--page", "9", "--page-size", "1", "--json").json
    assert (data["customers"], data["count"], data["page"], data["pages"]) == ([], 2, 9, 2)


def test_a_code_in_capitals_is_the_same_code():
    before = done("customer", "show", "saltmarsh", "--json").json
    assert done("customer", "show", " SALTMARSH", "--json").json == before
    assert done("job", "new", "Heron", "--customer", "SALTmarsh", "--json").json["job"]
    place = done("customer", "ship-to", "DOCK", "Dock", "--json").json["code"]
    assert place == "dock"
    made = done("job", "new", "Heron", "--customer", "saltmarsh", "--ship-to", " Dock", "--json")
    assert done("job", "show", made.json["job"], "--json").json["ship_to"] == "dock"
    assert "customer add salt NAME" in refused("job", "new", "Heron", "--customer", "SALT")
