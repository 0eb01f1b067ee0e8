"""When kits can be ready, and the house's holidays, as a user calls for them."""

from datetime import date, timedelta

import pytest
from tests.support.command import add_openings, done, run

OPENING = "3070 hollow-metal/steel interior 689"
# A week without a working day in it is put before every day that kits are expected on.
SHUT = 7


def next_days(count=SHUT):
    return [date.today() + timedelta(days=days) for days in range(count)]  # noqa: DTZ011  # as the counter


def as_text(answer):
    return " ".join(answer.out.split())


@pytest.mark.usefixtures("shop")
def test_a_holiday_at_the_counter_moves_what_a_job_says():
    add_openings(f"101 {OPENING} x30", f"102 {OPENING} x2")
    before = done("job", "show", "1", "--json").json["ready"]
    assert before["kits"] == 32
    assert done("house", "holiday", "list", "--json").json == []
    for day in next_days():
        told = run("house", "holiday", "add", str(day), "Stocktaking", "--by", "odo")
        assert told.status == 0
        weekend = day.weekday() > 4
        assert told.err == (f"{day} is a {day:%A}, no working day anyway.\n" if weekend else "")
    listed = done("house", "holiday", "list").out
    assert all(str(day) in listed for day in next_days())
    after = done("job", "show", "1", "--json").json
    assert after["ready"]["today"] == 0
    assert after["ready"]["complete"] > before["complete"]
    assert sum(part["kits"] for one in after["openings"] for part in one["ready"]) == 32
    shown = as_text(done("job", "show", "1"))
    assert f"ready: {after['ready']['text']}; expected, not promised" in shown
    assert f"{after['ready']['complete']} 101" in shown
    review = done("quote", "review", "1", "--json").json
    assert review["ready"] == after["ready"]
    assert f"ready {after['ready']['text']}" in as_text(done("quote", "review", "1"))
    done("quote", "issue", "1")
    assert done("quote", "show", "Q-1", "--json").json["ready"] == after["ready"]
    assert f"expected on {date.today()}: ready " in as_text(done("quote", "show", "Q-1"))  # noqa: DTZ011
    taken = done("house", "holiday", "remove", str(next_days()[0]), "--by", "odo", "--json").json
    assert len(taken) == SHUT - 1


@pytest.mark.usefixtures("shop")
def test_a_holiday_that_is_none_is_told_with_what_would_be_right():
    for arguments, said in (
        (("add", "2026-13-01", "x"), "2026-13-01 is not a date; write year-month-day"),
        (("add", "", "x"), "is not a date"),
        (("add", "2026-12-25", ""), "The holiday of 2026-12-25 needs a name"),
        (("remove", "2026-12-25"), "2026-12-25 is no holiday of the house"),
    ):
        result = run("house", "holiday", *arguments, "--by", "odo")
        assert (result.status, result.out) == (2, "")
        assert said in " ".join(result.err.split())


def test_a_schedule_goes_by_the_holidays_of_a_house_file(tmp_path):
    call = ("kit", "--opening", f"101 {OPENING} x60", "--catalog", "catalog_samples/tarrowby")
    before = run(*call, "--json").json
    house = tmp_path / "house.toml"
    house.write_text(
        "".join(f'[[holiday]]\nday = {day}\nname = "Shut"\n' for day in next_days()),
        encoding="utf-8",
    )
    after = run(*call, "--json", "--house", str(house)).json
    assert before["ready"]["kits"] == after["ready"]["kits"] == 60
    assert after["ready"]["today"] == 0
    assert after["ready"]["complete"] > before["ready"]["complete"]
    said = as_text(run(*call, "--house", str(house)))
    assert f"ready {after['ready']['text']}; expected, not promised" in said
