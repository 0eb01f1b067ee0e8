"""Descriptions in the customer's language: what a catalogue gives, whole or not at all."""

import re
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.support.house import SAMPLES, opening, sample, shelf
from tests.support.offers import offered

from wholekit.documents.fill_labels import labels_paper
from wholekit.documents.fill_pick import pick_list_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_slip import packing_slip_paper
from wholekit.domain.errors import InputError
from wholekit.domain.kits import Shelf
from wholekit.domain.openings import Mount, Opening
from wholekit.intake.catalog_folder import load_catalog
from wholekit.settings import bundled
from wholekit.store.plain_text import to_text

PARTS = st.sampled_from(("arm", "size 3", "black", "1 screw", "cap: small"))


@given(known=st.dictionaries(PARTS, st.sampled_from(("un", "deux", "trois"))), parts=st.lists(
    PARTS, min_size=1, max_size=4))  # fmt: skip
def test_a_description_is_said_whole_or_not_at_all(known, parts):
    catalog = sample("quillmere")
    first = replace(catalog.series[0], phrases=(("fr", tuple(known.items())),))
    said = replace(catalog, series=(first,)).description_in("fr", ", ".join(parts))
    assert said == (", ".join(known[part] for part in parts) if set(parts) <= set(known) else "")
    assert replace(catalog, series=(first,)).description_in("es", ", ".join(parts)) == ""


@pytest.mark.parametrize("language", ["fr", "es"])
@pytest.mark.parametrize("name", SAMPLES)
def test_the_sample_catalogues_give_every_description(name, language):
    catalog = sample(name)
    left = [
        item.sku for item in catalog.items if not catalog.description_in(language, item.description)
    ]
    assert left == []
    # What says nothing more is kept as it was in stores from before.
    assert '"phrases"' not in to_text(replace(catalog.series[0], phrases=()))


@pytest.mark.parametrize(("language", "unit"), [("fr", "po"), ("es", "pulg")])
def test_inches_of_a_description_stand_behind_their_millimetres(language, unit):
    """25.4 mm to the inch exactly (international inch); a reach is never said longer than it is."""
    told = 0
    for catalog, item in ((one, item) for one in map(sample, SAMPLES) for item in one.items):
        said = catalog.description_in(language, item.description)
        inches = re.findall(rf"\b(\d+) {unit}\b", said)
        both = re.findall(rf"\b(\d+) mm \((\d+) {unit}\)", said)
        assert [each for _, each in both] == inches
        assert all(int(mm) == int(int(each) * 25.4) for mm, each in both)
        told += len(both)
    assert told


@pytest.mark.parametrize(("locale", "word"), [("fr_CA", "Coffret"), ("es_MX", "Juego completo")])
def test_papers_of_a_job_say_items_in_its_language_where_the_catalogue_does(locale, word):
    kind = opening("3070", mount=Mount.REGULAR, weight="100 lb")
    offer = offered([Opening("101", kind)], shelf("quillmere"), locale=locale).offer
    assert offer.sent is not None
    (line,) = offer.kits[0].lines
    said = offer.sent.item(line)
    assert said.startswith(word)
    assert offer.words.item(line) == line.description
    (bag,) = packing_slip_paper(offer).kits
    assert [each.description for each in bag.lines] == [said]
    assert [each.description for each in quote_paper(offer).kits[0].lines] == [said]
    assert [each.description for each in labels_paper(offer).labels[0].contents] == [said]
    # The pick room's own is the house's: English here, and the job's where the house speaks it.
    assert pick_list_paper(offer).walk[0].description == line.description
    theirs = pick_list_paper(offer, language=locale[:2])
    assert theirs.walk[0].description == theirs.openings[0].lines[0].description == said
    silent = sample("tarrowby")
    silent = replace(silent, series=tuple(replace(series, phrases=()) for series in silent.series))
    other = offered([Opening("101", kind)], Shelf([silent]), locale=locale).offer
    assert other.sent is not None
    assert other.sent.items == ()


def test_a_phrase_that_is_no_line_is_told_with_its_file(tmp_path):
    source = bundled("catalog_samples") / "quillmere"
    for file in source.rglob("*.*"):
        to = tmp_path / file.relative_to(source)
        to.parent.mkdir(exist_ok=True)
        to.write_bytes(file.read_bytes())
    lodge = tmp_path / "series" / "lodge.toml"
    lodge.write_text(
        lodge.read_text("utf-8") + '\n[descriptions_fr]\n"black" = "no\\nir"\n', "utf-8"
    )
    with pytest.raises(InputError) as refused:
        load_catalog(tmp_path)
    (problem,) = refused.value.problems
    assert (problem.code, problem.column) == ("text-unreadable", "descriptions_fr")
