"""From an opening type to its kit: the mount settled, sizes tried, the least cover found."""

from collections.abc import Sequence

from wholekit.domain.catalog.finishes import FinishBook
from wholekit.domain.findings import Finding, Hint, Severity
from wholekit.domain.kits.attempt import Attempt
from wholekit.domain.kits.bodies import eligible_bodies
from wholekit.domain.kits.kit import Kit
from wholekit.domain.kits.made import Basis, BodyChoice, counted_from_cover, make_kit
from wholekit.domain.kits.mounts import MountChoice, mounts_to_try
from wholekit.domain.kits.proof import Proof, prove
from wholekit.domain.kits.search import Found
from wholekit.domain.kits.settings import asked_of_body
from wholekit.domain.kits.settled import settled_mount
from wholekit.domain.kits.shelf import Eligible, Shelf, SizeAsked
from wholekit.domain.openings import Facts, OpeningType
from wholekit.domain.rules import RuleBook


def build_kit(opening_type: OpeningType, shelf: Shelf, rules: RuleBook) -> Kit:
    """The complete kit of one opening type from the shelf, by the rule book.

    Where the schedule names no mount it is settled by site and shelf, whatever the leaf's size and
    what acts on it (see `settled`). The size is the one required; where no closer of it is sold or
    latches without another stop, the largest that does. The same input gives the same kit. Raises
    RuleError.
    """
    facts = Facts(opening_type, rules)
    choices, told = mounts_to_try(facts, rules)
    choice = settled_mount(opening_type, choices, shelf, rules)
    return FromShelf(facts, choice, told, shelf, rules).kit()


class FromShelf(Attempt):
    """One opening in one mount, furnished from the shelf."""

    def at(self, target: int) -> Kit:
        """The kit for one size [class]."""
        asked = self.asked(target)
        eligible, told = eligible_bodies(
            self.facts, self.choice.mount, self.sizing, asked, self.shelf, self.rules
        )
        wanted = self.facts.finish
        found = self.search.best(eligible, self.choice.mount, wanted)
        finish, found, other = self.other_finish(eligible, wanted, found)
        proof = self._prove(found)
        if found is not None:
            asked = self._asked_of(found, asked)
        basis = Basis(self.choice, self.sizing, asked, finish, (*self.before(), *told, *other))
        counted = counted_from_cover(found, basis, self.facts, self.shelf)
        chosen = (
            None
            if found is None
            else BodyChoice(found.body, found.template, found.setting, found.tier)
        )
        return make_kit(self.facts, basis, chosen, counted, proof, self.shelf.currency, self.rules)

    def beyond_tables(self) -> Kit:
        """A kit without a body: nobody can say which would do."""
        basis = Basis(self.choice, self.sizing, None, self.facts.finish, self.before())
        counted = counted_from_cover(None, basis, self.facts, self.shelf)
        return make_kit(self.facts, basis, None, counted, None, self.shelf.currency, self.rules)

    def _asked_of(self, found: Found, asked: SizeAsked) -> SizeAsked:
        """The size asked, with what a limit allows the body found."""
        if not self.limited:
            return asked
        catalog = self.shelf.catalog_of(found.cover.ranks[0])
        group = next(
            one
            for one in self.shelf.groups
            if one.catalog is catalog and any(body is found.body for body in one.bodies)
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

    def other_finish(
        self, eligible: Sequence[Eligible], wanted: str, found: Found | None
    ) -> tuple[str, Found | None, tuple[Finding, ...]]:
        """The nearest finish in which less is missing, if the wanted one leaves a gap."""
        if not eligible or (found is not None and not found.cover.missing):
            return wanted, found, ()
        mount = self.choice.mount
        book = FinishBook(self.rules)
        left = set(self.shelf.finishes) - {wanted}
        least = 99 if found is None else len(found.cover.missing)
        while (near := book.nearest(wanted, left)) is not None:
            left.discard(near)
            other = self.search.best(eligible, mount, near)
            if other is not None and len(other.cover.missing) < least:
                return near, other, (_other_shown(book, wanted, near, near=True),)
        # None is near: the cheapest to be had, such as a painted one to be painted over.
        rest = [
            (len(other.cover.missing), other.cover.score, finish, other)
            for finish in sorted(left)
            if (other := self.search.best(eligible, mount, finish)) is not None
            and len(other.cover.missing) < least
        ]
        if not rest:
            return wanted, found, ()
        _, _, finish, other = min(rest, key=lambda one: one[:3])
        return finish, other, (_other_shown(book, wanted, finish, near=False),)


def _other_shown(book: FinishBook, wanted: str, shown: str, *, near: bool) -> Finding:
    """A stop; only a warning where the look is the one asked for, on another base metal."""
    asked, had = book.finish(wanted), book.finish(shown)
    alike = asked is not None and had is not None and asked.look == had.look
    return Finding(
        "finish-unavailable",
        Severity.WARN if alike else Severity.STOP,
        {"finish": wanted, "nearest": shown, "near": near, "alike": alike},
        None,
        Hint("accept-finish", {"nearest": shown}),
    )


def kit_in(opening_type: OpeningType, choice: MountChoice, shelf: Shelf, rules: RuleBook) -> Kit:
    """The kit in one mount that the opening may have. Raises RuleError."""
    facts = Facts(opening_type, rules)
    _, told = mounts_to_try(facts, rules)
    return FromShelf(facts, choice, told, shelf, rules).kit()
