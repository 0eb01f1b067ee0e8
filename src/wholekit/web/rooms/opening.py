"""One opening of a job: its facts, its kits side by side, why it gets the one it has, and what
stops it with the ways out."""

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Any
from urllib.parse import quote

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, InputError, WholekitError
from wholekit.domain.openings import Opening
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes.roles import Action
from wholekit.domain.rules import RuleBook
from wholekit.intake.changes import changed
from wholekit.intake.openings import read_opening_changes
from wholekit.services import choices as service
from wholekit.services.accounts import Seated
from wholekit.services.availability import calendar_of
from wholekit.services.catalogs import list_catalogs
from wholekit.services.holidays import list_holidays
from wholekit.services.job_openings import edit_opening, release_stop
from wholekit.services.job_trials import try_opening
from wholekit.services.jobs import job_header
from wholekit.services.remedies import opening_ways, take_remedy
from wholekit.views.choices import choices_answer
from wholekit.views.facts import COLUMNS, fact_groups, fact_texts
from wholekit.views.jobs import signs_of
from wholekit.views.kits import price_answer
from wholekit.views.previews import preview_answer
from wholekit.views.remedies import ways_answer
from wholekit.views.reviews import warnings_of
from wholekit.views.trees import tree_answer
from wholekit.web.faults import sentences, status_of
from wholekit.web.place import place_of
from wholekit.web.screens import go, heard, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.openings import leaf_text, summary
from wholekit.wording.problems import say_problem

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
Sees = Annotated[Seated, sits(Action.SEE_JOBS)]
Changes = Annotated[Seated, sits(Action.CHANGE_JOBS)]
Change = Callable[[Opening], Opening]


@dataclass(frozen=True, slots=True)
class _Told:
    """What came of a form: what was wrong, by field and as a whole, what was typed, and what it
    would come to where that was asked."""

    said: list[str] = field(default_factory=list)
    status: int = 200
    typed: Mapping[str, str] = field(default_factory=dict)
    wrong: Mapping[str, str] = field(default_factory=dict)
    trial: Mapping[str, Any] | None = None


NOTHING = _Told()


@room.get("/jobs/{number}/openings/{mark}")
def opening(
    request: Request, number: str, mark: str, _seated: Sees, alternate: str = ""
) -> Response:
    """The opening, with its choices and reasons."""
    return _opening(request, number, mark, alternate)


@room.get("/jobs/{number}/openings/{mark}/ways")
def ways(request: Request, number: str, mark: str, _seated: Sees, alternate: str = "") -> Response:
    """What stops it, and the ways out, as a part of the page of its job."""
    place, deed = place_of(request), deed_of(request)
    rules = place.desk.rules
    found = opening_ways(place.desk, deed, number, mark, stating(rules), alternate)
    suppliers = {each.catalog_id: each.supplier for each in list_catalogs(place.desk.store, deed)}
    with heard(request):
        findings = ways_answer(found, suppliers, rules)
    return page(
        request,
        "parts/ways.html",
        at=_path(number, mark),
        alternate=alternate,
        back="job",
        findings=findings,
    )


@room.post("/jobs/{number}/openings/{mark}")
def decide(request: Request, number: str, mark: str, _seated: Changes, form: Form) -> Response:
    """Take a way out or another kit, let a stop go for a reason that prints, or change facts."""
    place, deed = place_of(request), deed_of(request)
    alternate, what = text_of(form, "alternate"), text_of(form, "deed")
    if what in ("facts", "try"):
        return _facts(request, number, mark, alternate, form, write=what == "facts")
    try:
        if remedy := text_of(form, "remedy"):
            state = stating(place.desk.rules)
            found = opening_ways(place.desk, deed, number, mark, state, alternate)
            take_remedy(found, remedy, place.desk, deed, state)
        elif what == "release":
            reason = text_of(form, "reason")
            release_stop(place.desk, deed, number, mark, text_of(form, "code"), reason, alternate)
        elif what == "choose":
            word = text_of(form, "word")
            service.choose(place.desk, deed, number, [mark], word, alternate=alternate)
        else:
            raise CallError("answer-wanted")
    except (WholekitError, QuantityError) as error:
        told = _Told(sentences(error), status_of(error))
        return _opening(request, number, mark, alternate, told)
    if text_of(form, "back") == "job":
        return go(f"/jobs/{number}#o-{quote(mark)}")
    return go(_path(number, mark, alternate))


@room.post("/jobs/{number}/openings/{mark}/try")
def try_facts(request: Request, number: str, mark: str, _seated: Sees, form: Form) -> Response:
    """What the facts in the form would come to, as a part of the page; nothing is written."""
    alternate = text_of(form, "alternate")
    try:
        change = _change_of(_typed(form), place_of(request).desk.rules)
        shown = _trial(request, number, mark, alternate, change)
    except (WholekitError, QuantityError) as error:
        # What is half typed is no fault yet.
        return page(request, "parts/trial.html", trial=None, said=sentences(error))
    return page(request, "parts/trial.html", trial=shown, said=[])


def stating(rules: RuleBook) -> Callable[[str, str], Change]:
    """What a column and a text in the words of a schedule make of an opening."""

    def state(column: str, text: str) -> Change:
        values = read_opening_changes([f"{column}={text}"], rules)
        return lambda old: changed(old, values)

    return state


def _path(number: str, mark: str, alternate: str = "") -> str:
    behind = f"?alternate={quote(alternate)}" if alternate else ""
    return f"/jobs/{quote(number)}/openings/{quote(mark, safe='')}{behind}"


def _facts(
    request: Request, number: str, mark: str, alternate: str, form: FormData, *, write: bool
) -> Response:
    """The facts saved as they are in the form, or shown with what they would come to."""
    place, deed = place_of(request), deed_of(request)
    typed = _typed(form)
    try:
        change = _change_of(typed, place.desk.rules)
        if not write:
            shown = _trial(request, number, mark, alternate, change)
            return _opening(request, number, mark, alternate, _Told(typed=typed, trial=shown))
        seen = text_of(form, "version")
        expected = int(seen) if seen.isdigit() else None
        saved = edit_opening(place.desk, deed, number, mark, change, alternate, expected)
    except (WholekitError, QuantityError) as error:
        problems = error.problems if isinstance(error, InputError) else ()
        wrong = {
            problem.column: say_problem(replace(problem, where="", column=""))
            for problem in problems
            if problem.column in COLUMNS
        }
        told = _Told(sentences(error), status_of(error), typed, wrong)
        return _opening(request, number, mark, alternate, told)
    return go(_path(number, saved.mark, alternate))


def _typed(form: FormData) -> dict[str, str]:
    """The fields that are other than the page showed them, so that what somebody else changed
    meanwhile is not put back."""
    try:
        shown = json.loads(text_of(form, "shown"))
    except ValueError:
        shown = None
    shown = shown if isinstance(shown, dict) else {}
    told = {column: text_of(form, column) for column in COLUMNS if column in form}
    return {column: text for column, text in told.items() if shown.get(column) != text}


def _change_of(typed: Mapping[str, str], rules: RuleBook) -> Change:
    """What typed fields make of an opening. Raises InputError."""
    told = [f"{column}={text}" for column, text in typed.items()]
    values = read_opening_changes(told, rules) if told else {}
    return lambda old: changed(old, values)


def _trial(
    request: Request, number: str, mark: str, alternate: str, change: Change
) -> Mapping[str, Any]:
    place, rules = place_of(request), place_of(request).desk.rules
    before, after = try_opening(place.desk, deed_of(request), number, mark, change, alternate)
    with heard(request):
        return {
            "was": preview_answer(before, rules),
            "now": preview_answer(after, rules),
            "difference": price_answer(after.price - before.price),
            "tree": tree_answer(after, rules),
        }


def _opening(
    request: Request, number: str, mark: str, alternate: str, told: _Told = NOTHING
) -> Response:
    place, deed = place_of(request), deed_of(request)
    rules = place.desk.rules
    header = job_header(place.desk, deed, number)
    ways = opening_ways(place.desk, deed, number, mark, stating(rules), alternate)
    worked, entry = ways.opening, ways.opening.entry
    suppliers = {each.catalog_id: each.supplier for each in list_catalogs(place.desk.store, deed)}
    calendar = calendar_of(rules, list_holidays(place.desk, deed))
    with heard(request):
        findings = ways_answer(ways, suppliers, rules)
        named = {finding.code for finding in findings}
        return page(
            request,
            "opening.html",
            told.status,
            number=header.number,
            label=header.label,
            job_name=header.name,
            at=_path(str(header.number), entry.mark),
            mark=entry.mark,
            alternate=entry.alternate,
            version=entry.version,
            leaf=leaf_text(entry.opening.type),
            text=summary(entry.opening.type),
            room_name=entry.opening.room,
            note=entry.opening.note,
            quantity=entry.opening.quantity,
            shown=preview_answer(worked, rules),
            texts=json.dumps(fact_texts(entry.opening)),
            facts=fact_groups(entry.opening, told.typed),
            wrong=told.wrong,
            trial=told.trial,
            choices=choices_answer(
                ways.choices, suppliers, rules, lambda days: calendar.after(deed.day, days)
            ),
            tree=tree_answer(worked, rules),
            findings=findings,
            back="",
            missing=[piece.role.value for piece in worked.kit.missing],
            # Those with a way out stand above.
            warnings=[each for each in warnings_of([worked]) if each.code not in named],
            signs=signs_of(entry),
            said=told.said,
        )
