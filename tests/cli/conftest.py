"""A house at work: a store with a catalogue, people, a ship-to, a customer and a job."""

import pytest
from tests.support.command import done
from tests.support.house import sample
from tests.support.jobs import put_catalog

from wholekit.bootstrap import open_store


@pytest.fixture
def shop(monkeypatch, tmp_path):
    """One catalogue, owner odo, ines at the counter, customer saltmarsh, job 1 without openings."""
    monkeypatch.setenv("WHOLEKIT_HOME", str(tmp_path))
    monkeypatch.delenv("WHOLEKIT_DATABASE_URL", raising=False)
    monkeypatch.setenv("WHOLEKIT_USER", "ines")
    monkeypatch.setenv("COLUMNS", "80")
    put_catalog(open_store(), sample("tarrowby"))
    done("house", "person", "odo", "--role", "owner", "--by", "odo")
    done("house", "person", "ines", "--role", "counter", "--by", "odo")
    done("customer", "ship-to", "port", "Port Aldren", "--tax", "state=6.25%:hardware",
         "--tax", "city=1.5%", "--freight", "45.00")  # fmt: skip
    done("customer", "add", "saltmarsh", "Saltmarsh Builders", "--multiplier", "70%",
         "--ship-to", "port", "--by", "odo")  # fmt: skip
    done("job", "new", "Heron Quay School", "--customer", "saltmarsh", "--due", "2099-12-04")
