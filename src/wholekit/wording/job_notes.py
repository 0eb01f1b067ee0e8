"""What somebody should know of a job or a customer, in sentences: nothing of it stops the work."""

from datetime import date
from shlex import quote

from wholekit.domain.customers import Customer
from wholekit.domain.errors import CallError, Problem
from wholekit.domain.openings import without_asked
from wholekit.domain.quotes import Job
from wholekit.domain.quotes.worked import WorkedOpening, standing
from wholekit.services.job_view import JobView
from wholekit.wording.errors import say_error
from wholekit.wording.openings import piece_text, sentence
from wholekit.wording.problems import say_problem
from wholekit.wording.unasked import unasked_text, unread_text
from wholekit.wording.words import listed

CERTIFICATES = {
    "expired": "Exemption certificate {certificate} of {name} ran out on {last}: taxes are charged "
    "as for anybody.",
    "before-due": "Exemption certificate {certificate} of {name} runs out on {last}, before bids "
    "are due on {due}; a quote issued after it charges taxes.",
    "soon": "Exemption certificate {certificate} of {name} runs out on {last}.",
}
SETTINGS = {
    "override-not-in-kit": "The kit of opening {mark} has no {sku}, which a hand has set; take "
    "that back with: {clear}.",
    "override-item-unknown": "The job's catalogues have no {sku}, which a hand has put into "
    "opening {mark}; take that back with: {clear}.",
}
RENEW = (
    " Enter the new one with: wholekit customer set {code} --certificate NUMBER "
    "--certificate-until DATE."
)


def certificate_notes(customer: Customer, day: date, due: date | None = None) -> tuple[str, ...]:
    """Whether the exemption certificate has run out, or soon will. due: when bids are due."""
    tax = customer.tax
    lapse = tax.lapse(day, due)
    if not lapse:
        return ()
    fields = {
        "certificate": tax.certificate,
        "name": customer.name,
        "code": customer.code,
        "last": tax.expires,
        "due": due,
    }
    return ((CERTIFICATES[lapse] + RENEW).format_map(fields),)


def job_notes(view: JobView, day: date) -> tuple[str, ...]:
    """What keeps a job from being worked out, what its customer's certificate calls for, and which
    doors of their sheet its quote names as not quoted."""
    faults = tuple(_fault(fault, view) for fault in view.faults)
    missing = () if faults else no_catalogs(view.job)
    openings = view.contents.openings
    there = {(entry.alternate, entry.mark) for entry in openings}
    unasked = without_asked(view.job.unasked, there)
    told = (unread_text(unasked), unasked_text(unasked, [entry.mark for entry in openings]))
    said = "; ".join(filter(None, told))
    unused = "; ".join(view.job.not_used)
    return (
        *faults,
        *missing,
        *certificate_notes(view.customer, day, view.job.bids_due),
        *((f"Not in the quote, and named there: {said}.",) if said else ()),
        *((f"Of their sheet not used, and named on the quote: {unused}.",) if unused else ()),
    )


def stays_out(opening: WorkedOpening) -> str:
    """That an opening is still in no firm total, and why; empty where it is in it."""
    lacks = [
        piece_text(piece.role, next(iter(piece.kinds), None), piece.quantity)
        for piece in opening.kit.missing
    ]
    stops = list(dict.fromkeys(stop.code for stop in opening.open_stops()))
    why = [
        *([f"its kit is incomplete without {listed(lacks)}"] if lacks else []),
        *([f"open: {listed(stops)}"] if stops else []),
    ]
    if not why:
        return ""
    return (
        f"{opening.entry.mark} stays out of the firm total and of the pick room: {'; '.join(why)}."
    )


def no_catalogs(job: Job) -> tuple[str, ...]:
    """That a job is priced on no catalogue, and what to do."""
    if job.catalogs:
        return ()
    return (say_error(CallError("job-without-catalogs", job=job.label, currency=job.currency)),)


def due_notes(job: Job, day: date) -> tuple[str, ...]:
    """That bids were due before a day."""
    if job.bids_due is None or job.bids_due >= day:
        return ()
    return (f"Bids for {job.label} were due on {job.bids_due}, which is past.",)


def _fault(error: CallError | Problem, view: JobView) -> str:
    if not isinstance(error, Problem):
        return say_error(error)
    clear = [
        f"wholekit job clear {view.job.label} {entry.mark} {override.kind.value}"
        f"{_option('--sku', override.about[1])}{_option('--alternate', entry.alternate)}"
        for entry in view.contents.openings
        if entry.mark == error.fields.get("mark")
        for override in standing(entry.overrides)
        if error.fields.get("sku") in (override.sku, override.other_sku)
    ]
    if not clear or error.code not in SETTINGS:
        return sentence(say_problem(error))
    return SETTINGS[error.code].format_map({**error.fields, "clear": " or ".join(clear)})


def _option(name: str, value: str) -> str:
    # Quoted for a shell, since the command is told to be copied.
    return f" {name} {quote(value)}" if value else ""
