"""From an opening type to its kit: mounts tried in order, the least cover found, findings told."""

from collections.abc import Sequence
from dataclasses import replace

from wholekit.domain.catalog import Role, Template
from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.kits.bodies import OVER_LIMIT_TIER, eligible_bodies
from wholekit.domain.kits.concerns import concerns
from wholekit.domain.kits.demand import hands_wanted, site_of
from wholekit.domain.kits.kit import Kit, KitLine, Missing, Unused
from wholekit.domain.kits.mounts import MountChoice, mounts_to_try
from wholekit.domain.kits.proof import Proof, accessible_settings, prove
from wholekit.domain.kits.search import Found, Search
from wholekit.domain.kits.shelf import Eligible, Shelf, SizeAsked
from wholekit.domain.kits.written import cost_of, lines_of, list_price_of
from wholekit.domain.openings import Facts, Mount, OpeningType
from wholekit.domain.reasons import Reason
from wholekit.domain.rules import RuleBook
from wholekit.domain.sizing import Sizing, size_opening

MISSING_CODE = {
    Role.SOFFIT_BRACKET: "bracket-missing",
    Role.PLATE_FASTENER: "fastener-missing",
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


def _stops(findings: Sequence[Finding]) -> int:
    return sum(finding.severity is Severity.STOP for finding in findings)


class _Attempt:
    """One mount's worth of work on one opening type."""

    def __init__(self, opening_type: OpeningType, shelf: Shelf, rules: RuleBook) -> None:
        self.facts = Facts(opening_type, rules)
        self.findings: list[Finding] = []
        self._shelf = shelf
        self._rules = rules
        self._search: Search | None = None

    def _searching(self, mount: Mount) -> Search:
        if self._search is None:
            site = site_of(self.facts, mount, self._rules)
            self._search = Search(self.facts, self._shelf, site)
        return self._search

    def kit(self, choice: MountChoice) -> Kit:
        """The best kit in a mount; an attempt serves for one."""
        sizing = size_opening(self.facts, choice.mount, self._rules)
        self.findings += sizing.findings
        asked = self._asked(sizing)
        if asked is None:
            return self._assemble(choice, sizing, None, self.facts.finish, None, None)
        told = list(self.findings)
        finish, found = self._find(asked, choice.mount)
        proof = self._prove(found)
        if found is not None and proof is not None and self._must_rise(proof, found, asked):
            sizing, asked, finish, found, proof = self._risen(
                choice.mount, sizing, asked, finish, found, proof, told
            )
        return self._assemble(choice, sizing, asked, finish, found, proof)

    def _find(self, asked: SizeAsked, mount: Mount) -> tuple[str, Found | None]:
        """The best kit for a size, in the finish wanted or the nearest."""
        wanted = self.facts.finish
        eligible = eligible_bodies(
            self.facts, mount, asked, self._shelf, self._rules, self.findings
        )
        found = self._searching(mount).best(eligible, mount, wanted)
        return self._other_finish(eligible, mount, wanted, found)

    def _prove(self, found: Found | None) -> Proof | None:
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

    def _must_rise(self, proof: Proof, found: Found, asked: SizeAsked) -> bool:
        """Whether a larger size would latch where this one does not, and no limit forbids it."""
        latching = proof.verdict.size_latching
        return (
            not proof.verdict.latches
            and asked.setting_most is None
            and latching is not None
            and latching > found.setting
        )

    def _risen(
        self,
        mount: Mount,
        sizing: Sizing,
        asked: SizeAsked,
        finish: str,
        found: Found,
        proof: Proof,
        told: list[Finding],
    ) -> tuple[Sizing, SizeAsked, str, Found, Proof]:
        """All of it for the size that latches, if such a kit is complete and brings no new stop.

        A limit that no closer of that size could keep, that of an exit among them, is such a stop:
        the tables' size then stands, and the finding says that it may not latch. told: the findings
        from before the tables' size was looked for, to which those of the larger are added.
        """
        latching = proof.verdict.size_latching
        assert latching is not None  # noqa: S101  # asked for so
        before = self.findings
        self.findings = list(told)
        larger = replace(asked, target=latching)
        new_finish, new_found = self._find(larger, mount)
        new_proof = self._prove(new_found)
        if (
            new_found is None
            or new_proof is None
            or new_found.cover.missing
            or not new_proof.verdict.latches
            or new_found.demand.stops > found.demand.stops
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

    def _other_finish(
        self, eligible: Sequence[Eligible], mount: Mount, wanted: str, found: Found | None
    ) -> tuple[str, Found | None]:
        """The nearest finish in which less is missing, if the wanted one leaves a gap."""
        if not eligible or (found is not None and not found.cover.missing):
            return wanted, found
        book = FinishBook(self._rules)
        left = set(self._shelf.finishes) - {wanted}
        least = 99 if found is None else len(found.cover.missing)
        while (near := book.nearest(wanted, left)) is not None:
            left.discard(near)
            other = self._searching(mount).best(eligible, mount, near)
            if other is not None and len(other.cover.missing) < least:
                self._tell_finish(book, wanted, near, near=True)
                return near, other
        # None is near: the cheapest to be had, such as a painted one to be painted over.
        rest = [
            (len(other.cover.missing), other.cover.score, finish, other)
            for finish in sorted(left)
            if (other := self._searching(mount).best(eligible, mount, finish)) is not None
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
        found: Found | None,
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
            lines, unused = lines_of(found, body_need, self.facts, self._shelf)
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
            list_price=list_price_of(lines, self._shelf.currency),
            cost=cost_of(lines, self._shelf.currency),
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
