"""`wholekit kit`: openings to complete kits."""

from collections.abc import Iterator

import typer

from wholekit.bootstrap import open_house, read_openings
from wholekit.cli import options
from wholekit.cli.console import print_json, say, tell, width, wrapped
from wholekit.domain.kits import Policy
from wholekit.domain.pricing import parse_multiplier
from wholekit.domain.rules import RuleBook
from wholekit.services.expand import KittedJob, KittedOpening, expand
from wholekit.wording.answers import kits_answer
from wholekit.wording.findings import FindingText, say_finding
from wholekit.wording.reasons import say_reason
from wholekit.wording.words import MOUNTS, ROLES, SIDES, field_name, plural, value_text

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
    job = expand(openings, place.shelf, place.rules, factor)
    if json:
        print_json(kits_answer(job, place.rules))
    else:
        for line in job_text(job, place.rules):
            say(line)
        for finding in job.short_stock():
            tell("\n".join(_finding_text(say_finding(finding, place.rules), "")))
    raise typer.Exit(1 if job.stopped else 0)


def job_text(job: KittedJob, rules: RuleBook) -> Iterator[str]:
    """A job as text: each opening's kit, then the totals."""
    for one in job.openings:
        yield from opening_text(one, rules)
        yield ""
    yield "=" * width()
    yield (
        f"{plural(job.opening_count, 'opening')}, {job.leaf_count} leaves"
        f"   total {job.price.decimal_text} {job.currency}"
    )
    yield from wrapped(
        "Proposed from the schedule and the catalogues. Local codes, the listing of door, frame "
        "and closer, and licensed people decide; the maker's template in the box holds."
    )


def opening_text(one: KittedOpening, rules: RuleBook) -> Iterator[str]:
    """One opening's kit: head, lines, what is missing, findings, assumptions, price."""
    kit = one.kit
    leaves = "pair" if kit.type.leaves == 2 else "single leaf"
    yield "=" * width()
    yield (
        f"{one.opening.mark}   {one.opening.quantity} × {kit.type.width} × {kit.type.height}, "
        f"{leaves}"
    )
    size = "none" if kit.spring_size is None else str(kit.spring_size)
    required = "beyond the tables" if kit.size_required is None else str(kit.size_required)
    yield (
        f"    {MOUNTS[kit.mount]}, {SIDES[kit.body_side]}; size {size} ({required} required); "
        f"finish {kit.finish}"
    )
    if one.opening.note:
        yield from wrapped(f"note: {one.opening.note}", "    ")
    yield from _lines(one)
    for missing in kit.missing:
        yield from wrapped(
            f"{missing.quantity} × {ROLES[missing.role]}: {say_reason(missing.because)}",
            "    MISSING  ",
        )
    for unused in kit.unused:
        yield from wrapped(
            f"{plural(unused.quantity, ROLES[unused.role])} in {unused.item.sku} left over",
            "    unused   ",
        )
    for finding in kit.findings:
        if finding.code != "assumed":
            yield from _finding_text(say_finding(finding, rules), "    ")
    for assumed in kit.assumed:
        yield f"    assumed  {field_name(assumed.field)}: {value_text(assumed.field, assumed.value)}"
    extended = (
        f", × {one.opening.quantity} = {one.price.decimal_text}" if one.opening.quantity > 1 else ""
    )
    yield f"    price    {one.priced.total.decimal_text} {kit.list_price.currency}{extended}"


def _lines(one: KittedOpening) -> Iterator[str]:
    skus = max((len(line.line.item.sku) for line in one.priced.lines), default=0)
    for priced in one.priced.lines:
        line = priced.line
        amount = priced.total.decimal_text
        head = f"    {line.quantity:>3} × {line.item.sku.ljust(skus)}  "
        room = max(10, width() - len(head) - len(amount) - 2)
        parts = list(_broken(line.item.description, room))
        yield f"{head}{parts[0].ljust(room)}  {amount}".rstrip()
        for part in parts[1:]:
            yield " " * len(head) + part
        serves = ", ".join(plural(use.quantity, ROLES[use.role]) for use in line.uses)
        yield from wrapped(f"for {serves}", " " * len(head))


def _broken(text: str, room: int) -> list[str]:
    import textwrap

    return textwrap.wrap(text, room) or [""]


def _finding_text(said: FindingText, indent: str) -> Iterator[str]:
    source = f" [{said.source}]" if said.source else ""
    way_out = f" -> {said.hint}" if said.hint else ""
    yield from wrapped(f"{said.text}{source}{way_out}", f"{indent}{SEVERITY[said.severity]:<9}")
