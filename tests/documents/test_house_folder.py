"""A house folder is read whole, or refused with every fault, its file and its place."""

import re
import struct
import zlib
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image

from wholekit.domain.errors import InputError
from wholekit.domain.house_style import HouseTexts, PageSize
from wholekit.domain.walk import Stretch
from wholekit.intake import logo as logo_module
from wholekit.intake import toml_table
from wholekit.intake.house_folder import read_house_folder
from wholekit.settings import bundled
from wholekit.wording.problems import say_problem

TEMPLATES = bundled("templates")
SAMPLE = bundled("catalog_samples") / "house"
DOC = (Path(__file__).parents[2] / "docs" / "house-folder.md").read_text(encoding="utf-8")
SQUARE = '<path d="M0 0h9v9z" fill="#123456"/>'


def svg(inner: str, attributes: str = 'viewBox="0 0 30 10"', before: str = "") -> bytes:
    return (
        f'{before}<svg xmlns="http://www.w3.org/2000/svg" '
        f'xmlns:xlink="http://www.w3.org/1999/xlink" {attributes}>\n{inner}\n</svg>'
    ).encode()


def png(width: int, height: int, mode: str = "RGB") -> bytes:
    written = BytesIO()
    Image.new(mode, (width, height), 90).save(written, "PNG")
    return written.getvalue()


def house(folder: Path, style: str = "", **files: bytes | str) -> Path:
    (folder / "style.toml").write_text(style, encoding="utf-8")
    for name, content in files.items():
        path = folder / name.replace("__", "/").replace("_dot_", ".")
        path.parent.mkdir(exist_ok=True)
        data = content.encode() if isinstance(content, str) else content
        path.write_bytes(data)
    return folder


def read(folder: Path):
    return read_house_folder(folder, TEMPLATES, ("es", "fr"))


def faults(folder: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(folder)
    return [say_problem(problem).removeprefix(f"{folder}/") for problem in caught.value.problems]


def codes(folder: Path) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(folder)
    return [problem.code for problem in caught.value.problems]


def test_the_sample_is_read_whole():
    style, notes = read(SAMPLE)
    card = style.card
    assert not notes
    assert (card.name, card.languages) == ("Fernhollow Door Supply", ("en", "fr", "es"))
    assert style.accent == "#2f5d50"
    assert style.logo is not None
    assert style.logo.fitted(60, 18) == (18, 18)
    assert style.walk.stretches[:3] == (
        Stretch("B"), Stretch("A-01"), Stretch("A-02", back=True),
    )  # fmt: skip
    assert card.says_in("fr").terms != card.says_in("en").terms
    # A language with no words of its own has the others'.
    assert card.says_in("de") == card.says_in("")


def test_every_fault_is_told_at_once_with_its_key_and_what_would_be_right(tmp_path):
    said = faults(
        house(
            tmp_path,
            'name = 7\naddress = "one line"\nemail = "nobody"\naccent = "green"\npaper = "a5"\n'
            'telephone = "two\\nlines"\nlanguages = ["en", "de"]\nlogo = "../logo.svg"\n'
            f'footer = "{"x" * 161}"\nterms = ["fine", "turned\\u202eround"]\n'
            "fax = 1\nfr = 4\n[es]\nname = 1\n",
            walk_dot_toml='[[stretch]]\nzone = "--"\n[[stretch]]\nzone = "A-1"\n[[stretch]]\n'
            'zone = "a 01"\nback = "yes"\n',
        )
    )
    for wanted in (
        "style.toml, name: name is 7; right would be text in quotation marks",
        "style.toml, address: address is one line; right would be a list of texts",
        "style.toml, email: nobody is no e-mail address; right would be one such as",
        'style.toml, accent: green is no colour; right would be "#" and six',
        "style.toml, paper: a5 is not known here; right would be: a4",
        "style.toml, telephone: right would be one line",
        "style.toml, languages: there are no words in de; right would be: en, es",
        "style.toml, logo: ../logo.svg is no file name; right would be",
        "style.toml, footer: right would be printable text",
        "style.toml, terms: right would be printable text",
        "style.toml, fax: there is no key fax here; right would be:",
        "style.toml, fr: fr is 4; right would be a table",
        "style.toml, es.name: there is no key name here; right would be: footer, registration",
        "walk.toml, stretch[1].zone: -- is no zone",
        "walk.toml, stretch[3].zone: a 01 is the same stretch as A-1",
        "walk.toml, stretch[3].back: back is yes; right would be true or false",
    ):
        assert any(text.startswith(wanted) for text in said), (wanted, said)
    assert len(said) == 16


def test_the_document_names_every_key_and_only_those(tmp_path, monkeypatch):
    monkeypatch.setattr(toml_table, "what_is_right", lambda _, known: ", ".join(known))
    keys = re.findall(r"^\| (`.*?`) \|", DOC, re.MULTILINE)
    named = set(re.findall(r"`([^`]+)`", " ".join(keys)))
    (said,) = faults(house(tmp_path, "zzzzzzzzzz = 1\n"))
    offered = set(said.partition("right would be: ")[2].split(", "))
    assert named == offered - {"en", "es", "fr"}


def test_a_folder_with_nothing_of_a_house_is_named(tmp_path):
    assert codes(tmp_path / "none") == ["house-folder-missing"]
    assert codes(tmp_path) == ["house-folder-missing"]


def test_a_light_accent_is_darkened_and_said(tmp_path):
    style, (note,) = read(house(tmp_path, 'accent = "#FFE070"\npaper = "a4"\n'))
    assert style.paper is PageSize.A4
    assert style.accent in say_problem(note)
    assert "contrast 1.3 to 1 on white, at least 4.5" in say_problem(note)


@pytest.mark.parametrize(
    ("inner", "code", "line"),
    [
        ('<image href="https://example.com/x.png"/>', "logo-element", 2),
        ('\n<image href="data:image/png;base64,AA=="/>', "logo-element", 3),
        ('<path d="M0 0" style="fill:url(https://example.com/x)"/>', "logo-fetches", 2),
        ('<path d="M0 0" fill="url( \'file:///etc/passwd\' )"/>', "logo-fetches", 2),
        ('<style>@import "x.css";</style>', "logo-fetches", 2),
        ("<style>.a{fill:u\\72l(http://x)}</style>", "logo-fetches", 2),
        ("<style>.a{fill:\nurl(//x/y)}</style>", "logo-fetches", 3),
        ('<use xlink:href="other.svg#a"/>', "logo-fetches", 2),
        ('<use href="HTTPS://example.com#a"/>', "logo-fetches", 2),
        ('<g xml:base="https://example.com/"/>', "logo-fetches", 2),
        ("<script>alert(1)</script>", "logo-element", 2),
        (f'<g onload="alert(1)">{SQUARE}</g>', "logo-script", 2),
        ("<foreignObject><p/></foreignObject>", "logo-element", 2),
        ("<animate/>", "logo-element", 2),
        ('<metadata><image href="#a"/></metadata>', "logo-element", 2),
        ('<text xmlns="">A</text>', "logo-text", 2),
        ('<x:text xmlns:x="urn:x">A</x:text>', "logo-text", 2),
        ('<x:a xmlns:x="urn:x" x:href="file:///etc/passwd"/>', "logo-fetches", 2),
        ("<text>Fernhollow</text>", "logo-text", 2),
        (f"<svg>{SQUARE}</svg>", "logo-element", 2),
        ('<?xml-stylesheet href="x.css"?>', "logo-element", 2),
        ("<path", "logo-not-picture", 3),
        ("&evil;", "logo-not-picture", 2),
        (
            f'<g id="a">{SQUARE}</g><g id="b"><use href="#a"/></g><use href="#b"/>',
            "logo-use-nested",
            3,
        ),
        (f'<g id="a">{SQUARE * 400}</g>' + '<use href="#a"/>' * 40, "logo-too-rich", 3),
        (SQUARE * 5_001, "logo-too-rich", 2),
    ],
)
def test_an_svg_that_would_do_more_than_draw_is_refused_with_its_line(tmp_path, inner, code, line):
    (said,) = faults(house(tmp_path, 'logo = "l.svg"', l_dot_svg=svg(inner)))
    assert said.startswith(f"l.svg, line {line}: ")
    assert codes(tmp_path) == [code]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (svg("", before='<!DOCTYPE svg [<!ENTITY a "b">]>'), "logo-doctype"),
        (svg(SQUARE, before='<!DOCTYPE svg SYSTEM "file:///etc/passwd">'), "logo-doctype"),
        (svg(SQUARE, 'width="100%"'), "logo-without-size"),
        (svg(SQUARE, 'viewBox="0 0 0 5"'), "logo-without-size"),
        (svg(SQUARE, 'viewBox="0 0 1000 1"'), "logo-too-long"),
        (b"<html/>", "logo-not-picture"),
        (b"GIF89a", "logo-not-picture"),
        (png(40, 40)[:-30], "logo-damaged"),
        (png(40, 40)[:-1], "logo-damaged"),
        (png(40, 40)[:8], "logo-damaged"),
        (png(40, 40)[:50] + b"x" + png(40, 40)[51:], "logo-damaged"),
        (png(2100, 100), "logo-too-long"),
        (png(20, 20) + b"\0" * 20_000_000, "logo-too-large"),
        # A header alone: nothing is unfolded before its size is seen.
        (
            b"\x89PNG\r\n\x1a\n"
            + struct.pack(">I4sIIBBBBB", 13, b"IHDR", 60_000, 60_000, 8, 2, 0, 0, 0)
            + struct.pack(">I", zlib.crc32(b"")),
            "logo-too-many-pixels",
        ),
    ],
)
def test_a_logo_no_page_could_bear_is_refused(tmp_path, data, code):
    assert codes(house(tmp_path, 'logo = "l"', l=data)) == [code]


def test_the_limit_of_a_large_logo_is_named(tmp_path):
    (said,) = faults(house(tmp_path, 'logo = "l.png"', l_dot_png=b"\0" * 20_000_000))
    assert "larger than 2000000 bytes" in said


def test_a_missing_logo_and_a_folder_by_its_name_are_told(tmp_path):
    assert codes(house(tmp_path, 'logo = "l.png"')) == ["logo-missing"]
    (tmp_path / "l.png").mkdir()
    assert codes(tmp_path) == ["logo-missing"]


@pytest.mark.parametrize("mode", ["RGB", "RGBA", "L", "P", "1", "I;16"])
def test_a_large_png_is_scaled_down_and_nothing_else_is_left_in_it(tmp_path, mode):
    data = png(2800, 700, mode)
    text = b"secret"
    chunk = struct.pack(">I", len(text) + 2) + b"tEXt" + b"a\0" + text
    chunk += struct.pack(">I", zlib.crc32(chunk[4:]))
    style, _ = read(house(tmp_path, 'logo = "l.png"', l_dot_png=data[:33] + chunk + data[33:]))
    assert style.logo is not None
    assert (style.logo.width, style.logo.height) == (logo_module.ENOUGH_PIXELS, 350)
    assert text not in style.logo.content
    with Image.open(BytesIO(style.logo.content)) as picture:
        assert picture.size == (1400, 350)
        assert picture.mode in ("RGB", "RGBA")


def test_a_plain_svg_with_gradients_styles_and_uses_is_taken(tmp_path):
    inner = (
        '<defs><linearGradient id="g"><stop stop-color="#123456"/></linearGradient>'
        f'<symbol id="s">{SQUARE}</symbol></defs><style>.a{{fill:url(#g)}}</style>'
        '<metadata><x xmlns="urn:other">kept by a drawing program</x></metadata>'
        '<use xlink:href="#s"/><path class="a" style="fill: url(#g)" d="M0 0h9v9z"/>'
    )
    style, _ = read(
        house(tmp_path, 'logo = "l.svg"', l_dot_svg=svg(inner, 'width="3in" height="1in"'))
    )
    assert style.logo is not None
    assert style.logo.fitted(60, 18) == (54, 18)


@pytest.mark.parametrize(
    ("name", "text", "said"),
    [
        ("quote_closing.html",
         '<p id="b{{ number }}">\n{% if x %}</p>', "line 2: this is no template"),
        ("quote_closing.html",
         '<p id="b{{ number }}">\n{% if x %}\n<br>\n{% endif %}</p>', "line 4: "),
        ("quote_closing.html",
         "<div>{{ number }}</div>", 'line 1: the first element lacks id="b{{'),
        ("paper.css", "b { color: red }\np { colour }", "line 2: this is no style sheet"),
        ("paper.css", "b { color: red }\n}", "line 2: this is no style sheet"),
        ("paper.css", "p { background:\n url(x.png) }", "line 2: url would fetch something"),
        ("paper.css", '@import "x.css";', "line 1: @import would fetch something"),
        ("quote_closng.html",
         "", "no paper has a template of that name; right would be: quote_closing"),
    ],
)  # fmt: skip
def test_a_fault_in_a_template_of_the_house_is_named_with_its_line(tmp_path, name, text, said):
    folder = house(tmp_path, "", **{f"papers__{name}": text})
    (told,) = faults(folder)
    assert told.startswith(f"papers/{name}")
    assert said in told


def test_a_copy_of_every_template_is_taken(tmp_path):
    ours = (TEMPLATES / "papers").iterdir()
    copies = {f"papers__{path.name}": path.read_bytes() for path in ours}
    style, _ = read(house(tmp_path, "", **copies))
    assert style.templates == str(tmp_path)


def test_no_texts_but_a_walk_is_a_house_too(tmp_path):
    (tmp_path / "walk.toml").write_text('[[stretch]]\nzone = "B"\n', encoding="utf-8")
    style, _ = read(tmp_path)
    assert style.card.says_in("en") == HouseTexts()
    assert style.walk.sorted(["A-1", "B-1"]) == ["B-1", "A-1"]
