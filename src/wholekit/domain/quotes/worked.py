"""A job worked up: each opening's kit with hand overrides, priced for its customer.

Money follows one order (see `domain.pricing`): an item's net each is its list price times the
customer's multiplier and the job's discount, rounded half up once; a price set by hand stands as
it is; a line is its net each times its quantity; an opening is the sum of its lines.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from fractions import Fraction

from wholekit.domain.catalog import Catalog, Item
from wholekit.domain.customers import Customer, Goods, goods_of, net_price
from wholekit.domain.errors import InputError, Problem
from wholekit.domain.findings import Finding, Severity
from wholekit.domain.kits import Kit, KitLine, Shelf, build_kit, with_offers
from wholekit.domain.kits.check import HandLine, check_kit
from wholekit.domain.kits.choices import wished
from wholekit.domain.openings import OpeningType, note_findings
from wholekit.domain.pricing import tell_offers
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.job import (
    JobContents,
    JobOpening,
    Override,
    OverrideKind,
    finding_about,
)
from wholekit.domain.rules import RuleBook

PROGRESS_EVERY = 1_000


@dataclass(frozen=True, slots=True)
class WorkedLine:
    """A kit line priced.

    tier: the customer's multiplier on list; multiplier: the same with the job's discount.
    tier_unit: the customer's own net each, before discount and hand; unit, total: as quoted
    [Money]. by_hand: what set the price.
    """

    line: KitLine
    catalog_id: str
    goods: Goods
    tier: Fraction
    multiplier: Fraction
    tier_unit: Money
    unit: Money
    total: Money
    by_hand: Override | None = None


@dataclass(frozen=True, slots=True)
class WorkedKit:
    """A kit priced for one opening. adjustment: what a price agreed by hand for the whole opening
    adds to its lines (below zero: takes off). tier_price: before discount and hand [Money]."""

    kit: Kit
    lines: tuple[WorkedLine, ...]
    adjustment: Money
    price: Money
    tier_price: Money


@dataclass(frozen=True, slots=True)
class WorkedOpening:
    """An opening of a job with its priced kit, and what its own note says more than its columns."""

    entry: JobOpening
    worked: WorkedKit
    of_note: tuple[Finding, ...] = ()

    @property
    def kit(self) -> Kit:
        """The kit of one opening."""
        return self.worked.kit

    @property
    def price(self) -> Money:
        """For all of this mark [Money]."""
        return self.worked.price.times(self.entry.opening.quantity)

    @property
    def tier_price(self) -> Money:
        """The same at the customer's own prices, before discount and hand [Money]."""
        return self.worked.tier_price.times(self.entry.opening.quantity)

    @property
    def cost(self) -> Cost:
        """Own cost for all of this mark [Cost]."""
        return self.kit.cost.times(self.entry.opening.quantity)

    @property
    def firm(self) -> bool:
        """Whether the kit is whole, and no stop of it is open."""
        return not self.kit.missing and not self.open_stops()

    def open_stops(self) -> tuple[Finding, ...]:
        """The stop findings nobody has released."""
        released = {(release.code, release.about) for release in self.entry.releases}
        return tuple(
            finding
            for finding in self.kit.findings
            if finding.severity is Severity.STOP
            and (finding.code, finding_about(finding)) not in released
        )


@dataclass(frozen=True, slots=True)
class WorkedJob:
    """A job's contents with every kit worked out and priced."""

    contents: JobContents
    customer: Customer
    openings: tuple[WorkedOpening, ...]
    catalogs: tuple[Catalog, ...]

    @property
    def currency(self) -> str:
        """The job's currency [ISO 4217]."""
        return self.contents.job.currency

    def of_alternate(self, code: str) -> tuple[WorkedOpening, ...]:
        """The openings of the base bid (empty code) or of an alternate."""
        return tuple(opening for opening in self.openings if opening.entry.alternate == code)


@dataclass(slots=True)
class WorkBench:
    """Works up openings of one job; those alike, overrides and all, are worked out once.

    made: gives the kit of an opening where it is not built here, but made by hand. offering:
    whether other kits are shown beside each by its findings.
    """

    shelf: Shelf
    rules: RuleBook
    customer: Customer
    discount: Fraction
    day: date
    made: Callable[[JobOpening], Kit] | None = None
    offering: bool = True
    _kits: dict[object, WorkedKit] = field(default_factory=dict)
    _multipliers: dict[Goods, Fraction] = field(default_factory=dict)
    _alike: dict[OpeningType, OpeningType] = field(default_factory=dict)
    _seen: dict[int, OpeningType] = field(default_factory=dict)

    def work(self, entry: JobOpening) -> WorkedOpening:
        """The opening worked up.

        Raises InputError for an override that names an item the catalogues or the kit do not
        have, RuleError.
        """
        if self.made is not None:
            worked = self._priced(entry, self.made(entry))
            return WorkedOpening(entry, worked, note_findings(entry.opening, self.rules))
        # By identity first: the rows of a schedule that are alike share one type, and to hash one
        # costs more than all the rest.
        kind = self._seen.get(id(entry.opening.type))
        if kind is None:
            kind = self._alike.setdefault(entry.opening.type, entry.opening.type)
            self._seen[id(entry.opening.type)] = kind
        set_by_hand = sorted(entry.overrides, key=lambda override: override.at)
        key = (id(kind), tuple(map(_effect, set_by_hand)))
        known = self._kits.get(key)
        if known is None:
            known = self._kits[key] = self._priced(entry, None)
        return WorkedOpening(entry, known, note_findings(entry.opening, self.rules))

    def _priced(self, entry: JobOpening, made: Kit | None) -> WorkedKit:
        overrides = standing(entry.overrides)
        kit, shelf = (made, self.shelf) if made is not None else self._kit(entry, overrides)
        by_hand = {
            override.sku: override
            for override in overrides
            if override.kind is OverrideKind.PRICE and override.sku
        }
        known = {line.item.sku for line in kit.lines}
        lost = [sku for sku in by_hand if sku not in known]
        if lost:
            raise InputError([_problem(entry, "override-not-in-kit", sku=sku) for sku in lost])
        lines = tuple(self._line(line, by_hand.get(line.item.sku)) for line in kit.lines)
        currency = kit.list_price.currency
        total = Money(sum(line.total.minor for line in lines), currency)
        tier = Money(sum(line.tier_unit.minor * line.line.quantity for line in lines), currency)
        whole = next(
            (
                override
                for override in overrides
                if override.kind is OverrideKind.PRICE and not override.sku
            ),
            None,
        )
        agreed = total if whole is None or whole.price is None else whole.price
        if made is None and self.offering:
            titles = {each.id: each.title for one in shelf.catalogs for each in one.series}
            kit = tell_offers(with_offers(kit, shelf, self.rules), total, self._price_of, titles)
        return WorkedKit(kit, lines, agreed - total, agreed, tier)

    def _price_of(self, kit: Kit) -> Money:
        """Another kit at the same customer's prices [Money]."""
        total = sum(self._line(line, None).total.minor for line in kit.lines)
        return Money(total, kit.list_price.currency)

    def _kit(self, entry: JobOpening, overrides: Sequence[Override]) -> tuple[Kit, Shelf]:
        """The kit, and the shelf it comes from: all of it, or what a choice leaves of it."""
        kind, shelf = entry.opening.type, self.shelf
        # By their time: of a size set by hand and one chosen the later stands.
        for override in sorted(overrides, key=lambda override: override.at):
            if override.kind is OverrideKind.SIZE:
                kind = replace(kind, spring_size=override.size)
            elif override.wish is not None:
                supplier = override.wish.supplier
                if supplier and all(catalog.id != supplier for catalog in self.shelf.catalogs):
                    raise InputError([_problem(entry, "choice-supplier-gone", supplier=supplier)])
                kind, shelf = wished(kind, override.wish, shelf)
        kit = build_kit(kind, shelf, self.rules)
        items = [override for override in overrides if override.kind is OverrideKind.ITEM]
        if not items:
            return kit, shelf
        lines = self._hand_lines(entry, kit, items)
        # Held against all that is sold: a hand may take an item from beyond the choice.
        return check_kit(kind, lines, self.shelf, self.rules), shelf

    def _hand_lines(
        self, entry: JobOpening, kit: Kit, overrides: Sequence[Override]
    ) -> list[HandLine]:
        counts: dict[str, int] = {line.item.sku: line.quantity for line in kit.lines}
        problems = []
        for override in overrides:
            if override.sku and override.sku not in counts:
                problems.append(_problem(entry, "override-not-in-kit", sku=override.sku))
                continue
            had = counts.pop(override.sku, 1)
            if override.other_sku:
                counts[override.other_sku] = counts.get(override.other_sku, 0) + (
                    override.quantity or had
                )
        lines = []
        for sku, quantity in counts.items():
            found = find_item(self.shelf.catalogs, sku)
            if found is None:
                problems.append(_problem(entry, "override-item-unknown", sku=sku))
            else:
                lines.append(HandLine(found[1], found[0], quantity))
        if problems:
            raise InputError(problems)
        return lines

    def net_each(self, item: Item) -> Money:
        """What one of an item costs the customer where no hand has set it [Money]."""
        multiplier = self._terms(item)[2]
        return net_price(item.list_price, [multiplier * (1 - self.discount)])

    def _terms(self, item: Item) -> tuple[str, Goods, Fraction]:
        """An item's catalogue, what it is to a customer's tiers, and the multiplier on it."""
        found = find_item(self.shelf.catalogs, item.sku)
        assert found is not None  # noqa: S101  # the kit was built from these catalogues
        goods = goods_of(item, found[0].id, found[0].pieces)
        multiplier = self._multipliers.get(goods)
        if multiplier is None:
            multiplier = self.customer.multiplier_for(goods, self.day)
            self._multipliers[goods] = multiplier
        return found[0].id, goods, multiplier

    def _line(self, line: KitLine, by_hand: Override | None) -> WorkedLine:
        catalog_id, goods, multiplier = self._terms(line.item)
        tier_unit = net_price(line.item.list_price, [multiplier])
        factor = multiplier * (1 - self.discount)
        unit = net_price(line.item.list_price, [factor])
        if by_hand is not None and by_hand.price is not None:
            unit = by_hand.price
        return WorkedLine(
            line,
            catalog_id,
            goods,
            multiplier,
            factor,
            tier_unit,
            unit,
            unit.times(line.quantity),
            by_hand,
        )


def work_up(
    contents: JobContents,
    customer: Customer,
    shelf: Shelf | None,
    rules: RuleBook,
    day: date,
    *,
    made: Callable[[JobOpening], Kit] | None = None,
    progress: Callable[[int], None] | None = None,
) -> WorkedJob:
    """Every opening of a job, its kit and its prices on a day; shelf None: it has no openings.

    made: see `WorkBench`. progress: told now and then how many openings are done [count].

    Raises InputError with every override that no longer fits, RuleError.
    """
    if shelf is None:
        return WorkedJob(contents, customer, (), ())
    bench = WorkBench(shelf, rules, customer, contents.job.discount, day, made)
    worked: list[WorkedOpening] = []
    problems: list[Problem] = []
    for number, entry in enumerate(contents.openings):
        if progress is not None and number % PROGRESS_EVERY == 0:
            progress(number)
        try:
            worked.append(bench.work(entry))
        except InputError as error:
            problems += error.problems
    if problems:
        raise InputError(problems)
    return WorkedJob(contents, customer, tuple(worked), shelf.catalogs)


def standing(overrides: Sequence[Override]) -> tuple[Override, ...]:
    """The overrides that stand: of two about the same, the later."""
    return tuple({override.about: override for override in overrides}.values())


def find_item(catalogs: Sequence[Catalog], sku: str) -> tuple[Catalog, Item] | None:
    """An item by its SKU, with its catalogue."""
    for catalog in catalogs:
        item = catalog.items_by_sku.get(sku)
        if item is not None:
            return catalog, item
    return None


def _effect(override: Override) -> tuple[object, ...]:
    return (
        override.kind,
        override.size,
        override.sku,
        override.other_sku,
        override.quantity,
        override.price,
        override.wish,
    )


def _problem(entry: JobOpening, code: str, **fields: object) -> Problem:
    return Problem(code, {**fields, "mark": entry.mark}, f"opening {entry.mark}")
