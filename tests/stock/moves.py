"""Movements drawn at random, of few items, places and bags, so that they meet."""

from datetime import UTC, datetime
from itertools import count

from hypothesis import strategies as st

from wholekit.domain.stock import SIDES, Account, Kind, Movement, Side, StockPlace

AT = datetime(2026, 11, 26, 9, 0, tzinfo=UTC)
ITEMS = (("Averlund", "A-1"), ("Averlund", "B-2"), ("Tarrowby", "A-1"))
PLACES = (StockPlace("main", ""), StockPlace("main", "A-01"), StockPlace("north", "A-01"))
BAGS = ("bag-1", "bag-2")
_KEYS = count(1)


def account(side: Side, place: StockPlace, bag: str) -> Account:
    """A side of a movement at a place, for a bag, as far as it has either."""
    if side is Side.SHELF:
        return Account(side, place)
    if side in (Side.FREE, Side.PROMISED, Side.BAG):
        return Account(side, StockPlace(place.branch), "" if side is Side.FREE else bag)
    return Account(side)


@st.composite
def movements(draw, kinds=tuple(Kind), most=5):
    """A movement of any kind."""
    kind = draw(st.sampled_from(kinds))
    source, target = draw(st.sampled_from(sorted(SIDES[kind])))
    place, bag = draw(st.sampled_from(PLACES)), draw(st.sampled_from(BAGS))
    other = place
    if kind is Kind.TRANSFER:
        other = draw(st.sampled_from([each for each in PLACES if each != place]))
    return Movement(
        f"key-{next(_KEYS)}",
        kind,
        draw(st.sampled_from(ITEMS)),
        draw(st.integers(1, most)),
        account(source, place, bag),
        account(target, other, bag),
        AT,
        "pim",
        "found" if kind is Kind.ADJUST else "",
    )
