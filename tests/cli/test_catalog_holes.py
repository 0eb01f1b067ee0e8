"""`wholekit catalog holes`: bodies by how near they are to the holes on the door."""

import pytest
from tests.support.command import run
from tests.support.house import sample, sample_folders
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store

FOLDERS = tuple(text for folder in sample_folders() for text in ("--catalog", str(folder)))


@pytest.fixture(autouse=True)
def own_store(monkeypatch, tmp_path):
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)


def test_bodies_are_listed_by_closeness_with_their_offsets():
    answer = run("catalog", "holes", "210 x 83 mm", *FOLDERS, "--json").json
    assert (answer["holes"], answer["tolerance"]) == ("210 x 83 mm", "1/32 in")
    first = answer["bodies"][0]
    # A usual size 3 pattern (common practice, no source): 209.55 × 82.55 mm by 25.4 mm to the inch.
    assert (first["pattern"], first["along"], first["across"]) == (
        "8-1/4 x 3-1/4 in",
        "-0.45 mm",
        "-0.45 mm",
    )
    within = [body["within"] for body in answer["bodies"]]
    assert within == sorted(within, reverse=True)
    assert set(within) == {True, False}
    assert not any("cost" in key for body in answer["bodies"] for key in body)


def test_a_table_says_it_to_a_person_and_names_the_plates():
    out = run("catalog", "holes", "9-5/8 x 2-3/8", *FOLDERS).out
    assert "fits" in out
    assert "plate granite-old-holes-plate (Tarrowby Closer Company), regular: is fixed by" in out


def test_without_folders_the_catalogues_of_the_store_are_asked():
    empty = run("catalog", "holes", "8 x 3")
    assert (empty.status, empty.out) == (2, "")
    assert "No catalogue" in empty.err
    put_catalog(open_store(), sample("quillmere"))
    answer = run("catalog", "holes", "8-1/4 x 3-1/4", "--json").json
    assert {body["catalog"] for body in answer["bodies"]} == {"quillmere"}
    assert all(body["within"] for body in answer["bodies"])


@pytest.mark.parametrize("wrong", ["8-1/4", "wide", "210 x 83", "0 x 3"])
def test_what_is_no_pattern_is_refused_with_what_would_be_right(wrong):
    said = run("catalog", "holes", wrong, *FOLDERS)
    assert (said.status, said.out) == (2, "")
    assert "PATTERN" in said.err
