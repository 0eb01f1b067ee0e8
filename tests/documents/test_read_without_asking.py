"""What contractor, picker and fitter must find on the sample job's papers without asking."""

import re
import string
from collections import Counter
from dataclasses import replace
from functools import cache
from html import unescape

import pytest
from pypdf import PdfReader
from tests.documents.test_submittal import TEMPLATES, sample
from tests.support import house
from tests.support.customer_words import texts
from tests.support.house import RULES
from tests.support.offers import offered

from wholekit.documents.bags_alike import about_of
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.fill_labels import labels_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_slip import packing_slip_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.papers import Told
from wholekit.documents.render import render_paper
from wholekit.documents.setting_card import APART, HoldPage
from wholekit.domain.catalog import FastenerKind
from wholekit.domain.openings import Door, Frame, Location, Opening, marks_named, read_stated
from wholekit.domain.quantities import Money
from wholekit.domain.quotes import Offer
from wholekit.wording.to_customers import beside_of, doubt_of
from wholekit.wording.words import field_name

RANGE = re.compile(r"(\d+)–(\d+)")


@cache
def school() -> Offer:
    return sample()[0]


def named(told: Told) -> set[str]:
    found, unknown = marks_named(told.places.split(", "), [each.mark for each in school().openings])
    assert not unknown
    return {*found}


def texts_of_html(html: str) -> list[str]:
    """All texts of a page, their white space as it is read."""
    return " ".join(re.sub("<[^>]*>", "", unescape(html)).split()).split()


def sheet_names(count: int) -> list[str]:
    """A, B … Z, AA …"""
    letters = string.ascii_uppercase
    return [*letters, *(a + b for a in letters for b in letters)][:count]


def texts_of(paper) -> str:
    return " ".join(texts(make_flow(paper, TEMPLATES)))


@pytest.mark.parametrize("said", [doubt_of, beside_of])
def test_what_speaks_against_a_firm_opening_and_what_others_bring_stands_on_the_front(said):
    paper = quote_paper(school())
    told = paper.doubts if said is doubt_of else paper.by_others
    expected: dict[str, set[str]] = {}
    for opening in school().openings:
        kit = school().kit_of(opening)
        for finding in (*kit.findings, *opening.of_note):
            if school().is_firm(opening) and (text := said(finding.code, finding.fields)):
                expected.setdefault(text, set()).add(opening.mark)
        # "Schedule gives no more", "unmarked on the drawings": by the sheet itself.
        kind = kit.type
        silent = kind.door is None and kind.location is None and kind.fire_minutes is None
        if said is doubt_of and silent:
            expected.setdefault("your schedule gives next to nothing", set()).add(opening.mark)
    assert len(expected) > 1
    assert {one.text: named(one) for one in told} == expected
    front = texts_of(replace(paper, kits=(), open_kits=(), notes=()))
    for one in told:
        assert f"{one.text} ({one.stands or one.places})" in front


@pytest.mark.parametrize(
    ("note", "stated", "told"),
    [
        ("wind 12 mph", {"wind": "20 mph"}, "wind that you note is not reckoned with"),
        ("vent 10 m/s", {"wind": "20 mph"}, "wind that you note is not reckoned with"),
        ("smoke seals", {"seals": "8 N"}, "seals or weatherstripping that you note"),
        ("narrow rail 2 in", {"top_rail": "2 in"}, "the rail that you note is not reckoned with"),
        ("techo bajo", {"ceiling_clearance": "4 in"}, "the ceiling that you note is not reckoned"),
        ("ADA route", {"accessible": "yes"}, "accessible route: the kit does not follow your note"),
        ("hold open wanted", {"hold_open": "arm"}, "hold-open that you note is not in the kit"),
        ("delayed action", {"delayed_action": "yes"}, "delayed action that you note is not"),
        ("parallel arm", {"mount": "parallel"}, "mount: the kit does not follow your note"),
        ("heavy duty closer", {}, "a remark about the closer is not followed"),
        ("beside the stair", {}, ""),
    ],
)
def test_what_a_note_says_and_no_kit_reckons_with_is_to_be_read_before_signing(note, stated, told):
    door: dict[str, object] = {"door": Door.ALUMINUM, "frame": Frame.ALUMINUM}
    door["location"] = Location.INTERIOR
    known = {name: read_stated(name, value) for name, value in stated.items()}
    kind = house.opening("3070", **door)
    rows = [Opening("1", kind, 1, note)]
    # Of a wish no column says more.
    rows += [Opening("2", house.opening("3070", **door, **known), 1, note)] if known else []
    offer = offered([*rows, Opening("3", kind, 1)], house.shelf(), asks=True).offer
    noted = [one for one in quote_paper(offer).doubts if re.search("note|remark", one.text)]
    assert [one.places for one in noted] == (["1"] if told else [])
    assert all(one.text.startswith(told) for one in noted)


def test_a_stop_that_a_note_asks_for_is_told_as_not_in_the_price_and_asked_about():
    """The sample's E2: `bring a stop for the wall`, which no kit holds."""
    paper = quote_paper(school())
    assert Told("asked for in a note: door stop", "E2") in paper.by_others
    assert not [one for one in paper.notes if "door stop (“stop”)" in one.note.text]
    (asked,) = [one for one in paper.questions if "door stop" in one.text]
    assert asked.marks == ("E2",)
    front = texts_of(replace(paper, kits=(), open_kits=(), notes=()))
    assert "Are we to quote it? Openings: E2." in front


def test_a_closer_that_does_not_latch_by_calculation_is_no_mere_doubt():
    """What gives less than latching needs does not latch; what is set light for access may not."""
    told: dict[str, set[str]] = {}
    for opening in school().openings:
        if not school().is_firm(opening):
            continue
        for finding in school().kit_of(opening).findings:
            if finding.code == "latch-power-short":
                fields = finding.fields
                short = "needed_nm" in fields
                assert not short or float(fields["given_nm"]) < float(fields["needed_nm"])
                text = "by calculation it does not latch" if short else "it may not latch"
                told.setdefault(text, set()).add(opening.mark)
    assert len(told) == 2, "the sample has both"
    doubts = {one.text: named(one) for one in quote_paper(school()).doubts}
    assert told.items() <= doubts.items()


@pytest.mark.parametrize("locale", ["en_US", "fr_CA", "es_MX"])
def test_the_force_that_an_accessible_fire_door_takes_is_the_same_in_its_note_and_its_table(locale):
    """A metric door, in still air: the note's newtons are those of the table, to the tenth."""
    told = house.opening(
        "900x2100 mm", door=Door.HOLLOW_METAL, frame=Frame.STEEL, location=Location.INTERIOR,
        fire_minutes=45, accessible=True,
    )  # fmt: skip
    offer = offered([Opening("1", told)], house.shelf("tarrowby"), locale=locale).offer
    (kit,), (said,) = offer.kits, (offer.sent or offer.words).kits
    (note,) = (
        text
        for finding, (text, *_) in zip(kit.findings, said.findings, strict=True)
        if finding.code == "fire-door-least-force"
    )
    (in_note,) = re.findall(r"[\d.,]+\sN\b", note)
    assert said.estimates[0][1].startswith(in_note)


def test_an_answer_says_what_it_comes_to_over_all_openings():
    words = school().words
    told = [effect for answers in words.answers for _, effect in answers]
    alone = re.compile(r"^([+−])\$([\d.]+) each, (\d+) openings?, together ([+−])\$([\d.]+)")
    found = [match for text in told if (match := alone.match(text))]
    assert found
    for match in found:
        assert match[1] == match[4]
        assert round(float(match[2]) * int(match[3]), 2) == float(match[5])
    values = [values for answers in words.answers for values, _ in answers]
    assert any(" ☐ " in text for text in values), "each answer has a box of its own"
    listed = [text for text in values if ", " in text and " ☐ " not in text]
    assert all(text.startswith("over ") for text in listed), "what lies between two weights"


def test_every_answer_to_a_question_has_a_box_or_a_blank():
    """A measure may lie between those printed, a weight above them; a job's code is one box."""
    paper = quote_paper(school())
    front = texts_of(replace(paper, kits=(), open_kits=(), notes=()))
    for field, blanks in (
        ("thick is", 1),
        ("finish is", 1),
        ("leaf weigh", 1),
        ("a fire label", 1),
    ):
        (question,) = [one for one in paper.questions if field in one.text]
        assert [answer for answer, _ in question.answers].count("") == blanks
        assert question.answers[-1][0] == ""
    (job,) = [one for one in paper.questions if "whole job" in one.text]
    assert job.answers[-1] == ("", "☐ another:")
    (exits,) = [one for one in paper.questions if "means of egress" in one.text]
    assert "Quoted as: not stated, worked out as none." in exits.text
    assert exits.by_mark
    assert "☐ heavier, or by mark:" in front
    assert [value for value, _ in job.answers][:2] == ["United States", "California"]
    # Of a rail that was stated, that it is so after all.
    (rail,) = [one for one in paper.questions if "top rail" in one.text and "too near" in one.text]
    assert rail.answers == (
        ("it is as stated, and is accepted so ☐ another mount", ""),
        ("", "☐ another height:"),
    )


def test_acceptance_says_what_is_signed_for():
    paper = quote_paper(school())
    closing = texts_of(paper)
    assert "A question that you leave open is accepted as quoted" in closing
    assert "takes the place of every earlier" not in closing
    assert "takes the place of every earlier" in texts_of(replace(paper, revision=2))
    more = replace(paper.totals, extras=Money(48000, "USD"), freight=Money(9500, "USD"))
    signed = texts_of(replace(paper, totals=more))
    assert "Signing accepts the firm openings and the extra lines, at" in signed
    assert "Freight is in it." in signed


def test_no_range_runs_on_into_another_hundred():
    for paper in (quote_paper(school()), pick_list_paper(school())):
        for first, last in RANGE.findall(texts_of(paper)):
            assert int(first) // 100 == int(last) // 100


def test_a_walk_says_how_many_bags_and_how_many_in_each():
    paper = pick_list_paper(school())
    bags = {opening.mark: opening.bags for opening in paper.openings}
    walk = " ".join(texts_of(paper).split())
    for line in paper.walk:
        if len(line.split) <= 1 or len(line.split) > 12 or line.short:
            continue
        for mark, count in line.split:
            number, each = bags[mark], count // bags[mark]
            said = [f"{number} bags"] if number > 1 else []
            said += [f"{each} in {'each' if number > 1 else 'it'}"] if each > 1 else []
            assert not said or f"{mark} ({', '.join(said)})" in walk
    # Where there is nothing to take nobody walks; that stands with what is short.
    short = [line for line in paper.walk if line.short and line.take]
    assert short
    for line in short:
        assert f"SHORT {line.short} of {line.quantity}" in walk


def test_held_labels_come_last():
    held = [label.held for label in labels_paper(school()).labels]
    assert any(held)
    assert held == sorted(held)


def test_each_opening_has_a_row_to_write_on_and_its_room():
    paper = cards_paper(school(), RULES)
    rows: Counter[str] = Counter()
    for mark, number, count in re.findall(r"(\S+) (\d+) of (\d+)", texts_of(paper)):
        rows[mark] += 1
        assert int(number) <= int(count) <= APART
    wanted = {
        mark: count * max(1, len(setting.leaves))
        for card in paper.cards
        if not isinstance(card, HoldPage)
        for setting in card.settings
        for mark, count in zip(setting.marks, setting.quantities, strict=True)
        if 1 < count <= APART
    }
    assert wanted
    assert {mark: rows[mark] for mark in wanted} == wanted
    said = texts_of(paper)
    for opening in school().openings:
        if opening.room and school().is_firm(opening):
            assert opening.room[:60] in said


def test_old_holes_that_serve_have_no_sheet_to_drill_by():
    paper = drilling_paper(school(), RULES)
    reused = {
        opening.mark
        for opening in school().openings
        if any(one.code == "holes-reused" for one in school().kit_of(opening).findings)
    }
    assert reused
    drilled = " ".join(sheet.places for sheet in paper.sheets)
    undrawn = " ".join(one.places for one in paper.undrawn)
    for mark in reused:
        assert not re.search(rf"\b{mark}\b", drilled)
        assert re.search(rf"\b{mark}\b", undrawn)
    cards = cards_paper(school(), RULES).cards
    for sheet in paper.sheets:
        for number in sheet.cards:
            assert any(
                mark in sheet.places or "–" in sheet.places for mark in cards[number - 1].marks
            )


def test_a_drilling_sheet_warns_of_all_that_its_cards_frame_or_ask_the_office_about():
    """What it has no room for it leaves to the card, by its number and loudly; a part of it to the
    part where all of it stands."""
    paper, cards = drilling_paper(school(), RULES), cards_paper(school(), RULES).cards
    blocks = make_flow(paper, TEMPLATES).blocks[1:]
    pages = [" ".join(texts_of_html(block.html)) for block in blocks]
    told = short = 0
    for letter, sheet in zip(sheet_names(len(paper.sheets)), paper.sheets, strict=True):
        wanted = set()
        for number in sheet.cards:
            card = cards[number - 1]
            assert not isinstance(card, HoldPage)
            wanted |= {one.text for one in (*card.alarms, *card.questions, *card.fire)}
            wanted |= {one.text for one in card.warnings if one.text.endswith("before drilling.")}
        wanted = {text for text in wanted if not text.startswith("HAND NOT STATED")}
        # On what the least is reckoned stands on the card alone.
        wanted = {t.partition("; ")[0] if t.startswith("HOLES TOO") else t for t in wanted}
        own = [page for page in pages if re.search(rf"\b{letter}-\d+ ?(·|,)", page[:400])]
        assert own, letter
        elsewhere = [page for page in own if "READ THE WARNINGS ON" in page]
        for page in elsewhere:
            (name,) = re.findall(r"READ THE WARNINGS ON ([A-Z]+-\d+)", page)
            (there,) = [one for one in own if re.search(rf"\b{name} ?(·|,)", one[:400])]
            assert there not in elsewhere
        for page in own:
            if page in elsewhere:
                continue
            missing = [text for text in wanted if " ".join(text.split()) not in page]
            told += len(wanted) - len(missing)
            short += bool(missing)
            assert not missing or "MORE WARNINGS: read setting card" in page, (letter, missing)
    assert told > 20
    assert short * 4 < len(pages)


# French has the longest words, on A4 the least height is left under a turned sheet.
@pytest.mark.parametrize("locale", ["fr_FR"])
def test_every_drilling_page_has_its_rules_and_its_name(locale, tmp_path):
    paper = drilling_paper(sample(locale)[0], RULES, "NOT ORDERED: nothing")
    paper = replace(paper, sheets=paper.sheets[::3])
    flow = make_flow(paper, TEMPLATES)
    render_paper(paper, tmp_path / "sheets.pdf", TEMPLATES)
    pages = PdfReader(tmp_path / "sheets.pdf").pages
    front = len(pages) - (len(flow.blocks) - 1)
    assert front in (1, 2), "the index, and nothing that ran over"
    for page in [*pages][front:]:
        text = page.extract_text()
        assert "100 mm" in text
        assert "NOT ORDERED" in text
        assert re.search(r"\b[A-Z]{1,2}-1\b", text)


def test_walk_slip_and_picker_tell_a_fire_label_of_each_bag_that_has_one():
    """Whoever packs or unpacks a bag sees that its door is one; no other bag says so."""
    minutes = {one.place: school().kit_of(one).type.fire_minutes or 0 for one in school().openings}
    picked = pick_list_paper(school())
    bags = {one.mark: about_of(one) for one in (*picked.openings, *picked.held)}
    sent = {
        mark.mark: mark.about for kit in packing_slip_paper(school()).kits for mark in kit.marks
    }
    assert sum(map(bool, minutes.values())) > 5
    for told in (bags, sent):
        assert {place for place in told if minutes[place]} == {
            place for place, about in told.items() if f"{minutes[place]} min fire label" in about
        }
        assert not [
            place for place, about in told.items() if not minutes[place] and "fire" in about
        ]
    assert bags["119"] in texts_of(picked)


def test_a_card_asks_for_a_look_at_all_that_was_assumed_and_decides_side_or_screws():
    """And tells of holes through the leaf just where through-bolts are in the kit."""
    cards = [card for card in cards_paper(school(), RULES).cards if not isinstance(card, HoldPage)]
    by_place = {mark: card for card in cards for mark in card.marks}
    asked_of = through = 0
    for opening in school().openings:
        if opening.place not in by_place:
            continue
        kit, card = school().kit_of(opening), by_place[opening.place]
        said = {one.text.partition(" assumed: ")[0] for one in card.questions}
        wanted = {
            field_name(each.field)
            for each in kit.assumed
            if each.field in ("door", "frame", "swing", "body_side")
        }
        assert wanted <= said, opening.place
        asked_of += bool(wanted)
        bolted = any(
            use.kind is FastenerKind.THROUGH_BOLT for line in kit.lines for use in line.uses
        )
        assert any(step.lead == "Through-bolts:" for step in card.common.placing) == bolted
        through += bolted
    assert asked_of
    assert through


def test_in_no_language_is_a_sign_of_the_front_printed_as_its_code():
    for locale in ("fr_FR", "es_ES"):
        front = replace(quote_paper(sample(locale)[0]), kits=(), open_kits=())
        assert front.doubts
        # Escaped once it reads as the sign itself.
        assert not re.search("&(amp;)?#?[a-z0-9]+;", texts_of(front))


def test_where_nothing_is_firm_there_is_nothing_to_sign():
    paper = quote_paper(school())
    none = replace(paper, kits=(), totals=replace(paper.totals, gross=Money(0, "USD")))
    assert "Signature" in texts_of(paper)
    assert "Nothing can be accepted yet" in texts_of(none)
    assert "Signature" not in texts_of(none)
    # Other lines alone can be ordered.
    lines = replace(none, totals=replace(paper.totals, gross=Money(100, "USD")))
    assert "Signature" in texts_of(lines)


def test_an_architect_is_told_of_a_series_that_does_not_claim_the_usual_standard():
    offer, paper = sample()
    differ = {
        one.place
        for one in offer.openings
        if any(each.code == "standard-differs" for each in offer.kit_of(one).findings)
    }
    assert differ
    assert {row.kit for row in paper.rows if row.mark in differ} == {
        kit.number
        for kit in paper.kits
        if any("does not claim" in finding.text for finding in kit.findings)
    }
