"""Driving the program with a case: what came of each thing the case expects."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any, cast

from tests.rules.cases import Case
from tests.support.house import SAMPLES, sample

from wholekit.cli.door_force import _pressure
from wholekit.cli.quantities import OptionReader
from wholekit.domain.allocation import weight_of
from wholekit.domain.catalog import FastenerKind, Template
from wholekit.domain.catalog.drills import drilled_for, edge_distance
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.screws import wood_screw_diameter
from wholekit.domain.errors import CallError
from wholekit.domain.findings import Finding
from wholekit.domain.forces import (
    DoorCase,
    ForceVerdict,
    adopted,
    band,
    closer_of_force,
    closer_of_size,
    judge,
    least_efficiency,
    limits_of,
    opening_moment_most,
    profile_name,
    smallest_size_latching,
)
from wholekit.domain.forces.formulas import closing_moment_needed
from wholekit.domain.kits import Kit, Shelf, build_kit, with_offers
from wholekit.domain.kits.concerns import size_advised
from wholekit.domain.kits.duty import duty_asked
from wholekit.domain.kits.offers import is_much_dearer
from wholekit.domain.kits.old_holes import is_too_dear
from wholekit.domain.kits.proof import (
    handle,
    limits_binding,
    moment_needed,
    settings_within,
    size_latching_nominal,
)
from wholekit.domain.kits.unknowns import unknowns_of
from wholekit.domain.linkage import best_arms, check_template, reference_arms, share_of, swing
from wholekit.domain.openings import (
    Facts,
    Location,
    Mount,
    Opening,
    OpeningType,
    note_findings,
    stated_text,
)
from wholekit.domain.openings.dangers import leaf_dangers
from wholekit.domain.openings.notes import APART, active_leaf
from wholekit.domain.quantities import Money, parse_force, parse_length
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.domain.stock import ShelfMoves, slow_limits
from wholekit.intake.openings import profile_words
from wholekit.intake.shorthand import read_shorthand
from wholekit.services.availability import calendar_of
from wholekit.wording.closing import closing_time, delayed_text, gauge_point, latch_text, sweep_text

Seen = dict[str, object]
Told = Mapping[str, Any]
_SUPPLIERS = {sample(name).supplier: sample(name) for name in SAMPLES}


def observe(case: Case, rules: RuleBook) -> tuple[Seen, Seen]:
    """What the case expects, and the same things as the program has them."""
    given = dict(case.told)
    driver = next(name for name in DRIVERS if name in given)
    expected = {key: value for key, value in given.items() if key not in GIVEN}
    return expected, DRIVERS[driver](given, rules)


def _kit(given: Told, rules: RuleBook) -> Kit:
    kind = _type(given["opening"], rules)
    if "minutes" in given:
        kind = replace(kind, fire_minutes=given["minutes"])
    return build_kit(kind, _shelf(given, rules), rules)


def _type(text: str, rules: RuleBook) -> OpeningType:
    words = profile_words(rules)
    return read_shorthand(text, 1, finishes=FinishBook(rules), jurisdictions=words).type


_shelves: tuple[RuleBook, dict[tuple[str, ...], Shelf]] | None = None


def _shelf(given: Told, rules: RuleBook) -> Shelf:
    """A shelf of its own for each rule book: a shelf remembers what it worked out by one."""
    global _shelves
    if _shelves is None or _shelves[0] is not rules:
        _shelves = (rules, {})
    names = tuple(given.get("catalogs", SAMPLES))
    return _shelves[1].setdefault(names, Shelf([sample(name) for name in names]))


def _of_opening(given: Told, rules: RuleBook) -> Seen:
    kit = _kit(given, rules)
    if "offers" in given:
        kit = with_offers(kit, _shelf(given, rules), rules)
    facts = Facts(kit.type, rules)
    asked = duty_asked(facts, rules)
    codes = {finding.code: finding.severity.value for finding in kit.findings}
    assumed = {assumption.field: str(assumption.value) for assumption in kit.assumed}
    cited = set(_cited(kit))
    used = [use for line in kit.lines for use in line.uses]
    kinds: dict[str, set[str]] = {}
    pieces: dict[str, int] = {}
    for use in used:
        pieces[use.role] = pieces.get(use.role, 0) + use.quantity
        if use.kind is not None:
            kinds.setdefault(use.role, set()).add(use.kind.value)
    screws = [
        _SUPPLIERS[line.item.supplier].pieces[use.piece]
        for line in kit.lines
        for use in line.uses
        if use.kind is not None
    ]
    proof = kit.proof
    everything: Seen = {
        "size": kit.size_required or 0,
        "setting": kit.spring_size or 0,
        "mount": kit.mount.value,
        "body_on": kit.body_side.value,
        "finish": kit.finish,
        "weight": str(kit.weight),
        "complete": kit.complete,
        "series": kit.body.series if kit.body else "",
        "reached": kit.template.greatest_angle if kit.template else 0,
        "pressure_pa": round(proof.pressure_pa, 1) if proof else 0.0,
        "opening_lbf": round(proof.verdict.opening_lbf, 2) if proof else 0.0,
        "share": round(proof.share, 3) if proof else 0.0,
        "listed": all(piece.fire_listed for piece in screws),
        "sleeved": any(piece.sleeved for piece in screws),
        "advised": size_advised(kit, facts, rules) or 0,
        "place": [asked.duty.value, asked.grade, asked.backcheck],
        "asked_corrosion": asked.corrosion,
    }
    fields: list[Told] = [step.fields for step in _steps(kit) if step.code == "host"]
    hosts = {field["part"]: list(field["kinds"]) for field in fields}
    everything["hosts"] = {part: hosts.get(part, []) for part in given.get("hosts", ())}
    everything["findings"] = {c: s for c, s in codes.items() if c in given.get("findings", ())}
    fields_of = {finding.code: finding.fields for finding in kit.findings}
    everything["fields"] = {
        code: {name: fields_of.get(code, {}).get(name) or 0 for name in wanted}
        for code, wanted in given.get("fields", {}).items()
    }
    steps = {step.code: step.fields for step in _steps(kit)}
    everything["reasons"] = {
        code: steps.get(code, {}).get("size") for code in given.get("reasons", ())
    }
    rules_of = {finding.code: finding.rule for finding in kit.findings}
    everything["rule_of"] = {code: rules_of.get(code) for code in given.get("rule_of", ())}
    everything["without"] = [code for code in given.get("without", ()) if code not in codes]
    everything["kinds"] = {role: sorted(kinds.get(role, ())) for role in given.get("kinds", ())}
    everything["pieces"] = {role: pieces.get(role, 0) for role in given.get("pieces", ())}
    everything["assumed"] = {
        name: assumed[name] for name in given.get("assumed", ()) if name in assumed
    }
    everything["known"] = [name for name in given.get("known", ()) if name not in assumed]
    everything["cites"] = [rule for rule in given.get("cites", ()) if rule in cited]
    everything["silent"] = [rule for rule in given.get("silent", ()) if rule not in cited]
    return {key: value for key, value in everything.items() if key in given}


def _steps(kit: Kit) -> Iterator[Reason]:
    """Every step of every why of a kit."""
    because = [reason for line in kit.lines for reason in line.because]
    because += [piece.because for piece in kit.missing]
    for reason in (*kit.why, *because):
        yield from reason.walk()


def _cited(kit: Kit) -> Iterator[str]:
    for step in _steps(kit):
        yield from step.rules
    yield from (finding.rule for finding in kit.findings if finding.rule is not None)
    yield from (assumption.rule for assumption in kit.assumed)


def _of_sizes(given: Told, rules: RuleBook) -> Seen:
    return {
        "sizes": {
            text: _kit({**given, "opening": text}, rules).size_required or 0
            for text in given["sizes"]
        }
    }


def _verdict(door: Told, rules: RuleBook) -> ForceVerdict:
    width, height = parse_length(door.get("width", "36 in")), parse_length("84 in")
    grip = parse_length(door["handle"]) if "handle" in door else handle(rules)
    reader = OptionReader()
    pressure, us = _pressure(
        None if "wind" in door else door.get("pressure", "0 inwg"), door.get("wind"), rules, reader
    )
    reader.finish()
    share = float(door.get("share", 1.0))
    case = DoorCase(
        width_m=width.in_metres,
        height_m=height.in_metres,
        handle_m=grip.in_metres,
        pressure_pa=pressure,
        us=us,
        location=Location(door.get("location", "interior")),
        fire=door.get("fire", False),
        accessible=door.get("accessible", False),
        beyond_30_nm=door.get("beyond_30_nm"),
        share=share,
        egress=door.get("egress"),
        wind="wind" in door,
        seals_n=door.get("seals_n"),
        latch_n=door.get("latch_n"),
    )
    if "size" in door:
        closer = closer_of_size(
            door["size"], rules, share, door.get("felt"), door.get("efficiency")
        )
    else:
        lever = width.in_metres if door.get("at") == "edge" else case.handle_lever_m
        closer = closer_of_force(parse_force(door["closer"]).si, lever, rules)
    on = door.get("on")
    return judge(case, closer, door.get("profile", "us"), rules, on if _is_day(on) else None)


def _is_day(on: object) -> bool:
    return isinstance(on, date)


def _of_door(given: Told, rules: RuleBook) -> Seen:
    verdict = _verdict(given["door"], rules)
    codes = {finding.code: finding.severity.value for finding in verdict.findings}
    stands = {True: "kept", False: "broken", None: "unknown"}
    limits = {
        result.limit.rule: f"{stands[result.within]} if it holds"
        if result.undecided
        else stands[result.within]
        if result.binding
        else "free"
        for result in verdict.limits
    }
    fields = {name: value for finding in verdict.findings for name, value in finding.fields.items()}
    return {
        "fields": {name: fields.get(name, "") for name in given.get("fields", ())},
        "hints": [finding.hint.code for finding in verdict.findings if finding.hint is not None],
        "opening_n": round(verdict.opening_n, 1),
        "read_at": verdict.read_at,
        "limits": {name: limits.get(name, "absent") for name in given.get("limits", ())},
        "findings": {c: s for c, s in codes.items() if c in given.get("findings", ())},
        "without": [code for code in given.get("without", ()) if code not in codes],
        "opening_lbf": round(verdict.opening_lbf, 2),
        "latches": verdict.latches,
        "latches_to_pa": round(verdict.latches_to_pa, 1),
        "latching_size": verdict.size_latching or 0,
        "efficiency": round(verdict.efficiency, 2),
    }


def _of_setting(given: Told, rules: RuleBook) -> Seen:
    """What an opening's limits and its latching ask of a setting, before a body is known."""
    asked = given["within"]
    facts = Facts(_type(asked["opening"], rules), rules)
    own = asked.get("efficiency")
    efficiency = None if own is None else (lambda _: float(own))
    return {
        "settings": list(settings_within(facts, asked.get("share", 1.0), efficiency, rules)),
        "needed_nm": round(moment_needed(facts, rules), 2),
        "binding": [limit.rule for limit in limits_binding(facts, rules)],
    }


def _of_nominal(given: Told, rules: RuleBook) -> Seen:
    return {
        "latching_sizes": {
            mount: size_latching_nominal(needed, Mount(mount), rules)
            for mount, needed in given["nominal"].items()
        }
    }


def _of_arms(given: Told, rules: RuleBook) -> Seen:
    """A template of a sample catalogue, its placing changed where the case says so."""
    asked = given["arms"]
    catalog = sample(asked["catalog"])
    template = next(
        each
        for series in catalog.series
        for each in series.templates
        if each.id == asked["template"]
    )
    lengths: Told = {name: parse_length(text) for name, text in asked.get("changed", {}).items()}
    numbers = asked.get("numbers", {})
    template = replace(template, **{**lengths, **numbers})
    arms = best_arms(template, catalog.pieces, parse_length(asked.get("reveal", "4 in")), rules)
    assert arms is not None
    worked = swing(arms)
    others = () if asked.get("reference") is False else _templates(asked, template)
    reference = reference_arms(others, min(template.families), catalog.pieces, rules)
    share = share_of(arms, reference, rules)
    return {
        "reached": worked.reached,
        "ended": worked.ended,
        "preload": round(worked.preload, 1),
        "share": round(share, 4),
        "clearance_mm": round(worked.clearance * 1000, 1),
        "latching_size": smallest_size_latching(
            closing_moment_needed(asked.get("pressure_pa", 0.0), 0.9144, 2.1336), rules, share
        )
        or 0,
        "faults": [problem.code for problem in check_template(template, catalog.pieces, rules)],
    }


def _templates(asked: Told, template: Template) -> tuple[Template, ...]:
    series = sample(asked["catalog"]).series
    return next(each.templates for each in series if each.id == template.series)


def _of_facts(given: Told, rules: RuleBook) -> Seen:
    """What an opening is taken to be, and which of it is assumed."""
    asked = given["facts"]
    facts = Facts(_type(asked["opening"], rules), rules)
    read = {name: str(getattr(facts, name)) for name in asked if name != "opening"}
    assumed = {assumption.field: str(assumption.value) for assumption in facts.assumed}
    return {
        "facts": {"opening": asked["opening"], **read},
        "assumed": {name: assumed.get(name, "") for name in given.get("assumed", ())},
        "known": [name for name in given.get("known", ()) if name not in assumed],
    }


def _of_notes(given: Told, rules: RuleBook) -> Seen:
    """The columns that each note is told for, on one opening, and the words that are."""
    opening = Opening("101", _type(given["notes"]["opening"], rules))

    def of_each(name: str, seen: Callable[[Opening], Iterator[str]]) -> Seen:
        return {note: list(seen(replace(opening, note=note))) for note in given.get(name, ())}

    def columns(noted: Opening) -> Iterator[str]:
        found = note_findings(noted, rules)
        yield from (_about(each) for each in found if not each.code.startswith("pair-"))
        if noted.type.leaves > 1 and (side := active_leaf(noted.note, rules)):
            yield f"active {side}"

    def words(noted: Opening) -> Iterator[str]:
        for finding in note_findings(noted, rules):
            yield from cast("tuple[str, ...]", finding.fields.get("words", ()))

    return {"told": of_each("told", columns), "words": of_each("words", words)}


def _about(finding: Finding) -> str:
    """The column or piece that a note's finding is about; `apart` behind one that others bring."""
    about = str(finding.fields.get("column") or finding.fields.get("piece") or "wish")
    return f"{about} apart" if finding.code == APART else about


def _of_figures(given: Told, rules: RuleBook) -> Seen:
    book = FinishBook(rules)
    seen: Seen = {}
    if "finishes" in given:
        seen["finishes"] = {text: book.read(text) or "" for text in given["finishes"]}
    if "described" in given:
        seen["described"] = {
            code: [one.us, one.base, one.look, one.name]
            for code in given["described"]
            if (one := book.finish(code)) is not None
        }
    if "closing" in given:
        said = {
            "sweep": sweep_text(rules),
            "time": closing_time(rules),
            "latch": latch_text(rules),
            "delayed": delayed_text(rules),
            "gauge": gauge_point(rules),
            "gauge-uk": gauge_point(rules, "edge", en=True),
        }
        seen["closing"] = {
            name: text if text in said[name] else said[name]
            for name, text in given["closing"].items()
        }
    if "dearer" in given:
        pairs = [(Money(case, "USD"), Money(other, "USD")) for case, other, _ in given["dearer"]]
        seen["dearer"] = [
            [money.minor, other.minor, is_much_dearer(money, other, rules)]
            for money, other in pairs
        ]
    if "dearer_for_holes" in given:
        seen["dearer_for_holes"] = [
            [rival, price, is_too_dear(Money(rival, "USD"), Money(price, "USD"), rules)]
            for rival, price, _ in given["dearer_for_holes"]
        ]
    if "screws" in given:
        numbers = given["screws"]
        seen["screws"] = {number: wood_screw_diameter(int(number), rules) for number in numbers}
    if "drills" in given:
        seen["drills"] = {text: _drills(text, rules) for text in given["drills"]}
    if "edge_distance" in given:
        seen["edge_distance"] = {
            text: round(edge_distance(*_screw(text), rules), 2) for text in given["edge_distance"]
        }
    if "nearest" in given:
        seen["nearest"] = {
            text: book.nearest(text.split()[0], text.split()[2:]) or "" for text in given["nearest"]
        }
    if "profiles" in given:
        seen["profiles"] = {text: _profile(text, rules) for text in given["profiles"]}
    if "adopted" in given:
        seen["adopted"] = {name: adopted(name, rules) for name in given["adopted"]}
    if "limits_of" in given:
        seen["limits_of"] = {
            name: [limit.rule for limit in limits_of(name, rules, given.get("on"))]
            for name in given["limits_of"]
        }
    if "bands" in given:
        seen["bands"] = {size: list(band(int(size), rules)) for size in given["bands"]}
    for name, figure in (("opening_most", opening_moment_most), ("least", least_efficiency)):
        if name in given:
            seen[name] = {size: figure(int(size), rules) for size in given[name]}
    return seen


def _of_lead(given: Told, rules: RuleBook) -> Seen:
    """The days on which leads end that are counted from a day."""
    calendar, asked = calendar_of(rules), given["lead"]["asked"]
    return {"ends": [calendar.after(asked, days) for days in given["lead"]["days"]]}


def _profile(text: str, rules: RuleBook) -> str:
    try:
        return profile_name(text, rules)
    except CallError:
        return ""


FIGURES = (
    "finishes", "described", "nearest", "profiles", "limits_of", "bands", "opening_most", "screws",
    "drills", "edge_distance",
    "closing", "dearer", "dearer_for_holes", "adopted",
)  # fmt: skip


def _of_asking(given: Told, rules: RuleBook) -> Seen:
    unknown = unknowns_of(_type(given["asks"], rules), rules)
    # With their order, in which they are asked.
    return {"answers": {each.field: [stated_text(a) for a in each.answers] for each in unknown}}


def _of_promises(given: Told, rules: RuleBook) -> Seen:
    """What bags weigh by priority and working days to the promise, "" for none."""
    return {
        "weights": [
            weight_of(rules, priority, None if days == "" else days)
            for priority, days in given["promises"]
        ]
    }


def _of_slow(given: Told, rules: RuleBook) -> Seen:
    """Paces of items that came long ago: packs on hand, packs that left for each day looked
    at, and days since something did."""
    limits, day = slow_limits(rules), date(2026, 11, 26)
    paces = []
    for packs, daily, idle in given["slow"]:
        last = day - timedelta(days=idle)
        left = daily * limits.period
        moves = ShelfMoves(
            ("a", "X"), "", "main", packs, 0, packs, left, day - timedelta(days=4_000), last
        )
        paces.append(moves.pace(day, limits).value)
    return {"paces": paces, "days": limits.period}


def _of_dangers(given: Told, rules: RuleBook) -> Seen:
    """What each note or room tells of a leaf that drilling may make dangerous."""
    return {
        "dangers": {
            text: [danger.value for danger in leaf_dangers([text], rules)]
            for text in given["dangers"]
        }
    }


DRIVERS: dict[str, Callable[[Told, RuleBook], Seen]] = {
    "opening": _of_opening,
    "sizes": _of_sizes,
    "door": _of_door,
    "facts": _of_facts,
    "notes": _of_notes,
    "asks": _of_asking,
    "arms": _of_arms,
    "within": _of_setting,
    "nominal": _of_nominal,
    "lead": _of_lead,
    "promises": _of_promises,
    "slow": _of_slow,
    "dangers": _of_dangers,
    **dict.fromkeys(FIGURES, _of_figures),
}
# What a case gives; all else in it is what it expects.
GIVEN = {
    "lead",
    "promises",
    "slow",
    "asks",
    "notes",
    "opening",
    "catalogs",
    "door",
    "arms",
    "on",
    "within",
    "nominal",
    "offers",
    "minutes",
}


def _screw(text: str) -> tuple[FastenerKind, int | None, str]:
    """A screw told as `wood-screw 14` or `machine-screw 1/4-20`."""
    kind, _, size = text.partition(" ")
    number = int(size) if kind == FastenerKind.WOOD_SCREW and size else None
    return FastenerKind(kind), number, size


def _drills(text: str, rules: RuleBook) -> list[str]:
    """What becomes of a screw's hole, and each drill: name, inches and millimetres."""
    drilled = drilled_for(*_screw(text), rules)
    return [drilled.made.value, *(f"{one.name}|{one.inches}|{one.mm}" for one in drilled.drills)]
