"""From a snapshot to the owner's sheet. Margins are those of the day of quoting."""

from collections.abc import Sequence
from fractions import Fraction

from wholekit.documents.fill_snapshot import (
    basis_of,
    facts_of,
    head_of,
    released_texts,
    saved_by_discount,
)
from wholekit.documents.internal_sheet import (
    Decision,
    InternalSheet,
    SheetAlternate,
    SheetExtra,
    SheetKit,
    SheetLine,
)
from wholekit.documents.papers import Figures, MarginOpening, SupplierFigures
from wholekit.domain.earnings import Key, Sale, earning, earnings_by, sales_of
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.frozen import FrozenFinding, FrozenKit, FrozenOpening, Snapshot
from wholekit.domain.quotes.job import BASE
from wholekit.domain.tax import LineKind


def sheet_of_snapshot(
    snapshot: Snapshot, number: str, floor: Fraction, *, draft: bool = False
) -> InternalSheet:
    """The owner's sheet. floor: under which a margin is flagged [margin / price]."""
    currency = snapshot.currency
    sales = list(sales_of(snapshot))
    whole = earning("", sales, currency)
    totals = snapshot.totals
    return InternalSheet(
        head=head_of(snapshot, number),
        draft=draft,
        total=_figures(whole.margin, floor),
        uncosted=whole.uncosted,
        freight=totals.freight,
        tax=Money(sum(one.tax.minor for one in totals.taxes), currency),
        gross=totals.gross,
        discount=snapshot.discount,
        saved=saved_by_discount(
            snapshot, (one for one in snapshot.openings if one.alternate == BASE)
        ),
        floor=floor,
        openings=_opening_figures(snapshot, floor),
        kits=tuple(_kit(snapshot, at, kit, floor) for at, kit in enumerate(snapshot.kits)),
        suppliers=tuple(
            SupplierFigures(one.key, one.sales, _figures(one.margin, floor))
            for one in earnings_by(sales, Key.SUPPLIER, currency)
        ),
        extras=_sheet_extras(snapshot, floor),
        alternates=tuple(
            _alternate(snapshot, one.code, one.title, one.deducts, sales, floor)
            for one in snapshot.alternates
        ),
        overrides=_decisions(snapshot, "override"),
        releases=_decisions(snapshot, "release"),
        approvals=tuple(
            Decision("quote", one.text, one.reason, one.by, one.at)
            for one in snapshot.signs
            if one.what == "approval"
        ),
        open_stops=tuple(
            (_where(one), found.text)
            for one in snapshot.openings
            for found in _open_stops(snapshot, one)
        ),
        facts=facts_of(snapshot),
        basis=basis_of(snapshot),
    )


def _opening_figures(snapshot: Snapshot, floor: Fraction) -> tuple[MarginOpening, ...]:
    found = {}
    for code in dict.fromkeys(one.alternate for one in snapshot.openings):
        by_mark: dict[str, list[Sale]] = {}
        for sale in sales_of(snapshot, (code,)):
            by_mark.setdefault(sale.mark, []).append(sale)
        found[code] = by_mark
    return tuple(
        MarginOpening(
            _where(one),
            one.quantity,
            snapshot.kit_of(one).size,
            snapshot.kit_of(one).mount,
            _figures(
                earning("", found[one.alternate].get(one.mark, []), snapshot.currency).margin,
                floor,
            ),
            bool(snapshot.kit_of(one).missing or _open_stops(snapshot, one)),
        )
        for one in snapshot.openings
    )


def _kit(snapshot: Snapshot, at: int, kit: FrozenKit, floor: Fraction) -> SheetKit:
    net = _net_of(snapshot, LineKind.HARDWARE)
    return SheetKit(
        marks=tuple(_where(one) for one in snapshot.openings if one.kit == at),
        size=kit.size,
        mount=kit.mount,
        spring_size=kit.spring_size,
        lines=tuple(
            SheetLine(
                line.sku,
                line.description,
                line.supplier,
                line.quantity,
                line.list_price,
                line.multiplier,
                line.unit,
                line.cost,
                _figures(Margin(line.total.scaled(net), line.cost.times(line.quantity)), floor),
                line.by_hand,
            )
            for line in kit.lines
        ),
        figures=_figures(Margin(kit.price.scaled(net), kit.cost), floor),
        missing=tuple(f"{piece.quantity} × {piece.piece}" for piece in kit.missing),
    )


def _sheet_extras(snapshot: Snapshot, floor: Fraction) -> tuple[SheetExtra, ...]:
    return tuple(
        SheetExtra(
            one.description,
            one.quantity,
            one.alternate,
            price,
            None
            if one.cost is None
            else _figures(Margin(price, one.cost.times(one.quantity)), floor),
        )
        for one in snapshot.extras
        if one.total is not None
        for price in (one.total.scaled(_net_of(snapshot, one.kind)),)
    )


def _net_of(snapshot: Snapshot, kind: LineKind) -> Fraction:
    """What is net of an amount [fraction]: less than one where prices contain the tax."""
    return dict(snapshot.net_of).get(kind, Fraction(1))


def _alternate(
    snapshot: Snapshot,
    code: str,
    title: str,
    deducts: tuple[str, ...],
    base: Sequence[Sale],
    floor: Fraction,
) -> SheetAlternate:
    def margin(sales: Sequence[Sale]) -> Margin:
        return earning("", sales, snapshot.currency).margin

    added = list(sales_of(snapshot, (code,)))
    kept = [one for one in base if not one.mark or one.mark not in deducts]
    before, after = margin(base), margin([*kept, *added])
    change = Margin(
        after.price - before.price,
        Cost(after.cost.units - before.cost.units, snapshot.currency),
    )
    return SheetAlternate(code, title, deducts, _figures(change, None), _figures(after, floor))


def _decisions(snapshot: Snapshot, what: str) -> tuple[Decision, ...]:
    return tuple(
        Decision(_where(one), sign.text, sign.reason, sign.by, sign.at)
        for one in snapshot.openings
        for sign in one.signs
        if sign.what == what
    )


def _open_stops(snapshot: Snapshot, one: FrozenOpening) -> list[FrozenFinding]:
    """Stops that nobody has released; an issued revision has none."""
    released = released_texts(one)
    return [
        found
        for found in snapshot.kit_of(one).findings
        if found.severity == "stop" and found.text not in released
    ]


def _where(one: FrozenOpening) -> str:
    return f"{one.mark} [{one.alternate}]" if one.alternate else one.mark


def _figures(margin: Margin, floor: Fraction | None) -> Figures:
    low = floor is not None and margin.under(floor)
    return Figures(margin.price, margin.cost.as_money, margin.amount, margin.share, low)
