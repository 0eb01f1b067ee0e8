"""Items, shortages and price books made at random, small enough to try every quantity."""

from datetime import date, timedelta
from fractions import Fraction

from hypothesis import strategies as st

from wholekit.domain.buying import Coming, Shortage, StockPosition
from wholekit.domain.catalog import BuyingTerms, Item, PriceBreak, Supply
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.working_days import WorkingDays

ASKED = date(2026, 11, 26)  # a Thursday
WEEK = WorkingDays(frozenset(range(5)), frozenset({date(2026, 11, 27)}))


def an_item(sku="A", supplier="Maker", cost=10_0000, currency="USD", lead_days=5, **more):
    pieces = more.pop("pieces", 1)
    rest = {name: more.pop(name) for name in ("barcode", "discontinued", "replaced_by")
            if name in more}  # fmt: skip
    return Item(
        sku,
        supplier,
        f"{sku} of {supplier}",
        None,
        Money(99_999_99, currency),
        Cost(cost, currency),
        (Supply("screw", pieces),),
        lead_days=lead_days,
        terms=BuyingTerms(**more),
        **rest,
    )


def breaks(*pairs, currency="USD"):
    return tuple(PriceBreak(packs, Cost(units, currency)) for packs, units in pairs)


def short(packs=1, key=("Maker", "A"), days=None, order="O-1", bag="O-1-101"):
    needed = None if days is None else ASKED + timedelta(days=days)
    return Shortage(key, Fraction(packs), needed, order, bag)


@st.composite
def items(draw, supplier="Maker", sku="A"):
    cost = draw(st.integers(1, 200_000))
    least = draw(st.integers(1, 12))
    steps = draw(st.lists(st.tuples(st.integers(1, 9), st.integers(1, 60_000)), max_size=3))
    at, price, found = 1, cost, []
    for more, less in steps:
        at, price = at + more, price - less
        if price < 0:
            break
        found.append((at, price))
    return an_item(
        sku,
        supplier,
        cost,
        lead_days=draw(st.integers(0, 10)),
        breakable=draw(st.booleans()),
        reorder_at=draw(st.none() | st.integers(0, 8)),
        least_order=least,
        price_breaks=breaks(*found),
        discontinued=draw(st.integers(0, 9)) == 0,
    )


@st.composite
def markets(draw):
    """Items of three suppliers by key, what is short of them and how they stand."""
    keys = [(supplier, sku) for supplier in ("Maker", "Other", "Third") for sku in ("A", "B")]
    books = {key: draw(items(*key)) for key in keys if draw(st.integers(0, 7))}
    parts = st.fractions(Fraction(1, 4), 6, max_denominator=4)
    shortages = draw(
        st.lists(
            st.builds(
                short,
                parts,
                st.sampled_from(keys),
                st.none() | st.integers(-2, 20),
                st.sampled_from(("O-1", "O-2")),
                st.sampled_from(("101", "102", "103")),
            ),
            max_size=8,
        )
    )
    days = st.none() | st.integers(0, 20).map(lambda days: ASKED + timedelta(days=days))
    coming = st.lists(st.builds(Coming, st.integers(1, 5), days), max_size=2).map(tuple)
    stock = [
        StockPosition(key, draw(st.integers(0, 6)), draw(coming))
        for key in keys
        if draw(st.booleans())
    ]
    return books, shortages, stock
