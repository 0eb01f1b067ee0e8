"""`wholekit db`: the store's version, backups, and whether it is sound."""

import sys
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import typer

from wholekit.bootstrap import need_copy_right, settings
from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import By, deed
from wholekit.cli.progress import shown
from wholekit.wording.store_faults import say_fault

# The store is imported where it is used: the other commands must not wait for it.


@dataclass(frozen=True, slots=True)
class UpgradeAnswer:
    """Which store, the versions it went through, and the one it has now."""

    store: str
    went_through: tuple[str, ...]
    version: str


@dataclass(frozen=True, slots=True)
class CopyAnswer:
    """A backup made or restored. size: of the backup [bytes]."""

    store: str
    backup: str
    size: int


@dataclass(frozen=True, slots=True)
class FaultAnswer:
    """One fault of the store."""

    code: str
    what: str
    text: str


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
    """The whole store to one file, consistent while others write; an owner's, for it holds cost."""
    from wholekit.store.backup import back_up
    from wholekit.store.open import open_place

    need_copy_right(deed(by))
    with closing(open_place(settings())) as place, shown("backup:") as progress:
        back_up(place, file, progress)
    answer = CopyAnswer(place.name, str(file), file.stat().st_size)
    if json:
        print_json(answer)
        return
    say(f"{place.name} backed up to {file} ({answer.size:,} bytes)")


def restore(
    file: Path = typer.Argument(..., help="A backup made by wholekit db backup.", metavar="FILE"),
    overwrite: bool = typer.Option(
        False, "--overwrite", help="Replace a store that has data in it."
    ),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Make the store what a backup says; refuses a store with data unless told to overwrite.

    Asks the people of the store that is replaced: an owner's.
    """
    from wholekit.store.backup import restore as restore_backup
    from wholekit.store.open import open_place

    need_copy_right(deed(by))
    with closing(open_place(settings())) as place, shown("restore:") as progress:
        restore_backup(file, place, overwrite=overwrite, progress=progress)
    answer = CopyAnswer(place.name, str(file), file.stat().st_size)
    if json:
        print_json(answer)
        return
    say(f"{place.name} restored from {file}")


def check(json: options.Json = False) -> None:
    """Integrity, references, rules, and every issued total added anew; status 1 if any is wrong."""
    from wholekit.store.check import check_store
    from wholekit.store.open import open_place

    with closing(open_place(settings())) as place, shown("check:") as progress:
        result = check_store(place, progress)
    faults = tuple(
        FaultAnswer(fault.code, fault.what, say_fault(fault.code, fault.what))
        for fault in result.faults
    )
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


def _tell_version(version: str) -> None:
    """Tells each step on a terminal, and nothing elsewhere."""
    if sys.stderr.isatty():
        tell(f"upgrading to version {version}")
