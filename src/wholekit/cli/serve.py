"""`wholekit serve`: the screens, from one command."""

import sys

import typer

from wholekit.bootstrap import house_keys, open_store, settings
from wholekit.cli.account import ask_password
from wholekit.cli.browsers import HOST, PORT, run_server
from wholekit.cli.console import tell
from wholekit.cli.desk import deed, desk
from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Person, PersonRole
from wholekit.services.accounts import give_account, has_accounts
from wholekit.services.customers import list_people, set_person


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("serve")(serve)


def serve(
    host: str = typer.Option(HOST, "--host", help="Where to listen; this machine alone."),
    port: int = typer.Option(PORT, "--port", min=0, max=65_535, help="The port."),
    workers: int = typer.Option(1, "--workers", min=1, max=64, help="Processes that answer."),
    behind: str = typer.Option(
        "", "--behind", help="The address of a proxy in front that speaks TLS.", metavar="ADDRESS"
    ),
) -> None:
    """The screens in a browser, for counter, pick room and owner; Ctrl-C ends it."""
    _see_to_owner()
    run_server(settings().home, host, port, workers, behind)


def _see_to_owner() -> None:
    """The owner's account, asked for at the terminal where nobody has one. Raises CallError."""
    store = open_store()
    try:
        if has_accounts(store):
            return
    finally:
        store.close()
    if not sys.stdin.isatty():
        raise CallError("serve-needs-owner")
    place = desk()
    owners = [
        person.name for person in list_people(place, deed("")) if person.role is PersonRole.OWNER
    ]
    tell("Nobody can sign in yet. The first account is an owner's.")
    name = typer.prompt("Name", default=owners[0] if owners else None, err=True).strip()
    if name not in owners:
        set_person(place, deed(name), Person(name, PersonRole.OWNER))
    give_account(place, deed(name), house_keys(), name, ask_password())
