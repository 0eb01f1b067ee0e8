"""The plain words of a card's elevation: there wherever it has room, and on nothing else."""

from itertools import combinations
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.documents.test_dimensions_drawn import CAPITALS, drawings_of, overlap
from tests.documents.test_setting_cards import SIZES, drawn, in_mount
from tests.support.openings import openings

from wholekit.documents.drawings.sheet import TEXT, Sheet
from wholekit.documents.lettering import HEAVY, POINT, REGULAR, breadth
from wholekit.domain.openings import Hand, Mount, OpeningType

# What names the leaf, and what of shoe or bracket is not to be scaled off.
WORDS = {
    "en_US": ("leaf", "height and holes", "by the template"),
    "fr_CA": ("vantail", "hauteur et trous", "selon le gabarit"),
    "es_MX": ("hoja", "altura y agujeros", "según la plantilla"),
}


def boxes(svg: str) -> list[tuple[str, tuple[float, float, float, float]]]:
    """Each word of a drawing under its head, with what it covers."""
    found = []
    for told in ElementTree.fromstring(svg):  # noqa: S314  # our own drawing
        if not told.tag.endswith("text") or float(told.attrib["y"]) < 7:
            continue
        x, y, text = float(told.attrib["x"]), float(told.attrib["y"]), told.text or ""
        weight = HEAVY if told.attrib["font-weight"] == "600" else REGULAR
        wide = breadth(text, TEXT / POINT, weight)
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[told.attrib["text-anchor"]]
        found.append((text, (left, y - CAPITALS * TEXT, left + wide, y)))
    return found


@pytest.mark.parametrize("hand", Hand)
@pytest.mark.parametrize("mount", Mount)
@pytest.mark.parametrize("catalog", SIZES)
@pytest.mark.parametrize("locale", WORDS)
def test_a_leaf_and_what_goes_by_the_template_are_named(
    locale: str, catalog: str, mount: Mount, hand: Hand
) -> None:
    told = drawn(in_mount(catalog, mount, hand, 1, locale).elevation).words()
    leaf, *template = WORDS[locale]
    assert leaf in told
    assert " ".join(template) in " ".join(told)


@settings(max_examples=60)
@given(openings(), st.sampled_from([*WORDS]))
def test_no_words_of_a_drawing_stand_on_others(kind: OpeningType, locale: str) -> None:
    for drawing in drawings_of(kind, locale):
        if drawing:
            for (one, its), (other, box) in combinations(boxes(drawing), 2):
                assert not overlap(its, box), (one, other)


def test_words_are_free_off_lines_shapes_and_other_words() -> None:
    sheet = Sheet(60, 30, "", "")
    assert sheet.is_free((10, 10, 20, 13))
    sheet.line([(0, 12), (60, 12)], "#000000", 0.2)
    sheet.area([(30, 15), (50, 15), (50, 25), (30, 25)], "#ffffff", "#000000")
    sheet.area([(0, 20), (28, 20), (28, 30), (0, 30)], "#ececec")
    sheet.dot((5, 17), 1.0, "#ffffff", "#000000")
    sheet.say((10, 18), "word")
    sheet.across(55.0, 58.0, 28.0, "", (28.0, 14.0))
    taken = [(10, 10, 20, 13), (35, 18, 40, 20), (20, 22, 30, 24), (4, 16, 6, 18), (11, 16, 13, 18)]
    taken += [(57, 18, 59, 20)]
    assert not any(sheet.is_free(box) for box in taken)
    # On the ground of a leaf, within its edges.
    assert sheet.is_free((5, 22, 20, 25))
