"""A shelf remembers what it has worked out; what it remembers must not show in any kit."""

from dataclasses import fields, replace

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.house import RULES, SAMPLES, sample
from tests.support.openings import openings

from wholekit.domain.catalog import item_key
from wholekit.domain.kits import Policy, Shelf, build_kit, with_offers
from wholekit.domain.kits.choices import (
    ADJUSTABLE,
    FROM_STOCK,
    Wish,
    is_same,
    is_stocked,
    wished,
)
from wholekit.domain.openings import OpeningType

FIELDS = [field.name for field in fields(OpeningType)]
CATALOGS = [sample(name) for name in SAMPLES[:2]]
USED = Shelf(CATALOGS)


@given(openings(), openings(), st.sets(st.sampled_from(FIELDS), max_size=4))
@settings(max_examples=15, deadline=None)
def test_a_used_shelf_gives_the_kit_of_a_new_one(first, other, changed):
    """Defaults told of as assumed included, whatever was asked of the shelf before."""
    alike = replace(first, **{name: getattr(other, name) for name in changed})
    for kind in (first, alike, first):
        again = with_offers(build_kit(kind, USED, RULES), USED, RULES)
        new = Shelf(CATALOGS)
        assert again == with_offers(build_kit(kind, new, RULES), new, RULES)


@given(openings())
@settings(max_examples=25, deadline=None)
def test_adjustable_bodies_alone_give_the_kit_of_a_shelf_that_has_no_others(kind):
    """Bodies passed over in the search, or taken out of the catalogues with their boxes."""
    here = replace(kind, mount=build_kit(kind, USED, RULES).mount)
    kit = build_kit(here, USED, RULES, adjustable=True)
    asked, narrowed = wished(here, Wish(ADJUSTABLE, adjustable=True), USED)
    other = build_kit(asked, narrowed, RULES)
    assert kit.body is None or kit.body.adjustable
    assert kit.body == other.body
    assert is_same(kit, other)
    assert len(kit.missing) == len(other.missing)


ITEMS = sorted({item_key(item) for catalog in CATALOGS for item in catalog.items})
GONE = [item_key(item) for catalog in CATALOGS for item in catalog.items if item.discontinued]
BY_STOCK = [Shelf(CATALOGS, Policy(stock_first=first)) for first in (False, True)]


@given(
    openings(),
    st.sampled_from(BY_STOCK),
    st.dictionaries(st.sampled_from([*ITEMS, *GONE * 20]), st.integers(0, 3), max_size=12),
)
@settings(max_examples=25, deadline=None)
def test_a_used_shelf_with_another_stock_gives_the_kits_of_a_new_one(kind, used, changed):
    """Items run out and come in; discontinued ones are taken while there are any."""
    stock = {**used.stock, **changed}
    wish = Wish(FROM_STOCK, on_hand=2)
    build_kit(kind, used, RULES)
    wished(kind, wish, used)
    here, new = used.with_stock(stock), Shelf(CATALOGS, used.policy, stock)
    kit = with_offers(build_kit(kind, here, RULES), here, RULES)
    assert kit == with_offers(build_kit(kind, new, RULES), new, RULES)
    there = {item_key(item) for each in wished(kind, wish, here)[1].catalogs for item in each.items}
    assert there == {key for key in ITEMS if stock.get(key, 0) >= wish.on_hand}
    asked = [build_kit(*wished(kind, wish, place), RULES) for place in (here, new)]
    assert asked[0] == asked[1]
    assert is_stocked(kit, 1, stock) == all(
        stock.get(item_key(line.item), 0) >= line.quantity for line in kit.lines
    )
    assert here.with_stock(stock) is here
