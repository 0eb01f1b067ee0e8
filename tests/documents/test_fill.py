"""From a kitted job to its papers: the figures agree with the job's own, paper by paper."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from tests.support.house import RULES, opening, shelf

from wholekit.documents import fill
from wholekit.documents.papers import Letterhead, PaperHead
from wholekit.domain.openings import HoldOpen, Mount, Opening
from wholekit.services.expand import KittedJob, expand

DAY = date(2026, 11, 25)
HEAD = PaperHead(Letterhead("Fernhollow Door Supply"), "Q-1", DAY, "Saltmarsh Builders", "Annex")
TERMS = fill.Terms(HEAD, DAY + timedelta(days=30), Fraction(25, 100))


@pytest.fixture(scope="module")
def job() -> KittedJob:
    parallel = opening("3070", mount=Mount.PARALLEL, weight="100 lb")
    stopped = opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM)
    many = opening("3070", mount=Mount.REGULAR, weight="100 lb")
    return expand(
        [
            Opening("1", parallel, 2, "by the stair"),
            Opening("2", stopped),
            Opening("3", many, 300),
            Opening("4", many, 5),
        ],
        shelf(),
        RULES,
        Fraction(62, 100),
    )


def test_the_quote_adds_up_to_the_jobs_price(job):
    paper = fill.quote_paper(job, TERMS, RULES)
    assert paper.total == job.price
    assert sum(one.price_extended.minor for one in paper.openings) == paper.total.minor
    for one in paper.openings:
        lines = [line.line_net for line in one.lines if line.line_net is not None]
        assert sum(line.minor for line in lines) == one.price_each.minor
        assert one.price_extended == one.price_each.times(one.quantity)
    assert paper.openings[0].note == "by the stair"
    assert any(note.severity == "stop" for note in paper.openings[1].findings)


def test_what_all_openings_share_is_assumed_once_and_asked_of_the_customer(job):
    paper = fill.quote_paper(job, TERMS, RULES)
    assert paper.assumptions
    for one in paper.openings:
        assert not set(paper.assumptions) & set(one.assumptions)
    asked = " ".join(question.text for question in paper.questions)
    assert "reinforced" in asked
    assert "Quoted as: " in asked


def test_short_packs_fall_on_the_last_bags_and_add_up_to_what_the_shelf_lacks(job):
    paper = fill.pick_list_paper(job, TERMS, RULES)
    assert paper.bags == job.opening_count
    lacking = {draw.item.sku: draw.short for draw in job.draws() if draw.short}
    assert lacking
    by_bag: dict[str, int] = {}
    for one in paper.openings:
        for line in one.lines:
            assert line.quantity == line.each * one.quantity
            by_bag[line.sku] = by_bag.get(line.sku, 0) + line.short
    assert {sku: short for sku, short in by_bag.items() if short} == lacking
    assert {line.sku: line.short for line in paper.by_bin if line.short} == lacking
    places = [(line.bin, line.sku) for line in paper.by_bin]
    assert places == sorted(places)


def test_the_margin_sheet_agrees_with_the_job_and_names_only_what_is_short(job):
    paper = fill.margin_paper(job, TERMS)
    assert paper.total.price == job.price
    assert paper.total.margin == job.price - job.cost.as_money
    assert sum(one.figures.price.minor for one in paper.suppliers) == job.price.minor
    assert sum(one.figures.price.minor for one in paper.openings) == job.price.minor
    lacking = {draw.item.sku: draw.short for draw in job.draws() if draw.short}
    assert {one.sku: one.short for one in paper.shorts} == lacking
    for one in paper.openings:
        assert one.figures.rate is not None
        assert one.figures.below_floor == (one.figures.rate < TERMS.floor)


def test_every_bag_has_its_label_and_a_stopped_one_says_so(job):
    labels = fill.labels_paper(job, TERMS).labels
    assert len(labels) == job.opening_count
    assert [one.bag for one in labels if one.mark == "1"] == [1, 2]
    stopped = next(one for one in labels if one.mark == "2")
    assert "FIRE DOOR" in stopped.alerts
    assert any("DO NOT SHIP" in alert for alert in stopped.alerts)
