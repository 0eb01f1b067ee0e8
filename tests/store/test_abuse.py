"""Many at once, killed in the middle, no room, no rights: nothing is lost or half written."""

from dataclasses import replace
from functools import partial

import pytest
from tests.support.deeds import (
    add_marks,
    address_of,
    desk_on,
    issue_or_be_told,
    make_and_issue,
    run_together,
)
from tests.support.jobs import a_job, by, furnished
from tests.support.kills import KINDS

from wholekit.domain.errors import ConflictError
from wholekit.domain.quotes import Person, PersonRole, State
from wholekit.services.customers import set_person
from wholekit.services.job_openings import edit_opening
from wholekit.services.jobs import job_contents
from wholekit.services.ports import RevisionFilter
from wholekit.store.check import check_store


def test_ten_processes_add_openings_to_one_job_and_none_is_lost(store):
    furnished(store)
    desk = desk_on(store)
    job = a_job(desk)
    people = [f"p{number}" for number in range(10)]
    for who in people:
        set_person(desk, by("odo"), Person(who, PersonRole.COUNTER))
    at = address_of(store.place)
    run_together([(add_marks, (at, job.label, who, 2)) for who in people])
    openings = job_contents(desk, by(), job.label).openings
    assert {opening.mark for opening in openings} == {
        f"{who}-{number}" for who in people for number in range(2)
    }
    assert len({opening.position for opening in openings}) == len(openings) == 20
    assert check_store(store.place).faults == ()


def test_several_who_issue_at_once_get_numbers_without_gap_or_repeat(store):
    desk = furnished(store)
    people = [f"p{number}" for number in range(4)]
    for who in people:
        set_person(desk, by("odo"), Person(who, PersonRole.COUNTER))
    at = address_of(store.place)
    run_together([(make_and_issue, (at, 2, who)) for who in people])
    with store.reading() as work:
        issued = work.revisions.matching(RevisionFilter())
    assert sorted(one.quote_number for one in issued) == list(range(1, 9))
    assert check_store(store.place).faults == ()


def test_of_two_who_issue_the_same_job_at_once_the_second_is_refused(store):
    furnished(store)
    desk = desk_on(store)
    job = a_job(desk, "101", "102")
    at = address_of(store.place)
    run_together([(issue_or_be_told, (at, job.label, who)) for who in ("ines", "odo")])
    with store.reading() as work:
        found = work.revisions.of_job(job.id)
    assert [(quote.quote_number, quote.number, quote.state) for quote in found] == [
        (1, 1, State.ISSUED)
    ]
    assert check_store(store.place).faults == ()


def test_of_two_who_edit_one_opening_the_second_is_told_and_nothing_is_lost(store):
    furnished(store)
    desk = desk_on(store)
    job = a_job(desk, "101")
    two, three = (partial(replace, quantity=count) for count in (2, 3))
    (seen,) = job_contents(desk, by(), job.label).openings
    edit_opening(desk, by("ines"), job.label, "101", two, expected=seen.version)
    with pytest.raises(ConflictError) as told:
        edit_opening(desk, by("odo"), job.label, "101", three, expected=seen.version)
    assert told.value.code == "version-stale"
    (now,) = job_contents(desk, by(), job.label).openings
    assert now.opening.quantity == 2


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_store_killed_in_the_middle_holds_all_or_nothing(engine, kind, tmp_path):
    # Each scan of goods is killed as each scan of a bag is: fewer of them do.
    times = (6 if engine == "sqlite" else 4) // (2 if kind == "receive" else 1)
    assert KINDS[kind](engine, tmp_path, times) >= 1
