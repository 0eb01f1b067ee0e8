"""The house: its settings and where each comes from, its rules, its holidays, its log."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import FormData
from starlette.responses import Response

from wholekit.domain.errors import CallError, WholekitError
from wholekit.domain.house_style import HouseStyle
from wholekit.domain.quantities import QuantityError
from wholekit.domain.quotes import AuditEntry, HousePolicy
from wholekit.domain.quotes.people import LIMITED, read_floor
from wholekit.domain.quotes.roles import Action
from wholekit.domain.rules import Rule, RuleBook
from wholekit.domain.working_days import Holiday
from wholekit.services.accounts import Seated
from wholekit.services.catalogs import list_catalogs
from wholekit.services.customers import house_history, house_policy, set_policy
from wholekit.services.holidays import add_holiday, remove_holiday
from wholekit.services.house_log import LogPage, house_log
from wholekit.services.ports import LogFilter, Page
from wholekit.views.customers import policy_answer
from wholekit.views.history import log_answers
from wholekit.views.ready import holiday_answers
from wholekit.web.days import read_day
from wholekit.web.faults import sentences, status_of
from wholekit.web.numbers import page_number
from wholekit.web.place import place_of
from wholekit.web.screens import go, language_for, page
from wholekit.web.seats import deed_of, posted, sits, text_of
from wholekit.wording.sources import rule_source
from wholekit.wording.speech import speaking, tr

room = APIRouter()
Form = Annotated[FormData, Depends(posted)]
SeesSettings = Annotated[Seated, sits(Action.SEE_SETTINGS)]
Changes = Annotated[Seated, sits(Action.CHANGE_SETTINGS)]
ROWS = 50
MOST_DAYS = 3_650
SETTINGS = ("house_name", "floor", "valid_days", "dates_on_quote", "one_supplier", "limits")


@dataclass(frozen=True, slots=True)
class RuleShown:
    """A rule as the page shows it. house: set by a house file in place of the program's own."""

    id: str
    title: str
    value: str
    source: str
    house: bool


@room.get("/house")
def house(request: Request, _seated: SeesSettings) -> Response:
    """The settings, the house folder, the holidays."""
    return _house(request)


@room.post("/house")
def change(request: Request, _seated: Changes, form: Form) -> Response:
    """Change settings, limits of a role, or holidays; unless somebody else did since."""
    place, deed, what = place_of(request), deed_of(request), text_of(form, "deed")
    version = text_of(form, "version")
    expected = int(version) if version.isdecimal() and len(version) < 10 else None
    try:
        if what == "settings":
            set_policy(place.desk, deed, _changing(form), expected)
        elif what == "limit":
            roles = {role.value: role for role in LIMITED}
            role = roles.get(text_of(form, "role"))
            if role is None:
                raise CallError("limit-of-needed", known=list(roles))
            most = read_floor(text_of(form, "most_discount"))
            least = read_floor(text_of(form, "least_margin"))
            set_policy(place.desk, deed, lambda old: old.with_limit(role, most, least), expected)
        elif what == "holiday":
            add_holiday(place.desk, deed, Holiday(_day(form), text_of(form, "name")), expected)
        elif what == "workday":
            remove_holiday(place.desk, deed, Holiday(_day(form), ""), expected)
        else:
            raise CallError("answer-wanted")
    except (WholekitError, QuantityError) as error:
        return _house(request, sentences(error), status_of(error))
    return go("/house#holidays" if what in ("holiday", "workday") else "/house")


@room.get("/house/rules")
def rules(request: Request, _seated: SeesSettings, text: str = "") -> Response:
    """The rule book in force: each rule with its value and where it comes from."""
    wanted = " ".join(text.split())[:100]
    book = place_of(request).desk.rules
    with speaking(language_for(request)):
        shown = [_rule(rule, book) for rule in book.rules.values()]
    folded = wanted.casefold()
    found = [each for each in shown if folded in f"{each.id} {each.title} {each.source}".casefold()]
    return page(request, "rules.html", rules=found, version=book.version, text=wanted)


@room.get("/log")
def log(
    request: Request,
    _seated: Annotated[Seated, sits(Action.SEE_LOG)],
    who: str = "",
    day: str = "",
    job: str = "",
    number: str = "",
) -> Response:
    """Who did what when, over all jobs and accounts, the latest first."""
    place, deed, at = place_of(request), deed_of(request), page_number(number)
    said: Sequence[str] = ()
    found = LogPage((), 0, ())
    status = 200
    try:
        wanted = LogFilter(who.strip(), read_day(day))
        found = house_log(place.desk, deed, wanted, Page.numbered(at, ROWS), job.strip())
    except WholekitError as error:
        said, status = sentences(error), status_of(error)
    return page(
        request,
        "log.html",
        status,
        entries=log_answers(found.entries),
        count=found.count,
        names=found.names,
        page=at,
        pages=-(-found.count // ROWS),
        asked={"who": who.strip(), "day": day, "job": job.strip()},
        said=said,
    )


def _changing(form: FormData) -> "ToldSettings":
    days = text_of(form, "valid_days")
    if not days.isdecimal() or len(days) > 6 or not 1 <= int(days) <= MOST_DAYS:
        raise CallError("quantity-out-of-range", given=days, most=MOST_DAYS)
    return ToldSettings(
        text_of(form, "house_name"),
        text_of(form, "floor"),
        int(days),
        bool(text_of(form, "dates_on_quote")),
        text_of(form, "one_supplier"),
    )


@dataclass(frozen=True, slots=True)
class ToldSettings:
    """What a form sets of the settings."""

    house_name: str
    floor: str
    valid_days: int
    dates_on_quote: bool
    one_supplier: str

    def __call__(self, old: HousePolicy) -> HousePolicy:
        """The settings anew."""
        return replace(
            old,
            house_name=self.house_name,
            floor=read_floor(self.floor),
            valid_days=self.valid_days,
            dates_on_quote=self.dates_on_quote,
            one_supplier=self.one_supplier,
        )


def _day(form: FormData) -> date:
    given = text_of(form, "day")
    day = read_day(given)
    if day is None:
        raise CallError("date-unreadable", given=given or "''")
    return day


def _rule(rule: Rule, book: RuleBook) -> RuleShown:
    value = rule.value
    if isinstance(value, list):
        said = f"{len(value)} ×"
    elif isinstance(value, dict):
        said = ", ".join(f"{name}: {_plain(each)}" for name, each in value.items())
    else:
        said = "" if value is True else _plain(value)
    unit = f" {rule.unit}" if rule.unit and said else ""
    return RuleShown(
        rule.id, rule.title, said + unit, rule_source(book, rule.id), rule.replaces is not None
    )


def _plain(value: object) -> str:
    """A figure or word of a rule, as a reader says it."""
    if isinstance(value, bool):
        return tr("yes") if value else tr("no")
    if isinstance(value, list):
        return ", ".join(map(_plain, value))
    return str(value)


def _set_by(history: Sequence[AuditEntry]) -> Mapping[str, AuditEntry]:
    """The entry that set each of the settings last; none for what stands as the program ships."""
    found: dict[str, AuditEntry] = {}
    for entry in history:
        if entry.subject == "policy":
            found.update((name, entry) for name in SETTINGS if name in (entry.after or {}))
    return found


def _house(request: Request, said: Sequence[str] = (), status: int = 200) -> Response:
    place, deed = place_of(request), deed_of(request)
    policy = house_policy(place.desk, deed)
    style: HouseStyle = place.style()
    return page(
        request,
        "house.html",
        status,
        policy=policy_answer(policy),
        set_by={
            name: (entry.who, entry.at.date().isoformat())
            for name, entry in _set_by(house_history(place.desk, deed)).items()
        },
        suppliers=[
            (book.catalog_id, book.supplier) for book in list_catalogs(place.desk.store, deed)
        ],
        holidays=holiday_answers(policy.holidays),
        card=style.card,
        style=style,
        # Faces of a folder that was read: without one all of it is as the program ships.
        folder=style != HouseStyle(),
        changed_rules=sum(rule.replaces is not None for rule in place.desk.rules.rules.values()),
        said=said,
    )
