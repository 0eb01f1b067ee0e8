"""From a snapshot to the owner's sheet. Margins are those of the day of quoting."""

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from wholekit.documents.fill import (
    basis_of,
    facts_of,
    house_head,
    missing_of,
    mount_said,
    words_in,
)
from wholekit.documents.internal_sheet import (
    Decision,
    Figures,
    InternalSheet,
    OpeningFigures,
    SheetAccepted,
    SheetAlternate,
    SheetExtra,
    SheetKit,
    SheetLine,
    ShortStock,
    SupplierFigures,
)
from wholekit.documents.papers import PaperHead
from wholekit.domain.earnings import (
    Key,
    Sale,
    changed_by,
    earning,
    earnings_by,
    sales_of,
    sold,
)
from wholekit.domain.margins import Margin, rounded_together
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes.draws import Draw
from wholekit.domain.quotes.filling import Filling, filling_of
from wholekit.domain.quotes.offer import OfferAlternate, OfferWords, Totals
from wholekit.domain.quotes.own import Snapshot
from wholekit.domain.tax import LineKind
from wholekit.wording.margin_keys import say_key
from wholekit.wording.speech import ENGLISH, speaking


def sheet_paper(
    snapshot: Snapshot,
    today: Fraction,
    *,
    draft: bool = False,
    accepted: Sequence[str] | None = None,
    language: str = ENGLISH,
) -> InternalSheet:
    """The owner's sheet. today: the floor where the snapshot keeps none [margin / price]; under
    the floor a margin is flagged. accepted: codes of the alternates taken; None: not accepted.
    language: the house's [CLDR code], as of `pick_list_paper`."""
    head = house_head(snapshot.offer, language)
    with speaking(head.words_of):
        return _sheet(snapshot, today, head, draft=draft, accepted=accepted)


def _sheet(
    snapshot: Snapshot,
    today: Fraction,
    head: PaperHead,
    *,
    draft: bool,
    accepted: Sequence[str] | None,
) -> InternalSheet:
    offer, own = snapshot.offer, snapshot.own
    words = words_in(offer, head.language)
    floor = today if own.floor is None else own.floor
    sales = sold(snapshot)
    whole = earning("", sales, offer.currency)
    base = offer.chosen()
    # What is had, as for the pick list.
    filling = filling_of(offer.chosen(accepted or ()))
    net = own.net_part(LineKind.HARDWARE)
    waits = [
        (filling.waiting(opening), filling.offer.kit_of(opening).price.scaled(net))
        for opening in filling.offer.openings
    ]
    firm = _firm(snapshot, sales)
    part = earning("", firm, offer.currency)
    held = earning("", [sale for sale in sales if sale not in firm], offer.currency)
    costs = _Costs(snapshot, sales, firm)
    by_supplier = earnings_by(sales, Key.SUPPLIER, offer.currency)
    supplied = rounded_together(
        [earned.margin.cost for earned in by_supplier], whole.margin.cost.as_money
    )
    totals = offer.firm_totals
    return InternalSheet(
        head=head,
        draft=draft,
        firm=_figures(part.margin, floor),
        held=_figures(held.margin, floor, costs.held) if len(firm) < len(sales) else None,
        firm_gross=None if totals is None else totals.gross,
        total=_figures(whole.margin, floor),
        uncosted=whole.uncosted,
        freight=offer.totals.freight,
        tax=_tax(offer.totals),
        gross=offer.totals.gross,
        discount=offer.discount,
        reason=own.discount_reason,
        saved=base.saved,
        floor=floor,
        floor_today=own.floor is None,
        openings=_opening_figures(snapshot, filling, words, floor, costs),
        kits=tuple(_kit(snapshot, at, words, floor) for at in range(len(offer.kits))),
        suppliers=tuple(
            SupplierFigures(say_key(earned.key), earned.sales, _figures(earned.margin, floor, cost))
            for earned, cost in zip(by_supplier, supplied, strict=True)
        ),
        extras=_sheet_extras(snapshot, floor, costs),
        alternates=tuple(
            _alternate(snapshot, alternate, floor, accepted=alternate.code in (accepted or ()))
            for alternate in offer.alternates
        ),
        overrides=_decisions(snapshot, "override"),
        releases=_decisions(snapshot, "release"),
        approvals=tuple(
            Decision("quote", sign.text, sign.reason, sign.by, sign.at) for sign in own.signs
        ),
        # Leaf and pair may each say the same.
        open_stops=tuple(
            dict.fromkeys(
                (opening.place, words.kits[opening.kit].findings[at][0])
                for opening in offer.openings
                for at in offer.open_stops(opening)
            )
        ),
        facts=facts_of(offer, head.locale),
        basis=basis_of(
            offer,
            revisions=any(catalog.revision for catalog in offer.catalogs),
            locale=head.locale,
        ),
        shorts=tuple(_short(filling, draw, words, net) for draw in filling.shorts),
        exposure=Money(sum(each.times(kits).minor for kits, each in waits), offer.currency),
        waiting=sum(kits for kits, _ in waits),
        accepted=None if accepted is None else _accepted(snapshot, accepted, floor),
        assumed=own.assumed,
        beyond=offer.not_quoted,
        lacking=tuple(
            (opening.place, f"{lack.quantity} × {lack.piece}")
            for opening in offer.openings
            for lack in missing_of(offer.kit_of(opening), words.kits[opening.kit], words.language)
        ),
    )


def _firm(snapshot: Snapshot, sales: Sequence[Sale]) -> Sequence[Sale]:
    """Those that signing accepts: of the base bid only what is whole and not stopped."""
    offer = snapshot.offer
    firm = {each.mark for each in offer.openings if not each.alternate and offer.is_firm(each)}
    return [sale for sale in sales if not sale.mark or sale.alternate or sale.mark in firm]


def _short(filling: Filling, draw: Draw, words: OfferWords, net: Fraction) -> ShortStock:
    """net: what of a price is no tax [fraction]."""
    offer = filling.offer
    waits = [(filling.waiting(one, draw.item), one) for one in offer.openings]
    price = sum(offer.kit_of(one).price.scaled(net).minor * kits for kits, one in waits)
    return ShortStock(
        draw.item.sku,
        words.item(draw.item),
        draw.quantity,
        draw.item.on_hand,
        draw.short,
        draw.item.lead_days,
        Money(price, offer.currency),
        filling.waits_for(draw),
        sum(kits for kits, _ in waits),
    )


def _accepted(snapshot: Snapshot, codes: Sequence[str], floor: Fraction) -> SheetAccepted:
    offer = snapshot.offer
    totals = offer.totals_with(codes)
    whole = earning("", _firm(snapshot, sold(snapshot, codes)), offer.currency)
    return SheetAccepted(
        tuple(codes),
        _figures(whole.margin, floor),
        whole.uncosted,
        totals.freight,
        _tax(totals),
        totals.gross,
    )


def _tax(totals: Totals) -> Money:
    return Money(sum(charge.tax.minor for charge in totals.taxes), totals.gross.currency)


def _opening_figures(
    snapshot: Snapshot, filling: Filling, words: OfferWords, floor: Fraction, costs: "_Costs"
) -> tuple[OpeningFigures, ...]:
    offer = snapshot.offer
    found: dict[tuple[str, str], list[Sale]] = {}
    for sale in sales_of(snapshot, None):
        found.setdefault((sale.alternate, sale.mark), []).append(sale)
    return tuple(
        OpeningFigures(
            opening.place,
            opening.quantity,
            said.size,
            mount_said(offer.kit_of(opening), said, words),
            _figures(
                earning(
                    "", found.get((opening.alternate, opening.mark), []), offer.currency
                ).margin,
                floor,
                costs.of[opening.alternate, opening.mark],
            ),
            offer.standing(opening),
            filling.waiting(opening),
        )
        for opening in offer.openings
        for said in (words.kits[opening.kit],)
    )


def _kit(snapshot: Snapshot, at: int, words: OfferWords, floor: Fraction) -> SheetKit:
    offer = snapshot.offer
    kit, own, said = offer.kits[at], snapshot.own.kits[at], words.kits[at]
    net = snapshot.own.net_part(LineKind.HARDWARE)
    lines = [
        SheetLine(
            line.sku,
            words.item(line),
            line.supplier,
            line.quantity,
            mine.list_price,
            mine.multiplier,
            line.unit,
            mine.cost,
            _figures(Margin(line.total.scaled(net), mine.cost.times(line.quantity)), floor),
            mine.by_hand,
        )
        for line, mine in zip(kit.lines, own.lines, strict=True)
    ]
    if kit.adjustment.minor:
        # The lines carry all the cost there is; what was agreed only moves the price.
        agreed, nothing = kit.adjustment, Cost(0, offer.currency)
        figures = _figures(Margin(agreed.scaled(net), nothing), floor)
        agreed_words = words.price_agreed
        lines.append(
            SheetLine("", agreed_words, "", 1, agreed, Fraction(1), agreed, nothing, figures)
        )
    return SheetKit(
        marks=tuple(opening.place for opening in offer.openings if opening.kit == at),
        size=said.size,
        mount=mount_said(kit, said, words),
        spring_size=kit.spring_size,
        lines=tuple(lines),
        figures=_figures(Margin(kit.price.scaled(net), own.cost), floor),
        missing=tuple(
            f"{lack.quantity} × {lack.piece}" for lack in missing_of(kit, said, words.language)
        ),
    )


def _sheet_extras(snapshot: Snapshot, floor: Fraction, costs: "_Costs") -> tuple[SheetExtra, ...]:
    own = snapshot.own
    return tuple(
        SheetExtra(
            extra.description,
            extra.quantity,
            extra.alternate,
            price,
            None
            if cost is None
            else _figures(Margin(price, cost.times(extra.quantity)), floor, costs.of_extra(at)),
        )
        for at, (extra, cost) in enumerate(zip(snapshot.offer.extras, own.extras, strict=True))
        if extra.total is not None
        for price in (extra.total.scaled(own.net_part(extra.kind)),)
    )


def _alternate(
    snapshot: Snapshot, alternate: OfferAlternate, floor: Fraction, *, accepted: bool
) -> SheetAlternate:
    whole = earning("", sold(snapshot, (alternate.code,)), snapshot.offer.currency).margin
    change = changed_by(snapshot, alternate.code).margin
    return SheetAlternate(
        alternate.code,
        alternate.title,
        alternate.deducts,
        _figures(change, None),
        _figures(whole, floor),
        accepted,
    )


def _decisions(snapshot: Snapshot, what: str) -> tuple[Decision, ...]:
    return tuple(
        Decision(opening.place, sign.text, sign.reason, sign.by, sign.at)
        for opening, signs in zip(snapshot.offer.openings, snapshot.own.openings, strict=True)
        for sign in signs
        if sign.what == what
    )


def _figures(margin: Margin, floor: Fraction | None, cost: Money | None = None) -> Figures:
    """cost: as it is shown, where it is one of several that are to add up."""
    low = floor is not None and margin.under(floor)
    # Costs keep four decimals and are rounded here, once, where they are shown.
    shown = margin.cost.as_money if cost is None else cost
    return Figures(margin.price, shown, margin.price - shown, margin.share, low)


class _Costs:
    """Costs as they are shown of openings and extra lines, so that their columns add up: those of
    the base bid's firm ones to the firm cost, with the others to the whole, those of each
    alternate to what is of it."""

    def __init__(self, snapshot: Snapshot, sales: Sequence[Sale], firm: Sequence[Sale]) -> None:
        offer = snapshot.offer
        whole, part = (
            earning("", some, offer.currency).margin.cost.as_money for some in (sales, firm)
        )
        self.held = whole - part
        self.of: dict[tuple[str, str], Money] = {}
        groups: dict[tuple[str, bool], dict[tuple[str, str], Cost]] = {}
        sold_at = Counter[tuple[str, str]]()
        for sale in sales_of(snapshot, None):
            sold_at[sale.alternate, sale.mark] += sale.cost.units if sale.cost else 0
        for opening in offer.openings:
            own = Cost(sold_at[opening.alternate, opening.mark], offer.currency)
            sound = bool(opening.alternate) or offer.is_firm(opening)
            group = groups.setdefault((opening.alternate, sound), {})
            group[opening.alternate, opening.mark] = own
        for at, (extra, cost) in enumerate(zip(offer.extras, snapshot.own.extras, strict=True)):
            if extra.total is not None and cost is not None:
                group = groups.setdefault((extra.alternate, True), {})
                group["", _extra_key(at)] = cost.times(extra.quantity)
        for (alternate, sound), costs in groups.items():
            of_these = Cost(sum(cost.units for cost in costs.values()), offer.currency).as_money
            if not alternate:
                of_these = part if sound else self.held
            self.of.update(zip(costs, rounded_together([*costs.values()], of_these), strict=True))

    def of_extra(self, at: int) -> Money:
        """The cost of an extra line, by its place in the offer."""
        return self.of["", _extra_key(at)]


def _extra_key(at: int) -> str:
    """No mark begins with a line's end."""
    return f"\n{at}"
