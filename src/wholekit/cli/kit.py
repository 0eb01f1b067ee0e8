"""`wholekit kit`: openings to complete kits."""

import textwrap
from collections.abc import Iterator
from fractions import Fraction

import typer

from wholekit.bootstrap import House, open_house
from wholekit.cli import options
from wholekit.cli.choices import Beside
from wholekit.cli.console import print_json, progress_of, say, tell_look_alikes, width, wrapped
from wholekit.cli.desk import By, deed, today
from wholekit.cli.kit_short import (
    CAUTION,
    JOB_WIDE,
    SAID_ELSEWHERE,
    SEVERITY,
    assumed_value,
    priced_as,
    short_text,
    stopped_in_short,
)
from wholekit.cli.questions_text import asking_text
from wholekit.cli.sheets import sheet_way
from wholekit.domain.customers import LIST
from wholekit.domain.findings import SEVERITY_ORDER, Severity
from wholekit.domain.kits import Policy
from wholekit.domain.pricing import parse_multiplier
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.filling import short_stock
from wholekit.domain.quotes.offer import (
    KitWords,
    OfferFinding,
    OfferKit,
    OfferOpening,
)
from wholekit.domain.rules import RuleBook
from wholekit.intake.openings import read_openings
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.workup import Workup
from wholekit.views.forces import read_text
from wholekit.views.kits import kits_answer
from wholekit.views.questions import with_questions
from wholekit.wording.calculated import force_text
from wholekit.wording.findings import say_finding
from wholekit.wording.openings import pieces_text
from wholekit.wording.ready import say_job_ready, say_ready
from wholekit.wording.units import in_units_of, pressure_text
from wholekit.wording.words import MOUNTS, SIDES, field_name, plural


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("kit")(kit)


def kit(
    schedule: options.Schedule = None,
    opening: options.Shorthand = None,
    catalog: options.StoredOrFolders = None,
    multiplier: options.Multiplier = "1",
    prefer: options.Prefer = None,
    stock_first: options.StockFirst = False,
    choices: options.ShowChoices = False,
    one_supplier: options.OneSupplier = "",
    one_finish: options.OneFinish = "",
    strict: options.Strict = False,
    sheet: options.SheetName = "",
    column: options.ColumnChoices = None,
    value: options.ValueChoices = None,
    map_file: options.MapFile = None,
    table: options.TableRows = None,
    leave_out: options.LeftOutRows = None,
    house: options.HouseFile = None,
    questions: bool = typer.Option(
        False,
        "--questions",
        help="What is open and would change a kit, with what each answer comes to.",
    ),
    full: bool = typer.Option(
        False, "--full", help="Every line of every kit, with what it is for and what is left over."
    ),
    by: By = "",
    json: options.Json = False,
) -> None:
    """Openings (a schedule, or --opening) to complete, priced kits; status 1 if any is stopped."""
    factor = parse_multiplier(multiplier)
    place = open_house(
        catalog or [], house, Policy(tuple(prefer or ()), stock_first), lambda: deed(by)
    )
    way = sheet_way(
        place.rules, strict, sheet, column, value, map_file, tables=table, left_out=leave_out
    )
    openings = read_openings(schedule, opening or [], place.rules, way)
    tell_look_alikes(row.mark for row in openings)
    asked = Beside(place.shelf, place.rules, today(), Asker(multiplier=factor), choices)
    rows, shelf = asked.throughout(openings, one_supplier, one_finish)
    workup = work_up_schedule(
        rows, shelf, place.rules, asked.day, asked.asker, progress=progress_of(len(rows))
    )
    offer = offer_of(workup, place)
    asking = workup.asking(place.rules) if questions else None
    if json:
        answer = asked.answer(kits_answer(offer, place.rules, factor), workup, shelf)
        print_json(answer if asking is None else with_questions(answer, asking))
    elif asking is not None:
        for line in (*stopped_in_short(offer), *asking_text(asking)):
            say(line)
    else:
        text_of = job_text if full else short_text
        for line in (*text_of(offer, place.rules, factor), *asked.text(workup, shelf)):
            say(line)
    raise typer.Exit(1 if offer.stopped else 0)


def offer_of(workup: Workup, place: House) -> Offer:
    """The offer of a schedule on its own, on the day it was worked up."""
    return place.snapshot(workup).offer


def job_text(
    offer: Offer,
    rules: RuleBook,
    multiplier: Fraction = LIST,
    leave_out: frozenset[str] = frozenset(),
) -> Iterator[str]:
    """An offer as text: each opening's kit but those left out, what is short, then the totals."""
    for opening in offer.openings:
        if opening.mark in leave_out:
            continue
        yield from opening_text(offer, opening)
        yield ""
    for texts, (severity, marks) in job_wide(offer, leave_out).items():
        yield "=" * width()
        yield from wrapped(", ".join(marks), "of the whole job: ")
        yield from _finding_text(severity, texts)
    short = short_stock(offer)
    if short:
        yield "=" * width()
        yield "short on the shelf"
        for finding in short:
            said = say_finding(finding, rules)
            yield from _finding_text(said.severity, (said.text, said.hint, said.source))
    yield "=" * width()
    if offer.ready is not None and offer.ready.kits:
        yield from wrapped(f"ready {say_job_ready(offer.ready)}; expected, not promised")
    price = offer.totals.hardware
    yield (
        f"{plural(offer.opening_count, 'opening')}, {plural(offer.leaf_count, 'leaf')}"
        f"   {priced_as(multiplier)} {price.decimal_text} {price.currency}"
    )
    if offer.firm != price:
        yield (
            f"   of it firm, without what is stopped or not whole: {offer.firm.decimal_text} "
            f"{offer.firm.currency}"
        )
    yield from wrapped(CAUTION)


def job_wide(
    offer: Offer, leave_out: frozenset[str] = frozenset()
) -> dict[tuple[str, str, str], tuple[Severity, list[str]]]:
    """What is told once for the job instead of at each opening, with the marks it holds for."""
    found: dict[tuple[str, str, str], tuple[Severity, list[str]]] = {}
    for opening in offer.openings:
        said = offer.words.kits[opening.kit].findings
        for finding, texts in zip(offer.kit_of(opening).findings, said, strict=True):
            if finding.code in JOB_WIDE and opening.mark not in leave_out:
                found.setdefault(texts, (finding.severity, []))[1].append(opening.mark)
    return found


def opening_text(offer: Offer, opening: OfferOpening) -> Iterator[str]:
    """One opening's kit: head, lines, what is missing, findings, assumptions, price."""
    kit, said = offer.kit_of(opening), offer.words.kits[opening.kit]
    leaves = "pair" if kit.type.leaves == 2 else "single leaf"
    yield "=" * width()
    yield f"{opening.mark}   {opening.quantity} × {kit.type.width} × {kit.type.height}, {leaves}"
    yield f"    {MOUNTS[kit.mount]}, {SIDES[kit.body_side]}; {_size(kit)}; finish {kit.finish}"
    if opening.room:
        yield from wrapped(f"room: {opening.room}", "    ")
    if opening.note:
        yield from wrapped(f"note: {opening.note}", "    ")
    yield from _lines(kit, said)
    for missing, (piece, because) in zip(kit.missing, said.missing, strict=True):
        yield from wrapped(f"{missing.quantity} × {piece}: {because}", "    MISSING  ")
    for sku, pieces in _left_over(kit):
        yield from wrapped(f"{sku}: {pieces}", "    unused   ")
    worded = [
        *zip(kit.findings, said.findings, strict=True),
        *zip(opening.of_note, offer.words.of_note(opening), strict=True),
    ]
    for finding, texts in sorted(worded, key=_rank):
        if finding.code not in SAID_ELSEWHERE:
            yield from _finding_text(finding.severity, texts)
    if kit.assumed:
        assumed = [
            f"{field_name(assumption.field)}: {assumed_value(assumption, kit.type.width)}"
            for assumption in kit.assumed
        ]
        yield from wrapped("; ".join(assumed), "    assumed  ")
    yield from _forces(kit)
    extended = (
        f", × {opening.quantity} = {opening.price.decimal_text}" if opening.quantity > 1 else ""
    )
    yield f"    price    {kit.price.decimal_text} {kit.price.currency}{extended}"
    if offer.ready_asked is not None:
        yield from wrapped(say_ready(opening.ready, offer.ready_asked), "    ready    ")


def _rank(worded: tuple[OfferFinding, tuple[str, str, str]]) -> tuple[int, str]:
    return SEVERITY_ORDER[worded[0].severity], worded[0].code


def _size(kit: OfferKit) -> str:
    if kit.size_required is None and kit.spring_size is not None:
        return f"size {kit.spring_size} (no size latches)"
    if kit.size_required is None:
        return "no size, beyond the tables"
    if kit.spring_size is None:
        return f"size {kit.size_required} required"
    return f"size {kit.spring_size} ({kit.size_required} required)"


def _left_over(kit: OfferKit) -> Iterator[tuple[str, str]]:
    """What is left over of each item: SKU, and `2 shoes and 4 wood screws for the body`."""
    for sku in dict.fromkeys(piece.sku for piece in kit.unused):
        yield sku, pieces_text([piece for piece in kit.unused if piece.sku == sku])


def _forces(kit: OfferKit) -> Iterator[str]:
    """What was calculated for the chosen body, on a leaf of its size."""
    if kit.proof is None:
        return
    verdict = kit.proof.verdict
    with in_units_of(kit.type.width):
        latches_to = pressure_text(verdict.latches_to_pa)
    text = (
        f"opens with about {force_text(verdict.opening_n, kit.type)} "
        f"{read_text(verdict)}; latches against up to {latches_to}; check with a gauge"
    )
    yield from wrapped(text, "    computed ")


def _lines(kit: OfferKit, said: KitWords) -> Iterator[str]:
    skus = max((len(line.sku) for line in kit.lines), default=0)
    for line, (serves, _) in zip(kit.lines, said.lines, strict=True):
        amount = line.total.decimal_text
        head = f"    {line.quantity:>3} × {line.sku.ljust(skus)}  "
        room = max(10, width() - len(head) - len(amount) - 2)
        parts = textwrap.wrap(line.description, room) or [""]
        yield f"{head}{parts[0].ljust(room)}  {amount}".rstrip()
        for part in parts[1:]:
            yield " " * len(head) + part
        if line.uses:
            yield from wrapped(f"for {serves}", " " * len(head))


def _finding_text(severity: str, texts: tuple[str, str, str]) -> Iterator[str]:
    text, hint, source = texts
    cited = f" [{source}]" if source else ""
    way_out = f" -> {hint}" if hint else ""
    yield from wrapped(f"{text}{cited}{way_out}", f"    {SEVERITY[severity]:<9}")
