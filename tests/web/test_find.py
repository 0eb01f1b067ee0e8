"""One field that finds jobs, customers and items."""

import pytest
from tests.support.accounts import proven
from tests.support.jobs import plain

from wholekit.services import job_openings, jobs
from wholekit.services.quotes import issue_quote


@pytest.fixture
def job(desk):
    made = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), made.label, [plain("E7")])
    issue_quote(desk, proven(), made.label)
    return made


@pytest.mark.parametrize(
    ("text", "there"),
    [
        ("heron", "Heron Quay School"), ("e7", "Heron Quay School"), ("q-1", "Heron Quay School"),
        ("saltm", "/customers/saltmarsh"), ("tp-b3.689", "/catalogs/tarrowby?text=TP-B3.689"),
        ("pebble", "Pebble body"),
    ],
)  # fmt: skip
def test_what_is_called_or_holds_a_text_is_found(at, job, text, there):
    ines = at("ines")
    assert there in ines.get(f"/find?text={text}").text
    part = ines.get(f"/find?text={text}", headers={"x-part": "1"}).text
    assert there in part
    assert "<html" not in part


def test_nothing_is_said_of_what_somebody_may_not_see_and_nothing_found_is_said(at, job):
    ines, pia = at("ines"), at("pia")
    assert "Nothing is called or holds that." in ines.get("/find?text=no+such+thing").text
    assert "Nothing is called" not in ines.get("/find").text
    found = pia.get("/find?text=heron").text
    assert "Heron Quay" not in found
    assert "Find an item" in found
    assert "TP-B3.689" in pia.get("/find?text=tp-b3.689").text
    assert 'action="/find"' in ines.get("/").text
