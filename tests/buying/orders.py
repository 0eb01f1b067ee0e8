"""Purchase orders: one of the invented makers, and any."""

from datetime import date

from hypothesis import strategies as st
from tests.buying.market import WEEK
from tests.support.house import sample

from wholekit.documents.papers import Letterhead
from wholekit.domain.buying import (
    OrderLine,
    PurchaseOrder,
    Shortage,
    StockPosition,
    buy_list,
    purchase_order,
)
from wholekit.domain.quantities import Cost
from wholekit.domain.quantities.money import ISO_4217_DIGITS

HOUSE = Letterhead(
    "Fernhollow Supply", ("1 Quarry Road", "Ostrell Bay"), "555-0101", "buy@fern.test"
)
DAY = date(2026, 11, 26)


def an_order(shortages=(("TG-BA", 5), ("T-BS-MS-P10", 9), ("TG-SH.689", 3)), number="PO-7"):
    """What a sample job would want of one maker."""
    catalog = sample("tarrowby")
    items = {(item.supplier, item.sku): item for item in catalog.items}
    wants = [
        Shortage((catalog.supplier, sku), packs, date(2026, 12, 8), "O-1", f"O-1-{sku}")
        for sku, packs in shortages
    ]
    stock = [StockPosition(want.item, 50) for want in wants]
    stock.append(StockPosition((catalog.supplier, "T-PS-P25"), 1))
    (buy,) = buy_list(wants, stock, items, WEEK, DAY).suppliers
    ship_to = ("Main warehouse", "12 Dock Street", "Ostrell Bay")
    return purchase_order(buy, number, DAY, "main", ship_to, "Odo Marsh")


TEXTS = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=30).filter(
    str.strip
)


@st.composite
def orders(draw):
    currency = draw(st.sampled_from(sorted(ISO_4217_DIGITS)))
    days = st.none() | st.dates(DAY, date(2027, 12, 31))
    lines = st.builds(
        OrderLine,
        st.from_regex(r"[A-Z][A-Z0-9./+-]{0,12}", fullmatch=True),
        TEXTS,
        st.sampled_from(("", "689", "US26D")),
        st.sampled_from(("", "2990000000187")),
        st.integers(1, 100),
        st.integers(1, 5_000),
        st.integers(0, 10**8).map(lambda units: Cost(units, currency)),
        days,
    )
    return PurchaseOrder(
        "PO-1",
        draw(TEXTS),
        currency,
        DAY,
        "main",
        tuple(draw(st.lists(lines, min_size=1, max_size=4))),
        tuple(draw(st.lists(TEXTS, max_size=3))),
        tuple(draw(st.lists(TEXTS, max_size=2))),
        draw(days),
        draw(st.sampled_from(("", "Odo"))),
        draw(st.sampled_from(("", "Leave at the dock"))),
    )
