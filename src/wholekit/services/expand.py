"""From openings to kits: each kind worked out once, however many openings are alike."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from wholekit.domain.findings import Finding, Hint, Severity, in_order
from wholekit.domain.kits import Kit, Shelf, build_kit, with_offers
from wholekit.domain.openings import Opening, OpeningType, note_findings
from wholekit.domain.pricing import LIST, PricedKit, price_kit, tell_offers
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.rules import RuleBook
from wholekit.domain.stock import Draw, draw_stock

PROGRESS_EVERY = 1_000


@dataclass(frozen=True, slots=True)
class KittedOpening:
    """An opening with its priced kit. of_note: what its own note says more than its columns."""

    opening: Opening
    priced: PricedKit
    of_note: tuple[Finding, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of its kind of opening, and those of its note, by severity."""
        if not self.of_note:
            return self.kit.findings
        return in_order([*self.kit.findings, *self.of_note])

    @property
    def kit(self) -> Kit:
        """The kit of one opening."""
        return self.priced.kit

    @property
    def price(self) -> Money:
        """For all openings of this mark [Money]."""
        return self.priced.total.times(self.opening.quantity)

    @property
    def cost(self) -> Cost:
        """Own cost for all openings of this mark [Cost]."""
        return self.kit.cost.times(self.opening.quantity)


@dataclass(frozen=True, slots=True)
class KittedJob:
    """All openings with kits, and the job's totals at one multiplier."""

    openings: tuple[KittedOpening, ...]
    currency: str
    multiplier: Fraction

    @property
    def price(self) -> Money:
        """The job's net price [Money]."""
        return Money(sum(one.price.minor for one in self.openings), self.currency)

    @property
    def cost(self) -> Cost:
        """The job's own cost [Cost]."""
        return Cost(sum(one.cost.units for one in self.openings), self.currency)

    @property
    def opening_count(self) -> int:
        """Openings, those alike counted each."""
        return sum(one.opening.quantity for one in self.openings)

    @property
    def leaf_count(self) -> int:
        """Leaves over all openings."""
        return sum(one.opening.quantity * one.opening.type.leaves for one in self.openings)

    @property
    def stopped(self) -> bool:
        """Whether any opening has a missing piece or a finding that stops."""
        return any(one.kit.stopped for one in self.openings)

    def draws(self) -> tuple[Draw, ...]:
        """What the job takes from the shelf, item by item."""
        return draw_stock(
            (one.opening.mark, one.opening.quantity, one.kit) for one in self.openings
        )

    def short_stock(self) -> tuple[Finding, ...]:
        """A warning for each item of which the shelf lacks some."""
        return tuple(
            Finding(
                "short-stock",
                Severity.WARN,
                {
                    "sku": draw.item.sku,
                    "needed": draw.quantity,
                    "on_hand": draw.item.on_hand,
                    "lead_days": draw.item.lead_days,
                    "marks": tuple(mark for mark, _ in draw.marks),
                },
                None,
                Hint("order-or-swap", {"short": draw.short}),
            )
            for draw in self.draws()
            if draw.short
        )


def expand(
    openings: Sequence[Opening],
    shelf: Shelf,
    rules: RuleBook,
    multiplier: Fraction = LIST,
    progress: Callable[[int], None] | None = None,
) -> KittedJob:
    """Kits and prices for all openings. Cost grows with openings plus kinds. Raises RuleError.

    progress: told now and then how many openings are done [count].
    """
    kits = KitMemo(shelf, rules, multiplier)
    found: list[KittedOpening] = []
    for number, opening in enumerate(openings):
        if progress is not None and number % PROGRESS_EVERY == 0:
            progress(number)
        found.append(KittedOpening(opening, kits.of(opening.type), note_findings(opening, rules)))
    return KittedJob(tuple(found), shelf.currency, multiplier)


class KitMemo:
    """Priced kits by opening type: by identity first, since alike rows share one object."""

    def __init__(self, shelf: Shelf, rules: RuleBook, multiplier: Fraction) -> None:
        self._shelf = shelf
        self._rules = rules
        self._multiplier = multiplier
        self._by_identity: dict[int, tuple[OpeningType, PricedKit]] = {}
        self._by_type: dict[OpeningType, PricedKit] = {}

    def of(self, opening_type: OpeningType) -> PricedKit:
        """The priced kit of a type, worked out on first sight."""
        known = self._by_identity.get(id(opening_type))
        if known is not None:
            return known[1]
        priced = self._by_type.get(opening_type)
        if priced is None:
            kit = with_offers(
                build_kit(opening_type, self._shelf, self._rules), self._shelf, self._rules
            )
            price = price_kit(kit, self._multiplier).total
            kit = tell_offers(kit, price, lambda other: price_kit(other, self._multiplier).total)
            priced = self._by_type[opening_type] = price_kit(kit, self._multiplier)
        self._by_identity[id(opening_type)] = (opening_type, priced)
        return priced
