"""What a customer signs for: whole kits without an open stop, whatever was let go by name."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.support.fake_store import FakeStore
from tests.support.jobs import a_job, by, frozen, furnished, plain

from wholekit.documents.fill_quote import quote_paper
from wholekit.domain.earnings import sold
from wholekit.domain.errors import CallError
from wholekit.domain.openings import HoldOpen, Mount
from wholekit.domain.quantities import parse_length
from wholekit.domain.quotes import Alternate, State
from wholekit.services.approvals import review_job
from wholekit.services.job_openings import add_openings, release_stop
from wholekit.services.jobs import set_alternate
from wholekit.services.quote_papers import revision_shown
from wholekit.services.quotes import close_quote, issue_quote

# No sample catalogue has an arm for so deep a reveal: the forearm lacks.
KINDS: dict[str, dict[str, Any]] = {
    "whole": {},
    "held": {"fire_minutes": 90, "hold_open": HoldOpen.ARM},
    "lacking": {"mount": Mount.TOP_JAMB, "reveal": parse_length("12 in")},
}
STOPS = {"held": "hold-open-on-fire-door", "lacking": "reveal-too-deep"}
OPENINGS = st.tuples(st.sampled_from(sorted(KINDS)), st.integers(1, 3), st.booleans())


@settings(max_examples=5)
@given(st.lists(OPENINGS, min_size=1, max_size=4), st.booleans())
def test_what_is_accepted_is_firm_whichever_stops_were_let_go(kinds, leave_stopped):
    desk = furnished(FakeStore())
    job = a_job(desk, "1")
    signed = {"1"}
    add_openings(
        desk, by(), job.label,
        [plain(f"{at}", count, **KINDS[kind]) for at, (kind, count, _) in enumerate(kinds, 2)],
    )  # fmt: skip
    for at, (kind, _, released) in enumerate(kinds, 2):
        if kind in STOPS and released:
            release_stop(desk, by("odo"), job.label, f"{at}", STOPS[kind], "letter of 3 June")
        if kind == "whole" or (kind == "held" and released):
            signed.add(f"{at}")
    firm = revision_shown(desk, by(), job.label).snapshot.offer.firm
    may_go = all(kind == "whole" or released for kind, _, released in kinds)
    issued = issue_quote(desk, by("odo"), job.label, leave_stopped=leave_stopped).revision
    assert (issued is not None) == (may_go or leave_stopped)
    if issued is None:
        return
    snapshot = frozen(close_quote(desk, by("odo"), "Q-1", State.ACCEPTED))
    offer = snapshot.offer
    assert {opening.mark for opening in offer.openings} == signed
    assert all(map(offer.is_firm, offer.openings))
    assert offer.totals_with(()).hardware == offer.totals.hardware == offer.firm == firm
    assert sum(sale.price.minor for sale in sold(snapshot)) == firm.minor
    paper = quote_paper(offer)
    assert paper.totals.hardware == firm
    assert {mark.mark for kit in paper.kits for mark in kit.marks} == signed
    assert sum(one.quantity for one in paper.open) + paper.openings == 1 + sum(
        n for _, n, _ in kinds
    )


def test_a_draft_that_lacks_a_piece_is_accepted_at_what_its_front_says():
    desk = furnished(FakeStore())
    job = a_job(desk, "1")
    add_openings(desk, by(), job.label, [plain("2", **KINDS["lacking"])])
    offer = revision_shown(desk, by(), job.label).snapshot.offer
    assert offer.totals_with(()) == offer.firm_totals != offer.totals


def test_an_alternate_that_lacks_a_piece_is_refused_even_where_its_stop_was_let_go():
    desk = furnished(FakeStore())
    job = a_job(desk, "1")
    set_alternate(desk, by(), job.label, Alternate("ALT-1", "Deep reveal"))
    add_openings(desk, by(), job.label, [plain("1", **KINDS["lacking"])], alternate="ALT-1")
    release_stop(
        desk, by("odo"), job.label, "1", STOPS["lacking"], "letter of 3 June", alternate="ALT-1"
    )
    with pytest.raises(CallError) as refused:
        review_job(desk, by(), job.label)
    assert refused.value.code == "alternate-stopped"
