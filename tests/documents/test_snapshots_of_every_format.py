"""Snapshots of every format: read into codes, compared by codes, printed as they were sent."""

import json
from dataclasses import replace

import pytest
from tests.documents.frozen import FORMAT_1, FORMAT_1_DIGEST, FORMAT_2, FORMAT_2_DIGEST
from tests.documents.test_papers import TEMPLATES
from tests.support.fake_store import FakeStore
from tests.support.house import RULES, opening
from tests.support.jobs import a_job, by, frozen, furnished, plain

from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.setting_card import SettingCard
from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.earnings import Key
from wholekit.domain.errors import CallError
from wholekit.domain.openings import (
    BodySide,
    Core,
    Door,
    Frame,
    HoldOpen,
    Location,
    Mount,
    Opening,
    OpeningType,
    Stop,
    Swing,
)
from wholekit.domain.plain import from_plain
from wholekit.domain.quantities import parse_length, parse_mass, parse_pressure, parse_speed
from wholekit.domain.quotes import digest, snapshot_text
from wholekit.domain.quotes.compare import compare
from wholekit.domain.quotes.offer import OfferPiece
from wholekit.services.job_openings import add_openings
from wholekit.services.margin_reports import margin_report
from wholekit.services.ports import RevisionFilter
from wholekit.services.quotes import issue_quote
from wholekit.wording import older_snapshots, words
from wholekit.wording.older_snapshots import read_snapshot

# What programs of the first format wrote of an opening, and what it means.
OF_FORMAT_1 = (
    ([["size", "3'-0\" × 7'-0\""], ["number of leaves", "1"]], opening("3070")),
    (
        [
            ["size", "914 × 2134 mm"], ["number of leaves", "2"], ["leaf material", "wood"],
            ["leaf core", "particle"], ["leaf reinforced or blocked for the closer", "no"],
            ["leaf weight", "45 kg"], ["frame material", "steel"],
            ["interior or exterior", "exterior"], ["swing", "swings out"], ["hand", "RHR"],
            ["side the closer works on", "push side"], ["mount", "parallel arm"],
            ["fire label", "90 min"], ["accessible route", "yes"], ["opening angle", "110°"],
            ["hold-open", "release"], ["reveal", "4-1/2 in"], ["kind of stop", "blade"],
            ["pressure difference", "25 Pa"], ["wind speed", "20 mph"], ["finish", "690"],
            ["spring size", "4"], ["force limits that apply", "US-OR"],
        ],
        opening(
            "914x2134 mm", leaves=2, door=Door.WOOD, core=Core.PARTICLE, door_reinforced=False,
            weight=parse_mass("45 kg"), frame=Frame.STEEL, location=Location.EXTERIOR,
            swing=Swing.OUT, hand="RHR", body_side=BodySide.PUSH, mount=Mount.PARALLEL,
            fire_minutes=90, accessible=True, opening_degrees=110.0, hold_open=HoldOpen.RELEASE,
            reveal=parse_length("4-1/2 in"), stop=Stop.BLADE, pressure=parse_pressure("25 Pa"),
            wind=parse_speed("20 mph"), finish="690", spring_size=4, jurisdiction="us-or",
        ),
    ),
)  # fmt: skip


@pytest.mark.parametrize(("fields", "meant"), OF_FORMAT_1)
def test_what_the_first_format_said_of_an_opening_is_read_into_its_fields(fields, meant):
    read = older_snapshots._type(fields)
    assert from_plain(OpeningType, read) == meant


@pytest.mark.parametrize(
    ("said", "quantity", "meant"),
    [
        ("soffit bracket", 1, OfferPiece(Role.SOFFIT_BRACKET, 1)),
        ("2 closer bodies", 2, OfferPiece(Role.BODY, 2)),
        (
            "4 wood screws for the body", 4,
            OfferPiece(Role.BODY_FASTENER, 4, (FastenerKind.WOOD_SCREW,)),
        ),
        (
            "2 rivet nuts with machine screw for the shoe", 2,
            OfferPiece(Role.SHOE_FASTENER, 2, (FastenerKind.RIVET_NUT_SCREW,)),
        ),
        ("2 screws for arm to bracket", 2, OfferPiece(Role.BRACKET_ARM_SCREW, 2)),
    ],
)  # fmt: skip
def test_what_the_first_format_said_of_a_piece_is_read_into_its_role(said, quantity, meant):
    read = older_snapshots._piece({"piece": said, "quantity": quantity, "sku": ""})
    assert from_plain(OfferPiece, read) == meant


def test_the_first_format_is_read_as_an_offer_and_the_houses_own():
    old = read_snapshot(json.loads(FORMAT_1))
    plain_data = json.loads(FORMAT_1)
    (kit, *_) = old.offer.kits
    assert (kit.mount, kit.body_side, kit.finish) == (Mount.REGULAR, BodySide.PULL, "689")
    assert kit.assumed[0].value is Door.HOLLOW_METAL
    assert [line.sku for line in kit.lines] == [
        line["sku"] for line in plain_data["kits"][0]["lines"]
    ]
    assert old.own.cost.units == plain_data["totals"]["cost"]["units"]
    assert old.offer.words.kits[0].summary == plain_data["kits"][0]["summary"]
    assert old.offer.customer.days == 30
    # Nothing of what it was sent with is asked or added anew.
    assert quote_paper(old.offer).questions == ()
    assert pick_list_paper(old.offer).bags == old.offer.opening_count
    assert not any(isinstance(card, SettingCard) for card in cards_paper(old.offer, RULES).cards)
    assert digest(FORMAT_1) == FORMAT_1_DIGEST


def test_the_second_format_is_read_and_written_the_same_to_the_letter():
    read = read_snapshot(json.loads(FORMAT_2))
    assert digest(FORMAT_2) == FORMAT_2_DIGEST
    assert snapshot_text(read) == FORMAT_2
    quote = "".join(block.html for block in make_flow(quote_paper(read.offer), TEMPLATES).blocks)
    assert "Ouvertures" in quote, "in the customer's own language"
    assert "bras parall" in quote.lower()
    cards = cards_paper(read.offer, RULES).cards
    assert any(isinstance(card, SettingCard) for card in cards)
    for card in make_flow(cards_paper(read.offer, RULES), TEMPLATES).blocks:
        assert card.html
    released = [each for each in read.offer.openings if each.released]
    assert [each.mark for each in released] == ["103"]
    assert not read.offer.is_held(released[0])


def test_a_phrase_that_changed_is_no_change_of_an_offer(monkeypatch):
    desk = furnished(FakeStore())
    job = a_job(desk)
    add_openings(desk, by(), job.label, [plain("101"), Opening("102", opening("3070"))])
    first = frozen(issue_quote(desk, by("odo"), job.label).revision)
    other = a_job(desk, name="Another")
    monkeypatch.setitem(words.MOUNTS, Mount.REGULAR, "arm of the usual kind")
    monkeypatch.setitem(words.FIELDS, "reveal", "depth of the frame")
    monkeypatch.setitem(words.MATERIALS, Door.HOLLOW_METAL, "sheet steel")
    add_openings(desk, by(), other.label, [plain("101"), Opening("102", opening("3070"))])
    second = frozen(issue_quote(desk, by("odo"), other.label).revision)
    assert first.offer.words.kits != second.offer.words.kits, "the phrase did change"
    assert first.offer.kits == second.offer.kits
    found = compare(first.offer, replace(second.offer, customer=first.offer.customer))
    assert found.same
    assert found.openings == ()
    rows = margin_report(desk, by("odo"), Key.KIT, RevisionFilter(), "USD").earnings
    assert len(rows) == len({kit.kind for kit in first.offer.kits}), "one row for one kind"


def test_issuing_again_after_a_phrase_changed_is_refused_as_unchanged(monkeypatch):
    desk = furnished(FakeStore())
    job = a_job(desk, "101")
    issue_quote(desk, by("odo"), job.label)
    monkeypatch.setitem(words.MOUNTS, Mount.REGULAR, "arm of the usual kind")
    with pytest.raises(CallError, match="quote-unchanged"):
        issue_quote(desk, by("odo"), job.label)
