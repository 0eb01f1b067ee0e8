"""`wholekit door-force`: the force to open and to latch one leaf, and the limits on it."""

from typing import Annotated

import typer

from wholekit.cli import options
from wholekit.cli.console import print_json, say, table, wrapped
from wholekit.cli.quantities import OptionReader, with_unit
from wholekit.domain.errors import CallError
from wholekit.domain.findings import Severity
from wholekit.domain.forces import (
    CloserPower,
    DoorCase,
    closer_of_force,
    closer_of_size,
    judge,
    limits_of,
    profile_name,
    sizes,
)
from wholekit.domain.forces.formulas import wind_pressure, wind_pressure_us
from wholekit.domain.kits.proof import handle as usual_handle
from wholekit.domain.openings import Location
from wholekit.domain.quantities import Length, Physical, parse_force, parse_pressure, parse_speed
from wholekit.domain.quantities.physical import PA_PER_PSF
from wholekit.domain.rules import RuleBook
from wholekit.intake.rulebook import load_rulebook
from wholekit.views.forces import (
    CAUTION,
    EDITIONS,
    ForceAnswer,
    force_answer,
    force_lines,
    limit_row,
)
from wholekit.wording.findings import FindingText
from wholekit.wording.units import in_units_of

# A mile of 1,609.344 m in an hour [m/s], exactly.
MPH = 0.44704
# Stand-ins for options that could not be read; the call is refused before they are used.
YARD = Length.inches(36)
NOTHING = Physical(0.0, "")
BRACKETS = "In brackets: not for such an opening as given."
SHOWN = {"stop": "STOP", "warn": "WARN", "note": "note"}


def register(app: typer.Typer) -> None:
    """Put the command on the application."""
    app.command("door-force")(door_force)


def door_force(
    width: Annotated[str, typer.Option(help="Leaf width with unit: '36 in', '0.914 m'.")],
    height: Annotated[str, typer.Option(help="Leaf height with unit: '84 in', '2.134 m'.")],
    pressure: Annotated[
        str | None,
        typer.Option(help="Pressure difference: '0.2 inwg', '50 Pa', '1 psf'; none unless given."),
    ] = None,
    wind: Annotated[str | None, typer.Option(help="Wind speed instead: '20 mph', '9 m/s'.")] = None,
    closer_force: Annotated[
        str | None,
        typer.Option("--closer-force", help="Force at the handle against the closer: '8 lbf'."),
    ] = None,
    size: Annotated[int | None, typer.Option(help="Closer size instead, 1 to 7 (EN 1154).")] = None,
    handle: Annotated[
        str | None, typer.Option(help="Handle to latch edge with unit; 3 in unless given.")
    ] = None,
    seals: Annotated[
        str | None, typer.Option(help="Force at the latch edge that presses the seals: '10 N'.")
    ] = None,
    latch: Annotated[
        str | None, typer.Option(help="Force at the latch edge that drives the latch home: '15 N'.")
    ] = None,
    jurisdiction: Annotated[str, typer.Option(help="Profile of force limits.")] = "us",
    location: Annotated[Location, typer.Option(help="Where the door is.")] = Location.INTERIOR,
    fire: Annotated[bool, typer.Option("--fire", help="It is a fire door.")] = False,
    accessible: Annotated[
        bool, typer.Option("--accessible", help="It is on an accessible route.")
    ] = False,
    egress: Annotated[
        bool | None, typer.Option("--egress/--no-egress", help="It is, or is not, an exit.")
    ] = None,
    house: options.HouseFile = None,
    json: options.Json = False,
) -> None:
    """Force to open and moment to latch a leaf, held against the limits; status 1 on a stop."""
    rules = load_rulebook(house)
    reader = OptionReader()
    wide = reader.read("--width", width, with_unit, YARD)
    high = reader.read("--height", height, with_unit, YARD)
    grip = _handle(handle, wide, rules, reader)
    pressure_pa, us = _pressure(pressure, wind, rules, reader)
    profile = _profile(jurisdiction, rules, reader)
    closer = _closer(closer_force, size, wide.in_metres - grip.in_metres, rules, reader)
    seals_n = _if_given("--seals", seals, reader)
    latch_n = _if_given("--latch", latch, reader)
    reader.finish()
    case = DoorCase(
        width_m=wide.in_metres,
        height_m=high.in_metres,
        handle_m=grip.in_metres,
        pressure_pa=pressure_pa,
        wind=wind is not None,
        us=us,
        location=location,
        fire=fire,
        accessible=accessible or _for_accessible_only(profile, rules),
        seals_n=seals_n,
        latch_n=latch_n,
        egress=egress,
    )
    verdict = judge(case, closer, profile, rules)
    if json:
        print_json(force_answer(verdict, profile, case.pressure_pa, rules))
    else:
        # In the units that the leaf was given in; as data in SI.
        with in_units_of(wide):
            answer = force_answer(verdict, profile, case.pressure_pa, rules)
            _print(answer, f"{wide} × {high}, handle {grip} from the latch edge; limits: {profile}")
    stopped = any(finding.severity is Severity.STOP for finding in verdict.findings)
    raise typer.Exit(1 if stopped else 0)


def _handle(text: str | None, width: Length, rules: RuleBook, reader: OptionReader) -> Length:
    usual = usual_handle(rules)
    handle = usual if text is None else reader.read("--handle", text, with_unit, usual)
    if handle >= width:
        reader.fault("--handle", "handle-outside-leaf", given=str(handle), width=str(width))
    return handle


def _if_given(option: str, text: str | None, reader: OptionReader) -> float | None:
    """A force [N]; None where it is not given, which is not the same as none."""
    return None if text is None else reader.read(option, text, parse_force, NOTHING).si


def _pressure(
    pressure: str | None, wind: str | None, rules: RuleBook, reader: OptionReader
) -> tuple[float, bool]:
    """The pressure [Pa], and whether it was given in US units and so by the US formula."""
    if pressure is not None and wind is not None:
        reader.fault("--pressure", "at-most-one-of", options="--pressure and --wind")
        return 0.0, False
    if pressure is None and wind is None:
        return 0.0, False
    if pressure is not None:
        read = reader.read("--pressure", pressure, parse_pressure, NOTHING)
        return read.si, not read.written.lower().endswith("pa")
    speed = reader.read("--wind", wind or "", parse_speed, NOTHING)
    if speed.written.lower().endswith("mph"):
        factor = rules.number("wind-pressure")
        return wind_pressure_us(speed.si / MPH, factor) * PA_PER_PSF, True
    return wind_pressure(speed.si, rules.number("wind-pressure-si")), False


def _closer(
    force: str | None, size: int | None, lever_m: float, rules: RuleBook, reader: OptionReader
) -> CloserPower:
    known = sizes(rules)
    if (force is None) == (size is None):
        reader.fault("--closer-force", "exactly-one-of", options="--closer-force and --size")
    elif size is not None and size not in known:
        reader.fault("--size", "size-not-made", given=size, known=f"{known[0]} to {known[-1]}")
    elif size is not None:
        return closer_of_size(size, rules)
    elif force is not None:
        read = reader.read("--closer-force", force, parse_force, NOTHING)
        if not reader.problems:
            return closer_of_force(read.si, lever_m, rules)
    return closer_of_size(known[0], rules)


def _profile(text: str, rules: RuleBook, reader: OptionReader) -> str:
    try:
        return profile_name(text, rules)
    except CallError as error:
        reader.fault("--jurisdiction", error.code, **error.fields)
        return ""


def _for_accessible_only(profile: str, rules: RuleBook) -> bool:
    """A profile of nothing but accessible limits is asked for because they apply."""
    return all(limit.scope == "accessible" for limit in limits_of(profile, rules))


def _print(answer: ForceAnswer, head: str) -> None:
    for line in wrapped(head):
        say(line)
    say()
    for label, value in force_lines(answer):
        for line in wrapped(value, f"  {label:<20}"):
            say(line)
    say()
    rows = [limit_row(limit) for limit in answer.limits]
    for line in table(rows, ("limit", "allowed", "here", "stands"), frozenset({1, 2}), 0):
        say(line)
    for line in wrapped(f"{BRACKETS} {EDITIONS[answer.editions]}"):
        say(line)
    say()
    for finding in answer.findings:
        for line in _finding(finding):
            say(line)
    for line in wrapped(CAUTION):
        say(line)


def _finding(said: FindingText) -> list[str]:
    source = f" [{said.source}]" if said.source else ""
    way_out = f" -> {said.hint}" if said.hint else ""
    text = f"{said.text}{source}{way_out}"
    return [*wrapped(text, f"{SHOWN[said.severity]:<6}"), ""]
