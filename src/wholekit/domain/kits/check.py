"""A kit made by hand, held against what its opening demands: missing, wrong, surplus."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from wholekit.domain.catalog import Body, Catalog, Item, Role, Template
from wholekit.domain.catalog.words import FASTENER_ROLES
from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.kits.bodies import OVER_LIMIT_TIER, fit_of
from wholekit.domain.kits.build import build_kit
from wholekit.domain.kits.concerns import concerns
from wholekit.domain.kits.demand import (
    Demand,
    Place,
    body_pieces,
    demands,
    hands_wanted,
    leaf_hands,
    site_of,
)
from wholekit.domain.kits.kit import Kit, KitLine, Missing, Need, Unused, Use
from wholekit.domain.kits.made import MISSING_CODE
from wholekit.domain.kits.mounts import MountChoice, mounts_to_try
from wholekit.domain.kits.proof import Proof, accessible_settings, prove
from wholekit.domain.kits.shelf import BodyGroup, Shelf, SizeAsked
from wholekit.domain.kits.written import cost_of, list_price_of
from wholekit.domain.openings import Facts, OpeningType
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import size_opening


@dataclass(frozen=True, slots=True)
class HandLine:
    """One line of a kit made by hand, for one opening [count]."""

    item: Item
    catalog: Catalog
    quantity: int


def check_kit(
    opening_type: OpeningType, lines: Sequence[HandLine], shelf: Shelf, rules: RuleBook
) -> Kit:
    """The hand-made kit as a Kit: what it lacks is missing, what is wrong is a finding.

    The mount is the schedule's, or of those the opening may have the one the kit comes nearest
    to. A kit without a body is held against the roles of the kit the shelf would give. Boxed
    leftovers are listed as unused; an item or a count the opening does not need is a finding.
    """
    attempts: list[Kit] = []
    position = 0
    while True:
        attempt = _Held(opening_type, lines, shelf, rules)
        choices = mounts_to_try(attempt.facts, rules, attempt.findings)
        attempts.append(attempt.kit(choices[position]))
        position += 1
        if position == len(choices):
            break
    return min(attempts, key=lambda kit: (len(kit.missing), _stops(kit)))


def _stops(kit: Kit) -> int:
    return sum(finding.severity is Severity.STOP for finding in kit.findings)


class _Held:
    """One opening, one hand-made kit, one mount."""

    def __init__(
        self, opening_type: OpeningType, lines: Sequence[HandLine], shelf: Shelf, rules: RuleBook
    ) -> None:
        self.facts = Facts(opening_type, rules)
        self.findings: list[Finding] = []
        self._lines = lines
        self._shelf = shelf
        self._rules = rules
        self._left: list[dict[str, int]] = [
            {
                shelf.key(line.catalog, supply.piece): supply.quantity * line.quantity
                for supply in line.item.supplies
            }
            for line in lines
        ]
        self._uses: list[list[tuple[Use, Reason]]] = [[] for _ in lines]
        self._missing: list[Missing] = []

    def kit(self, choice: MountChoice) -> Kit:
        sizing = size_opening(self.facts, choice.mount, self._rules)
        self.findings += sizing.findings
        asked = (
            None
            if sizing.required is None
            else SizeAsked(
                max(sizing.required, self.facts.type.spring_size or 0),
                *accessible_settings(self.facts, sizing.setting_most, self._rules),
            )
        )
        chosen = self._body()
        setting: int | None = None
        over = False
        body: Body | None = None
        template = None
        if chosen is None:
            self._without_body()
        else:
            group, body = chosen
            setting, over = self._size(body, asked)
            self._listed(body)
            self._series(body)
            wanted = self._hands(group, body)
            need_body = Reason("need-body", {"mount": choice.mount}, ("joints-by-mount",))
            for piece, count in body_pieces(body, wanted).items():
                key = self._shelf.key(group.catalog, piece)
                self._take(Need(Role.BODY, count, (key,), need_body))
            template = self._demand(group, body, choice)
        self._finish()
        self._surplus()
        proof: Proof | None = None
        if chosen is not None and body is not None and template is not None and setting:
            catalog = chosen[0].catalog
            proof = prove(self.facts, body, template, setting, self._shelf, catalog, self._rules)
        lines = tuple(
            KitLine(
                line.item,
                line.quantity,
                tuple(use for use, _ in uses),
                tuple(reason for _, reason in uses),
            )
            for line, uses in zip(self._lines, self._uses, strict=True)
        )
        kit = Kit(
            type=self.facts.type,
            mount=choice.mount,
            body_side=choice.side,
            size_required=sizing.required,
            spring_size=setting,
            body=body,
            template=template,
            finish=self.facts.finish,
            weight=sizing.weight,
            assumed=(),
            lines=lines,
            unused=self._unused(),
            missing=tuple(self._missing),
            findings=(),
            why=(sizing.reason, choice.reason),
            proof=proof,
            list_price=list_price_of(lines, self._shelf.currency),
            cost=cost_of(lines, self._shelf.currency),
        )
        self.findings += concerns(kit, self.facts, asked, over, self._rules)
        assumed = self.facts.assumed
        if assumed:
            fields = tuple(one.field for one in assumed)
            self.findings.append(
                Finding("assumed", Severity.NOTE, {"fields": fields}, None, Hint("confirm-assumed"))
            )
        return replace(kit, assumed=assumed, findings=in_order(self.findings))

    def _body(self) -> tuple[BodyGroup, Body] | None:
        """The first body of the kit, with the group it belongs to."""
        for group in self._shelf.groups:
            for body in group.bodies:
                keys = {self._shelf.key(group.catalog, piece) for piece in body.pieces.values()}
                if any(keys & left.keys() for left in self._left):
                    return group, body
        return None

    def _size(self, body: Body, asked: SizeAsked | None) -> tuple[int, bool]:
        if asked is None:
            return body.size_from, False
        fit = fit_of(body, asked, self._rules.whole("fixed-size-next"))
        if fit is not None:
            return fit.setting, fit.tier >= OVER_LIMIT_TIER
        small = body.size_to < asked.target
        self.findings.append(
            Finding(
                "size-too-small" if small else "size-too-large",
                Severity.STOP,
                {
                    "wanted": asked.target,
                    "largest": body.size_to,
                    "smallest": body.size_from,
                },
                "size-combination" if small else "fixed-size-next",
                Hint("size-as-required", {"required": asked.target}),
            )
        )
        return body.size_to if small else body.size_from, False

    def _listed(self, body: Body) -> None:
        if self.facts.fire_minutes and not body.fire_listed:
            self.findings.append(
                Finding(
                    "not-fire-listed",
                    Severity.STOP,
                    {"minutes": self.facts.fire_minutes},
                    "fire-listed-closer",
                    Hint("choose-series"),
                )
            )

    def _series(self, body: Body) -> None:
        """A schedule that asks for a series wants its body."""
        asked = self.facts.type.series
        if asked is None:
            return
        known = self._shelf.series.get(asked.strip().lower())
        if known != body.series:
            self.findings.append(
                Finding(
                    "series-wrong",
                    Severity.STOP,
                    {"series": asked, "brought": body.series},
                    None,
                    Hint("one-series", {"series": asked}),
                )
            )

    def _hands(self, group: BodyGroup, body: Body) -> dict[str, int]:
        """Hands wanted; a body of the wrong hand is told as such and counted as what it is for.

        Where the hand is not known, the hand brought stands, and the question remains.
        """
        handed = "any" not in body.pieces
        wanted = hands_wanted(handed, self.facts, self.findings)
        if not handed:
            return wanted
        brought = {
            hand: self._held(self._shelf.key(group.catalog, piece))
            for hand, piece in body.pieces.items()
        }
        if not leaf_hands(self.facts):
            most = max(brought, key=lambda hand: brought[hand])
            return {most: self.facts.type.leaves}
        for hand, count in wanted.items():
            other = "left" if hand == "right" else "right"
            spare = brought[other] - wanted.get(other, 0)
            if brought[hand] < count and spare > 0:
                self.findings.append(
                    Finding(
                        "hand-wrong",
                        Severity.STOP,
                        {"sku": self._sku_of(Role.BODY), "brought": other, "needed": hand},
                        None,
                        Hint("exchange-hand", {"needed": hand}),
                    )
                )
        return wanted

    def _demand(self, group: BodyGroup, body: Body, choice: MountChoice) -> Template | None:
        templates = group.templates.get(choice.mount, ())
        if not templates or choice.mount not in body.mounts:
            self.findings.append(
                Finding(
                    "piece-wrong",
                    Severity.STOP,
                    {"sku": self._sku_of(Role.BODY), "role": Role.BODY},
                    None,
                    Hint("other-mount"),
                )
            )
            return None
        wanted = self.facts.opening_degrees
        reaching = [one for one in templates if one.greatest_angle >= wanted] or [templates[-1]]
        best: tuple[int, int, int] | None = None
        picked: tuple[Template, Demand] | None = None
        site = site_of(self.facts, choice.mount, self._rules)
        for position, template in enumerate(reaching):
            place = Place(self.facts, group, template, self._shelf, site)
            for demand in demands(place):
                key = (self._shortfall(demand), demand.stops, position)
                if best is None or key < best:
                    best, picked = key, (template, demand)
        if picked is None:
            return None
        template, demand = picked
        self.findings += demand.findings
        for need in demand.needs:
            self._take(need)
        return template

    def _shortfall(self, demand: Demand) -> int:
        return sum(
            1
            for need in demand.needs
            if max((self._held(piece) for piece in need.pieces), default=0) < need.quantity
        )

    def _held(self, piece: str) -> int:
        return sum(left.get(piece, 0) for left in self._left)

    def _take(self, need: Need) -> None:
        """Count a need off the kit's pieces; what it lacks is missing or the wrong kind."""
        key = max(need.pieces, key=self._held, default=None)
        wanted = need.quantity
        if key is not None:
            piece = self._shelf.pieces[key]
            for left, uses in zip(self._left, self._uses, strict=True):
                taken = min(wanted, left.get(key, 0))
                if taken:
                    left[key] -= taken
                    wanted -= taken
                    uses.append(
                        (
                            Use(need.role, piece.kind, piece.id, taken, piece.screw_number),
                            need.reason,
                        )
                    )
        if not wanted:
            return
        self._missing.append(Missing(need.role, wanted, need.kinds, need.reason))
        if need.role is Role.BODY and self._told("hand-wrong"):
            return
        wrong = self._wrong_kind(need) if need.role in FASTENER_ROLES else None
        if wrong is not None:
            self.findings.append(wrong)
            return
        self.findings.append(
            Finding(
                MISSING_CODE.get(need.role, "piece-missing"),
                Severity.STOP,
                {"role": need.role, "quantity": wanted, "kinds": need.kinds},
                None,
                Hint("add-piece", {"role": need.role, "quantity": wanted}),
            )
        )

    def _wrong_kind(self, need: Need) -> Finding | None:
        for line, left in zip(self._lines, self._left, strict=True):
            for key, quantity in left.items():
                piece = self._shelf.pieces[key]
                if quantity and piece.role is need.role and piece.kind not in need.kinds:
                    return Finding(
                        "fastener-wrong-host",
                        Severity.STOP,
                        {
                            "sku": line.item.sku,
                            "kind": piece.kind,
                            "kinds": need.kinds,
                            "part": need.reason.fields.get("host", ""),
                        },
                        "fasteners-by-host",
                        Hint("match-host", {"kinds": need.kinds}),
                    )
        return None

    def _without_body(self) -> None:
        """No body: held by role against the kit the shelf would give."""
        kit = build_kit(self.facts.type, self._shelf, self._rules)
        needed: dict[Role, tuple[int, Reason]] = {}
        for line in kit.lines:
            for use, reason in zip(line.uses, _padded(line), strict=True):
                count, _ = needed.get(use.role, (0, reason))
                needed[use.role] = (count + use.quantity, reason)
        if Role.BODY not in needed:
            reason = Reason("need-body", {"mount": kit.mount}, ("joints-by-mount",))
            needed = {Role.BODY: (self.facts.type.leaves, reason), **needed}
        for role, (count, reason) in needed.items():
            for left, uses in zip(self._left, self._uses, strict=True):
                for key in left:
                    piece = self._shelf.pieces[key]
                    if piece.role is role and count and left[key]:
                        taken = min(count, left[key])
                        left[key] -= taken
                        count -= taken
                        uses.append(
                            (Use(role, piece.kind, piece.id, taken, piece.screw_number), reason)
                        )
            if count:
                self._missing.append(Missing(role, count, (), reason))
                self.findings.append(
                    Finding(
                        MISSING_CODE.get(role, "piece-missing"),
                        Severity.STOP,
                        {"role": role, "quantity": count, "kinds": ()},
                        None,
                        Hint("add-piece", {"role": role, "quantity": count}),
                    )
                )

    def _finish(self) -> None:
        shown = {
            line.item.finish
            for line, uses in zip(self._lines, self._uses, strict=True)
            if any(self._shows(line, use) for use, _ in uses) and line.item.finish
        }
        if len(shown) > 1:
            self.findings.append(
                Finding(
                    "finish-mixed",
                    Severity.STOP,
                    {"finishes": tuple(sorted(shown))},
                    None,
                    Hint("one-finish", {"finish": self.facts.finish}),
                )
            )
        elif shown and self.facts.type.finish is not None and shown != {self.facts.finish}:
            self.findings.append(
                Finding(
                    "finish-wrong",
                    Severity.STOP,
                    {"finish": self.facts.finish, "shown": shown.pop()},
                    None,
                    Hint("one-finish", {"finish": self.facts.finish}),
                )
            )

    def _shows(self, line: HandLine, use: Use) -> bool:
        return self._shelf.pieces[self._shelf.key(line.catalog, use.piece)].shows

    def _surplus(self) -> None:
        for line, left, uses in zip(self._lines, self._left, self._uses, strict=True):
            spare = min(
                left[self._shelf.key(line.catalog, supply.piece)] // supply.quantity
                for supply in line.item.supplies
            )
            if not spare or any(
                finding.code == "fastener-wrong-host" and finding.fields["sku"] == line.item.sku
                for finding in self.findings
            ):
                continue
            pieces = [self._shelf.pieces[key] for key in left]
            if self._told("hand-wrong") and any(one.role is Role.BODY for one in pieces):
                continue
            roles = {missing.role for missing in self._missing}
            misfit = next((piece for piece in pieces if piece.role in roles), None)
            if not uses and misfit is not None and misfit.role not in FASTENER_ROLES:
                self.findings.append(
                    Finding(
                        "piece-wrong",
                        Severity.STOP,
                        {"sku": line.item.sku, "role": misfit.role},
                        None,
                        Hint("remove-piece"),
                    )
                )
            else:
                self.findings.append(
                    Finding(
                        "piece-surplus",
                        Severity.WARN,
                        {"sku": line.item.sku, "quantity": spare},
                        None,
                        Hint("remove-piece"),
                    )
                )

    def _told(self, code: str) -> bool:
        return any(finding.code == code for finding in self.findings)

    def _sku_of(self, role: Role) -> str:
        for line in self._lines:
            for supply in line.item.supplies:
                if self._shelf.pieces[self._shelf.key(line.catalog, supply.piece)].role is role:
                    return line.item.sku
        return ""

    def _unused(self) -> tuple[Unused, ...]:
        return tuple(
            Unused(
                line.item,
                self._shelf.pieces[key].role,
                self._shelf.pieces[key].id,
                quantity,
                self._shelf.pieces[key].kind,
            )
            for line, left in zip(self._lines, self._left, strict=True)
            for key, quantity in left.items()
            if quantity
        )


def _padded(line: KitLine) -> list[Reason]:
    """A reason for each use; uses of one need share theirs."""
    reasons = list(line.because)
    return [reasons[min(number, len(reasons) - 1)] for number in range(len(line.uses))]
