"""docs/catalog-format.md: its worked example loads, and it names every key, column and fault."""

import re
from pathlib import Path

from wholekit.domain.catalog import FastenerKind, Role
from wholekit.domain.quantities import Length
from wholekit.intake.catalog_folder import load_catalog
from wholekit.intake.price_book import COLUMNS
from wholekit.intake.toml_table import Table
from wholekit.settings import bundled
from wholekit.wording.catalog_problems import SENTENCES

DOC = Path(__file__).parents[2] / "docs" / "catalog-format.md"


def _example(folder):
    for name, body in re.findall(
        r"^`([^`]+)`\n\n```\w+\n(.*?)^```", DOC.read_text("utf-8"), re.MULTILINE | re.DOTALL
    ):
        path = folder / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(body, encoding="utf-8")
    return folder


def test_the_worked_example_loads_without_a_fault(tmp_path):
    catalog = load_catalog(_example(tmp_path))
    assert (catalog.id, catalog.currency, len(catalog.items)) == ("example", "USD", 5)
    (body,) = catalog.bodies
    assert body.hole_pattern == (Length.mm(209.55), Length.mm(82.55))
    assert not body.adjustable
    assert (body.size_from, body.size_to) == (3, 3)
    assert catalog.pieces["first-3"].role is Role.BODY
    assert catalog.pieces["first-3"].shows
    assert catalog.pieces["body-screw"].kind is FastenerKind.MACHINE_SCREW
    assert catalog.items_by_sku["EX-S-P10"].supplies[0].quantity == 40


def _documented(heading):
    section = DOC.read_text("utf-8").split(f"{heading}\n", 1)[1]
    section = re.split(r"^#{2,3} ", section, maxsplit=1, flags=re.MULTILINE)[0]
    first_cells = re.findall(r"^\| (`[^|]*) \|", section, re.MULTILINE)
    return {name for cell in first_cells for name in re.findall(r"`([^`]+)`", cell)}


def test_every_key_that_is_read_is_documented_and_no_other(monkeypatch):
    read: dict[str, set[str]] = {}
    finish = Table.finish

    def remembering(self):
        kind = self._path.partition("[")[0] or Path(self._where).parent.name
        read.setdefault(kind, set()).update(self._read)
        finish(self)

    monkeypatch.setattr(Table, "finish", remembering)
    for name in ("quillmere", "tarrowby"):
        load_catalog(bundled("catalog_samples") / name)
    assert read["quillmere"] == _documented("## `catalog.toml`")
    assert read["series"] == _documented("## `series/<id>.toml`")
    assert read["body"] == _documented("### `[[body]]`")
    assert read["piece"] == _documented("### `[[piece]]`")
    assert read["template"] == _documented("### `[[template]]`")


def test_every_column_is_documented_and_no_other():
    assert set(COLUMNS) == _documented("## `prices.csv`")


def test_every_fault_is_documented_in_its_sentence():
    text = DOC.read_text("utf-8")
    table = dict(re.findall(r"^\| `([a-z0-9-]+)` \| (.*) \|$", text, re.MULTILINE))
    for code, sentence in SENTENCES.items():
        assert table[code] == re.sub(r"\{[^}]*\}", "…", sentence), code
    faults = text.split("## Faults", 1)[1]
    assert set(re.findall(r"^\| `([a-z0-9-]+)` \|", faults, re.MULTILINE)) == SENTENCES.keys()
