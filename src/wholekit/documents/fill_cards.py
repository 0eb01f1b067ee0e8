"""Setting cards: how the fitter drills, places, sets and checks each kind of opening of a job.

A kit that is stopped or incomplete gets a page HOLD in place of its card.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from wholekit.documents.card_sharing import shared_pages
from wholekit.documents.drawings import (
    Dimensions,
    DrawnLeaf,
    Placing,
    draw_card_plan,
    draw_elevation,
)
from wholekit.documents.fill import head_of
from wholekit.documents.papers import SettingCardPaper
from wholekit.documents.setting_card import HoldPage, Part, Position, SettingCard, Step
from wholekit.domain.catalog import Body, Holes, Role, Template, rows_between
from wholekit.domain.catalog.screws import wood_screw_diameter
from wholekit.domain.forces.case import LimitResult
from wholekit.domain.kits import Use, body_drilling, foot_on_plate
from wholekit.domain.openings import (
    BodySide,
    HingeSide,
    HoldOpen,
    Mount,
    Swing,
    hand_of,
    hinge_side_from_pull,
    swing_of_hand,
)
from wholekit.domain.quantities import Length
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferAssumption, OfferKit, OfferLine, OfferOpening
from wholekit.domain.rules import RuleBook
from wholekit.wording import fitting as words
from wholekit.wording.cautions import cautions_for_fitters
from wholekit.wording.closing import gauge_point
from wholekit.wording.findings import without_text
from wholekit.wording.offers import released_texts
from wholekit.wording.openings import piece_text, size_text, summary
from wholekit.wording.words import MOUNTS, ROLES, field_name, value_text

# What the fitter sees on site and the office could only assume.
_ON_SITE = frozenset(
    {"door_reinforced", "frame_reinforced", "thickness", "head_face", "top_rail", "reveal", "stop"}
)
_SHOWN_PARTS = (
    Role.BODY,
    Role.MAIN_ARM,
    Role.FOREARM,
    Role.HOLD_OPEN_ARM,
    Role.SHOE,
    Role.SOFFIT_BRACKET,
    Role.PLATE,
    Role.SPACER,
)
# Room for the drawings [mm]: beside one another, or a pair's across the page.
ROOM = ((98.0, 78.0), (71.0, 80.0))
# 178 mm lie between the margins of A4, the narrower of the two sheets.
PAIR_ROOM = ((176.0, 70.0), (150.0, 88.0))
PHASES = {
    ("edge", "motion"): " to 30°",
    ("edge", "beyond-30"): " from 30° to 60°",
    ("handle", "motion"): ", to set in motion",
    ("handle", "swing"): ", to swing fully open",
}
# Findings of a kit that a force limit holds back; the kit tells them of no other.
HELD_TO_LIMIT = frozenset({"accessible-may-not-latch", "latch-power-short", "size-held-to-limit"})
HINGE_LINE = "hinge centre line"
# The holes of a body or plate that can be drawn: those at the corners of its pattern.
CORNERS = 4
# Drawn where nothing is known [m]: the head's face, and the gap over the leaf.
SHOWN_FACE, GAP = 0.05, 0.003


def cards_paper(offer: Offer, rules: RuleBook, notice: str = "") -> SettingCardPaper:
    """A page for each kind of opening; openings whose every figure and caution is equal share one.

    Those with a stop that nobody released stand apart from their likes. What was issued before
    bodies were kept in the snapshot has pages HOLD. Raises RuleError.
    """
    alike: dict[tuple[object, ...], list[OfferOpening]] = {}
    for opening in offer.openings:
        key = (opening.kit, offer.is_held(opening), opening.released)
        alike.setdefault(key, []).append(opening)
    return SettingCardPaper(
        head_of(offer, notice=notice),
        shared_pages(
            [_page(offer, openings, rules) for openings in alike.values()],
            tuple(opening.place for opening in offer.openings),
        ),
    )


def _page(offer: Offer, openings: list[OfferOpening], rules: RuleBook) -> SettingCard | HoldPage:
    kit = offer.kit_of(openings[0])
    if offer.is_held(openings[0]) or kit.missing or kit.body is None or kit.template is None:
        return _hold(offer, openings)
    card = _Card(openings, kit, kit.body, kit.template, rules).card()
    released = tuple(
        f"Stop released by name: {text}" for text in released_texts(offer, openings[0])
    )
    return replace(card, warnings=(*released, *card.warnings))


def _hold(offer: Offer, openings: list[OfferOpening]) -> HoldPage:
    first = openings[0]
    kit, said = offer.kit_of(first), offer.words.kits[first.kit]
    reasons = [said.findings[at][:2] for at in offer.open_stops(first)]
    reasons += [
        (f"Missing: {missing.quantity} × {piece}; {because}.", "")
        for missing, (piece, because) in zip(kit.missing, said.missing, strict=True)
    ]
    if not reasons:
        reasons = [("No closer and template were found for this opening.", "")]
    return HoldPage(
        marks=tuple(opening.place for opening in openings),
        quantity=sum(opening.quantity for opening in openings),
        title=_title(kit),
        summary=summary(kit.type, arm_by_hand=bool(kit.idle_arms)),
        reasons=tuple(dict.fromkeys(reasons)),
    )


@dataclass(frozen=True, slots=True)
class _Drilled:
    """Holes that may be drilled by: columns from the hinge line, rows from the edge [Length]."""

    holes: Holes
    columns: tuple[Length, Length]
    rows: tuple[Length, Length]


def _drilled(kit: OfferKit) -> tuple[bool, _Drilled | None, str]:
    """Whether a plate carries the body, the holes to drill, and else why none may be given."""
    drilling = body_drilling(kit)
    on_plate = drilling is not None and drilling.on_plate
    if drilling is None or drilling.holes is None:
        return on_plate, None, "on-plate" if on_plate else "row-not-stated"
    holes = drilling.holes
    along, across = holes.pattern
    rows = rows_between(holes.down, across, holes.row, kit.mount)
    # A fitter drills what a card says. A pattern that it cannot show truly, or a hole off the leaf
    # or frame, gets no figure at all.
    if holes.count != CORNERS or rows[0].nm <= 0:
        why = "not-four-holes" if holes.count != CORNERS else "off-host"
        return on_plate, None, "on-plate" if on_plate else why
    return on_plate, _Drilled(holes, (holes.from_hinge, holes.from_hinge + along), rows), ""


class _Card:
    """One card's parts, worked out from one kit."""

    def __init__(
        self,
        openings: list[OfferOpening],
        kit: OfferKit,
        body: Body,
        template: Template,
        rules: RuleBook,
    ) -> None:
        self._openings = openings
        self._kit = kit
        self._body = body
        self._template = template
        self._rules = rules
        # Lengths as the schedule wrote them; forces as the limits that apply are written.
        self._metric = kit.type.width.unit not in ("in", "ft")
        self._us = self._profile() not in _metric_profiles(rules)
        # What was assumed counts like what was stated, since the kit was chosen by it.
        self._accessible = bool(kit.type.accessible or _assumed(kit, "accessible"))
        self._fire = bool(kit.type.fire_minutes or _assumed(kit, "fire_minutes"))
        self._on_plate, self._drilled, self._no_drilling = _drilled(kit)
        self._limits = tuple(_binding(kit))

    def _profile(self) -> object:
        stated = self._kit.type.jurisdiction or _assumed(self._kit, "jurisdiction")
        return stated or self._rules["default-jurisdiction"].value

    def card(self) -> SettingCard:
        kit = self._kit
        pull = kit.body_side is BodySide.PULL
        leaves, hands = _leaves(kit, pull)
        positions = tuple(self._positions())
        fitting = self._fitting(positions)
        host = {"host": fitting.host}
        placing = self._placing(leaves, pull)
        pair = len(leaves) == 2
        room = PAIR_ROOM if pair else ROOM
        held = _held_to_limit(kit)
        return SettingCard(
            title=_title(kit),
            marks=tuple(opening.place for opening in self._openings),
            quantity=sum(opening.quantity for opening in self._openings),
            summary=summary(kit.type, arm_by_hand=bool(kit.idle_arms)),
            parts=tuple(_parts(kit)),
            mount=f"{MOUNTS[kit.mount]}, {value_text('body_side', kit.body_side)}",
            hand=words.hand_text(hands, pull, leaves[0].hinge_right),
            size_set=kit.spring_size,
            opening_degrees=int(self._template.greatest_angle),
            steps=tuple(Step(*step) for step in words.steps_of(fitting, self._rules)),
            positions=positions,
            no_positions=words.NO_DRILLING[self._no_drilling].format_map(host)
            if self._no_drilling
            else "",
            sketches=words.sketches_text(placing.foot),
            fasteners=tuple(
                self._fastener(line, use)
                for line in kit.lines
                for use in line.uses
                if use.kind is not None
            ),
            fire=words.FIRE if self._fire else "",
            questions=tuple(
                f"{field_name(assumption.field)} assumed: {self._value(assumption)}"
                for assumption in kit.assumed
                if assumption.field in _ON_SITE
            ),
            readings=tuple(self._readings()),
            gauge=f"Set the gauge {self._gauge()}.",
            calculated=tuple(self._calculated()),
            warnings=(
                *self._hand_warnings(hands, pair),
                *((words.MAY_NOT_LATCH,) if held else ()),
            ),
            cautions=cautions_for_fitters(kit.type, limited=bool(self._limits) and not held),
            practice=words.PRACTICE,
            elevation=draw_elevation(placing, *room[0]),
            plan=draw_card_plan(placing, self._template.greatest_angle, *room[1]),
            wide=pair,
        )

    def _fitting(self, positions: tuple[Position, ...]) -> words.Fitting:
        kit = self._kit
        fields = {finding.code: finding.fields for finding in kit.findings}
        stop = fields.get("stop-needed")
        # By their order in `_positions`: the vertical dimension, then the horizontal one.
        first, second = (
            (position.distance for position in positions[:2]) if self._drilled else ("", "")
        )
        return words.Fitting(
            mount=kit.mount,
            vertical=first,
            horizontal=second,
            no_drilling=self._no_drilling,
            on_plate=self._on_plate,
            foot_plate=foot_on_plate(kit),
            spacer=any(use.role is Role.SPACER for line in kit.lines for use in line.uses),
            size_to_set=kit.spring_size if self._body.adjustable else None,
            limit=", ".join(f"{_allowed(limit)}{_phase(limit)}" for limit in self._limits),
            timed=self._us and self._accessible,
            stop_at=f"{float(stop['wanted']):g}°" if stop else "",
            backcheck=self._body.backcheck,
            delayed_action=self._body.delayed_action,
            pair=kit.type.leaves == 2,
            coordinator="pair-needs-coordinator" in fields,
            release=kit.type.hold_open is HoldOpen.RELEASE,
            old_holes=next((code for code in words.OLD_HOLES if code in fields), ""),
            holes=words.pattern_text(kit.type.existing_holes, self._metric),
        )

    def _positions(self) -> Iterator[Position]:
        """The vertical dimension first, then the horizontal one, then what follows."""
        if self._drilled is None and not self._on_plate:
            return
        template, top_jamb = self._template, self._kit.mount is Mount.TOP_JAMB
        if self._drilled is not None:
            holes, part = self._drilled.holes, "plate" if self._on_plate else "body"
            edge = "lower edge of head, up" if top_jamb else "top of leaf, down"
            yield self._position(words.ROWS[holes.row].format(part=part), edge, holes.down)
            yield self._position(f"nearest {part} holes", HINGE_LINE, holes.from_hinge)
            yield self._position("holes, along × across", "centre to centre", *holes.pattern)
        yield self._position("pinion", HINGE_LINE, template.pinion_from_hinge)
        parallel = self._kit.mount is Mount.PARALLEL
        pivot = "bracket's pivot" if parallel else "shoe's pivot"
        yield self._position(pivot, HINGE_LINE, template.anchor_from_hinge)
        if parallel:
            yield self._position(pivot, "push face of the leaf", template.anchor_from_face)

    def _position(self, what: str, measured_from: str, *lengths: Length) -> Position:
        makers = [words.makers_figure(length, self._metric) for length in lengths]
        return Position(
            what,
            words.by([words.measure(length, self._metric) for length in lengths]),
            measured_from,
            words.by([text for text in makers if text]),
        )

    def _value(self, assumed: OfferAssumption) -> str:
        if isinstance(assumed.value, Length):
            return words.measure(assumed.value, self._metric)
        return value_text(assumed.field, assumed.value)

    def _readings(self) -> Iterator[str]:
        for limit in self._limits:
            yield f"Force to open{_phase(limit)}: no more than {_allowed(limit)}"
        if not self._limits:
            yield f"Force to open, {'lbf' if self._us else 'N'}"
        timed = self._us and self._accessible
        yield f"Closing from 90°{' to 12°' if timed else ''}, seconds"
        yield "Greatest opening, degrees"
        both = ", both leaves" if self._kit.type.leaves == 2 else ""
        yield f"Latches from ajar, 3 times{both}"
        if self._kit.type.hold_open is HoldOpen.RELEASE:
            yield "Released by detector, and by loss of power"

    def _gauge(self) -> str:
        read_at = self._kit.proof.verdict.read_at if self._kit.proof is not None else "handle"
        return gauge_point(self._rules, read_at, en=not self._us)

    def _calculated(self) -> Iterator[tuple[str, str]]:
        """Forces in the customer's units; a gauge must confirm them."""
        proof = self._kit.proof
        if proof is None:
            return
        verdict = proof.verdict
        newtons = f"{verdict.opening_n:.0f} N"
        value = f"{verdict.opening_lbf:.1f} lbf ({newtons})" if self._us else newtons
        where = "leading edge" if verdict.read_at == "edge" else "handle"
        without = without_text(verdict.unchecked)
        end = f", both {without}" if without else ""
        yield f"force at the {where} to set in motion", value
        yield "latches against up to", f"{verdict.latches_to_pa:.0f} Pa{end}"

    def _placing(self, leaves: tuple[DrawnLeaf, ...], pull: bool) -> Placing:
        kit, template, drilled = self._kit, self._template, self._drilled
        arms = kit.proof.arms if kit.proof is not None else None
        face = kit.type.head_face or _assumed(kit, "head_face")
        rail = kit.type.top_rail or _assumed(kit, "top_rail")
        # The rule's figure is in inches.
        stop = arms.stop if arms is not None else self._rules.number("stop-height") * 0.0254
        return Placing(
            mount=kit.mount,
            pull_side=pull,
            leaves=leaves,
            pinion=template.pinion_from_hinge.in_metres,
            anchor=template.anchor_from_hinge.in_metres,
            head_face=face.in_metres if isinstance(face, Length) else SHOWN_FACE,
            stop=stop,
            gap=GAP,
            words=self._dimensions(),
            columns=_metres(drilled.columns) if drilled else None,
            rows=_metres(drilled.rows) if drilled else None,
            located=drilled.holes.down.in_metres if drilled else 0.0,
            on_plate=self._on_plate,
            rail=rail.in_metres if self._on_plate and isinstance(rail, Length) else None,
            unit="; dimensions in mm" if self._metric else "",
            arms=arms,
        )

    def _dimensions(self) -> Dimensions:
        """Numbers for the drawings; none at all where the card gives no position."""
        if self._drilled is None and not self._on_plate:
            return Dimensions()
        template = self._template
        pinion, anchor = (
            self._short(length)
            for length in (template.pinion_from_hinge, template.anchor_from_hinge)
        )
        if self._drilled is None:
            return Dimensions(pinion=pinion, anchor=anchor)
        holes = self._drilled.holes
        return Dimensions(
            first=self._short(holes.from_hinge),
            along=self._short(holes.pattern[0]),
            vertical=self._short(holes.down),
            across=self._short(holes.pattern[1]),
            pinion=pinion,
            anchor=anchor,
        )

    def _short(self, length: Length) -> str:
        return words.on_drawing(length, self._metric)

    def _fastener(self, line: OfferLine, use: Use) -> str:
        """`4 wood screws for the body, No. 14 (.242 in)`, and whether a plate brings them."""
        text = piece_text(use.role, use.kind, use.quantity)
        if use.screw_number is not None:
            inches = wood_screw_diameter(use.screw_number, self._rules)
            text += f", {words.screw_size(use.screw_number, inches, self._metric)}"
        onto_plate = use.role is not Role.PLATE_FASTENER and any(
            other.role is Role.PLATE for other in line.uses
        )
        return f"{text}, from the plate's box" if onto_plate else text

    def _hand_warnings(self, hands: tuple[str, ...], pair: bool) -> tuple[str, ...]:
        if pair or hands:
            return ()
        return (words.HAND_UNKNOWN,)


def _title(kit: OfferKit) -> str:
    pair = "pair, " if kit.type.leaves == 2 else ""
    return f"{MOUNTS[kit.mount].capitalize()}, {pair}{size_text(kit.type)}"


def _metric_profiles(rules: RuleBook) -> tuple[str, ...]:
    value = rules["en-basis-jurisdictions"].value
    return tuple(str(profile) for profile in value) if isinstance(value, list | tuple) else ()


def _assumed(kit: OfferKit, field: str) -> object:
    return next((assumption.value for assumption in kit.assumed if assumption.field == field), None)


def _leaves(kit: OfferKit, pull: bool) -> tuple[tuple[DrawnLeaf, ...], tuple[str, ...]]:
    """The leaves as the fitter sees them from the closer's side, left first, and their hands.

    No hand stated: one leaf drawn with its hinges at the left, and no hand; a pair whose swing is
    not known either has empty ones.
    """
    opening = kit.type
    if opening.leaves == 2:
        swing = _swing(kit)
        hands = tuple(
            "" if swing is None else hand_of(_from_pull(right, pull), swing).value
            for right in (False, True)
        )
        names = tuple(
            f"; {side} leaf {hand}".rstrip()
            for side, hand in zip((HingeSide.LEFT, HingeSide.RIGHT), hands, strict=True)
        )
        return (DrawnLeaf(names[0], False), DrawnLeaf(names[1], True)), hands
    if opening.hand is None:
        return (DrawnLeaf("; hand not stated", False),), ()
    right = hinge_side_from_pull(opening.hand) is HingeSide.RIGHT
    return (DrawnLeaf(f"; {opening.hand.value}", right if pull else not right),), (
        opening.hand.value,
    )


def _from_pull(hinge_right: bool, pull: bool) -> HingeSide:
    """The hinge side from the pull side, of a leaf seen from either."""
    return HingeSide.RIGHT if hinge_right is pull else HingeSide.LEFT


def _swing(kit: OfferKit) -> Swing | None:
    if kit.type.swing is not None:
        return kit.type.swing
    if kit.type.hand is not None:
        return swing_of_hand(kit.type.hand)
    assumed = _assumed(kit, "swing")
    return assumed if isinstance(assumed, Swing) else None


def _parts(kit: OfferKit) -> Iterator[Part]:
    """Body, arms, plates and spacers with their SKUs, each item once."""
    for line in kit.lines:
        roles = [use.role for use in line.uses if use.role in _SHOWN_PARTS]
        if roles:
            named = ", ".join(dict.fromkeys(ROLES[role] for role in roles))
            count = f"{line.quantity} × " if line.quantity > 1 else ""
            yield Part(named, f"{count}{line.sku}", line.description)


def _binding(kit: OfferKit) -> Iterator[LimitResult]:
    """The force limits that bind the opening and that a gauge can check, each once.

    Those of exits count where the schedule says that it is one.
    """
    if kit.proof is None:
        return
    seen = set()
    for result in kit.proof.verdict.limits:
        for_exits = result.limit.scope in ("egress", "egress-other") and kit.type.egress is True
        if not result.binding or not (result.limit.scope == "accessible" or for_exits):
            continue
        # The same figure may hold for two reasons; the gauge is read once.
        key = (result.allowed, result.limit.unit, result.limit.phase)
        if result.limit.unit in ("lbf", "N") and key not in seen:
            seen.add(key)
            yield result


def _held_to_limit(kit: OfferKit) -> bool:
    """Whether a force limit keeps the spring below what latching asks, or so light that it may."""
    return any(finding.code in HELD_TO_LIMIT for finding in kit.findings)


def _allowed(result: LimitResult) -> str:
    return f"{result.allowed:g} {result.limit.unit}"


def _phase(result: LimitResult) -> str:
    """Over which part of the swing a limit holds; those at the edge are the UK's two angles."""
    return PHASES.get((result.limit.at, result.limit.phase), "")


def _metres(pair: tuple[Length, Length]) -> tuple[float, float]:
    return pair[0].in_metres, pair[1].in_metres
