"""One opening, the terms of its job, what changed."""

import re

import pytest
from tests.support.accounts import proven
from tests.support.jobs import plain

from wholekit.services import job_openings, jobs, quotes


@pytest.fixture
def ines(at, desk):
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    # Too small for its leaf by the hand that fixed it, so that a stop is there.
    stopped = plain("102", size="4090", spring_size=1)
    job_openings.add_openings(desk, proven(), job.label, [plain("101", 2), stopped])
    return at("ines")


def test_kits_stand_side_by_side_and_one_is_taken(ines):
    page = ines.get("/jobs/1/openings/101").text
    words = re.findall(r'name="word" value="([^"]+)"', page)
    assert words
    assert "Why this kit" in page
    assert "<cite>" in page
    assert ines.post("/jobs/1/openings/101", deed="choose", word=words[0]).status_code == 303
    assert f'value="{words[0]}"' not in ines.get("/jobs/1/openings/101").text
    wrong = ines.post("/jobs/1/openings/101", deed="choose", word="gold")
    assert wrong.status_code == 422


def test_a_stop_is_let_go_for_a_reason_alone(ines):
    page = ines.get("/jobs/1/openings/102").text
    code = re.findall(r'name="code" value="([^"]+)"', page)[0]
    at = "/jobs/1/openings/102"
    assert ines.post(at, deed="release", code=code, reason="").status_code == 422
    assert ines.post(at, deed="release", code=code, reason="architect's word").status_code == 303
    after = ines.get(at).text
    assert f'value="{code}"' not in after
    assert "architect&#39;s word" in after


def test_terms_are_set_and_stand_in_the_history(ines):
    at = "/jobs/1/terms"
    assert ines.post(at, deed="discount", share="3%", reason="repeat job").status_code == 303
    line = {"description": "Hinges", "quantity": "3", "price": "12.50", "kind": "hardware"}
    assert ines.post(at, deed="line", **line).status_code == 303
    assert "3 × Hinges" in ines.get(at).text
    assert ines.post(at, deed="line", description="", price="x").status_code == 422
    assert ines.post(at, deed="remove", line="1").status_code == 303
    assert "Hinges" not in ines.get(at).text
    assert "repeat job" in ines.get("/jobs/1/history").text


def test_what_changed_since_the_quote_is_told(ines, desk):
    job_openings.remove_opening(desk, proven(), "1", "102")
    quotes.issue_quote(desk, proven("odo"), "1")
    ines.post("/jobs/1/terms", deed="discount", share="3%", reason="repeat job")
    page = ines.get("/jobs/1/compare").text
    assert "What changed" in page
    assert "3%" in page
