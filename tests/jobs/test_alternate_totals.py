"""An alternate's totals against offers worked out whole by the decimal module, line by line."""

from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal, getcontext
from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, frozen, furnished, plain

from wholekit.documents.fill_quote import quote_paper
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Alternate
from wholekit.domain.tax import FreightRate, LineKind, Rounding, ShipTo, TaxRate
from wholekit.services.customers import set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import edit_job, set_alternate
from wholekit.services.quote_papers import as_it_stands
from wholekit.services.quotes import issue_quote

CENT = Decimal("0.01")
RATES = {"state": (Decimal("0.0625"), {"hardware"}), "city": (Decimal("0.0175"), None)}
PORT = ShipTo(
    "port",
    "Port Aldren",
    taxes=(
        TaxRate("state", Fraction(625, 10_000), frozenset({LineKind.HARDWARE})),
        TaxRate("city", Fraction(175, 10_000)),
    ),
    freights=(FreightRate("truck", Money(4_511, "USD"), Fraction(23, 1000), Money(50_000, "USD")),),
)
WAYS = [(rounding, inclusive) for rounding in Rounding for inclusive in (False, True)]


def cents(amount):
    return amount.quantize(CENT, ROUND_HALF_UP)


def whole(lines, by_line, inclusive):
    """Net, tax of each name and gross of (kind, amount) lines."""
    total = sum(amount for _, amount in lines)
    taxes = {}
    for name, (rate, kinds) in RATES.items():
        parts = []
        for kind, amount in lines:
            if kinds is None or kind in kinds:
                together = sum(r for r, k in RATES.values() if k is None or kind in k)
                parts.append(amount * rate / ((1 + together) if inclusive else 1))
        taxes[name] = sum(map(cents, parts)) if by_line else cents(sum(parts))
    tax = sum(taxes.values())
    return (total - tax, taxes, total) if inclusive else (total, taxes, total + tax)


def lines_of(snapshot, alternate=None):
    """The lines of the base bid, or of the base bid with an alternate, freight included."""
    out = () if alternate is None else alternate.deducts
    codes = ("",) if alternate is None else ("", alternate.code)
    openings = [
        opening
        for opening in snapshot.offer.openings
        if opening.alternate in codes and not (opening.alternate == "" and opening.mark in out)
    ]
    found = [
        ("hardware", line.unit.decimal * line.quantity * opening.quantity)
        for opening in openings
        for line in snapshot.offer.kit_of(opening).lines
    ]
    hardware = sum(amount for _, amount in found)
    found += [
        (extra.kind.value, extra.unit.decimal * extra.quantity)
        for extra in snapshot.offer.extras
        if extra.alternate in codes
    ]
    if 0 < hardware < 500:
        found.append(("freight", Decimal("45.11") + cents(hardware * Decimal("0.023"))))
    return found


@pytest.fixture(params=WAYS, ids=lambda way: f"{way[0].value}-{'incl' if way[1] else 'excl'}")
def way(request):
    return request.param


@pytest.fixture
def snapshot(way):
    """A base bid and seven alternates: more of a mark, with a line of their own, one without."""
    rounding, inclusive = way
    desk = furnished(FakeStore())
    set_ship_to(desk, by(), replace(PORT, rounding=rounding, inclusive=inclusive))
    job = a_job(desk, "101", "102").label
    edit_job(desk, by(), job, {"ship_to": "port"})
    add_extra(desk, by(), job, NewExtra(LineKind.LABOUR, "Fitting", 3, Money(6_537, "USD")))
    for count in range(1, 7):
        code = f"alt-{count}"
        set_alternate(desk, by(), job, Alternate(code, f"{count} of 102", ("102",)))
        add_openings(desk, by(), job, [plain("102", count, size="4080")], code)
        line = NewExtra(LineKind.OTHER, "Chart", count, Money(4_013, "USD"), alternate=code)
        add_extra(desk, by(), job, line)
    set_alternate(desk, by(), job, Alternate("alt-7", "Without 102", ("102",)))
    return frozen(issue_quote(desk, by("odo"), job).revision)


def test_base_and_alternate_are_the_offer_worked_out_whole(snapshot, way):
    getcontext().prec = 50
    by_line, inclusive = way[0] is Rounding.LINE, way[1]
    base = whole(lines_of(snapshot), by_line, inclusive)
    assert snapshot.offer.totals.gross.decimal == base[2]
    changed_alone = set()
    for alternate in snapshot.offer.alternates:
        net, taxes, gross = whole(lines_of(snapshot, alternate), by_line, inclusive)
        both = snapshot.offer.totals_with((alternate.code,))
        assert (both.net.decimal, both.gross.decimal) == (net, gross), alternate.code
        assert {tax.name: tax.tax.decimal for tax in both.taxes} == taxes, alternate.code
        assert both.net.decimal + sum(taxes.values()) == both.gross.decimal
        for tax in alternate.totals.taxes:
            assert tax.tax.decimal == taxes[tax.name] - base[1][tax.name]
            together = sum(rate for rate, _ in RATES.values())
            divisor = 1 + together if inclusive else 1
            alone = cents(tax.base.decimal * RATES[tax.name][0] / divisor)
            changed_alone.add(alone == tax.tax.decimal)
    assert False in changed_alone, "a tax worked out on the change alone would be a cent off"


def test_what_was_accepted_adds_up_from_what_was_quoted(snapshot):
    taken = [
        alternate for alternate in snapshot.offer.alternates if alternate.code in ("alt-3", "alt-5")
    ]
    both = snapshot.offer.totals_with(("alt-5", "alt-3"))
    for name in ("hardware", "extras", "freight", "net", "gross"):
        parts = [getattr(one.totals, name).minor for one in taken]
        assert getattr(both, name).minor == getattr(snapshot.offer.totals, name).minor + sum(parts)
    assert snapshot.offer.totals_with(()) == snapshot.offer.totals


def test_freight_that_is_free_with_an_alternate_is_taken_off_again(snapshot):
    dearest = snapshot.offer.alternates[5]
    assert dearest.totals.freight.minor == -snapshot.offer.totals.freight.minor < 0


def test_what_is_signed_for_with_an_alternate_is_the_firm_offer_worked_out_whole(way):
    """Where base openings are open they are in no sum, and an alternate takes none of them out."""
    getcontext().prec = 50
    rounding, inclusive = way
    desk = furnished(FakeStore())
    set_ship_to(desk, by(), replace(PORT, rounding=rounding, inclusive=inclusive))
    job = a_job(desk, "101").label
    # Beyond the tables: stopped.
    add_openings(desk, by(), job, [plain("102", size="9-0 x 10-0"), plain("103", 3)])
    edit_job(desk, by(), job, {"ship_to": "port"})
    for count in range(1, 7):
        code, taken = f"alt-{count}", ("102",) if count % 2 else ("102", "103")
        set_alternate(desk, by(), job, Alternate(code, f"{count} of 104", taken))
        add_openings(desk, by(), job, [plain("104", count, size="4080")], code)
    offer = as_it_stands(desk, by("odo"), job).snapshot.offer
    paper = quote_paper(offer)
    assert [one.places for one in paper.open] == ["102"]
    for alternate, shown in zip(offer.alternates, paper.alternates, strict=True):
        had = offer.chosen((alternate.code,))
        lines = [
            ("hardware", line.unit.decimal * line.quantity * opening.quantity)
            for opening in had.openings
            if offer.is_firm(opening)
            for line in offer.kit_of(opening).lines
        ]
        hardware = sum(amount for _, amount in lines)
        if 0 < hardware < 500:
            lines.append(("freight", Decimal("45.11") + cents(hardware * Decimal("0.023"))))
        net, _, gross = whole(lines, rounding is Rounding.LINE, inclusive)
        assert (paper.totals.gross + shown.totals.gross).decimal == gross
        assert (paper.totals.net + shown.totals.net).decimal == net
        assert offer.totals_with((alternate.code,)).gross.decimal == gross


def test_an_alternate_says_that_its_closers_are_of_another_series():
    desk = furnished(FakeStore(), "quillmere")
    job = a_job(desk).label
    add_openings(desk, by(), job, [plain("102", series="lodge"), plain("103", series="lodge")])
    for code, mark, series in (("alt-1", "102", "harbor"), ("alt-2", "103", "lodge")):
        set_alternate(desk, by(), job, Alternate(code, "Other closer", (mark,)))
        add_openings(desk, by(), job, [plain(mark, series=series)], code)
    changed, same = quote_paper(frozen(issue_quote(desk, by("odo"), job).revision).offer).alternates
    assert changed.series == "Closer series: Harbor in place of Lodge."
    assert same.series == ""
