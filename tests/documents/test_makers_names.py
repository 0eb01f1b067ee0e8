"""A maker's series and templates are named on papers as people read them, never by the short names
that a catalogue knows them by."""

import re
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.documents.test_customers_units import metric_offer
from tests.documents.test_submittal import TEMPLATES, house
from tests.documents.test_submittal import sample as sample_job
from tests.support.customer_words import texts
from tests.support.house import RULES, SAMPLES, sample

from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_submittal import submittal_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.setting_card import SettingCard
from wholekit.domain.findings import Finding, Severity
from wholekit.wording.findings import say_finding
from wholekit.wording.makers import series_title, template_title

SERIES = [series for name in SAMPLES for series in sample(name).series]
SHORT = re.compile(rf"\b({'|'.join(series.id for series in SERIES)})\b")
IDS = re.compile("|".join(template.id for series in SERIES for template in series.templates))


def test_titles_of_the_samples_series_are_their_makers_and_no_two_templates_share_one():
    assert [series_title(series.id) for series in SERIES] == [series.title for series in SERIES]
    titles = sorted(template_title(template) for series in SERIES for template in series.templates)
    assert len(titles) > 20
    assert all(one != other for one, other in pairwise(titles))


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("names")


def test_no_paper_names_a_series_or_a_template_by_a_catalogues_short_name(folder):
    offer, rules = metric_offer("en_GB", folder), house().rules
    said = {
        text
        for paper in (
            quote_paper(offer),
            cards_paper(offer, rules),
            drilling_paper(offer, rules),
            submittal_paper(offer, rules),
        )
        for text in texts(make_flow(paper, TEMPLATES))
    }
    held = {kit.template.id: kit.template for kit in offer.kits if kit.template is not None}
    titles = {template_title(template) for template in held.values()}
    # The cards, their index and the drilling sheets name them; of a kit on hold there is no card.
    named = {title for title in titles if any(title in text for text in said)}
    cards = cards_paper(offer, rules).cards
    assert named == {card.common.template for card in cards if isinstance(card, SettingCard)}
    assert named
    assert [text for text in said if IDS.search(text) or SHORT.search(text)] == []


@given(st.sampled_from(SERIES), st.sampled_from(SERIES))
def test_findings_name_series_by_their_titles(one, other):
    told = (
        ("standard-differs", {"series": one.id, "standard": "EN 1154"}),
        ("series-wrong", {"series": one.id, "brought": other.id}),
        ("series-unknown", {"series": "no such", "known": [one.id, other.id]}),
    )
    text = ""
    for code, fields in told:
        text = say_finding(Finding(code, Severity.NOTE, fields, None), RULES).text
        assert not SHORT.search(text), text
        assert other.title in text or code == "standard-differs"
    assert "no such" in text


def test_a_maker_who_calls_a_series_otherwise_is_heard():
    title = "The Heavy Range"
    offer = sample_job()[0]
    series = {kit.body.series for kit in offer.kits if kit.body}
    told = replace(offer, series=tuple((name, title) for name in sorted(series)))
    names = {dict(kit.maker)["Series"] for kit in submittal_paper(told, RULES).kits if kit.maker}
    assert names == {title}
