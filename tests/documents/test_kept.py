"""What is kept from run to run: the same as made anew, and never trusted where it was changed."""

import pytest

from wholekit.documents import kept, press
from wholekit.settings import cache_folder


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    return tmp_path / "wholekit"


def test_it_is_made_once_and_found_by_its_key_alone(folder):
    made = []

    def make():
        made.append(1)
        return b"content"

    assert [kept.kept("font", b"a", make) for _ in range(3)] == [b"content"] * 3
    assert len(made) == 1
    kept.kept("font", b"b", make)
    kept.kept("drawn", b"a", make)
    assert len(made) == 3
    assert len(list(folder.iterdir())) == 3


@pytest.mark.parametrize("spoilt", [b"", b"short", b"\0" * 40])
def test_a_torn_or_changed_file_is_made_anew(folder, spoilt):
    kept.keep("font", b"a", b"content")
    (file,) = folder.iterdir()
    file.write_bytes(spoilt)
    assert kept.find("font", b"a") is None
    assert kept.kept("font", b"a", lambda: b"again") == b"again"
    assert kept.find("font", b"a") == b"again"


def test_without_a_folder_to_write_to_it_is_made_every_time(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("no folder", encoding="utf-8")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "file"))
    assert kept.kept("font", b"a", lambda: b"one") == b"one"
    assert kept.kept("font", b"a", lambda: b"two") == b"two"
    assert cache_folder({}, "linux") is None
    assert cache_folder({"XDG_CACHE_HOME": "relative", "HOME": "/h"}, "linux") is not None


def test_the_oldest_give_way_where_there_are_too_many(folder, monkeypatch):
    monkeypatch.setattr(kept, "MOST_FILES", 3)
    for at in range(6):
        kept.keep("font", bytes([at]), b"content")
    assert len(list(folder.iterdir())) == 3
    assert kept.find("font", bytes([5])) == b"content"


def test_a_font_and_what_it_draws_are_the_same_kept_or_made_anew(folder):
    rarer = frozenset({0x2610})
    for make in (
        lambda: press._font_with.__wrapped__(rarer),
        lambda: press.house_characters.__wrapped__(),
    ):
        first = make()
        assert make() == first
        for file in folder.iterdir():
            file.unlink()
        assert make() == first
    assert {ord("A"), 0x2610} <= press.house_characters()
