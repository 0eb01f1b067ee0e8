"""The house: settings and where they come from, holidays, rules, the log."""

from datetime import date
from fractions import Fraction

from tests.support.accounts import proven
from tests.support.jobs import plain

from wholekit.domain.quotes import PersonRole
from wholekit.services import job_openings, jobs
from wholekit.services.customers import house_policy
from wholekit.services.house_log import house_log
from wholekit.services.ports import LogFilter, Page


def settings(**changed):
    return {"deed": "settings", "house_name": "Saltmarsh Doors", "floor": "22.5%",
            "valid_days": "45", "one_supplier": "", **changed}  # fmt: skip


def test_an_owner_sets_what_the_commands_set_and_sees_who_set_it(at, desk):
    odo = at("odo")
    assert "as the program ships it" in odo.get("/house").text
    assert odo.post("/house", **settings(version="1", dates_on_quote="1")).status_code == 303
    policy = house_policy(desk, proven("odo"))
    assert (policy.floor, policy.valid_days) == (Fraction(225, 1000), 45)
    assert policy.dates_on_quote
    assert "set by odo on 2026-11-25" in odo.get("/house").text
    # Somebody else did since: told, and nothing is written over.
    stale = odo.post("/house", **settings(version="1", floor="1%"))
    assert (stale.status_code, house_policy(desk, proven("odo"))) == (409, policy)
    for wrong in ({"floor": "101%"}, {"floor": "much"}, {"valid_days": "0"},
                  {"one_supplier": "nobody"}, {"deed": "else"}):  # fmt: skip
        assert odo.post("/house", **settings(**wrong)).status_code == 422, wrong
    limit = {"deed": "limit", "role": "counter", "most_discount": "7%", "least_margin": "30%"}
    assert odo.post("/house", **limit).status_code == 303
    found = house_policy(desk, proven("odo")).limit_of(PersonRole.COUNTER)
    assert found is not None
    assert (found.most_discount, found.least_margin) == (Fraction(7, 100), Fraction(3, 10))
    assert odo.post("/house", **{**limit, "role": "owner"}).status_code == 422
    odo.post("/house", deed="holiday", day="2026-12-25", name="Midwinter")
    assert [each.day for each in house_policy(desk, proven("odo")).holidays] == [date(2026, 12, 25)]
    odo.post("/house", deed="workday", day="2026-12-25")
    assert house_policy(desk, proven("odo")).holidays == ()


def test_rules_are_shown_with_where_they_come_from(at):
    page = at("odo").get("/house/rules?text=EN 1154").text
    assert "EN 1154" in page
    assert "No rule holds" in at("odo").get("/house/rules?text=nothing like it").text


def test_the_log_tells_who_did_what_by_person_day_and_job_in_pages(at, desk):
    first = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay", "saltmarsh"))
    jobs.create_job(desk, proven("sam", 1), jobs.NewJob("Weir House", "saltmarsh"))
    for number in range(60):
        job_openings.add_openings(desk, proven(), first.label, [plain(str(number))])
    odo = at("odo")
    page = odo.get("/log?who=ines").text
    assert page.count("openings added") == 50, "a page"
    assert "page 1 of 2" in page
    assert odo.get("/log?who=ines&number=2").text.count("openings added") == 10
    other = odo.get("/log?who=sam").text
    assert "job opened" in other or "Weir House" in other
    assert "Heron Quay" not in other
    day = proven("sam", 1).day.isoformat()
    assert "Weir House" in odo.get(f"/log?day={day}").text
    assert "Nothing was done" in odo.get("/log?day=2020-01-01").text
    assert odo.get("/log?job=J-99").status_code == 404
    assert odo.get("/log?day=soon").status_code == 422
    of_first = house_log(desk, proven("odo"), LogFilter(), Page(0, 100), first.label)
    assert {each.job for each in of_first.entries} == {first.label}
    assert "signed in" in odo.get("/log").text
