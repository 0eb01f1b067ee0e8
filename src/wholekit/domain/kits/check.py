"""A kit made by hand, held against what its opening demands: missing, wrong, surplus."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cached_property

from wholekit.domain.catalog import Body
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.attempt import Attempt, Tried
from wholekit.domain.kits.bodies import eligible_bodies, fit_of
from wholekit.domain.kits.build import FromShelf, as_written
from wholekit.domain.kits.counting import (
    Brought,
    HandLine,
    lines_of_tally,
)
from wholekit.domain.kits.demand import demands
from wholekit.domain.kits.finish import nearest_finish
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.made import (
    MISSING_CODES,
    Basis,
    BodyChoice,
    Counted,
    make_kit,
)
from wholekit.domain.kits.mistakes import (
    body_mistakes,
    finish_mistakes,
    lacking,
    piece_mistakes,
    shown_finishes,
    stop,
)
from wholekit.domain.kits.mounts import mounts_to_try
from wholekit.domain.kits.old_holes import with_holes_told
from wholekit.domain.kits.place import FixingPlace, site_of
from wholekit.domain.kits.proof import prove
from wholekit.domain.kits.reading import Reading, read_kit
from wholekit.domain.kits.settings import asked_of_body
from wholekit.domain.kits.shelf import BodyGroup, Eligible, Shelf, SizeAsked
from wholekit.domain.openings import Facts, OpeningType
from wholekit.domain.rules import RuleBook

__all__ = ["HandLine", "check_kit"]


def check_kit(
    opening_type: OpeningType, lines: Sequence[HandLine], shelf: Shelf, rules: RuleBook
) -> Kit:
    """The hand-made kit as a Kit: what it lacks is missing, what is wrong is a finding.

    In order: the mount is read from what the kit holds (see reading), its pieces are counted off
    against what that demands, then its size and setting are tried as for a kit from the shelf.
    A kit without a body is held against the family that the rest goes with. Boxed leftovers are
    listed as unused; an item or a count the opening does not need is a finding. Of the shelf's own
    goods it is kept for as long as its stock stands. Raises RuleError.
    """
    if not all(_is_of(line, shelf) for line in lines):
        return _checked(opening_type, lines, shelf, rules)
    brought = [(line.catalog.id, line.item.sku, line.quantity) for line in lines]
    key = f"{brought!r} {as_written(opening_type)}"
    known: Kit | None = shelf.by_hand.get(key, rules)
    if known is None:
        known = _checked(opening_type, lines, shelf, rules)
        shelf.by_hand.put(key, rules, known)
    return known


def _is_of(line: HandLine, shelf: Shelf) -> bool:
    """Whether it is of a catalogue on the shelf, and not of another revision of it."""
    return line.catalog.items_by_sku.get(line.item.sku) is line.item and any(
        catalog is line.catalog for catalog in shelf.catalogs
    )


def _checked(
    opening_type: OpeningType, lines: Sequence[HandLine], shelf: Shelf, rules: RuleBook
) -> Kit:
    brought = Brought(tuple(lines), shelf)
    facts = Facts(opening_type, rules)
    choices, findings = mounts_to_try(facts, rules)
    readings = read_kit(opening_type, choices, brought, rules)
    findings = (*findings, *_doubt_told(readings.held, readings.other))
    attempt = ByHand(facts, readings.held, findings, brought, rules)
    if readings.held.body is None:
        return attempt.without_body()
    return with_holes_told(attempt.kit(), shelf, rules)


class ByHand(Attempt):
    """One opening and one hand-made kit, as it was read."""

    def __init__(
        self,
        facts: Facts,
        reading: Reading,
        findings: Sequence[Finding],
        brought: Brought,
        rules: RuleBook,
    ) -> None:
        super().__init__(facts, reading.choice, findings, brought.shelf, rules)
        self._reading = reading
        self._brought = brought
        if reading.group is not None and reading.template is not None:
            # Demanded once more of this opening's own facts: what was asked for counts as assumed.
            site = site_of(facts, reading.choice.mount, rules)
            demands(FixingPlace(facts, reading.group, reading.template, brought.shelf, site))

    def taken(self) -> Tried:
        """The size required, or where more than pieces stands in its way, the shelf's own.

        A body is not excused by its own size: it is held against what could be had. What the kit
        lacks says nothing of its size.
        """
        first = self.first()
        # Missing pieces count twice in `others`, as pieces and as stops; both are allowed for
        # here.
        lacks = sum(finding.code in MISSING_CODES for finding in first.kit.findings)
        if self.limited or (first.latches and first.others == len(first.kit.missing) + lacks):
            return first
        facts = Facts(self.facts.type, self.rules)
        from_shelf = FromShelf(facts, self.choice, (), self.shelf, self.rules).taken()
        same = from_shelf.target == first.target
        return replace(first if same else self.tried(from_shelf.target), held=from_shelf.held)

    def at(self, target: int) -> Kit:
        """The kit with its body set for a size [class]; a body that cannot be is a stop."""
        group, body = self._body
        asked = asked_of_body(
            self.asked(target),
            self.facts,
            self.sizing,
            group,
            body,
            self.choice.mount,
            self.shelf,
            self.rules,
        )
        fit = fit_of(body, asked, self.rules.whole("fixed-size-next"))
        findings = (*self._features_told(target), *self._finish_told(target))
        if fit is None:
            # Set as near as it goes, so that the forces told are those it would have.
            # fit_of refuses a body only outside its range: one that is not too small is too large.
            small = body.size_to < target
            chosen = BodyChoice(
                body, self._reading.template, body.size_to if small else body.size_from
            )
            return self._made(chosen, asked, (*findings, _misfit(body, target)))
        chosen = BodyChoice(body, self._reading.template, fit.setting, fit.tier)
        return self._made(chosen, asked, findings)

    def beyond_tables(self) -> Kit:
        """The kit with its body at its largest: nobody can say what would do."""
        _, body = self._body
        return self._made(BodyChoice(body, self._reading.template, body.size_to), None, ())

    def without_body(self) -> Kit:
        """The kit as far as it goes without a body."""
        return self._made(None, None, ())

    @property
    def _body(self) -> tuple[BodyGroup, Body]:
        group, body = self._reading.group, self._reading.body
        assert group is not None and body is not None  # noqa: S101, PT018  # asked by the caller
        return group, body

    def _made(
        self, chosen: BodyChoice | None, asked: SizeAsked | None, findings: Sequence[Finding]
    ) -> Kit:
        finishes = self._finishes
        # What the kit shows is no default: only a kit that shows nothing is taken to be in one.
        finish = finishes[0] if len(finishes) == 1 else self.facts.finish
        basis = Basis(self.choice, self.sizing, asked, finish, (*self.before(), *findings))
        proof = None
        if chosen is not None and chosen.template is not None:
            proof = prove(
                self.facts,
                chosen.body,
                chosen.template,
                chosen.setting,
                self.shelf,
                self._body[0].catalog,
                self.rules,
            )
        return make_kit(self.facts, basis, chosen, self._counted, proof, self.shelf, self.rules)

    @cached_property
    def _counted(self) -> Counted:
        """Pieces, and all that is told of them whatever the size: in the order of looking."""
        reading, brought = self._reading, self._brought
        lines, unused = lines_of_tally(brought, reading.tally)
        of_body = body_mistakes(reading, brought, self.facts, self.rules)
        findings = (
            *of_body,
            *reading.demand.findings,
            *piece_mistakes(reading, brought, self.facts, of_body),
            *finish_mistakes(self._finishes, self.facts),
        )
        return Counted(lines, unused, lacking(reading, brought, self.facts, self.rules), findings)

    @cached_property
    def _finishes(self) -> tuple[str, ...]:
        return shown_finishes(self._reading, self._brought)

    def _features_told(self, target: int) -> Iterator[Finding]:
        """A feature asked for that the body lacks: none sold has it, or this one has not."""
        _, body = self._body
        _, unavailable = self._eligible(target)
        # What nothing on the shelf has is no mistake of whoever made the kit.
        gone = {finding.fields["feature"] for finding in unavailable if "feature" in finding.fields}
        for name in ("delayed_action", "backcheck"):
            if getattr(self.facts.type, name) and not getattr(body, name):
                code = "feature-unavailable" if name in gone else "feature-missing"
                hint = "choose-series" if name in gone else "exchange-body"
                yield stop(code, {"feature": name}, Hint(hint))

    def _eligible(self, target: int) -> tuple[list[Eligible], tuple[Finding, ...]]:
        asked = self.asked(target)
        return eligible_bodies(
            self.facts, self.choice.mount, self.sizing, asked, self.shelf, self.rules
        )

    def _finish_told(self, target: int) -> Iterator[Finding]:
        """A finish other than asked: the nearest to be had, or wrong. Unasked, any one is right."""
        asked = self.facts.type.finish
        if asked is None or len(self._finishes) != 1 or self._finishes == (asked,):
            return
        (shown,) = self._finishes
        eligible, _ = self._eligible(target)
        found = self.search.best(eligible, self.choice.mount, asked)
        nearest, _, findings = nearest_finish(
            self.search, self.choice.mount, eligible, asked, found, self.shelf, self.rules
        )
        if findings and nearest == shown:
            # It is what the shelf would show instead, and is told in the same words.
            yield from findings
            return
        hint = Hint("one-finish", {"finish": asked})
        yield stop("finish-wrong", {"finish": asked, "shown": shown}, hint)


def _doubt_told(held: Reading, other: Reading | None) -> tuple[Finding, ...]:
    """Both readings, where a kit may be meant for either of two mounts."""
    if other is None:
        return ()
    fields = {
        "mount": held.choice.mount,
        "other": other.choice.mount,
        "complete": other.complete,
        "roles": tuple(dict.fromkeys(shortage.need.role for shortage in other.tally.short)),
    }
    severity = Severity.NOTE if held.complete else Severity.WARN
    return (Finding("mount-in-doubt", severity, fields, None, Hint("state-mount")),)


def _misfit(body: Body, target: int) -> Finding:
    """A body that cannot be set for the size asked."""
    small = body.size_to < target
    return stop(
        "size-too-small" if small else "size-too-large",
        {"wanted": target, "largest": body.size_to, "smallest": body.size_from},
        Hint("size-as-required", {"required": target}),
        "size-combination" if small else "fixed-size-next",
    )
