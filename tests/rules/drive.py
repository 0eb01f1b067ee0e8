"""Driving the program with a case: what came of each thing the case expects."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import Any

from tests.rules.cases import Case
from tests.support.house import SAMPLES, sample

from wholekit.cli.door_force import _pressure
from wholekit.cli.quantities import OptionReader
from wholekit.domain.catalog import Template
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.catalog.screws import wood_screw_diameter
from wholekit.domain.errors import CallError
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
from wholekit.domain.kits.proof import (
    handle,
    limits_binding,
    moment_needed,
    settings_within,
    size_latching_nominal,
)
from wholekit.domain.linkage import best_arms, check_template, reference_arms, share_of, swing
from wholekit.domain.openings import (
    Facts,
    Location,
    Mount,
    Opening,
    OpeningType,
    note_findings,
)
from wholekit.domain.quantities import Money, parse_force, parse_length
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.intake.openings import profile_words
from wholekit.intake.shorthand import read_shorthand
from wholekit.wording.closing import delayed_text, gauge_point, latch_text, sweep_text

Seen = dict[str, object]
Told = Mapping[str, Any]
_SUPPLIERS = {sample(name).supplier: sample(name) for name in SAMPLES}


def observe(case: Case, rules: RuleBook) -> tuple[Seen, Seen]:
    """What the case expects, and the same things as the program has them."""
    told = dict(case.told)
    driver = next(name for name in DRIVERS if name in told)
    expected = {key: value for key, value in told.items() if key not in GIVEN}
    return expected, DRIVERS[driver](told, rules)


def _kit(told: Told, rules: RuleBook) -> Kit:
    kind = _type(told["opening"], rules)
    if "minutes" in told:
        kind = replace(kind, fire_minutes=told["minutes"])
    return build_kit(kind, _shelf(told, rules), rules)


def _type(text: str, rules: RuleBook) -> OpeningType:
    words = profile_words(rules)
    return read_shorthand(text, 1, finishes=FinishBook(rules), jurisdictions=words).type


_shelves: tuple[RuleBook, dict[tuple[str, ...], Shelf]] | None = None


def _shelf(told: Told, rules: RuleBook) -> Shelf:
    """A shelf of its own for each rule book: a shelf remembers what it worked out by one."""
    global _shelves
    if _shelves is None or _shelves[0] is not rules:
        _shelves = (rules, {})
    names = tuple(told.get("catalogs", SAMPLES))
    return _shelves[1].setdefault(names, Shelf([sample(name) for name in names]))


def _of_opening(told: Told, rules: RuleBook) -> Seen:
    kit = _kit(told, rules)
    if "offers" in told:
        kit = with_offers(kit, _shelf(told, rules), rules)
    facts = Facts(kit.type, rules)
    asked = duty_asked(facts, rules)
    codes = {one.code: one.severity.value for one in kit.findings}
    assumed = {one.field: str(one.value) for one in kit.assumed}
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
    fields: list[Told] = [one.fields for one in _steps(kit) if one.code == "host"]
    hosts = {one["part"]: list(one["kinds"]) for one in fields}
    everything["hosts"] = {part: hosts.get(part, []) for part in told.get("hosts", ())}
    everything["findings"] = {c: s for c, s in codes.items() if c in told.get("findings", ())}
    fields_of = {one.code: one.fields for one in kit.findings}
    everything["fields"] = {
        code: {name: fields_of.get(code, {}).get(name) or 0 for name in wanted}
        for code, wanted in told.get("fields", {}).items()
    }
    steps = {one.code: one.fields for one in _steps(kit)}
    everything["reasons"] = {
        code: steps.get(code, {}).get("size") for code in told.get("reasons", ())
    }
    rules_of = {one.code: one.rule for one in kit.findings}
    everything["rule_of"] = {code: rules_of.get(code) for code in told.get("rule_of", ())}
    everything["without"] = [code for code in told.get("without", ()) if code not in codes]
    everything["kinds"] = {role: sorted(kinds.get(role, ())) for role in told.get("kinds", ())}
    everything["pieces"] = {role: pieces.get(role, 0) for role in told.get("pieces", ())}
    everything["assumed"] = {
        name: assumed[name] for name in told.get("assumed", ()) if name in assumed
    }
    everything["known"] = [name for name in told.get("known", ()) if name not in assumed]
    everything["cites"] = [rule for rule in told.get("cites", ()) if rule in cited]
    everything["silent"] = [rule for rule in told.get("silent", ()) if rule not in cited]
    return {key: value for key, value in everything.items() if key in told}


def _steps(kit: Kit) -> Iterator[Reason]:
    """Every step of every why of a kit."""
    because = [reason for line in kit.lines for reason in line.because]
    because += [one.because for one in kit.missing]
    for reason in (*kit.why, *because):
        yield from reason.walk()


def _cited(kit: Kit) -> Iterator[str]:
    for step in _steps(kit):
        yield from step.rules
    yield from (one.rule for one in kit.findings if one.rule is not None)
    yield from (one.rule for one in kit.assumed)


def _of_sizes(told: Told, rules: RuleBook) -> Seen:
    return {
        "sizes": {
            text: _kit({**told, "opening": text}, rules).size_required or 0
            for text in told["sizes"]
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


def _of_door(told: Told, rules: RuleBook) -> Seen:
    verdict = _verdict(told["door"], rules)
    codes = {one.code: one.severity.value for one in verdict.findings}
    stands = {True: "kept", False: "broken", None: "unknown"}
    limits = {
        one.limit.rule: f"{stands[one.within]} if it holds"
        if one.undecided
        else stands[one.within]
        if one.binding
        else "free"
        for one in verdict.limits
    }
    fields = {name: value for one in verdict.findings for name, value in one.fields.items()}
    return {
        "fields": {name: fields.get(name, "") for name in told.get("fields", ())},
        "hints": [one.hint.code for one in verdict.findings if one.hint is not None],
        "opening_n": round(verdict.opening_n, 1),
        "read_at": verdict.read_at,
        "limits": {name: limits.get(name, "absent") for name in told.get("limits", ())},
        "findings": {c: s for c, s in codes.items() if c in told.get("findings", ())},
        "without": [code for code in told.get("without", ()) if code not in codes],
        "opening_lbf": round(verdict.opening_lbf, 2),
        "latches": verdict.latches,
        "latches_to_pa": round(verdict.latches_to_pa, 1),
        "latching_size": verdict.size_latching or 0,
        "efficiency": round(verdict.efficiency, 2),
    }


def _of_setting(told: Told, rules: RuleBook) -> Seen:
    """What an opening's limits and its latching ask of a setting, before a body is known."""
    asked = told["within"]
    facts = Facts(_type(asked["opening"], rules), rules)
    own = asked.get("efficiency")
    efficiency = None if own is None else (lambda _: float(own))
    return {
        "settings": list(settings_within(facts, asked.get("share", 1.0), efficiency, rules)),
        "needed_nm": round(moment_needed(facts, rules), 2),
        "binding": [limit.rule for limit in limits_binding(facts, rules)],
    }


def _of_nominal(told: Told, rules: RuleBook) -> Seen:
    return {
        "latching_sizes": {
            mount: size_latching_nominal(needed, Mount(mount), rules)
            for mount, needed in told["nominal"].items()
        }
    }


def _of_arms(told: Told, rules: RuleBook) -> Seen:
    """A template of a sample catalogue, its placing changed where the case says so."""
    asked = told["arms"]
    catalog = sample(asked["catalog"])
    template = next(
        one for series in catalog.series for one in series.templates if one.id == asked["template"]
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
        "faults": [one.code for one in check_template(template, catalog.pieces, rules)],
    }


def _templates(asked: Told, template: Template) -> tuple[Template, ...]:
    series = sample(asked["catalog"]).series
    return next(one.templates for one in series if one.id == template.series)


def _of_facts(told: Told, rules: RuleBook) -> Seen:
    """What an opening is taken to be, and which of it is assumed."""
    asked = told["facts"]
    facts = Facts(_type(asked["opening"], rules), rules)
    read = {name: str(getattr(facts, name)) for name in asked if name != "opening"}
    assumed = {one.field: str(one.value) for one in facts.assumed}
    return {
        "facts": {"opening": asked["opening"], **read},
        "assumed": {name: assumed.get(name, "") for name in told.get("assumed", ())},
        "known": [name for name in told.get("known", ()) if name not in assumed],
    }


def _of_notes(told: Told, rules: RuleBook) -> Seen:
    """The columns that each note is told for, on one opening."""
    opening = Opening("101", _type(told["notes"]["opening"], rules))
    return {
        "told": {
            note: [
                one.fields["column"] for one in note_findings(replace(opening, note=note), rules)
            ]
            for note in told["told"]
        }
    }


def _of_figures(told: Told, rules: RuleBook) -> Seen:
    book = FinishBook(rules)
    seen: Seen = {}
    if "finishes" in told:
        seen["finishes"] = {text: book.read(text) or "" for text in told["finishes"]}
    if "described" in told:
        seen["described"] = {
            code: [one.us, one.base, one.look, one.name]
            for code in told["described"]
            if (one := book.finish(code)) is not None
        }
    if "closing" in told:
        said = {
            "sweep": sweep_text(rules, timed=True),
            "untimed": sweep_text(rules, timed=False),
            "latch": latch_text(rules),
            "delayed": delayed_text(rules),
            "gauge": gauge_point(rules),
            "gauge-uk": gauge_point(rules, "edge", en=True),
        }
        seen["closing"] = {
            name: text if text in said[name] else said[name]
            for name, text in told["closing"].items()
        }
    if "dearer" in told:
        pairs = [(Money(one, "USD"), Money(other, "USD")) for one, other, _ in told["dearer"]]
        seen["dearer"] = [
            [one.minor, other.minor, is_much_dearer(one, other, rules)] for one, other in pairs
        ]
    if "screws" in told:
        numbers = told["screws"]
        seen["screws"] = {one: wood_screw_diameter(int(one), rules) for one in numbers}
    if "nearest" in told:
        seen["nearest"] = {
            text: book.nearest(text.split()[0], text.split()[2:]) or "" for text in told["nearest"]
        }
    if "profiles" in told:
        seen["profiles"] = {text: _profile(text, rules) for text in told["profiles"]}
    if "adopted" in told:
        seen["adopted"] = {name: adopted(name, rules) for name in told["adopted"]}
    if "limits_of" in told:
        seen["limits_of"] = {
            name: [one.rule for one in limits_of(name, rules, told.get("on"))]
            for name in told["limits_of"]
        }
    if "bands" in told:
        seen["bands"] = {size: list(band(int(size), rules)) for size in told["bands"]}
    for name, figure in (("opening_most", opening_moment_most), ("least", least_efficiency)):
        if name in told:
            seen[name] = {size: figure(int(size), rules) for size in told[name]}
    return seen


def _profile(text: str, rules: RuleBook) -> str:
    try:
        return profile_name(text, rules)
    except CallError:
        return ""


FIGURES = (
    "finishes", "described", "nearest", "profiles", "limits_of", "bands", "opening_most", "screws",
    "closing", "dearer", "adopted",
)  # fmt: skip
DRIVERS: dict[str, Callable[[Told, RuleBook], Seen]] = {
    "opening": _of_opening,
    "sizes": _of_sizes,
    "door": _of_door,
    "facts": _of_facts,
    "notes": _of_notes,
    "arms": _of_arms,
    "within": _of_setting,
    "nominal": _of_nominal,
    **dict.fromkeys(FIGURES, _of_figures),
}
# What a case gives; all else in it is what it expects.
GIVEN = {
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
