"""`wholekit sign-in`: who acts at this machine, shown once and kept for the shift."""

import sys
from contextlib import closing
from dataclasses import replace

import typer

from wholekit.bootstrap import desk_on, house_keys, open_store
from wholekit.cli.account import ask_for, ask_password
from wholekit.cli.console import say, tell
from wholekit.cli.desk import now, token_file
from wholekit.domain.errors import CallError
from wholekit.services import accounts
from wholekit.services.account_port import Keys
from wholekit.services.ports import Store


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("sign-in")(sign_in)


def sign_in(
    name: str = typer.Argument("", help="Your short name."),
    out: bool = typer.Option(False, "--out", help="Sign out at this machine."),
) -> None:
    """Sign in at this machine; who acts is then known, and --by is not needed."""
    keys = house_keys()
    with closing(open_store()) as store:
        if out:
            _leave(store, keys)
            return
        told = accounts.ToldSignIn(
            name or typer.prompt("Name", err=True), ask_for("Password"), "", "this machine"
        )
        taken = _taken(store, keys, told)
        if taken.must_change:
            tell("An owner gave you this password. Choose one of your own.")
            seated = accounts.seated(store, keys, now(), taken.token)
            if seated is not None:
                accounts.change_password(
                    desk_on(store),
                    seated.deed(now()),
                    keys,
                    told.password,
                    ask_password(),
                    taken.seat.digest,
                )
    file = token_file()
    file.parent.mkdir(parents=True, exist_ok=True)
    file.touch(mode=0o600)
    file.chmod(0o600)
    file.write_text(taken.token, encoding="ascii")
    say(f"signed in as {taken.seat.name}")


def _taken(store: Store, keys: Keys, told: accounts.ToldSignIn) -> accounts.TakenSeat:
    try:
        return accounts.sign_in(store, keys, now(), told)
    except CallError as error:
        if error.code != "sign-in-wrong" or not sys.stdin.isatty():
            raise
    # Asked for only then: whoever has no such device is not asked.
    code = ask_for("One-time code, where you use one; else Enter")
    if not code:
        raise CallError("sign-in-wrong")
    return accounts.sign_in(store, keys, now(), replace(told, code=code))


def _leave(store: Store, keys: Keys) -> None:
    file = token_file()
    if not file.is_file():
        say("nobody was signed in")
        return
    seated = accounts.seated(store, keys, now(), file.read_text(encoding="ascii").strip())
    if seated is not None:
        accounts.sign_out(store, now(), seated.seat)
    file.unlink()
    say("signed out")
