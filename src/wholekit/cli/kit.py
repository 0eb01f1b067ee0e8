"""`wholekit kit`: openings to complete kits."""

import textwrap
from collections.abc import Iterator

import typer

from wholekit.bootstrap import open_house, read_openings
from wholekit.cli import options
from wholekit.cli.console import print_json, progress_of, say, tell_look_alikes, width, wrapped
from wholekit.domain.kits import Kit, Policy
from wholekit.domain.kits.mistakes import UNLISTED
from wholekit.domain.openings import Assumption
from wholekit.domain.pricing import parse_multiplier
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook
from wholekit.services.expand import KittedJob, KittedOpening, expand
from wholekit.wording.answers import kits_answer
from wholekit.wording.findings import FindingText, say_finding
from wholekit.wording.fitting import force_text, measure
from wholekit.wording.force_answers import read_text
from wholekit.wording.openings import left_over, serves
from wholekit.wording.reasons import say_reason
from wholekit.wording.words import MOUNTS, ROLES, SIDES, field_name, plural, value_text

# Told once for the whole job, with its marks: nearly every interior door may be an exit.
JOB_WIDE = frozenset({"egress-force-limit"})
SAID_ELSEWHERE = JOB_WIDE | {"assumed"}
SEVERITY = {"stop": "STOP", "warn": "WARN", "note": "note"}


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("kit")(kit)


def kit(
    schedule: options.Schedule = None,
    opening: options.Shorthand = None,
    catalog: options.Catalogs = None,
    multiplier: options.Multiplier = "1",
    prefer: options.Prefer = None,
    stock_first: options.StockFirst = False,
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Openings (a schedule, or --opening) to complete, priced kits; status 1 if any is stopped."""
    factor = parse_multiplier(multiplier)
    place = open_house(catalog or [], house, Policy(tuple(prefer or ()), stock_first))
    openings = read_openings(schedule, opening or [], place.rules)
    tell_look_alikes(one.mark for one in openings)
    job = expand(openings, place.shelf, place.rules, factor, progress_of(len(openings)))
    if json:
        print_json(kits_answer(job, place.rules))
    else:
        for line in job_text(job, place.rules):
            say(line)
    raise typer.Exit(1 if job.stopped else 0)


def job_text(
    job: KittedJob, rules: RuleBook, leave_out: frozenset[str] = frozenset()
) -> Iterator[str]:
    """A job as text: each opening's kit but those left out, what is short, then the totals."""
    for one in job.openings:
        if one.opening.mark in leave_out:
            continue
        yield from opening_text(one, rules)
        yield ""
    for said, marks in job_wide(job, rules, leave_out):
        yield "=" * width()
        yield from wrapped(", ".join(marks), "of the whole job: ")
        yield from _finding_text(said, "    ")
    short = job.short_stock()
    if short:
        yield "=" * width()
        yield "short on the shelf"
        for finding in short:
            yield from _finding_text(say_finding(finding, rules), "    ")
    yield "=" * width()
    yield (
        f"{plural(job.opening_count, 'opening')}, {plural(job.leaf_count, 'leaf')}"
        f"   {priced_as(job)} {job.price.decimal_text} {job.currency}"
    )
    yield from wrapped(
        "Proposed from the schedule and the catalogues. Local codes, the listing of door, frame "
        "and closer, and licensed people decide; the maker's template in the box holds."
    )


def job_wide(
    job: KittedJob, rules: RuleBook, leave_out: frozenset[str] = frozenset()
) -> list[tuple[FindingText, list[str]]]:
    """What is told once for the job instead of at each opening, with the marks it holds for."""
    found: dict[FindingText, list[str]] = {}
    for one in job.openings:
        if one.opening.mark in leave_out:
            continue
        for finding in one.kit.findings:
            if finding.code in JOB_WIDE:
                found.setdefault(say_finding(finding, rules), []).append(one.opening.mark)
    return list(found.items())


def priced_as(job: KittedJob) -> str:
    """What the prices are: list, or net at a multiplier."""
    return "list" if job.multiplier == 1 else f"net at {float(job.multiplier):g} × list"


def opening_text(one: KittedOpening, rules: RuleBook) -> Iterator[str]:
    """One opening's kit: head, lines, what is missing, findings, assumptions, price."""
    kit = one.kit
    leaves = "pair" if kit.type.leaves == 2 else "single leaf"
    yield "=" * width()
    yield (
        f"{one.opening.mark}   {one.opening.quantity} × {kit.type.width} × {kit.type.height}, "
        f"{leaves}"
    )
    yield f"    {MOUNTS[kit.mount]}, {SIDES[kit.body_side]}; {_size(kit)}; finish {kit.finish}"
    if one.opening.note:
        yield from wrapped(f"note: {one.opening.note}", "    ")
    yield from _lines(one)
    for missing in kit.missing:
        yield from wrapped(
            f"{missing.quantity} × {ROLES[missing.role]}: {say_reason(missing.because)}",
            "    UNLISTED " if missing.because.code == UNLISTED else "    MISSING  ",
        )
    for sku, pieces in left_over(kit.unused):
        yield from wrapped(f"{sku}: {pieces}", "    unused   ")
    for finding in one.findings:
        if finding.code not in SAID_ELSEWHERE:
            yield from _finding_text(say_finding(finding, rules), "    ")
    if kit.assumed:
        said = [
            f"{field_name(one.field)}: {_in_own_units(one, kit.type.width)}" for one in kit.assumed
        ]
        yield from wrapped("; ".join(said), "    assumed  ")
    yield from _forces(kit)
    extended = (
        f", × {one.opening.quantity} = {one.price.decimal_text}" if one.opening.quantity > 1 else ""
    )
    yield f"    price    {one.priced.total.decimal_text} {kit.list_price.currency}{extended}"


def _in_own_units(one: Assumption, size: Length) -> str:
    """What is assumed; of a length, in the units of the opening's own size."""
    if isinstance(one.value, Length):
        return measure(one.value, size.unit not in ("in", "ft"))
    return value_text(one.field, one.value)


def _size(kit: Kit) -> str:
    if kit.size_required is None and kit.spring_size is not None:
        return f"size {kit.spring_size} (no size latches)"
    if kit.size_required is None:
        return "no size, beyond the tables"
    if kit.spring_size is None:
        return f"size {kit.size_required} required"
    return f"size {kit.spring_size} ({kit.size_required} required)"


def _forces(kit: Kit) -> Iterator[str]:
    """What was calculated for the chosen body, on a leaf of its size."""
    if kit.proof is None:
        return
    verdict = kit.proof.verdict
    text = (
        f"opens with about {force_text(verdict, kit.type.width)} "
        f"{read_text(verdict)}; latches against up to {verdict.latches_to_pa:.0f} Pa; check with a "
        "gauge"
    )
    yield from wrapped(text, "    computed ")


def _lines(one: KittedOpening) -> Iterator[str]:
    skus = max((len(line.line.item.sku) for line in one.priced.lines), default=0)
    for priced in one.priced.lines:
        line = priced.line
        amount = priced.total.decimal_text
        head = f"    {line.quantity:>3} × {line.item.sku.ljust(skus)}  "
        room = max(10, width() - len(head) - len(amount) - 2)
        parts = textwrap.wrap(line.item.description, room) or [""]
        yield f"{head}{parts[0].ljust(room)}  {amount}".rstrip()
        for part in parts[1:]:
            yield " " * len(head) + part
        if line.uses:
            yield from wrapped(f"for {serves(line)}", " " * len(head))


def _finding_text(said: FindingText, indent: str) -> Iterator[str]:
    source = f" [{said.source}]" if said.source else ""
    way_out = f" -> {said.hint}" if said.hint else ""
    yield from wrapped(f"{said.text}{source}{way_out}", f"{indent}{SEVERITY[said.severity]:<9}")
