"""The doors of machines, called by schemathesis in whatever way their description allows and beyond
it, with a token of each role: nothing is a fault of the program, and every answer is as described.
"""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import hypothesis
import pytest
import schemathesis
from hypothesis import strategies as st
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from tests.support.accounts import KEYS, PEOPLE, proven, with_accounts
from tests.support.databases import ENGINES
from tests.support.house import sample
from tests.support.jobs import START, furnished, plain, set_stock

from wholekit.domain.house_style import HouseStyle
from wholekit.domain.quotes import State
from wholekit.services import job_openings, jobs, orders, quotes, waves
from wholekit.services.accounts import give_token
from wholekit.web.app import app_of
from wholekit.web.place import WebPlace
from wholekit.web.screens import looks, statics

CALLS = 25
ENOUGH = 5
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
# What is there, and a body that can be taken: half the calls are of these.
KNOWN = {"job": "1", "quote": "Q-1", "revision": 1, "wave": 1}
LINE = "102 3070 hollow-metal/steel interior in LH accessible 689 x2"
BODY = {"name": "Tern", "customer": "saltmarsh", "site": "", "lines": [LINE]}
BOUNDED = hypothesis.settings(
    max_examples=CALLS,
    deadline=None,
    derandomize=True,
    suppress_health_check=list(hypothesis.HealthCheck),
)
STYLE = HouseStyle()


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[object, dict[str, str]]]:
    """The door, with something behind each address, and a token for each role."""
    folder: Path = tmp_path_factory.mktemp("machines")
    store = ENGINES["sqlite"](folder)
    desk = with_accounts(furnished(store))
    set_stock(store, sample("tarrowby"), 30)
    job = jobs.create_job(desk, proven(), jobs.NewJob("Heron Quay School", "saltmarsh"))
    job_openings.add_openings(desk, proven(), job.label, [plain("101", 2)])
    quotes.issue_quote(desk, proven("odo"), job.label)
    quotes.close_quote(desk, proven("odo"), "Q-1", State.ACCEPTED)
    orders.release_order(desk, proven("odo"), "Q-1", orders.ToldRelease())
    waves.open_wave(desk, proven("pia"), most=1)
    tokens = {
        name: give_token(desk, proven("odo"), KEYS, name, "tests", 9).token for name in PEOPLE
    }
    place = WebPlace(desk, KEYS, looks(), statics(), lambda: STYLE, folder, clock=lambda: START)
    yield app_of(place), tokens
    store.close()


def test_no_call_of_a_machine_is_a_fault_of_the_program(house):
    app, tokens = house
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", app)
    asked: Counter[tuple[str, str, int]] = Counter()
    for found in schema.get_all_operations():
        operation = found.ok()  # type: ignore[union-attr]  # our own description is whole

        @BOUNDED
        @hypothesis.given(operation.as_strategy(), st.booleans())
        def call(case, there):
            if there:
                case.path_parameters = {name: KNOWN[name] for name in case.path_parameters or {}}
                if isinstance(case.body, dict):
                    case.body |= {name: BODY[name] for name in case.body if name in BODY}
            for name, token in tokens.items():
                # Whom the table of rights turns away is turned away whatever is asked.
                if asked[operation.label, name, 403] >= ENOUGH:  # noqa: B023  # called here
                    continue
                answer = case.call(headers={"Authorization": f"Bearer {token}"})
                case.validate_response(answer, checks=CHECKS)
                asked[operation.label, name, answer.status_code] += 1  # noqa: B023

        call()
    # Else all would have been turned away at the door.
    labels = {label for label, _, _ in asked}
    assert len(labels) == 13
    assert labels == {label for label, _, status in asked if status < 300}
