"""What every business action is given: the store, the ids, and who acts when."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING, Any
from unicodedata import category

from wholekit.domain.errors import CallError, ConflictError
from wholekit.domain.house_style import HouseCard
from wholekit.domain.kits import Policy, Shelf
from wholekit.domain.plain import to_plain
from wholekit.domain.quotes import AuditEntry, Job
from wholekit.domain.rules import RuleBook
from wholekit.services.ports import IdSource, Store, UnitOfWork, Words
from wholekit.services.shelves import ShelfKeeper

if TYPE_CHECKING:
    from wholekit.domain.allocation import Contest, Solved, Solver, Split


LONGEST_TEXT = 2_000
# A name stands in one cell or line of every paper: laying out one of thousands takes minutes.
LONGEST_NAME = 120
MACHINE_ACCOUNTS = frozenset(
    {"root", "admin", "administrator", "daemon", "nobody", "system", "www-data"}
)
NAMES = frozenset(
    {"name", "full_name", "house_name", "contact", "email", "phone", "salesperson", "site", "title"}
)


class NoSolver:
    """A desk without a solver: what it would be asked is answered by simpler means."""

    def solve(self, contest: "Contest", seconds: float, start: "Split") -> "Solved | None":  # noqa: ARG002  # a solver's
        """None, always."""
        return None


NO_SOLVER = NoSolver()


@dataclass(frozen=True, slots=True)
class Deed:
    """Who does or asks something, and when (with its time zone).

    named: the name was said, and is not just the one the machine is signed in under. proven: it
    was shown by signing in.
    """

    who: str
    at: datetime
    named: bool = True
    proven: bool = False

    @property
    def day(self) -> date:
        """The day of the deed, where the clock hangs."""
        return self.at.date()

    @property
    def signs(self) -> str:
        """The name as papers bear it; empty where it is but the machine's own account, such as
        root: no customer knows anybody of that name."""
        return "" if not self.named and self.who.lower() in MACHINE_ACCOUNTS else self.who


@dataclass(frozen=True, slots=True)
class Desk:
    """Where the work is done: store, source of ids, rule book and words; shelves made before.

    solver: finds which bags go out whole where stock is short. house: what it says of itself, where
    a folder of it does; asked when something is quoted.
    """

    store: Store
    ids: IdSource
    rules: RuleBook
    words: Words
    shelves: ShelfKeeper = field(default_factory=ShelfKeeper, compare=False, repr=False)
    solver: "Solver" = field(default=NO_SOLVER, compare=False, repr=False)
    house: Callable[[], HouseCard] = field(default=HouseCard, compare=False, repr=False)


def job_of(uow: UnitOfWork, reference: str) -> Job:
    """The job of a reference: its label (`J-00012`), bare number or id. Raises CallError."""
    job = None
    digits = reference.strip().upper().removeprefix("J-")
    # Longer numbers no store has, and one of twenty digits would fail in the driver.
    if digits.isdecimal() and digits.isascii() and len(digits) < 10:
        job = uow.jobs.by_number(int(digits))
    job = job or uow.jobs.get(reference.strip())
    if job is None:
        raise CallError("job-unknown", job=reference)
    return job


def held_job(uow: UnitOfWork, reference: str) -> Job:
    """The job of a reference, held for change until the unit of work ends. Raises CallError."""
    found = uow.jobs.for_change(job_of(uow, reference).id)
    if found is None:
        raise CallError("job-unknown", job=reference)
    return found


def shelf_of(uow: UnitOfWork, desk: Desk, job: Job) -> Shelf:
    """The shelf of the catalogue revisions a job is priced on. Raises CallError if it has none."""
    if not job.catalogs:
        raise CallError("job-without-catalogs", job=job.label, currency=job.currency)
    shelf = desk.shelves.shelf(uow, job.catalogs, Policy(job.prefer, job.stock_first))
    for catalog in shelf.catalogs:
        if catalog.currency != job.currency:
            raise CallError(
                "job-currency",
                job=job.label,
                currency=job.currency,
                supplier=catalog.supplier,
                other=catalog.currency,
            )
    return shelf


def need_reason(reason: str, deed: str) -> str:
    """The reason of a deed, trimmed. Raises CallError if there is none."""
    if not reason.strip():
        raise CallError("reason-needed", deed=deed)
    return need_line(" ".join(reason.split()), "reason")


def need_plain(thing: object) -> None:
    """Raises CallError where a text of a dataclass is too long, or cannot be printed in a line.

    Control characters and marks that turn the direction of text would steer whoever shows it.
    """
    if not is_dataclass(thing):
        raise TypeError(type(thing).__name__)
    for each in fields(thing):
        value = getattr(thing, each.name)
        for text in value if isinstance(value, tuple) else (value,):
            if isinstance(text, str):
                most = LONGEST_NAME if each.name in NAMES else LONGEST_TEXT
                need_line(text, each.name, most)


def need_line(text: str, what: str, most: int = LONGEST_TEXT) -> str:
    """The text, if it is one line that can be printed, of `most` characters. Raises CallError."""
    if len(text) > most:
        raise CallError("text-too-long", what=what, most=most)
    # C: controls, invisible and turning marks, and signs that mean nothing; Zl, Zp: line breaks.
    if any(category(sign).startswith("C") or category(sign) in ("Zl", "Zp") for sign in text):
        raise CallError("text-not-plain", what=what)
    return text


def check_version(what: str, subject: str, expected: int | None, found: int) -> None:
    """Raises ConflictError where the caller saw another version; None did not look."""
    if expected is not None and expected != found:
        raise ConflictError("version-stale", what=what, id=subject, expected=expected, found=found)


def note(
    uow: UnitOfWork,
    deed: Deed,
    action: str,
    subject: str,
    subject_id: str,
    *,
    job_id: str = "",
    before: object = None,
    after: object = None,
    reason: str = "",
) -> None:
    """Write one entry in the audit log; before and after as plain data, only what differs."""
    was, now = _plain(before), _plain(after)
    if was is not None and now is not None:
        names = [name for name in {**was, **now} if was.get(name) != now.get(name)]
        was = {name: was.get(name) for name in names}
        now = {name: now.get(name) for name in names}
    uow.audit.add(
        AuditEntry(deed.at, deed.who, action, subject, subject_id, job_id, was, now, reason)
    )


def _plain(value: object) -> Mapping[str, Any] | None:
    if value is None:
        return None
    plain: Mapping[str, Any] = to_plain(value)
    return plain
