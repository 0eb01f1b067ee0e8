"""What is asked of a job, and the answers put into its openings."""

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog.nearest_words import listed, nearest_first
from wholekit.domain.errors import CallError
from wholekit.domain.openings import Opening, marks_named, stated_text
from wholekit.domain.quotes import BASE, JobContents, JobOpening
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
    fields: Collection[str],
    change: Callable[[Opening], Opening],
    names: Sequence[str] = (),
    alternate: str = BASE,
) -> Answered:
    """An answer put into the openings named, all of them or none; without names into all where it
    is open. change: puts it; fields: those it answers.

    Raises CallError: no such mark; an opening that states something else; nothing left open.
    """
    with desk.store.writing() as uow:
        job = held_job(uow, reference)
        need_alternate(job, alternate)
        contents = uow.jobs.contents(job.id)
        if contents is None:
            raise CallError("job-unknown", job=reference)
        chosen = _chosen(contents, names, alternate)
        answered: list[JobOpening] = []
        passed: list[tuple[str, str]] = []
        for entry in chosen:
            opening = change(entry.opening)
            stated = _stated_otherwise(entry.opening, opening, fields)
            if not stated and opening != entry.opening:
                new = replace(entry, opening=opening, version=entry.version + 1)
                uow.jobs.save_opening(new, entry.version)
                note(
                    uow, deed, ANSWERED, "opening", entry.id,
                    job_id=job.id, before=entry, after=new,
                )  # fmt: skip
                answered.append(new)
            elif not stated:
                same = (getattr(opening.type, field) for field in fields)
                passed.append((entry.mark, listed(map(stated_text, same))))
            elif names:
                # Named by somebody who took it for open: what was stated is not written over.
                raise CallError(
                    "answer-stated",
                    mark=entry.mark,
                    job=job.label,
                    column=stated["column"],
                    stated=stated["stated"],
                    given=stated["given"],
                )
            else:
                passed.append((entry.mark, stated["stated"]))
        if not answered and not names:
            raise CallError("answer-not-open", job=job.label, columns=sorted(fields))
        uow.commit()
    return Answered(tuple(answered), tuple(passed))


def _chosen(contents: JobContents, names: Sequence[str], alternate: str) -> list[JobOpening]:
    there = {
        entry.mark: entry for entry in in_order(contents.openings) if entry.alternate == alternate
    }
    if not names:
        return list(there.values())
    found, unknown = marks_named(names, list(there))
    if unknown:
        raise CallError(
            "job-mark-unknown",
            mark=unknown[0],
            job=contents.job.label,
            known=nearest_first(unknown[0], list(there)),
        )
    return [there[mark] for mark in found]


def _stated_otherwise(was: Opening, now: Opening, fields: Collection[str]) -> dict[str, str]:
    """A field that was plainly stated, and otherwise than it is answered; empty where none was."""
    unclear = {each.field for each in was.type.unclear}
    for name in fields:
        old, new = getattr(was.type, name), getattr(now.type, name)
        if old is not None and old != new and name not in unclear:
            return {"column": name, "stated": stated_text(old), "given": stated_text(new)}
    return {}
