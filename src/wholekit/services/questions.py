"""What is asked of a job, and the answers put into its openings."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog.nearest_words import listed, nearest_first
from wholekit.domain.errors import CallError
from wholekit.domain.openings import Opening, marks_named, stated_text
from wholekit.domain.quotes import BASE, Job, JobOpening
from wholekit.domain.quotes.asking import Asking
from wholekit.domain.quotes.job import in_order
from wholekit.domain.quotes.roles import Action
from wholekit.services.desk import Deed, Desk, held_job, job_of, note
from wholekit.services.jobs import need_alternate
from wholekit.services.rights import needs
from wholekit.services.workup import work_up_job

ANSWERED = "opening-answered"


@dataclass(frozen=True, slots=True)
class Answered:
    """Openings that took an answer, and by mark what those that did not take it state."""

    openings: tuple[JobOpening, ...]
    stated: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class GivenAnswer:
    """An answer to put into openings. change: puts it; fields: those it answers; names: marks and
    ranges of the openings, none for all where it is open."""

    fields: Collection[str]
    change: Callable[[Opening], Opening]
    names: Sequence[str] = ()


@needs(Action.SEE_JOBS)
def job_questions(desk: Desk, deed: Deed, reference: str) -> Asking:
    """What is asked of a job, at the prices of the deed's day. Raises CallError, InputError."""
    with desk.store.reading() as uow:
        workup = work_up_job(uow, desk, job_of(uow, reference), deed.day)
    # The store is let go of first: working out the answers takes longer than all before.
    return workup.asking(desk.rules)


@needs(Action.CHANGE_JOBS)
def answer_openings(
    desk: Desk,
    deed: Deed,
    reference: str,
    answers: Sequence[GivenAnswer],
    alternate: str = BASE,
) -> Answered:
    """Answers put into a job's openings, all of them or none, one after the other.

    Raises CallError: no such mark; an opening that states something else; nothing left open.
    """
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        need_alternate(job, alternate)
        contents = uow.jobs.contents(job.id)
        if contents is None:
            raise CallError("job-unknown", job=reference)
        there = {
            entry.mark: entry
            for entry in in_order(contents.openings)
            if entry.alternate == alternate
        }
        answered: dict[str, JobOpening] = {}
        passed: dict[str, str] = {}
        for answer in answers:
            took = False
            for mark in _chosen(job, there, answer.names):
                entry = there[mark]
                opening, left = _answer(job, entry, answer)
                if opening is None:
                    passed[mark] = left
                    continue
                new = replace(entry, opening=opening, version=entry.version + 1)
                uow.jobs.save_opening(new, entry.version)
                note(
                    uow, deed, ANSWERED, "opening", entry.id,
                    job_id=job.id, before=entry, after=new,
                )  # fmt: skip
                answered[mark] = there[mark] = new
                took = True
            if not took and not answer.names:
                raise CallError("answer-not-open", job=job.label, columns=sorted(answer.fields))
        uow.commit()
    return Answered(tuple(answered.values()), tuple(passed.items()))


def _answer(job: Job, entry: JobOpening, answer: GivenAnswer) -> tuple[Opening | None, str]:
    """The opening with an answer; None with what it states already. Raises CallError."""
    opening = answer.change(entry.opening)
    stated = _stated_otherwise(entry.opening, opening, answer.fields)
    if not stated and opening != entry.opening:
        return opening, ""
    if not stated:
        same = (getattr(opening.type, field) for field in answer.fields)
        return None, listed(map(stated_text, same))
    if answer.names:
        # Named by somebody who took it for open: what was stated is not written over.
        raise CallError(
            "answer-stated",
            mark=entry.mark,
            job=job.label,
            column=stated["column"],
            stated=stated["stated"],
            given=stated["given"],
        )
    return None, stated["stated"]


def _chosen(job: Job, there: Mapping[str, JobOpening], names: Sequence[str]) -> list[str]:
    if not names:
        return list(there)
    found, unknown = marks_named(names, list(there))
    if unknown:
        raise CallError(
            "job-mark-unknown",
            mark=unknown[0],
            job=job.label,
            known=nearest_first(unknown[0], list(there)),
        )
    return list(found)


def _stated_otherwise(was: Opening, now: Opening, fields: Collection[str]) -> dict[str, str]:
    """A field that was plainly stated, and otherwise than it is answered; empty where none was."""
    unclear = {each.field for each in was.type.unclear}
    for name in fields:
        old, new = getattr(was.type, name), getattr(now.type, name)
        if old is not None and old != new and name not in unclear:
            return {"column": name, "stated": stated_text(old), "given": stated_text(new)}
    return {}
