"""What must not pass for the same: unlike counts set by hand, a price below the one approved."""

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, furnished

from wholekit.domain.limits import Breach, approved
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Override, OverrideKind, PersonRole
from wholekit.domain.quotes.revision import Approval, ApprovedPart
from wholekit.services.approvals import review_job
from wholekit.services.job_openings import override_opening

SEEN = ApprovedPart("", Money(100_000, "USD"), Money(90_000, "USD"), Fraction(20, 100))
BREACH = Breach("margin-under-limit", "", PersonRole.COUNTER, Fraction(25, 100), Fraction(20, 100))


def _approval(*parts: ApprovedPart) -> Approval:
    return Approval("odo", by().at, "one-off", parts)


def test_two_like_openings_with_different_counts_set_by_hand_have_prices_of_their_own():
    desk = furnished(FakeStore())
    job = a_job(desk, "101", "102")
    line = review_job(desk, by(), job.label).workup.job.openings[0].kit.lines[-1]
    for mark, count in (("101", 1), ("102", 3)):
        swap = Override(
            OverrideKind.ITEM, "spare", "ines", by().at, sku=line.item.sku,
            other_sku=line.item.sku, quantity=count,
        )  # fmt: skip
        override_opening(desk, by(), job.label, mark, swap)
    first, second = review_job(desk, by(), job.label).workup.job.openings
    assert [opening.kit.lines[-1].quantity for opening in (first, second)] == [1, 3]
    assert second.price.minor - first.price.minor == 2 * first.worked.lines[-1].unit.minor


@pytest.mark.parametrize(
    "lower",
    [
        {"quoted": Money(99_999, "USD")},
        {"net": Money(89_999, "USD")},
        {"margin": Fraction(1999, 10_000)},
        {"margin": None},
    ],
)
def test_an_approval_does_not_outlive_a_lower_price_net_or_margin(lower):
    held = _approval(SEEN)
    assert approved([SEEN], [BREACH], [held]) is held
    assert approved([replace(SEEN, **lower)], [BREACH], [held]) is None


def test_an_approval_holds_while_everything_it_saw_is_as_high_or_higher():
    held = _approval(SEEN)
    dearer = replace(SEEN, quoted=Money(120_000, "USD"), net=Money(95_000, "USD"))
    assert approved([dearer], [BREACH], [held]) is held


def test_an_approval_covers_no_alternate_it_did_not_see():
    alternate = replace(SEEN, alternate="A1")
    breach = replace(BREACH, alternate="A1")
    assert approved([SEEN, alternate], [breach], [_approval(SEEN)]) is None
