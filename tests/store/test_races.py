"""Of two at once who add the same, or take away what the other needs, the second is told so."""

import threading
import time
from dataclasses import replace

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError
from tests.store.test_round_trip import CUSTOMER, EXTRA, JOB, OPENING, SHIP_TO, WHEN
from tests.support.jobs import furnished

from wholekit.domain.errors import ConflictError
from wholekit.domain.openings.sheet import KeptChoices, SheetChoices
from wholekit.domain.quotes import CatalogRef, HousePolicy, Person, PersonRole, Revision, State
from wholekit.store.check import check_store
from wholekit.store.errors import PARENT_WORDS, ROW_WORDS
from wholekit.store.tables import METADATA
from wholekit.wording.errors import say_error

DRAFT = Revision("r1", "j1", 0, 1, State.DRAFT, WHEN, "ines", 30)
OTHER_JOB = replace(JOB, id="j2", number=2)
ENGINES_WORDS = (
    "UNIQUE",
    "FOREIGN",
    "violates",
    "constraint",
    "psycopg",
    "sqlite3",
    "IntegrityErr",
)


@pytest.fixture
def house(store):
    """A store with a job, without openings, and another job with a draft of a quote's number."""
    furnished(store)
    with store.writing() as work:
        work.jobs.add(JOB)
        work.jobs.add(OTHER_JOB)
        work.commit()
    return store


def the_second(store, first, second):
    """What the second of two units of work is told, who waits for the first or comes after."""
    found = []

    def later():
        try:
            with store.writing() as work:
                second(work)
                work.commit()
        except Exception as error:  # noqa: BLE001  # whatever it is, the test looks at it
            found.append(error)

    waiting = threading.Thread(target=later)
    with store.writing() as work:
        first(work)
        waiting.start()
        _until_it_waits(store, waiting)
        work.commit()
    waiting.join(60)
    assert not waiting.is_alive()
    return found[0] if found else None


def _until_it_waits(store, thread):
    if store.place.file is not None:
        # Writers of a file queue before their first statement.
        thread.join(0.2)
        assert thread.is_alive()
        return
    blocked = text("SELECT count(*) FROM pg_locks WHERE NOT granted")
    last = time.monotonic() + 30
    while time.monotonic() < last:
        with store.place.engine.connect() as connection:
            if connection.execute(blocked).scalar_one():
                return
        time.sleep(0.02)
    raise AssertionError("the second did not wait")


def renumbered(work):
    """The draft of the other job takes the quote number that the first one took."""
    work.revisions.save(replace(DRAFT, id="r2", job_id="j2", quote_number=7, version=2), expected=1)


SAME = {
    "customer": (lambda work: work.customers.add(CUSTOMER), None, "customer-taken"),
    "sheets": (
        lambda work: work.sheets.add(KeptChoices("saltmarsh", SheetChoices("Doors"), WHEN, "ada")),
        None, "sheet-taken",
    ),
    "ship-to place": (lambda work: work.ship_tos.add(SHIP_TO), None, "ship-to-taken"),
    "person": (
        lambda work: work.people.add(Person("ada", PersonRole.COUNTER)), None, "person-taken",
    ),
    "settings": (
        lambda work: work.policy.save(HousePolicy(version=2), expected=1), None, "version-stale",
    ),
    "job": (
        lambda work: work.jobs.add(replace(JOB, id="j9", number=9)),
        lambda work: work.jobs.add(replace(JOB, id="j8", number=9)), "store-row-taken",
    ),
    "mark": (
        lambda work: work.jobs.add_openings([OPENING]),
        lambda work: work.jobs.add_openings([replace(OPENING, id="o9")]),
        "mark-taken store-row-taken",
    ),
    "extra line": (lambda work: work.jobs.add_extra(EXTRA), None, "store-row-taken"),
    "revision": (
        lambda work: work.revisions.add(DRAFT),
        lambda work: work.revisions.add(replace(DRAFT, id="r9")), "revision-taken",
    ),
    "draft": (
        lambda work: work.revisions.add(DRAFT),
        lambda work: work.revisions.add(replace(DRAFT, id="r9", number=2)), "revision-taken",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", sorted(SAME))
def test_of_two_who_add_the_same_at_once_the_second_is_told_in_words(house, what):
    first, second, codes = SAME[what]
    error = the_second(house, first, second or first)
    assert isinstance(error, ConflictError)
    assert error.code in codes.split()
    if house.place.file is None and what == "mark":
        assert error.code == "store-row-taken", "asked before the first had committed"
    said = say_error(error)
    assert not [word for word in ENGINES_WORDS if word in said], said
    # The jobs' numbers were given by hand here.
    assert {fault.code for fault in check_store(house.place).faults} <= {"number-gap"}


def test_a_mark_that_moves_onto_one_just_added_is_told(house):
    with house.writing() as work:
        work.jobs.add_openings(
            [replace(OPENING, id="o2", opening=replace(OPENING.opening, mark="102"))]
        )
        work.commit()
    moved = replace(OPENING, id="o2", version=2)
    error = the_second(
        house,
        lambda work: work.jobs.add_openings([OPENING]),
        lambda work: work.jobs.save_opening(moved, 1),
    )
    assert isinstance(error, ConflictError)
    assert error.code in ("mark-taken", "store-row-taken")


def test_a_quote_number_that_was_just_taken_is_told(house):
    with house.writing() as work:
        work.revisions.add(replace(DRAFT, id="r2", job_id="j2"))
        work.commit()
    error = the_second(
        house, lambda work: work.revisions.add(replace(DRAFT, quote_number=7)), renumbered
    )
    assert isinstance(error, ConflictError)
    assert (error.code, error.fields) == ("store-row-taken", {"what": "revision of a quote"})


@pytest.mark.parametrize(
    ("deed", "what"),
    [
        (lambda work: work.jobs.add_openings([OPENING]), "job"),
        (lambda work: work.jobs.add_extra(EXTRA), "job"),
        (lambda work: work.revisions.add(DRAFT), "job"),
    ],
    ids=["mark", "extra line", "revision"],
)
def test_what_belongs_to_a_job_that_goes_at_the_same_moment_is_told(house, deed, what):
    def gone(work):
        # As a restore does, and nothing else in the program.
        work._connection.execute(text("DELETE FROM job_catalog WHERE job_id = 'j1'"))
        work._connection.execute(text("DELETE FROM job WHERE id = 'j1'"))

    error = the_second(house, gone, deed)
    assert isinstance(error, ConflictError)
    assert (error.code, error.fields) == ("store-row-gone", {"what": what})
    assert "not there any more" in say_error(error)


@pytest.mark.parametrize(
    ("job", "what"),
    [
        (replace(JOB, id="j9", number=9, customer="nobody"), "customer"),
        (replace(JOB, id="j9", number=9, catalogs=(CatalogRef("nowhere", 3),)),
         "job or catalogue revision"),
    ],
    ids=["customer", "catalogue"],
)  # fmt: skip
def test_a_job_whose_customer_or_catalogue_went_is_told(house, job, what):
    with pytest.raises(ConflictError) as told, house.writing() as work:
        work.jobs.add(job)
    assert (told.value.code, told.value.fields) == ("store-row-gone", {"what": what})


def test_a_broken_rule_is_no_race_and_is_not_hidden(house):
    with pytest.raises(IntegrityError), house.writing() as work:
        work.jobs.add_extra(replace(EXTRA, quantity=-1))


def test_every_table_and_every_reference_has_its_word():
    tables = METADATA.sorted_tables
    assert set(ROW_WORDS) == {table.name for table in tables}
    assert set(PARENT_WORDS) == {table.name for table in tables if table.foreign_key_constraints}


def test_a_change_of_role_waits_for_what_the_person_is_writing(house):
    def held(work):
        work.people.standing("ines", held=True)
        work.jobs.save(replace(JOB, note="by ines", version=2), expected=1)

    def demoted(work):
        (old,) = (each for each in work.people.all() if each.name == "ines")
        work.people.save(replace(old, role=PersonRole.PICKER, version=2), expected=1)
        assert work.jobs.get(JOB.id).note == "by ines", "it came first"

    assert the_second(house, held, demoted) is None
    with house.reading() as work:
        assert work.people.get("ines").role is PersonRole.PICKER
