"""`wholekit job choices|choose`: the kits an opening may have side by side, and one of them set."""

import typer

from wholekit.cli import options
from wholekit.cli.choices import choices_text, signed, sums_text
from wholekit.cli.console import print_json, say, tell
from wholekit.cli.desk import By, InAlternate, JobRef, Reason, deed, desk
from wholekit.cli.job_entries import tell_passed_over
from wholekit.domain.errors import CallError
from wholekit.domain.kits.choices import AS_QUOTED, Wish
from wholekit.services import choices as service
from wholekit.services.availability import calendar_of
from wholekit.services.catalogs import list_catalogs
from wholekit.services.choices import Where
from wholekit.services.desk import Desk
from wholekit.services.holidays import list_holidays
from wholekit.services.jobs import job_contents
from wholekit.views.choices import choices_answer, chosen_answer, sum_answer

TITLES = {"good": "Good", "better": "Better", "best": "Best"}


def register(group: typer.Typer) -> None:
    """Put the commands on the group of jobs."""
    group.command("choices")(choices)
    group.command("choose")(choose)


def choices(
    job: JobRef,
    mark: list[str] | None = typer.Argument(
        None, help="Marks; without one, the whole job in one maker's goods.", metavar="[MARK]..."
    ),
    alternate: InAlternate = "",
    by: By = "",
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """The kits an opening may have, side by side; the word of each sets it with job choose."""
    place, asks = desk(house), deed(by)
    stored = list_catalogs(place.store, asks)
    suppliers = {revision.catalog_id: revision.supplier for revision in stored}
    if not mark:
        sums = [sum_answer(found, suppliers) for found in service.job_sums(place, asks, job)]
        if json:
            print_json(sums)
            return
        for line in sums_text(sums):
            say(line)
        return
    calendar = calendar_of(place.rules, list_holidays(place, asks))
    answers = [
        choices_answer(found, suppliers, place.rules, lambda days: calendar.after(asks.day, days))
        for found in service.job_choices(place, asks, job, mark, alternate)
    ]
    if json:
        print_json(answers)
        return
    for answer in answers:
        for line in choices_text(answer):
            say(line)


def choose(
    job: JobRef,
    mark: list[str] | None = typer.Argument(
        None,
        help="Marks, then the word of a choice; as-quoted takes a choice back. With "
        "--all the word alone.",
        metavar="MARK... WORD",
    ),
    everywhere: bool = typer.Option(False, "--all", help="At every opening."),
    one_supplier: options.OneSupplier = "",
    one_finish: options.OneFinish = "",
    where_offered: bool = typer.Option(
        False, "--where-offered", help="Leave openings as they are for which it is not offered."
    ),
    good: bool = typer.Option(False, "--good", help="Quote it as alternate good."),
    better: bool = typer.Option(False, "--better", help="Quote it as alternate better."),
    best: bool = typer.Option(False, "--best", help="Quote it as alternate best."),
    as_alternate: str = typer.Option(
        "", "--as-alternate", help="Quote it as the alternate of this code.", metavar="CODE"
    ),
    title: str = typer.Option("", "--title", help="What the alternate offers."),
    alternate: InAlternate = "",
    reason: Reason = "",
    by: By = "",
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Set the kit of openings by the word of a choice: 101 102 tarrowby; or quote it beside."""
    place = desk(house)
    given = list(mark or [])
    wish = _wish(place, one_supplier, one_finish)
    if wish is not None:
        marks, wanted, everywhere = given, wish, everywhere or not given
    elif given:
        marks, wanted = given[:-1], given[-1].strip().lower()
    else:
        raise CallError("choice-word-needed")
    if bool(marks) == everywhere:
        raise CallError("choice-marks-needed")
    if marks:
        entries = job_contents(place, deed(by), job).openings
        tell_passed_over(marks, [each.mark for each in entries if each.alternate == alternate])
    into = _where(good, better, best, as_alternate, title)
    done = service.choose(
        place,
        deed(by),
        job,
        marks,
        wanted,
        alternate=alternate,
        into=into,
        where_offered=where_offered,
        reason=reason,
    )
    answers = [chosen_answer(chosen, place.rules) for chosen in done]
    if json:
        print_json(answers)
        return
    for answer in answers:
        where = f" in {answer.alternate}" if answer.alternate else ""
        if answer.price is None or answer.difference is None:
            tell(f"{answer.mark}{where}: left as it is: {answer.left}")
            continue
        if into.code != answer.alternate and into.code:
            say(f"{answer.mark}: not in alternate {into.code}; as it is in the base bid")
            continue
        beside = f", {signed(answer.difference)} beside as quoted"
        if answer.word == AS_QUOTED:
            beside = ""
        say(
            f"{answer.mark}{where}: {answer.word}, {answer.price.amount} {answer.price.currency} "
            f"each{beside}; version {answer.version}"
        )


def _wish(place: Desk, supplier: str, finish: str) -> Wish | str | None:
    """What is to hold for all of them, from the options. Raises CallError."""
    if supplier and finish:
        raise CallError("one-of-needed", right="--one-supplier and --one-finish")
    if supplier:
        return supplier.strip().lower()
    return service.finish_wished(finish, place.rules) if finish else None


def _where(good: bool, better: bool, best: bool, code: str, title: str) -> Where:
    """The alternate that is meant; none: the openings themselves. Raises CallError."""
    named = [name for name, asked in (("good", good), ("better", better), ("best", best)) if asked]
    codes = [*named, *([code.strip()] if code.strip() else [])]
    if len(codes) > 1:
        raise CallError("one-of-needed", right="--good, --better, --best and --as-alternate")
    if not codes:
        return Where()
    said = " ".join(title.split())
    return Where(codes[0], said, TITLES.get(codes[0], ""))
