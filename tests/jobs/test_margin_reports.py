"""Margins by key, cost drift, quotes won and lost, and what if."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.house import sample
from tests.support.jobs import a_job, by, frozen, furnished, plain, put_catalog

from wholekit.domain.customers import Customer
from wholekit.domain.earnings import Key, sold
from wholekit.domain.errors import CallError
from wholekit.domain.openings import HoldOpen
from wholekit.domain.quantities import Cost, Money, QuantityError
from wholekit.domain.quotes import Acceptance, Alternate, Person, PersonRole, State
from wholekit.domain.quotes.offer import KitKind
from wholekit.domain.tax import FreightRate, LineKind, ShipTo, TaxRate
from wholekit.services.approvals import review_job
from wholekit.services.customers import add_customer, set_person, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings, copy_opening
from wholekit.services.jobs import NewJob, create_job, edit_job, set_alternate
from wholekit.services.margin_reports import (
    cost_drift,
    job_margins,
    margin_report,
    what_if_margin,
    what_if_net,
    what_if_price,
    what_if_supplier,
    win_report,
)
from wholekit.services.ports import RevisionFilter
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.wording.margin_keys import say_key

ANY = RevisionFilter()


@pytest.fixture
def desk():
    return furnished(FakeStore(), "tarrowby", "quillmere")


def issued(desk, job, days=0, who="odo"):
    revision = issue_quote(desk, by(who, days), job.label).revision
    assert revision is not None
    return revision


def costing(catalog, factor):
    """The catalogue with every cost times a factor, list prices as they were."""
    return replace(
        catalog,
        items=tuple(
            replace(item, cost=Cost(int(item.cost.units * factor), item.cost.currency))
            for item in catalog.items
        ),
    )


@pytest.mark.parametrize("key", list(Key))
def test_whatever_margins_are_told_by_they_add_up_to_the_whole(desk, key):
    job = a_job(desk, "101", "102")
    add_extra(
        desk, by(), job.label,
        NewExtra(LineKind.HARDWARE, "Hinges", 3, Money(1_250, "USD"), Cost(81_250, "USD")),
    )  # fmt: skip
    add_extra(desk, by(), job.label, NewExtra(LineKind.FREIGHT, "Van", 1, Money(4_000, "USD")))
    snapshot = frozen(issued(desk, job))
    report = margin_report(desk, by("odo"), key, ANY, "USD")
    total = report.total
    assert total.margin.price == Money(
        sum(earning.margin.price.minor for earning in report.earnings), "USD"
    )
    assert total.margin.cost.units == sum(earning.margin.cost.units for earning in report.earnings)
    assert total.margin.price + total.uncosted == snapshot.offer.totals.net
    assert total.margin.cost == snapshot.own.cost
    assert total.uncosted == Money(4_000, "USD"), "what has no known cost earns no margin"


def test_a_quote_counts_once_by_its_last_revision(desk):
    job = a_job(desk, "101")
    issued(desk, job)
    edit_job(desk, by(), job.label, {"site": "East wing"})
    issued(desk, job)
    rows = margin_report(desk, by("odo"), Key.OPENING, ANY, "USD").earnings
    assert [say_key(row.key) for row in rows] == ["Q-00001/2 101"]


def test_margins_are_on_the_cost_of_the_day_of_quoting(desk):
    issued(desk, a_job(desk, "101"))
    before = margin_report(desk, by("odo"), Key.JOB, ANY, "USD")
    put_catalog(desk.store, costing(sample("tarrowby"), 3))
    put_catalog(desk.store, costing(sample("quillmere"), 3))
    assert margin_report(desk, by("odo"), Key.JOB, ANY, "USD") == before


def test_a_period_holds_what_was_issued_in_it(desk):
    issued(desk, a_job(desk, "101"))
    issued(desk, a_job(desk, "101"), days=10)
    by_month = margin_report(desk, by("odo"), Key.MONTH, ANY, "USD")
    assert [earning.key for earning in by_month.earnings] == ["2026-11", "2026-12"]
    november = RevisionFilter(issued_to=by(days=5).day)
    assert len(margin_report(desk, by("odo"), Key.JOB, november, "USD").earnings) == 1


def test_a_job_not_yet_issued_has_margins_too(desk):
    job = a_job(desk, "101", "102")
    draft = job_margins(desk, by("odo"), job.label, Key.OPENING)
    snapshot = frozen(issued(desk, job))
    assert [earning.margin.price for earning in draft.earnings] == [
        opening.price for opening in snapshot.offer.openings
    ]


def test_cost_drift_tells_what_an_open_quote_lacks_for_the_floor(desk):
    job = a_job(desk, "101")
    snapshot = frozen(issued(desk, job))
    (calm,) = cost_drift(desk, by("odo"))
    assert (calm.then, calm.short) == (calm.now, Money.zero("USD"))
    for name in ("tarrowby", "quillmere"):
        put_catalog(desk.store, costing(sample(name), Fraction(13, 10)))
    (found,) = cost_drift(desk, by("odo", days=1))
    line_cost = sum(
        int(own.cost.units * Fraction(13, 10)) * line.quantity
        for line, own in zip(snapshot.offer.kits[0].lines, snapshot.own.kits[0].lines, strict=True)
    )
    assert found.now.cost.units == line_cost
    assert found.then.cost == snapshot.own.cost
    held = replace(found.now, price=found.now.price + found.short)
    assert not held.under(Fraction(25, 100))
    assert replace(held, price=held.price - Money(1, "USD")).under(Fraction(25, 100))
    assert cost_drift(desk, by("odo", days=31)) == (), "a quote past its day is no longer open"


def test_an_item_no_catalogue_has_any_more_is_named(desk):
    revision = issued(desk, a_job(desk, "101"))
    skus = {line.sku for line in frozen(revision).offer.kits[0].lines}
    for name in ("tarrowby", "quillmere"):
        catalog = sample(name)
        kept = tuple(item for item in catalog.items if item.sku not in skus)
        put_catalog(desk.store, replace(catalog, items=kept))
    (found,) = cost_drift(desk, by("odo"))
    assert set(found.gone) == skus
    assert found.now == found.then


def test_win_rate_by_count_and_money_and_why_quotes_were_lost(desk):
    small, large = a_job(desk, "101"), a_job(desk, "101", "102", "103")
    third, fourth = a_job(desk, "101"), a_job(desk, "101")
    each = frozen(issued(desk, small)).offer.totals.net
    for job in (large, third, fourth):
        issued(desk, job)
    close_quote(desk, by(), "Q-1", State.ACCEPTED)
    close_quote(desk, by(), "Q-2", State.DECLINED, lost_reason="price")
    close_quote(desk, by(), "Q-3", State.DECLINED, lost_reason="lead-time")
    found = win_report(desk, by("odo"), ANY, "USD")
    assert (found.won, found.lost, found.open) == (1, 2, 1)
    assert found.rate == Fraction(1, 3)
    assert found.by_money == Fraction(1, 5)
    assert found.lost_by == (("lead-time", 1, each), ("price", 1, each.times(3)))
    later = win_report(desk, by("odo", days=40), ANY, "USD")
    assert (later.lost, later.open) == (3, 0), "the fourth has expired"


def test_an_accepted_revision_outweighs_a_later_one(desk):
    job = a_job(desk, "101")
    issued(desk, job)
    close_quote(desk, by(), "Q-1/1", State.ACCEPTED)
    edit_job(desk, by(), job.label, {"site": "East wing"})
    issued(desk, job)
    close_quote(desk, by(), "Q-1/2", State.DECLINED, lost_reason="price")
    assert win_report(desk, by("odo"), ANY, "USD").won == 1


def test_what_if_tells_margin_at_a_price_and_price_at_a_margin(desk):
    job = a_job(desk, "101")
    at_margin = what_if_margin(desk, by("odo"), job.label, Fraction(40, 100))
    share = at_margin.then.margin.share
    assert share is not None
    assert Fraction(40, 100) <= share < Fraction(401, 1000)
    at_price = what_if_price(desk, by("odo"), job.label, at_margin.then.margin.price)
    assert at_price.then == at_margin.then
    assert at_price.now.margin.price == frozen(issued(desk, job)).offer.totals.net


def test_what_if_another_supplier_gives_the_kits(desk):
    job = a_job(desk, "101")
    for supplier in ("tarrowby", "quillmere"):
        found = what_if_supplier(desk, by("odo"), job.label, supplier)
        assert found.then.margin.cost.units >= found.now.margin.cost.units, (
            "the job had the cheapest of both"
        )
        assert found.lacking == ()
    with pytest.raises(CallError, match="supplier-unknown"):
        what_if_supplier(desk, by("odo"), job.label, "averlund")


def place(**changes):
    freight = FreightRate("truck", Money(4_500, "USD"), Fraction(2, 100), Money(80_000, "USD"))
    taxes = (TaxRate("VAT", Fraction(25, 100)),)
    return replace(ShipTo("port", "Port Aldren", taxes=taxes, freights=(freight,)), **changes)


def sent(desk, where, *marks):
    """A job sent to a place, with lines of known and of unknown cost."""
    set_ship_to(desk, by(), where)
    label = a_job(desk, *marks).label
    edit_job(desk, by(), label, {"ship_to": "port"})
    for new in (
        NewExtra(LineKind.HARDWARE, "Hinges", 3, Money(1_250, "USD"), Cost(81_250, "USD")),
        NewExtra(LineKind.LABOUR, "Fitting", 1, Money(6_500, "USD")),
    ):
        add_extra(desk, by(), label, new)
    return label


def test_the_same_kind_of_kit_in_two_quotes_is_one_row(desk):
    first, second = a_job(desk, "101", "102"), a_job(desk, "201")
    snapshots = [frozen(issued(desk, job)) for job in (first, second)]
    add_openings(desk, by(), second.label, [plain("202", leaves=2), plain("203", size="4080")])
    add_extra(desk, by(), second.label, NewExtra(LineKind.LABOUR, "Fitting", 1, Money(5, "USD")))
    last = frozen(issued(desk, second))
    rows = {
        say_key(earning.key): earning
        for earning in margin_report(desk, by("odo"), Key.KIT, ANY, "USD").earnings
    }
    kit = snapshots[0].offer.kits[0]
    (body,) = [line for line in kit.lines if line.kind == "boxed-set"]
    name = f"{'+'.join(body.series)} / regular arm / size {kit.spring_size} / 689"
    assert rows[name].margin.price == kit.price.times(3), "two of one quote and one of the other"
    assert rows[f"{name} / pair"].margin.price == last.offer.openings[1].price
    assert len(rows) == 4
    assert rows["extra line"].uncosted == Money(5, "USD")


def test_a_kit_is_named_by_the_series_of_its_body(desk):
    put_catalog(desk.store, sample("tarrowby"))
    snapshot = frozen(issued(desk, a_job(desk, "101")))
    kit = snapshot.offer.kits[0]
    parts = [
        replace(kit.lines[0], kind="body", series=("granite",)),
        replace(kit.lines[0], kind="boxed-set", series=("harbor", "lodge")),
    ]
    changed = replace(kit, lines=tuple(parts), spring_size=None)
    own = replace(snapshot.own.kits[0], lines=snapshot.own.kits[0].lines[:1] * 2)
    loose = replace(
        snapshot,
        offer=replace(snapshot.offer, kits=(changed,)),
        own=replace(snapshot.own, kits=(own,)),
    )
    (kind,) = {sale.kit for sale in sold(loose)}
    assert kind == KitKind(("granite",), kit.mount, None, "689", 1)
    assert say_key(kind) == "granite / regular arm / no size fits / 689"


def test_days_the_wrong_way_round_and_names_nobody_has_are_errors(desk):
    issued(desk, a_job(desk, "101"))
    reversed_days = RevisionFilter(date(2026, 12, 1), date(2026, 11, 1))
    for ask in (
        lambda wanted, currency="USD": margin_report(desk, by("odo"), Key.JOB, wanted, currency),
        lambda wanted, currency="USD": win_report(desk, by("odo"), wanted, currency),
    ):
        for wanted, code in (
            (reversed_days, "dates-reversed"),
            (RevisionFilter(customer="nobody"), "customer-unknown"),
            (RevisionFilter(salesperson="nobody"), "salesperson-unknown"),
        ):
            with pytest.raises(CallError) as told:
                ask(wanted)
            assert told.value.code == code
        with pytest.raises(QuantityError, match="currency-unknown"):
            ask(ANY, "XXX")
        ask(RevisionFilter(date(2026, 11, 1), date(2026, 11, 1)))
    set_person(desk, by("odo"), Person("petra", PersonRole.SALES))
    assert (
        margin_report(desk, by("odo"), Key.JOB, RevisionFilter(salesperson="petra"), "USD").earnings
        == ()
    )
    edit_job(desk, by(), "1", {"salesperson": "gone"})
    of_gone = margin_report(desk, by("odo"), Key.JOB, RevisionFilter(salesperson="gone"), "USD")
    assert len(of_gone.earnings) == 1, "of a job, though no person of the house"


def test_quotes_in_other_currencies_are_told(desk):
    put_catalog(desk.store, sample("averlund"))
    add_customer(desk, by("odo"), Customer("hafen", "Hafenbau", currency="EUR"))
    issued(desk, a_job(desk, "101"))
    for number in range(2):
        job = create_job(desk, by(), NewJob(f"Kai {number}", "hafen"))
        add_extra(desk, by(), job.label, NewExtra(LineKind.OTHER, "Plan", 1, Money(900, "EUR")))
        issued(desk, job)
    for report in (
        lambda currency: margin_report(desk, by("odo"), Key.JOB, ANY, currency),
        lambda currency: win_report(desk, by("odo"), ANY, currency),
    ):
        assert report("USD").left_out == (("EUR", 2),)
        assert report("EUR").left_out == (("USD", 1),)
        assert report("CHF").left_out == (("EUR", 2), ("USD", 1))


def test_open_alternates_are_told_apart_and_are_in_no_total(desk):
    job = a_job(desk, "101", "102")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Two of 102", ("102",)))
    copy_opening(desk, by(), job.label, "102", ["102", "103"], to_alternate="alt-1")
    set_alternate(desk, by(), job.label, Alternate("alt-2", "Without 101", ("101",)))
    without = margin_report(desk, by("odo"), Key.JOB, ANY, "USD")
    assert job_margins(desk, by("odo"), job.label, Key.JOB, alternates=True).alternates[0].key == (
        "J-00001 alt-1"
    )
    snapshot = frozen(issued(desk, job))
    found = margin_report(desk, by("odo"), Key.JOB, ANY, "USD", alternates=True)
    assert [alternate.key for alternate in found.alternates] == [
        "Q-00001/1 alt-1",
        "Q-00001/1 alt-2",
    ]
    assert [alternate.margin.price for alternate in found.alternates] == [
        alternate.totals.hardware for alternate in snapshot.offer.alternates
    ]
    assert [alternate.margin.cost for alternate in found.alternates] == [*snapshot.own.alternates]
    assert found.total == margin_report(desk, by("odo"), Key.JOB, ANY, "USD").total
    assert found.total.margin.price == snapshot.offer.totals.hardware
    assert without.alternates == ()
    close_quote(desk, by(), "Q-1", State.ACCEPTED, acceptance=Acceptance(("alt-1",)))
    done = margin_report(desk, by("odo"), Key.JOB, ANY, "USD", alternates=True)
    assert done.alternates == (), "what was not accepted is open no more"


@pytest.mark.parametrize("inclusive", [False, True])
def test_what_if_and_review_tell_the_net_of_the_quote_beside_the_price(desk, inclusive):
    label = sent(desk, place(inclusive=inclusive), "101")
    now = what_if_margin(desk, by("odo"), label, Fraction(40, 100)).now
    review = review_job(desk, by(), label)
    totals = frozen(issue_quote(desk, by("odo"), label).revision).offer.totals
    assert now.net == review.net == totals.net
    assert now.margin.price == review.standing.net
    factor = Fraction(4, 5) if inclusive else Fraction(1)
    lines = Money(3 * 1_250, "USD")
    assert now.margin.price == totals.hardware.scaled(factor) + lines.scaled(factor)
    rest = (totals.freight + Money(6_500, "USD")).scaled(factor)
    assert abs((now.net - now.margin.price - rest).minor) <= 1


@pytest.mark.parametrize("inclusive", [False, True])
def test_a_net_asked_for_is_the_net_of_a_quote_at_that_price(desk, inclusive):
    label = sent(desk, place(inclusive=inclusive), "101", "102")
    now = what_if_price(desk, by("odo"), label, Money(1, "USD")).now
    assert what_if_net(desk, by("odo"), label, now.net).then == now
    for net in range(30_000, 160_000, 7_919):
        then = what_if_net(desk, by("odo"), label, Money(net, "USD")).then
        again = what_if_price(desk, by("odo"), label, then.margin.price).then
        assert abs(again.net.minor - then.net.minor) <= 2
        assert 0 <= then.net.minor - net <= 2, "the least that comes to it"
    free = what_if_net(desk, by("odo"), label, Money(200_000, "USD")).then
    if not inclusive:
        assert free.net - free.margin.price == Money(6_500, "USD"), "freight is free up there"
    with pytest.raises(CallError, match="net-under-lines"):
        what_if_net(desk, by("odo"), label, Money(5_000, "USD"))
    with pytest.raises(CallError, match="override-currency"):
        what_if_net(desk, by("odo"), label, Money(200_000, "EUR"))


def test_another_supplier_can_be_tried_on_some_marks(desk):
    job = a_job(desk, "101", "102")
    add_openings(desk, by(), job.label, [plain("103", size="4080")])
    whole = what_if_supplier(desk, by("odo"), job.label, "tarrowby")
    some = [
        what_if_supplier(desk, by("odo"), job.label, "tarrowby", marks)
        for marks in (("101",), ("102", "103"))
    ]
    moved = [
        what_if.then.margin.cost.units - what_if.now.margin.cost.units for what_if in (whole, *some)
    ]
    assert moved[0] == moved[1] + moved[2]
    assert min(moved[1:]) > 0
    nets = [(what_if.then.net - what_if.now.net).minor for what_if in (whole, *some)]
    assert nets[0] == nets[1] + nets[2] != 0
    with pytest.raises(CallError) as told:
        what_if_supplier(desk, by("odo"), job.label, "tarrowby", ("101", "999"))
    assert (told.value.code, told.value.fields["mark"]) == ("job-mark-unknown", "999")


def test_what_if_tells_marks_that_then_lack_pieces_or_are_stopped(desk):
    job = a_job(desk, "101")
    held = plain("102", fire_minutes=90, hold_open=HoldOpen.ARM)
    add_openings(desk, by(), job.label, [held])
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Another"))
    add_openings(desk, by(), job.label, [held], "alt-1")
    whole = what_if_supplier(desk, by("odo"), job.label, "tarrowby")
    assert (whole.lacking, whole.stopped) == ((), ("102", "102 [alt-1]"))
    tried = what_if_supplier(desk, by("odo"), job.label, "tarrowby", ("101",))
    assert tried.stopped == ("102", "102 [alt-1]"), "as they stand"
    bare = replace(sample("quillmere"), items=sample("quillmere").items[:1], id="quillmere")
    put_catalog(desk.store, bare)
    poor = what_if_supplier(desk, by("odo"), job.label, "quillmere", ("101",))
    assert poor.lacking == ("101",)
