"""Lists and whole jobs are read in a fixed number of questions, however long they are."""

from contextlib import contextmanager

import pytest
from sqlalchemy import event
from tests.support.deeds import desk_on
from tests.support.jobs import a_job, by, furnished, plain

from wholekit.services.job_openings import add_openings
from wholekit.services.ports import JobFilter, Page
from wholekit.services.quotes import issue_quote


@contextmanager
def questions(store):
    """The statements put to the store meanwhile."""
    seen = []

    def note(_connection, _cursor, statement, *_rest):
        if not statement.startswith(("PRAGMA", "BEGIN")):
            seen.append(statement)

    event.listen(store.place.engine, "before_cursor_execute", note)
    try:
        yield seen
    finally:
        event.remove(store.place.engine, "before_cursor_execute", note)


@pytest.mark.parametrize("jobs", [2, 40])
def test_a_page_of_jobs_takes_two_questions_however_many_there_are(store, jobs):
    furnished(store)
    desk = desk_on(store)
    for number in range(jobs):
        job = a_job(desk, "101", name=f"Job {number}")
        if number % 3 == 0:
            issue_quote(desk, by(), job.label)
    with store.reading() as work, questions(store) as asked:
        shown, count = work.jobs.page(JobFilter(text="JOB"), Page(0, 30))
    assert (len(shown), count) == (min(jobs, 30), jobs)
    assert len(asked) == 2


@pytest.mark.parametrize("openings", [1, 300])
def test_a_job_is_read_whole_in_four_questions_however_many_openings_it_has(store, openings):
    furnished(store)
    desk = desk_on(store)
    job = a_job(desk)
    add_openings(desk, by(), job.label, [plain(f"M{number}") for number in range(openings)])
    with store.reading() as work, questions(store) as asked:
        found = work.jobs.contents(job.id)
    assert len(found.openings) == openings
    assert len(asked) == 4
    assert len({id(each.opening.type) for each in found.openings}) == 1, "alike: one object"


def test_a_search_takes_its_signs_as_they_are_written(store):
    furnished(store)
    desk = desk_on(store)
    a_job(desk, name="Heron_Quay 100% Ärger")
    a_job(desk, name="HeronXQuay 1000")
    with store.reading() as work:
        for text in ("heron_quay", "100%", "ÄRGER"):
            shown, count = work.jobs.page(JobFilter(text=text), Page())
            assert (count, [row.name for row in shown]) == (1, ["Heron_Quay 100% Ärger"]), text
