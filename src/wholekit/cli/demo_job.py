"""The demo's job, from the first call to the accepted quote, in a store of its own."""

import shutil
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from wholekit.bootstrap import desk_on, open_store
from wholekit.cli.demo_pick_room import pick_order
from wholekit.documents.any_paper import AnyPaper
from wholekit.documents.comparison import ComparisonPaper, comparison_paper, render_comparison
from wholekit.documents.dress import dressed
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_sheet import sheet_paper
from wholekit.documents.press_room import PressRoom
from wholekit.domain.catalog import Catalog
from wholekit.domain.customers import Customer, PaymentTerms, PriceTier
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import HouseStyle
from wholekit.domain.openings import Opening
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import Acceptance, Alternate, Person, PersonRole, State
from wholekit.domain.tax import FreightRate, LineKind, ShipTo, TaxRate
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services.customers import add_customer, set_person, set_ship_to
from wholekit.services.desk import Deed, Desk
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings, edit_opening, release_stop, remove_opening
from wholekit.services.jobs import NewJob, create_job, set_alternate, set_discount
from wholekit.services.quote_comparison import compare_quotes
from wholekit.services.quote_drafts import draft_quote
from wholekit.services.quote_papers import revision_shown, sheet_shown
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.settings import HOUSE_FOLDER, STORE_FILE, Settings, bundled

if TYPE_CHECKING:
    from wholekit.store.unit_of_work import SqlStore

OWNER, COUNTER = "odo", "ines"
JOB = "J-00001"
FOLDER = "job"
# What the contractor answers to the counter's questions, mark by mark, in a schedule's words.
ANSWERS = {
    "122": ("hold_open=none",),
    "203": ("mount=",),
    "207": ("mount=parallel",),
    "211": ("swing=in",),
}
REMOVED = "205"
RELEASED = "136"
# What they change before they accept.
CHANGES = {"101": ("quantity=3",), "106": ("finish=690",)}
OPTION = ("103", "104")


@dataclass(frozen=True, slots=True)
class Made:
    """A file that was made, and a line of what happened."""

    path: Path
    what: str


def make_job(
    out: Path,
    catalogs: Sequence[Catalog],
    openings: Sequence[Opening],
    on: date,
    house: Path,
    style: HouseStyle,
    room: PressRoom,
) -> Iterator[Made | str]:
    """The sample job quoted, changed and accepted; lines to say, and each paper that the room gets.

    out: gets the folder `job` with a store and its papers; an earlier demo's is replaced. house:
    the folder that `style` was read from. Raises CallError where it cannot write.
    """
    folder = _fresh(out / FOLDER, house)
    with closing(open_store(Settings(folder))) as store:
        _load(store, catalogs, on)
        desk = desk_on(store, house=lambda: style.card)
        _furnish(desk, on)
        press = _Press(folder, style, room)
        yield from _first_revision(desk, openings, on, press)
        yield from _second_revision(desk, on, press)
        yield from pick_order(desk, OWNER, _at(on + timedelta(days=15)))
    yield f"  WHOLEKIT_HOME={folder} wholekit job show 1   goes on from here"


def _fresh(folder: Path, house: Path) -> Path:
    """The folder without the store of an earlier demo, and with the house beside the new one."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # SQLite's log lies beside the file, and would be read into the new one.
        for end in ("", "-wal", "-shm"):
            (folder / f"{STORE_FILE}{end}").unlink(missing_ok=True)
        shutil.copytree(house, folder / HOUSE_FOLDER, dirs_exist_ok=True)
    except OSError as error:
        raise CallError("out-unwritable", folder=str(folder), error=error.strerror) from None
    return folder


def _load(store: "SqlStore", catalogs: Sequence[Catalog], on: date) -> None:
    from wholekit.services.catalog_loads import load, plan_loads

    owner = Deed(OWNER, _at(on))
    load(store, owner, plan_loads(store, owner, catalogs))


def _furnish(desk: Desk, on: date) -> None:
    """People, a customer with a price tier, a place with taxes and freight."""
    owner = Deed(OWNER, _at(on))
    set_person(desk, owner, Person(OWNER, PersonRole.OWNER))
    set_person(desk, owner, Person(COUNTER, PersonRole.COUNTER))
    set_ship_to(
        desk,
        owner,
        ShipTo(
            "bay",
            "Ostrell Bay School, gate 2",
            taxes=(
                TaxRate("state tax", Fraction(6, 100), frozenset({LineKind.HARDWARE})),
                TaxRate("harbor district tax", Fraction(1, 100)),
            ),
            freights=(
                FreightRate("dock truck", Money(9_500, "USD"), free_from=Money(2_000_000, "USD")),
                FreightRate("by hand", Money(14_000, "USD")),
            ),
        ),
    )
    add_customer(
        desk,
        owner,
        Customer(
            "saltmarsh",
            "Saltmarsh Builders",
            ("3 Causeway Road", "Port Aldren"),
            multiplier=Fraction(62, 100),
            tiers=(PriceTier(Fraction(60, 100), supplier="quillmere", kind="boxed-set"),),
            terms=PaymentTerms(30, "net 30 days"),
            ship_to="bay",
        ),
    )


def _first_revision(
    desk: Desk, openings: Sequence[Opening], on: date, press: "_Press"
) -> Iterator[Made | str]:
    """The schedule comes in, the stops are settled, the quote goes out."""
    owner, counter = Deed(OWNER, _at(on)), Deed(COUNTER, _at(on))
    create_job(
        desk,
        counter,
        NewJob(
            "Ostrell Bay School",
            "saltmarsh",
            site="Ostrell Bay School",
            contact="the site office",
            bids_due=on + timedelta(days=14),
        ),
    )
    add_openings(desk, counter, JOB, openings)
    yield f"{JOB}  {len(openings)} marks from the schedule; what stops it is settled:"
    for mark, texts in ANSWERS.items():
        _edit(desk, counter, mark, texts)
        yield f"  {mark}  {', '.join(texts)}, as the contractor answers"
    remove_opening(desk, counter, JOB, REMOVED)
    yield f"  {REMOVED}  taken out: the maker designs it"
    release_stop(
        desk, owner, JOB, RELEASED, "finish-unavailable", "the architect takes the nearest finish"
    )
    yield f"  {RELEASED}  finish-unavailable released by {OWNER}, with a reason"
    add_extra(
        desk,
        counter,
        JOB,
        NewExtra(LineKind.HARDWARE, "Ball-bearing hinges, satin", 24, _usd(1_250), _cost("8.10")),
    )
    add_extra(
        desk,
        counter,
        JOB,
        NewExtra(LineKind.LABOUR, "Try every accessible opening with a gauge", 1, _usd(18_000)),
    )
    option = Alternate("alt-1", "Dark bronze at the main entrance", OPTION)
    set_alternate(desk, counter, JOB, option)
    bronze = read_opening_changes(["finish=690"], desk.rules)
    chosen = [changed(opening, bronze) for opening in openings if opening.mark in OPTION]
    add_openings(desk, counter, JOB, chosen, option.code)
    draft_quote(desk, counter, JOB, cover_note="As discussed on site on Tuesday.")
    yield from _issue(desk, owner, press, 1)


def _second_revision(desk: Desk, on: date, press: "_Press") -> Iterator[Made | str]:
    """Two doors change, a better price is asked for, and the second revision is accepted."""
    later = Deed(OWNER, _at(on + timedelta(days=9)))
    for mark, texts in CHANGES.items():
        _edit(desk, later, mark, texts)
    set_discount(desk, later, JOB, Fraction(3, 100), "for an order before the year ends")
    yield from _issue(desk, later, press, 2)
    accepted = Deed(OWNER, _at(on + timedelta(days=14)))
    done = compare_quotes(desk, accepted, "Q-1/1", "Q-1/2")
    yield press.compared(comparison_paper(done.comparison, done.later), "changes.pdf")
    close_quote(desk, accepted, "Q-1/2", State.ACCEPTED, acceptance=Acceptance(order_number="4417"))
    yield "Q-00001/2  accepted, order 4417"
    shown = sheet_shown(desk, accepted, "Q-1/2")
    sheet = sheet_paper(shown.snapshot, shown.floor, accepted=shown.accepted)
    yield press.written(sheet, "margin-sheet.pdf", "what it earns, for the owner")


def _issue(desk: Desk, deed: Deed, press: "_Press", number: int) -> Iterator[Made | str]:
    outcome = issue_quote(desk, deed, JOB)
    if outcome.revision is None:
        stops = ", ".join(f"{stop.mark} {stop.finding.code}" for stop in outcome.review.stops)
        raise CallError("demo-stopped", stops=stops or "a limit")
    shown = revision_shown(desk, deed, outcome.revision.label)
    total = shown.snapshot.offer.totals.gross
    yield (
        f"{outcome.revision.label}  issued, {total.decimal_text} {total.currency} with freight and "
        f"taxes, valid until {outcome.revision.valid_until}"
    )
    paper = quote_paper(shown.snapshot.offer)
    yield press.written(paper, f"quote-{number}.pdf", f"revision {number} for the customer")


@dataclass(frozen=True, slots=True)
class _Press:
    """Where the job's papers are laid out and come to lie, and in what look."""

    folder: Path
    style: HouseStyle
    room: PressRoom

    def written(self, paper: AnyPaper, name: str, what: str) -> Made:
        from wholekit.documents.render import render_paper

        path = self.folder / name
        render_paper(
            dressed(paper, self.style),
            path,
            bundled("templates"),
            house=self.style.templates,
            room=self.room,
        )
        return Made(path, what)

    def compared(self, paper: ComparisonPaper, name: str) -> Made:
        path = self.folder / name
        look = self.style
        templates = bundled("templates")
        render_comparison(dressed(paper, look), path, templates, look.templates, self.room)
        return Made(path, "what changed, for the customer")


def _edit(desk: Desk, deed: Deed, mark: str, texts: Sequence[str]) -> None:
    changes = read_opening_changes(texts, desk.rules)
    edit_opening(desk, deed, JOB, mark, lambda opening: changed(opening, changes))


def _at(day: date) -> datetime:
    """Nine o'clock of a day."""
    # Neither the clock nor its zone, so that the demo's papers come out alike everywhere.
    return datetime.combine(day, time(9), UTC)


def _usd(minor: int) -> Money:
    return Money(minor, "USD")


def _cost(text: str) -> Cost:
    from wholekit.domain.quantities import parse_cost

    return parse_cost(text, "USD")
