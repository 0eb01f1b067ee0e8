"""What issued quotes earn, and why: margins by any key, cost drift, quotes won and lost.

Everything is worked out from snapshots: price and cost are those of the day of quoting. Tax that
prices contain is no part of a price here. Price, cost and margin are of hardware and of extra lines
whose cost is known, without freight. Alternates count where they were accepted.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass, replace
from datetime import date
from enum import StrEnum
from fractions import Fraction

from wholekit.domain.errors import CallError
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.job import BASE
from wholekit.domain.quotes.offer import KitKind
from wholekit.domain.quotes.own import Snapshot
from wholekit.domain.tax import LineKind

# In place of what a kit line has: an extra line has no mark, supplier or kind of kit, and what
# makes up a price agreed for an opening has no item.
EXTRA = "extra-line"
AGREED = "price-agreed"


@dataclass(frozen=True, slots=True)
class Sale:
    """One line of one opening, or an extra line, as sold: price and cost for all of it.

    kit: its kind, None of an extra line. sku: empty of what is no item. cost None: not known (an
    extra line without one). alternate: whose it is, empty for the base bid.
    """

    quote: str
    job: str
    customer: str
    salesperson: str
    issued: date
    supplier: str
    mark: str
    kit: KitKind | None
    sku: str
    description: str
    quantity: int
    price: Money
    cost: Cost | None
    alternate: str = ""

    @property
    def place(self) -> "SalePlace":
        """Where in which quote it was sold."""
        return SalePlace(self.quote, self.mark, self.alternate)


@dataclass(frozen=True, slots=True)
class SalePlace:
    """A mark of a quote, or (empty) its extra lines; of a line, its item too."""

    quote: str
    mark: str
    alternate: str
    sku: str = ""
    description: str = ""


class Key(StrEnum):
    """What margins are told by."""

    LINE = "line"
    KIT = "kit"
    OPENING = "opening"
    JOB = "job"
    CUSTOMER = "customer"
    SALESPERSON = "salesperson"
    SUPPLIER = "supplier"
    MONTH = "month"
    QUARTER = "quarter"
    YEAR = "year"


Group = str | KitKind | SalePlace
_KEYS: Mapping[Key, Callable[[Sale], Group]] = {
    Key.LINE: lambda sale: replace(
        sale.place, sku=sale.sku or AGREED if sale.mark else "", description=sale.description
    ),
    Key.KIT: lambda sale: sale.kit or EXTRA,
    Key.OPENING: lambda sale: sale.place,
    Key.JOB: lambda sale: sale.job,
    Key.CUSTOMER: lambda sale: sale.customer,
    Key.SALESPERSON: lambda sale: sale.salesperson,
    Key.SUPPLIER: lambda sale: sale.supplier or (AGREED if sale.mark else EXTRA),
    Key.MONTH: lambda sale: f"{sale.issued:%Y-%m}",
    Key.QUARTER: lambda sale: f"{sale.issued:%Y}-Q{(sale.issued.month + 2) // 3}",
    Key.YEAR: lambda sale: f"{sale.issued:%Y}",
}


@dataclass(frozen=True, slots=True)
class Earning:
    """Sales of one key together. uncosted: price of what has no known cost, not in the margin."""

    key: Group
    sales: int
    margin: Margin
    uncosted: Money


def sold(snapshot: Snapshot, accepted: Sequence[str] = ()) -> tuple[Sale, ...]:
    """What was sold: the base bid without the marks that accepted alternates take out, and what
    those alternates add. Accepted is none: the base bid."""
    taken = snapshot.offer.alternates
    out = {mark for alternate in taken if alternate.code in accepted for mark in alternate.deducts}
    return tuple(
        sale
        for sale in sales_of(snapshot, (BASE, *accepted))
        if sale.alternate or sale.mark not in out
    )


def changed_by(snapshot: Snapshot, alternate: str) -> Earning:
    """What taking an alternate would change of the base bid's margin, under quote and code."""
    currency = snapshot.offer.currency
    whole, base = (earning("", sold(snapshot, codes), currency) for codes in ((alternate,), ()))
    return Earning(
        f"{snapshot.offer.label} {alternate}",
        len(list(sales_of(snapshot, (alternate,)))),
        Margin(
            whole.margin.price - base.margin.price, whole.margin.cost + base.margin.cost.times(-1)
        ),
        whole.uncosted - base.uncosted,
    )


def sales_of(snapshot: Snapshot, alternates: Sequence[str] | None = (BASE,)) -> Iterator[Sale]:
    """Every sale of a snapshot: kit lines of each opening, then extra lines with a price.

    alternates: those counted; None: all, and the base bid.
    """
    offer, own = snapshot.offer, snapshot.own
    head = (
        offer.label,
        offer.job,
        offer.customer.code,
        offer.salesperson,
        offer.issued,
    )
    hardware = own.net_part(LineKind.HARDWARE)
    nothing = Cost(0, offer.currency)
    kinds = [kit.kind for kit in offer.kits]
    for opening in offer.openings:
        if alternates is not None and opening.alternate not in alternates:
            continue
        kit, count = offer.kit_of(opening), opening.quantity
        for line, mine in zip(kit.lines, snapshot.own_kit(opening).lines, strict=True):
            yield Sale(
                *head,
                supplier=line.supplier,
                mark=opening.mark,
                kit=kinds[opening.kit],
                sku=line.sku,
                description=line.description,
                quantity=line.quantity * count,
                price=line.total.times(count).scaled(hardware),
                cost=mine.cost.times(line.quantity * count),
                alternate=opening.alternate,
            )
        if kit.adjustment.minor:
            yield Sale(
                *head,
                supplier="",
                mark=opening.mark,
                kit=kinds[opening.kit],
                sku="",
                description="",
                quantity=count,
                price=kit.adjustment.times(count).scaled(hardware),
                cost=nothing,
                alternate=opening.alternate,
            )
    for extra, cost in zip(offer.extras, own.extras, strict=True):
        if extra.total is None or (alternates is not None and extra.alternate not in alternates):
            continue
        yield Sale(
            *head,
            supplier="",
            mark="",
            kit=None,
            sku="",
            description=extra.description,
            quantity=extra.quantity,
            price=extra.total.scaled(own.net_part(extra.kind)),
            cost=None if cost is None else cost.times(extra.quantity),
            alternate=extra.alternate,
        )


def earnings_by(sales: Iterable[Sale], key: Key, currency: str) -> tuple[Earning, ...]:
    """Margins by a key, in the order of keys; sales of other currencies are left out."""
    groups: dict[Group, list[Sale]] = {}
    for sale in sales:
        if sale.price.currency == currency:
            groups.setdefault(_KEYS[key](sale), []).append(sale)
    return tuple(earning(name, groups[name], currency) for name in sorted(groups, key=_order))


def _order(key: Group) -> tuple[str, ...]:
    """Kinds of kit and places by their parts, all as text: None stands beside a number."""
    return (key,) if isinstance(key, str) else tuple(str(part) for part in astuple(key))


def earning(name: Group, sales: Sequence[Sale], currency: str) -> Earning:
    """The sales together."""
    known = [(sale.price, sale.cost) for sale in sales if sale.cost is not None]
    margin = Margin(
        Money(sum(price.minor for price, _ in known), currency),
        Cost(sum(cost.units for _, cost in known), currency),
    )
    uncosted = sum(sale.price.minor for sale in sales if sale.cost is None)
    return Earning(name, len(sales), margin, Money(uncosted, currency))


@dataclass(frozen=True, slots=True)
class Drift:
    """An open quote at present cost. then, now: its margin on the day of quoting and today.

    gone: SKUs no present catalogue has, taken at their old cost. short: what the price lacks to
    hold the floor [Money]; nothing where it holds. before: its margin without what is tried of
    costs, as it was quoted where nothing is; fell: it is under the floor, and was not before.
    """

    quote: str
    job: str
    customer: str
    valid_until: date
    then: Margin
    now: Margin
    short: Money
    gone: tuple[str, ...]
    before: Margin | None = None
    fell: bool = False


def drift_of(
    snapshot: Snapshot, present: Callable[[str, str], Cost | None], floor: Fraction
) -> Drift:
    """A quote at present cost.

    present: cost of (catalogue id, SKU) today, None where no catalogue has it.
    """
    offer = snapshot.offer
    then = earning("", list(sales_of(snapshot)), offer.currency).margin
    change = 0
    gone: set[str] = set()
    for opening in offer.openings:
        if opening.alternate != BASE:
            continue
        own = snapshot.own_kit(opening)
        for line, mine in zip(offer.kit_of(opening).lines, own.lines, strict=True):
            cost = present(line.catalog_id, line.sku)
            if cost is None:
                gone.add(line.sku)
            else:
                change += (cost.units - mine.cost.units) * line.quantity * opening.quantity
    now = Margin(then.price, Cost(then.cost.units + change, offer.currency))
    short = Money.zero(offer.currency)
    if now.under(floor):
        short = price_at(now.cost, floor) - now.price
    return Drift(
        offer.label,
        offer.job,
        offer.customer.code,
        offer.valid_until,
        then,
        now,
        short,
        tuple(sorted(gone)),
    )


def price_at(cost: Cost, margin: Fraction) -> Money:
    """The least price that earns a margin [fraction of the price] on a cost.

    price = cost / (1 - margin), rounded up to the minor unit so that the margin is held. Source:
    follows from margin = (price - cost) / price. Raises CallError for a margin of one or more.

    >>> price_at(Cost(750_000, "USD"), Fraction(1, 4)).decimal_text
    '100.00'
    """
    if margin >= 1:
        raise CallError("margin-out-of-range", given=f"{float(margin):.1%}")
    unit = Cost(10_000, cost.currency).as_money.minor
    exact = Fraction(cost.units, 10_000) * unit / (1 - margin)
    return Money(exact.__ceil__(), cost.currency)


@dataclass(frozen=True, slots=True)
class Fate:
    """What became of a quote: won, lost or still open, for how much net (freight in it, tax not;
    where it was accepted, of what was accepted), why it was lost, what was said of it, and
    the revision [count]."""

    quote: str
    customer: str
    salesperson: str
    state: str
    lost_reason: str
    net: Money
    remark: str = ""
    revision: int = 0


@dataclass(frozen=True, slots=True)
class WinRate:
    """Quotes won, lost and open, by count and by net [Money].

    rate: won of those decided [fraction of quotes], by_money: of their net; None where none is.
    lost_by: (reason, count, net) of those lost. left_out: (currency, count) of other currencies.
    fates: of each quote in this one, by quote.
    """

    won: int
    lost: int
    open: int
    won_net: Money
    lost_net: Money
    open_net: Money
    lost_by: tuple[tuple[str, int, Money], ...]
    left_out: tuple[tuple[str, int], ...] = ()
    fates: tuple[Fate, ...] = ()

    @property
    def rate(self) -> Fraction | None:
        """Won of those decided, by count."""
        decided = self.won + self.lost
        return Fraction(self.won, decided) if decided else None

    @property
    def by_money(self) -> Fraction | None:
        """Won of those decided, by net."""
        decided = self.won_net + self.lost_net
        return Fraction(self.won_net.minor, decided.minor) if decided.minor else None


def win_rate(fates: Sequence[Fate], currency: str) -> WinRate:
    """Quotes won and lost in one currency: accepted against declined and expired.

    A quote counts once: by its accepted revision, or else by its last.
    """
    mine = [fate for fate in fates if fate.net.currency == currency]
    won = [fate for fate in mine if fate.state == "accepted"]
    lost = [fate for fate in mine if fate.state in ("declined", "expired")]
    still = [fate for fate in mine if fate.state == "issued"]
    reasons: dict[str, list[Fate]] = {}
    for fate in lost:
        reasons.setdefault(fate.lost_reason or fate.state, []).append(fate)
    return WinRate(
        len(won),
        len(lost),
        len(still),
        _net(won, currency),
        _net(lost, currency),
        _net(still, currency),
        tuple((name, len(found), _net(found, currency)) for name, found in sorted(reasons.items())),
        left_out((fate.net.currency for fate in fates), currency),
        tuple(sorted(mine, key=lambda fate: fate.quote)),
    )


def left_out(currencies: Iterable[str], currency: str) -> tuple[tuple[str, int], ...]:
    """How many are in each currency but one, by currency.

    >>> left_out(["USD", "EUR", "EUR"], "USD")
    (('EUR', 2),)
    """
    return tuple(sorted(Counter(foreign for foreign in currencies if foreign != currency).items()))


def _net(fates: Sequence[Fate], currency: str) -> Money:
    return Money(sum(fate.net.minor for fate in fates), currency)
