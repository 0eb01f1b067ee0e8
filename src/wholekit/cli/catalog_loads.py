"""`wholekit catalog load|diff|list`: catalogues into the store, by revision."""

import sys
from collections.abc import Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

import typer

from wholekit.bootstrap import collector_at_rest, open_store
from wholekit.cli import options
from wholekit.cli.console import moment, print_json, say, table, tell
from wholekit.cli.desk import By, deed
from wholekit.cli.progress import shown
from wholekit.domain.catalog import Catalog
from wholekit.domain.errors import CallError, InputError, Problem
from wholekit.intake.catalog_folder import load_catalog
from wholekit.services import catalogs as stored
from wholekit.services.catalog_loads import Plan, plan_loads
from wholekit.services.catalog_loads import load as load_plans
from wholekit.services.catalog_port import CatalogRevision
from wholekit.views.catalog_changes import ChangesAnswer, changes_answer, changes_text

MOST_SHOWN = 15
Folders = options.Folders
ShowAll = options.ShowAll


@dataclass(frozen=True, slots=True)
class LoadAnswer:
    """What a load did. revision None: nothing had changed, so there is none."""

    changes: ChangesAnswer
    revision: int | None


@dataclass(frozen=True, slots=True)
class LoadedAnswer:
    """One revision in the store."""

    catalog: str
    revision: int
    supplier: str
    currency: str
    edition: str
    items: int
    loaded_at: str
    loaded_by: str


def register(group: typer.Typer) -> None:
    """Put the commands on the group."""
    group.command("load")(load)
    group.command("diff")(diff)
    group.command("list")(list_catalogs)


def diff(
    folders: Folders, show_all: ShowAll = False, by: By = "", json: options.Json = False
) -> None:
    """What loading catalogues would change: new, gone, price, cost and stock; changes nothing.

    For those who may load: it tells cost.
    """
    with collector_at_rest():
        catalogs = _read(folders)
        with closing(open_store()) as store, shown() as progress:
            answers = _answers(plan_loads(store, deed(by), catalogs, progress))
    if json:
        print_json(answers)
        return
    _say(answers, show_all)


def load(
    folders: Folders,
    yes: bool = typer.Option(False, "--yes", help="Load without asking."),
    older_edition: bool = typer.Option(
        False, "--older-edition", help="Load an edition older than the one in the store."
    ),
    show_all: ShowAll = False,
    by: By = "",
    json: options.Json = False,
) -> None:
    """Catalogues into the store as new revisions, all or none; shows what changes, then asks."""
    doer = deed(by)
    with collector_at_rest():
        catalogs = _read(folders)
        with closing(open_store()) as store:
            # Told before anybody is asked.
            store.place.require_writable()
            with shown() as progress:
                plans = plan_loads(store, doer, catalogs, progress)
            answers = _answers(plans)
            if not json:
                _say(answers, show_all)
            for plan in plans:
                if plan.older and not older_edition:
                    raise CallError("catalog-edition-older", id=plan.catalog.id)
            if not yes and not all(answer.nothing for answer in answers):
                ask_to_load()
            with shown() as progress:
                loaded = load_plans(store, doer, plans, progress)
    refs = {ref.catalog_id: ref.revision for ref in loaded}
    done = [LoadAnswer(answer, refs.get(answer.catalog)) for answer in answers]
    if json:
        print_json(done)
        return
    for answer in done:
        if answer.revision is not None:
            say(f"loaded {answer.changes.catalog} as revision {answer.revision}")


def list_catalogs(
    catalog: str = typer.Argument("", help="Every revision of this catalogue.", metavar="[ID]"),
    by: By = "",
    json: options.Json = False,
) -> None:
    """The catalogues in the store, each in its latest revision, or all revisions of one."""
    with closing(open_store()) as store:
        found = stored.list_catalogs(store, deed(by), catalog)
    answers = [_revision(revision) for revision in found]
    if json:
        print_json(answers)
        return
    if not answers:
        tell("No catalogue is in the store yet: wholekit catalog load DIR")
        return
    heads = ("catalogue", "rev", "supplier", "edition", "items", "loaded", "by")
    rows = [
        (
            row.catalog, str(row.revision), row.supplier, row.edition, str(row.items),
            moment(row.loaded_at), row.loaded_by,
        )
        for row in answers
    ]  # fmt: skip
    for line in table(rows, heads, frozenset({1, 4}), 2):
        say(line)


def _read(folders: Sequence[Path]) -> list[Catalog]:
    """The catalogues, which need not have one currency: a job chooses among them later.

    Raises InputError with every fault of all of them, CallError.
    """
    catalogs: list[Catalog] = []
    problems: list[Problem] = []
    with shown("reading") as progress:
        for folder in folders:
            try:
                catalogs.append(load_catalog(folder, progress=progress))
            except InputError as error:
                problems += error.problems
    if problems:
        raise InputError(problems)
    ids = [catalog.id for catalog in catalogs]
    for name in ids:
        if ids.count(name) > 1:
            raise CallError("catalog-twice", id=name)
    return catalogs


def _answers(plans: Sequence[Plan]) -> list[ChangesAnswer]:
    return [changes_answer(plan.changes, plan.revision) for plan in plans]


def _say(answers: Sequence[ChangesAnswer], show_all: bool) -> None:
    for answer in answers:
        for line in changes_text(answer, None if show_all else MOST_SHOWN):
            say(line)


def ask_to_load() -> None:
    """Raises CallError unless somebody says yes."""
    # A script has nobody to answer: it says --yes.
    if not sys.stdin.isatty() or not typer.confirm("Load?", err=True):
        raise CallError("catalog-not-confirmed")


def _revision(revision: CatalogRevision) -> LoadedAnswer:
    return LoadedAnswer(
        revision.catalog_id,
        revision.revision,
        revision.supplier,
        revision.currency,
        revision.edition.isoformat(),
        revision.items,
        revision.loaded_at.isoformat(),
        revision.loaded_by,
    )
