"""A schedule on its own: an unsaved job with a nameless customer, worked up like any other."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from fractions import Fraction

from wholekit.domain.customers import LIST, Customer
from wholekit.domain.kits import Kit, Shelf
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.openings import Opening, UnaskedDoor
from wholekit.domain.quotes import Job, JobContents, JobOpening
from wholekit.domain.quotes.parties import PriceBook
from wholekit.domain.quotes.totals import Destination
from wholekit.domain.quotes.worked import WorkedJob, work_up
from wholekit.domain.rules import RuleBook
from wholekit.services.availability import BookStock, availability_of
from wholekit.services.stock_port import Stock
from wholekit.services.workup import Workup


@dataclass(frozen=True, slots=True)
class Asker:
    """Who asks, as far as it is known: name, job, multiplier on list [fraction], locale [CLDR].

    by: who of the house does this; as of a new job, the salesperson.
    """

    customer: str = ""
    job: str = ""
    multiplier: Fraction = LIST
    locale: str = "en_US"
    by: str = ""


def work_up_schedule(
    openings: Sequence[Opening],
    shelf: Shelf,
    rules: RuleBook,
    day: date,
    asker: Asker = Asker(),
    *,
    made: Mapping[str, Kit] | None = None,
    progress: Callable[[int], None] | None = None,
    stock: Stock | None = None,
    unasked: Sequence[UnaskedDoor] = (),
    not_used: Sequence[str] = (),
) -> Workup:
    """The kits and prices of a schedule. Cost grows with openings plus kinds. Raises RuleError.

    made: kits by mark, where they are not to be built. progress: told now and then how many
    openings are done [count]. stock: what is on hand; None: what the price books say.
    unasked: doors of the sheet that nothing was asked for; not_used: its headings that
    nothing was read from.
    """
    job = Job(
        "",
        0,
        asker.job,
        "",
        shelf.currency,
        datetime.combine(day, time(), UTC),
        asker.by,
        salesperson=asker.by,
        unasked=tuple(unasked),
        not_used=tuple(not_used),
    )
    contents = JobContents(
        job, tuple(JobOpening("", "", at, opening) for at, opening in enumerate(openings))
    )
    customer = Customer(
        "",
        asker.customer,
        currency=shelf.currency,
        locale=asker.locale,
        multiplier=asker.multiplier,
    )
    kit_of = None if made is None else (lambda entry: made[entry.mark])
    worked = work_up(contents, customer, shelf, rules, day, made=kit_of, progress=progress)
    kits = (opening.kit for opening in worked.openings)
    available = availability_of(kits, stock or BookStock(shelf.catalogs), rules)
    return Workup(worked, Destination(None, day), price_books(worked), available, shelf)


def check_schedule(
    openings: Sequence[Opening],
    lines: Mapping[str, Sequence[HandLine]],
    shelf: Shelf,
    rules: RuleBook,
    day: date,
) -> Workup:
    """Each opening's hand-made kit, checked; an opening without lines lacks everything."""
    made = {
        opening.mark: check_kit(opening.type, lines.get(opening.mark, ()), shelf, rules)
        for opening in openings
    }
    return work_up_schedule(openings, shelf, rules, day, made=made)


def price_books(worked: WorkedJob) -> tuple[PriceBook, ...]:
    """The catalogues a job of no store was priced on."""
    books = (
        PriceBook(catalog.id, catalog.supplier, 0, catalog.edition) for catalog in worked.catalogs
    )
    return tuple(sorted(books, key=lambda book: book.catalog_id))
