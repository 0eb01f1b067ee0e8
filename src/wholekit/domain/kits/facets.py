"""How an opening looks to what works out its kit: few facets, each of few fields.

A kit's outcome follows from these and from fields that are never asked for. So where none of them
changes under any answers to some fields, however they are put together, these answers change
nothing: that is the proof behind leaving a question out, without trying every combination.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from wholekit.domain.catalog import FastenerKind
from wholekit.domain.findings import Severity
from wholekit.domain.forces import limits_of
from wholekit.domain.kits.duty import duty_asked
from wholekit.domain.kits.hosts import host_of
from wholekit.domain.kits.mounts import mounts_to_try, swing_told
from wholekit.domain.kits.outcome import Outcomes
from wholekit.domain.kits.proof import limits_binding
from wholekit.domain.kits.required import required_size
from wholekit.domain.openings import BodySide, Facts, Mount, OpeningType, Stop
from wholekit.domain.openings.notes import SWING_UNKNOWN
from wholekit.domain.sizing import by_en, en_rows, leaf_weight, size_by_table

_MATERIALS = ("door", "frame")
_HOSTS = (*_MATERIALS, "door_reinforced", "frame_reinforced")
_PLACE = ("location", "fire_minutes", "accessible", "jurisdiction")
_WEIGHED = (*_MATERIALS, "core", "thickness", "weight", "jurisdiction")
_OF_EXITS = ("egress", "egress-other")
_LEAF = ("width", "height", "leaves")
# What the size required follows from beside what is asked; of the weighed fields only an estimate.
_ACTING = ("pressure", "wind", "seals", "latch", "spring_size", *_MATERIALS, "core", "thickness")

Look: TypeAlias = Callable[[Facts, Outcomes], object]
# Mounts that may be tried with their side, and stops told of them.
MountsLook: TypeAlias = tuple[tuple[tuple[Mount, BodySide], ...], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class Facet:
    """One side of an opening: what it is called, the fields it follows from, and how.

    also: fields it follows from that are never asked for. mount: the one in which alone it is
    looked at.
    """

    name: str
    fields: tuple[str, ...]
    look: Look
    also: tuple[str, ...] = ()
    mount: Mount | None = None

    def follows(self, given: Mapping[str, object]) -> tuple[tuple[str, object], ...]:
        """Those of some answers that it follows from."""
        reads = self.fields
        return tuple([answer for answer in given.items() if answer[0] in reads])


def _mounts(facts: Facts, outcomes: Outcomes) -> MountsLook:
    choices, findings = mounts_to_try(facts, outcomes.rules)
    stops = [finding.code for finding in findings if finding.severity is Severity.STOP]
    # That one follows from more: see the facet of its own.
    told = tuple(code for code in stops if code != SWING_UNKNOWN)
    return tuple((choice.mount, choice.side) for choice in choices), told


def _swing(facts: Facts, _: Outcomes) -> object:
    return bool(swing_told(facts))


def _hosts(facts: Facts, outcomes: Outcomes) -> object:
    hosts = [host_of(part, facts, outcomes.rules) for part in _MATERIALS]
    return tuple((host.kinds, host.sleeved) for host in hosts)


def _bolts(facts: Facts, outcomes: Outcomes) -> object:
    hosts = [host_of(part, facts, outcomes.rules) for part in _MATERIALS]
    bolted = any(FastenerKind.THROUGH_BOLT in host.kinds for host in hosts)
    return outcomes.leaf(facts) if bolted else None


def _rail_in(mount: Mount) -> Look:
    def look(facts: Facts, outcomes: Outcomes) -> object:
        rail = facts.top_rail
        return None if rail is None else outcomes.steps["rail", mount].reached(rail)

    return look


def _head_in(mount: Mount) -> Look:
    return lambda facts, outcomes: outcomes.steps["head", mount].reached(facts.head_face)


def _angle_in(mount: Mount) -> Look:
    return lambda facts, outcomes: outcomes.steps["angle", mount].passed(facts.opening_degrees)


def _stop(facts: Facts, _: Outcomes) -> object:
    return facts.stop is Stop.BLADE


def _reveal(facts: Facts, _: Outcomes) -> object:
    # Exactly: the arms, and what they leave of the power, follow from it.
    return facts.reveal


def _hinges(facts: Facts, outcomes: Outcomes) -> object:
    return outcomes.hinges(facts)


def _mass(facts: Facts, outcomes: Outcomes) -> object:
    rules = outcomes.rules
    # In US practice an estimate decides nothing, and a stated weight the size alone.
    if not by_en(facts, rules):
        return None
    return size_by_table(leaf_weight(facts, rules).mass.ug, en_rows("mass_kg", rules))


def _size(facts: Facts, outcomes: Outcomes) -> object:
    found = []
    for mount in Mount:
        sizing = required_size(facts, mount, outcomes.rules)
        stops = [each.code for each in sizing.findings if each.severity is Severity.STOP]
        sizes = sizing.required, sizing.tables, sizing.binding, sizing.setting_most
        found.append((*sizes, sizing.needed_nm, tuple(stops)))
    return tuple(found)


def _limits(facts: Facts, outcomes: Outcomes) -> object:
    rules, fire = outcomes.rules, facts.fire_minutes > 0
    applying = tuple(
        limit
        for limit in limits_of(facts.jurisdiction, rules)
        if limit.applies(facts.location, fire, facts.accessible, facts.egress)
    )
    binding = tuple(limit.rule for limit in limits_binding(facts, rules))
    # An exit's limits stop a kit only where somebody called it one.
    asks = facts.egress is None and any(limit.scope in _OF_EXITS for limit in applying)
    return tuple(limit.rule for limit in applying), binding, asks, by_en(facts, rules)


def _duty(facts: Facts, outcomes: Outcomes) -> object:
    return duty_asked(facts, outcomes.rules)


FACETS: tuple[Facet, ...] = (
    Facet("mounts", ("location", "swing", "hand"), _mounts, ("mount", "body_side", "grade")),
    Facet("swing", ("swing", "hand", "fire_minutes"), _swing, ("leaves",)),
    Facet("hosts", _HOSTS, _hosts),
    Facet("bolts", (*_HOSTS, "thickness"), _bolts),
    *(
        facet
        for mount in Mount
        for facet in (
            Facet(f"rail-{mount}", (*_MATERIALS, "top_rail"), _rail_in(mount), mount=mount),
            Facet(f"head-{mount}", (*_MATERIALS, "head_face"), _head_in(mount), mount=mount),
            Facet(f"angle-{mount}", ("opening_degrees",), _angle_in(mount), mount=mount),
        )
    ),
    Facet("stop", (*_MATERIALS, "stop"), _stop, mount=Mount.PARALLEL),
    Facet("reveal", ("reveal",), _reveal, mount=Mount.TOP_JAMB),
    Facet("hinges", ("hand",), _hinges, ("leaves",)),
    Facet("mass", _WEIGHED, _mass, _LEAF),
    Facet("size", (*_PLACE, "weight"), _size, (*_LEAF, *_ACTING)),
    Facet("limits", (*_PLACE, "egress"), _limits),
    Facet("duty", ("location", "traffic", "jurisdiction"), _duty, ("grade",)),
    Facet("fire", ("fire_minutes",), lambda facts, _: facts.fire_minutes > 0),
    Facet("finish", ("finish",), lambda facts, _: facts.finish),
)

# No outcome is another by these, but what is told of its holes is: how near an edge they come.
HEIGHTS = Facet(
    "heights",
    (*_MATERIALS, "top_rail", "head_face"),
    lambda facts, _: (facts.top_rail, facts.head_face),
)

_ASKED = frozenset(name for facet in FACETS for name in facet.fields)
# What else an opening is: none of it is asked for, so that it is the same whatever is answered.
OWN_FIELDS = tuple(
    name for name in OpeningType.__dataclass_fields__ if name not in _ASKED | {"unclear"}
)
