"""What customers bring back, on every store: of a bag or an order, and never more than left."""

# mypy: disable-error-code="union-attr"

from dataclasses import replace

import pytest
from tests.contract.test_orders_in_a_store import accepted, enough, issued, pick_whole, set_free
from tests.support.jobs import by, plain

from wholekit.domain.errors import CallError
from wholekit.domain.quotes import Person, PersonRole
from wholekit.services import bag_claims, picks, substitutions, unpacking, waves
from wholekit.services.customers import set_person
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import list_jobs
from wholekit.services.paging import Page
from wholekit.services.ports import JobFilter
from wholekit.services.shipping import ship_bags
from wholekit.services.stock import ToldItem, ToldPlace
from wholekit.services.stock_returns import ReturnWay, ToldReturn, return_stock, return_unnamed
from wholekit.views.bag_claims import claim_answer

PLACE = ToldPlace(bin="R-1")


def _shipped(desk):
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    label = accepted(desk, "101", "102")
    standing = enough(desk, label)
    wave = waves.open_wave(desk, by("pia"))
    for row, _ in wave.bags:
        pick_whole(desk, wave.number, row.id)
    ship_bags(desk, by("pia"), label)
    item, packs = standing.bags[0].needs[0]
    return label, [row.id for row, _ in wave.bags], item, packs


@pytest.fixture
def _both(prepared):
    return prepared(_shipped)


@pytest.fixture
def desk(_both):
    return _both[0]


@pytest.fixture
def shipped(_both):
    """The quote of two bags that left, their ids, and an item of both with its packs in each."""
    return _both[1]


def told(item, packs, way=ReturnWay.SHELF, reason="not wanted"):
    return ToldReturn(ToldItem(item[1], item[0]), packs, way, PLACE, reason)


def noted(desk, *bags):
    with desk.store.reading() as uow:
        found = uow.audit.of_subject("bag", *bags)
    return [
        (one.subject_id, one.after["packs"], one.after["to"])
        for one in found
        if one.action == "stock-returned"
    ]


def test_no_more_comes_back_from_a_bag_than_left_in_it_wherever_it_goes(desk, shipped):
    _, (bag, other), item, packs = shipped
    for way in ReturnWay:
        with pytest.raises(CallError, match="return-too-many") as refused:
            return_stock(desk, by("pia"), told(item, packs + 1, way), bag)
        assert (refused.value.fields["left"], refused.value.fields["source"]) == (packs, bag)
    done = return_stock(desk, by("pia"), told(item, packs), f" {bag.lower()} ")
    assert [(one.kind, one.target.place.bin) for one in done.movements] == [("return", "R-1")]
    for way in ReturnWay:
        with pytest.raises(CallError, match="return-too-many"):
            return_stock(desk, by("pia"), told(item, 1, way), bag)
    return_stock(desk, by("pia"), told(item, 1, ReturnWay.SCRAP), other)
    assert noted(desk, bag, other) == [(bag, packs, "shelf"), (other, 1, "scrap")]


def test_of_an_order_any_bag_may_be_it_and_together_no_more(desk, shipped):
    label, bags, item, packs = shipped
    return_stock(desk, by("pia"), told(item, 1, ReturnWay.SUPPLIER), bags[1])
    quote = label.partition("/")[0]
    with pytest.raises(CallError, match="return-too-many") as refused:
        return_stock(desk, by("pia"), told(item, 2 * packs), order=quote)
    assert (refused.value.fields["left"], refused.value.fields["source"]) == (2 * packs - 1, label)
    return_stock(desk, by("pia"), told(item, 2 * packs - 1), order=label)
    assert sum(count for _, count, _ in noted(desk, *bags)) == 2 * packs
    with pytest.raises(CallError, match="return-too-many"):
        return_stock(desk, by("pia"), told(item, 1), order=quote)


def test_of_a_quote_the_bags_of_every_revision_may_be_it(desk, shipped):
    _, bags, item, packs = shipped
    (job, *_), _ = list_jobs(desk, by(), JobFilter(), Page())
    add_openings(desk, by(), f"J-{job.number}", [plain("201")])
    # Another revision is out, of which nothing was released.
    newer = issued(desk, f"J-{job.number}")
    return_stock(desk, by("pia"), told(item, 2 * packs), order=newer.partition("/")[0])
    assert {bag for bag, _, _ in noted(desk, *bags)} == set(bags)


def test_a_return_names_a_bag_or_an_order_that_there_is(desk, shipped):
    label, (bag, _), item, _ = shipped
    wrong = bag[:-1] + ("A" if bag[-1] != "A" else "B")
    strange = "Q99R1P1B1F"
    for names, code in (
        ({}, "return-of-what"),
        ({"bag": bag, "order": label}, "return-of-what"),
        ({"bag": wrong}, "bag-id-misread"),
        ({"bag": "the blue one"}, "bag-id-malformed"),
        ({"bag": strange}, "bag-"),
        ({"order": "Q-99"}, "unknown"),
    ):
        with pytest.raises(CallError, match=code):
            return_stock(desk, by("pia"), told(item, 1), **names)
    with pytest.raises(CallError, match="reason-needed"):
        return_stock(desk, by("pia"), told(item, 1, reason=" "), bag)
    assert noted(desk, bag) == []
    # Another item of that bag, or a bag that has not left, is nothing to bring back.
    other = accepted(desk, "201")
    waits = enough(desk, other).bags[0]
    with pytest.raises(CallError, match="return-too-many"):
        return_stock(desk, by("pia"), told(item, 1), waits.id)


def test_what_nobody_knows_the_bag_of_an_owner_takes_back_for_a_reason(desk, shipped):
    _, _, item, packs = shipped
    back = told(item, packs + 9)
    with pytest.raises(CallError, match="owner-needed"):
        return_unnamed(desk, by("pia"), back)
    with pytest.raises(CallError, match="reason-needed"):
        return_unnamed(desk, by("odo"), replace(back, reason=""))
    done = return_unnamed(desk, by("odo"), back)
    assert [(one.kind, one.packs, one.reason) for one in done.movements] == [
        ("return", packs + 9, "not wanted")
    ]


def test_a_bag_answers_a_claim_with_all_that_happened_to_it(desk):
    set_person(desk, by("odo"), Person("pia", PersonRole.PICKER))
    label = accepted(desk, "101", "102")
    enough(desk, label)
    set_free(desk, "T-PS-P25", 1)
    wave = waves.open_wave(desk, by("pia"), most=1)
    (row, empty) = wave.bags[0]
    line = empty.remaining[0]

    def scan(typed, scan_id=""):
        return picks.scan(desk, by("pia"), wave.number, typed, scan_id, row.id)

    picks.scan(desk, by("pia"), wave.number, row.id)
    scan("NO-SUCH", "s-1")
    scan("NO-SUCH", "s-1")
    scan("\x00\udc80" + "9" * 10_000)
    # A refused scan may count later under the same id.
    scan("999*" + line.ware.sku, "s-2")
    scan(line.ware.sku, "s-2")
    picks.undo_last(desk, by("pia"), row.id, "u-1")
    given = substitutions.substitute_item(desk, by("pia"), row.id, "T-PS", "T-PS-P25", "bent")
    assert not given.refused
    scan(line.ware.sku, "s-3")
    unpacking.unpack_bag(desk, by("odo"), row.id, "wrong cart")
    wave = waves.open_wave(desk, by("pia"), most=1)
    pick_whole(desk, wave.number, row.id)
    gone = ship_bags(desk, by("odo"), label).shipment
    scan(line.ware.sku, "s-4")
    return_stock(desk, by("pia"), told(line.item, 1, ReturnWay.SCRAP, "cracked"), row.id)
    found = claim_answer(bag_claims.bag_claim(desk, by("ines"), f" {row.id.lower()} "))
    picked = len(row.needs)
    assert [(each.deed, each.code) for each in found.record] == [
        ("opened", ""), ("refused", "scan-unknown"), ("refused", "scan-too-long"),
        ("refused", "item-too-many"), ("counted", ""), ("undone", ""), ("substituted", ""),
        ("counted", ""), ("unpacked", ""),
        ("opened", ""), *[("counted", "")] * picked, ("closed", ""), ("refused", "bag-closed"),
    ]  # fmt: skip
    first, back, instead = found.record[4:7]
    assert (first.id, first.sku, first.packs, first.undone) == ("s-2", line.ware.sku, 1, True)
    assert (back.of, back.sku, back.packs) == ("s-2", line.ware.sku, 1)
    assert (instead.sku, instead.instead, instead.said) == ("T-PS-P25", "T-PS", "bent")
    assert "NO-SUCH" in found.record[1].said
    assert [each.who for each in found.record if each.deed == "unpacked"] == ["odo"]
    assert (found.order, found.bag.mark, found.of) == (label, "101", 1)
    assert (found.job_name, found.customer) == ("Heron Quay School", "Saltmarsh Builders")
    assert found.opening.startswith("3'-0\" × 7'-0\"")
    assert (found.closed_by, found.left.shipment, found.left.by) == ("pia", gone.label, "odo")
    (came,) = found.returned
    assert (came.sku, came.packs, came.way, came.reason) == (line.ware.sku, 1, "scrap", "cracked")
    # What is refused changes nothing of the bag itself.
    assert {one.item: one.packs for one in picks.bag_shown(desk, by(), row.id)[2].lines} == dict(
        row.needs
    )
