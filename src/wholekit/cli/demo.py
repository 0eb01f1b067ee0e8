"""`wholekit demo`: the sample job, from schedule to papers."""

from fractions import Fraction
from pathlib import Path

import typer

from wholekit.bootstrap import open_house, read_openings
from wholekit.cli.console import json_text, say, wrapped
from wholekit.cli.demo_job import Made, make_job
from wholekit.cli.kit import job_text
from wholekit.cli.papers import VALID_DAYS, days_after, parse_date, write_papers
from wholekit.documents import fill
from wholekit.documents.papers import Letterhead, PageSize, PaperHead
from wholekit.domain.errors import CallError
from wholekit.domain.findings import Severity
from wholekit.services.expand import KittedJob, expand
from wholekit.settings import bundled
from wholekit.wording.answers import kits_answer
from wholekit.wording.words import plural

SUPPLIERS = ("quillmere", "tarrowby", "averlund")
CUSTOMER_MULTIPLIER = Fraction(62, 100)
FLOOR = Fraction(25, 100)


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("demo")(demo)


def demo(
    out: Path = typer.Option(..., "--out", help="Folder for what the demo makes."),
    on: str = typer.Option("", "--date", help="Date of the papers, year-month-day; today."),
) -> None:
    """The sample catalogues and schedule to kits and papers, then to a job in a store of its own.

    What an earlier demo made in the folder is replaced.
    """
    samples = bundled("catalog_samples")
    place = open_house([samples / name for name in SUPPLIERS])
    schedule = next(iter(sorted((samples / "jobs").glob("*.csv"))))
    schedule = samples / "jobs" / schedule.name.replace("-kit.csv", ".csv")
    openings = read_openings(str(schedule), [], place.rules)
    job = expand(openings, place.shelf, place.rules, CUSTOMER_MULTIPLIER)
    issued = parse_date(on)
    head = PaperHead(
        letterhead=Letterhead(
            "Fernhollow Door Supply",
            ("14 Millrace Lane", "Port Aldren"),
            "counter: extension 20",
        ),
        number=f"Q-{issued:%y%m%d}-1",
        issued=issued,
        customer="Saltmarsh Builders",
        job=schedule.stem.replace("-", " ").title(),
        page_size=PageSize.LETTER,
    )
    terms = fill.Terms(head, days_after(issued, VALID_DAYS), FLOOR)
    made = [(written.path, written.what) for written in write_papers(job, terms, place.rules, out)]
    made += [
        (_save(out / "kits.txt", "\n".join(job_text(job, place.rules)) + "\n"), "kits as text"),
        (_save(out / "kits.json", json_text(kits_answer(job, place.rules))), "kits as data"),
    ]
    _tell(job, made)
    say()
    for one in make_job(out, place.shelf.catalogs, openings, issued, head.letterhead.name):
        say(f"  {one.path}  {one.what}" if isinstance(one, Made) else one)


def _save(path: Path, text: str) -> Path:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise CallError("out-unwritable", folder=str(path.parent), error=error.strerror) from None
    return path


def _tell(job: KittedJob, made: list[tuple[Path, str]]) -> None:
    kits = list({id(one.kit): one.kit for one in job.openings}.values())
    complete = sum(one.kit.complete for one in job.openings)
    stopped = [one.opening.mark for one in job.openings if one.kit.stopped]
    say(
        f"{len(job.openings)} marks, {plural(job.opening_count, 'opening')}, "
        f"{job.leaf_count} leaves, {len(kits)} kinds of kit; {complete} marks complete"
    )
    if stopped:
        for line in wrapped(f"to be decided before they go out: {', '.join(stopped)}"):
            say(line)
    warned = sum(
        finding.severity is Severity.WARN for one in job.openings for finding in one.findings
    )
    say(f"net {job.price.decimal_text} {job.currency}; {warned} warnings on the kits")
    for path, what in made:
        say(f"  {path}  {what}")
