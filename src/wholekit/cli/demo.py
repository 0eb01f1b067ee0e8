"""`wholekit demo`: the sample job, from schedule to papers."""

from fractions import Fraction
from pathlib import Path

import typer

from wholekit.bootstrap import house_style, open_house
from wholekit.cli.browsers import HOST, PORT, run_server
from wholekit.cli.console import json_text, say, tell, wrapped
from wholekit.cli.demo_job import Made, make_job
from wholekit.cli.kit import job_text
from wholekit.cli.papers import VALID_DAYS, days_after, parse_date
from wholekit.documents.paper_set import FOR_ALL, Ordered, write_papers
from wholekit.documents.press_room import PressRoom
from wholekit.domain.errors import CallError
from wholekit.domain.findings import Severity
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.proposal import as_proposal
from wholekit.intake.openings import read_openings
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed
from wholekit.settings import HOUSE_FOLDER, bundled
from wholekit.views.kits import kits_answer
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
    serve: bool = typer.Option(
        False, "--serve", help="Then open the sample shop for the browsers of this machine."
    ),
    port: int = typer.Option(PORT, "--port", min=0, max=65_535, help="With --serve: the port."),
) -> None:
    """The sample catalogues and schedule to kits and papers, then to a job in a store of its own.

    What an earlier demo made in the folder is replaced.
    """
    samples = bundled("catalog_samples")
    place = open_house([samples / name for name in SUPPLIERS])
    house = samples / HOUSE_FOLDER
    style = house_style(house)
    schedule = next(iter(sorted((samples / "jobs").glob("*.csv"))))
    # A kit made by hand for the same job lies beside its schedule, and sorts before it.
    schedule = samples / "jobs" / schedule.name.replace("-kit.csv", ".csv")
    openings = read_openings(str(schedule), [], place.rules)
    issued = parse_date(on)
    asker = Asker(
        "Saltmarsh Builders", schedule.stem.replace("-", " ").title(), CUSTOMER_MULTIPLIER
    )
    workup = work_up_schedule(openings, place.shelf, place.rules, issued, asker)
    headed = Headed(
        quote="",
        revision=0,
        issued=issued,
        valid_until=days_after(issued, VALID_DAYS),
        by="",
        house_name="",
        floor=FLOOR,
    ).said_by(style.card)
    snapshot = as_proposal(place.snapshot(workup, headed, style.card))
    offer = snapshot.offer
    ordered = Ordered(snapshot, place.rules, FLOOR, style=style)
    steps: list[Made | str] = []

    def quoted(room: PressRoom) -> None:
        """The job's papers are laid out while it is still being changed."""
        steps.extend(make_job(out, place.shelf.catalogs, openings, issued, house, style, room))

    made = write_papers(ordered, FOR_ALL, out, tell, beside=quoted)
    text = "\n".join(job_text(offer, place.rules, CUSTOMER_MULTIPLIER)) + "\n"
    data = json_text(kits_answer(offer, place.rules, CUSTOMER_MULTIPLIER))
    made += [
        (_save(out / "kits.txt", text), "kits as text"),
        (_save(out / "kits.json", data), "kits as data"),
    ]
    _tell(offer, made)
    say()
    for step in steps:
        say(f"  {step.path}  {step.what}" if isinstance(step, Made) else step)
    if serve:
        # Late: the demo alone needs nothing of it.
        from wholekit.cli.demo_shop import furnish_shop

        run_server(furnish_shop(out, issued), HOST, port)


def _save(path: Path, text: str) -> Path:
    try:
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        raise CallError("out-unwritable", folder=str(path.parent), error=error.strerror) from None
    return path


def _tell(offer: Offer, made: list[tuple[Path, str]]) -> None:
    complete = sum(not offer.kit_of(opening).missing for opening in offer.openings)
    stopped = [opening.mark for opening in offer.openings if not offer.is_firm(opening)]
    say(
        f"{len(offer.openings)} marks, {plural(offer.opening_count, 'opening')}, "
        f"{offer.leaf_count} leaves, {len(offer.kits)} kinds of kit; {complete} marks complete"
    )
    if stopped:
        for line in wrapped(f"to be decided before they go out: {', '.join(stopped)}"):
            say(line)
    warned = sum(
        finding.severity is Severity.WARN
        for opening in offer.openings
        for finding in (*offer.kit_of(opening).findings, *opening.of_note)
    )
    price = offer.totals.hardware
    say(f"net {price.decimal_text} {price.currency}; {warned} warnings on the kits")
    for path, what in made:
        say(f"  {path}  {what}")
