"""What the commands over the store share: the desk, who acts when, and options in common."""

import getpass
import os
import re
from contextlib import closing
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, Any, TypeVar
from zlib import crc32

import typer
from typer.core import TyperCommand

from wholekit.bootstrap import house_keys, open_desk, open_store, settings
from wholekit.domain.errors import CallError
from wholekit.domain.house_style import HouseStyle
from wholekit.domain.quantities import Cost, Money, parse_cost, parse_money
from wholekit.domain.quotes import JobContents
from wholekit.services.accounts import seated
from wholekit.services.desk import Deed, Desk
from wholekit.services.jobs import job_contents
from wholekit.settings import TOKEN, TOKEN_FILE

Value = TypeVar("Value")
_BELOW_ZERO = re.compile(r"^-(?=[.\d])")

By = Annotated[
    str,
    typer.Option(
        "--by",
        help="Who does or asks this; else WHOLEKIT_USER, or the name at the machine.",
        metavar="NAME",
    ),
]
IfVersion = Annotated[
    int | None,
    typer.Option("--if-version", help="Refuse if it was changed since this version was seen."),
]
JobRef = Annotated[str, typer.Argument(help="The job: J-00012 or 12.", metavar="JOB")]
QuoteRef = Annotated[str, typer.Argument(help="The quote: Q-00012/3 or Q-00012.", metavar="QUOTE")]
Mark = Annotated[str, typer.Argument(help="The opening's mark.", metavar="MARK")]
InAlternate = Annotated[
    str, typer.Option("--alternate", help="Of this alternate, not of the base bid.", metavar="CODE")
]
Reason = Annotated[str, typer.Option("--reason", help="Why; it stays visible.", metavar="TEXT")]
PageNumber = Annotated[
    int, typer.Option("--page", min=1, max=1_000_000, help="Which page of the list.")
]
PageSize = Annotated[int, typer.Option("--page-size", min=1, max=1000, help="Rows of a page.")]


def desk(house: Path | None = None, style: HouseStyle | None = None) -> Desk:
    """The desk over the store of this machine's settings. style: the house's, where it is read."""
    return open_desk(house, style)


def deed(by: str) -> Deed:
    """Who acts or asks, now: whoever signed in at this machine, else a name on trust.

    Raises CallError if nobody is named and the machine knows no name, where the token no longer
    holds, and where another is named than who signed in.
    """
    token = _token()
    if token:
        return _signed_in(token, by.strip())
    return Deed(who(by), now(), named=bool(by.strip() or _standing_name()))


def token_file() -> Path:
    """Where this machine keeps what it signed in with, a file for each store."""
    base = os.environ.get("XDG_STATE_HOME") or str(Path.home() / ".local" / "state")
    at = settings()
    store = at.database_url or str(at.home.absolute())
    return Path(base) / "wholekit" / f"{TOKEN_FILE}-{crc32(os.fsencode(store)):08x}"


def _token() -> str:
    given = os.environ.get(TOKEN, "").strip()
    if given:
        return given
    try:
        return token_file().read_text(encoding="ascii").strip()
    except (OSError, ValueError, RuntimeError):
        return ""


def _signed_in(token: str, by: str) -> Deed:
    with closing(open_store()) as store:
        found = seated(store, house_keys(), now(), token)
    if found is None:
        raise CallError("token-no-longer")
    if found.must_change:
        raise CallError("password-asked", who=found.person.name)
    if by and by != found.person.name:
        raise CallError("signed-in-as-other", who=found.person.name, given=by)
    return found.deed(now())


def today() -> date:
    """The day at the counter."""
    return now().date()


def now() -> datetime:
    """The clock at the counter, with its zone."""
    return datetime.now().astimezone()


def who(by: str) -> str:
    """The name given, WHOLEKIT_USER, or the one signed in at the machine. Raises CallError."""
    name = by.strip() or _standing_name()
    if not name:
        try:
            # A container or service may run as a user that the machine has no entry for.
            name = getpass.getuser()
        except (OSError, KeyError, ImportError):
            raise CallError("name-needed", deed="change") from None
    return name


def _standing_name() -> str:
    """The name that stands for --by at this machine."""
    return os.environ.get("WHOLEKIT_USER", "").strip()


def read_day(text: str) -> date | None:
    """Year-month-day, None for an empty text. Raises CallError."""
    if not text.strip():
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise CallError("date-unreadable", given=text) from None


class SignedArguments(TyperCommand):
    """A command whose arguments may begin with a minus sign, such as `-5%`.

    Without it `-5%` is taken for an option that there is not, and nothing says what is wrong.
    """

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:  # noqa: ANN401  # typer's own
        """As any command, a hyphen before a digit taken as a minus sign."""
        # The mathematical minus sign is no hyphen to the parser, and the readers know both.
        return super().parse_args(ctx, [_BELOW_ZERO.sub("−", arg) for arg in args])


def read_signed_money(text: str, currency: str) -> Money:
    """An amount read with its sign, so that one below zero is refused for what it would be.

    Raises QuantityError.
    """
    cleaned = text.strip().replace("−", "-")
    if cleaned.startswith("-"):
        return Money.zero(currency) - parse_money(cleaned[1:], currency)
    return parse_money(cleaned, currency)


def read_cost(text: str, currency: str) -> Cost:
    """A cost of at most four decimals. Raises QuantityError."""
    return parse_cost(text, currency)


def job_at(place: Desk, asks: Deed, reference: str) -> JobContents:
    """A job whole. Raises CallError."""
    return job_contents(place, asks, reference)


def given(**values: Value | None) -> dict[str, Value]:
    """The options that were given."""
    return {name: value for name, value in values.items() if value is not None}
