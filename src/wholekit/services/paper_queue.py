"""Papers asked for at the screens: put in a row that outlives the program, and looked after."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from hashlib import sha256

from wholekit.domain.errors import CallError
from wholekit.domain.quotes.roles import Action, may
from wholekit.services.bag_labels import labelled
from wholekit.services.buying import purchase_of
from wholekit.services.desk import Deed, Desk, job_of
from wholekit.services.paper_port import AskedPaper, PaperState
from wholekit.services.ports import UnitOfWork
from wholekit.services.quote_reading import revision_of
from wholekit.services.rights import need_right, needs, role_of
from wholekit.services.shelf_labels import edition_labelled, shelf_labels_asked
from wholekit.services.shipping import shipment_of

# What each is for. Those of the warehouse and of the fitter bear no price.
PAPERS: Mapping[str, Action] = {
    "quote": Action.SEE_QUOTES,
    "submittal": Action.SEE_QUOTES,
    "pick-list": Action.SEE_PICK_PAPERS,
    "kit-labels": Action.SEE_PICK_PAPERS,
    "packing-slip": Action.SEE_PICK_PAPERS,
    "setting-cards": Action.SEE_PICK_PAPERS,
    "drilling-sheets": Action.SEE_PICK_PAPERS,
    # Of a shipment, of bags, and of what lies on the shelves.
    "shipment-slip": Action.SEE_PICK_PAPERS,
    "bag-labels": Action.SEE_PICK_PAPERS,
    "shelf-labels": Action.SEE_PICK_PAPERS,
    # What the house pays stands on it.
    "purchase-order": Action.SEE_PURCHASES,
}
MOST_SHOWN = 60


@needs(Action.ASK_PAPERS)
def ask_papers(
    desk: Desk, deed: Deed, reference: str, papers: Sequence[str], language: str, look: str
) -> tuple[AskedPaper, ...]:
    """Ask for papers of a revision (`Q-00012/3`), of a job as it stands (`J-00012`), the slip of a
    shipment (`S-00003`), an order to a supplier (`P-00007`), or labels (see `labels_reference`,
    `ShelfLabelsAsked`).

    What stands is made once; a job as it stands anew each time. language: that faults are told
    in; look: what else decides how they come out. Raises CallError.
    """
    with desk.store.reading() as uow:
        wanted = [
            _wanted(uow, desk, deed, reference, paper, language, look) for paper in _known(papers)
        ]
        found = [_there(uow, asked) for asked in wanted]
    if all(found):
        return tuple(each for each in found if each)
    with desk.store.writing() as uow:
        made = tuple(_there(uow, asked) or uow.papers.add(asked) for asked in wanted)
        uow.commit()
    return made


@needs(Action.SEE_PICK_PAPERS)
def asked_paper(desk: Desk, deed: Deed, paper_id: int) -> AskedPaper:
    """A paper that was asked for. Raises CallError."""
    with desk.store.reading() as uow:
        return _seen(uow, deed, paper_id)


@needs(Action.SEE_PICK_PAPERS)
def asked_papers(desk: Desk, deed: Deed) -> Sequence[AskedPaper]:
    """The papers asked for last that this role may see, the latest first."""
    with desk.store.reading() as uow:
        role = role_of(uow, deed.who)
        seen = [paper for paper, action in PAPERS.items() if may(role, action)]
        return uow.papers.latest(seen, MOST_SHOWN)


@needs(Action.ASK_PAPERS)
def make_again(desk: Desk, deed: Deed, paper_id: int) -> AskedPaper:
    """Have a paper made anew that failed, or whose file is gone. Raises CallError."""
    with desk.store.writing() as uow:
        asked = _seen(uow, deed, paper_id)
        if asked.pending:
            return asked
        uow.papers.again(paper_id)
        uow.commit()
    return replace(asked, state=PaperState.WAITING, fault="", done=0, parts=0, tries=0)


def _known(papers: Sequence[str]) -> Sequence[str]:
    if not papers:
        raise CallError("papers-wanted")
    for paper in papers:
        if paper not in PAPERS:
            raise CallError("paper-unknown", given=paper, known=sorted(PAPERS))
    return list(dict.fromkeys(papers))


def _wanted(
    uow: UnitOfWork, desk: Desk, deed: Deed, reference: str, paper: str, language: str, look: str
) -> AskedPaper:
    need_right(uow, deed, PAPERS[paper])
    if paper == "shipment-slip":
        # What left stays as it left.
        label, told = shipment_of(uow, reference).label, []
    elif paper == "bag-labels":
        found = labelled(uow, reference)
        label, told = (
            found.reference,
            [repr([(bag.id, bag.needs) for _, bags in found.parts for bag in bags])],
        )
    elif paper == "purchase-order":
        # Its lines never change, and nothing else is on the paper.
        label, told = purchase_of(uow, reference).label, []
    elif paper == "shelf-labels":
        shelf = shelf_labels_asked(reference)
        label, told = shelf.reference, [str(edition_labelled(uow, shelf))]
    elif reference.strip().upper().startswith("Q-"):
        revision = revision_of(uow, reference)
        label, told = revision.label, [revision.snapshot_digest, revision.state.value]
        if revision.acceptance is not None:
            # The papers of an order say whether the job was changed after it.
            told += [repr(revision.acceptance), str(uow.audit.count_of_job(revision.job_id))]
    else:
        # Nothing tells in advance whether a job would come to the same as before.
        label, told = job_of(uow, reference).label, [desk.ids.new()]
    key = sha256(repr((label, paper, look, *told)).encode()).hexdigest()
    return AskedPaper(key, label, paper, deed.who, deed.at, language)


def _there(uow: UnitOfWork, asked: AskedPaper) -> AskedPaper | None:
    """The same paper asked for before; of a job as it stands, one that nobody has begun."""
    if not asked.reference.startswith("J-"):
        return uow.papers.of_key(asked.key)
    return uow.papers.waiting(asked.reference, asked.paper)


def _seen(uow: UnitOfWork, deed: Deed, paper_id: int) -> AskedPaper:
    asked = uow.papers.get(paper_id)
    if asked is None:
        raise CallError("asked-paper-unknown", number=paper_id)
    need_right(uow, deed, PAPERS[asked.paper])
    return asked
