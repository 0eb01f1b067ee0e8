"""Labels of bags: their ids, their codes, what stands on them, and that it stays on them."""

import re
from base64 import b64decode
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageDraw, ImageFont
from pypdf import PdfReader
from tests.documents.paper_factory import make_labels
from tests.documents.test_papers import TEMPLATES
from tests.support.house import opening, shelf
from tests.support.offers import offered

from wholekit.documents.bag_code import code_drawing
from wholekit.documents.fill_labels import labels_paper
from wholekit.documents.flow import DRAWING_URL
from wholekit.documents.kit_label import BagContent, KitLabel
from wholekit.documents.label_flows import NAMED_SHORT, small_words
from wholekit.documents.label_stock import SHEET_10, STOCKS, LabelForm
from wholekit.documents.make_flow import make_flow
from wholekit.documents.papers import KitLabelsPaper
from wholekit.documents.render import render_paper
from wholekit.documents.small_label import FROM_AFAR, small_fitted
from wholekit.domain.errors import CallError
from wholekit.domain.openings import Mount, Opening
from wholekit.domain.quotes.bag_id import CHARACTERS, BagId, bag_id_from, check_character
from wholekit.wording.orders import NOT_ORDERED

POINTS_TO_MM = 72 / 25.4
IDS = st.builds(
    BagId,
    st.integers(1, 10**7),
    st.integers(1, 200),
    st.integers(1, 5_000),
    st.integers(1, 2_000),
)


def test_the_check_character_is_that_of_published_numbers():
    """ISBT 128's donation numbers are checked by ISO/IEC 7064, MOD 37-2 (from memory, not read)."""
    assert check_character("G123498654321") == "H"
    assert check_character("G123489654321") == "Y"


@given(IDS)
def test_an_id_gives_back_its_parts_however_it_is_typed(bag):
    assert bag_id_from(str(bag)) == bag_id_from(f" {str(bag).lower()}\r\n") == bag


@given(IDS, st.data())
def test_one_changed_character_is_refused(bag, data):
    text = str(bag)
    at = data.draw(st.integers(0, len(text) - 1))
    other = data.draw(st.sampled_from([one for one in CHARACTERS if one != text[at]]))
    with pytest.raises(CallError):
        bag_id_from(text[:at] + other + text[at + 1 :])


@given(IDS)
def test_swapped_neighbours_are_refused(bag):
    text = str(bag)
    for at in range(len(text) - 1):
        swapped = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
        if swapped != text:
            with pytest.raises(CallError):
                bag_id_from(swapped)


@pytest.mark.parametrize("text", ["", "Q1R1P1B1", "Q0R1P1B1A", "4006381333931", "Q" * 5_000, "Ｑ1"])
def test_another_code_is_told_from_a_bag_read_wrongly(text):
    with pytest.raises(CallError) as refused:
        bag_id_from(text)
    assert refused.value.code in ("bag-id-malformed", "bag-id-misread")
    assert len(str(refused.value.fields["given"])) <= 40


# --- codes -----------------------------------------------------------------------------------


def drawn(pattern: str, drawing: str) -> str:
    found = re.search(pattern, drawing)
    assert found
    return found[1]


def matrix_of(drawing: str) -> list[list[bool]]:
    """The modules of a code's drawing, read from its path: strokes one module high."""
    wide, scale = drawn(r'viewBox="0 0 ([\d.]+) ', drawing), drawn(r"scale\(([\d.]+)\)", drawing)
    size = round(float(wide) / float(scale))
    dark = [[False] * size for _ in range(size)]
    x, y = 0.0, 0.0
    for step, numbers in re.findall(r"([Mmh])([-\d. ]+)", drawn(r' d="([^"]+)"', drawing)):
        given = [float(number) for number in re.findall(r"-?\d*\.?\d+", numbers)]
        if step == "M":
            x, y = given
        elif step == "m":
            x, y = x + given[0], y + given[1]
        else:
            for at in range(int(x), int(x + given[0])):
                dark[int(y)][at] = True
            x += given[0]
    return dark


def pictured(dark: list[list[bool]], dots: int) -> Image.Image:
    """As a printer of so many dots to a module prints it."""
    size = len(dark)
    image = Image.new("L", (size, size), 255)
    image.putdata([0 if one else 255 for row in dark for one in row])
    return image.resize((size * dots, size * dots), Image.Resampling.NEAREST)


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.name)
def test_the_codes_on_the_pages_are_read_as_the_bags_ids(stock):
    """By a reader apart from the writer, at the dots of a 203 dpi printer."""
    paper = replace(make_labels(8), stock=stock)
    html = "".join(block.html for block in make_flow(paper, TEMPLATES).blocks)
    drawings = re.findall(re.escape(DRAWING_URL) + '([^"]+)"', html)
    assert len(drawings) == len(paper.labels)
    for coded, label in zip(drawings, paper.labels, strict=True):
        drawing = b64decode(coded).decode()
        dark = matrix_of(drawing)
        (found,) = zxingcpp.read_barcodes(pictured(dark, stock.dots))
        assert (found.text, found.format) == (label.bag_id, zxingcpp.BarcodeFormat.QRCode)
        assert found.ec_level == "M"
        # Each module is whole dots wide on the paper, so that the printer rounds none.
        width = float(drawn(r'width="([\d.]+)mm"', drawing))
        assert width / 25.4 * 203 / len(dark) == pytest.approx(stock.dots, abs=0.01)
        assert not any(any(row[:4]) or any(row[-4:]) for row in dark), "quiet zone"


@pytest.mark.parametrize("fill", [0, 255])
def test_a_smudged_code_is_still_read(fill):
    """Wherever a blot or a scratch of 3 × 3 modules, 2 % of the code, falls on its data.

    Such a blot spoils 4 code words at most, each being 2 × 4 modules; level M of the smallest code
    restores 4 of its 26 and level L but 2 (ISO/IEC 18004, table 9; from memory, not read).
    """
    bag = str(BagId(20_417, 2, 31, 4))
    dark = matrix_of(code_drawing(bag, 4))
    assert len(dark) == 4 + 21 + 4
    for row in range(13, 23):
        for column in range(13, 23):
            image = pictured(dark, 4)
            x, y = column * 4, row * 4
            ImageDraw.Draw(image).rectangle((x, y, x + 11, y + 11), fill=fill)
            assert [found.text for found in zxingcpp.read_barcodes(image)] == [bag], (row, column)


def test_what_was_never_issued_has_no_code():
    paper = make_labels(2)
    plain = replace(paper, labels=tuple(replace(one, bag_id="") for one in paper.labels))
    assert DRAWING_URL not in "".join(one.html for one in make_flow(plain, TEMPLATES).blocks)


# --- what stands on a label ------------------------------------------------------------------

FONT = Path(__import__("fontpkg_source_sans_3").ROOT) / "files" / "SourceSans3[wght].ttf"
UNKNOWN = "\U0010fffd"  # no font draws it
MARKS = (
    "1", "WWW", "101A", "WWWWW", "Stair-101", "W" * 9, "W" * 16, "W" * 28, "W" * 60,
    "Gymnasium east " * 4, UNKNOWN * 2, UNKNOWN * 60,
)  # fmt: skip
WRITTEN = {UNKNOWN * 2: "[U+10FFFD][U+10FFFD]", UNKNOWN * 60: "[60×U+10FFFD]"}


def texts_of(file: Path) -> list[list[tuple[str, float, float, float]]]:
    """By page: each text with its left and right end and base line [points]."""
    pages = []
    for page in PdfReader(file).pages:
        found: list[tuple[str, float, float, float]] = []

        def see(text, outer, matrix, _font, size, found=found):
            if text.strip():
                scale = abs(matrix[0] * outer[0])
                font = ImageFont.truetype(FONT, 200)
                font.set_variation_by_axes([600])
                left = matrix[4] * outer[0] + outer[4]
                base = matrix[5] * outer[3] + outer[5]
                wide = font.getlength(text.strip("\n")) / 200 * size * scale
                found.append((text.strip(), left, left + wide, base))

        page.extract_text(visitor_text=see)
        pages.append(found)
    return pages


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.name)
def test_a_mark_of_any_length_stays_on_its_label(stock, tmp_path):
    """And so does all else, with every alert, held, and more lines than the stock has."""
    paper = make_labels(8)
    most = tuple(BagContent(f"TRL-K7-BODY-{at:04d}", 1) for at in range(stock.lines + 1))
    labels = tuple(
        replace(
            label,
            mark=mark,
            held=held,
            hand="hand not stated",
            contents=most,
            alerts=("FIRE DOOR, 180 MINUTES", "ACCESSIBLE"),
            # A bag on hold has no card of its own.
            card=0 if held else 100,
        )
        for mark in MARKS
        for held, label in ((True, paper.labels[0]), (False, paper.labels[1]))
    )
    # Few lines are written larger.
    labels += tuple(replace(label, contents=most[:5]) for label in labels[:4])
    out = tmp_path / "labels.pdf"
    render_paper(replace(paper, labels=labels, stock=stock), out, TEMPLATES)
    pages = texts_of(out)
    assert len(pages) == -(-len(labels) // stock.to_a_page)
    shown = "".join(re.sub(r"\s", "", text) for page in pages for text, *_ in page)
    for mark in MARKS:
        assert WRITTEN.get(mark, re.sub(r"\s", "", mark)) in shown
    # Where a sheet has a foot, it says what the number stands for.
    assert ("asignthatcannotbeprinted" in shown) == (stock.page is None)
    (top, side, foot) = stock.edges
    for page, read in zip(PdfReader(out).pages, pages, strict=True):
        width, height = float(page.mediabox.width), float(page.mediabox.height)
        for text, left, right, base in read:
            if text.startswith("Page ") or "Larkspur" in text:
                continue
            at = text, left, right, base
            assert side * POINTS_TO_MM - 0.1 <= left <= right, at
            assert right <= width - side * POINTS_TO_MM + 0.5, at
            cell = (height - base - top * POINTS_TO_MM) / POINTS_TO_MM
            assert foot * POINTS_TO_MM <= base, at
            assert base_is_inside(cell, stock), at
            if stock.across == 2:
                middle = width / 2
                assert right <= middle or left >= middle, at


WORDS = [
    "kit",
    "cover",
    "narrow",
    "arm;",
    "screws",
    "(set)",
    "adjustable",
    "aluminum",
    "Laboratory",
    "mount",
    "1/4",
    "short",
]


def any_label(random: Random, label: KitLabel, at: int) -> KitLabel:
    """A label of a bag that ships, waits or is held, with little or much to say."""

    def words(most: int) -> str:
        return " ".join(random.choices(WORDS, k=random.randint(1, most)))

    held, waits = random.random() < 0.3, random.random() < 0.5
    contents = tuple(
        BagContent(f"TG-{'AB'[line % 2] * random.randint(1, 7)}.{line:02}", 12, words(9), short)
        for line in range(random.randint(1, 12))
        for short in (random.choice((0, 3)) if waits else 0,)
    )
    marks = ("9", "107", "2101B", "STAIR-12", "W-W-W-W-W-W-W", f"{UNKNOWN} 12", UNKNOWN * 2)
    return replace(
        label, mark=random.choice(marks),
        bag=at + 1, bags=500, held=held, card=0 if held else 17, hand="hand not stated",
        bag_id=random.choice(("", label.bag_id)), room=random.choice(("", words(6), UNKNOWN * 2)),
        alerts=random.choice(((), ("ACCESSIBLE",), ("FIRE DOOR, 90 MINUTES", "ACCESSIBLE"))),
        stops=tuple(words(20) for _ in range(random.randint(1, 3))) if held else (),
        missing=("2 × closer body",) if held and waits else (), contents=contents,
    )  # fmt: skip


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.name)
def test_all_that_a_label_says_has_room(stock, tmp_path):
    """Of 40 at random nothing is cut off; items without room are counted; card and number stay."""
    random, paper, out = Random(11), make_labels(1), tmp_path / "labels.pdf"
    labels = [any_label(random, paper.labels[0], at) for at in range(40)]
    head = replace(paper.head, notice="NOT ORDERED: the customer has not accepted this.")
    render_paper(replace(paper, head=head, labels=tuple(labels), stock=stock), out, TEMPLATES)
    told = []
    for file_page, page in zip(PdfReader(out).pages, texts_of(out), strict=True):
        height = float(file_page.mediabox.height)
        for text, _left, _right, base in page:
            if not text.startswith("Page "):
                down = (height - base) / POINTS_TO_MM - stock.edges[0]
                assert base_is_inside(down, stock), text
        told += re.split(r"\bBag \d+ of 500", " ".join(text for text, *_ in page))[1:]
    assert len(told) == len(labels)
    for label, said in zip(labels, told, strict=True):
        assert "NOT ORDERED" in said
        card = "Setting card 17" if stock.lines else "Card 17"
        assert not label.card or card in said.replace("\u00a0", " ")
        if not stock.lines:
            assert "hand not stated" in said
            continue
        named = sum(each.sku in said for each in label.contents)
        more = re.search(r"and (\d+) more", said)
        assert named + int(more[1] if more else 0) >= len(label.contents)


def sizes_on(file: Path) -> dict[str, float]:
    """Each text's size [points]."""
    found: dict[str, float] = {}

    def see(text, outer, matrix, _font, size):
        found[text.strip()] = round(abs(matrix[3] * outer[3]) * size, 1)

    for page in PdfReader(file).pages:
        page.extract_text(visitor_text=see)
    return found


def test_a_label_of_its_own_page_is_read_from_afar_and_has_no_page_number(tmp_path):
    """A kit of 14 lines is named whole on the largest."""
    lines = tuple(BagContent(f"SKU-{at}", 1) for at in range(14))
    sizes = {}
    for stock in STOCKS:
        paper = make_labels(1)
        labels = tuple(
            replace(paper.labels[0], mark=mark, held=False, contents=lines)
            for mark in ("101", "2101B")
        )
        out = tmp_path / f"{stock.name}.pdf"
        render_paper(replace(paper, labels=labels, stock=stock), out, TEMPLATES)
        sizes[stock.name] = sizes_on(out)
        numbered = any(text.startswith("Page ") for text in sizes[stock.name])
        assert numbered == (stock.page is None)
    assert (sizes["4x6in"]["101"], sizes["4x6in"]["2101B"]) == (80, 54)
    # There it gives way to what is in the bag, as far as it is still read from afar.
    assert sizes["2x1in"]["101"] >= FROM_AFAR
    assert all(any(text.endswith(line.sku) for text in sizes["4x6in"]) for line in lines)


def base_is_inside(down: float, stock) -> bool:
    """Whether a base line so far down the page [mm] lies on a label, clear of its clipped end."""
    border = 0.18
    padding = 0 if stock.form is LabelForm.SMALL else 2
    pitch = stock.height + 2 * (padding + border) + stock.gap
    return (down - stock.gap) % pitch <= stock.height + padding + border


def page_html(paper: KitLabelsPaper) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", one.html) for one in make_flow(paper, TEMPLATES).blocks)


def test_what_must_not_ship_says_hold_and_nothing_else_does():
    paper = make_labels(12)
    held = sum(label.held for label in paper.labels)
    assert 0 < held < len(paper.labels)
    for stock in STOCKS:
        assert page_html(replace(paper, stock=stock)).count("HOLD") == held


def test_contents_have_a_box_each_and_what_has_no_room_is_told():
    (label, *_) = make_labels(1).labels
    many = tuple(BagContent(f"SKU-{at}", at + 1) for at in range(30))
    paper = replace(make_labels(1), labels=(replace(label, contents=many),))
    for stock in STOCKS:
        html = make_flow(replace(paper, stock=stock), TEMPLATES).blocks[0].html
        assert html.count('class="box"') == stock.lines
        assert "465 items" in html
        if stock.lines:
            assert f"and {30 - stock.lines} more, see the pick list" in html
            assert f"{stock.lines}\u00a0×\u00a0SKU-{stock.lines - 1}<" in html.replace(
                '<span class="c">', ""
            )


@pytest.mark.parametrize("alerts", [(), ("FIRE DOOR, 90 MINUTES",)])
def test_the_smallest_label_names_its_items_while_they_fit(alerts, tmp_path):
    """And then says how many there are, and where they stand; never more than it has room for."""
    (label, *_) = make_labels(1).labels
    stock = next(one for one in STOCKS if one.form is LabelForm.SMALL)
    labels = [
        replace(
            label,
            mark=mark,
            alerts=alerts,
            hand="LHR",
            held=False,
            contents=tuple(BagContent(f"QH-AB-{at}", 2) for at in range(many)),
        )
        for mark in ("101", "2101B", "E8")
        for many in range(1, 40, 3)
    ]
    render_paper(
        replace(make_labels(1), labels=tuple(labels), stock=stock), tmp_path / "s.pdf", TEMPLATES
    )
    named = 0
    for one, page in zip(labels, texts_of(tmp_path / "s.pdf"), strict=True):
        # No code is broken, so each stands in the page as a text of its own.
        said = " ".join(text for text, *_ in page).replace(" ,", ",").replace("\u00a0", " ")
        whole = ", ".join(f"{each.quantity} × {each.sku}" for each in one.contents)
        items = 2 * len(one.contents)
        # Under a fire label a short mark is so large that only the count has room.
        counted = f"{items} items, see the pick list" in said or f"· {items} items" in said
        assert (whole in said) != counted, said
        named += whole in said
        for text, left, right, base in page:
            assert right <= 50.8 * POINTS_TO_MM, text
            assert base_is_inside((72 - base - POINTS_TO_MM) / POINTS_TO_MM, stock), text
            assert left >= 0
    assert 6 <= named < len(labels)


def test_the_present_sheet_is_the_default():
    assert make_labels(1).stock is SHEET_10
    assert len({stock.name for stock in STOCKS}) == len(STOCKS)


def test_labels_go_out_in_the_jobs_language_and_break_no_code():
    asked = {"mount": Mount.REGULAR, "fire_minutes": 20}
    of = [Opening("P-01", opening("914x2134 mm", **asked), 2)]
    for locale, bag, alert in (
        ("fr_CA", "Sac 1 de 2", "PORTE COUPE-FEU, 20 MINUTES"),
        ("es_MX", "Bolsa 1 de 2", "PUERTA CORTAFUEGO, 20 MINUTOS"),
    ):
        offer = offered(of, shelf(), locale=locale).offer
        for stock in STOCKS:
            paper = labels_paper(offer, NOT_ORDERED, stock=stock)
            html = "".join(block.html for block in make_flow(paper, TEMPLATES).blocks)
            assert bag in html
            assert alert in html
            assert not re.search(r"NOT ORDERED|spring size|Bag \d|FIRE DOOR|\bitems\b", html)
            for sku in {each.sku for each in paper.labels[0].contents if "-" in each.sku}:
                shown = html.count(sku)
                assert shown == html.count(f'<span class="c">{sku}</span>')


@pytest.mark.parametrize("stock", STOCKS, ids=lambda stock: stock.name)
def test_a_label_counts_what_is_in_its_bag_and_names_what_is_not(stock):
    """On every stock; with the number of its setting card, also of what was never issued."""
    (one, *_) = make_labels(1).labels
    contents = (BagContent("QA-1", 3, "", 1), BagContent("QB-2", 13, "", 2))
    label = replace(one, mark="101", bag_id="", held=False, card=12, contents=contents)
    whole = replace(label, contents=(BagContent("QA-1", 3), BagContent("QB-2", 13)))
    held = replace(whole, held=True, card=0, missing=("2 × closer body",))
    many = replace(
        label, contents=tuple(BagContent(f"QC-{at}", 2, "", 1) for at in range(NAMED_SHORT + 1))
    )

    def said(which: KitLabel) -> str:
        paper = replace(make_labels(1), labels=(which,), stock=stock)
        return " ".join(page_html(paper).split()).replace(" ,", ",")

    short, held_so, lots = said(label), said(held), said(many)
    # The bar says that it must not leave, as that of one that is held; never in small print.
    for told, bar in ((short, "WAITS"), (held_so, "HOLD"), (lots, "WAITS")):
        assert told.count(bar) == 1
    # The smallest has no room for codes: how many, and where they stand.
    assert ("SHORT 1 × QA-1, 2 × QB-2" in short) == bool(stock.lines)
    assert stock.lines or "SHORT 3 items, see pick list" in short
    # The smallest names the items, or says how many there are.
    named = "2 × QA-1" in short.replace("SHORT 1 × QA-1, 2 ×", "") and "11 × QB-2" in short
    assert named or not stock.lines
    assert "13 of 16 items" in short
    assert ("Card 12" in short) if not stock.lines else ("Setting card 12" in short)
    assert "MISSING 2 × closer body" in held_so
    assert "SHORT" not in held_so
    assert not stock.lines or "16 items, not picked" in held_so
    assert f"SHORT {NAMED_SHORT + 1}" in lots
    assert "SHORT" not in said(whole)


def test_the_smallest_label_keeps_hand_and_finish_and_cuts_no_value():
    """Whatever its bar, shortage and mark leave of it; a held one says how many reasons more."""
    (one, *_) = make_labels(1).labels
    contents = (BagContent("QA-1", 3, "", 1), BagContent("QB-2", 13, "", 2))
    (small,) = (stock for stock in STOCKS if stock.form is LabelForm.SMALL)
    for mark in ("210", "E9", "STAIR-12", "NORTH-WING-03"):
        for held in (True, False):
            label = replace(
                one, mark=mark, held=held, card=0 if held else 13, hand="LHR", finish="652",
                room="Waiting room of the infirmary", size="3'-0\" × 7'-0\"", contents=contents,
                mount="regular arm", size_set=3, stops=("a", "b", "c") if held else (),
            )  # fmt: skip
            words = small_words(label, "SHORT 13 items, see pick list", "Q-00012/2", 12.0)
            told = small_fitted(words, small.width(215.9), small.height).facts
            assert "LHR" in told
            assert "finish 652" in told
            assert ("Card 13" in told) != held
            parts = {"Card 13", "why: see the pick list", "regular arm, spring size 3",
                     f"{label.size}, LHR", "LHR", "finish 652", label.room}  # fmt: skip
            assert set(told.split(" · ")) <= parts
            for stock in STOCKS:
                said = page_html(replace(make_labels(1), labels=(label,), stock=stock))
                assert not re.search(r"[·×]\s*$", told)
                # A large one tells them all.
                middle = stock.form is LabelForm.MIDDLE
                assert ("2 more reasons" in said) == (held and middle)
                large = held and stock.form is LabelForm.LARGE
                assert bool(re.search(r"STOP\s*:\s+a b c", said)) == large
                # A sheet of ten has no room for it beside a bar.
                roomy = stock.form is not LabelForm.MIDDLE
                assert said.count("bag id") == (bool(label.bag_id) and roomy)
