"""Who asks is asked again in the transaction that writes, on every store."""

from contextlib import contextmanager
from dataclasses import replace

import pytest
from tests.support.jobs import a_job, by, desk_on, plain

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Person, PersonRole
from wholekit.domain.tax import ShipTo
from wholekit.services.customers import list_ship_tos, set_person, set_policy, set_ship_to
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import edit_job, job_contents
from wholekit.services.quotes import issue_quote


class Meanwhile:
    """A store in which somebody else does something between the first look and the writing."""

    def __init__(self, store, deed):
        self.store, self.deed = store, deed

    def reading(self):
        return self.store.reading()

    @contextmanager
    def writing(self):
        self.deed()
        with self.store.writing() as uow:
            yield uow


DEEDS = {
    "opening": lambda desk: add_openings(desk, by(), "1", [plain("102")]),
    "job": lambda desk: edit_job(desk, by(), "1", {"note": "x"}),
    "quote": lambda desk: issue_quote(desk, by(), "1"),
    "ship-to": lambda desk: set_ship_to(desk, by(), ShipTo("port", "Port")),
}


@pytest.mark.parametrize("name", sorted(DEEDS))
def test_who_loses_the_right_before_writing_writes_nothing(desk, store, name):
    a_job(desk, "101")
    before = job_contents(desk, by("odo"), "1"), list_ship_tos(desk, by("odo"))

    def demoted():
        set_person(desk, by("odo"), Person("ines", PersonRole.PICKER))

    with pytest.raises(CallError) as refused:
        DEEDS[name](desk_on(Meanwhile(store, demoted)))
    assert refused.value.code == "right-needed"
    assert refused.value.fields["role"] == "picker"
    assert (job_contents(desk, by("odo"), "1"), list_ship_tos(desk, by("odo"))) == before
    with store.reading() as uow:
        assert uow.revisions.of_job(before[0].job.id) == ()


def test_an_owner_who_is_one_no_more_changes_neither_people_nor_settings(desk, store):
    set_person(desk, by("odo"), Person("eve", PersonRole.OWNER))

    def demoted():
        set_person(desk, by("eve"), Person("odo", PersonRole.SALES))

    late = desk_on(Meanwhile(store, demoted))
    for deed in (
        lambda: set_person(late, by("odo"), Person("eve", PersonRole.PICKER)),
        lambda: set_policy(late, by("odo"), lambda old: replace(old, valid_days=1)),
    ):
        with pytest.raises(CallError) as refused:
            deed()
        assert refused.value.code == "owner-needed"
        set_person(desk, by("eve"), Person("odo", PersonRole.OWNER))
    with store.reading() as uow:
        assert {each.name: each.role.value for each in uow.people.all()} == {
            "eve": "owner", "ines": "counter", "odo": "owner",
        }  # fmt: skip
        assert uow.policy.get().valid_days != 1
