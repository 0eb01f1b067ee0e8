"""What the schedule leaves unknown, and the house default that stands in: never silently."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TypeVar

from wholekit.domain.openings.answers import unclear_of
from wholekit.domain.openings.handing import swing_of_hand
from wholekit.domain.openings.opening import OpeningType
from wholekit.domain.openings.words import (
    BodySide,
    Core,
    Door,
    Frame,
    HoldOpen,
    Location,
    Stop,
    Swing,
    Traffic,
)
from wholekit.domain.quantities import Length, parse_length
from wholekit.domain.reasons import Reason, fact
from wholekit.domain.rules import RuleBook

Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Assumption:
    """A house default that stood in for an unknown, and the rule that holds it."""

    field: str
    value: object
    rule: str


class Facts:
    """One opening type, read with house defaults; remembers each default that was needed.

    Only what the work asked for counts as assumed: a reveal nobody needed is no open question.
    """

    def __init__(self, opening_type: OpeningType, rules: RuleBook) -> None:
        self.type = opening_type
        self._rules = rules
        self._assumed: dict[str, Assumption] = {}

    @property
    def assumed(self) -> tuple[Assumption, ...]:
        """Every default that stood in, in the order of a schedule's columns."""
        columns = OpeningType.__dataclass_fields__
        return tuple(self._assumed[name] for name in columns if name in self._assumed)

    def afresh(self) -> "Facts":
        """The same opening with no default needed yet."""
        return Facts(self.type, self._rules)

    def need(self, assumptions: Iterable[Assumption]) -> None:
        """Count defaults as needed here too that work shared with another opening rests on."""
        for assumption in assumptions:
            self._assumed.setdefault(assumption.field, assumption)

    @property
    def edition(self) -> str:
        """The version of the rule book that the defaults are of."""
        return self._rules.version

    def why(self, name: str) -> Reason:
        """The leaf of a reason tree for one field: what the schedule says, or what was assumed."""
        assumption = self._assumed.get(name)
        if assumption:
            return Reason("assumed", {"field": name, "value": assumption.value}, (assumption.rule,))
        unclear = unclear_of(self.type, name)
        if unclear:
            value = getattr(self.type, name)
            return Reason("unclear", {"field": name, "value": value, "written": unclear.written})
        return fact(name, getattr(self.type, name))

    @property
    def door(self) -> Door:
        """The leaf's material; where only an aluminum frame is known, an aluminum leaf."""
        by_frame = "aluminum" if self.type.frame is Frame.ALUMINUM else "other"
        return self._known("door", "default-door", by_frame, Door)

    @property
    def frame(self) -> Frame:
        """The frame's material."""
        return self._known("frame", "default-frame", self.door, Frame)

    @property
    def core(self) -> Core:
        """The core of a wood leaf."""
        return self._known("core", "default-core", None, Core)

    @property
    def door_reinforced(self) -> bool:
        """Whether the leaf holds a screw where the closer goes (blocking, for wood)."""
        return self._known("door_reinforced", "default-door-reinforced", self.door, bool)

    @property
    def frame_reinforced(self) -> bool:
        """Whether the frame holds a machine screw where the closer goes."""
        return self._known("frame_reinforced", "default-frame-reinforced", self.frame, bool)

    @property
    def location(self) -> Location:
        """Interior or exterior."""
        return self._known("location", "default-location", None, Location)

    @property
    def swing(self) -> Swing | None:
        """In or out: given, read from the hand, or for an exterior opening the default.

        None where an interior schedule is silent: the mount then rests on its own default.
        """
        if self.type.swing is not None:
            return self.type.swing
        if self.type.hand is not None:
            return swing_of_hand(self.type.hand)
        if self.location is Location.EXTERIOR:
            return self._known("swing", "default-swing-exterior", None, Swing)
        return None

    def default_body_side(self) -> BodySide:
        """The side the closer works on where nothing in the schedule decides it."""
        return self._known("body_side", "default-body-side", None, BodySide)

    @property
    def fire_minutes(self) -> int:
        """The fire label [min]; 0 is none."""
        return self._known("fire_minutes", "default-fire-minutes", None, int)

    @property
    def accessible(self) -> bool:
        """Whether the opening force limit of an accessible route applies."""
        return self._known("accessible", "default-accessible", None, bool)

    @property
    def opening_degrees(self) -> float:
        """The angle the leaf must reach [°]."""
        return self._known("opening_degrees", "default-opening-degrees", None, float)

    @property
    def finish(self) -> str:
        """The finish of all that shows, as a code of the rule book."""
        return self._known("finish", "default-finish", None, str)

    @property
    def jurisdiction(self) -> str:
        """The profile of force limits that applies."""
        return self._known("jurisdiction", "default-jurisdiction", None, str)

    @property
    def thickness(self) -> Length:
        """The leaf's thickness [Length]."""
        return self._known("thickness", "default-thickness", None, parse_length)

    @property
    def top_rail(self) -> Length | None:
        """The height of the leaf's top rail [Length]; None for a flush leaf, where none limits."""
        if self.type.top_rail is None and self.door is not Door.ALUMINUM:
            return None
        return self._known("top_rail", "default-top-rail", None, parse_length)

    @property
    def head_face(self) -> Length:
        """The height of the frame head's face [Length]."""
        return self._known("head_face", "default-head-face", self.frame, parse_length)

    @property
    def ceiling_clearance(self) -> Length | None:
        """Free height above the leaf [Length]; None where the schedule is silent: ample."""
        return self.type.ceiling_clearance

    @property
    def reveal(self) -> Length:
        """Depth from the frame face to the leaf's push face [Length]."""
        return self._known("reveal", "default-reveal", None, parse_length)

    @property
    def stop(self) -> Stop:
        """The kind of stop under the head."""
        return self._known("stop", "default-stop", self.frame, Stop)

    @property
    def egress(self) -> bool | None:
        """Whether the opening is on a means of egress; None where the schedule is silent.

        No default stands in: either answer could be wrong at a cost, so it is asked.
        """
        return self.type.egress

    @property
    def traffic(self) -> Traffic:
        """How much the leaf is used."""
        return self._known("traffic", "default-traffic", None, Traffic)

    @property
    def hold_open(self) -> HoldOpen:
        """What is to keep the leaf open; a schedule that does not ask wants none."""
        return self.type.hold_open or HoldOpen.NONE

    def _known(self, name: str, rule: str, key: str | None, read: Callable[..., Value]) -> Value:
        given: Value | None = getattr(self.type, name)
        if given is not None:
            return given
        if name in self._assumed:
            value: Value = self._assumed[name].value  # type: ignore[assignment]  # put there below
            return value
        stored = self._rules[rule].value if key is None else self._rules.mapping(rule)[key]
        value = read(stored)
        self._assumed[name] = Assumption(name, value, rule)
        return value
