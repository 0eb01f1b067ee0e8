"""`wholekit house account|token|sign-out`: who may sign in, and as whom."""

import getpass
import sys

import typer

from wholekit.bootstrap import house_keys
from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import By, deed, desk
from wholekit.domain.errors import CallError
from wholekit.services import accounts

DAYS = 90


def register(group: typer.Typer) -> None:
    """Put the commands on the group of the house."""
    group.command("account")(account)
    group.command("token")(token)
    group.command("sign-out")(sign_out)


def account(
    name: str = typer.Argument(..., help="The person's short name."),
    own: bool = typer.Option(
        False, "--type-it", help="Type the password here, in place of one made up."
    ),
    by: By = "",
    json: options.Json = False,
) -> None:
    """An account to sign in with, or a new password where theirs is lost."""
    password = ask_password() if own else ""
    told = accounts.give_account(desk(), deed(by), house_keys(), name, password)
    if json:
        print_json({"name": name, "password": told})
        return
    say(f"{name} can sign in")
    if told:
        say(f"  password  {told}")
        tell("It is told this once; they choose their own when they first sign in.")


def token(
    name: str = typer.Argument(..., help="The person in whose name and role it works."),
    label: str = typer.Option(..., "--for", help="What it is for: shelf scanner 2."),
    days: int = typer.Option(DAYS, "--days", help="How long it holds."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """A token for a machine, to be put into its WHOLEKIT_TOKEN."""
    taken = accounts.give_token(desk(), deed(by), house_keys(), name, label, days)
    if json:
        print_json({"name": name, "for": taken.seat.label, "token": taken.token,
                    "ends": taken.seat.ends_at.isoformat()})  # fmt: skip
        return
    say(taken.token)
    tell(f"It is told this once, and holds until {taken.seat.ends_at.date()}.")


def sign_out(
    name: str = typer.Argument(..., help="The person's short name."),
    label: str = typer.Option("", "--for", help="Tokens for this alone."),
    by: By = "",
) -> None:
    """End all seats and tokens of a person."""
    count = accounts.end_seats(desk(), deed(by), name, label)
    say(f"{name}: {count} ended")


def ask_password() -> str:
    """A new password, typed twice. Raises CallError."""
    first = ask_for("Password")
    if first != ask_for("Password again"):
        raise CallError("passwords-differ")
    return first


def ask_for(what: str) -> str:
    """Something that is not shown; from standard input where that is no terminal."""
    if sys.stdin.isatty():
        return getpass.getpass(f"{what}: ")
    return sys.stdin.readline().rstrip("\n")
