"""`wholekit db`: the store's version, backups, and whether it is sound."""

import sys
from collections.abc import Iterable
from contextlib import closing
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from wholekit.bootstrap import settings
from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell, wrapped
from wholekit.cli.desk import By, deed
from wholekit.cli.progress import shown
from wholekit.services.store_copies import allow_copy
from wholekit.wording.store_faults import UNSEALED, say_fault

if TYPE_CHECKING:
    from wholekit.store.check import StoreFault

# The store is imported where it is used: the other commands must not wait for it.


@dataclass(frozen=True, slots=True)
class UpgradeAnswer:
    """Which store, the versions it went through, and the one it has now."""

    store: str
    went_through: tuple[str, ...]
    version: str


@dataclass(frozen=True, slots=True)
class FaultAnswer:
    """One fault of the store."""

    code: str
    what: str
    text: str


@dataclass(frozen=True, slots=True)
class CopyAnswer:
    """A backup made or restored. size: of the backup [bytes]; sealed: it carries its sum, and is as
    it was written; faults: of the store and so of the backup."""

    store: str
    backup: str
    size: int
    sealed: bool
    faults: tuple[FaultAnswer, ...]


@dataclass(frozen=True, slots=True)
class CheckAnswer:
    """What was looked at [rows by table], and what is wrong."""

    store: str
    rows: dict[str, int]
    faults: tuple[FaultAnswer, ...]


def register(app: typer.Typer) -> None:
    """Put the commands on the application."""
    group = typer.Typer(
        help="The store: upgrade, backup, restore, check.",
        no_args_is_help=True,
        rich_markup_mode=None,
    )
    group.command("upgrade")(upgrade)
    group.command("backup")(backup)
    group.command("restore")(restore)
    group.command("check")(check)
    app.add_typer(group, name="db")


def upgrade(json: options.Json = False) -> None:
    """Bring the store to this program's version, or make it; all or nothing."""
    from wholekit.store.migrate import NEWEST
    from wholekit.store.migrate import upgrade as upgrade_place
    from wholekit.store.open import open_place

    with closing(open_place(settings())) as place:
        done = upgrade_place(place, progress=_tell_version)
    answer = UpgradeAnswer(place.name, tuple(done), NEWEST)
    if json:
        print_json(answer)
        return
    said = f"upgraded to version {answer.version}" if done else f"has version {answer.version}"
    say(f"{place.name} {said}")


def backup(
    file: Path = typer.Argument(
        ..., help="The file to make; it must not be there.", metavar="FILE"
    ),
    by: By = "",
    json: options.Json = False,
) -> None:
    """The whole store to one file, consistent while others write; an owner's, for it holds cost.

    Status 1 if the store has faults: the backup is made, and has them too.
    """
    from wholekit.store.backup import back_up
    from wholekit.store.open import open_place

    allow = partial(allow_copy, deed=deed(by))
    with closing(open_place(settings())) as place, shown("backup:") as progress:
        found = back_up(place, file, progress, allow=allow)
    answer = CopyAnswer(place.name, str(file), file.stat().st_size, True, _answers(found))
    said = f"{place.name} backed up to {file} ({answer.size:,} bytes)"
    _end_copy(answer, said, json)


def restore(
    file: Path = typer.Argument(..., help="A backup made by wholekit db backup.", metavar="FILE"),
    overwrite: bool = typer.Option(
        False, "--overwrite", help="Replace a store that has data in it."
    ),
    with_faults: bool = typer.Option(
        False, "--with-faults", help="Take a damaged backup too, as far as it can be read."
    ),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Make the store what a backup says; refuses a store with data unless told to overwrite.

    The backup is read and checked whole before anything is replaced. Asks the people of the store
    that is replaced: an owner's. Status 1 if it was damaged and restored with its faults.
    """
    from wholekit.store.backup import restore as restore_backup
    from wholekit.store.open import open_place
    from wholekit.store.seal import Seal

    allow = partial(allow_copy, deed=deed(by))
    with closing(open_place(settings())) as place, shown("restore:") as progress:
        found = restore_backup(
            file, place, overwrite=overwrite, with_faults=with_faults, allow=allow,
            progress=progress,
        )  # fmt: skip
    if found.seal is Seal.NONE:
        for line in wrapped(UNSEALED.format(path=file)):
            tell(line)
    faults = _answers(found.faults)
    size = file.stat().st_size
    answer = CopyAnswer(place.name, str(file), size, found.seal is Seal.RIGHT, faults)
    _end_copy(answer, f"{place.name} restored from {file}", json)


def check(json: options.Json = False) -> None:
    """Integrity, references, rules, and every issued total added anew; status 1 if any is wrong."""
    from wholekit.store.check import check_store
    from wholekit.store.open import open_place

    with closing(open_place(settings())) as place, shown("check:") as progress:
        result = check_store(place, progress)
    faults = _answers(result.faults)
    answer = CheckAnswer(place.name, result.rows, faults)
    if json:
        print_json(answer)
    else:
        for fault in faults:
            say(fault.text)
        rows = sum(result.rows.values())
        said = "no fault" if not faults else f"{len(faults)} faults"
        say(f"{place.name}: {said} in {len(result.rows)} tables, {rows:,} rows")
    raise typer.Exit(1 if faults else 0)


def _answers(faults: "Iterable[StoreFault]") -> tuple[FaultAnswer, ...]:
    return tuple(
        FaultAnswer(fault.code, fault.what, say_fault(fault.code, fault.what)) for fault in faults
    )


def _end_copy(answer: CopyAnswer, said: str, json: bool) -> None:
    if json:
        print_json(answer)
    else:
        say(said)
        for fault in answer.faults:
            say(fault.text)
    raise typer.Exit(1 if answer.faults else 0)


def _tell_version(version: str) -> None:
    """Tells each step on a terminal, and nothing elsewhere."""
    if sys.stderr.isatty():
        tell(f"upgrading to version {version}")
