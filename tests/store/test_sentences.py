"""Every code of the store has its sentence, and every sentence its code."""

import re
from pathlib import Path

import pytest

import wholekit
from wholekit.store.errors import StoreError
from wholekit.store.seal import Seal
from wholekit.wording.errors import say_error
from wholekit.wording.store_errors import ERRORS
from wholekit.wording.store_faults import SENTENCES

PACKAGE = Path(wholekit.__file__).parent


def source(*names: str) -> str:
    return "".join((PACKAGE / name).read_text(encoding="utf-8") for name in names)


def test_every_error_of_the_store_is_worded_and_every_wording_used():
    stores = "".join(
        path.read_text(encoding="utf-8") for path in sorted((PACKAGE / "store").glob("*.py"))
    )
    raised = set(re.findall(r'"((?:store|backup)-[a-z-]+|snapshot-changed)"', stores))
    own = {code for code in ERRORS if code.startswith(("store-", "backup-"))} | {"snapshot-changed"}
    assert raised == own
    commands = source("cli/catalog_loads.py", "services/catalogs.py", "settings.py")
    for code in ERRORS.keys() - own:
        assert f'"{code}"' in commands, code


def test_every_fault_the_check_tells_is_worded_and_every_wording_used():
    told = set(
        re.findall(r'Fault\(\s*"([a-z-]+)"', source("store/check.py", "store/checked_copy.py"))
    )
    assert told | {f"seal-{seal.value}" for seal in Seal if not seal.sound} == set(SENTENCES)


@pytest.mark.parametrize("code", sorted(ERRORS))
def test_a_sentence_needs_no_field_that_is_not_given(code):
    fields = {
        "place": "P", "path": "P", "error": "E", "version": "1", "newest": "2", "revision": "R",
        "id": "I", "known": ["a"], "kind": "K",
        "oldest": "3", "part": "folder", "log": "L", "what": "job",
        "faults": (("orphans", "job"),),
    }  # fmt: skip
    assert say_error(StoreError(code, **fields)).strip()
