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
    SheetAccepted,
    SheetAlternate,
    SheetExtra,
    SheetKit,
    SheetLine,
)
from wholekit.documents.papers import Figures, MarginOpening, SupplierFigures
from wholekit.domain.earnings import (
    Key,
    Sale,
    changed_by,
    earning,
    earnings_by,
    sales_of,
    sold,
)
from wholekit.domain.margins import Margin
from wholekit.domain.quantities import Money
from wholekit.domain.quotes.frozen import (
    FrozenAlternate,
    FrozenFinding,
    FrozenKit,
    FrozenOpening,
    FrozenTotals,
    Snapshot,
)
from wholekit.domain.quotes.job import BASE
from wholekit.domain.quotes.totals import offer_totals
from wholekit.domain.tax import LineKind


def sheet_of_snapshot(
    snapshot: Snapshot,
    number: str,
    today: Fraction,
    *,
    draft: bool = False,
    accepted: Sequence[str] | None = None,
) -> InternalSheet:
    """The owner's sheet. today: the floor where the snapshot keeps none [margin / price]; under
    the floor a margin is flagged. accepted: codes of the alternates taken; None: not accepted."""
    currency = snapshot.currency
    floor = today if snapshot.floor is None else snapshot.floor
    sales = sold(snapshot)
    whole = earning("", sales, currency)
    totals = snapshot.totals
    return InternalSheet(
        head=head_of(snapshot, number),
        draft=draft,
        total=_figures(whole.margin, floor),
        uncosted=whole.uncosted,
        freight=totals.freight,
        tax=_tax(totals),
        gross=totals.gross,
        discount=snapshot.discount,
        reason=snapshot.discount_reason,
        saved=saved_by_discount(
            snapshot, (one for one in snapshot.openings if one.alternate == BASE)
        ),
        floor=floor,
        floor_today=snapshot.floor is None,
        openings=_opening_figures(snapshot, floor),
        kits=tuple(_kit(snapshot, at, kit, floor) for at, kit in enumerate(snapshot.kits)),
        suppliers=tuple(
            SupplierFigures(one.key, one.sales, _figures(one.margin, floor))
            for one in earnings_by(sales, Key.SUPPLIER, currency)
        ),
        extras=_sheet_extras(snapshot, floor),
        alternates=tuple(
            _alternate(snapshot, one, floor, accepted=one.code in (accepted or ()))
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
        accepted=None if accepted is None else _accepted(snapshot, accepted, floor),
    )


def _accepted(snapshot: Snapshot, codes: Sequence[str], floor: Fraction) -> SheetAccepted:
    totals = offer_totals(snapshot, codes)
    whole = earning("", sold(snapshot, codes), snapshot.currency)
    return SheetAccepted(
        tuple(codes),
        _figures(whole.margin, floor),
        whole.uncosted,
        totals.freight,
        _tax(totals),
        totals.gross,
    )


def _tax(totals: FrozenTotals) -> Money:
    return Money(sum(one.tax.minor for one in totals.taxes), totals.gross.currency)


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
    snapshot: Snapshot, one: FrozenAlternate, floor: Fraction, *, accepted: bool
) -> SheetAlternate:
    whole = earning("", sold(snapshot, (one.code,)), snapshot.currency).margin
    change = changed_by(snapshot, one.code).margin
    return SheetAlternate(
        one.code,
        one.title,
        one.deducts,
        _figures(change, None),
        _figures(whole, floor),
        accepted,
    )


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
