"""`wholekit quote sent`: that a quote went out, to whom, and what exactly."""

from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, wrapped
from wholekit.cli.desk import By, QuoteRef, deed, desk
from wholekit.domain.errors import CallError
from wholekit.domain.quotes.sending import SentFile
from wholekit.services.quote_sendings import record_sending
from wholekit.views.history import sending_text


@dataclass(frozen=True, slots=True)
class SentFileAnswer:
    """A file that was sent. sha256: of its bytes."""

    name: str
    sha256: str


@dataclass(frozen=True, slots=True)
class SentAnswer:
    """What was written into the job's history. digest: of what was frozen of the revision."""

    quote: str
    at: str
    by: str
    to: tuple[str, ...]
    digest: str
    files: tuple[SentFileAnswer, ...]
    remark: str


def register(group: typer.Typer) -> None:
    """Put the command on the group of quotes."""
    group.command("sent")(sent)


def sent(
    quote: QuoteRef,
    files: Annotated[
        list[Path] | None,
        typer.Argument(help="Each file that was sent; its digest is kept.", metavar="[FILE...]"),
    ] = None,
    to: Annotated[
        list[str] | None,
        typer.Option("--to", help="To whom: an address or a name; once for each.", metavar="WHOM"),
    ] = None,
    remark: str = typer.Option("", "--remark", help="Such as how: by mail, by hand."),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Write down that an issued revision was sent: to whom, what, when and by whom.

    Nothing is sent by it. The job's history tells it, with the digest of each file.
    """
    place, asks = desk(), deed(by)
    found = [_file(path) for path in files or ()]
    done = record_sending(place, asks, quote, to or (), found, remark)
    if json:
        print_json(
            SentAnswer(
                done.label,
                asks.at.isoformat(),
                asks.who,
                done.sending.to,
                done.sending.revision_digest,
                tuple(SentFileAnswer(file.name, file.digest) for file in done.sending.files),
                remark,
            )
        )
        return
    for line in wrapped(f"{done.label} sent {sending_text(done.sending)}"):
        say(line)


def _file(path: Path) -> SentFile:
    try:
        with path.open("rb") as file:
            found = sha256()
            while block := file.read(1 << 20):
                found.update(block)
    except OSError as error:
        raise CallError("sent-file-unreadable", path=str(path), error=error.strerror) from None
    return SentFile(path.name, found.hexdigest())
