"""Ways out of what stops an opening of a job, and one of them taken."""

from dataclasses import dataclass

from wholekit.domain.errors import ConflictError
from wholekit.domain.quotes import BASE, OverrideKind
from wholekit.domain.quotes.asking import asking_of
from wholekit.domain.quotes.choices import Choices, choices_of
from wholekit.domain.quotes.remedies import Remedy, State, WayOut, open_findings, remedies_of
from wholekit.domain.quotes.roles import Action
from wholekit.domain.quotes.worked import WorkedJob, WorkedOpening
from wholekit.services import choices, job_openings
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.job_openings import entry_of, work_up_alone
from wholekit.services.questions import GivenAnswer, answer_openings
from wholekit.services.rights import needs


@dataclass(frozen=True, slots=True)
class Ways:
    """An opening as it stands, the kits it may have, and the ways out of its findings."""

    opening: WorkedOpening
    choices: Choices
    remedies: tuple[Remedy, ...]


@needs(Action.SEE_JOBS)
def opening_ways(
    desk: Desk, deed: Deed, reference: str, mark: str, state: State, alternate: str = BASE
) -> Ways:
    """The kits an opening may have, and what would take its stops away; nothing is written.

    state: reads a column and a text in the words of a schedule. Raises CallError, InputError.
    """
    with desk.store.reading() as uow:
        job = job_of(uow, reference)
        entry = entry_of(uow, job, mark, alternate)
        workup = work_up_alone(uow, desk, deed, job, entry)
        bench = choices.bench_of_job(uow, desk, job, deed)
    # The store is let go of first: to try every way takes longer than all before.
    (opening,) = workup.job.openings
    found = choices_of(entry, bench, deed.at, deed.who)
    if not open_findings(opening):
        return Ways(opening, found, ())
    alone = WorkedJob(workup.job.contents, bench.customer, (opening,), workup.job.catalogs)
    asking = asking_of(alone, bench.shelf, desk.rules, deed.day)
    return Ways(opening, found, remedies_of(opening, asking, found, bench, state))


def take_remedy(ways: Ways, name: str, desk: Desk, deed: Deed, state: State) -> Remedy:
    """Take one of the ways out that were found, by its name: as answer, change, choice or hand
    setting taken back, each of which asks for its own right.

    Raises ConflictError (`remedy-gone`: it leads out no more; somebody changed the opening),
    CallError, InputError.
    """
    entry = ways.opening.entry
    remedy = next((each for each in ways.remedies if each.name == name), None)
    if remedy is None:
        raise ConflictError("remedy-gone", mark=entry.mark)
    job, mark, alternate = entry.job_id, entry.mark, entry.alternate
    match remedy.way:
        case WayOut.ANSWER:
            given = GivenAnswer({remedy.column}, state(remedy.column, remedy.text), [mark])
            answer_openings(desk, deed, job, [given], alternate)
        case WayOut.STATE:
            edit = state(remedy.column, remedy.text)
            job_openings.edit_opening(desk, deed, job, mark, edit, alternate, entry.version)
        case WayOut.TAKE_BACK:
            kind = OverrideKind(remedy.column)
            job_openings.clear_override(
                desk, deed, job, mark, kind, remedy.text, alternate, entry.version
            )
        case WayOut.KIT:
            choices.choose(desk, deed, job, [mark], remedy.word, alternate=alternate)
    return remedy
