"""Papers that are made beside the pages: how far they are, what went wrong, what a restart does."""

import time
from datetime import timedelta

import pytest
from starlette.testclient import TestClient
from tests.support.accounts import KEYS, proven, with_accounts
from tests.support.databases import ENGINES
from tests.support.jobs import furnished, plain

from wholekit.domain.house_style import HouseStyle
from wholekit.domain.quotes import Person, PersonRole
from wholekit.services import job_openings, jobs, paper_queue, quotes
from wholekit.services.customers import list_people, set_person
from wholekit.services.paper_port import PaperState
from wholekit.web import paper_worker
from wholekit.web.app import app_of
from wholekit.web.paper_worker import PaperWorker
from wholekit.web.place import WebPlace
from wholekit.web.screens import looks, statics

QUOTE = "/quotes/Q-00001/1/quote.pdf"


@pytest.fixture
def job(desk):
    made = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), made.label, [plain("101", 2), plain("102")])
    return made


def test_papers_of_a_job_as_it_stands_are_asked_for_and_fetched(at, job):
    ines, pia = at("ines"), at("pia")
    assert ines.post("/jobs/1/papers").status_code == 422
    asked = ines.post("/jobs/1/papers", paper=["quote", "kit-labels", "submittal"])
    assert asked.headers["location"] == "/papers"
    assert ines.get("/papers").text.count("waits for its turn") == 3
    assert 'data-poll="/papers"' in ines.get("/papers").text
    files = [ines.paper(f"/papers/asked/{number}") for number in (1, 2, 3)]
    assert {file.headers["content-type"] for file in files} == {"application/pdf"}
    assert len({file.content for file in files}) == 3
    assert "data-poll" not in ines.get("/papers").text
    # Without a price, and so for the pick room as well.
    assert [pia.get(f"/papers/asked/{number}").status_code for number in (1, 2, 3)] == [
        403, 200, 403,
    ]  # fmt: skip
    assert "/papers/asked/1" not in pia.get("/papers").text


def test_a_fault_is_told_in_words_and_tried_again(at, desk, job, monkeypatch):
    ines = at("ines")
    ines.post("/jobs/1/issue")
    ines.get(QUOTE, headers={"accept-language": "fr"})
    # Whoever asked has lost the right meanwhile.
    (known,) = (each for each in list_people(desk, proven("odo")) if each.name == "ines")
    picker = Person("ines", PersonRole.PICKER, version=known.version + 1)
    set_person(desk, proven("odo"), picker)
    ines.worker.make_next()
    told = at("odo").get(QUOTE)
    assert told.status_code == 409
    assert "was not made" in told.text
    assert "look into quotes" in told.text
    set_person(desk, proven("odo"), Person("ines", PersonRole.COUNTER, version=picker.version + 1))

    def broken(*_given, **_named):
        raise ZeroDivisionError

    with monkeypatch.context() as patch:
        patch.setattr(paper_worker, "render_paper", broken)
        ines.post("/papers/asked/1/again")
        ines.worker.make_next()
        assert "par une faute à lui" in ines.get(QUOTE).text, "as it was asked for"
    assert ines.post("/papers/asked/1/again").headers["location"] == "/papers/asked/1"
    assert ines.paper(QUOTE).content.startswith(b"%PDF")


def test_a_file_that_is_gone_is_made_anew(at, job, tmp_path):
    ines = at("ines")
    ines.post("/jobs/1/issue")
    assert ines.paper(QUOTE).status_code == 200
    for file in tmp_path.glob("*.pdf"):
        file.unlink()
    assert ines.paper(QUOTE).content.startswith(b"%PDF")


@pytest.mark.parametrize("engine", sorted(ENGINES))
def test_what_a_killed_server_held_is_begun_anew_and_given_up_in_the_end(engine, tmp_path, clock):
    """Two servers on one store; the one that took the paper never says a word again."""
    store = ENGINES[engine](tmp_path)
    desk = with_accounts(furnished(store))
    made = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), made.label, [plain("101")])
    quotes.issue_quote(desk, proven(), made.label)
    papers = ("quote", "pick-list", "kit-labels", "setting-cards")
    asked = paper_queue.ask_papers(desk, proven(), "Q-1/1", papers, "en", "")
    now = clock()
    with store.writing() as uow:
        held = uow.papers.take("killed", now, now)
        uow.commit()
    assert held
    # Some time after: the clock of a machine that has started again.
    clock.passes(timedelta(minutes=1))
    style, folder = HouseStyle(), tmp_path / "papers"
    place = WebPlace(desk, KEYS, looks(), statics(), lambda: style, folder, clock=clock)
    workers = [PaperWorker(place), PaperWorker(place)]
    for worker in workers:
        worker.start()

    def told():
        return [paper_queue.asked_paper(desk, proven(), each.id) for each in asked]

    until = time.monotonic() + 60
    while any(each.pending for each in told()) and time.monotonic() < until:
        time.sleep(0.1)
    for worker in workers:
        worker.stop()
    found = told()
    assert [each.state for each in found] == [PaperState.DONE] * 4
    assert [each.tries for each in found] == [2, 1, 1, 1], (
        "each was begun once but for the one held"
    )
    assert held.id == asked[0].id
    for each in found:
        assert (place.papers / each.file).read_bytes().startswith(b"%PDF")
    # One that no server outlives is given up.
    with store.writing() as uow:
        uow.papers.again(held.id)
        for _ in range(paper_worker.MOST_TRIES):
            assert uow.papers.take("killed", clock(), now)
        uow.commit()
    assert workers[0].make_next()
    given_up = paper_queue.asked_paper(desk, proven(), held.id)
    assert given_up.state is PaperState.FAILED
    assert "given up" in given_up.fault
    store.close()


def test_the_server_makes_papers_by_itself_while_it_runs(desk, job, tmp_path, clock):
    style = HouseStyle()
    place = WebPlace(
        desk, KEYS, looks(), statics(), lambda: style, tmp_path, works=True, clock=clock
    )
    (asked,) = paper_queue.ask_papers(desk, proven(), "1", ["pick-list"], "en", "")
    with TestClient(app_of(place)):
        until = time.monotonic() + 30
        while not (tmp_path / asked.file).is_file():
            assert time.monotonic() < until
            time.sleep(0.05)
