"""From an opening type to its kit: the mount settled, sizes tried, the least cover found."""

from collections.abc import Sequence

from wholekit.domain.findings import Finding
from wholekit.domain.kits.attempt import Attempt
from wholekit.domain.kits.bodies import eligible_bodies
from wholekit.domain.kits.finish import nearest_finish
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.made import Basis, BodyChoice, counted_from_cover, make_kit
from wholekit.domain.kits.mounts import MountChoice, mounts_to_try
from wholekit.domain.kits.old_holes import for_old_holes
from wholekit.domain.kits.proof import Proof, prove
from wholekit.domain.kits.search import Found
from wholekit.domain.kits.settings import asked_of_body
from wholekit.domain.kits.settled import settled_mount
from wholekit.domain.kits.shelf import Shelf, SizeAsked
from wholekit.domain.openings import Facts, OpeningType
from wholekit.domain.quantities import Length
from wholekit.domain.rules import RuleBook


def build_kit(
    opening_type: OpeningType, shelf: Shelf, rules: RuleBook, *, adjustable: bool = False
) -> Kit:
    """The complete kit of one opening type from the shelf, by the rule book.

    Where the schedule names no mount it is settled by site and shelf, whatever the leaf's size and
    what acts on it (see `settled`). The size is the one required; where no closer of it is sold or
    latches without another stop, the largest that does. Old holes are used again where nothing
    else suffers (see old_holes). adjustable: of bodies that can be set alone. The same
    input gives the same kit, which the shelf keeps for as long as its stock stands. Raises
    RuleError.
    """
    key = as_written(opening_type, adjustable=adjustable)
    known: Kit | None = shelf.kits.get(key, rules)
    if known is None:
        known = _built(opening_type, shelf, rules, adjustable=adjustable)
        shelf.kits.put(key, rules, known)
    return known


def as_written(opening_type: OpeningType, *, adjustable: bool = False) -> str:
    """A kind to the letter: lengths are equal in whatever unit they were written, and sentences of
    a kit show the unit."""
    return f"{adjustable} {opening_type!r}"


def _built(opening_type: OpeningType, shelf: Shelf, rules: RuleBook, *, adjustable: bool) -> Kit:
    facts = Facts(opening_type, rules)
    choices, findings = mounts_to_try(facts, rules)
    choice = settled_mount(opening_type, choices, shelf, rules)
    return _furnished(facts, choice, findings, shelf, rules, adjustable)


class FromShelf(Attempt):
    """One opening in one mount, furnished from the shelf.

    adjustable: from bodies that can be set alone.
    """

    def __init__(
        self,
        facts: Facts,
        choice: MountChoice,
        findings: Sequence[Finding],
        shelf: Shelf,
        rules: RuleBook,
        over_holes: Length | None = None,
        *,
        adjustable: bool = False,
    ) -> None:
        super().__init__(facts, choice, findings, shelf, rules, over_holes)
        self._adjustable = adjustable

    def at(self, target: int) -> Kit:
        """The kit for one size [class]."""
        asked = self.asked(target)
        eligible, findings = eligible_bodies(
            self.facts,
            self.choice.mount,
            self.sizing,
            asked,
            self.shelf,
            self.rules,
            adjustable=self._adjustable,
        )
        wanted = self.facts.finish
        found = self.search.best(eligible, self.choice.mount, wanted)
        finish, found, other = nearest_finish(
            self.search, self.choice.mount, eligible, wanted, found, self.shelf, self.rules
        )
        proof = self._prove(found)
        # The limit again, now for the body that was found: until here it was known for none.
        if found is not None:
            asked = self._asked_of(found, asked)
        basis = Basis(self.choice, self.sizing, asked, finish, (*self.before(), *findings, *other))
        counted = counted_from_cover(found, basis, self.facts, self.shelf)
        chosen = (
            None
            if found is None
            else BodyChoice(found.body, found.template, found.setting, found.tier)
        )
        return make_kit(self.facts, basis, chosen, counted, proof, self.shelf, self.rules)

    def beyond_tables(self) -> Kit:
        """A kit without a body: nobody can say which would do."""
        basis = Basis(self.choice, self.sizing, None, self.facts.finish, self.before())
        counted = counted_from_cover(None, basis, self.facts, self.shelf)
        return make_kit(self.facts, basis, None, counted, None, self.shelf, self.rules)

    def _asked_of(self, found: Found, asked: SizeAsked) -> SizeAsked:
        """The size asked, with what a limit allows the body found."""
        if not self.limited:
            return asked
        # All of a kit is of one catalogue: pieces of another are never alternatives (see
        # Shelf.key).
        catalog = self.shelf.catalog_of(found.cover.ranks[0])
        group = next(
            body_group
            for body_group in self.shelf.groups
            if body_group.catalog is catalog
            and any(body is found.body for body in body_group.bodies)
        )
        return asked_of_body(
            asked,
            self.facts,
            self.sizing,
            group,
            found.body,
            self.choice.mount,
            self.shelf,
            self.rules,
        )

    def _prove(self, found: Found | None) -> Proof | None:
        if found is None:
            return None
        return prove(
            self.facts,
            found.body,
            found.template,
            found.setting,
            self.shelf,
            self.shelf.catalog_of(found.cover.ranks[0]),
            self.rules,
        )


def kit_in(opening_type: OpeningType, choice: MountChoice, shelf: Shelf, rules: RuleBook) -> Kit:
    """The kit in one mount that the opening may have. Raises RuleError."""
    facts = Facts(opening_type, rules)
    _, findings = mounts_to_try(facts, rules)
    return _furnished(facts, choice, findings, shelf, rules)


def _furnished(
    facts: Facts,
    choice: MountChoice,
    findings: Sequence[Finding],
    shelf: Shelf,
    rules: RuleBook,
    adjustable: bool = False,
) -> Kit:
    """The kit in one mount, on the old holes where there are some and they will do."""
    kit = FromShelf(facts, choice, findings, shelf, rules, adjustable=adjustable).kit()
    if facts.type.existing_holes is None:
        return kit

    def furnish(within: Shelf, over_holes: Length | None) -> Kit:
        # Facts of its own for each try: a default that only another try needed is none of this
        # kit's.
        own = Facts(facts.type, rules)
        _, told = mounts_to_try(own, rules)
        return FromShelf(own, choice, told, within, rules, over_holes, adjustable=adjustable).kit()

    return for_old_holes(kit, furnish, shelf, rules)
