"""Papers that stay in the house are in the house's language, whoever the customer is; those that
leave it are in the job's."""

import re
from dataclasses import replace
from fractions import Fraction

import pytest
from tests.documents.test_papers import TEMPLATES
from tests.support.house import RULES, opening, shelf
from tests.support.offers import offered

from wholekit.documents.flow import Flow
from wholekit.documents.make_flow import make_flow
from wholekit.documents.paper_set import (
    KIT_LABELS,
    MARGIN_SHEET,
    PACKING_SLIP,
    PICK_LIST,
    SETTING_CARDS,
    Ordered,
)
from wholekit.documents.papers import PickListPaper
from wholekit.domain.errors import InputError
from wholekit.domain.house_style import HouseStyle
from wholekit.domain.openings import HoldOpen, Mount, Opening
from wholekit.domain.quotes import Snapshot
from wholekit.domain.quotes.proposal import as_proposal
from wholekit.intake.house_folder import read_house_folder
from wholekit.settings import bundled
from wholekit.wording.speech import LANGUAGES

OF = [
    Opening("101", opening("3070", mount=Mount.REGULAR, weight="100 lb", fire_minutes=20), 3),
    Opening("102", opening("3070", leaves=2, mount=Mount.PARALLEL), 2, "Gym"),
    Opening("103", opening("3070", fire_minutes=90, hold_open=HoldOpen.ARM)),
    Opening("104", opening("6480")),
]
LOCALES = {"en": "en_US", "fr": "fr_CA", "es": "es_MX"}
SAID = {
    PICK_LIST: {"en": "Pick list", "fr": "Liste de prélèvement", "es": "Lista de preparación"},
    MARGIN_SHEET: {"en": "Internal sheet", "fr": "Feuille interne", "es": "Hoja interna"},
}
WORD = {"en": "PROPOSAL", "fr": "PROPOSITION", "es": "PROPUESTA"}
# English words that every one of these papers has in English.
ENGLISH = re.compile(
    r"\b(?:bags?|SHORT|HOLD|Take|Closed by|spring size|parallel arm|regular arm|fire label|missing|"
    r"MISSING|Price|price|Margin|margin|working days|closer body|Needed|Short|Customer|STOPPED)\b"
)


@pytest.fixture(scope="module", params=LANGUAGES)
def asked(request) -> tuple[str, Snapshot]:
    """The customer's language, and the job in it."""
    locale = LOCALES[request.param]
    return request.param, as_proposal(offered(OF, shelf(), locale=locale, job="Job"))


def text_of(flow: Flow) -> str:
    html = " ".join(block.html for block in flow.blocks)
    # What another paper says is in that one's language.
    html = re.sub(r"<(b|span) lang=.*?</\1>", " ", html)
    return " ".join(re.sub(r"<[^>]+>", " ", html).split())


@pytest.mark.parametrize("house", LANGUAGES)
def test_the_house_reads_its_own_language_and_the_customer_the_jobs(asked, house):
    language, snapshot = asked
    of = Ordered(snapshot, RULES, Fraction(3, 4), style=HouseStyle(language=house))
    for kind, spoken in (
        (PICK_LIST, house),
        (MARGIN_SHEET, house),
        (KIT_LABELS, language),
        (PACKING_SLIP, language),
        (SETTING_CARDS, language),
    ):
        paper = of.paper(kind)
        flow = make_flow(paper, TEMPLATES)
        assert paper.head.language == flow.language == spoken
        # On every page: what it is, its number, whose it is, and which page of how many.
        assert WORD[spoken] in flow.title
        assert flow.running.startswith(flow.title)
        assert "·  ·" not in flow.running
        assert not flow.running.endswith("· ")
        assert flow.job == "Job"
        assert flow.house == "Fernhollow Door Supply"
        assert flow.page_of
        text = text_of(flow)
        assert WORD[spoken] in text
        others = [word for each, word in WORD.items() if each != spoken]
        assert not any(word in text + flow.title + flow.running for word in others)
        if kind in (PICK_LIST, MARGIN_SHEET):
            assert SAID[kind][spoken] in text
            # Items are as the catalogue has them, and sentences about kits as they were sent.
            sent = [each for line in snapshot.offer.kits for each in line.lines]
            for each in sorted({line.description for line in sent}, key=len, reverse=True):
                text = text.replace(each, "")
            for words in (snapshot.offer.words, snapshot.offer.sent):
                for said in words.kits if words else ():
                    for finding, *_ in said.findings:
                        text = text.replace(finding, "")
            if spoken != "en":
                assert not ENGLISH.findall(text)


@pytest.mark.parametrize("house", LANGUAGES)
def test_a_pick_list_names_what_is_on_the_labels_of_bags_it_holds(asked, house):
    language, snapshot = asked
    kits = [
        replace(kit, lines=tuple(replace(line, on_hand=0) for line in kit.lines))
        for kit in snapshot.offer.kits
    ]
    short = replace(snapshot, offer=replace(snapshot.offer, kits=tuple(kits)))
    of = Ordered(short, RULES, Fraction(3, 4), style=HouseStyle(language=house))
    paper, labels = of.paper(PICK_LIST), of.paper(KIT_LABELS)
    assert isinstance(paper, PickListPaper)
    bars = {
        word
        for block in make_flow(labels, TEMPLATES).blocks
        for word in re.findall(r'<p class="hold"><b>(.*?)</b>', block.html)
    }
    assert len(bars) == 2, "some are held, some wait"
    assert {one.waits for one in paper.openings} == {True}
    front, _, *groups = (block.html for block in make_flow(paper, TEMPLATES).blocks)
    said = [re.findall(r"<span lang=.*?>(.*?)</span>", each) for each in groups]
    if house == language:
        assert not any(said)
        assert " lang=" not in front
    else:
        assert all(len(each) == 1 for each in said), "beside the word of the list, once for each"
        assert {word for each in said for word in each} == bars
        assert bars < {*re.findall(rf'<b lang="{language}">(.*?)</b>', front)}


def test_a_house_folder_names_the_language_of_what_stays_in_the_house(tmp_path):
    (tmp_path / "style.toml").write_text('name = "Fernhollow"\nhouse_language = "es"\n')
    folder = read_house_folder(tmp_path, bundled("templates"), list(LANGUAGES))
    assert folder[0].language == "es"
    (tmp_path / "style.toml").write_text('house_language = "de"\n')
    with pytest.raises(InputError) as refused:
        read_house_folder(tmp_path, bundled("templates"), list(LANGUAGES))
    (problem,) = refused.value.problems
    assert (problem.code, problem.fields["given"]) == ("house-language-unknown", "de")
