"""Papers asked for, on every store: made once, by one, and begun anew after a stop."""

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.support.accounts import proven, with_accounts
from tests.support.jobs import START, plain

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import State
from wholekit.services import job_openings, jobs, paper_queue, quotes
from wholekit.services.paper_port import PaperState

UNTIL = START + timedelta(seconds=15)


@pytest.fixture
def house(desk):
    with_accounts(desk)
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), job.label, [plain("101", 2)])
    quotes.issue_quote(desk, proven(), job.label)
    return desk


def ask(house, *papers, of="Q-1/1", who="ines", look=""):
    return paper_queue.ask_papers(house, proven(who), of, papers, "en", look)


def take(house, holder="a", at=START, until=UNTIL):
    with house.store.writing() as uow:
        taken = uow.papers.take(holder, at, until)
        uow.commit()
    return taken


def end(house, asked, holder="a"):
    with house.store.writing() as uow:
        ended = uow.papers.end(asked, holder)
        uow.commit()
    return ended


def test_a_paper_of_a_revision_is_made_once_and_anew_when_what_it_says_would_change(house):
    (first,) = ask(house, "pick-list")
    assert ask(house, "pick-list", who="pia") == (first,)
    assert ask(house, "pick-list", look="another house style") != (first,)
    quotes.close_quote(house, proven(), "Q-1", State.ACCEPTED)
    (ordered,) = ask(house, "pick-list")
    assert ordered.key != first.key
    assert ask(house, "pick-list") == (ordered,)
    job_openings.add_openings(house, proven(), "1", [plain("102")])
    assert ask(house, "pick-list") != (ordered,), "it says that the job was changed"


def test_a_job_as_it_stands_is_made_anew_unless_one_still_waits(house):
    (first,) = ask(house, "quote", of="1")
    assert ask(house, "quote", of="J-00001") == (first,)
    assert take(house).key == first.key
    assert ask(house, "quote", of="1") != (first,)


def test_each_is_taken_by_one_in_the_order_they_were_asked_for(house):
    asked = ask(house, "quote", "pick-list", "quote")
    assert [each.paper for each in asked] == ["quote", "pick-list"]
    assert [take(house, "a").id, take(house, "b").id] == [each.id for each in asked]
    assert take(house, "c") is None


def test_what_is_held_is_begun_by_another_only_once_nobody_holds_on_to_it(house):
    (asked,) = ask(house, "quote")
    taken = take(house)
    late = UNTIL + timedelta(seconds=2)
    with house.store.writing() as uow:
        assert uow.papers.hold(replace(taken, done=3, parts=9), "a", late)
        uow.commit()
    told = paper_queue.asked_paper(house, proven(), asked.id)
    assert (told.state, told.done, told.parts) == (PaperState.MAKING, 3, 9)
    assert take(house, "b", UNTIL + timedelta(seconds=1)) is None
    again = take(house, "b", late + timedelta(seconds=1), late + timedelta(seconds=20))
    assert (again.id, again.tries, again.done) == (asked.id, 2, 0)
    assert not end(house, replace(taken, state=PaperState.DONE)), "it is no longer theirs"
    assert end(house, replace(again, state=PaperState.FAILED, fault="No paper left."), "b")
    assert paper_queue.asked_paper(house, proven(), asked.id).fault == "No paper left."
    anew = paper_queue.make_again(house, proven(), asked.id)
    assert anew == paper_queue.asked_paper(house, proven(), asked.id)
    assert (anew.state, anew.tries, anew.fault) == (PaperState.WAITING, 0, "")


def test_old_papers_are_forgotten_but_for_one_under_way(house):
    ask(house, "quote", "pick-list")
    making = take(house)
    with house.store.writing() as uow:
        assert uow.papers.clear(START) == ()
        (gone,) = uow.papers.clear(START + timedelta(days=1))
        uow.commit()
    assert gone.paper == "pick-list"
    assert [each.id for each in paper_queue.asked_papers(house, proven())] == [making.id]
    ask(house, "kit-labels")
    ids = [each.id for each in paper_queue.asked_papers(house, proven())]
    assert ids == sorted(ids, reverse=True)


def test_each_role_is_told_of_its_own_papers_alone(house):
    quote, pick_list = ask(house, "quote", "pick-list")
    assert list(paper_queue.asked_papers(house, proven("pia"))) == [pick_list]
    assert list(paper_queue.asked_papers(house, proven("ines"))) == [pick_list, quote]
    for call in (
        lambda: ask(house, "submittal", who="pia"),
        lambda: paper_queue.asked_paper(house, proven("pia"), quote.id),
        lambda: paper_queue.make_again(house, proven("pia"), quote.id),
    ):
        with pytest.raises(CallError) as refused:
            call()
        assert refused.value.code == "right-needed"
    for papers, code in ((["margin-sheet"], "paper-unknown"), ([], "papers-wanted")):
        with pytest.raises(CallError) as refused:
            ask(house, *papers, who="odo")
        assert refused.value.code == code
