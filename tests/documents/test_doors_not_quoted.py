"""Doors of a customer's sheet that nothing is quoted for are named on the quote, and no range of
marks runs over one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.openings.sheets import read
from tests.support.customer_words import texts
from tests.support.house import RULES, shelf
from tests.support.messages import TEMPLATES
from tests.support.offers import DAY

from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_submittal import submittal_paper
from wholekit.documents.make_flow import make_flow
from wholekit.documents.papers import QuotePaper
from wholekit.documents.quote_form import QuoteForm
from wholekit.domain.openings import marks_named
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.compare import compare
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed, make_snapshot
from wholekit.wording.comparisons import say_comparison
from wholekit.wording.exports import left_out_texts, mail_text
from wholekit.wording.offers import HouseWords
from wholekit.wording.speech import ENGLISH, speaking

QUOTED = ("Regular", "Parallel")
SAID = {
    "en_US": {"NONE": "no closer wanted", "By Others": "by others", "NIC": "not in contract"},
    "fr_CA": {"NONE": "sans ferme-porte", "By Others": "par d'autres", "NIC": "hors contrat"},
    "es_MX": {"NONE": "sin cierrapuertas", "By Others": "por otros", "NIC": "fuera de contrato"},
}


def offer_of(closers: dict[str, str], locale: str = "en_US") -> Offer:
    """The offer of a sheet with what it says of each door's closer."""
    rows = "".join(f"{mark},3070,HM,HM,{said}\n" for mark, said in closers.items())
    sheet = read(f"Mark,Size,Door Matl,Frame Matl,Closer\n{rows}")
    asker = Asker(locale=locale)
    job = work_up_schedule(sheet.openings, shelf(), RULES, DAY, asker, unasked=sheet.unasked)
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", None)
    return make_snapshot(job, HouseWords(), RULES, headed, asks=True).offer


def meant(places: str, closers: dict[str, str]) -> set[str]:
    """The marks of a text of ranges, read among all doors of the sheet."""
    found, unknown = marks_named(places.split(", "), [*closers])
    assert not unknown
    return {*found}


def every_range(paper: QuotePaper) -> list[str]:
    appendix = paper.appendix
    told = (*appendix.fitting, *appendix.assumed, *appendix.boxes, *appendix.reckoned)
    asked = [marks for question in paper.questions for marks in question.marks]
    forces = [row.places for table in appendix.forces for row in table.rows]
    forces += [appendix.uncalculated or ""]
    kits = [kit.places for kit in (*paper.kits, *paper.open_kits)]
    found = [*kits, *(one.places for one in paper.open), *(one.places for one in told)]
    notes = [note.places for note in paper.notes]
    return [places for places in (*found, *notes, *asked, *forces) if places]


@given(st.lists(st.sampled_from([*QUOTED, *SAID["en_US"]]), min_size=2, max_size=14))
def test_no_range_of_a_quote_runs_over_a_door_that_is_not_in_it(said):
    closers = {f"{101 + at}": each for at, each in enumerate(said)} | {"100": "Regular"}
    offer = offer_of(closers)
    quoted = {mark for mark, each in closers.items() if each in QUOTED}
    paper = quote_paper(offer)
    for places in every_range(paper):
        assert meant(places, closers) <= quoted
    told = [part.rpartition(" (") for part in paper.unasked.split("; ") if part]
    assert {why.removesuffix(")"): meant(places, closers) for places, _, why in told} == {
        why: {mark for mark, each in closers.items() if each == code}
        for code, why in SAID["en_US"].items()
        if code in said
    }


@pytest.mark.parametrize("locale", SAID)
@pytest.mark.parametrize("form", QuoteForm)
def test_both_forms_name_the_doors_that_are_not_quoted_in_the_customers_language(form, locale):
    closers = dict(zip("12345678", [*SAID[locale], "NONE", "NONE", *["Regular"] * 3], strict=True))
    offer = offer_of(closers, locale)
    none, others, nic = SAID[locale].values()
    shown = " ".join(texts(make_flow(quote_paper(offer, form=form), TEMPLATES)))
    assert f" 1, 4, 5 ({none}); 2 ({others}); 3 ({nic})." in shown
    without = quote_paper(offer_of({"1": "Regular"}, locale), form=form)
    assert none not in " ".join(texts(make_flow(without, TEMPLATES)))


@pytest.mark.parametrize("locale", SAID)
def test_submittal_and_mail_name_the_doors_that_are_not_in_them(locale):
    closers = dict(zip("12345678", [*SAID[locale], "NONE", "NONE", *["Regular"] * 3], strict=True))
    offer = offer_of(closers, locale)
    none, others, nic = SAID[locale].values()
    said = f" 1, 4, 5 ({none}); 2 ({others}); 3 ({nic})."
    with speaking(ENGLISH if offer.sent is None else offer.sent.language):
        assert said in mail_text(offer)
    paper = submittal_paper(offer, RULES)
    assert said in " ".join(texts(make_flow(paper, TEMPLATES)))
    for kit in paper.kits:
        assert meant(kit.places, closers) <= {"6", "7", "8"}


def read_without(text: str, locale: str) -> Offer:
    """The offer of a schedule without its fourth row."""
    sheet = read(text, left_out=("4",))
    asker = Asker(locale=locale)
    job = work_up_schedule(sheet.openings, shelf(), RULES, DAY, asker, unasked=sheet.unasked)
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow Door Supply", None)
    return make_snapshot(job, HouseWords(), RULES, headed, asks=True).offer


UNREAD = {
    "en_US": "3 (row 4): size “30??” cannot be read. Correct: ____",
    "fr_CA": "3 (ligne 4) : « 30?? » (dimensions) est illisible. Valeur correcte : ____",
    "es_MX": "3 (fila 4): «30??» (tamaño) no se puede leer. Valor correcto: ____",
}


@pytest.mark.parametrize("locale", SAID)
def test_a_row_left_out_since_nobody_can_read_it_stands_on_every_paper_with_a_blank(locale):
    text = "Mark,Size,Door Matl,Frame Matl\n1,3070,HM,HM\n2,3070,HM,HM\n3,30??,HM,HM\n"
    offer = read_without(text, locale)
    said = UNREAD[locale]
    for form in QuoteForm:
        # On the front and where it is signed.
        shown = " ".join(texts(make_flow(quote_paper(offer, form=form), TEMPLATES)))
        assert shown.count(said) == 2
        # And in the box of the total it is counted, as no opening that is.
        assert {"en": "1 row of your sheet", "fr": "1 ligne de", "es": "1 fila de"}[
            locale[:2]
        ] in shown
    assert said.partition(". ")[0] in " ".join(
        texts(make_flow(submittal_paper(offer, RULES), TEMPLATES))
    )
    with speaking(ENGLISH if offer.sent is None else offer.sent.language):
        assert said in mail_text(offer).replace("\xa0", " ")
        told = [text.replace("\xa0", " ") for text in left_out_texts(offer)]
        assert any(said.partition(". ")[0] in text for text in told)


FORMULA = {
    "en_US": "(row 4): mark “=1+1” cannot be read (it begins like a formula,",
    "fr_CA": "(ligne 4) : « =1+1 » (repère) est illisible (commence comme une formule,",
    "es_MX": "(fila 4): «=1+1» (marca) no se puede leer (empieza como una fórmula,",
}


@pytest.mark.parametrize("locale", FORMULA)
def test_a_mark_like_a_formula_is_told_with_why_it_cannot_be_read(locale):
    text = "Mark,Size,Door Matl,Frame Matl\n1,3070,HM,HM\n2,3070,HM,HM\n=1+1,3070,HM,HM\n"
    offer = read_without(text, locale)
    for form in QuoteForm:
        shown = " ".join(texts(make_flow(quote_paper(offer, form=form), TEMPLATES)))
        assert FORMULA[locale] in shown.replace("\xa0", " ")
    with speaking(ENGLISH if offer.sent is None else offer.sent.language):
        assert FORMULA[locale] in mail_text(offer).replace("\xa0", " ")


CLOSERS = st.sampled_from(["", "Regular", *SAID["en_US"]])


@given(st.lists(st.tuples(CLOSERS, CLOSERS), min_size=2, max_size=8))
def test_a_comparison_tells_each_door_whose_asking_changed_once(pairs):
    """Held against the two sheets themselves: what each says of the door's closer."""
    marks = [f"{101 + at}" for at in range(len(pairs))]
    before, after = (
        {mark: pair[at] for mark, pair in zip(marks, pairs, strict=True) if pair[at]}
        for at in (0, 1)
    )
    first, second = (offer_of({**closers, "100": "Regular"}) for closers in (before, after))
    found = compare(first, second)
    reasons = SAID["en_US"]
    expected = {
        mark: tuple(reasons.get(said, "in the quote" if said else "") for said in (was, now))
        for mark in marks
        if (was := before.get(mark, "")) != (now := after.get(mark, ""))
        and (was in reasons or now in reasons)
    }
    told = {}
    for row in say_comparison(found).unasked:
        for mark in meant(row.about, {**before, **after, "100": ""}):
            assert mark not in told
            told[mark] = (row.before or "", row.after or "")
    assert told == expected
    if expected:
        assert not found.same
