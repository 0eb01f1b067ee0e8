"""The owner's sheet: the floor and discount of the day of quoting, and what was accepted."""

import json
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.documents.frozen import FORMAT_1, FORMAT_1_DIGEST
from tests.documents.test_papers import TEMPLATES
from tests.support.customer_words import words_of
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, opening, shelf
from tests.support.jobs import a_job, by, frozen, furnished, plain
from tests.support.offers import offered

from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_sheet import sheet_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.render import render_paper
from wholekit.domain.openings import Mount, Opening
from wholekit.domain.quantities import Cost, Money
from wholekit.domain.quotes import (
    Acceptance,
    Alternate,
    HousePolicy,
    State,
    digest,
)
from wholekit.domain.tax import FreightRate, LineKind, ShipTo, TaxRate
from wholekit.intake.openings import read_openings
from wholekit.services.customers import set_policy, set_ship_to
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import add_openings
from wholekit.services.jobs import edit_job, set_alternate, set_discount
from wholekit.services.quote_papers import sheet_shown
from wholekit.services.quotes import close_quote, issue_quote
from wholekit.settings import bundled
from wholekit.wording.amounts import say_money
from wholekit.wording.older_snapshots import read_snapshot

TODAY = Fraction(60, 100)
PORT = ShipTo(
    "port", "Port Aldren",
    taxes=(TaxRate("state", Fraction(625, 10_000)),),
    freights=(FreightRate("truck", Money(4_500, "USD"), Fraction(2, 100)),),
)  # fmt: skip


def usd(amount):
    return say_money(amount, "en_US")


def sheet_text(shown):
    paper = sheet_paper(shown.snapshot, shown.floor, accepted=shown.accepted)
    return words_of(make_flow(paper, TEMPLATES))


@pytest.fixture
def desk():
    house = furnished(FakeStore())
    set_ship_to(house, by(), PORT)
    return house


@pytest.fixture
def quoted(desk):
    """An issued quote with a discount, an alternate that adds and one that takes out."""
    label = a_job(desk, "101", "102").label
    edit_job(desk, by(), label, {"ship_to": "port"})
    set_discount(desk, by(), label, Fraction(2, 100), "third school")
    set_alternate(desk, by(), label, Alternate("alt-1", "Four of 102", ("102",)))
    add_openings(desk, by(), label, [plain("102", 4)], "alt-1")
    for new in (
        NewExtra(LineKind.OTHER, "Chart", 1, Money(4_000, "USD"), alternate="alt-1"),
        NewExtra(LineKind.HARDWARE, "Hinges", 2, Money(2_250, "USD"), Cost(137_799, "USD")),
    ):
        add_extra(desk, by(), label, new)
    set_alternate(desk, by(), label, Alternate("alt-2", "Without 101", ("101",)))
    return frozen(issue_quote(desk, by("odo"), label).revision)


def test_the_floor_and_the_discount_are_those_of_the_day_of_quoting(desk, quoted):
    set_policy(desk, by("odo"), lambda old: replace(old, floor=TODAY))
    text = sheet_text(sheet_shown(desk, by("odo"), "Q-1"))
    assert "Floor 25.0%" in text
    assert "Floor today" not in text
    assert "2%: third school" in text
    assert "LOW" not in text, "held against today's floor every opening would be"
    paper = sheet_paper(quoted, TODAY)
    assert (paper.floor, paper.floor_today) == (HousePolicy().floor, False)


def test_a_sheet_says_what_was_accepted_and_the_quote_stays_as_issued(desk, quoted, tmp_path):
    before = sheet_text(sheet_shown(desk, by("odo"), "Q-1"))
    assert "Accepted" not in before
    assert "ACCEPTED" not in before
    render_paper(quote_paper(quoted.offer), tmp_path / "before.pdf", TEMPLATES)
    close_quote(desk, by(), "Q-1", State.ACCEPTED, acceptance=Acceptance(("alt-1",)))
    shown = sheet_shown(desk, by("odo"), "Q-1")
    text = sheet_text(shown)
    totals = quoted.offer.totals_with(("alt-1",))
    assert "Accepted: base bid with alt-1," in text
    assert "alt-1 ACCEPTED Four of 102" in text
    assert text.count("ACCEPTED") == 1, "alt-2 was not taken"
    tax = totals.taxes[0].tax
    assert (
        f"{usd(Money(4_000, 'USD'))} of extra lines in no margin, freight {usd(totals.freight)}, "
        f"taxes {usd(tax)}, the customer pays {usd(totals.gross)}."
    ) in text
    (taken, _) = sheet_paper(quoted, TODAY, accepted=("alt-1",)).alternates
    figures = sheet_paper(quoted, TODAY, accepted=("alt-1",)).accepted
    assert figures is not None
    assert figures.figures == taken.with_it
    assert figures.figures.price == totals.hardware + Money(4_500, "USD")
    assert figures.figures.cost == (quoted.own.cost + quoted.own.alternates[0]).as_money
    render_paper(quote_paper(shown.snapshot.offer), tmp_path / "after.pdf", TEMPLATES)
    assert (tmp_path / "before.pdf").read_bytes() == (tmp_path / "after.pdf").read_bytes()


def test_a_base_bid_accepted_alone_says_so(desk, quoted):
    close_quote(desk, by(), "Q-1", State.ACCEPTED)
    shown = sheet_shown(desk, by("odo"), "Q-1")
    text = sheet_text(shown)
    assert "Accepted: base bid, " in text
    # What has nothing in it is told in a line, under no heading of its own.
    headings = {
        "Stops released by name": "No stop was released.",
        "Set by hand": "Nothing was set by hand.",
        "Approvals of price and discount": "No approval was given.",
        "Short on the shelf": "The shelf of these price books covers what may go out.",
    }
    for heading, nothing in headings.items():
        assert (heading in text) != (nothing in text)
    assert f"the customer pays {usd(quoted.offer.totals.gross)}" in text


def test_what_an_older_program_froze_is_read_and_printed():
    assert digest(FORMAT_1) == FORMAT_1_DIGEST
    assert not {"floor", "discount_reason", "translations"} & set(json.loads(FORMAT_1))
    old = read_snapshot(json.loads(FORMAT_1))
    assert (old.own.floor, old.own.discount_reason, old.offer.sent) == (None, "", None)
    assert (old.offer.totals.gross, old.offer.discount) == (Money(53_969, "USD"), Fraction(5, 100))
    quote = words_of(make_flow(quote_paper(old.offer), TEMPLATES))
    assert usd(old.offer.totals.gross) in quote
    assert "Without 102" in quote
    paper = sheet_paper(old, TODAY, accepted=("alt-1",))
    assert (paper.floor, paper.floor_today) == (TODAY, True)
    sheet = words_of(make_flow(paper, TEMPLATES))
    assert "Floor today 60.0%" in sheet
    assert "LOW: under the floor of 60.0%." in sheet
    assert "Discount 5%" in sheet
    assert f"the customer pays {usd(old.offer.totals_with(('alt-1',)).gross)}." in sheet


def test_an_owner_is_told_each_stop_once_and_that_stopped_openings_are_apart():
    """The quote's firm total does not hold them, nor does the sheet's headline."""
    job = str(bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv")
    some = [
        one for one in read_openings(job, [], RULES) if one.mark in ("103", "104", "122", "205")
    ]
    snapshot = offered(some, shelf())
    offer = snapshot.offer
    paper = sheet_paper(snapshot, Fraction(25, 100))
    stopped = {one.place for one in offer.openings if offer.is_held(one)}
    assert {place for place, _ in paper.open_stops} == stopped
    assert len(set(paper.open_stops)) == len(paper.open_stops)
    text = words_of(make_flow(paper, TEMPLATES))
    assert offer.firm_totals is not None
    firm = usd(offer.firm_totals.gross)
    assert f"the firm openings, {firm} price less" in text
    assert f"the customer pays {firm} for the firm openings; with the stopped ones:" in text
    assert f"the customer would pay {usd(paper.gross)}." in text
    assert paper.gross == offer.totals.gross > offer.firm_totals.gross
    assert text.count("STOP, not released. 205:") == 1
    clean = replace(paper, open_stops=(), held=None)
    assert "would pay" not in words_of(make_flow(clean, TEMPLATES))


def test_the_sheet_keeps_to_one_locale_and_the_jobs_units():
    """The house's own is in English, and so are its days and amounts; metric stays metric."""
    of = [Opening("P-01", opening("914x2134 mm", mount=Mount.REGULAR))]
    snapshot = offered(of, shelf(), locale="fr_CA", asks=True)
    paper = sheet_paper(snapshot, Fraction(25, 100))
    html = "".join(block.html for block in make_flow(paper, TEMPLATES).blocks)
    assert "November 25, 2026" in html
    assert "novembre" not in html
    assert any(" mm" in text for text in paper.assumed)
    assert not any(re.search(r"\d (in|lb)\b", text) for text in paper.assumed)


@given(st.lists(st.integers(1, 99_999), min_size=3, max_size=3), st.integers(1, 9))
def test_the_column_of_costs_adds_up_to_the_cost_of_the_first_page(costs, count):
    """Of openings and extra lines, of suppliers, and of what is stopped with what is not."""
    snapshot = offered(
        [Opening(str(101 + at), opening("3070"), count + at) for at in range(3)], shelf()
    )
    (kit,) = snapshot.own.kits
    kits = tuple(
        replace(kit, lines=(replace(kit.lines[0], cost=Cost(cost, "USD")), *kit.lines[1:]))
        for cost in costs
    )
    offer = snapshot.offer
    openings = tuple(replace(one, kit=at) for at, one in enumerate(offer.openings))
    words = replace(offer.words, kits=offer.words.kits * 3)
    paper = sheet_paper(
        replace(
            snapshot,
            offer=replace(offer, kits=offer.kits * 3, openings=openings, words=words),
            own=replace(snapshot.own, kits=kits),
        ),
        TODAY,
    )
    assert sum(one.figures.cost.minor for one in paper.openings) == paper.firm.cost.minor
    assert sum(one.figures.cost.minor for one in paper.suppliers) == paper.total.cost.minor
    assert paper.firm == paper.total
    figures = [one.figures for one in paper.openings] + [one.figures for one in paper.suppliers]
    for each in figures:
        assert each.margin == each.price - each.cost
