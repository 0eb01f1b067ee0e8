"""The customer's language: every message has its translation, and papers show nothing else.

What is data (descriptions, marks, notes, names) stays as it was written; it is taken out of a
text before the rest is held against the language's own words.
"""

import json
import re
import string
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from tests.support.command import run
from tests.support.customer_words import (
    LOCALES,
    check_language,
    data_of,
    texts,
    translations,
)
from tests.support.databases import sqlite_store
from tests.support.house import RULES, kit_of, shelf
from tests.support.jobs import by, desk_on, frozen, furnished
from tests.support.messages import OTHERS, REVIEW, TEMPLATES, catalogue, in_cautions, messages
from tests.support.offers import offered

from wholekit.documents.comparison import comparison_flow, comparison_paper
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_sheet import sheet_paper
from wholekit.documents.fill_slip import packing_slip_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.render import render_paper
from wholekit.domain.customers import Customer
from wholekit.domain.openings import Mount
from wholekit.domain.quantities import Length, Mass, Money, parse_length
from wholekit.domain.quotes import Alternate, Override, OverrideKind, Snapshot
from wholekit.domain.quotes.compare import compare
from wholekit.domain.quotes.own import snapshot_from, snapshot_text
from wholekit.domain.tax import FreightRate, LineKind, ShipTo, TaxRate
from wholekit.intake.dialect import translate
from wholekit.intake.openings import read_openings
from wholekit.services.approvals import review_job
from wholekit.services.customers import add_customer, set_ship_to
from wholekit.services.desk import Desk
from wholekit.services.job_lines import NewExtra, add_extra
from wholekit.services.job_openings import (
    add_openings,
    copy_opening,
    override_opening,
    release_stop,
)
from wholekit.services.jobs import NewJob, create_job, edit_job, set_alternate, set_discount
from wholekit.services.quote_drafts import draft_quote
from wholekit.services.quote_papers import revision_shown
from wholekit.services.quote_reading import issued_whole
from wholekit.services.quotes import issue_quote
from wholekit.settings import bundled
from wholekit.wording import drilling, findings, speech
from wholekit.wording.cautions import TERMS
from wholekit.wording.offers import kit_words
from wholekit.wording.orders import NOT_ORDERED
from wholekit.wording.speech import figure, language_of, speaking, tr, trn
from wholekit.wording.words import listed, plural

GLOSSARY = Path(__file__).parents[2] / "docs" / "glossary.md"
SCHOOL = bundled("catalog_samples") / "jobs" / "ostrell-bay-school.csv"


# --- the catalogues --------------------------------------------------------------------------


@pytest.mark.parametrize("language", OTHERS)
def test_a_catalogue_has_every_message_and_no_other(language):
    there = {message.id for message in catalogue(language) if message.id}
    assert messages() - there == set(), "run python -m tests.support.messages, then translate"
    assert there - messages() == set()


@pytest.mark.parametrize("language", OTHERS)
def test_every_message_is_translated_with_the_same_values_and_none_is_fuzzy(language):
    read = catalogue(language)
    assert read.locale is not None
    assert str(read.locale) == language
    for entry in read:
        if not entry.id:
            continue
        said = (entry.id,) if isinstance(entry.id, str) else entry.id
        forms = (entry.string,) if isinstance(entry.string, str) else tuple(entry.string or ())
        assert len(forms) == (1 if isinstance(entry.id, str) else read.num_plurals), said
        assert not entry.fuzzy, said
        for form in forms:
            assert form.strip(), said
            assert {values(form)} == {values(text) for text in said}, said
            # Where a text is glued to another, so is its translation.
            assert form[:1].isspace() == said[0][:1].isspace() or said[0] == ": ", said
            assert form[-1:].isspace() == said[0][-1:].isspace(), said
    assert not read.obsolete


@pytest.mark.parametrize("language", OTHERS)
def test_a_catalogue_says_that_a_native_speaker_should_read_it(language):
    head = (speech.CATALOGUES / f"{language}.po").read_text(encoding="utf-8").split("msgid")[0]
    assert "native speaker of the trade" in " ".join(head.replace("#", "").split())
    marked = {entry.id for entry in catalogue(language) if REVIEW in entry.auto_comments}
    assert marked == in_cautions() & messages()
    assert len(marked) > 10


def test_papers_in_english_are_in_the_spelling_of_the_united_states():
    """All that is said on papers, not on screens (spellings from memory)."""
    british = re.compile(
        r"\b(?:catalogue|colour|centre|aluminium|labour|grey|metre|licence)s?\b", re.IGNORECASE
    )
    said = [path.read_text() for path in sorted((TEMPLATES / "papers").glob("*.html"))]
    shown = [text for page in said for text in re.findall(r'_\("([^"]*)"\)', page)]
    shown += [
        *in_cautions(),
        *drilling.NO_DRILLING.values(),
        *findings.FINDINGS.values(),
        *findings.HINTS.values(),
    ]
    assert [text for text in shown if british.search(text)] == []


def test_french_has_the_spaces_of_one_usage():
    """Canada's: none before ; ? !, a no-break one before : and %, and inside « » (from memory)."""
    wrong = re.compile(
        r"\s[;?!]|(?<=\S)[^\S\xa0]*:(?=\s|$)(?<!\xa0:)|[^\xa0]%|«(?!\xa0)|(?<!\xa0)»|[\u2009\u202f]"
    )
    assert {form for form in translations("fr").values() if wrong.search(form)} == set()


@pytest.mark.parametrize(
    ("language", "open_", "close"), [("fr", "«\xa0", "\xa0»"), ("es", "«", "»")]
)
def test_what_is_quoted_has_the_marks_of_its_language(language, open_, close):
    """Angle quotes in both, no-break spaces within in French (from memory)."""
    assert not [form for form in translations(language).values() if re.search('[“”"]', form)]
    with speech.speaking(language):
        assert speech.quoted("B") == f"{open_}B{close}"


def test_one_trade_term_is_said_for_one_thing():
    table = GLOSSARY.read_text(encoding="utf-8").partition("| not |\n|---|---|---|---|\n")[2]
    said = {language: " ".join(translations(language).values()).lower() for language in OTHERS}
    rows = [[cell.strip() for cell in row.strip("| ").split("|")] for row in table.splitlines()]
    assert len(rows) > 30
    for english, french, spanish, avoided in ((*row, "")[:4] for row in rows):
        for language, terms in (("fr", french), ("es", spanish)):
            for term in filter(None, terms.split(", ")):
                assert term.lower() in said[language], (english, term)
        for term in filter(None, avoided.split(", ")):
            for language in OTHERS:
                assert not re.search(rf"(?<![\w{{]){term}s?(?!\w)", said[language]), (english, term)


def values(text: str) -> tuple[str, ...]:
    """The names of the values put into a text."""
    return tuple(sorted(name for _, name, _, _ in string.Formatter().parse(text) if name))


# --- words by words --------------------------------------------------------------------------


def test_english_is_said_as_it_stands_and_is_the_rest_for_other_languages():
    for locale in ("en_US", "en_GB", "de_DE", "en"):
        with speaking(locale):
            assert tr("wood") == "wood"
            assert trn("{count} leaf", "{count} leaves", 2) == "{count} leaves"
            assert listed(["a", "b", "c"]) == "a, b and c"
    assert [language_of(tag) for tag in ("es", "es_US", "es-MX", "fr_CA", "fr", "ES_mx", "xx")] == [
        "es", "es", "es", "fr", "fr", "es", "en",
    ]  # fmt: skip


def test_a_language_ends_where_it_was_begun_even_by_an_error():
    with speaking("es_MX"):
        with suppress(KeyError), speaking("fr_CA"):
            assert tr("wood") == "bois"
            raise KeyError
        assert tr("wood") == "madera"
        with speaking("en_US"):
            assert tr("wood") == "wood"
    assert tr("wood") == "wood"


def test_numbers_and_nouns_agree():
    with speaking("es_MX"):
        assert [plural(count, "through-bolt") for count in (0, 1, 2)] == [
            "0 pernos pasantes", "1 perno pasante", "2 pernos pasantes",
        ]  # fmt: skip
        assert listed(["a", "b", "c"], "or") == "a, b o c"
    with speaking("fr_CA"):
        assert [plural(count, "through-bolt") for count in (0, 1, 2)] == [
            "0 boulon traversant", "1 boulon traversant", "2 boulons traversants",
        ]  # fmt: skip
        assert listed(["a", "b", "c"]) == "a, b et c"


def test_figures_have_the_decimal_sign_of_the_locale():
    told = (("es_MX", "45.5 kg", "pulg"), ("es_ES", "45,5 kg", "pulg"), ("fr_CA", "45,5 kg", "po"))
    for locale, written, inch in told:
        with speaking(locale):
            assert figure(str(Mass.kg(45.5))) == written
            # How a language shortens an inch is from memory; a size so written is read again.
            assert figure(str(Length.inches(8, 1, 4))) == f"8-1/4 {inch}"
            found = translate("width", f"8-1/4 {inch}")
            assert found is not None
            assert parse_length(found.cells["width"]) == Length.inches(8, 1, 4)


# --- whole papers ----------------------------------------------------------------------------


@dataclass(frozen=True)
class Issued:
    """The sample school job, issued to a customer of each language, in one store."""

    desk: Desk
    snapshots: dict[str, Snapshot]
    jobs: dict[str, str]


PORT = ShipTo(
    "port", "Port Aldren",
    taxes=(TaxRate("GST", Fraction(625, 10_000)),),
    freights=(FreightRate("freight", Money(4_500, "USD"), Fraction(2, 100)),),
)  # fmt: skip
AGREED = Override(OverrideKind.PRICE, "agreed", "ines", by().at, price=Money(39_900, "USD"))


@pytest.fixture(scope="module")
def issued(tmp_path_factory) -> Issued:
    desk = furnished(
        sqlite_store(tmp_path_factory.mktemp("languages")), "tarrowby", "quillmere", "averlund"
    )
    set_ship_to(desk, by(), PORT)
    snapshots, jobs = {}, {}
    for language, locale in {"en": "en_US", **LOCALES}.items():
        name = f"Zorrel {language.upper()}"
        add_customer(
            desk, by("odo"), Customer(language, name, ("1 Quay Rd",), "Kell Ombra", locale=locale)
        )
        label = create_job(desk, by(), NewJob("Qenn Vale", language)).label
        edit_job(desk, by(), label, {"ship_to": "port", "site": "Xarn", "salesperson": "ines"})
        add_openings(desk, by(), label, read_openings(str(SCHOOL), [], RULES))
        set_discount(desk, by(), label, Fraction(5, 100), "large")
        override_opening(desk, by(), label, "103", AGREED)
        line = NewExtra(LineKind.LABOUR, "Zzfit", 4, Money(6_500, "USD"))
        add_extra(desk, by(), label, line)
        set_alternate(desk, by(), label, Alternate("alt-1", "Zzone", ("102",)))
        copy_opening(desk, by(), label, "102", ["102"], to_alternate="alt-1")
        set_alternate(desk, by(), label, Alternate("alt-2", "Zztwo", ("103",)))
        for stop in review_job(desk, by("odo"), label).stops[::2]:
            release_stop(
                desk, by("odo"), label, stop.mark, stop.finding.code, "agreed", stop.alternate
            )
        draft = revision_shown(desk, by("odo"), label)
        jobs[language] = label
        snapshots[f"draft {language}"] = draft.snapshot
        for stop in review_job(desk, by("odo"), label).stops:
            release_stop(
                desk, by("odo"), label, stop.mark, stop.finding.code, "agreed", stop.alternate
            )
        draft_quote(desk, by("odo"), label, cover_note="Zznote")
        snapshots[language] = frozen(issue_quote(desk, by("odo"), label).revision)
    return Issued(desk, snapshots, jobs)


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("draft", [False, True])
def test_a_quote_of_the_store_holds_no_english_but_data(issued, language, draft):
    snapshot = issued.snapshots[f"draft {language}" if draft else language]
    paper = quote_paper(snapshot.offer, draft=draft)
    flow = make_flow(paper, TEMPLATES)
    check_language(language, texts(flow), data_of(snapshot.offer) | {"Q-00001/1"})
    assert flow.language == language
    english = quote_paper(issued.snapshots["draft en" if draft else "en"].offer, draft=draft)
    # The same paper, text for text, in other words.
    assert len(texts(make_flow(english, TEMPLATES))) == len(texts(flow))
    assert paper.totals == english.totals
    assert paper.leaves == english.leaves


@pytest.mark.parametrize("language", OTHERS)
def test_a_quote_of_a_schedule_holds_no_english_but_data(language):
    openings = read_openings(str(SCHOOL), [], RULES)
    asked: dict[str, Any] = {"customer": "Zorrel", "job": "Qenn"}
    offer = offered(
        openings, shelf(), Fraction(62, 100), locale=LOCALES[language], asks=True, **asked
    ).offer
    paper = quote_paper(offer)
    assert paper.questions
    check_language(language, texts(make_flow(paper, TEMPLATES)), data_of(offer))
    english = quote_paper(offered(openings, shelf(), Fraction(62, 100), asks=True, **asked).offer)
    assert english.head.language == "en"
    assert [kit.price for kit in english.kits] == [kit.price for kit in paper.kits]
    slip = make_flow(packing_slip_paper(offer, NOT_ORDERED), TEMPLATES)
    check_language(language, texts(slip), data_of(offer) | {"Q-1"})
    assert slip.language == language
    # An inch is shortened in the language, but in the customer's own words.
    going_out = (paper, cards_paper(offer, RULES), drilling_paper(offer, RULES))
    own = " ".join(f"{each.note} {each.room}" for each in offer.openings)
    said = [text for each in going_out for text in texts(make_flow(each, TEMPLATES))]
    inches = re.compile(r"[\d/.,]+[ \u00a0]in\b")
    assert not [text for text in said if any(one not in own for one in inches.findall(text))]
    assert any(re.search(r"\d[ \u00a0](?:po|pulg)\b", text) for text in said)
    # The house's own papers stay in English.
    assert pick_list_paper(offer).head.language == "en"
    assert "Pick list" in make_flow(pick_list_paper(offer), TEMPLATES).title


@pytest.mark.parametrize("language", OTHERS)
def test_a_pdf_says_its_language_and_numbers_its_pages_in_it(issued, language, tmp_path):
    snapshot = issued.snapshots[language]
    small = replace(snapshot.offer, openings=snapshot.offer.openings[:3], alternates=())
    render_paper(quote_paper(small), tmp_path / "quote.pdf", TEMPLATES)
    pdf = PdfReader(tmp_path / "quote.pdf")
    count = len(pdf.pages)
    assert pdf.root_object["/Lang"] == language
    with speaking(LOCALES[language]):
        for number, page in enumerate(pdf.pages, 1):
            said = tr("Page {page} of {pages}").format(page=number, pages=count)
            assert said in page.extract_text()


# --- frozen ----------------------------------------------------------------------------------


def test_an_english_quote_freezes_no_second_wording(issued):
    assert issued.snapshots["en"].offer.sent is None
    assert quote_paper(issued.snapshots["en"].offer).head.language == "en"


@pytest.mark.parametrize("language", OTHERS)
def test_the_house_reads_english_whatever_the_customer_reads(issued, language):
    theirs, ours = issued.snapshots[language], issued.snapshots["en"]
    assert theirs.offer.kits == ours.offer.kits
    assert theirs.offer.words == ours.offer.words
    assert theirs.offer.words.payment == "net 30 days"
    assert theirs.offer.sent is not None
    assert theirs.offer.sent.language == language
    sheet = make_flow(sheet_paper(theirs, Fraction(1, 4)), TEMPLATES)
    assert sheet.language == "en"
    assert "Price agreed for the opening" in "".join(block.html for block in sheet.blocks)


@pytest.mark.parametrize("language", OTHERS)
def test_an_issued_quote_is_the_same_after_its_catalogue_changed(issued, language, monkeypatch):
    label = f"Q-0000{1 + ['en', *OTHERS].index(language)}/1"
    before = make_flow(quote_paper(issued.snapshots[language].offer), TEMPLATES)
    words = speech._catalogue(language)
    changed = dict(words._catalog)  # type: ignore[attr-defined]  # gettext's table of messages
    for message in (*TERMS, "parallel arm", "size {size} for a leaf {width} wide ({location})"):
        assert message in changed
        changed[message] = f"ANEW {changed[message]}"
    monkeypatch.setattr(words, "_catalog", changed)
    shown = revision_shown(issued.desk, by(days=400), label)
    again = make_flow(quote_paper(shown.snapshot.offer), TEMPLATES)
    assert shown.snapshot.offer.customer.locale == LOCALES[language]
    assert again == before
    draft = revision_shown(issued.desk, by(days=1), issued.jobs[language]).snapshot
    anew = make_flow(quote_paper(draft.offer, draft=True), TEMPLATES)
    assert "ANEW" in "".join(block.html for block in anew.blocks), "it did change"


@pytest.mark.parametrize("language", OTHERS)
def test_what_is_read_back_from_the_store_is_what_was_frozen(issued, language):
    snapshot = issued.snapshots[language]
    assert snapshot.offer.sent
    assert snapshot_from(json.loads(snapshot_text(snapshot))) == snapshot
    number = 1 + ["en", *OTHERS].index(language)
    assert issued_whole(issued.desk, by("odo"), f"Q-{number}").snapshot == snapshot


def test_a_quote_issued_before_there_were_words_stays_in_english(issued):
    old = replace(issued.snapshots["es"].offer, sent=None)
    paper = quote_paper(old)
    assert paper.head.language == "en"
    said = " ".join(texts(make_flow(paper, TEMPLATES)))
    assert "Openings and their kits" in said
    assert "25 de noviembre de 2026" in said, "figures and dates stay those of the locale"


def test_a_description_is_data_even_where_it_is_a_message():
    desk = desk_on(None)  # type: ignore[arg-type]  # nothing is stored
    assert desk.words.language("es_MX") == "es"
    with desk.words.speaking("es_MX"):
        assert kit_words(kit_of(), RULES).mount == "brazo regular"


# --- at the counter --------------------------------------------------------------------------


@pytest.fixture
def home(monkeypatch, tmp_path) -> Path:
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    monkeypatch.setenv("WHOLEKIT_USER", "ines")
    return tmp_path


@pytest.mark.parametrize(
    ("locale", "language", "code"),
    [
        ("es_MX", "Spanish", "es"), ("es_US", "Spanish", "es"), ("es", "Spanish", "es"),
        ("fr_CA", "French", "fr"), ("fr", "French", "fr"), ("en_GB", "English", "en"),
    ],
)  # fmt: skip
def test_the_counter_is_told_the_language_of_a_customers_papers(home, locale, language, code):
    added = run("customer", "add", "zorrel", "Zorrel", "--locale", locale)
    assert (added.status, added.err) == (0, "")
    shown = run("customer", "show", "zorrel")
    assert f"papers in {language}, figures and dates of {locale}" in shown.out
    assert run("customer", "show", "zorrel", "--json").json["language"] == code


def test_a_language_without_words_is_taken_and_told(home):
    added = run("customer", "add", "zorrel", "Zorrel", "--locale", "de_DE", "--json")
    assert added.status == 0
    assert (added.json["locale"], added.json["language"]) == ("de_DE", "en")
    assert "Papers for de_DE will be in English" in added.err
    assert "English, Spanish and French" in added.err
    assert run("customer", "set", "zorrel", "--locale", "fr_CA").err == ""


def test_a_locale_that_is_none_is_refused_and_nothing_changes(home):
    run("customer", "add", "zorrel", "Zorrel")
    for arguments in (("add", "other", "Other"), ("set", "zorrel")):
        refused = run("customer", *arguments, "--locale", "zz_ZZ")
        assert refused.status == 2
        assert "zz_ZZ is no locale known here" in refused.err
    assert run("customer", "show", "zorrel", "--json").json["version"] == 1
    assert run("customer", "show", "other").status == 2


def test_help_tells_how_to_get_spanish_and_french_papers():
    said = " ".join(run("customer", "add", "--help").out.split())
    for word in ("Language", "Spanish", "French", "es_MX", "fr_CA"):
        assert word in said


@pytest.mark.parametrize("language", OTHERS)
def test_a_comparison_for_the_customer_holds_no_english_but_data(issued, language):
    """Two openings changed, one gone, a discount: every part of the paper is in it."""
    later = issued.snapshots[language].offer
    kit = replace(
        later.kits[0], mount=Mount.TOP_JAMB, price=later.kits[0].price + Money(100, "USD")
    )
    first, second, third, *others = later.openings
    earlier = replace(
        later,
        kits=(*later.kits, kit),
        openings=(replace(first, kit=len(later.kits)), replace(second, quantity=9), *others),
        discount=Fraction(1, 20),
        alternates=(),
        extras=later.extras[1:],
        valid_until=later.valid_until.replace(year=2030),
    )
    for found in (compare(earlier, later), compare(later, earlier, draft=True)):
        paper = comparison_paper(found, later)
        flow = comparison_flow(paper, TEMPLATES)
        assert paper.said.openings
        assert third.mark in {mark for opening in paper.said.openings for mark in opening.marks}
        names = {found.first, found.second, *(alternate.code for alternate in later.alternates)}
        check_language(language, texts(flow), data_of(later) | names)
        assert flow.language == language
