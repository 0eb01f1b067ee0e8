"""From an opening type to its kit: mounts tried in order, the least cover found, findings told."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import TypeAlias

from wholekit.domain.catalog import Body, Role, Template
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.kits.bodies import OVER_LIMIT_TIER, eligible_bodies
from wholekit.domain.kits.concerns import concerns
from wholekit.domain.kits.cover import Alternative, Cover, CoverNeed, least_cover
from wholekit.domain.kits.demand import (
    Demand,
    Place,
    Site,
    body_pieces,
    demands,
    hands_wanted,
    site_of,
)
from wholekit.domain.kits.floors import floor_of
from wholekit.domain.kits.kit import Kit, KitLine, Missing, Unused, Use
from wholekit.domain.kits.mounts import MountChoice, mounts_to_try
from wholekit.domain.kits.proof import Proof, accessible_settings, prove
from wholekit.domain.kits.shelf import Eligible, Shelf, SizeAsked
from wholekit.domain.openings import Facts, HoldOpen, Mount, OpeningType
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import Sizing, size_opening

_ROLE_ORDER = {role: position for position, role in enumerate(Role)}
MISSING_CODE = {
    Role.SOFFIT_BRACKET: "bracket-missing",
    Role.BODY_FASTENER: "fastener-missing",
    Role.SHOE_FASTENER: "fastener-missing",
    Role.BRACKET_FASTENER: "fastener-missing",
    Role.COVER: "cover-missing",
}


def build_kit(opening_type: OpeningType, shelf: Shelf, rules: RuleBook) -> Kit:
    """The complete kit of one opening type from the shelf, by the rule book.

    Where the schedule names no mount, the mounts of the body's side are tried in the rule book's
    order, and the first that gives a complete kit without a stop is taken; if none does, the one
    with the least missing. The same input gives the same kit. Raises RuleError.
    """
    best: Kit | None = None
    position = 0
    while True:
        attempt = _Attempt(opening_type, shelf, rules)
        choices = mounts_to_try(attempt.facts, rules, attempt.findings)
        kit = attempt.kit(choices[position])
        if best is None or _trouble(kit) < _trouble(best):
            best = kit
        position += 1
        if not _trouble(best)[0] or position == len(choices):
            return best


def _trouble(kit: Kit) -> tuple[int, int]:
    stops = sum(finding.severity is Severity.STOP for finding in kit.findings)
    return len(kit.missing) + stops, len(kit.missing)


@dataclass(frozen=True, slots=True)
class _Found:
    """The best cover so far, with where and for what it was found."""

    cover: Cover
    demand: Demand
    body: Body
    setting: int
    template: Template
    tier: int


_Candidate: TypeAlias = tuple[Eligible, Template, Demand]
# By site stops, size tier and preference: candidates with their floors.
_Aside: TypeAlias = dict[tuple[int, int, int], list[tuple[int, _Candidate]]]


def _stops(findings: Sequence[Finding]) -> int:
    return sum(finding.severity is Severity.STOP for finding in findings)


def _fewer_missing(first: _Found | None, second: _Found | None) -> _Found | None:
    if first is None or second is None:
        return first or second
    return second if len(second.cover.missing) < len(first.cover.missing) else first


class _Attempt:
    """One mount's worth of work on one opening type."""

    def __init__(self, opening_type: OpeningType, shelf: Shelf, rules: RuleBook) -> None:
        self.facts = Facts(opening_type, rules)
        self.findings: list[Finding] = []
        self._shelf = shelf
        self._rules = rules
        self._met: Site | None = None

    def _site(self, mount: Mount) -> Site:
        if self._met is None:
            self._met = site_of(self.facts, mount, self._rules)
        return self._met

    def kit(self, choice: MountChoice) -> Kit:
        """The best kit in a mount; an attempt serves for one."""
        sizing = size_opening(self.facts, choice.mount, self._rules)
        self.findings += sizing.findings
        asked = self._asked(sizing)
        if asked is None:
            return self._assemble(choice, sizing, None, self.facts.finish, None, None)
        finish, found = self._find(asked, choice.mount)
        proof = self._prove(found)
        if proof is not None and self._must_rise(proof, found, asked):
            sizing, asked, finish, found, proof = self._risen(
                choice.mount, sizing, asked, finish, found, proof
            )
        return self._assemble(choice, sizing, asked, finish, found, proof)

    def _find(self, asked: SizeAsked, mount: Mount) -> tuple[str, _Found | None]:
        """The best kit for a size, in the finish wanted or the nearest."""
        wanted = self.facts.finish
        eligible = eligible_bodies(
            self.facts, mount, asked, self._shelf, self._rules, self.findings
        )
        found = self._search(eligible, mount, wanted)
        return self._other_finish(eligible, mount, wanted, found)

    def _prove(self, found: _Found | None) -> Proof | None:
        if found is None:
            return None
        return prove(
            self.facts,
            found.body,
            found.template,
            found.setting,
            self._shelf,
            self._shelf.catalog_of(found.cover.ranks[0]),
            self._rules,
        )

    def _must_rise(self, proof: Proof, found: _Found | None, asked: SizeAsked) -> bool:
        """Whether a larger size would latch where this one does not, and no limit forbids it."""
        latching = proof.verdict.size_latching
        return (
            not proof.verdict.latches
            and asked.setting_most is None
            and found is not None
            and latching is not None
            and latching > found.setting
        )

    def _risen(
        self,
        mount: Mount,
        sizing: Sizing,
        asked: SizeAsked,
        finish: str,
        found: _Found | None,
        proof: Proof,
    ) -> tuple[Sizing, SizeAsked, str, _Found | None, Proof]:
        """All of it for the size that latches, if such a kit is complete and brings no new stop.

        A limit that no closer of that size could keep, that of an exit among them, is such a stop:
        the tables' size then stands, and the finding says that it may not latch.
        """
        latching = proof.verdict.size_latching
        assert latching is not None  # noqa: S101  # asked for so
        before = self.findings
        self.findings = list(before)
        larger = replace(asked, target=latching)
        new_finish, new_found = self._find(larger, mount)
        new_proof = self._prove(new_found)
        if (
            new_found is None
            or new_proof is None
            or new_found.cover.missing
            or not new_proof.verdict.latches
            or _stops(self.findings) > _stops(before)
            or _stops(new_proof.verdict.findings) > _stops(proof.verdict.findings)
        ):
            self.findings = before
            return sizing, asked, finish, found, proof
        reason = Reason(
            "size-by-force",
            {"size": latching, "needed": f"{proof.verdict.needed_nm:.1f}"},
            ("en1154-table-1",),
            tuple(
                self.facts.why(name)
                for name in ("pressure", "wind", "width", "height")
                if getattr(self.facts.type, name) is not None
            ),
        )
        risen = replace(
            sizing,
            required=latching,
            reason=Reason(
                "size-required",
                {"size": latching},
                sizing.reason.rules,
                (reason, *sizing.reason.because),
            ),
        )
        return risen, larger, new_finish, new_found, new_proof

    def _asked(self, sizing: Sizing) -> SizeAsked | None:
        if sizing.required is None:
            return None
        asked = self.facts.type.spring_size
        most, best = accessible_settings(self.facts, sizing.setting_most, self._rules)
        if asked is not None and asked < sizing.required and most is None:
            self.findings.append(
                Finding(
                    "size-too-small",
                    Severity.STOP,
                    {"wanted": sizing.required, "largest": asked},
                    "size-combination",
                    Hint("size-as-required", {"required": sizing.required}),
                )
            )
        allowed = sizing.required + self._rules.whole("fixed-size-next")
        if asked is not None and asked > allowed:
            self.findings.append(
                Finding(
                    "size-too-large",
                    Severity.WARN,
                    {"wanted": sizing.required, "smallest": asked, "largest": asked},
                    "fixed-size-next",
                    Hint("size-as-required", {"required": sizing.required}),
                )
            )
        return SizeAsked(max(sizing.required, asked or 0), most, best)

    def _search(self, eligible: Sequence[Eligible], mount: Mount, finish: str) -> _Found | None:
        """By size tier and house preference; in each, families by their floors, the least first.

        A complete kit without a stop on site ends the search. Otherwise families with site stops
        come next, fewest stops first; if no kit is complete, the one with the least missing.
        """
        aside: _Aside = {}
        best: _Found | None = None
        for _, bucket in groupby(eligible, key=lambda one: (one.tier, one.group.preference)):
            found = self._cheapest(list(bucket), mount, finish, aside)
            if found is not None and not found.cover.missing:
                return found
            best = _fewer_missing(best, found)
        for key in sorted(aside):
            found = self._best_aside(aside[key], finish)
            if found is not None and not found.cover.missing:
                return found
            best = _fewer_missing(best, found)
        return best

    def _cheapest(
        self,
        bucket: Sequence[Eligible],
        mount: Mount,
        finish: str,
        aside: _Aside,
    ) -> _Found | None:
        """The least cover among families that suit equally well; site stops are put aside."""
        hold_open_arm = self.facts.hold_open is HoldOpen.ARM
        leaves = self.facts.type.leaves
        floors = [
            floor_of(one, mount, leaves, hold_open_arm, finish, self._shelf) for one in bucket
        ]
        best: _Found | None = None
        for position in sorted(range(len(bucket)), key=lambda index: (floors[index], index)):
            if best is not None and (0, floors[position]) > best.cover.key[:2]:
                break
            one = bucket[position]
            for stops, template, demand in self._templates(one, mount):
                candidate = (one, template, demand)
                if stops:
                    key = (stops, one.tier, one.group.preference)
                    aside.setdefault(key, []).append((floors[position], candidate))
                    continue
                found = self._best_of([candidate], finish, best)
                best = found or best
        return best

    def _best_aside(self, entries: Sequence[tuple[int, _Candidate]], finish: str) -> _Found | None:
        """The best cover of those with site stops, by their floors, the least first."""
        best: _Found | None = None
        for floor, candidate in sorted(entries, key=lambda entry: entry[0]):
            if best is not None and (0, floor) > best.cover.key[:2]:
                break
            best = self._best_of([candidate], finish, best) or best
        return best

    def _templates(self, one: Eligible, mount: Mount) -> list[tuple[int, Template, Demand]]:
        """Demands on the template for the angle: the least that reaches it and fits the site.

        A template for a greater angle takes power from the closing end, so the least that reaches
        is used; a greater one only where the site forbids the smaller; where none reaches, the
        greatest, with its finding.
        """
        templates = one.group.templates[mount]
        wanted = self.facts.opening_degrees
        reaching = [template for template in templates if template.greatest_angle >= wanted]
        found: list[tuple[int, Template, Demand]] = []
        for template in reaching or templates[-1:]:
            wider = bool(found) and template.greatest_angle > found[-1][1].greatest_angle
            if wider and not min(stops for stops, _, _ in found):
                break
            place = Place(self.facts, one.group, template, self._shelf, self._site(mount))
            found += [(demand.stops, template, demand) for demand in demands(place)]
        least = min(stops for stops, _, _ in found)
        return [entry for entry in found if entry[0] == least]

    def _best_of(
        self, candidates: Sequence[_Candidate], finish: str, to_beat: _Found | None = None
    ) -> _Found | None:
        """The best cover among candidates, None if none is sold or beats what is given."""
        market = self._shelf.market(finish)
        best: _Found | None = None
        bound = None if to_beat is None else to_beat.cover.key
        for one, template, demand in candidates:
            cover = least_cover(self._alternative(one, demand), market, bound)
            if cover is None:
                continue
            bound = cover.key
            body, setting = next(
                entry
                for entry in one.bodies
                if self._shelf.key(one.group.catalog, entry[0].id) == cover.body
            )
            best = _Found(cover, demand, body, setting, template, one.tier)
        return best

    def _alternative(self, one: Eligible, demand: Demand) -> Alternative:
        catalog = one.group.catalog
        handed = any("any" not in body.pieces for body, _ in one.bodies)
        wanted = hands_wanted(handed, self.facts, [])
        either = {"any": self.facts.type.leaves}
        return Alternative(
            {
                self._shelf.key(catalog, body.id): {
                    self._shelf.key(catalog, piece): count
                    for piece, count in body_pieces(
                        body, either if "any" in body.pieces else wanted
                    ).items()
                }
                for body, _ in one.bodies
            },
            tuple(CoverNeed(need.quantity, need.pieces) for need in demand.needs),
        )

    def _other_finish(
        self, eligible: Sequence[Eligible], mount: Mount, wanted: str, found: _Found | None
    ) -> tuple[str, _Found | None]:
        """The nearest finish in which less is missing, if the wanted one leaves a gap."""
        if not eligible or (found is not None and not found.cover.missing):
            return wanted, found
        book = FinishBook(self._rules)
        left = set(self._shelf.finishes) - {wanted}
        least = 99 if found is None else len(found.cover.missing)
        while (near := book.nearest(wanted, left)) is not None:
            left.discard(near)
            other = self._search(eligible, mount, near)
            if other is not None and len(other.cover.missing) < least:
                self._tell_finish(book, wanted, near, near=True)
                return near, other
        # None is near: the cheapest to be had, such as a painted one to be painted over.
        rest = [
            (len(other.cover.missing), other.cover.score, finish, other)
            for finish in sorted(left)
            if (other := self._search(eligible, mount, finish)) is not None
            and len(other.cover.missing) < least
        ]
        if not rest:
            return wanted, found
        _, _, finish, other = min(rest, key=lambda one: one[:3])
        self._tell_finish(book, wanted, finish, near=False)
        return finish, other

    def _tell_finish(self, book: FinishBook, wanted: str, shown: str, *, near: bool) -> None:
        """A stop; only a warning where the look is the one asked for, on another base metal."""
        asked, had = book.finish(wanted), book.finish(shown)
        alike = asked is not None and had is not None and asked.look == had.look
        self.findings.append(
            Finding(
                "finish-unavailable",
                Severity.WARN if alike else Severity.STOP,
                {"finish": wanted, "nearest": shown, "near": near, "alike": alike},
                None,
                Hint("accept-finish", {"nearest": shown}),
            )
        )

    def _assemble(
        self,
        choice: MountChoice,
        sizing: Sizing,
        asked: SizeAsked | None,
        finish: str,
        found: _Found | None,
        proof: Proof | None,
    ) -> Kit:
        why: list[Reason] = [sizing.reason, choice.reason]
        lines: tuple[KitLine, ...] = ()
        unused: tuple[Unused, ...] = ()
        missing: tuple[Missing, ...]
        if found is None:
            body_need = Reason("need-body", {"mount": choice.mount}, ("joints-by-mount",))
            missing = (Missing(Role.BODY, self.facts.type.leaves, (), body_need),)
        else:
            self.findings += found.demand.findings
            handed = "any" not in found.body.pieces
            hands_wanted(handed, self.facts, self.findings)
            body_need = Reason(
                "body-chosen",
                {
                    "body": found.body.title,
                    "size_from": found.body.size_from,
                    "size_to": found.body.size_to,
                    "adjustable": found.body.adjustable,
                    "setting": found.setting,
                },
                ("fixed-size-next",) if found.tier % OVER_LIMIT_TIER else (),
                (sizing.reason,),
            )
            why += [body_need, _template_reason(found.template, self.facts)]
            lines, unused = self._lines(found, body_need)
            missing = tuple(
                Missing(need.role, need.quantity, need.kinds, need.reason)
                for index, need in enumerate(found.demand.needs)
                if index in found.cover.missing
            )
        self.findings += [
            Finding(
                MISSING_CODE.get(one.role, "piece-missing"),
                Severity.STOP,
                {"role": one.role, "quantity": one.quantity, "kinds": one.kinds},
                None,
                Hint("add-to-catalog", {"role": one.role}),
            )
            for one in missing
            if not _told_already(one.role, found is None, self.findings)
        ]
        kit = Kit(
            type=self.facts.type,
            mount=choice.mount,
            body_side=choice.side,
            size_required=sizing.required,
            spring_size=None if found is None else found.setting,
            body=None if found is None else found.body,
            template=None if found is None else found.template,
            finish=finish,
            weight=sizing.weight,
            assumed=(),
            lines=lines,
            unused=unused,
            missing=missing,
            findings=(),
            why=tuple(why),
            proof=proof,
            list_price=_list_price(lines, self._shelf.currency),
            cost=_cost(lines, self._shelf.currency),
        )
        over = found is not None and found.tier >= OVER_LIMIT_TIER
        self.findings += concerns(kit, self.facts, asked, over, self._rules)
        assumed = self.facts.assumed
        if assumed:
            self.findings.append(
                Finding(
                    "assumed",
                    Severity.NOTE,
                    {"fields": tuple(one.field for one in assumed)},
                    None,
                    Hint("confirm-assumed"),
                )
            )
        return replace(kit, assumed=assumed, findings=in_order(self.findings))

    def _lines(
        self, found: _Found, body_need: Reason
    ) -> tuple[tuple[KitLine, ...], tuple[Unused, ...]]:
        """Lines in the order of roles; pieces used are counted off line by line."""
        catalog = self._shelf.catalog_of(found.cover.ranks[0])
        handed = "any" not in found.body.pieces
        wanted = hands_wanted(handed, self.facts, [])
        open_needs: list[tuple[Role, str, int, Reason]] = [
            (Role.BODY, self._shelf.key(catalog, piece), count, body_need)
            for piece, count in body_pieces(found.body, wanted).items()
        ]
        open_needs += [
            (need.role, piece, need.quantity, need.reason)
            for need, piece in zip(found.demand.needs, found.cover.chosen, strict=True)
            if piece is not None
        ]
        counts = Counter(found.cover.ranks)
        left = {
            rank: {
                self._shelf.key(catalog, supply.piece): supply.quantity * count
                for supply in self._shelf.item(rank).supplies
            }
            for rank, count in counts.items()
        }
        uses: dict[int, list[tuple[Use, Reason]]] = {rank: [] for rank in counts}
        for role, key, quantity, reason in open_needs:
            for rank in sorted(counts):
                taken = min(quantity, left[rank].get(key, 0))
                if taken:
                    piece = self._shelf.pieces[key]
                    left[rank][key] -= taken
                    quantity -= taken
                    uses[rank].append(
                        (Use(role, piece.kind, piece.id, taken, piece.screw_number), reason)
                    )
        return self._written(counts, uses, left)

    def _written(
        self,
        counts: Mapping[int, int],
        uses: Mapping[int, list[tuple[Use, Reason]]],
        left: Mapping[int, Mapping[str, int]],
    ) -> tuple[tuple[KitLine, ...], tuple[Unused, ...]]:
        order = sorted(
            counts,
            key=lambda rank: (
                min((_ROLE_ORDER[use.role] for use, _ in uses[rank]), default=99),
                rank,
            ),
        )
        lines = tuple(
            KitLine(
                self._shelf.item(rank),
                counts[rank],
                tuple(use for use, _ in uses[rank]),
                _reasons(uses[rank]),
            )
            for rank in order
        )
        unused = tuple(
            Unused(
                self._shelf.item(rank),
                self._shelf.pieces[key].role,
                self._shelf.pieces[key].id,
                quantity,
                self._shelf.pieces[key].kind,
            )
            for rank in order
            for key, quantity in left[rank].items()
            if quantity
        )
        return lines, unused


# What a site finding has said already need not be said again as a piece nobody sells.
_TELLING = {
    Role.PLATE: {"top-rail-short", "head-face-short"},
    Role.FOREARM: {"reveal-too-deep"},
    Role.BODY_FASTENER: {"through-bolt-length"},
    Role.SHOE_FASTENER: {"through-bolt-length"},
}


def _told_already(role: Role, no_body: bool, findings: Sequence[Finding]) -> bool:
    stops = {one.code for one in findings if one.severity is Severity.STOP}
    return bool(stops) if no_body else bool(_TELLING.get(role, set()) & stops)


def _reasons(uses: Sequence[tuple[Use, Reason]]) -> tuple[Reason, ...]:
    found: list[Reason] = []
    for _, reason in uses:
        if reason not in found:
            found.append(reason)
    return tuple(found)


def _template_reason(template: Template, facts: Facts) -> Reason:
    return Reason(
        "template-chosen",
        {
            "template": template.id,
            "reached": template.greatest_angle,
            "wanted": facts.opening_degrees,
        },
        (),
        (facts.why("opening_degrees"),),
    )


def _list_price(lines: Sequence[KitLine], currency: str) -> Money:
    total = Money.zero(currency)
    for line in lines:
        total += line.item.list_price.times(line.quantity)
    return total


def _cost(lines: Sequence[KitLine], currency: str) -> Cost:
    total = Cost(0, currency)
    for line in lines:
        total += line.item.cost.times(line.quantity)
    return total
