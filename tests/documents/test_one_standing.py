"""One state of an opening and one list of what is short, on every paper that tells of them.

Over random jobs, some stopped, some lacking a piece, some whose kits a hand has emptied, and random
shelves: the models of quote, pick list, labels, packing slip, cards, submittal and owner's sheet.
"""

from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_labels import labels_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_sheet import sheet_paper
from wholekit.documents.fill_slip import Consignment, packing_slip_paper
from wholekit.documents.fill_submittal import submittal_paper
from wholekit.documents.setting_card import HoldPage
from wholekit.domain.catalog import Role
from wholekit.domain.openings import HoldOpen, Location, Mount, Opening
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Snapshot
from wholekit.domain.quotes.filling import short_stock
from wholekit.domain.quotes.offer import OfferPiece
from wholekit.domain.quotes.standing import OpeningStanding

KINDS = (
    opening("3070", mount=Mount.REGULAR, weight="100 lb"),
    opening("2868", mount=Mount.REGULAR, weight="100 lb"),
    opening("3070", mount=Mount.PARALLEL, weight="100 lb", accessible=True),
    opening("3070", leaves=2),
    opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM),
    opening("6480", location=Location.EXTERIOR),
)


@pytest.fixture(scope="module")
def base() -> Snapshot:
    """One mark of each kind, of which jobs are made: the kits are worked up once."""
    return offered([Opening(f"M{at}", kind) for at, kind in enumerate(KINDS)], shelf())


@st.composite
def jobs(draw, base):
    """A snapshot of a few openings; each item lies on the shelf so often, or not."""
    offer = base.offer
    skus = sorted({(line.supplier, line.sku) for kit in offer.kits for line in kit.lines})
    there = {sku: draw(st.sampled_from((0, 1, 2, 3, 50)), label=sku[1]) for sku in skus}
    kits = [
        replace(
            kit,
            lines=tuple(
                replace(line, on_hand=there[line.supplier, line.sku]) for line in kit.lines
            ),
        )
        for kit in offer.kits
    ]
    # The same without a line of it, and one whose line is not written once.
    bare = replace(kits[0], lines=())
    twice = replace(kits[1], lines=(*kits[1].lines, *kits[1].lines))
    # And one that lacks a piece though nothing stops it.
    lacking = replace(kits[2], missing=(OfferPiece(Role.BODY, 2),))
    kits += [bare, twice, lacking]
    own = [*base.own.kits, replace(base.own.kits[0], lines=()), base.own.kits[1], base.own.kits[2]]
    own[-2] = replace(own[-2], lines=(*own[-2].lines, *own[-2].lines))
    words = list(offer.words.kits)
    words += [
        replace(words[0], lines=()),
        replace(words[1], lines=words[1].lines * 2),
        replace(words[2], missing=(("closer body", "none is made"),)),
    ]
    wanted = draw(st.lists(st.tuples(st.integers(0, len(kits) - 1), st.integers(1, 4)), min_size=1,
                           max_size=7))  # fmt: skip
    openings = tuple(
        replace(
            offer.openings[0],
            mark=f"{101 + at}",
            kit=kit,
            quantity=count,
            price=kits[kit].price.times(count),
            ready=(),
        )
        for at, (kit, count) in enumerate(wanted)
    )
    made = replace(
        offer,
        kits=tuple(kits),
        openings=openings,
        words=replace(offer.words, kits=tuple(words), notes=()),
    )
    signs = tuple(base.own.openings[0] for _ in openings)
    return replace(base, offer=made, own=replace(base.own, kits=tuple(own), openings=signs))


@given(data=st.data())
def test_every_paper_says_the_same_of_an_opening_and_of_what_is_short(base, data):
    snapshot = data.draw(jobs(base))
    offer = snapshot.offer
    every = [one.place for one in offer.openings]
    firm = {one.place for one in offer.openings if offer.standing(one) is OpeningStanding.FIRM}
    sheet = sheet_paper(snapshot, Fraction(1, 4))
    picked = pick_list_paper(offer)
    slip = packing_slip_paper(offer)
    cards = cards_paper(offer, RULES)
    labels = labels_paper(offer).labels
    # --- the state of each opening
    assert {one.mark for one in picked.openings} == firm
    assert [one.mark for one in picked.held] == [mark for mark in every if mark not in firm]
    assert {one.mark: one.standing for one in sheet.openings} == {
        one.place: offer.standing(one) for one in offer.openings
    }
    assert {place for place, _ in (*sheet.open_stops, *sheet.lacking)} == set(every) - firm
    bagged = {one.place for one in offer.openings if offer.kit_of(one).lines}
    assert {mark.mark for kit in slip.kits for mark in kit.marks} == firm & bagged
    assert {one.mark for one in labels if one.held} == bagged - firm
    holds = {mark for page in cards.cards if isinstance(page, HoldPage) for mark in page.marks}
    assert holds == set(every) - firm
    assert {row.mark for row in submittal_paper(offer, RULES).rows if row.held} == holds
    assert quote_paper(offer).openings == sum(
        one.quantity for one in offer.openings if one.place in firm
    )
    # --- the bags, and what each holds
    of_label = Counter(one.mark for one in labels)
    assert of_label == Counter(
        {mark.mark: mark.bags for kit in slip.kits for mark in kit.marks}
    ) + Counter({one.mark: one.bags for one in picked.held})
    assert picked.bags == slip.bags == sum(not one.held for one in labels)
    assert sum(each.bags for each in slip.held) == sum(one.held for one in labels)
    # Of a mark those bags that wait stand apart from those that are whole.
    for mark in firm:
        own = [label for label in labels if label.mark == mark]
        parts = [one for one in picked.openings if one.mark == mark]
        assert sum(label.here for label in own) == sum(
            line.take for one in parts for line in one.lines
        )
        planned = {sum(line.each for line in one.lines) for one in parts}
        assert all({label.planned} == planned for label in own)
    for one in picked.held:
        own = [label for label in labels if label.mark == one.mark]
        lacks = tuple(f"{piece.quantity} × {piece.piece}" for piece in one.missing)
        assert all((label.here, label.missing) == (0, lacks) for label in own)
    assert slip.packs == sum(label.here for label in labels)
    assert slip.ordered == sum(label.planned for label in labels if not label.held)
    # A part of the goods waits for no other packs than the whole does.
    for mark in sorted(firm & bagged)[:2]:
        (alone,) = packing_slip_paper(offer, of=Consignment((mark,))).kits
        whole = {each.mark: each.short for kit in slip.kits for each in kit.marks}
        assert alone.marks[0].short == whole[mark]
    # --- what is short
    short = {(line.sku, line.short) for line in picked.walk if line.short}
    assert {(each.sku, each.short) for each in sheet.shorts} == short
    told = {
        (each.fields["sku"], each.hint.fields["short"])
        for each in short_stock(offer)
        if each.hint is not None
    }
    assert told == short
    on_labels = Counter[str]()
    for label in labels:
        for content in label.contents:
            on_labels[content.sku] += content.short
    on_slip = Counter[str]()
    for kit in slip.kits:
        for mark in kit.marks:
            on_slip.update(dict(mark.short))
        assert sum(line.short for line in kit.lines) == sum(
            packs for mark in kit.marks for _, packs in mark.short
        )
    assert +on_labels == +on_slip == Counter(dict(short))
    # --- who waits for it, and what that comes to
    wait = {
        label.mark
        for label in labels
        if any(content.short for content in label.contents)
    }  # fmt: skip
    assert {mark for each in sheet.shorts for mark in each.marks} == wait
    lacking = Counter(
        label.mark for label in labels if label.here < label.planned and not label.held
    )
    assert {one.mark: one.waiting for one in sheet.openings if one.waiting} == lacking
    each_of = {one.place: offer.kit_of(one).price.minor for one in offer.openings}
    price = sum(each_of[mark] * kits for mark, kits in lacking.items())
    assert (sheet.exposure, sheet.waiting) == (Money(price, "USD"), lacking.total())
    assert all(each.price.minor <= price and each.kits <= lacking.total() for each in sheet.shorts)
