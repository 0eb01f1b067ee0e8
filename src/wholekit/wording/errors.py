"""Errors of the call and of the rule book, in sentences: what is wrong, and what would be right."""

import traceback
from collections.abc import Mapping
from pathlib import Path

from wholekit.domain.errors import WholekitError
from wholekit.domain.quotes.roles import Action
from wholekit.wording.accounts import ERRORS as ACCOUNT_ERRORS
from wholekit.wording.force_sentences import ERRORS as FORCE_ERRORS
from wholekit.wording.job_sentences import DEEDS_SAID, RIGHTS_SAID
from wholekit.wording.job_sentences import ERRORS as JOB_ERRORS
from wholekit.wording.pick_room import ERRORS as PICK_ROOM_ERRORS
from wholekit.wording.purchases import ERRORS as PURCHASE_ERRORS
from wholekit.wording.screens import ERRORS as SCREEN_ERRORS
from wholekit.wording.stock import ERRORS as STOCK_ERRORS
from wholekit.wording.store_errors import ERRORS as STORE_ERRORS
from wholekit.wording.store_faults import say_faults
from wholekit.wording.words import listed

ERRORS: dict[str, str] = {
    "bundled-folder-missing": "This installation lacks its folder {name}; install wholekit again.",
    "catalog-folder-missing": "There is no catalogue folder {folder}. A catalogue is a folder with "
    "catalog.toml, series/ and prices.csv.",
    "catalog-needed": "No catalogue given, and the store has none. Load one (wholekit catalog load "
    "DIR), or add --catalog DIR, once for each supplier; samples lie in {samples}.",
    "catalog-twice": "Two of the catalogues have the id {id}; each may be given once.",
    "catalog-unknown": "{given} is neither a folder nor a catalogue of the store; the store has "
    "{known}.",
    "currencies-in-store": "The catalogues of the store have several currencies: {known}. Name "
    "those of one currency with --catalog, once for each.",
    "currencies-mixed": "A job has one currency, but the catalogues have two ({first}; {other}). "
    "Use catalogues of one currency.",
    "demo-stopped": "The demo's quote may not be issued: {stops}.",
    "date-too-late": "{days} days after {given} is past the year 9999, where dates end; give an "
    "earlier date.",
    "date-unreadable": "{given} is not a date; write year-month-day, such as 2026-11-25.",
    "explain-job-alone": "{job} brings its own openings and catalogues; leave out --opening and "
    "--catalog, or name a schedule file in its place.",
    "file-there": "{path} is there already, and nothing was written over it; name another file, or "
    "move it away.",
    "locale-unknown": "{locale} is no locale known here; write a CLDR name such as en_US or fr_CA.",
    "mark-needed": "The schedule has several openings; choose one with --mark. It has {known}.",
    "mark-unknown": "There is no opening {mark}; there are {known}.",
    "openings-needed": "No openings given. Name a schedule file (CSV or XLSX, - for standard "
    "input), or describe an opening: --opening '101 3070 hollow-metal/steel interior'.",
    "out-unwritable": "Cannot write to {folder}: {error}. Nothing was written.",
    "output-not-written": "The answer could not be written: {error}.",
    "archive-of-the-quote-alone": "The form for keeping is the quote's: --archive and "
    "--only {paper} do not go together. Leave --only out, or ask for --only quote.",
    "export-of-issued-alone": "{quote} is not issued; open formats are made of what was issued. "
    "Issue it first, and name it by its number, as in Q-00012/3.",
    "export-of-firm-alone": "{quote} holds openings that are stopped or not whole: {marks}. A "
    "quotation as data is of firm openings alone: issue a revision with --without-stopped, and "
    "export that.",
    "export-option-unwanted": "{option} goes with {right}; leave it out, or ask for that.",
    "schedule-of-other-job": "{file} has no mark that {quote} quotes; name the schedule that the "
    "job was made from, or the right quote.",
    "schedule-side-by-side": "{file} has openings of several tables in one row, so no column can "
    "be put beside one of them; name one table with --table ROW.",
    "sent-file-unreadable": "{path} cannot be read: {error}. Name each file that was sent, or "
    "none; nothing was written down.",
    "mail-address-wrong": "{given} is no mail address; right would be one such as "
    "buyer@example.com, and only one.",
    "books-of-orders-alone": "{quote} was not accepted, so there is nothing for the books. Run "
    "wholekit quote accept first.",
    "paper-in-place-of-other": "{path} is there and is no PDF; name another file, or move it away.",
    "house-template-fails": "{path}, line {line}: the house's own template fails: {because}. "
    "Nothing was written.",
    "label-bins-unknown": "No item of these catalogues lies in bin {given}; they have bins such as "
    "{known}.",
    "label-items-unknown": "These catalogues do not sell {given}; they sell items such as {known}.",
    "label-none": "There is no {what} to print a label of.",
    "label-stock-unknown": "There is no label stock {given}; there are {known}.",
    "openings-of-the-slip-alone": "A part of the openings goes on a packing slip alone; add --only "
    "packing-slip, or leave out --openings.",
    "parcel-unreadable": "{given} is no parcel; write which of how many, such as 2/3.",
    "slip-marks-held": "{given} may not be sent: a stop is open or a piece is missing. Settle "
    "that, or leave them out of --openings.",
    "slip-marks-unknown": "No opening of this quote is called {given}; it has {known}.",
    "paper-not-written": "The paper {path} could not be written: {because}. What was there before "
    "is unchanged.",
    "rule-not-a-number": "Rule {rule} should hold one number.",
    "rule-not-a-table": "Rule {rule} should hold a table.",
    "rule-unknown": "There is no rule {rule}.{near}",
    "supplier-unknown": "No catalogue has the id {supplier}; those given have {known}.",
}
MOST_NAMED = 12


def say_error(error: WholekitError, others: Mapping[str, str] | None = None) -> str:
    """An error in words. others: sentences that stand in for those of the command line."""
    fields = {name: _word(value) for name, value in error.fields.items()}
    known = error.fields.get("known")
    faults = error.fields.get("faults")
    if isinstance(faults, tuple):
        fields["faults"] = say_faults(faults)
    if "deed" in fields:
        fields["deed"] = DEEDS_SAID[fields["deed"]]
    # A field of a form or of arms, by its name in the code; other names are somebody's data.
    for name in fields.keys() & ({"what", "name"} if error.code in FORCE_ERRORS else {"what"}):
        fields[name] = fields[name].replace("_", " ")
    fields["near"] = f" Near: {_word(known)}." if known else ""
    every = (
        others or {},
        ACCOUNT_ERRORS,
        SCREEN_ERRORS,
        FORCE_ERRORS,
        STORE_ERRORS,
        STOCK_ERRORS,
        PICK_ROOM_ERRORS,
        PURCHASE_ERRORS,
        JOB_ERRORS,
        ERRORS,
    )
    return next(said[error.code] for said in every if error.code in said).format_map(fields)


def say_fault_of_own(error: BaseException) -> str:
    """A fault of the program in one sentence: what it was, and where in the program.

    What the error itself says may hold anything, a password too, and is left out.
    """
    frames = traceback.extract_tb(error.__traceback__)
    # The last place in our own code tells more than a library's.
    own = [frame for frame in frames if "wholekit" in Path(frame.filename).parts] or frames
    where = "" if not own else f" in {Path(own[-1].filename).name}, line {own[-1].lineno}"
    return (
        f"wholekit failed by a fault of its own ({type(error).__name__}{where}); please report it "
        "with the command you gave."
    )


def _word(value: object) -> str:
    if isinstance(value, list | tuple):
        names = [str(name) for name in value] or ["none"]
        more = len(names) - MOST_NAMED
        return (
            listed(names[:MOST_NAMED])
            if more <= 0
            else (f"{', '.join(names[:MOST_NAMED])} and {more} more")
        )
    return RIGHTS_SAID[value] if isinstance(value, Action) else str(value)
