"""What another edition of a catalogue would change."""

from dataclasses import replace
from fractions import Fraction

from tests.support.house import sample

from wholekit.domain.catalog.changes import catalog_changes
from wholekit.domain.quantities import Cost, Money
from wholekit.views.catalog_changes import changes_answer


def test_the_same_edition_changes_nothing():
    assert catalog_changes(sample("quillmere"), sample("quillmere")).nothing


def test_a_first_edition_is_all_new():
    changes = catalog_changes(None, sample("quillmere"))
    assert not changes.nothing
    assert changes.new == sample("quillmere").items
    assert (changes.gone, changes.changed) == ((), ())


def test_where_an_item_lies_in_its_file_is_no_change():
    before = sample("quillmere")
    turned = [replace(item, row=item.row + 7) for item in reversed(before.items)]
    assert catalog_changes(before, replace(before, items=tuple(turned))).nothing


def test_prices_move_by_an_exact_amount_and_share():
    before = sample("quillmere")
    first, second, *rest = before.items
    third = 3 * first.list_price.minor
    after = replace(
        before,
        items=(
            replace(first, list_price=Money(first.list_price.minor * 4 // 3, "USD")),
            replace(second, cost=Cost(0, "USD"), bin="Z-9"),
            *rest,
        ),
        counts={**before.counts, first.sku: 1},
    )
    changes = catalog_changes(before, after)
    dearer, other = changes.changed
    assert list(changes.dearer) == [dearer]
    assert dearer.price_share == Fraction(first.list_price.minor * 4 // 3 * 3 - third, third)
    assert dearer.stock_moved == 1 - before.counts[first.sku]
    assert (other.cost_share, other.others, other.price_moved) == (Fraction(-1), ("bin",), 0)


def test_a_share_of_nothing_is_not_told():
    before = sample("quillmere")
    free = replace(before.items[0], list_price=Money(0, "USD"))
    (change,) = catalog_changes(replace(before, items=(free, *before.items[1:])), before).changed
    assert change.price_share is None
    assert change.price_moved == before.items[0].list_price.minor


def test_another_currency_is_told_for_every_item():
    before = sample("quillmere")
    after = replace(
        before,
        currency="CAD",
        items=tuple(
            replace(
                item,
                list_price=Money(item.list_price.minor, "CAD"),
                cost=Cost(item.cost.units, "CAD"),
            )
            for item in before.items
        ),
    )
    changes = catalog_changes(before, after)
    assert changes.currency_changed
    assert all("currency" in change.others for change in changes.changed)
    assert len(changes.changed) == len(before.items)


def test_changed_engineering_data_are_told_by_series():
    before = sample("quillmere")
    first, *rest = before.series
    after = replace(before, series=(replace(first, standards=("another",)), *rest))
    changes = catalog_changes(before, after)
    assert changes.series_changed == (first.id,)
    assert not changes.nothing


def test_terms_of_buying_are_changes_by_their_own_names():
    before = sample("tarrowby")
    first, *rest = before.items
    terms = replace(first.terms, reorder_at=7, breakable=True)
    after = replace(before, items=(replace(first, terms=terms), *rest))
    (change,) = catalog_changes(before, after).changed
    assert change.others == ("breakable", "reorder_at")
    assert changes_answer(catalog_changes(before, after), 1).changed[0].others == (
        "breakable",
        "reorder at",
    )
