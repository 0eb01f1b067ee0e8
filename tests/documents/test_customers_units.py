"""Papers of a customer whose openings are in millimetres: no inch, pound or mile comes first.

A standard's own figure may stand in brackets behind, a maker's in brackets or in its own column;
what a catalogue or the customer wrote stays as written.
"""

import csv
import math
import re
from base64 import b64decode
from dataclasses import replace
from email import message_from_bytes
from email.policy import default
from fractions import Fraction
from functools import cache
from io import BytesIO
from itertools import product
from xml.etree import ElementTree

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.documents.test_submittal import DAY, SAMPLES, TEMPLATES, house
from tests.support.customer_words import check_language, data_of, texts
from tests.support.house import SAMPLES as CATALOGUES
from tests.support.house import sample

from wholekit.documents.comparison import comparison_flow, comparison_paper
from wholekit.documents.exchange.comparison_workbook import comparison_workbook
from wholekit.documents.exchange.mail import mail_bytes
from wholekit.documents.exchange.quote_workbook import quote_workbook
from wholekit.documents.fill_cards import cards_paper
from wholekit.documents.fill_drilling import drilling_paper
from wholekit.documents.fill_quote import quote_paper
from wholekit.documents.fill_slip import packing_slip_paper
from wholekit.documents.fill_submittal import submittal_paper
from wholekit.documents.flow import DRAWING_URL, Flow
from wholekit.documents.make_flow import make_flow
from wholekit.domain.forces import DoorCase, closer_of_force, judge
from wholekit.domain.openings import Location, Mount, OpeningType
from wholekit.domain.quantities import Length, Mass, parse_length, parse_size
from wholekit.domain.quotes import Offer
from wholekit.domain.quotes.compare import compare
from wholekit.intake.openings import read_openings
from wholekit.services.schedules import Asker, work_up_schedule
from wholekit.services.snapshots import Headed
from wholekit.wording.findings import say_finding
from wholekit.wording.openings import size_text
from wholekit.wording.speech import language_of
from wholekit.wording.units import force_limit, in_units_of, measured
from wholekit.wording.words import value_text

LENGTHS = ("top_rail", "head_face", "ceiling_clearance", "reveal", "thickness")
MARKS = {
    "100A",
    "114",
    "128",
    "E9",
    "101",
    "103",
    "104",
    "109",
    "113",
    "119",
    "122",
    "136",
    "207",
    "212",
    "E4",
    "E8",
}
INCHES = r"\d+(?:-\d+/\d+|/\d+|[.,]\d+)? in"
IMPERIAL = re.compile(
    rf"(?<![\w/-])(?:{INCHES}|[\d.,-]+ (?:lbf?|mph|ft|psf)|lbf?|\d+['\"])(?! all| a row)(?!\w)"
)
# Figures of a maker in their column, and of the rule to verify a print by.
OWN_FIGURE = re.compile(rf"(?:[\d/-]+ × )?{INCHES}")
TEMPLATE_NAMES = {
    template.id
    for name in CATALOGUES
    for series in sample(name).series
    for template in series.templates
}
RULE = re.compile(r"100 mm \S+ 4 in\b")


@cache
def metric_offer(locale: str, folder) -> Offer:
    """Openings of many kinds from the sample job, measured in millimetres."""
    with (SAMPLES / "jobs" / "ostrell-bay-school.csv").open() as file:
        rows = [row for row in csv.DictReader(file) if row["mark"] in MARKS]
    for row in rows:
        if row["size"]:
            width, height = parse_size(row["size"])
            row |= {"size": "", "width": f"{width.in_millimetres:.0f} mm"}
            row["height"] = f"{height.in_millimetres:.0f} mm"
        else:
            for side in ("width", "height"):
                row[side] = f"{parse_length(row[side]).in_millimetres:.0f} mm"
        row |= {
            name: f"{parse_length(row[name]).in_millimetres:.0f} mm"
            for name in LENGTHS
            if row[name]
        }
        row |= {"note": "", "weight": "", "wind": ""}
    schedule = folder / f"{locale}.csv"
    with schedule.open("w", newline="") as file:
        writer = csv.DictWriter(file, list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)
    place = house()
    openings = read_openings(str(schedule), [], place.rules)
    workup = work_up_schedule(openings, place.shelf, place.rules, DAY, Asker(locale=locale))
    headed = Headed("Q-1", 0, DAY, DAY, "ines", "Fernhollow", Fraction(1, 4))
    return place.snapshot(workup, headed).offer


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("metric")


@pytest.mark.parametrize("locale", ["fr_CA", "es_ES", "en_GB"])
def test_no_paper_of_a_metric_job_says_an_imperial_figure_first(locale, folder):
    offer = metric_offer(locale, folder)
    rules = house().rules
    said = []
    for paper in (
        quote_paper(offer),
        packing_slip_paper(offer),
        cards_paper(offer, rules),
        drilling_paper(offer, rules),
        submittal_paper(offer, rules),
    ):
        said += texts(make_flow(paper, TEMPLATES))
    assert any(" N (" in text for text in said)
    assert any(re.search(r"\d mm\b", text) for text in said)
    assert imperial_first(said, offer) == set()


def imperial_first(said, offer: Offer) -> set[str]:
    """The texts that say an imperial figure outside brackets, but for the catalogues' own words."""
    descriptions = {line.description for kit in offer.kits for line in kit.lines}
    wrong = set()
    for text in said:
        left = " ".join(text.split())
        for description in descriptions:
            left = left.replace(" ".join(description.split()), "")
        left = RULE.sub("", re.sub(r"\([^()]*\)", "", left))
        if not OWN_FIGURE.fullmatch(left) and IMPERIAL.search(left):
            wrong.add(text)
    return wrong


def test_a_limit_that_holds_a_closers_setting_is_in_newtons_on_its_card(folder):
    """22.2 N are the 5 lbf of the ADA Standards 2010, 404.2.9, rounded down."""
    offer = metric_offer("fr_CA", folder)
    cards = texts(make_flow(cards_paper(offer, house().rules), TEMPLATES))
    assert any(text.endswith("ce que permet le dynamomètre : 22,2 N (5 lbf).") for text in cards)
    assert "au plus 22,2 (5 lbf)" in cards
    forces = texts(make_flow(submittal_paper(offer, house().rules), TEMPLATES))
    assert any(text.startswith("22,2 N (5 lbf); calculé ") for text in forces)


@pytest.mark.parametrize("locale", ["fr_CA", "es_ES", "en_GB"])
def test_what_goes_beside_the_papers_is_in_the_same_units(locale, folder):
    later = metric_offer(locale, folder)
    first, second, *others = later.openings
    kit = replace(later.kits[first.kit], mount=Mount.TOP_JAMB, spring_size=2)
    earlier = replace(
        later,
        kits=(*later.kits, kit),
        openings=(replace(first, kit=len(later.kits)), replace(second, quantity=9), *others),
    )
    changes = comparison_paper(compare(earlier, later), later)
    mail = message_from_bytes(mail_bytes(later, b"%PDF-"), policy=default)
    body = mail.get_body()
    assert body is not None
    assert changes.said.openings
    said = texts(comparison_flow(changes, TEMPLATES))
    said += body.get_content().splitlines()
    for book in (quote_workbook(later), comparison_workbook(changes)):
        for sheet in openpyxl.load_workbook(BytesIO(book)):
            said += [str(cell) for row in sheet.values for cell in row if cell is not None]
    assert len(said) > 300
    assert any(re.search(r"\d mm\b", text) for text in said)
    assert imperial_first(said, later) == set()


@pytest.mark.parametrize("locale", ["fr_CA", "es_ES"])
def test_no_paper_of_the_fitter_or_architect_leaves_a_message_in_english(locale, folder):
    offer, rules = metric_offer(locale, folder), house().rules
    papers = (
        cards_paper(offer, rules),
        drilling_paper(offer, rules),
        submittal_paper(offer, rules),
    )
    flows = [make_flow(paper, TEMPLATES) for paper in papers]
    said = [text for flow in flows for text in texts(flow)]
    described = [text for flow in flows for text in drawn(flow)]
    assert sum("°" in text and len(text) > 60 for text in described) > 3
    said += described
    check_language(language_of(locale), sorted({*said}), data_of(offer) | {"Q-1"} | TEMPLATE_NAMES)


def drawn(flow: Flow) -> list[str]:
    """The texts of a paper's drawings, what is read out of them first."""
    images = re.findall(
        f"{re.escape(DRAWING_URL)}([\\w+/=]+)", "".join(block.html for block in flow.blocks)
    )
    return [
        " ".join(part.split())
        for image in images
        for part in ElementTree.fromstring(b64decode(image)).itertext()  # noqa: S314  # our own
    ]


@given(st.integers(1, 64 * 120), st.integers(1, 4000))
def test_measures_are_within_what_a_rule_and_a_scale_show(sixty_fourths, tenths):
    """1 in = 25.4 mm, 1 lb = 0.45359237 kg (yard and pound agreement of 1959)."""
    with in_units_of(Length.mm(900)):
        length = measured(Length.inches(0, sixty_fourths, 64))
        mass = measured(Mass.lb(Fraction(tenths, 10)))
    assert length.endswith(" mm")
    assert mass.endswith(" kg")
    assert abs(float(length[:-3]) - sixty_fourths / 64 * 25.4) <= 0.25 + 1e-9
    assert abs(float(mass[:-3]) - tenths / 10 * 0.45359237) <= 0.05 + 1e-9


def test_units_are_as_written_where_openings_differ_and_end_where_they_began():
    reveal = Length.inches(4)
    with in_units_of(Length.mm(900), Length.inches(36)):
        assert measured(reveal) == "4 in"
    with in_units_of(Length.inches(36)):
        assert measured(Length.mm(100)) == "3-15/16 in"
    assert measured(reveal) == "4 in"


@given(st.integers(1, 100))
def test_a_limit_in_newtons_never_allows_more_than_the_code(pounds):
    """1 lbf = 4.4482216 N (NIST SP 811, B.8)."""
    newtons = float(force_limit(pounds, "lbf", metric=True).split()[0])
    assert pounds * 4.4482216 - 0.1 <= newtons <= pounds * 4.4482217


@given(st.integers(500, 1500), st.integers(1800, 2600), st.integers(1, 300))
def test_a_metric_length_is_in_millimetres_in_whatever_unit_it_was_written(wide, high, other):
    """1 m = 100 cm = 1000 mm (SI brochure): a paper says lengths of one kind in one unit."""

    def written(millimetres: int, unit: str) -> Length:
        shift = {"mm": 1, "cm": 10, "m": 1000}[unit]
        return parse_length(f"{millimetres / shift:.3f} {unit}")

    said = set()
    for units in product(("mm", "cm", "m"), repeat=3):
        lengths = [written(*each) for each in zip((wide, high, other), units, strict=True)]
        kind = OpeningType(width=lengths[0], height=lengths[1])
        assert [length.in_millimetres for length in lengths] == [wide, high, other]
        with in_units_of(kind.width):
            said.add((size_text(kind), value_text("reveal", lengths[2])))
        # Where one paper's openings are in both kinds of units, too.
        assert value_text("reveal", lengths[2]) == f"{other} mm"
    assert said == {(f"{wide} × {high} mm", f"{other} mm")}


@given(st.floats(5.02, 8.4), st.floats(0, 40))
def test_forces_of_a_finding_are_as_fine_in_newtons_as_the_limit_beside_them(pounds, pressure):
    """1 lbf = 4.4482216 N (NIST SP 811, B.8). Each is the force reckoned, not its tenth of a pound
    turned over, which would be off by up to 0.22 N."""
    case = DoorCase(
        0.9144, 2.1336, 0.0762, pressure, us=True, location=Location.EXTERIOR, accessible=True
    )
    closer = closer_of_force(pounds * 4.4482216152605, 0.9144 - 0.0762, house().rules)
    verdict = judge(case, closer, "us-ca", house().rules)
    forces = {result.limit.rule: result for result in verdict.limits}
    told = [each for each in verdict.findings if each.code in OF_FORCE]
    assert told
    for finding in told:
        assert finding.rule is not None
        result = forces[finding.rule]
        assert result.allowed is not None
        reckoned: list[float | None] = [result.force]
        if finding.code == "force-over-limit" and finding.fields["pressure_force"] != "0.0":
            reckoned += [result.closer, result.pressure]
        with in_units_of(Length.mm(900)):
            text = say_finding(finding, house().rules).text
        # A sentence names its unit once or at each of its figures.
        figures = [float(found) for found in re.findall(r"(?<![\d(.])\d+\.\d\b", text)]
        assert figures[0] == math.floor(result.allowed * 44.482216) / 10, text
        exact = [each * 4.4482216152605 for each in reckoned if each is not None]
        assert figures[1:] == pytest.approx(exact, abs=0.0501), text


OF_FORCE = {"force-over-limit", "limit-on-condition"}
