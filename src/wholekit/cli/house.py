"""`wholekit house`: the people of the house, and the owner's settings."""

from dataclasses import replace
from fractions import Fraction

import typer

from wholekit.cli import account, house_holidays, house_preview, options
from wholekit.cli.console import print_json, say, table
from wholekit.cli.desk import By, IfVersion, deed, desk
from wholekit.cli.job_history import print_events
from wholekit.domain.errors import CallError
from wholekit.domain.quotes import HousePolicy, Person, PersonRole
from wholekit.domain.quotes.people import LIMITED, read_floor
from wholekit.services import customers
from wholekit.views.customers import person_answer, policy_answer
from wholekit.views.history import entry_answers


def register(app: typer.Typer) -> None:
    """Put the commands on the application."""
    group = typer.Typer(
        help="People of the house, their roles and limits.",
        no_args_is_help=True,
        rich_markup_mode=None,
    )
    group.command("person")(person)
    group.command("people")(people)
    group.command("settings")(settings)
    group.command("history")(history)
    account.register(group)
    house_holidays.register(group)
    house_preview.register(group)
    app.add_typer(group, name="house")


def person(
    name: str = typer.Argument(..., help="The short name used with --by."),
    role: PersonRole = typer.Option(..., "--role", help="What they may do."),
    full_name: str = typer.Option("", "--full-name"),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Enter somebody, or change their role; the first is an owner, then only owners may."""
    done = customers.set_person(desk(), deed(by), Person(name, role, full_name))
    if json:
        print_json(person_answer(done))
    else:
        say(f"{done.name}  {done.role.value}")


def people(by: By = "", json: options.Json = False) -> None:
    """Everybody of the house."""
    answers = [person_answer(each) for each in customers.list_people(desk(), deed(by))]
    if json:
        print_json(answers)
        return
    rows = ((answer.name, answer.role, answer.full_name) for answer in answers)
    for line in table(rows, ("name", "role", "full name"), frozenset(), 2):
        say(line)


def history(by: By = "", json: options.Json = False) -> None:
    """All that was changed of the settings and the people: when, by whom, from what to what."""
    print_events(entry_answers(customers.house_history(desk(), deed(by))), json)


def settings(
    house_name: str | None = typer.Option(
        None, "--name", help="The house's name on papers, where no house folder says it."
    ),
    floor: str | None = typer.Option(
        None, "--floor", help="Margin under which things are flagged."
    ),
    valid_days: int | None = typer.Option(None, "--valid-days", min=1, max=3650),
    role: PersonRole | None = typer.Option(None, "--limit-of", help="Set this role's limits."),
    most_discount: str | None = typer.Option(None, "--most-discount", help="Such as 10%."),
    least_margin: str | None = typer.Option(None, "--least-margin", help="Such as 25%."),
    dates_on_quote: bool | None = typer.Option(
        None,
        "--dates-on-quote/--no-dates-on-quote",
        help="Whether customers' quotes list by day when the kits can be ready, or only how many "
        "are in stock.",
    ),
    one_supplier: str | None = typer.Option(
        None,
        "--one-supplier",
        help="Price new jobs on this catalogue alone; empty: on all.",
        metavar="ID",
    ),
    if_version: IfVersion = None,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Show the owner's settings, or change those given."""
    place = desk()
    _check_limits(role, most_discount, least_margin)
    given = (house_name, floor, valid_days, role, one_supplier, dates_on_quote)
    if all(option is None for option in given):
        policy = customers.house_policy(place, deed(by))
    else:

        def change(old: HousePolicy) -> HousePolicy:
            limited = old
            if role is not None:
                limited = old.with_limit(role, _given(most_discount), _given(least_margin))
            return replace(
                limited,
                house_name=old.house_name if house_name is None else house_name,
                floor=old.floor if floor is None else read_floor(floor),
                valid_days=valid_days or old.valid_days,
                dates_on_quote=old.dates_on_quote if dates_on_quote is None else dates_on_quote,
                one_supplier=old.one_supplier if one_supplier is None else one_supplier.strip(),
            )

        policy = customers.set_policy(place, deed(by), change, if_version)
    answer = policy_answer(policy)
    if json:
        print_json(answer)
        return
    say(
        f"{answer.house_name or 'no name'}; floor {answer.floor}; "
        f"quotes hold {answer.valid_days} days"
    )
    told = "list by day when the kits can be ready"
    stock = "tell how many kits are in stock, and no days"
    say(f"quotes {told if answer.dates_on_quote else stock}")
    if answer.one_supplier:
        say(f"new jobs are priced on {answer.one_supplier} alone")
    rows = ((limit.role, limit.most_discount, limit.least_margin) for limit in answer.limits)
    for line in table(rows, ("role", "most discount", "least margin"), frozenset({1, 2}), 0):
        say(line)


def _check_limits(role: PersonRole | None, discount: str | None, margin: str | None) -> None:
    """Raises CallError where a limit is given for nobody, or nobody's limit is given."""
    known = [limited.value for limited in LIMITED]
    limit = discount is not None or margin is not None
    if limit and role is None:
        raise CallError("limit-of-needed", known=known)
    if role is not None and role not in LIMITED:
        raise CallError("limit-of-owner", role=role.value, known=known)
    if role is not None and not limit:
        raise CallError("limit-needed", role=role.value)


def _given(share: str | None) -> Fraction | None:
    return None if share is None else read_floor(share)
