"""One kind of opening as a fitter needs it: positions, order of work, what is set and measured."""

from collections.abc import Iterable, Iterator, Sequence

from wholekit.documents.card_placing import (
    assumed_value,
    drilled_of,
    is_metric,
    leaves_of,
    placing_of,
)
from wholekit.documents.drawings import draw_card_plan, draw_elevation
from wholekit.documents.fill_drills import host_text, screws_of
from wholekit.documents.setting_card import GaugeReading, Part, Position, Setting, Step
from wholekit.domain.catalog import Body, FastenerKind, Role, Template
from wholekit.domain.forces import limits_of
from wholekit.domain.forces.case import LimitResult
from wholekit.domain.kits import foot_on_plate, host_field
from wholekit.domain.openings import (
    BodySide,
    Door,
    Frame,
    HoldOpen,
    LeafDanger,
    Location,
    Mount,
    active_leaf,
    leaf_dangers,
)
from wholekit.domain.quantities import Length
from wholekit.domain.quotes.offer import OfferAssumption, OfferKit, OfferOpening
from wholekit.domain.rules import RuleBook
from wholekit.wording import drilling
from wholekit.wording import fitting as words
from wholekit.wording import hands as hand_words
from wholekit.wording.calculated import force_text, forces_text
from wholekit.wording.cautions import BY_GLASS, DANGERS, cautions_for_fitters
from wholekit.wording.closing import LATCH_APART, closing_limit, gauge_point, latch_apart
from wholekit.wording.findings import without_text
from wholekit.wording.makers import template_title
from wholekit.wording.openings import size_text, summary
from wholekit.wording.speech import figure, tr
from wholekit.wording.to_customers import is_calculated
from wholekit.wording.units import (
    by,
    force_figures,
    force_limit,
    in_units_of,
    measure,
    pressure_text,
)
from wholekit.wording.words import MOUNTS, ROLES, field_name, value_text

# What the fitter sees on site and the office could only assume: it decides side, screws or holes.
_ON_SITE = frozenset(
    {
        "door", "frame", "swing", "body_side", "door_reinforced", "frame_reinforced", "thickness",
        "head_face", "top_rail", "reveal", "stop",
    }
)  # fmt: skip
LETTERS = "abcdefgh"
# Room for the drawings [mm]: beside one another, or a pair's across the page.
# A plan leaves room under it for the cautions, which else take a crowded card over its page.
ROOM = ((98.0, 66.0), (71.0, 50.0))
# 178 mm lie between the margins of A4, the narrower of the two sheets.
PAIR_ROOM = ((176.0, 50.0), (96.0, 50.0))
# Whose standards the rules go by where a schedule states no jurisdiction.
HOME = "US"
FOR_EXITS = ("egress", "egress-other")
# Findings of a kit that a force limit holds back; the kit tells them of no other.
HELD_TO_LIMIT = frozenset({"accessible-may-not-latch", "latch-power-short", "size-held-to-limit"})


def setting_of(
    openings: Sequence[OfferOpening],
    kit: OfferKit,
    body: Body,
    template: Template,
    rules: RuleBook,
    territory: str = "",
) -> Setting:
    """The setting of openings with that kit, in the language in use. Raises RuleError.

    territory: the customer's, by ISO 3166-1, empty where it is not known.
    """
    with in_units_of(kit.type.width):
        return _Worked(openings, kit, body, template, rules, territory).setting()


class _Worked:
    """A setting's parts, worked out from one kit."""

    def __init__(
        self,
        openings: Sequence[OfferOpening],
        kit: OfferKit,
        body: Body,
        template: Template,
        rules: RuleBook,
        territory: str,
    ) -> None:
        self._abroad = territory not in ("", HOME)
        self._openings = openings
        self._kit = kit
        self._body = body
        self._template = template
        self._rules = rules
        # Lengths and forces in the units of the opening's size, a code's own figure in brackets.
        self._metric = is_metric(kit)
        self._us = profile_of(kit, rules) not in _metric_profiles(rules)
        # What was assumed counts like what was stated, since the kit was chosen by it.
        self._accessible = bool(kit.type.accessible or assumed_value(kit, "accessible"))
        self._fire = bool(kit.type.fire_minutes or assumed_value(kit, "fire_minutes"))
        self._on_plate, self._drilled, self._no_drilling = drilled_of(kit)
        self._limits = tuple(binding_limits(kit))

    def setting(self) -> Setting:
        kit = self._kit
        leaves, hands = leaves_of(kit)
        positions = tuple(self._positions())
        fitting = self._fitting(positions)
        placing = placing_of(kit, self._template, leaves, self._rules)
        pair = len(leaves) == 2
        room = PAIR_ROOM if pair else ROOM
        held = _held_to_limit(kit)
        host = host_text(kit, self._rules, self._metric)
        before, after = words.steps_of(fitting, self._rules)
        return Setting(
            title=size_text(kit.type),
            marks=tuple(opening.place for opening in self._openings),
            quantities=tuple(opening.quantity for opening in self._openings),
            about=tuple(
                " · ".join(text for text in (opening.room, opening.note) if text)
                for opening in self._openings
            ),
            summary=summary(kit.type, arm_by_hand=bool(kit.idle_arms)),
            parts=tuple(_parts(kit)),
            mount=f"{tr(MOUNTS[kit.mount])}, {value_text('body_side', kit.body_side)}",
            hand=hand_words.hand_text(
                hands,
                placing.pull_side,
                leaves[0].hinge_right,
                [leaf.active for leaf in leaves],
            ),
            sides=hand_words.sides_text(hands, placing.pull_side),
            template=template_title(self._template),
            size_set=kit.spring_size,
            opening_degrees=int(self._template.greatest_angle),
            placing=tuple(Step(*step) for step in before),
            steps=tuple(Step(*step) for step in after),
            positions=positions,
            no_positions=tr(drilling.NO_DRILLING[self._no_drilling]).format(host=fitting.host)
            if self._no_drilling
            else "",
            sketches=drilling.sketches_text(placing.mount),
            fasteners=tuple(
                screws_of(kit, self._rules, on_plate=self._on_plate, metric=self._metric)
            ),
            hosts=(host,) if host else (),
            fire=tr(words.FIRE) if self._fire else "",
            stays_open=not self._fire
            and (kit.type.hold_open not in (None, HoldOpen.NONE) or bool(kit.idle_arms)),
            questions=tuple(
                tr("{field} assumed: {value}").format(
                    field=field_name(assumption.field), value=self._value(assumption)
                )
                for assumption in kit.assumed
                if assumption.field in _ON_SITE
                # Said, with what the holes need of it, by itself.
                and not (host and assumption.field == host_field(kit.mount))
            ),
            readings=tuple(self._readings()),
            gauges=(
                tr("Set the gauge {point}.").format(point=self._gauge()),
                *limits_without_latch(self._limits, self._rules, self._metric),
            ),
            calculated=tuple(self._calculated()),
            alarms=tuple(filter(None, self._alarms(hands, pair=pair))),
            warnings=(tr(self._of_latching()),) if held else (),
            cautions=cautions_for_fitters(kit.type, limited=bool(self._limits) and not held),
            practice=tr(words.PRACTICE),
            drills_from=tr(drilling.DRILLS_FROM),
            elevation=draw_elevation(placing, *room[0]),
            plan=draw_card_plan(placing, self._template.greatest_angle, *room[1]),
            leaves=tuple(leaf.plain_name for leaf in leaves) if pair else (),
            active=next((leaf.full_name for leaf in leaves if leaf.active), ""),
        )

    def _of_latching(self) -> str:
        """What is said of a kit that is held to a limit or too light; no less than the quote."""
        if any(is_calculated(each.code, each.fields) for each in self._kit.findings):
            return words.LIMITED_NO_LATCH if self._limits else words.DOES_NOT_LATCH
        return words.MAY_NOT_LATCH if self._limits else words.LATCH_IN_DOUBT

    def _alarms(self, hands: Sequence[str], *, pair: bool) -> Iterator[str]:
        kit = self._kit
        if not hands and not pair:
            yield tr(hand_words.HAND_UNKNOWN)
        for danger in dangers_of(self._openings[0], kit, self._rules):
            yield tr(DANGERS[danger])
        made = (kit.type.door or assumed_value(kit, "door"), kit.type.frame)
        if Door.ALUMINUM in made or Frame.ALUMINUM in made:
            yield tr(BY_GLASS)
        if pair:
            noted = {active_leaf(opening.note, self._rules) for opening in self._openings}
            hand = kit.type.hand
            for side in sorted(noted):
                yield hand_words.active_text(side, "" if hand is None else hand.value, hands)

    def _fitting(self, positions: tuple[Position, ...]) -> words.Fitting:
        kit = self._kit
        fields = {finding.code: finding.fields for finding in kit.findings}
        stop = fields.get("stop-needed")
        lines = [
            f"{letter}, {position.distance}; {position.measured_from}"
            for letter, position in zip(LETTERS, positions, strict=False)
        ]
        # By their order in `_positions`: the vertical dimension, then the horizontal one; last the
        # foot's pivot, and a bracket's from the leaf too.
        first, second = lines[:2] if self._drilled else ("", "")
        parallel = kit.mount is Mount.PARALLEL
        anchor, from_face = (lines[-2:] if parallel else (*lines[-1:], "")) if lines else ("", "")
        return words.Fitting(
            mount=kit.mount,
            vertical=first,
            horizontal=second,
            anchor=anchor,
            from_face=from_face,
            pinion=lines[0] if lines and self._drilled is None else "",
            push_side=kit.body_side is BodySide.PUSH,
            opens_to=int(self._template.greatest_angle),
            no_drilling=self._no_drilling,
            on_plate=self._on_plate,
            foot_plate=foot_on_plate(kit),
            spacer=any(use.role is Role.SPACER for line in kit.lines for use in line.uses),
            through=any(
                use.kind is FastenerKind.THROUGH_BOLT for line in kit.lines for use in line.uses
            ),
            size_to_set=kit.spring_size if self._body.adjustable else None,
            limit=", ".join(
                words.limit_text(_allowed(limit, self._metric), *_where(limit))
                for limit in self._limits
            ),
            timed=self._us and self._accessible,
            elsewhere=self._us and kit.type.jurisdiction is None and self._abroad,
            stop_at=figure(f"{float(stop['wanted']):g}°") if stop else "",
            windy="wind-needs-stop" in fields,
            backcheck=self._body.backcheck,
            delayed_action=self._body.delayed_action,
            pair=kit.type.leaves == 2,
            coordinator="pair-needs-coordinator" in fields,
            holds_open=any(
                use.role is Role.HOLD_OPEN_ARM for line in kit.lines for use in line.uses
            ),
            release=kit.type.hold_open is HoldOpen.RELEASE,
            old_holes=next((code for code in words.OLD_HOLES if code in fields), ""),
            holes=drilling.pattern_text(kit.type.existing_holes, self._metric),
        )

    def _positions(self) -> Iterator[Position]:
        """The vertical dimension first, then the horizontal one, then what follows."""
        if self._drilled is None and not self._on_plate:
            return
        template, top_jamb = self._template, self._kit.mount is Mount.TOP_JAMB
        hinge_line = tr("hinge center line")
        if self._drilled is not None:
            holes = self._drilled.holes
            rows = drilling.ROWS_OF_PLATE if self._on_plate else drilling.ROWS
            near = tr("nearest plate holes") if self._on_plate else tr("nearest body holes")
            edge = tr("lower edge of head, up") if top_jamb else tr("top of leaf, down")
            yield self._position(tr(rows[holes.row]), edge, holes.down)
            yield self._position(near, hinge_line, holes.from_hinge)
            yield self._position(
                tr("holes, along × across"), tr("center to center"), *holes.pattern
            )
        yield self._position(tr("pinion"), hinge_line, template.pinion_from_hinge)
        parallel = self._kit.mount is Mount.PARALLEL
        pivot = tr("bracket's pivot") if parallel else tr("shoe's pivot")
        yield self._position(pivot, hinge_line, template.anchor_from_hinge)
        if parallel:
            yield self._position(pivot, tr("push face of the leaf"), template.anchor_from_face)

    def _position(self, what: str, measured_from: str, *lengths: Length) -> Position:
        makers = [drilling.makers_figure(length, self._metric) for length in lengths]
        return Position(
            what,
            by([measure(length, self._metric) for length in lengths]),
            measured_from,
            by([text for text in makers if text]),
        )

    def _value(self, assumed: OfferAssumption) -> str:
        if isinstance(assumed.value, Length):
            return measure(assumed.value, self._metric)
        return value_text(assumed.field, assumed.value)

    def _readings(self) -> Iterator[GaugeReading]:
        for limit in self._limits:
            allowed, unit, own = force_figures(limit.allowed, limit.limit.unit, self._metric)
            at_most = tr("at most {figure}").format(figure=f"{allowed} ({own})" if own else allowed)
            yield GaugeReading(words.force_reading(unit, *_where(limit)), at_most)
        if not self._limits:
            in_pounds = self._us and not self._metric
            yield GaugeReading(words.force_reading("lbf" if in_pounds else "N", "", ""))
        timed = self._us and self._accessible
        yield GaugeReading(
            tr("Closing from 90°, seconds"), closing_limit(self._rules) if timed else ""
        )
        yield GaugeReading(tr("Greatest opening, degrees"))
        pair = self._kit.type.leaves == 2
        yield GaugeReading(
            tr("Latches from ajar, 3 times, both leaves")
            if pair
            else tr("Latches from ajar, 3 times")
        )
        if self._kit.type.hold_open is HoldOpen.RELEASE:
            yield GaugeReading(tr("Released by detector, and by loss of power"))

    def _gauge(self) -> str:
        read_at = self._kit.proof.verdict.read_at if self._kit.proof is not None else "handle"
        return gauge_point(self._rules, read_at, en=not self._us, metric=self._metric)

    def _calculated(self) -> Iterator[tuple[str, str]]:
        """Forces in the customer's units; a gauge must confirm them."""
        proof = self._kit.proof
        if proof is None:
            return
        verdict, kind = proof.verdict, self._kit.type

        def said(newtons: float) -> str:
            return force_text(newtons, kind) if self._us else figure(f"{newtons:.0f} N")

        yield from forces_text(proof, kind, said)
        latches = pressure_text(verdict.latches_to_pa)
        if without := without_text(verdict.unchecked):
            latches = tr("{pressure}, all {without}").format(pressure=latches, without=without)
        yield tr("latches against up to"), latches


def _metric_profiles(rules: RuleBook) -> tuple[str, ...]:
    value = rules["en-basis-jurisdictions"].value
    return tuple(str(profile) for profile in value) if isinstance(value, list | tuple) else ()


def dangers_of(opening: OfferOpening, kit: OfferKit, rules: RuleBook) -> tuple[LeafDanger, ...]:
    """What makes an opening's leaf dangerous to drill, by its schedule.

    Raises RuleError.
    """
    told = leaf_dangers((opening.room, opening.note), rules)
    if kit.type.existing_holes is None or LeafDanger.OLD in told:
        return told
    return (*told, LeafDanger.OLD)


def _parts(kit: OfferKit) -> Iterator[Part]:
    """All pieces but the screws that fix it, with their SKUs, each item once."""
    for line in kit.lines:
        roles = [use.role for use in line.uses if use.kind is None]
        if roles:
            named = ", ".join(dict.fromkeys(tr(ROLES[role]) for role in roles))
            count = f"{line.quantity} × " if line.quantity > 1 else ""
            yield Part(named, f"{count}{line.sku}")


def binding_limits(
    kit: OfferKit, uncalculated: Sequence[LimitResult] = ()
) -> Iterator[LimitResult]:
    """The force limits that bind the opening and that a gauge can check, each once.

    Those of exits count where the schedule says that it is one. uncalculated: what stands in for
    the limits of a kit without a calculation.
    """
    exits = FOR_EXITS if kit.type.egress else ()
    yield from _limits_of(kit, ("accessible", *exits), uncalculated)


def limits_without_latch(
    limits: Iterable[LimitResult], rules: RuleBook, metric: bool
) -> tuple[str, ...]:
    """What the limits that bind leave out, said of the one whose source says so; each once."""
    said = (
        latch_apart(rules, _allowed(result, metric))
        for result in limits
        if result.limit.rule == LATCH_APART
    )
    return tuple(dict.fromkeys(said))


def limits_if_exit(
    kit: OfferKit, uncalculated: Sequence[LimitResult] = ()
) -> Iterator[LimitResult]:
    """Those that would bind beside them if it is an exit; none where somebody said."""
    if kit.type.egress is not None:
        return
    known = [(limit.allowed, limit.limit.unit) for limit in binding_limits(kit, uncalculated)]
    for result in _limits_of(kit, FOR_EXITS, uncalculated):
        if (result.allowed, result.limit.unit) not in known:
            yield result


def uncalculated_limits(kit: OfferKit, rules: RuleBook) -> Iterator[LimitResult]:
    """The limits for such an opening where no closer was found to calculate with; their forces are
    None. None where its location is not known. Raises CallError, RuleError."""
    location = kit.type.location or assumed_value(kit, "location")
    if kit.proof is not None or not isinstance(location, Location):
        return
    fire = bool(kit.type.fire_minutes or assumed_value(kit, "fire_minutes"))
    accessible = bool(kit.type.accessible or assumed_value(kit, "accessible"))
    for limit in limits_of(str(profile_of(kit, rules)), rules):
        if limit.value is not None:
            binding = limit.applies(location, fire, accessible, kit.type.egress)
            yield LimitResult(limit, limit.value, None, 0.0, binding)


def profile_of(kit: OfferKit, rules: RuleBook) -> object:
    """The jurisdiction stated, else assumed, else the rule book's. Raises RuleError."""
    stated = kit.type.jurisdiction or assumed_value(kit, "jurisdiction")
    return stated or rules["default-jurisdiction"].value


def _limits_of(
    kit: OfferKit, scopes: Sequence[str], uncalculated: Sequence[LimitResult]
) -> Iterator[LimitResult]:
    seen = set()
    for result in uncalculated if kit.proof is None else kit.proof.verdict.limits:
        if not result.binding or result.limit.scope not in scopes:
            continue
        # The same figure may hold for two reasons; the gauge is read once.
        key = (result.allowed, result.limit.unit, result.limit.phase)
        if result.limit.unit in ("lbf", "N") and key not in seen:
            seen.add(key)
            yield result


def _held_to_limit(kit: OfferKit) -> bool:
    """Whether a force limit keeps the spring below what latching asks, or so light that it may."""
    return any(finding.code in HELD_TO_LIMIT for finding in kit.findings)


def _allowed(result: LimitResult, metric: bool) -> str:
    return force_limit(result.allowed, result.limit.unit, metric)


def _where(result: LimitResult) -> tuple[str, str]:
    """Where and over which part of the swing a limit holds: codes of `PHASES`."""
    return result.limit.at, result.limit.phase
