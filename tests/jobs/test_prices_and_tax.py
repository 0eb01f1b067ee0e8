"""What a customer pays: tiers, discount, prices by hand, tax, freight and alternates."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, frozen, furnished, plain

from wholekit.domain.customers import Customer, Goods, PriceTier, TaxStatus
from wholekit.domain.errors import CallError, InputError
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import Alternate, Override, OverrideKind
from wholekit.domain.quotes.totals import alternate_cost, alternate_totals, base_totals
from wholekit.domain.tax import FreightRate, LineKind, Rounding, ShipTo, TaxRate
from wholekit.services.approvals import review_job
from wholekit.services.customers import edit_customer, set_ship_to, set_tier
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import (
    add_openings,
    clear_override,
    copy_opening,
    edit_opening,
    override_opening,
    remove_opening,
)
from wholekit.services.jobs import edit_job, remove_alternate, set_alternate, set_discount
from wholekit.services.quotes import issue_quote

BODY = Goods("tarrowby", "granite", "body")
DAY = date(2026, 11, 25)
HALF = Fraction(1, 2)


@pytest.fixture
def desk():
    return furnished(FakeStore())


def priced(desk, job, days=0):
    return review_job(desk, by(days=days), job.label).workup


def tier(percent, **scope):
    return PriceTier(Fraction(percent, 100), **scope)


@pytest.mark.parametrize(
    ("tiers", "wins"),
    [
        ([], 80),
        ([tier(60, supplier="tarrowby")], 60),
        ([tier(60, supplier="averlund")], 80),
        ([tier(60, supplier="tarrowby"), tier(65, kind="body")], 65),
        ([tier(65, kind="body"), tier(55, series="granite")], 55),
        ([tier(55, series="granite"), tier(70, supplier="tarrowby", kind="body")], 70),
        ([tier(70, supplier="tarrowby", kind="body"), tier(61, series="granite", kind="body")], 61),
        ([tier(60), tier(60, supplier="tarrowby", series="granite", kind="cover")], 60),
    ],
)
def test_the_most_specific_price_tier_wins(tiers, wins):
    customer = Customer("c", "C", multiplier=Fraction(80, 100), tiers=tuple(tiers))
    assert customer.multiplier_for(BODY, DAY) == Fraction(wins, 100)


@pytest.mark.parametrize(
    ("day", "wins"),
    [
        (date(2026, 11, 24), 80),
        (date(2026, 11, 25), 60),
        (date(2026, 12, 31), 60),
        (date(2027, 1, 1), 50),
    ],
)
def test_tiers_hold_from_their_first_day_to_their_last(day, wins):
    tiers = (
        tier(60, kind="body", valid_from=DAY, valid_to=date(2026, 12, 31)),
        tier(50, kind="body", valid_from=date(2027, 1, 1)),
    )
    customer = Customer("c", "C", multiplier=Fraction(80, 100), tiers=tiers)
    assert customer.multiplier_for(BODY, day) == Fraction(wins, 100)


def test_a_tier_changes_the_lines_it_covers_and_no_other(desk):
    job = a_job(desk, "101")
    before = priced(desk, job).job.openings[0].worked
    set_tier(desk, by("odo"), "saltmarsh", tier(35, kind="body"))
    after = priced(desk, job).job.openings[0].worked
    for was, now in zip(before.lines, after.lines, strict=True):
        wanted = Fraction(35, 100) if now.goods.kind == "body" else Fraction(70, 100)
        assert now.unit == was.line.item.list_price.scaled(wanted)
    assert after.price.minor < before.price.minor


def test_a_discount_rounds_each_net_price_once(desk):
    job = a_job(desk, "101")
    set_discount(desk, by(), job.label, Fraction(3, 100), "early order")
    worked = priced(desk, job).job.openings[0].worked
    for line in worked.lines:
        factor = Fraction(70, 100) * Fraction(97, 100)
        assert line.unit == line.line.item.list_price.scaled(factor)
    assert worked.price == Money(sum(line.total.minor for line in worked.lines), "USD")


def test_a_price_agreed_for_an_opening_is_the_sum_of_its_lines(desk):
    job = a_job(desk, "101")
    agreed = Override(OverrideKind.PRICE, "by telephone", "", by().at, price=Money(9_999, "USD"))
    override_opening(desk, by(), job.label, "101", agreed)
    snapshot = frozen(issue_quote(desk, by("odo"), job.label).revision)
    kit = snapshot.offer.kits[0]
    assert kit.price == Money(9_999, "USD")
    lines = sum(line.unit.minor * line.quantity for line in kit.lines)
    assert lines + kit.adjustment.minor == 9_999
    assert [sign.text for sign in snapshot.own.openings[0]] == [
        "price of the whole opening set to 99.99 USD"
    ]


def test_an_item_set_by_hand_is_checked_against_the_opening(desk):
    job = a_job(desk, "101")
    lines = priced(desk, job).job.openings[0].worked.lines
    body = next(line for line in lines if line.goods.kind == "body").line.item.sku
    left_out = Override(OverrideKind.ITEM, "customer has one", "", by().at, sku=body)
    override_opening(desk, by(), job.label, "101", left_out)
    review = review_job(desk, by("odo"), job.label)
    assert body not in {
        worked_line.line.item.sku for worked_line in review.workup.job.openings[0].worked.lines
    }
    assert not review.clear, "a kit without its body stops"
    clear_override(desk, by(), job.label, "101", OverrideKind.ITEM, body)
    assert review_job(desk, by("odo"), job.label).clear


def test_an_override_of_what_is_not_there_is_refused_and_not_kept(desk):
    job = a_job(desk, "101")
    for override in (
        Override(OverrideKind.ITEM, "why not", "", by().at, sku="NO-SUCH", other_sku="X"),
        Override(OverrideKind.ITEM, "why not", "", by().at, other_sku="NO-SUCH"),
        Override(OverrideKind.PRICE, "low", "", by().at, sku="NO-SUCH", price=Money(1, "USD")),
    ):
        with pytest.raises(InputError):
            override_opening(desk, by(), job.label, "101", override)
    no_reason = Override(OverrideKind.SIZE, " ", "", by().at, size=5)
    with pytest.raises(CallError, match="reason-needed"):
        override_opening(desk, by(), job.label, "101", no_reason)
    assert priced(desk, job).job.openings[0].entry.overrides == ()


def test_a_size_set_by_hand_is_the_size_of_the_kit(desk):
    job = a_job(desk, "101")
    before = priced(desk, job).job.openings[0].kit.spring_size
    assert before is not None
    larger = Override(OverrideKind.SIZE, "windy corner", "", by().at, size=before + 1)
    override_opening(desk, by(), job.label, "101", larger)
    assert priced(desk, job).job.openings[0].kit.spring_size == before + 1


def place(**changes):
    rates = (
        TaxRate("state", Fraction(6, 100), frozenset({LineKind.HARDWARE})),
        TaxRate("city", Fraction(1, 100)),
    )
    freight = FreightRate("freight", Money(4_500, "USD"), Fraction(2, 100))
    return replace(ShipTo("port", "Port Aldren", taxes=rates, freights=(freight,)), **changes)


def sent_to(desk, where, *marks):
    set_ship_to(desk, by(), where)
    job = a_job(desk, *marks)
    edit_job(desk, by(), job.label, {"ship_to": where.code})
    add_extra(desk, by(), job.label, NewExtra(LineKind.LABOUR, "Fitting", 2, Money(8_000, "USD")))
    return job


def totals_of(desk, job, days=0):
    workup = priced(desk, job, days)
    return base_totals(workup.job, workup.place)


def test_each_tax_holds_for_its_kinds_of_line(desk):
    totals = totals_of(desk, sent_to(desk, place(), "101"))
    hardware = totals.hardware.minor
    freight = 4_500 + Money(hardware, "USD").scaled(Fraction(2, 100)).minor
    assert totals.freight.minor == freight
    assert totals.net.minor == hardware + 16_000 + freight
    state, city = totals.taxes
    assert (state.base.minor, city.base.minor) == (hardware, hardware + 16_000 + freight)
    assert state.tax == Money(hardware, "USD").scaled(Fraction(6, 100))
    assert totals.gross == totals.net + state.tax + city.tax


def test_freight_is_free_from_an_amount_on(desk):
    where = place(freights=(FreightRate("freight", Money(4_500, "USD"), HALF, Money(1, "USD")),))
    assert totals_of(desk, sent_to(desk, where, "101")).freight.minor == 0


def test_a_certificate_sets_taxes_aside_while_it_holds(desk):
    job = sent_to(desk, place(), "101")
    status = TaxStatus("EX-2211", expires=date(2026, 11, 26))
    edit_customer(desk, by("odo"), "saltmarsh", lambda old: replace(old, tax=status))
    totals = totals_of(desk, job, days=1)
    assert (totals.taxes, totals.exempt) == ((), "EX-2211")
    assert totals.gross == totals.net
    assert len(totals_of(desk, job, days=2).taxes) == 2


def test_prices_that_contain_the_tax_stay_as_they_are(desk):
    totals = totals_of(desk, sent_to(desk, place(inclusive=True, freights=()), "101"))
    assert totals.gross == totals.hardware + totals.extras
    assert totals.net < totals.gross
    # Hardware carries 7 %, labour 1 %.
    exact = Fraction(totals.hardware.minor, 107) * 100 + Fraction(16_000, 101) * 100
    assert abs(totals.net.minor - exact) < 1


def test_the_margin_of_inclusive_prices_is_on_the_net(desk):
    vat = (TaxRate("VAT", Fraction(25, 100)),)
    job = sent_to(desk, place(inclusive=True, freights=(), taxes=vat), "101")
    review = review_job(desk, by(), job.label)
    hardware = base_totals(review.workup.job, review.workup.place).hardware
    assert review.standing.net == hardware.scaled(Fraction(4, 5)), "labour has no known cost"


def test_rounding_by_line_may_differ_from_rounding_by_document(desk):
    taxes = (TaxRate("tax", Fraction(1, 1000)),)
    by_line = place(taxes=taxes, freights=(), rounding=Rounding.LINE)
    job = sent_to(desk, by_line, "101", "102", "103")
    rounded = totals_of(desk, job)
    lines = [
        line.total for opening in priced(desk, job).job.openings for line in opening.worked.lines
    ]
    each = [line.scaled(Fraction(1, 1000)).minor for line in (*lines, Money(16_000, "USD"))]
    assert rounded.taxes[0].tax.minor == sum(each)


def test_an_alternate_tells_what_it_adds_less_what_it_takes_out(desk):
    job = sent_to(desk, place(), "101", "102")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Four of 102", ("102",)))
    copy_opening(desk, by(), job.label, "102", ["102"], to_alternate="alt-1")
    edit_opening(
        desk,
        by(),
        job.label,
        "102",
        lambda opening: replace(opening, quantity=4),
        alternate="alt-1",
    )
    workup = priced(desk, job)
    option = alternate_totals(workup.job, workup.job.contents.job.alternates[0], workup.place)
    base = base_totals(workup.job, workup.place)
    each = base.hardware.minor // 2
    assert option.hardware.minor == 3 * each
    whole = Money(base.hardware.minor + 3 * each, "USD").scaled(Fraction(2, 100)).minor
    assert base.freight.minor + option.freight.minor == 4_500 + whole
    kit = workup.job.openings[0].kit
    option_cost = alternate_cost(workup.job, workup.job.contents.job.alternates[0])
    assert option_cost == Cost(kit.cost.units * 3, "USD")


def test_an_alternate_that_only_takes_out_is_a_deduction(desk):
    job = a_job(desk, "101", "102")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Without 102", ("102",)))
    snapshot = frozen(issue_quote(desk, by(), job.label).revision)
    (option,) = snapshot.offer.alternates
    assert option.totals.net.minor == -snapshot.offer.openings[1].price.minor
    assert snapshot.offer.totals.net.minor == sum(
        opening.price.minor for opening in snapshot.offer.openings
    )


def test_a_base_mark_an_alternate_takes_out_cannot_vanish(desk):
    job = a_job(desk, "101", "102")
    set_alternate(desk, by(), job.label, Alternate("alt-1", "Without 102", ("102",)))
    with pytest.raises(CallError, match="mark-deducted"):
        remove_opening(desk, by(), job.label, "102")
    with pytest.raises(CallError, match="mark-unknown"):
        set_alternate(desk, by(), job.label, Alternate("alt-2", "Without 109", ("109",)))
    remove_alternate(desk, by(), job.label, "alt-1")
    remove_opening(desk, by(), job.label, "102")


def test_a_cheap_base_bid_does_not_hide_behind_a_dear_alternate(desk):
    job = a_job(desk, "101")
    cheap = Override(OverrideKind.PRICE, "to get in", "", by().at, price=Money(100, "USD"))
    override_opening(desk, by(), job.label, "101", cheap)
    set_alternate(desk, by(), job.label, Alternate("alt-1", "More"))
    add_openings(desk, by(), job.label, [plain("201", 500)], "alt-1")
    review = review_job(desk, by(), job.label)
    assert {(breach.code, breach.alternate) for breach in review.breaches} == {
        ("discount-over-limit", ""),
        ("margin-under-limit", ""),
    }
