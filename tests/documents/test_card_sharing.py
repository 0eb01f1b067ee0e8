"""Openings that share a card: every figure and caution of each stays with its mark."""

import re
from functools import cache
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from tests.documents.test_setting_cards import SIDE, STEEL, TEMPLATES, in_mount, paper_of
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.card_sharing import drilled_alike, shared_pages
from wholekit.documents.fill_setting import setting_of
from wholekit.documents.render import render_paper
from wholekit.documents.setting_card import HoldPage, Said, Setting, SettingCard, Step
from wholekit.domain.openings import Core, Door, Frame, Hand, HoldOpen, Mount, marks_named
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.offer import OfferOpening
from wholekit.intake.openings import read_openings
from wholekit.settings import bundled


@cache
def sample_offer() -> Offer:
    """The sample job on one maker's shelf."""
    schedule = bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv"
    openings = read_openings(str(schedule), [], RULES)
    return offered(openings, shelf("tarrowby")).offer


def alone(offer: Offer, one: OfferOpening) -> Setting | None:
    """An opening worked out by itself; None where it is held."""
    kit = offer.kit_of(one)
    if offer.is_held(one) or kit.missing or kit.body is None or kit.template is None:
        return None
    return setting_of([one], kit, kit.body, kit.template, RULES)


@cache
def sample_settings() -> tuple[Setting, ...]:
    offer = sample_offer()
    found = (alone(offer, one) for one in offer.openings)
    return tuple(setting for setting in found if setting is not None)


def marks_in(places: str, every: tuple[str, ...]) -> set[str]:
    """Marks said in ranges, read back."""
    # A mark may itself hold a comma.
    return {*marks_named([places] if places in every else places.split(", "), every)[0]}


def held_for(mark: str, said: tuple[Said, ...], every: tuple[str, ...]) -> list[Step]:
    """What a card says to that mark, in its order."""
    return [
        Step(each.lead, each.text)
        for each in said
        if not each.places or mark in marks_in(each.places, every)
    ]


def plain(*texts: str) -> list[Step]:
    return [Step("", text) for text in texts if text]


def holds(card: SettingCard, one: Setting, every: tuple[str, ...]) -> None:
    """The card says to the one mark all that the opening by itself asks for, and no more."""
    (mark,) = one.marks
    assert mark in marks_in(card.places, every)
    assert drilled_alike(card.common) == drilled_alike(one)
    (row,) = (each for each in card.settings if mark in each.marks)
    assert row.quantities[row.marks.index(mark)] == one.quantities[0]
    for field in ("size_set", "parts", "fasteners", "readings", "calculated"):
        assert getattr(row, field) == getattr(one, field), (mark, field)
    assert one.title in row.title
    assert one.summary in row.summary
    assert held_for(mark, card.steps, every) == [*one.steps]
    drills = [Step(screws.what, screws.drill) for screws in one.fasteners]
    told = held_for(mark, card.screws, every)
    assert sorted(told, key=str) == sorted(drills, key=str), mark
    for said, texts in (
        (card.fire, (one.fire,)),
        (card.alarms, (*one.alarms, *one.edges)),
        (card.hosts, one.hosts),
        (card.warnings, one.warnings),
        (card.questions, one.questions),
        (card.gauges, one.gauges),
        (card.cautions, one.cautions),
    ):
        told = held_for(mark, said, every)
        assert sorted(told, key=str) == sorted(plain(*texts), key=str), mark


@given(st.data())
def test_each_openings_figures_and_cautions_stand_on_its_card_and_no_others(data):
    """Any of the sample job's openings, in any order."""
    every = tuple(one.place for one in sample_offer().openings)
    settings = data.draw(st.lists(st.sampled_from(sample_settings()), min_size=1, unique=True))
    cards = shared_pages(settings, every)
    where = {mark: card for card in cards for mark in card.marks}
    assert sorted(where) == sorted(one.marks[0] for one in settings)
    assert sum(card.quantity for card in cards) == sum(one.quantity for one in settings)
    for one in settings:
        card = where[one.marks[0]]
        assert isinstance(card, SettingCard)
        holds(card, one, every)
    # Nothing is on two cards that could be on one.
    alike = [drilled_alike(card.common) for card in cards if isinstance(card, SettingCard)]
    assert len(alike) == len(set(alike))


def test_the_index_names_the_card_that_holds_an_openings_figures(tmp_path):
    """As printed: the index's row of a mark, the pages of that card, and the figures on them."""
    told = {"mount": Mount.REGULAR, "hand": Hand.LH, "series": "slate", **STEEL}
    types = (
        opening("3070", **told),
        opening("3070", accessible=True, **told),
        opening("3670", fire_minutes=90, **told),
        opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM, **told),
        opening("3070", mount=Mount.PARALLEL, body_side=SIDE[Mount.PARALLEL], hand=Hand.LH),
    )
    paper = paper_of(*types, on=shelf("tarrowby"))
    out = tmp_path / "cards.pdf"
    render_paper(paper, out, TEMPLATES)
    reader: Any = PdfReader(out)
    starts = [reader.get_destination_page_number(entry) for entry in reader.outline]
    ends = [*starts[1:], len(reader.pages)]
    _, *cards = (
        " ".join(" ".join(page.extract_text().split()) for page in reader.pages[start:end])
        for start, end in zip(starts, ends, strict=True)
    )
    index = " ".join(reader.pages[0].extract_text().split())
    every = ("101", "102", "103", "104", "105")
    rows = re.findall(r"(\d+) (10\d(?:[–,] ?10\d)*(?: but [\d, ]+)?) ", index.partition("For ")[2])
    where = {mark: int(card) for card, places in rows for mark in marks_in(places, every)}
    assert sorted(where) == list(every)
    settings = [page for page in paper.cards if isinstance(page, SettingCard)]
    for one in (row for page in settings for row in page.settings):
        text = cards[where[one.marks[0]] - 1]
        assert f"{one.places} · spring size {one.size_set} · {one.title}" in text
        for label, value in one.calculated:
            assert f"{label} {value}" in text
        for words in (*one.warnings, *one.cautions, *(step.text for step in one.steps)):
            assert " ".join(words.split()) in text
    for number, text in enumerate(cards, 1):
        named = "HOLD sheet {}" if number == where["104"] else "Card {} · "
        assert named.format(number) in text
    # One drilling, and three settings that say what is theirs alone.
    assert where["101"] == where["102"] == where["103"] != where["105"]
    assert "103 only: FIRE DOOR." in cards[where["101"] - 1]
    assert re.search(r"102 at most 5 to 12°: at least 5", cards[where["101"] - 1])


def test_a_door_that_is_held_open_shares_no_card_with_a_fire_door():
    told = {"mount": Mount.REGULAR, "hand": Hand.LH, "series": "slate", **STEEL}
    doors = (
        opening("3070", **told),
        opening("3070", fire_minutes=90, **told),
        opening("3070", hold_open=HoldOpen.RELEASE, **told),
        opening("3070", fire_minutes=90, hold_open=HoldOpen.RELEASE, **told),
        opening("3070", fire_minutes=0, hold_open=HoldOpen.RELEASE, **told),
    )
    cards = paper_of(*doors, on=shelf("tarrowby")).cards
    assert [card.places for card in cards] == ["101, 102, 104", "103, 105"]
    # In the sample job 123 has a hold-open arm and the drilling of fire doors.
    settings = [each for each in sample_settings() if each.fire or each.marks == ("123",)]
    cards = shared_pages(settings, tuple(one.place for one in sample_offer().openings))
    (held,) = (card for card in cards if "123" in card.marks)
    assert held.marks == ("123",)


@pytest.mark.parametrize(
    "other",
    [
        {"hand": Hand.RH},
        {"mount": Mount.PARALLEL, "body_side": SIDE[Mount.PARALLEL]},
        {"opening_degrees": 120},
        {"head_face": "1 in"},
        {"leaves": 2},
    ],
    ids=["hand", "mount", "template", "plate", "pair"],
)
def test_no_card_mixes_hands_mounts_templates_or_holes(other):
    told = {"mount": Mount.REGULAR, "hand": Hand.LH, **STEEL}
    cards = paper_of(
        opening("3070", **told), opening("3070", **{**told, **other}), on=shelf("tarrowby")
    ).cards
    assert [card.places for card in cards] == ["101", "102"]


def test_screws_of_wood_and_metal_leaves_stand_with_their_marks_on_one_card():
    told = {"mount": Mount.REGULAR, "hand": Hand.LH}
    wood = {"door": Door.WOOD, "core": Core.STAVE, "frame": Frame.STEEL, "frame_reinforced": True}
    (card,) = paper_of(
        opening("3070", **told, **STEEL), opening("3070", **told, **wood), on=shelf("tarrowby")
    ).cards
    assert isinstance(card, SettingCard)
    metal, timber = card.settings
    assert (metal.places, timber.places) == ("101", "102")
    assert "machine screws for the body" in " ".join(each.said for each in metal.fasteners)
    assert "wood screws for the body" in " ".join(each.said for each in timber.fasteners)
    # Said once above the steps, each with the leaf it is for.
    (of_wood,) = (said for said in card.screws if "wood screws for the body" in said.lead)
    assert (of_wood.places, "Ø" in of_wood.text) == ("102", True)


def test_a_page_hold_never_joins_a_card_though_all_else_be_equal():
    card = in_mount("tarrowby", Mount.REGULAR, Hand.LH)
    held = HoldPage(("102",), 1, card.title, card.summary, ("Why.",))
    pages = shared_pages([card, held], ("101", "102"))
    assert [type(page) for page in pages] == [SettingCard, HoldPage]
