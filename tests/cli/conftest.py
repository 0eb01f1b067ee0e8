"""A house at work: a store with a catalogue, people, a ship-to, a customer and a job."""

import shutil

import pytest
from tests.support.command import done
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store
from wholekit.documents import comparison, render


@pytest.fixture(scope="session")
def furnished_home(tmp_path_factory):
    """A folder of a shop's data, made by commands."""
    home = tmp_path_factory.mktemp("shop")
    with pytest.MonkeyPatch.context() as at:
        _enter(at, home)
        store = open_store()
        put_catalog(store, sample("tarrowby"))
        store.close()
        done("house", "person", "odo", "--role", "owner", "--by", "odo")
        done("house", "person", "ines", "--role", "counter", "--by", "odo")
        done("customer", "ship-to", "port", "Port Aldren", "--tax", "state=6.25%:hardware",
             "--tax", "city=1.5%", "--freight", "45.00")  # fmt: skip
        done("customer", "add", "saltmarsh", "Saltmarsh Builders", "--multiplier", "70%",
             "--ship-to", "port", "--by", "odo")  # fmt: skip
        done("job", "new", "Heron Quay School", "--customer", "saltmarsh", "--due", "2099-12-04")
        open_store().close()
    return home


@pytest.fixture
def shop(monkeypatch, tmp_path, furnished_home):
    """One catalogue, owner odo, ines at the counter, customer saltmarsh, job 1 without openings."""
    shutil.copytree(furnished_home, tmp_path, dirs_exist_ok=True)
    _enter(monkeypatch, tmp_path)


def _enter(monkeypatch, home):
    """Ines at the machine of a shop."""
    monkeypatch.setenv("WHOLEKIT_HOME", str(home))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    monkeypatch.setenv("WHOLEKIT_USER", "ines")
    monkeypatch.setenv("COLUMNS", "80")


@pytest.fixture
def quick_papers(monkeypatch):
    """Papers come to be where they are asked for, without being laid out."""

    def quick(_make, _blocks, out, *_given, **_more):
        out.write_bytes(b"%PDF-")

    monkeypatch.setattr(render, "render_flow", quick)
    monkeypatch.setattr(comparison, "render_flow", quick)
