"""What is asked of a quote is worked out while nobody waits for the store."""

from tests.support.deeds import desk_on
from tests.support.fake_store import FakeStore
from tests.support.house import opening
from tests.support.jobs import by, furnished

from wholekit.domain.kits.outcome import Outcomes
from wholekit.domain.openings import Opening
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import NewJob, create_job
from wholekit.services.quotes import issue_quote


def test_no_kit_is_tried_for_a_question_while_an_issue_holds_the_store(monkeypatch):
    store = FakeStore()
    desk = desk_on(store)
    furnished(store, "tarrowby")
    job = create_job(desk, by(), NewJob("Heron Quay", "saltmarsh"))
    doors = [Opening("101", opening("3070")), Opening("102", opening("4070"))]
    add_openings(desk, by(), job.label, doors)
    holding: list[bool] = []
    tried = Outcomes._kit

    def noted(*given, **more):
        holding.append(store._writing)
        return tried(*given, **more)

    monkeypatch.setattr(Outcomes, "_kit", noted)
    issued = issue_quote(desk, by(), job.label)
    assert issued.revision is not None
    assert holding
    assert not any(holding)
